//! One stroke swept over one tile of the field.

use super::arc::LevelArc;
use super::envelope::{Capsule, Envelope};
use super::form::{Kind, LANES, Lanes};
use super::helix::Helix;
use super::line::{Course, Line};
use super::piece::{Grid, Piece};
use super::removed::{Removed, Tally};
use super::section::Section;
use crate::geometry::point;
use std::ops::Range;

/// Rows of a tile.
pub(super) const TILE_ROWS: usize = 64;

/// Groups of columns of a tile: with 64 rows, 64 KiB of heights.
pub(super) const TILE_GROUPS: usize = 32;

/// Some whole rows of the field, to be cut or only to be looked at.
pub(super) trait Surface {
    fn eight(&self, at: usize) -> Lanes<f32>;
    fn lower(&mut self, at: usize, to: &Lanes<f32>);
}

#[inline(always)]
fn load(cells: &[f32], at: usize) -> Lanes<f32> {
    let mut out = [0.0; LANES];
    out.copy_from_slice(&cells[at..at + LANES]);
    out
}

/// Rows that are cut.
impl Surface for &mut [f32] {
    #[inline(always)]
    fn eight(&self, at: usize) -> Lanes<f32> {
        load(self, at)
    }

    #[inline(always)]
    fn lower(&mut self, at: usize, to: &Lanes<f32>) {
        self[at..at + LANES].copy_from_slice(to);
    }
}

/// Rows that stay as they are.
impl Surface for &[f32] {
    #[inline(always)]
    fn eight(&self, at: usize) -> Lanes<f32> {
        load(self, at)
    }

    #[inline(always)]
    fn lower(&mut self, _at: usize, _to: &Lanes<f32>) {}
}

/// A rectangle of the field.
#[derive(Clone, Debug)]
pub(super) struct Tile {
    pub(super) rows: Range<usize>,
    /// Columns by whole groups of [`LANES`].
    pub(super) groups: Range<usize>,
    /// First row of the surface that is passed along.
    pub(super) base: usize,
    pub(super) stride: usize,
}

/// What is the same for every stroke over a tile.
pub(super) struct Ground<'a> {
    pub(super) section: &'a Section,
    pub(super) grid: &'a Grid,
    pub(super) tile: &'a Tile,
}

/// Lowers a surface by the edges that it is given, and keeps the tally.
struct Cut<'a, S> {
    surface: &'a mut S,
    tally: Tally,
    touched: bool,
}

impl<S: Surface> Cut<'_, S> {
    #[inline(always)]
    fn meet(&mut self, at: usize, edge: &Lanes<f32>, left: &Lanes<f32>) {
        let old = self.surface.eight(at);
        let mut new = old;
        let mut cuts = false;
        for lane in 0..LANES {
            // Adding zero turns minus zero into zero: equal heights have equal bits, and the
            // order of strokes leaves no trace.
            let height = edge[lane] + 0.0;
            let lower = height < old[lane];
            new[lane] = if lower { height } else { old[lane] };
            cuts |= lower;
        }
        if cuts {
            self.tally.count(&old, &new, left);
            self.surface.lower(at, &new);
            self.touched = true;
        }
    }
}

/// Sweeps a stroke, given as its pieces, over a tile. What is left and what is told depend on
/// the stroke, the section and the cells alone. `None` if nothing was cut.
#[inline(always)]
pub(super) fn sweep<'p, K: Kind, S: Surface>(
    mut pieces: impl ExactSizeIterator<Item = &'p Piece>,
    ground: &Ground,
    surface: &mut S,
    lowest: &mut Lowest,
) -> Option<Removed> {
    let mut cut = Cut { surface, tally: Tally::new(), touched: false };
    if pieces.len() == 1 {
        let piece = pieces.next()?;
        cover::<K>(
            piece,
            ground,
            #[inline(always)]
            |at: usize, edge: &Lanes<f32>, left: &Lanes<f32>| cut.meet(at, edge, left),
        );
    } else {
        // Pieces of one stroke overlap. What the stroke takes is counted once, from the lowest
        // of their edges.
        lowest.clear(ground.tile);
        for piece in pieces {
            cover::<K>(
                piece,
                ground,
                #[inline(always)]
                |at: usize, edge: &Lanes<f32>, left: &Lanes<f32>| lowest.take(at, edge, left),
            );
        }
        lowest.each(
            #[inline(always)]
            |at: usize, edge: &Lanes<f32>, left: &Lanes<f32>| cut.meet(at, edge, left),
        );
    }
    let area = ground.grid.cell * ground.grid.cell;
    cut.touched.then(|| cut.tally.total(area))
}

/// The lowest edges of the pieces of one stroke over a tile.
pub(super) struct Lowest {
    stride: usize,
    /// Columns before the tile, in a row of the surface.
    skip: usize,
    rows: Vec<LowestRow>,
}

