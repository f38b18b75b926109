//! One stroke swept over one tile of the field.

use super::arc::LevelArc;
use super::envelope::{Edges, Envelope};
use super::form::{End, Kind, LANES, Lanes};
use super::glance::{self, Desk};
use super::helix::Helix;
use super::line::{Course, Line};
use super::piece::{Grid, Piece};
use super::real::Real;
use super::removed::{Change, Removed, Tally};
use super::section::Section;
use super::window::{Cells, Window};
use std::ops::Range;

/// Rows of a tile.
pub(super) const TILE_ROWS: usize = 128;

/// Groups of columns of a tile: with 128 rows, 128 KiB of heights.
pub(super) const TILE_GROUPS: usize = 16;

/// Rows of cells, to be cut or only to be looked at.
pub(super) trait Surface {
    fn group(&self, at: usize) -> Lanes<f32>;
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
    fn group(&self, at: usize) -> Lanes<f32> {
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
    fn group(&self, at: usize) -> Lanes<f32> {
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
    /// Where its first cell is in the surface that is passed along.
    pub(super) first: usize,
    pub(super) stride: usize,
}

impl Tile {
    /// Where its row `j` begins in the surface.
    pub(super) fn at(&self, j: usize) -> usize {
        self.first + j * self.stride
    }

    /// The same tile by itself, and its cells, taken from a surface.
    pub(super) fn taken(&self, surface: &[f32]) -> (Tile, Vec<f32>) {
        /// Rows a power of two apart would get into each other's way in the cache.
        const APART: usize = LANES;
        let width = self.groups.len() * LANES;
        let stride = width + APART;
        let mut cells = vec![f32::NEG_INFINITY; stride * self.rows.len()];
        for (j, row) in cells.chunks_mut(stride).enumerate() {
            row[..width].copy_from_slice(&surface[self.at(j)..][..width]);
        }
        (Tile { first: 0, stride, ..self.clone() }, cells)
    }
}

/// What is the same for every stroke over a tile.
pub(super) struct Ground<'a> {
    pub(super) section: &'a Section,
    pub(super) grid: &'a Grid,
    pub(super) tile: &'a Tile,
}

/// Lowers a surface by the edges that it is given, and keeps the tally.
///
/// Whether a group is cut is known only at the end of a long sum, and is not to be foretold: a
/// branch on it would leave the processor waiting. So groups are noted without one, and those
/// that are cut are worked off some rows later. A group is met once in a stroke.
pub(super) struct Cut<'a, S> {
    pub(super) surface: &'a mut S,
    pub(super) done: Done,
    noted: [Noted; NOTED],
    count: usize,
    pub(super) desk: Desk,
}

/// Groups noted before they are worked off: some more than a row of a tile.
const NOTED: usize = 2 * TILE_GROUPS;

/// A group that is cut: where, how low, and how far left of the travel.
#[derive(Clone, Copy)]
struct Noted {
    at: usize,
    edges: Edges,
}

impl<'a, S: Surface> Cut<'a, S> {
    #[inline(always)]
    fn new(surface: &'a mut S) -> Self {
        let noted = [Noted { at: 0, edges: Edges::NONE }; NOTED];
        Cut { surface, done: Done::NOTHING, noted, count: 0, desk: Desk::CLEAR }
    }

    #[inline(always)]
    fn restart(&mut self) {
        self.done = Done::NOTHING;
    }
}

impl<S: Surface> Meet for Cut<'_, S> {
    #[inline(always)]
    fn meet(&mut self, at: usize, edges: &Edges) {
        let cuts = edges.cut(&self.surface.group(at));
        self.noted[self.count % NOTED] = Noted { at, edges: *edges };
        self.count += usize::from(cuts);
    }

    #[inline(always)]
    fn end_of_row(&mut self) {
        if self.count > NOTED - TILE_GROUPS {
            self.work_off();
        }
    }

    #[inline(always)]
    fn ball<E: End<f32>, const LEVEL: bool>(
        &mut self,
        line: &Line<f32, E, LEVEL>,
        window: &Window,
    ) {
        glance::ball(line, window, self);
    }
}

