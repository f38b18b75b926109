//! Which cells of a tile a piece of a stroke can reach.

use super::envelope::Capsule;
use super::form::LANES;
use super::piece::Grid;
use super::tile::{Ground, TILE_GROUPS, TILE_ROWS};
use crate::geometry::{Point, point};
use std::ops::Range;

/// The cells of a field that a piece can reach, and may be some beyond its last.
#[derive(Clone, Copy)]
pub(super) struct Cells {
    /// First and after the last.
    columns: (u32, u32),
    rows: (u32, u32),
}

impl Cells {
    #[inline(always)]
    pub(super) fn of(reach: &Capsule, grid: &Grid) -> Cells {
        let ends = |(low, high): (f64, f64), min: f64| {
            let (first, after) = (before(low, min, grid), after(high, min, grid));
            (first as u32, after.max(first) as u32)
        };
        let (columns, rows) = (reach.columns(), reach.rows());
        Cells { columns: ends(columns, grid.min.x), rows: ends(rows, grid.min.y) }
    }

    /// Columns and rows of tiles, of so many across and down, that hold them.
    #[inline(always)]
    pub(super) fn tiles(&self, across: usize, down: usize) -> (Range<usize>, Range<usize>) {
        let tiles = |(first, after): (u32, u32), size: usize, count: usize| {
            let after = (after as usize).div_ceil(size).min(count);
            (first as usize / size).min(after)..after
        };
        (tiles(self.columns, TILE_GROUPS * LANES, across), tiles(self.rows, TILE_ROWS, down))
    }
}

/// The cells of a tile that a piece can reach.
pub(super) struct Window<'a> {
    reach: &'a Capsule,
    ground: &'a Ground<'a>,
    /// Rows of the field.
    pub(super) rows: Range<usize>,
    /// The first column and the count of groups of every row, or of the widest.
    pub(super) whole: (usize, usize),
    /// Whether rows are much shorter than the box.
    narrow: bool,
}

/// Room for rounding in where a row starts and ends, cells.
const ROOM: f64 = 1e-3;

impl<'a> Window<'a> {
    /// `cells` may be fewer than are in `reach`, if the others need not be looked at.
    #[inline(always)]
    pub(super) fn of(cells: &Cells, reach: &'a Capsule, ground: &'a Ground<'a>) -> Window<'a> {
        let rows = &ground.tile.rows;
        let first = (cells.rows.0 as usize).max(rows.start);
        let end = (cells.rows.1 as usize).min(rows.end).max(first);
        let mut window = Window { reach, ground, rows: first..end, whole: (0, 0), narrow: false };
        // A row's ends are costly to wait for and its count of groups is not to be foretold: short
        // pieces, which fill their box well, take the whole box.
        window.whole = window.groups(cells.columns.0 as usize, cells.columns.1 as usize);
        window.narrow = reach.is_long();
        window
    }

    /// First column and count of groups. Groups start where the row does, and where need be
    /// earlier, so as to end in the tile.
    #[inline(always)]
    fn groups(&self, first: usize, after: usize) -> (usize, usize) {
        let tile = self.ground.tile;
        let (start, width) = (tile.groups.start * LANES, tile.groups.len() * LANES);
        let first = first.max(start);
        let count = after.saturating_sub(first).div_ceil(LANES).min(width / LANES);
        (first.min(start + width - count * LANES), count)
    }

    /// The column from which others are counted, in the middle of the tile.
    #[inline(always)]
    fn origin(&self) -> usize {
        (self.ground.tile.groups.start + TILE_GROUPS / 2) * LANES
    }

    /// Rows of the groups at a column: all, or those that the piece can reach there.
    #[inline(always)]
    pub(super) fn rows_at(&self, column: usize) -> Range<usize> {
        if !self.narrow {
            return self.rows.clone();
        }
        let grid = self.ground.grid;
        let x = grid.min.x + (column as f64 + 0.5 - ROOM) * grid.cell;
        let (low, high) = self.reach.rows_between(x, x + LANES as f64 * grid.cell);
        let first = before(low, grid.min.y, grid).max(self.rows.start);
        first..after(high, grid.min.y, grid).clamp(first, self.rows.end.max(first))
    }

    /// From row to row, millimetres.
    #[inline(always)]
    pub(super) fn step(&self) -> f64 {
        self.ground.grid.cell
    }

    /// From row to row in the surface.
    #[inline(always)]
    pub(super) fn stride(&self) -> usize {
        self.ground.tile.stride
    }

    /// The middle of the cell in a row and the column of [`Window::origin`].
    #[inline(always)]
    pub(super) fn middle(&self, row: usize) -> Point {
        let grid = self.ground.grid;
        let at = |min: f64, k: usize| min + (k as f64 + 0.5) * grid.cell;
        point(at(grid.min.x, self.origin()), at(grid.min.y, row))
    }

    /// First column and count of groups of a row.
    #[inline(always)]
    pub(super) fn row(&self, row: usize) -> (usize, usize) {
        if !self.narrow {
            return self.whole;
        }
        let (grid, (x0, x1)) = (self.ground.grid, self.reach.span(self.middle(row).y));
        self.groups(before(x0, grid.min.x, grid), after(x1, grid.min.x, grid))
    }

    /// Where a cell is in the surface, and its column from the origin.
    #[inline(always)]
    pub(super) fn place(&self, row: usize, column: usize) -> (usize, i32) {
        let tile = self.ground.tile;
        let at = tile.at(row - tile.rows.start) + column - tile.groups.start * LANES;
        (at, column as i32 - self.origin() as i32)
    }
}

/// The first middle of a cell not before `c`, with room for rounding. A float below zero becomes
/// zero, and so does the end of an empty span.
#[inline(always)]
fn before(c: f64, min: f64, grid: &Grid) -> usize {
    ((c - min) * (1.0 / grid.cell) + (0.5 - ROOM)) as usize
}

/// The one after the last not beyond `c`.
#[inline(always)]
fn after(c: f64, min: f64, grid: &Grid) -> usize {
    ((c - min) * (1.0 / grid.cell) + (0.5 + ROOM)) as usize
}
