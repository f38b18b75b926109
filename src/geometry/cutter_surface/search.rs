//! The greatest of height less section over all offsets, for a group of places at once.
//!
//! A block of offsets can hold nothing better than what was found if the greatest height in
//! its window, less the least height of the section in it, is no greater than that. Rounding
//! keeps order, so the bound is safe to the last bit, and what is left out could not have
//! changed the result.

use super::section_table::{Block, IN_FINEST, LEVELS, SIDES, SectionTable};
use super::windows::{LANES, Windows, greater};

/// Heights side by side.
type Lanes = [f32; LANES];

/// Vectors of a group along a row.
pub(super) const ACROSS: usize = 2;

/// Rows of a group.
pub(super) const DOWN: usize = 2;

/// Vectors of a group.
const VECTORS: usize = ACROSS * DOWN;

/// Columns of a group.
pub(super) const COLUMNS: usize = ACROSS * LANES;

/// The greatest values of a group, row by row.
pub(super) type Group = [Lanes; VECTORS];

/// Finds the values of groups one after the other; the last one's contact is where the next
/// one looks first.
pub(super) struct Search<'a> {
    table: &'a SectionTable,
    windows: &'a Windows,
    /// Blocks that may hold something better, by level.
    open: [Vec<u32>; LEVELS],
    /// A finest block near the last group's contact.
    near: u32,
}

impl<'a> Search<'a> {
    pub(super) fn new(table: &'a SectionTable, windows: &'a Windows) -> Search<'a> {
        let open = std::array::from_fn(|l| vec![0; table.blocks[l].len()]);
        let near = (table.blocks[0].len() / 2) as u32;
        Search { table, windows, open, near }
    }

    /// The values at a group whose lattice of offsets starts at these cells, one for each row.
    #[inline(always)]
    pub(super) fn group(&mut self, corners: [usize; DOWN]) -> Group {
        let mut best = [[f32::NEG_INFINITY; LANES]; VECTORS];
        let finest = &self.table.blocks[0];
        self.try_finest(&finest[self.near as usize], corners, &mut best);
        let top = self.table.levels - 1;
        let mut count = self.table.blocks[top].len();
        let mut all = 0..count as u32;
        self.open[top].fill_with(|| all.next().unwrap_or(0));
        for level in (0..=top).rev() {
            count = self.sift(level, count, corners, &best);
            if level > 0 {
                count = self.descend(level, count);
            }
        }
        let (mut columns, mut rows) = (0, 0);
        for k in 0..count {
            let block = &self.table.blocks[0][self.open[0][k] as usize];
            self.try_finest(block, corners, &mut best);
            columns += block.column;
            rows += block.row;
        }
        if count > 0 {
            self.near = self.table.finest_at(columns / count as u32, rows / count as u32, self.near);
        }
        best
    }

    /// Keeps, of the first `count` open blocks of a level, those that may hold something better.
    #[inline(always)]
    fn sift(&mut self, level: usize, count: usize, corners: [usize; DOWN], best: &Group) -> usize {
        let (blocks, window) = (&self.table.blocks[level], &self.windows.greatest[level]);
        let open = &mut self.open[level];
        let mut kept = 0;
        for k in 0..count {
            let index = open[k];
            let block = &blocks[index as usize];
            let mut any = [false; LANES];
            let shift = block.row as usize * self.windows.stride + block.column as usize;
            for down in 0..DOWN {
                let row = &window[corners[down] + shift..][..COLUMNS];
                for across in 0..ACROSS {
                    for lane in 0..LANES {
                        let bound = row[across * LANES + lane] - block.low;
                        any[lane] |= bound > best[down * ACROSS + across][lane];
                    }
                }
            }
            open[kept] = index;
            kept += usize::from(any.into_iter().fold(false, |a, b| a | b));
        }
        kept
    }

    /// Opens the blocks within the first `count` open blocks of a level.
    #[inline(always)]
    fn descend(&mut self, level: usize, count: usize) -> usize {
        let (below, this) = self.open.split_at_mut(level);
        let (below, this) = (&mut below[level - 1], &this[0]);
        let mut opened = 0;
        for &index in &this[..count] {
            let block = &self.table.blocks[level][index as usize];
            for child in block.first..block.after {
                below[opened] = child;
                opened += 1;
            }
        }
        opened
    }

    /// Tries all offsets of a finest block.
    #[inline(always)]
    fn try_finest(&self, block: &Block, corners: [usize; DOWN], best: &mut Group) {
        let heights: &[f32; IN_FINEST] = &self.table.heights[block.first as usize];
        let stride = self.windows.stride;
        let shift = block.row as usize * stride + block.column as usize;
        for (k, &height) in heights.iter().enumerate() {
            let shift = shift + k / SIDES[0] * stride + k % SIDES[0];
            for down in 0..DOWN {
                let row = &self.windows.heights[corners[down] + shift..][..COLUMNS];
                for across in 0..ACROSS {
                    let best = &mut best[down * ACROSS + across];
                    for lane in 0..LANES {
                        let value = row[across * LANES + lane] - height;
                        best[lane] = greater(value, best[lane]);
                    }
                }
            }
        }
    }
}
