//! The greatest of height less section over all offsets, for a group of places at once.
//!
//! A block of offsets can hold nothing better than what was found if the greatest height in
//! its window, less the least height of the section in it, is no greater than that. Rounding
//! keeps order, so the bound is safe to the last bit, and what is left out could not have
//! changed the result. Bounds are counted in steps of a sixty-thousandth of the tile's range, which
//! take half the room, and rounded so that they rule out no more.

use super::section_table::{Block, LEVELS, Offset, SectionTable, WITHIN};
use super::windows::Windows;
use pulp::Simd;

/// Columns of a group.
pub(super) const COLUMNS: usize = 32;

/// Rows of a group.
pub(super) const DOWN: usize = 2;

/// What rules a block out: where its first offset is, and its least section in steps.
struct Bound {
    shift: u32,
    section: u16,
}

/// Greatest values of a group, row by row, `ACROSS` vectors in each.
type Group<S, const ACROSS: usize> = [[<S as Simd>::f32s; ACROSS]; DOWN];

/// The same to the nearest step.
type Steps = [[u16; COLUMNS]; DOWN];

/// The cells that the rows of a group can see, from the corner of each one's lattice. All are
/// equally long, so that a place is checked once for all of them.
type View<'a, T> = [&'a [T]; DOWN];

/// Wider blocks than these, by level, have the offsets in their middles tried before they are
/// looked into.
const MIDDLES_ABOVE: usize = 2;

/// Finds the values of groups one after the other; the blocks in which the last one's might have
/// been are where the next one looks first.
pub(super) struct Search<'a, S: Simd, const ACROSS: usize> {
    simd: S,
    table: &'a SectionTable,
    windows: &'a Windows,
    /// Greatest heights under the cutter's level part, if it has one, and how long a row is.
    level: Option<(&'a [f32], usize)>,
    /// What rules each block out, by level.
    bounds: [Vec<Bound>; LEVELS],
    /// Blocks that may hold something better, by level: their places in the table.
    open: [Vec<u32>; LEVELS],
    /// How many of the finest were open at the last group that had any.
    last: usize,
    /// Length of a view.
    extent: usize,
}

impl<'a, S: Simd, const ACROSS: usize> Search<'a, S, ACROSS> {
    pub(super) fn new(
        simd: S,
        table: &'a SectionTable,
        windows: &'a Windows,
        level: Option<(&'a [f32], usize)>,
    ) -> Self {
        let open = std::array::from_fn(|l| vec![0; table.blocks[l].len()]);
        let section = |block: &Block| windows.scale.section(-block.drop);
        let bounds = std::array::from_fn(|l| {
            let of = |b: &Block| Bound { shift: b.shift, section: section(b) };
            table.blocks[l].iter().map(of).collect()
        });
        let extent = (table.span - 1) * table.stride + table.span + COLUMNS - 1;
        Search { simd, table, windows, level, bounds, open, last: 0, extent }
    }

    #[inline(always)]
    fn view<T>(cells: &[T], corners: [usize; DOWN], extent: usize) -> View<'_, T> {
        corners.map(|corner| &cells[corner..][..extent])
    }

    /// The values at a group, given its rows among those asked for and its first column; its
    /// lattices of offsets start at these cells, one for each row; each row is handed to `put`.
    #[inline(always)]
    pub(super) fn group(
        &mut self,
        corners: [usize; DOWN],
        (rows, column): ([usize; DOWN], usize),
        put: impl FnMut(usize, &[f32]),
    ) {
        let (simd, table, extent) = (self.simd, self.table, self.extent);
        let heights = Self::view(&self.windows.heights, corners, extent);
        let mut best = [[simd.splat_f32s(f32::NEG_INFINITY); ACROSS]; DOWN];
        if let Some((level, wide)) = self.level {
            for (best, row) in best.iter_mut().zip(rows) {
                best.copy_from_slice(lanes::<S>(level, (row * wide + column) as u32));
            }
        }
        if table.levels == 0 {
            try_all(simd, &table.offsets, heights, &mut best);
            return hand_over::<S, ACROSS>(&best, put);
        }
        let (offsets, _) = table.offsets.as_chunks::<WITHIN>();
        let top = table.levels - 1;
        try_offset(simd, &table.axis, heights, &mut best);
        for &open in &self.open[0][..self.last] {
            try_offset(simd, &offsets[open as usize][0], heights, &mut best);
        }
        let mut steps = self.steps(&best);
        let greatest = Self::view(&self.windows.greatest[top], corners, extent);
        let mut count = 0;
        let open = &mut self.open[top][..];
        for (k, bound) in self.bounds[top].iter().enumerate() {
            open[count] = k as u32;
            count += usize::from(may_hold(bound, greatest, &steps));
        }
        for level in (0..top).rev() {
            let (bounds, _) = self.bounds[level].as_chunks::<WITHIN>();
            if level > MIDDLES_ABOVE {
                let (blocks, _) = table.blocks[level].as_chunks::<WITHIN>();
                for above in &self.open[level + 1][..count] {
                    for block in &blocks[*above as usize] {
                        try_offset(simd, &block.middle, heights, &mut best);
                    }
                }
                steps = self.steps(&best);
            }
            let greatest = Self::view(&self.windows.greatest[level], corners, extent);
            let (below, above) = self.open.split_at_mut(level + 1);
            let (open, above) = (&mut below[level][..], &above[0][..count]);
            count = 0;
            for &above in above {
                for (k, bound) in bounds[above as usize].iter().enumerate() {
                    open[count] = above * WITHIN as u32 + k as u32;
                    count += usize::from(may_hold(bound, greatest, &steps));
                }
            }
        }
        for &open in &self.open[0][..count] {
            try_all(simd, &offsets[open as usize], heights, &mut best);
        }
        if count > 0 {
            self.last = count;
        }
        hand_over::<S, ACROSS>(&best, put);
    }

