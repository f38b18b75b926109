//! A cutter's section on a grid, and its offsets in blocks within blocks.

use super::CutterEnd;

/// Sides of the blocks, cells, from the finest.
pub(super) const SIDES: [usize; 4] = [2, 4, 8, 16];

/// Levels of blocks.
pub(super) const LEVELS: usize = SIDES.len();

/// Offsets of the finest block.
pub(super) const IN_FINEST: usize = SIDES[0] * SIDES[0];

/// A node this much beyond the radius is on the rim: rounding put it there.
const RIM: f64 = 1.0 + 1e-9;

/// A square of offsets, and the least height of the section in it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Block {
    /// Column and row of its first offset, from the lattice's corner.
    pub(super) column: u32,
    pub(super) row: u32,
    /// Least height of the section within it.
    pub(super) low: f32,
    /// Its blocks of the level below: a range of that level's list; for the finest level its
    /// place times [`IN_FINEST`].
    pub(super) first: u32,
    pub(super) after: u32,
}

/// A cutter's section at the nodes of a grid.
///
/// Offsets run over a lattice of `span` by `span` nodes, a whole number of the coarsest blocks,
/// with the axis at node (`half`, `half`).
#[derive(Clone, Debug)]
pub(super) struct SectionTable {
    pub(super) span: usize,
    pub(super) half: usize,
    /// How many levels are used: the coarsest block is no larger than the cutter needs.
    pub(super) levels: usize,
    /// Blocks of each level.
    pub(super) blocks: [Vec<Block>; LEVELS],
    /// Heights of the offsets of each finest block, row by row; infinite outside the cutter.
    pub(super) heights: Vec<[f32; IN_FINEST]>,
    /// For each finest square of the lattice, row by row, its block.
    finest: Vec<Option<u32>>,
}

impl SectionTable {
    pub(super) fn new(end: &CutterEnd, cell: f64) -> SectionTable {
        let reach = (end.radius() * RIM / cell).floor() as usize;
        // A block a quarter of the cutter wide still rules out much at once.
        let levels = (1..LEVELS).take_while(|&l| SIDES[l] * 3 <= 2 * reach + 1).count() + 1;
        let side = SIDES[levels - 1];
        let span = (2 * reach + 1).next_multiple_of(side);
        let half = span / 2;
        let height = |column: usize, row: usize| {
            let from = |k: usize| (k as f64 - half as f64) * cell;
            let r = from(column).hypot(from(row));
            let r = if r <= end.radius() * RIM { r.min(end.radius()) } else { r };
            end.height(r).map_or(f32::INFINITY, |h| h as f32)
        };
        let mut table = SectionTable {
            span,
            half,
            levels,
            blocks: Default::default(),
            heights: Vec::new(),
            finest: vec![None; span * span / IN_FINEST],
        };
        for row in (0..span).step_by(side) {
            for column in (0..span).step_by(side) {
                table.add(levels - 1, column, row, &height);
            }
        }
        table
    }

    fn place(&self, column: usize, row: usize) -> usize {
        row / SIDES[0] * (self.span / SIDES[0]) + column / SIDES[0]
    }

    /// The finest block that holds an offset, or `other` if none does.
    #[inline(always)]
    pub(super) fn finest_at(&self, column: u32, row: u32, other: u32) -> u32 {
        self.finest[self.place(column as usize, row as usize)].unwrap_or(other)
    }

    /// Adds the block at a place and all within it; says whether any of it is in the cutter.
    fn add(
        &mut self,
        level: usize,
        column: usize,
        row: usize,
        height: &dyn Fn(usize, usize) -> f32,
    ) -> bool {
        let side = SIDES[level];
        let places = |step: usize| {
            (0..side * side / (step * step)).map(move |k| {
                let across = side / step;
                (column + k % across * step, row + k / across * step)
            })
        };
        let low = places(1).map(|(c, r)| height(c, r)).fold(f32::INFINITY, f32::min);
        if low == f32::INFINITY {
            return false;
        }
        let (first, after) = if level == 0 {
            let mut heights = [f32::INFINITY; IN_FINEST];
            heights.iter_mut().zip(places(1)).for_each(|(h, (c, r))| *h = height(c, r));
            self.heights.push(heights);
            let place = self.place(column, row);
            self.finest[place] = Some(self.blocks[0].len() as u32);
            (self.heights.len() - 1, self.heights.len())
        } else {
            let first = self.blocks[level - 1].len();
            for (column, row) in places(SIDES[level - 1]) {
                self.add(level - 1, column, row, height);
            }
            (first, self.blocks[level - 1].len())
        };
        self.blocks[level].push(Block {
            column: column as u32,
            row: row as u32,
            low,
            first: first as u32,
            after: after as u32,
        });
        true
    }
}
