//! The stock over time, for a picture that can be scrubbed: which cells each stretch of time cut,
//! how low, by which cutter, under how much load.

use super::removal::{Removed, Section, Stock};
use crate::geometry::{Box3, HeightField, Point, Stroke, point};
use crate::ngc::{Event, What};
use crate::shop::{Cutter, CutterShape};

/// Most cells of the field: what a tablet turns about smoothly.
const MOST_CELLS: f64 = 300_000.0;

/// Finest cell, mm: smaller than this nothing is seen.
const FINEST: f64 = 0.2;

/// Room round the stock, mm.
const MARGIN: f64 = 4.0;

/// Depth of spoilboard shown under the stock, mm.
const SPOILBOARD: f64 = 3.0;

/// The load that is shown as a whole: a full pass is 100, and more is shown up to this.
const MOST_LOAD: f64 = 250.0;

/// A cell that a stretch of time changed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Change {
    /// Row by row from the least y.
    pub cell: u32,
    /// Its height afterwards, work coordinates, mm.
    pub height: f32,
    /// The cutter: its place in [`Film::cutters`].
    pub cutter: u8,
    /// The section taken on average over that time, in hundredths of a full pass.
    pub load: u8,
}

/// The stock over time.
#[derive(Clone, Debug)]
pub struct Film {
    /// The field's corner of least x and y.
    pub min: Point,
    /// Width of a cell.
    pub cell: f64,
    /// Cells along x.
    pub columns: usize,
    /// Cells along y.
    pub rows: usize,
    /// The stock.
    pub stock: Box3,
    /// The lowest height that is shown.
    pub floor: f64,
    /// Numbers of the cutters, in the order of their first use.
    pub cutters: Vec<u32>,
    /// What was cut before: cells and their heights, by cell.
    pub start: Vec<(u32, f32)>,
    /// What each stretch of time changed; stretches are equally long.
    pub frames: Vec<Vec<Change>>,
    /// For each event the section it took on average, in hundredths of a full pass.
    pub loads: Vec<u8>,
}

/// What a film is made from.
#[derive(Clone, Copy, Debug)]
pub struct Scene<'a> {
    /// The program.
    pub events: &'a [Event],
    /// Seconds of each event.
    pub seconds: &'a [f64],
    /// The stock; without it the box of what is cut, its top at zero.
    pub stock: Option<Box3>,
    /// What earlier programs have left of the stock, and of its underside, as in
    /// [`super::Setup`].
    pub before: Option<&'a HeightField>,
    /// See `before`.
    pub below: Option<&'a HeightField>,
    /// The shop's cutters.
    pub cutters: &'a [Cutter],
    /// The depth of a full pass of each, where it is known: number and mm.
    pub stepdowns: &'a [(u32, f64)],
    /// The cutter in the spindle at the start.
    pub first: Option<u32>,
    /// How many stretches of time.
    pub frames: usize,
}