impl<S: Surface> Cut<'_, S> {
    #[inline(always)]
    fn work_off(&mut self) {
        let Cut { surface, done, noted, count, .. } = self;
        done.take(
            *surface,
            (*count).min(NOTED),
            #[inline(always)]
            |k| (noted[k].at, noted[k].edges.signless()),
        );
        *count = 0;
    }
}

/// What a stroke has done so far.
pub(super) struct Done {
    tally: Tally,
    touched: bool,
}

impl Done {
    const NOTHING: Done = Done { tally: Tally::EMPTY, touched: false };

    /// Cuts some groups; few enough for a sum in `f32`.
    #[inline(always)]
    pub(super) fn take<S: Surface>(
        &mut self,
        surface: &mut S,
        count: usize,
        group: impl Fn(usize) -> (usize, Edges),
    ) {
        self.touched |= count > 0;
        self.tally.count(
            count,
            #[inline(always)]
            |k| {
                let (at, edges) = group(k);
                let (old, Edges { height: edge, left }) = (surface.group(at), edges);
                let mut new = edge;
                for lane in 0..LANES {
                    new[lane] = edge[lane].least(old[lane]);
                }
                surface.lower(at, &new);
                Change { old, edge, left }
            },
        );
    }
}

/// What takes the edges of a piece, group by group and row by row.
trait Meet: Sized {
    fn meet(&mut self, at: usize, edges: &Edges);
    fn end_of_row(&mut self);

    /// The whole line of a ball.
    #[inline(always)]
    fn ball<E: End<f32>, const LEVEL: bool>(
        &mut self,
        line: &Line<f32, E, LEVEL>,
        window: &Window,
    ) {
        rows(line, window, self);
    }
}

/// A tile being swept by one stroke after another.
pub(super) struct Sweep<'a, S> {
    ground: Ground<'a>,
    cut: Cut<'a, S>,
    lowest: Lowest,
}

impl<'a, S: Surface> Sweep<'a, S> {
    #[inline(always)]
    pub(super) fn new(ground: Ground<'a>, surface: &'a mut S) -> Self {
        Sweep { ground, cut: Cut::new(surface), lowest: Lowest::new() }
    }

    /// Sweeps a stroke, given as its pieces. What is left and what is told depend on the
    /// stroke, the section and the cells alone. `None` if nothing was cut.
    #[inline(always)]
    pub(super) fn stroke<'p, K: Kind>(
        &mut self,
        mut pieces: impl ExactSizeIterator<Item = (&'p Piece, &'p Cells)>,
    ) -> Option<Removed> {
        self.cut.restart();
        if pieces.len() == 1 {
            let (piece, cells) = pieces.next()?;
            cover::<K>(piece, cells, &self.ground, &mut self.cut);
        } else {
            // Pieces of one stroke overlap. What the stroke takes is counted once, from the
            // lowest of their edges.
            self.lowest.clear(self.ground.tile);
            for (piece, cells) in pieces {
                cover::<K>(piece, cells, &self.ground, &mut self.lowest);
            }
            self.lowest.each(&mut self.cut);
        }
        if self.cut.count > 0 {
            self.cut.work_off();
        }
        let area = self.ground.grid.cell * self.ground.grid.cell;
        self.cut.done.touched.then(|| self.cut.done.tally.total(area))
    }
}

/// The lowest edges of the pieces of one stroke over a tile.
struct Lowest {
    stride: usize,
    /// Where the tile's first cell is in the surface.
    first: usize,
    rows: Vec<LowestRow>,
}

/// The edges over one row of a tile.
#[derive(Clone)]
struct LowestRow {
    edge: [f32; TILE_GROUPS * LANES],
    left: [f32; TILE_GROUPS * LANES],
    /// Whole groups that are not all plus infinity.
    used: u32,
}

