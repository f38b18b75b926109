//! The greatest of height less section over all offsets, for a group of places at once.
//!
//! A block of offsets can hold nothing better than what was found if the greatest height in
//! its window, less the least height of the section in it, is no greater than that. Rounding
//! keeps order, so the bound is safe to the last bit, and what is left out could not have
//! changed the result.

use super::section_table::{Block, LEVELS, Offset, SectionTable};
use super::windows::Windows;
use pulp::Simd;

/// Vectors of a group along a row.
const ACROSS: usize = 4;

/// Columns of the widest group: vectors of 512 bits.
const WIDEST: usize = 16 * ACROSS;

/// Rows of a group.
pub(super) const DOWN: usize = 2;

/// Greatest values of a group, row by row.
type Group<S> = [[<S as Simd>::f32s; ACROSS]; DOWN];

/// The cells that the rows of a group can see, from the corner of each one's lattice. All are
/// equally long, so that a place is checked once for all of them.
type View<'a> = [&'a [f32]; DOWN];

/// Finds the values of groups one after the other; the last one's contact is where the next
/// one looks first.
pub(super) struct Search<'a, S: Simd> {
    simd: S,
    table: &'a SectionTable,
    windows: &'a Windows,
    /// Blocks that may hold something better, by level.
    open: [Vec<Block>; LEVELS],
    /// The finest block that was last tried.
    near: Block,
    /// Length of a view.
    extent: usize,
}

impl<'a, S: Simd> Search<'a, S> {
    /// Columns of a group.
    pub(super) const COLUMNS: usize = ACROSS * S::F32_LANES;

    pub(super) fn new(simd: S, table: &'a SectionTable, windows: &'a Windows) -> Search<'a, S> {
        let open = std::array::from_fn(|l| table.blocks[l].clone());
        let near = table.blocks[0][table.blocks[0].len() / 2];
        let extent = (table.span - 1) * table.stride + table.span + Self::COLUMNS - 1;
        Search { simd, table, windows, open, near, extent }
    }

    #[inline(always)]
    fn view<'v>(cells: &'v [f32], corners: [usize; DOWN], extent: usize) -> View<'v> {
        corners.map(|corner| &cells[corner..][..extent])
    }

    /// The values at a group whose lattice of offsets starts at these cells, one for each row;
    /// each row is handed to `put`.
    #[inline(always)]
    pub(super) fn group(&mut self, corners: [usize; DOWN], put: impl FnMut(usize, &[f32])) {
        let (simd, table, extent) = (self.simd, self.table, self.extent);
        let heights = Self::view(&self.windows.heights, corners, extent);
        let mut best = [[simd.splat_f32s(f32::NEG_INFINITY); ACROSS]; DOWN];
        if table.levels == 0 {
            try_all(simd, &table.offsets, heights, &mut best);
            return hand_over::<S>(&best, put);
        }
        try_all(simd, &table.offsets[self.near.range()], heights, &mut best);
        let top = table.levels - 1;
        for block in &table.blocks[top] {
            try_offset(simd, &block.middle, heights, &mut best);
        }
        let greatest = Self::view(&self.windows.greatest[top], corners, extent);
        let mut count = sift(simd, &table.blocks[top], greatest, &best, &mut self.open[top], 0);
        for level in (0..top).rev() {
            let (below, above) = self.open.split_at_mut(level + 1);
            let (open, above) = (&mut below[level], &above[0][..count]);
            let blocks = &table.blocks[level];
            if level > 0 {
                for block in above {
                    for child in &blocks[block.range()] {
                        try_offset(simd, &child.middle, heights, &mut best);
                    }
                }
            }
            let greatest = Self::view(&self.windows.greatest[level], corners, extent);
            count = 0;
            for block in above {
                count = sift(simd, &blocks[block.range()], greatest, &best, open, count);
            }
        }
        for block in &self.open[0][..count] {
            try_all(simd, &table.offsets[block.range()], heights, &mut best);
        }
        if count > 0 {
            self.near = self.open[0][count / 2];
        }
        hand_over::<S>(&best, put);
    }
}

/// Hands each row of a group on.
#[inline(always)]
fn hand_over<S: Simd>(best: &Group<S>, mut put: impl FnMut(usize, &[f32])) {
    for (down, row) in best.iter().enumerate() {
        let mut values = [0.0; WIDEST];
        S::as_mut_simd_f32s(&mut values).0[..ACROSS].copy_from_slice(row);
        put(down, &values[..Search::<S>::COLUMNS]);
    }
}

/// Puts behind the first `count` open blocks those that may hold something better; says how
/// many there are then.
#[inline(always)]
fn sift<S: Simd>(
    simd: S,
    blocks: &[Block],
    greatest: View<'_>,
    best: &Group<S>,
    open: &mut [Block],
    mut count: usize,
) -> usize {
    let zero = simd.splat_f32s(0.0);
    for block in blocks {
        let drop = simd.splat_f32s(block.drop);
        let mut any = simd.greater_than_f32s(zero, zero);
        for down in 0..DOWN {
            let row = lanes::<S>(greatest[down], block.shift);
            for across in 0..ACROSS {
                let bound = simd.add_f32s(row[across], drop);
                any = simd.or_m32s(any, simd.greater_than_f32s(bound, best[down][across]));
            }
        }
        open[count] = *block;
        count += usize::from(simd.first_true_m32s(any) < S::F32_LANES);
    }
    count
}

/// The vectors of a row from a place on.
#[inline(always)]
fn lanes<S: Simd>(cells: &[f32], shift: u32) -> &[S::f32s] {
    S::as_simd_f32s(&cells[shift as usize..][..Search::<S>::COLUMNS]).0
}

/// Tries offsets.
#[inline(always)]
fn try_all<S: Simd>(simd: S, offsets: &[Offset], heights: View<'_>, best: &mut Group<S>) {
    for offset in offsets {
        try_offset(simd, offset, heights, best);
    }
}

/// Tries one offset.
#[inline(always)]
fn try_offset<S: Simd>(simd: S, offset: &Offset, heights: View<'_>, best: &mut Group<S>) {
    let drop = simd.splat_f32s(offset.drop);
    for down in 0..DOWN {
        let row = lanes::<S>(heights[down], offset.shift);
        for across in 0..ACROSS {
            let value = simd.add_f32s(row[across], drop);
            best[down][across] = simd.max_f32s(value, best[down][across]);
        }
    }
}