#[derive(Clone)]
struct LowestRow {
    edge: [Lanes<f32>; TILE_GROUPS],
    left: [Lanes<f32>; TILE_GROUPS],
    /// Groups that are not all plus infinity.
    used: u32,
}

impl Lowest {
    pub(super) fn new() -> Lowest {
        Lowest { stride: 0, skip: 0, rows: Vec::new() }
    }

    fn clear(&mut self, tile: &Tile) {
        (self.stride, self.skip) = (tile.stride, tile.groups.start * LANES);
        let empty = LowestRow {
            edge: [[f32::INFINITY; LANES]; TILE_GROUPS],
            left: [[0.0; LANES]; TILE_GROUPS],
            used: 0,
        };
        self.rows.resize(TILE_ROWS, empty);
        for row in self.rows.iter_mut().filter(|row| row.used != 0) {
            row.edge = [[f32::INFINITY; LANES]; TILE_GROUPS];
            row.used = 0;
        }
    }

    #[inline(always)]
    fn take(&mut self, at: usize, edge: &Lanes<f32>, left: &Lanes<f32>) {
        let group = (at % self.stride - self.skip) / LANES;
        let row = &mut self.rows[at / self.stride];
        row.used |= 1 << group;
        let (least, aside) = (&mut row.edge[group], &mut row.left[group]);
        for lane in 0..LANES {
            let better = edge[lane] < least[lane];
            least[lane] = if better { edge[lane] } else { least[lane] };
            aside[lane] = if better { left[lane] } else { aside[lane] };
        }
    }

    #[inline(always)]
    fn each(&self, mut visit: impl FnMut(usize, &Lanes<f32>, &Lanes<f32>)) {
        for (j, row) in self.rows.iter().enumerate().filter(|(_, row)| row.used != 0) {
            for group in (0..TILE_GROUPS).filter(|group| row.used >> group & 1 != 0) {
                let at = j * self.stride + self.skip + group * LANES;
                visit(at, &row.edge[group], &row.left[group]);
            }
        }
    }
}

/// Gives the edges of a piece over the cells of a tile that it can reach: place, edge, aside.
#[inline(always)]
fn cover<K: Kind>(
    piece: &Piece,
    ground: &Ground,
    meet: impl FnMut(usize, &Lanes<f32>, &Lanes<f32>),
) {
    let (section, cell) = (ground.section, ground.grid.cell);
    let reach = piece.reach(section.radius());
    match piece {
        Piece::Line { a, b } => {
            let course = Course::new(*a, *b);
            if course.is_steep() {
                let line = Line::<f64, K::Fine, false>::new(course, section, cell);
                rows(&line, &reach, ground, meet);
            } else if course.slope == 0.0 {
                let line = Line::<f32, K::Fast, true>::new(course, section, cell);
                rows(&line, &reach, ground, meet);
            } else {
                let line = Line::<f32, K::Fast, false>::new(course, section, cell);
                rows(&line, &reach, ground, meet);
            }
        }
        Piece::Arc(arc) if arc.is_level() => {
            rows(&LevelArc::<K::Fine>::new(arc, section, cell), &reach, ground, meet);
        }
        Piece::Arc(arc) => rows(&Helix::new(arc, section, cell), &reach, ground, meet),
    }
}

#[inline(always)]
fn rows<E: Envelope>(
    envelope: &E,
    reach: &Capsule,
    ground: &Ground,
    mut meet: impl FnMut(usize, &Lanes<f32>, &Lanes<f32>),
) {
    let (grid, tile) = (ground.grid, ground.tile);
    // Short pieces fill their box so well that finding the ends of each row costs more.
    let narrow = (reach.b - reach.a).length() > reach.radius;
    let (low, high) = reach.rows();
    let inverse = 1.0 / grid.cell;
    // A cell more on either side, so that rounding loses none. A float below zero becomes zero,
    // and so does the end of an empty span, minus infinity.
    let before = |c: f64, min: f64| ((c - min) * inverse - 1.0) as usize;
    let after = |c: f64, min: f64| ((c - min) * inverse + 1.0) as usize;
    let origin = (tile.groups.start + TILE_GROUPS / 2) * LANES;
    let x = grid.min.x + (origin as f64 + 0.5) * grid.cell;
    for j in
        before(low, grid.min.y).max(tile.rows.start)..after(high, grid.min.y).min(tile.rows.end)
    {
        let y = grid.min.y + (j as f64 + 0.5) * grid.cell;
        let (x0, x1) = if narrow { reach.span(y) } else { reach.columns() };
        let first = (before(x0, grid.min.x) / LANES).max(tile.groups.start);
        let end = after(x1, grid.min.x).div_ceil(LANES).min(tile.groups.end);
        let row = envelope.row(point(x, y));
        let base = (j - tile.base) * tile.stride;
        for group in first..end {
            let from_origin = (group * LANES) as i32 - origin as i32;
            let (edge, left) = envelope.eight(&row, from_origin);
            meet(base + group * LANES, &edge, &left);
        }
    }
}