impl LowestRow {
    const EMPTY: LowestRow = LowestRow {
        edge: [f32::INFINITY; TILE_GROUPS * LANES],
        left: [0.0; TILE_GROUPS * LANES],
        used: 0,
    };
}

impl Lowest {
    fn new() -> Lowest {
        Lowest { stride: 0, first: 0, rows: Vec::new() }
    }

    fn clear(&mut self, tile: &Tile) {
        (self.stride, self.first) = (tile.stride, tile.first);
        self.rows.resize(TILE_ROWS, LowestRow::EMPTY);
        for row in self.rows.iter_mut().filter(|row| row.used != 0) {
            *row = LowestRow::EMPTY;
        }
    }

    #[inline(always)]
    fn each(&self, to: &mut impl Meet) {
        for (j, row) in self.rows.iter().enumerate().filter(|(_, row)| row.used != 0) {
            for group in (0..TILE_GROUPS).filter(|group| row.used >> group & 1 != 0) {
                let column = group * LANES;
                let (height, left) = (load(&row.edge, column), load(&row.left, column));
                to.meet(self.first + j * self.stride + column, &Edges { height, left });
            }
            to.end_of_row();
        }
    }
}

impl Meet for Lowest {
    #[inline(always)]
    fn meet(&mut self, at: usize, edges: &Edges) {
        let Edges { height: edge, left } = *edges;
        let (row, column) = ((at - self.first) / self.stride, (at - self.first) % self.stride);
        let row = &mut self.rows[row];
        row.used |= 1 << (column / LANES) | 1 << column.div_ceil(LANES);
        for lane in 0..LANES {
            let (least, aside) = (&mut row.edge[column + lane], &mut row.left[column + lane]);
            let better = edge[lane] < *least;
            *least = if better { edge[lane] } else { *least };
            *aside = if better { left[lane] } else { *aside };
        }
    }

    #[inline(always)]
    fn end_of_row(&mut self) {}
}

/// Gives the edges of a piece over the cells of a tile that it can reach: place, edge, aside.
#[inline(always)]
fn cover<K: Kind>(piece: &Piece, cells: &Cells, ground: &Ground, meet: &mut impl Meet) {
    let (section, cell) = (ground.section, ground.grid.cell);
    let reach = piece.reach(section.radius());
    let window = Window::of(cells, &reach, ground);
    match piece {
        Piece::Line { a, b } => {
            let course = Course::new(*a, *b);
            if course.is_steep() {
                rows(&Line::<f64, K::Fine, false>::new(course, section, cell), &window, meet);
            } else if course.slope == 0.0 {
                quick(&Line::<f32, K::Fast, true>::new(course, section, cell), &window, meet);
            } else {
                quick(&Line::<f32, K::Fast, false>::new(course, section, cell), &window, meet);
            }
        }
        Piece::Arc(arc) if arc.is_level() => {
            rows(&LevelArc::<K::Fine>::new(arc, section, cell), &window, meet);
        }
        Piece::Arc(arc) => {
            rows(&Helix::new(arc, section, cell), &window, meet);
        }
    }
}

#[inline(always)]
fn quick<E: End<f32>, const LEVEL: bool>(
    line: &Line<f32, E, LEVEL>,
    window: &Window,
    meet: &mut impl Meet,
) {
    if E::ROUND { meet.ball(line, window) } else { rows(line, window, meet) }
}

#[inline(always)]
fn rows<E: Envelope>(envelope: &E, window: &Window, meet: &mut impl Meet) {
    for j in window.rows.clone() {
        let (first, count) = window.row(j);
        let row = envelope.row(window.middle(j));
        for group in 0..count {
            let (at, column) = window.place(j, first + group * LANES);
            meet.meet(at, &envelope.group(&row, column));
        }
        meet.end_of_row();
    }
}
