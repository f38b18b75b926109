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
const ACROSS: usize = 2;

/// Columns of the widest group: vectors of 512 bits.
const WIDEST: usize = 16 * ACROSS;

/// Rows of a group.
pub(super) const DOWN: usize = 3;

/// Greatest values of a group, row by row.
type Group<S> = [[<S as Simd>::f32s; ACROSS]; DOWN];

/// Finds the values of groups one after the other; the last one's contact is where the next
/// one looks first.
pub(super) struct Search<'a, S: Simd> {
    simd: S,
    table: &'a SectionTable,
    windows: &'a Windows,
    /// Blocks that may hold something better, by level.
    open: [Vec<u32>; LEVELS],
    /// The finest block that was last tried.
    near: Block,
}

impl<'a, S: Simd> Search<'a, S> {
    /// Columns of a group.
    pub(super) const COLUMNS: usize = ACROSS * S::F32_LANES;

    pub(super) fn new(simd: S, table: &'a SectionTable, windows: &'a Windows) -> Search<'a, S> {
        let open = std::array::from_fn(|l| vec![0; table.blocks[l].len()]);
        let near = table.blocks[0][table.blocks[0].len() / 2];
        Search { simd, table, windows, open, near }
    }

    /// The values at a group whose lattice of offsets starts at these cells, one for each row;
    /// each row is handed to `put`.
    #[inline(always)]
    pub(super) fn group(&mut self, corners: [usize; DOWN], mut put: impl FnMut(usize, &[f32])) {
        let mut best = [[self.simd.splat_f32s(f32::NEG_INFINITY); ACROSS]; DOWN];
        let near = self.near;
        self.try_block(&near, corners, &mut best);
        let top = self.table.levels - 1;
        let mut count = 0;
        let all = &self.table.blocks[top];
        for block in all {
            self.try_offset(&block.middle, corners, &mut best);
        }
        for place in 0..all.len() {
            count = self.sift(top, count, place as u32, corners, &best);
        }
        for level in (0..top).rev() {
            count = self.descend(level, count, corners, &mut best);
        }
        for k in 0..count {
            let block = &self.table.blocks[0][self.open[0][k] as usize];
            self.try_block(block, corners, &mut best);
        }
        if count > 0 {
            self.near = self.table.blocks[0][self.open[0][count / 2] as usize];
        }
        for (down, row) in best.iter().enumerate() {
            let mut values = [0.0; WIDEST];
            S::as_mut_simd_f32s(&mut values).0[..ACROSS].copy_from_slice(row);
            put(down, &values[..Self::COLUMNS]);
        }
    }

    /// Opens the blocks of a level within the first `count` open blocks of the level above;
    /// keeps those that may hold something better, and says how many.
    #[inline(always)]
    fn descend(
        &mut self,
        level: usize,
        count: usize,
        corners: [usize; DOWN],
        best: &mut Group<S>,
    ) -> usize {
        let table = self.table;
        if level > 0 {
            for k in 0..count {
                let above = &table.blocks[level + 1][self.open[level + 1][k] as usize];
                for block in &table.blocks[level][above.first as usize..above.after as usize] {
                    self.try_offset(&block.middle, corners, best);
                }
            }
        }
        let mut kept = 0;
        for k in 0..count {
            let above = &table.blocks[level + 1][self.open[level + 1][k] as usize];
            for place in above.first..above.after {
                kept = self.sift(level, kept, place, corners, best);
            }
        }
        kept
    }

    /// Keeps a block as the `count`-th of its level if it may hold something better; says how
    /// many there are then.
    #[inline(always)]
    fn sift(
        &mut self,
        level: usize,
        count: usize,
        place: u32,
        corners: [usize; DOWN],
        best: &Group<S>,
    ) -> usize {
        let simd = self.simd;
        let block = &self.table.blocks[level][place as usize];
        let low = simd.splat_f32s(block.low);
        let zero = simd.splat_f32s(0.0);
        let mut any = simd.greater_than_f32s(zero, zero);
        for down in 0..DOWN {
            let at = corners[down] + block.shift as usize;
            let row = S::as_simd_f32s(&self.windows.greatest[level][at..at + Self::COLUMNS]).0;
            for across in 0..ACROSS {
                let bound = simd.sub_f32s(row[across], low);
                any = simd.or_m32s(any, simd.greater_than_f32s(bound, best[down][across]));
            }
        }
        self.open[level][count] = place;
        count + usize::from(simd.first_true_m32s(any) < S::F32_LANES)
    }

    /// Tries all offsets of a finest block.
    #[inline(always)]
    fn try_block(&self, block: &Block, corners: [usize; DOWN], best: &mut Group<S>) {
        for offset in &self.table.offsets[block.first as usize..block.after as usize] {
            self.try_offset(offset, corners, best);
        }
    }

    /// Tries one offset.
    #[inline(always)]
    fn try_offset(&self, offset: &Offset, corners: [usize; DOWN], best: &mut Group<S>) {
        let simd = self.simd;
        let height = simd.splat_f32s(offset.height);
        for down in 0..DOWN {
            let at = corners[down] + offset.shift as usize;
            let row = S::as_simd_f32s(&self.windows.heights[at..at + Self::COLUMNS]).0;
            for across in 0..ACROSS {
                let value = simd.sub_f32s(row[across], height);
                best[down][across] = simd.max_f32s(value, best[down][across]);
            }
        }
    }
}
