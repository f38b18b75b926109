//! A cutter's section on a grid, and its offsets in blocks within blocks.

use super::CutterEnd;
use super::level::Level;
use super::windows::LANES;

/// Sides of the blocks, cells, from the finest.
pub(super) const SIDES: [usize; 5] = [2, 4, 8, 16, 32];

/// Levels of blocks.
pub(super) const LEVELS: usize = SIDES.len();

/// A node this much beyond the radius is on the rim: rounding put it there.
const RIM: f64 = 1.0 + 1e-9;

/// So few offsets are all tried: looking for those that matter takes longer.
const FEW: usize = 200;

/// One offset: where its height is from the lattice's corner in a tile, and the section there.
#[derive(Clone, Copy, Debug)]
pub(super) struct Offset {
    pub(super) shift: u32,
    /// The section's height, negative: a processor adds what it loads in one instruction, but
    /// can not so subtract from it. Minus infinity outside the cutter.
    pub(super) drop: f32,
}

/// A square of offsets, and the least height of the section in it. It has four blocks of the
/// level below, those from four times its own place on; the finest have four offsets.
#[derive(Clone, Copy, Debug)]
pub(super) struct Block {
    /// Where its first offset is from the lattice's corner, in a tile.
    pub(super) shift: u32,
    /// The least height of the section within it, negative.
    pub(super) drop: f32,
    /// The offset in its middle.
    pub(super) middle: Offset,
}

/// Blocks in a block, and offsets in the finest.
pub(super) const WITHIN: usize = 4;

/// A cutter's section at the nodes of a grid.
///
/// Offsets run over a lattice of `span` by `span` nodes, a whole number of the coarsest blocks,
/// with the axis at node (`half`, `half`).
#[derive(Clone, Debug)]
pub(super) struct SectionTable {
    pub(super) span: usize,
    pub(super) half: usize,
    /// Cells from one row of a tile to the next.
    pub(super) stride: usize,
    /// How many levels are used: the coarsest block is no larger than the cutter needs. None if
    /// all offsets are tried.
    pub(super) levels: usize,
    /// The part of the section that is as low as its tip, if that is more than a node; it is in
    /// no block.
    pub(super) level: Level,
    /// The offset under the axis.
    pub(super) axis: Offset,
    /// Blocks of each level. Some lie beyond the cutter, so that all have as many within.
    pub(super) blocks: [Vec<Block>; LEVELS],
    /// The offsets of each finest block, row by row.
    pub(super) offsets: Vec<Offset>,
}

/// What the blocks are made from.
struct Maker<'a> {
    end: &'a CutterEnd,
    cell: f64,
    table: SectionTable,
}

impl SectionTable {
    /// For tiles of so many columns beside the cutter's own width.
    pub(super) fn new(end: &CutterEnd, cell: f64, columns: usize) -> SectionTable {
        let reach = (end.radius() * RIM / cell).floor() as usize;
        // A block a fifth of the cutter wide still rules out much at once.
        let levels = (1..LEVELS).take_while(|&l| SIDES[l] * 5 <= 2 * reach + 1).count() + 1;
        let side = SIDES[levels - 1];
        let span = (2 * reach + 1).next_multiple_of(side);
        let table = SectionTable {
            span,
            half: span / 2,
            stride: columns + span.next_multiple_of(LANES),
            levels,
            level: Level::default(),
            axis: Offset { shift: 0, drop: 0.0 },
            blocks: Default::default(),
            offsets: Vec::new(),
        };
        let mut maker = Maker { end, cell, table };
        maker.table.axis = maker.offset(span / 2, span / 2);
        let all = || (0..span * span).map(|k| maker.offset(k % span, k / span).drop);
        if all().filter(|&drop| drop > f32::NEG_INFINITY).count() > FEW {
            let level = Level::of(span, |column, row| maker.offset(column, row).drop == 0.0);
            if level.count() > 1 {
                maker.table.level = level;
            }
        }
        for row in (0..span).step_by(side) {
            for column in (0..span).step_by(side) {
                if maker.least(levels - 1, column, row) > f32::NEG_INFINITY {
                    maker.add(levels - 1, column, row);
                }
            }
        }
        let mut table = maker.table;
        let inside = |offset: &&Offset| offset.drop > f32::NEG_INFINITY;
        if table.offsets.iter().filter(inside).count() <= FEW {
            table.offsets.retain(|offset| inside(&offset));
            table.levels = 0;
        }
        table
    }
}

impl Maker<'_> {
    fn offset(&self, column: usize, row: usize) -> Offset {
        let from = |k: usize| (k as f64 - self.table.half as f64) * self.cell;
        let r = from(column).hypot(from(row));
        let radius = self.end.radius();
        let r = if r <= radius * RIM { r.min(radius) } else { r };
        let drop = self.end.height(r).map_or(f32::NEG_INFINITY, |h| -h as f32);
        // Known without being searched.
        let drop =
            if drop == 0.0 && !self.table.level.is_empty() { f32::NEG_INFINITY } else { drop };
        Offset { shift: (row * self.table.stride + column) as u32, drop }
    }

    /// The least height of the section in a block, negative; minus infinity beyond the cutter.
    fn least(&self, level: usize, column: usize, row: usize) -> f32 {
        let side = SIDES[level];
        let all = (0..side * side).map(|k| self.offset(column + k % side, row + k / side).drop);
        all.fold(f32::NEG_INFINITY, f32::max)
    }

    /// Adds the block at a place and all within it.
    fn add(&mut self, level: usize, column: usize, row: usize) {
        let half = SIDES[level] / 2;
        for (down, across) in [(0, 0), (0, half), (half, 0), (half, half)] {
            if level == 0 {
                let offset = self.offset(column + across, row + down);
                self.table.offsets.push(offset);
            } else {
                self.add(level - 1, column + across, row + down);
            }
        }
        let block = Block {
            shift: (row * self.table.stride + column) as u32,
            drop: self.least(level, column, row),
            middle: self.offset(column + half, row + half),
        };
        self.table.blocks[level].push(block);
    }
}