impl Scene<'_> {
    /// The film; `None` if nothing is cut at a known place.
    #[must_use]
    pub fn film(&self) -> Option<Film> {
        let stock = self.stock.or_else(|| self.guessed())?;
        let floor = stock.min.z - SPOILBOARD;
        let low = stock.min.xy() - point(MARGIN, MARGIN);
        let size = stock.size().xy() + point(2.0 * MARGIN, 2.0 * MARGIN);
        let cell = (size.x * size.y / MOST_CELLS).sqrt().max(FINEST);
        let mut field = HeightField::new(low, size, cell, stock.min.z).ok()?;
        field.raise(stock.min.xy(), stock.max.xy(), stock.max.z);
        let start = self.cut_before(&stock, &mut field);
        let mut film = Film {
            min: low,
            cell,
            columns: field.columns(),
            rows: field.rows(),
            stock,
            floor,
            cutters: Vec::new(),
            start,
            frames: Vec::new(),
            loads: vec![0; self.events.len()],
        };
        let mut before: Vec<f32> = rows(&field);
        let mut solid = Stock::new(field);
        let whole: f64 = self.seconds.iter().sum();
        let (mut at, mut gone, mut cutter) = (0, 0.0, self.first);
        for frame in 1..=self.frames {
            let until = whole * frame as f64 / self.frames as f64;
            let from = at;
            // The last stretch takes what rounding left over.
            while at < self.events.len() && (frame == self.frames || gone < until) {
                gone += self.seconds.get(at).copied().unwrap_or(0.0);
                at += 1;
            }
            let changes = self.stretch(from..at, &mut cutter, &mut solid, &mut before, &mut film);
            film.frames.push(sorted(changes));
        }
        Some(film)
    }

    /// Takes away what was cut before, and says which cells are lower for it.
    fn cut_before(&self, stock: &Box3, field: &mut HeightField) -> Vec<(u32, f32)> {
        let mut start = Vec::new();
        if self.before.is_none() && self.below.is_none() {
            return start;
        }
        // Cut through from the other face: the table is seen.
        let open =
            |p| self.below.and_then(|f| f.at(p)).is_some_and(|u| f64::from(u) >= stock.max.z);
        let left = |p| match open(p) {
            true => Some(stock.min.z as f32),
            false => self.before.and_then(|f| f.at(p)),
        };
        for j in 0..field.rows() {
            let mut heights = field.row(j).to_vec();
            for (i, height) in heights.iter_mut().enumerate() {
                if let Some(new) = left(field.middle(i, j)).filter(|new| *new < *height) {
                    *height = new;
                    // A field of at most some 300,000 cells.
                    start.push(((j * field.columns() + i) as u32, new));
                }
            }
            field.set_row(j, &heights);
        }
        start
    }

    /// Cuts what happens in a stretch of events, and says which cells changed.
    fn stretch(
        &self,
        events: std::ops::Range<usize>,
        cutter: &mut Option<u32>,
        solid: &mut Stock,
        before: &mut [f32],
        film: &mut Film,
    ) -> Vec<Change> {
        let mut changes = Vec::new();
        let mut batch: Vec<(usize, Stroke)> = Vec::new();
        for i in events {
            match &self.events[i].what {
                What::CutterChange { cutter: next } => {
                    self.cut(&mut batch, *cutter, solid, before, film, &mut changes);
                    *cutter = Some(*next);
                }
                What::Motion(m) if !m.machine && m.known.iter().all(|k| *k) => {
                    batch.push((i, m.stroke));
                }
                _ => {}
            }
        }
        self.cut(&mut batch, *cutter, solid, before, film, &mut changes);
        changes
    }

    fn cut(
        &self,
        batch: &mut Vec<(usize, Stroke)>,
        number: Option<u32>,
        solid: &mut Stock,
        before: &mut [f32],
        film: &mut Film,
        changes: &mut Vec<Change>,
    ) {
        let batch = std::mem::take(batch);
        let Some(cutter) = self.cutters.iter().find(|c| Some(c.number) == number) else { return };
        let Ok(section) = Section::of(cutter) else { return };
        let strokes: Vec<Stroke> = batch.iter().map(|(_, stroke)| *stroke).collect();
        let Ok(taken) = solid.remove_all(&strokes, &section) else { return };
        let full = self.full_pass(cutter);
        let load = |volume: f64, length: f64| -> u8 {
            match full {
                // Between 0 and 250.
                Some(full) if length > 0.0 => {
                    (100.0 * volume / length / full).clamp(0.0, MOST_LOAD).round() as u8
                }
                _ => 0,
            }
        };
        for ((event, stroke), taken) in batch.iter().zip(&taken) {
            film.loads[*event] = load(taken.volume, stroke.length());
        }
        let cutting = || strokes.iter().zip(&taken).filter(|(_, t)| t.touched());
        let volume: f64 = cutting().map(|(_, t): (_, &Removed)| t.volume).sum();
        let length: f64 = cutting().map(|(s, _)| s.length()).sum();
        let slot = slot(&mut film.cutters, cutter.number);
        let load = load(volume, length);
        let field = solid.field();
        for j in 0..film.rows {
            let old = &mut before[j * film.columns..(j + 1) * film.columns];
            for (i, (new, old)) in field.row(j).iter().zip(old).enumerate() {
                if *new < *old {
                    *old = *new;
                    // A field of at most some 300,000 cells.
                    let cell = (j * film.columns + i) as u32;
                    changes.push(Change { cell, height: *new, cutter: slot, load });
                }
            }
        }
    }

    /// The section of a full pass, mm².
    fn full_pass(&self, cutter: &Cutter) -> Option<f64> {
        let known = self.stepdowns.iter().find(|(number, _)| *number == cutter.number);
        let depth = known.map(|(_, depth)| *depth)?;
        (cutter.shape != CutterShape::Drill).then(|| cutter.groove_section(depth))
    }

    /// The box of what is fed, its top at zero, where no stock is known.
    fn guessed(&self) -> Option<Box3> {
        let mut space = Box3::EMPTY;
        for event in self.events {
            if let What::Motion(m) = &event.what
                && m.feed.is_some()
                && !m.machine
                && m.known.iter().all(|k| *k)
            {
                space = space.union(m.stroke.bounds());
            }
        }
        let wide = self.cutters.iter().map(Cutter::radius).fold(0.0, f64::max);
        let sound = !space.is_empty() && space.size().length().is_finite() && space.min.z < 0.0;
        sound.then(|| Box3 {
            min: space.min - point(wide, wide).at(0.0),
            max: point(space.max.x + wide, space.max.y + wide).at(0.0),
        })
    }
}

/// By cell, the last change of each.
fn sorted(mut changes: Vec<Change>) -> Vec<Change> {
    // A stable sort: of one cell the later change comes later, and is lower.
    changes.sort_by_key(|change| change.cell);
    changes.reverse();
    changes.dedup_by_key(|change| change.cell);
    changes.reverse();
    changes
}

fn slot(cutters: &mut Vec<u32>, number: u32) -> u8 {
    let at = cutters.iter().position(|c| *c == number).unwrap_or_else(|| {
        cutters.push(number);
        cutters.len() - 1
    });
    u8::try_from(at).unwrap_or(u8::MAX)
}

fn rows(field: &HeightField) -> Vec<f32> {
    (0..field.rows()).flat_map(|j| field.row(j).iter().copied()).collect()
}
