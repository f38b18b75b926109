//! Many strokes at once: sorted to tiles that fit the cache, cut side by side.
//!
//! Tiles are the same whatever the number of threads, each is cut in the order of the strokes,
//! and what a stroke takes is summed in the order of the tiles. So the bytes are the same too.

use super::ROUNDING;
use super::form::{BallKind, BullKind, ConeKind, FlatKind, Kind, LANES, TaperBallKind};
use super::piece::{Grid, Piece, pieces};
use super::removed::Removed;
use super::section::{Form, Section};
use super::tile::{Ground, Surface, Sweep, TILE_GROUPS, TILE_ROWS, Tile};
use super::window::Cells;
use crate::geometry::{HeightField, Point3, Stroke};
use rayon::prelude::*;
use std::ops::Range;

/// Strokes sorted at a time, so that memory stays bounded.
pub(super) const BATCH: usize = 131_072;

/// Fewer entries than this are not worth a second thread.
const WORTH_SHARING: usize = 64;

/// Tiles cut before what is left is put back, so that memory stays bounded.
const AT_ONCE: usize = 64;

/// Pieces that may cut a tile before its peak is looked up anew.
const PEAK_AGE: u32 = 64;

/// The tiles of a field, with an upper bound of the heights in each.
#[derive(Clone, Debug)]
pub(super) struct Tiles {
    across: usize,
    down: usize,
    peaks: Vec<Peak>,
}

/// An upper bound of the heights in a tile, and how many pieces went over it since.
#[derive(Clone, Copy, Debug)]
struct Peak {
    height: f32,
    age: u32,
}

/// What the cutter did before the first of some strokes.
#[derive(Clone, Copy)]
enum Before {
    /// It cut up to here, and cuts each stroke after the one before.
    At(Point3),
    /// Nothing, but it cuts each stroke after the one before.
    Nothing,
    /// Each stroke is looked at alone.
    Each,
}

/// A tile by itself: its rows lie close together, so that few pages of memory hold them.
struct Patch {
    tile: Tile,
    cells: Vec<f32>,
    peak: Peak,
    /// What each stroke took.
    found: Vec<(u32, Removed)>,
}

impl Patch {
    /// Writes the cells over those of the whole field, where the tile is `there`.
    fn put_back(&self, field: &mut [f32], there: &Tile) {
        let width = there.groups.len() * LANES;
        for (j, row) in self.cells.chunks(self.tile.stride).enumerate() {
            let at = there.at(j);
            field[at..at + width].copy_from_slice(&row[..width]);
        }
    }
}

/// One piece of a stroke.
struct Part {
    stroke: u32,
    piece: Piece,
    /// Those that it may lower.
    cells: Cells,
}

/// The parts for one tile, in the order of the strokes.
struct Bin {
    tile: usize,
    entries: Range<usize>,
}

/// Strokes sorted to tiles.
struct Sorted {
    parts: Vec<Part>,
    entries: Vec<u32>,
    bins: Vec<Bin>,
}

impl Tiles {
    pub(super) fn of(field: &HeightField) -> Tiles {
        let across = field.stride().div_ceil(TILE_GROUPS * LANES);
        let down = field.rows().div_ceil(TILE_ROWS);
        let mut tiles = Tiles { across, down, peaks: Vec::new() };
        let fresh = |tile: usize| {
            let cells = field.raw();
            let shape = tiles.shape(tile, field);
            Peak { height: highest(cells, &shape), age: 0 }
        };
        tiles.peaks = (0..across * down).map(fresh).collect();
        tiles
    }

    fn shape(&self, tile: usize, field: &HeightField) -> Tile {
        shape(tile, self.across, field.rows(), field.stride())
    }