    /// What was found so far, in steps.
    #[inline(always)]
    fn steps(&self, best: &Group<S, ACROSS>) -> Steps {
        let mut steps = [[0; COLUMNS]; DOWN];
        for (row, steps) in best.iter().zip(&mut steps) {
            let mut values = [0.0; COLUMNS];
            S::as_mut_simd_f32s(&mut values).0.copy_from_slice(row);
            for lane in 0..COLUMNS {
                steps[lane] = self.windows.scale.near(values[lane]);
            }
        }
        steps
    }
}

/// Hands each row of a group on.
#[inline(always)]
fn hand_over<S: Simd, const ACROSS: usize>(
    best: &Group<S, ACROSS>,
    mut put: impl FnMut(usize, &[f32]),
) {
    for (down, row) in best.iter().enumerate() {
        let mut values = [0.0; COLUMNS];
        S::as_mut_simd_f32s(&mut values).0.copy_from_slice(row);
        put(down, &values);
    }
}

/// Whether a block may hold something better.
#[inline(always)]
fn may_hold(bound: &Bound, greatest: View<'_, u16>, best: &Steps) -> bool {
    let from = bound.shift as usize;
    let rows = greatest.map(|row| &row[from..from + COLUMNS]);
    let mut hit = false;
    for lane in 0..COLUMNS {
        let mut over = 0;
        for down in 0..DOWN {
            over = over.max(rows[down][lane].saturating_sub(best[down][lane]));
        }
        hit |= over > bound.section;
    }
    hit
}

/// The vectors of a row from a place on.
#[inline(always)]
fn lanes<S: Simd>(cells: &[f32], shift: u32) -> &[S::f32s] {
    let from = shift as usize;
    S::as_simd_f32s(&cells[from..from + COLUMNS]).0
}

/// Tries offsets.
#[inline(always)]
fn try_all<S: Simd, const ACROSS: usize>(
    simd: S,
    offsets: &[Offset],
    heights: View<'_, f32>,
    best: &mut Group<S, ACROSS>,
) {
    let (blocks, rest) = offsets.as_chunks::<WITHIN>();
    for block in blocks {
        try_block(simd, block, heights, best);
    }
    for offset in rest {
        try_offset(simd, offset, heights, best);
    }
}

/// Tries the offsets of a block: in pairs, so that what was found is waited for once, not
/// for each of them.
#[inline(always)]
fn try_block<S: Simd, const ACROSS: usize>(
    simd: S,
    offsets: &[Offset; WITHIN],
    heights: View<'_, f32>,
    best: &mut Group<S, ACROSS>,
) {
    // No closures: they would not be compiled for the widest vectors.
    let [a, b, c, d] = offsets;
    let (drop_a, drop_b) = (simd.splat_f32s(a.drop), simd.splat_f32s(b.drop));
    let (drop_c, drop_d) = (simd.splat_f32s(c.drop), simd.splat_f32s(d.drop));
    for down in 0..DOWN {
        let row = heights[down];
        let (row_a, row_b) = (lanes::<S>(row, a.shift), lanes::<S>(row, b.shift));
        let (row_c, row_d) = (lanes::<S>(row, c.shift), lanes::<S>(row, d.shift));
        for across in 0..ACROSS {
            let a = simd.add_f32s(row_a[across], drop_a);
            let b = simd.add_f32s(row_b[across], drop_b);
            let c = simd.add_f32s(row_c[across], drop_c);
            let d = simd.add_f32s(row_d[across], drop_d);
            let found = simd.max_f32s(simd.max_f32s(a, b), simd.max_f32s(c, d));
            best[down][across] = simd.max_f32s(found, best[down][across]);
        }
    }
}

/// Tries one offset.
#[inline(always)]
fn try_offset<S: Simd, const ACROSS: usize>(
    simd: S,
    offset: &Offset,
    heights: View<'_, f32>,
    best: &mut Group<S, ACROSS>,
) {
    let drop = simd.splat_f32s(offset.drop);
    for down in 0..DOWN {
        let row = lanes::<S>(heights[down], offset.shift);
        for across in 0..ACROSS {
            let value = simd.add_f32s(row[across], drop);
            best[down][across] = simd.max_f32s(value, best[down][across]);
        }
    }
}
