//! The level part of a cutter's end, as of a flat or a bull-nose: the greatest height under it.
//!
//! Nothing of it can be ruled out by how high the section is, so it is not searched. It is rows
//! of nodes, and the greatest of L nodes in a row is the greater of two runs of 2^k, the longest
//! that fit, one from either end.

use super::windows::{Windows, greater};

/// Level nodes in a row of the lattice of offsets.
#[derive(Clone, Copy, Debug)]
struct Run {
    row: usize,
    first: usize,
    count: usize,
}

/// The level nodes of a cutter's end, row by row.
#[derive(Clone, Debug, Default)]
pub(super) struct Level {
    runs: Vec<Run>,
}

/// Greatest heights under the level part, and what finding them takes.
#[derive(Debug, Default)]
pub(super) struct Greatest {
    /// Row by row of the places asked for; minus infinity where nothing stands.
    pub(super) heights: Vec<f32>,
    /// Of one row of the tile: the greatest of each 2^k nodes, by k.
    doubled: Vec<Vec<f32>>,
}

impl Level {
    /// Of a lattice of `span` by `span`, for what tells whether the node at a column and a row is
    /// level. Those of a row stand together, for the end is round.
    pub(super) fn of(span: usize, is_level: impl Fn(usize, usize) -> bool) -> Level {
        let run = |row: usize| {
            let first = (0..span).find(|&column| is_level(column, row))?;
            let count = (first..span).take_while(|&column| is_level(column, row)).count();
            Some(Run { row, first, count })
        };
        Level { runs: (0..span).filter_map(run).collect() }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.runs.is_empty()
    }

    /// Nodes in all.
    pub(super) fn count(&self) -> usize {
        self.runs.iter().map(|run| run.count).sum()
    }

    /// Finds the greatest heights of a tile for `count` rows of `wide` places, `step` rows of the
    /// tile apart.
    #[inline(always)]
    pub(super) fn greatest(
        &self,
        windows: &Windows,
        (wide, count): (usize, usize),
        step: usize,
        into: &mut Greatest,
    ) {
        into.heights.clear();
        into.heights.resize(wide * count, f32::NEG_INFINITY);
        let longest = self.runs.iter().map(|run| run.count).max().unwrap_or(1);
        into.doubled.resize(longest.max(1).ilog2() as usize + 1, Vec::new());
        for (y, row) in windows.heights.chunks_exact(windows.stride).enumerate() {
            double(row, &mut into.doubled);
            for run in self.runs.iter().filter(|run| run.row <= y) {
                let down = y - run.row;
                if down % step != 0 || down / step >= count {
                    continue;
                }
                let k = run.count.ilog2();
                let last = run.first + run.count - (1 << k);
                let doubled = &into.doubled[k as usize];
                let (a, b) = (&doubled[run.first..][..wide], &doubled[last..][..wide]);
                let target = &mut into.heights[down / step * wide..][..wide];
                for ((target, a), b) in target.iter_mut().zip(a).zip(b) {
                    *target = greater(*target, greater(*a, *b));
                }
            }
        }
    }
}

/// The greatest of each 2^k nodes of a row, for all k; shorter by what they reach beyond.
#[inline(always)]
fn double(row: &[f32], doubled: &mut [Vec<f32>]) {
    for k in 0..doubled.len() {
        let (below, this) = doubled.split_at_mut(k);
        let target = &mut this[0];
        let Some(source) = below.last() else {
            target.clear();
            target.extend_from_slice(row);
            continue;
        };
        let step = 1 << (k - 1);
        let length = source.len().saturating_sub(step);
        target.resize(length, 0.0);
        let (a, b) = (&source[..length], &source[source.len() - length..]);
        for ((target, a), b) in target.iter_mut().zip(a).zip(b) {
            *target = greater(*a, *b);
        }
    }
}