    /// `before` is where the same cutter has just cut, if the strokes are cut one after the
    /// other.
    fn sort(&self, strokes: &[Stroke], section: &Section, grid: &Grid, before: Before) -> Sorted {
        let radius = section.radius();
        let mut parts = Vec::with_capacity(strokes.len());
        let mut at = before;
        for (stroke, course) in strokes.iter().enumerate() {
            let stroke = stroke as u32;
            let follows = matches!(at, Before::At(at) if at == course.from);
            pieces(course, radius, grid, |piece| {
                let mut reach = piece.reach(radius);
                if follows && course.arc.is_none() {
                    reach.ahead = piece.ahead(section);
                }
                parts.push(Part { stroke, piece, cells: Cells::of(&reach, grid) });
            });
            if !matches!(at, Before::Each) {
                at = Before::At(course.to);
            }
        }
        let tiles = |part: &Part| part.cells.tiles(self.across, self.down);
        let spans: Vec<_> = parts.iter().map(tiles).collect();
        let each = |visit: &mut dyn FnMut(u32, usize)| {
            for (part, (columns, rows)) in spans.iter().enumerate() {
                for row in rows.clone() {
                    for column in columns.clone() {
                        visit(part as u32, row * self.across + column);
                    }
                }
            }
        };
        let mut starts = vec![0_usize; self.across * self.down + 1];
        each(&mut |_, tile| starts[tile + 1] += 1);
        for tile in 0..self.across * self.down {
            starts[tile + 1] += starts[tile];
        }
        let bins = starts
            .windows(2)
            .enumerate()
            .filter(|(_, ends)| ends[0] < ends[1])
            .map(|(tile, ends)| Bin { tile, entries: ends[0]..ends[1] })
            .collect();
        let mut entries = vec![0; starts.last().copied().unwrap_or(0)];
        let mut next = starts;
        each(&mut |part, tile| {
            entries[next[tile]] = part;
            next[tile] += 1;
        });
        Sorted { parts, entries, bins }
    }

    /// Cuts the strokes from the field; `before` is the end of what the same cutter has just
    /// cut.
    pub(super) fn cut(
        &mut self,
        field: &mut HeightField,
        strokes: &[Stroke],
        section: &Section,
        before: Option<Point3>,
        out: &mut [Removed],
    ) {
        let grid = Grid::of(field);
        let before = before.map_or(Before::Nothing, Before::At);
        let sorted = self.sort(strokes, section, &grid, before);
        for bins in sorted.bins.chunks(AT_ONCE) {
            let work = |bin: &Bin| self.patch(field, &sorted, bin, section, &grid);
            let patches: Vec<Patch> = if sorted.entries.len() < WORTH_SHARING {
                bins.iter().map(work).collect()
            } else {
                bins.par_iter().map(work).collect()
            };
            for (bin, patch) in bins.iter().zip(patches) {
                let there = self.shape(bin.tile, field);
                patch.put_back(field.raw_mut(), &there);
                self.peaks[bin.tile] = patch.peak;
                add(patch.found, out);
            }
        }
    }

    /// A tile once its strokes have cut it, apart from the field.
    fn patch(
        &self,
        field: &HeightField,
        sorted: &Sorted,
        bin: &Bin,
        section: &Section,
        grid: &Grid,
    ) -> Patch {
        let (tile, mut cells) = self.shape(bin.tile, field).taken(field.raw());
        let mut found = Vec::new();
        let ground = Ground { section, grid, tile: &tile };
        let Peak { height, age } = self.peaks[bin.tile];
        let mut surface = cells.as_mut_slice();
        let work =
            Work { sorted, bin, ground, surface: &mut surface, peak: height, found: &mut found };
        work.run();
        let age = age + bin.entries.len() as u32;
        let peak = match age >= PEAK_AGE {
            true => Peak { height: highest(&cells, &tile), age: 0 },
            false => Peak { height, age },
        };
        Patch { tile, cells, peak, found }
    }

