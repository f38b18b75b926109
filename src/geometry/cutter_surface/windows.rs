//! A tile of a field with the greatest height in every square window of each block's side.

use super::section_table::{LEVELS, SIDES};
use crate::geometry::HeightField;
use pulp::Simd;

/// Cells computed side by side.
pub(super) const LANES: usize = 8;

/// Steps that the heights of a tile span.
const STEPS: f32 = 60_000.0;

/// Heights of a tile counted in steps: 16 bits hold them, so that a processor holds twice as
/// many side by side. Those of a window are so much too high that a block is ruled out by them
/// only if it is by the heights.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Scale {
    base: f32,
    /// Steps to the millimetre.
    per_mm: f32,
}

impl Scale {
    /// More than rounding to the nearest step, there and in [`Scale::near`], takes away.
    const ROOM: u16 = 2;

    fn of(low: f32, high: f32) -> Scale {
        /// Range of a level tile, millimetres: little, so that any rise of a section rules out.
        const LEAST: f32 = 1e-3;
        let range = high - low;
        let range = if range > LEAST { range } else { LEAST };
        Scale { base: low, per_mm: STEPS / range }
    }

    /// The nearest step.
    #[inline(always)]
    pub(super) fn near(self, height: f32) -> u16 {
        /// 2²³: a float above it has no binary places, so its last bits are the whole number.
        const WHOLE: f32 = 8_388_608.0;
        // None is above the highest: a section only takes away.
        let steps = (height - self.base) * self.per_mm;
        let steps = if steps > 0.0 { steps } else { 0.0 };
        (steps + WHOLE).to_bits() as u16
    }

    /// No fewer steps than the height has.
    #[inline(always)]
    fn no_lower(self, height: f32) -> u16 {
        self.near(height) + Scale::ROOM
    }

    /// Steps of a section's height, rounded down.
    pub(super) fn section(self, height: f32) -> u16 {
        // A float becomes the nearest number that a whole number can be.
        (f64::from(height) * f64::from(self.per_mm)) as u16
    }
}

/// A part of a field, row by row, and its windows: cell (x, y) of level l holds the greatest
/// height of the square of side `SIDES[l]` whose first cell it is, in steps. Outside the field
/// there is nothing: minus infinity.
#[derive(Debug, Default)]
pub(super) struct Windows {
    pub(super) stride: usize,
    rows: usize,
    pub(super) scale: Scale,
    pub(super) heights: Vec<f32>,
    pub(super) greatest: [Vec<u16>; LEVELS],
}

impl Windows {
    /// Takes `columns` by `rows` cells of the field, from a corner that may lie outside;
    /// `stride` cells from one row to the next.
    #[inline(always)]
    pub(super) fn load<S: Simd>(
        &mut self,
        simd: S,
        field: &HeightField,
        (left, bottom): (isize, isize),
        (columns, rows): (usize, usize),
        stride: usize,
    ) {
        self.stride = stride;
        self.rows = rows;
        self.heights.resize(self.stride * rows, 0.0);
        let mut span = Span::none(simd);
        for (j, target) in self.heights.chunks_exact_mut(self.stride).enumerate() {
            let row = usize::try_from(bottom + j as isize).map_or(&[][..], |j| field.row(j));
            let before = (left.min(0).unsigned_abs()).min(columns);
            let from = (left.max(0) as usize).min(row.len());
            let count = (columns - before).min(row.len() - from);
            target[..before].fill(f32::NEG_INFINITY);
            target[before + count..].fill(f32::NEG_INFINITY);
            span.take(&row[from..from + count], &mut target[before..before + count]);
        }
        let (low, high) = span.ends();
        self.scale = Scale::of(low, high);
    }

    /// Finds the greatest heights, for so many levels. Windows that leave the tile are not
    /// looked at by anyone.
    #[inline(always)]
    pub(super) fn build(&mut self, levels: usize) {
        if levels == 0 {
            return;
        }
        let Windows { stride, rows, scale, ref heights, ref mut greatest, .. } = *self;
        for target in &mut greatest[..levels] {
            target.resize(stride * rows, 0);
        }
        for j in 0..rows.saturating_sub(1) {
            let (a, b) = (&heights[j * stride..], &heights[(j + 1) * stride..]);
            let target = &mut greatest[0][j * stride..];
            corners((a, b, target), (1, stride), |h| {
                scale.no_lower(greater(greater(h[0], h[1]), greater(h[2], h[3])))
            });
            // A level's row as soon as the rows it is made from are there: the cache holds them.
            let mut last = j;
            for level in 1..levels {
                let step = SIDES[level] / 2;
                let Some(row) = last.checked_sub(step) else { break };
                let (below, this) = greatest.split_at_mut(level);
                let source = &below[level - 1];
                let (a, b) = (&source[row * stride..], &source[last * stride..]);
                let target = &mut this[0][row * stride..];
                corners((a, b, target), (step, stride), |h| h[0].max(h[1]).max(h[2].max(h[3])));
                last = row;
            }
        }
    }
}

/// A row of windows twice as wide as those of two rows `step` apart, from the corners of each.
#[inline(always)]
fn corners<T: Copy>(
    (a, b, target): (&[T], &[T], &mut [u16]),
    (step, stride): (usize, usize),
    of: impl Fn([T; 4]) -> u16,
) {
    let count = stride - step;
    let (a0, a1) = (&a[..count], &a[step..step + count]);
    let (b0, b1) = (&b[..count], &b[step..step + count]);
    let out = &mut target[..count];
    for i in 0..count {
        out[i] = of([a0[i], a1[i], b0[i], b1[i]]);
    }
}

/// The greater of two numbers, in one instruction.
#[inline(always)]
pub(super) fn greater(a: f32, b: f32) -> f32 {
    if a > b { a } else { b }
}

/// Least and greatest of the heights that there are.
struct Span<S: Simd> {
    simd: S,
    low: S::f32s,
    high: S::f32s,
}

impl<S: Simd> Span<S> {
    #[inline(always)]
    fn none(simd: S) -> Span<S> {
        let (low, high) = (simd.splat_f32s(f32::INFINITY), simd.splat_f32s(f32::NEG_INFINITY));
        Span { simd, low, high }
    }

    /// Copies heights; what is no number is nothing.
    #[inline(always)]
    fn take(&mut self, from: &[f32], to: &mut [f32]) {
        let simd = self.simd;
        let (from, rest) = S::as_simd_f32s(from);
        let (to, rest_to) = S::as_mut_simd_f32s(to);
        let copy = from.iter().zip(to);
        for (&height, to) in copy {
            *to = self.see(height);
        }
        if !rest.is_empty() {
            let height = self.see(simd.partial_load_f32s(rest));
            simd.partial_store_f32s(rest_to, height);
        }
    }

    #[inline(always)]
    fn see(&mut self, height: S::f32s) -> S::f32s {
        let simd = self.simd;
        let (none, far) = (simd.splat_f32s(f32::NEG_INFINITY), simd.splat_f32s(f32::INFINITY));
        let there = simd.greater_than_f32s(height, none);
        let height = simd.select_f32s(there, height, none);
        self.low = simd.min_f32s(self.low, simd.select_f32s(there, height, far));
        self.high = simd.max_f32s(self.high, height);
        height
    }

    #[inline(always)]
    fn ends(&self) -> (f32, f32) {
        (self.simd.reduce_min_f32s(self.low), self.simd.reduce_max_f32s(self.high))
    }
}
