//! A tile of a field with the greatest height in every square window of each block's side.

use super::section_table::{LEVELS, SIDES};
use crate::geometry::HeightField;

/// Cells computed side by side.
pub(super) const LANES: usize = 8;

/// A part of a field, row by row, and its windows: cell (x, y) of level l holds the greatest
/// height of the square of side `SIDES[l]` whose first cell it is. Outside the field there is
/// nothing: minus infinity.
#[derive(Debug, Default)]
pub(super) struct Windows {
    stride: usize,
    rows: usize,
    pub(super) heights: Vec<f32>,
    pub(super) greatest: [Vec<f32>; LEVELS],
}

impl Windows {
    /// Takes `columns` by `rows` cells of the field, from a corner that may lie outside;
    /// `stride` cells from one row to the next.
    #[inline(always)]
    pub(super) fn load(
        &mut self,
        field: &HeightField,
        (left, bottom): (isize, isize),
        (columns, rows): (usize, usize),
        stride: usize,
    ) {
        self.stride = stride;
        self.rows = rows;
        self.heights.resize(self.stride * rows, 0.0);
        for (j, target) in self.heights.chunks_exact_mut(self.stride).enumerate() {
            let row = usize::try_from(bottom + j as isize).map_or(&[][..], |j| field.row(j));
            let before = (left.min(0).unsigned_abs()).min(columns);
            let from = (left.max(0) as usize).min(row.len());
            let count = (columns - before).min(row.len() - from);
            target[..before].fill(f32::NEG_INFINITY);
            target[before + count..].fill(f32::NEG_INFINITY);
            for (t, &h) in target[before..].iter_mut().zip(&row[from..from + count]) {
                // What is no number is nothing.
                *t = if h > f32::NEG_INFINITY { h } else { f32::NEG_INFINITY };
            }
        }
    }

    /// Finds the greatest heights, for so many levels. Windows that leave the tile are not
    /// looked at by anyone.
    #[inline(always)]
    pub(super) fn build(&mut self, levels: usize) {
        for (level, side) in SIDES.iter().enumerate().take(levels) {
            let (below, this) = self.greatest.split_at_mut(level);
            let source = below.last().map_or(&self.heights, |v| v);
            let target = &mut this[0];
            target.resize(self.stride * self.rows, f32::NEG_INFINITY);
            let step = side / 2;
            let rows = self.rows.saturating_sub(step);
            for j in 0..rows {
                let (a, b) = (&source[j * self.stride..], &source[(j + step) * self.stride..]);
                let count = self.stride - step;
                let (a0, a1) = (&a[..count], &a[step..step + count]);
                let (b0, b1) = (&b[..count], &b[step..step + count]);
                let out = &mut target[j * self.stride..][..count];
                for i in 0..count {
                    out[i] = greater(greater(a0[i], a1[i]), greater(b0[i], b1[i]));
                }
            }
        }
    }
}

/// The greater of two numbers, in one instruction.
#[inline(always)]
pub(super) fn greater(a: f32, b: f32) -> f32 {
    if a > b { a } else { b }
}