    /// What the strokes would cut, each from the field as it is.
    pub(super) fn probe(
        &self,
        field: &HeightField,
        strokes: &[Stroke],
        section: &Section,
        out: &mut [Removed],
    ) {
        let grid = Grid::of(field);
        let sorted = self.sort(strokes, section, &grid, Before::Each);
        let look = |bin: &Bin| {
            let tile = self.shape(bin.tile, field);
            let mut surface = field.raw();
            let mut found = Vec::new();
            let ground = Ground { section, grid: &grid, tile: &tile };
            let peak = self.peaks[bin.tile].height;
            let surface = &mut surface;
            Work { sorted: &sorted, bin, ground, surface, peak, found: &mut found }.run();
            found
        };
        let found: Vec<_> = if sorted.entries.len() < WORTH_SHARING {
            sorted.bins.iter().map(look).collect()
        } else {
            sorted.bins.par_iter().map(look).collect()
        };
        found.into_iter().for_each(|found| add(found, out));
    }
}

/// One bin and all that it takes to sweep it.
struct Work<'a, S> {
    sorted: &'a Sorted,
    bin: &'a Bin,
    ground: Ground<'a>,
    surface: &'a mut S,
    peak: f32,
    found: &'a mut Vec<(u32, Removed)>,
}

impl<S: Surface> Work<'_, S> {
    /// Sweeps the strokes of the bin, with the widest arithmetic that the processor has. Every
    /// operation is rounded as IEEE 754 says, so the width leaves no trace.
    fn run(self) {
        match self.ground.section.form {
            Form::Flat { .. } => self.dispatch::<FlatKind>(),
            Form::Ball { .. } => self.dispatch::<BallKind>(),
            Form::Bull { .. } => self.dispatch::<BullKind>(),
            Form::Cone { .. } => self.dispatch::<ConeKind>(),
            Form::TaperBall { .. } => self.dispatch::<TaperBallKind>(),
        }
    }

    fn dispatch<K: Kind>(self) {
        pulp::Arch::new().dispatch(
            #[inline(always)]
            || self.strokes::<K>(),
        );
    }

    #[inline(always)]
    fn strokes<K: Kind>(self) {
        let mut sweep = Sweep::new(self.ground, self.surface);
        let part = |&entry: &u32| &self.sorted.parts[entry as usize];
        let entries = &self.sorted.entries[self.bin.entries.clone()];
        for stroke in entries.chunk_by(|a, b| part(a).stroke == part(b).stroke) {
            // With room for rounding, so that a stroke is passed over only if it cuts nothing.
            let above = f64::from(self.peak) + ROUNDING;
            if stroke.iter().all(|entry| part(entry).piece.lowest() > above) {
                continue;
            }
            let pieces = stroke.iter().map(|entry| (&part(entry).piece, &part(entry).cells));
            if let Some(removed) = sweep.stroke::<K>(pieces) {
                self.found.push((part(&stroke[0]).stroke, removed));
            }
        }
    }
}

/// The place of a tile in a field of `rows` rows.
fn shape(tile: usize, across: usize, rows: usize, stride: usize) -> Tile {
    let (band, column) = (tile / across, tile % across);
    let base = band * TILE_ROWS;
    let groups = column * TILE_GROUPS..((column + 1) * TILE_GROUPS).min(stride / LANES);
    let first = base * stride + groups.start * LANES;
    Tile { rows: base..(base + TILE_ROWS).min(rows), groups, first, stride }
}

/// Greatest height in a tile of a surface.
fn highest(surface: &[f32], tile: &Tile) -> f32 {
    let width = tile.groups.len() * LANES;
    let mut best = [f32::NEG_INFINITY; LANES];
    for j in 0..tile.rows.len() {
        for group in surface[tile.at(j)..][..width].chunks_exact(LANES) {
            for lane in 0..LANES {
                best[lane] = if group[lane] > best[lane] { group[lane] } else { best[lane] };
            }
        }
    }
    best.into_iter().fold(f32::NEG_INFINITY, f32::max)
}

fn add(found: Vec<(u32, Removed)>, out: &mut [Removed]) {
    for (stroke, removed) in found {
        let so_far = &mut out[stroke as usize];
        *so_far = so_far.with(&removed);
    }
}
