//! What is left against what is wanted: gouge and leftover over the whole surface.

use super::body::Body;
use super::by_hand::ByHand;
use super::loose::THINNEST;
use super::removal::Stock;
use super::scene::Scene;
use super::touch::NOISE;
use crate::geometry::{Band, HeightField, Point, Point3, Stroke, point, point3};
use crate::ngc::{self, Source, What};
use rayon::prelude::*;
use schemars::JsonSchema;
use serde::Serialize;

/// The surface that is wanted.
#[derive(Clone, Copy)]
pub struct Wanted<'a> {
    /// What may stand at a place in plan; `None` where anything may.
    pub heights: &'a (dyn Fn(Point) -> Option<Band> + Sync),
    /// In height and, for walls, in plan, mm.
    pub tolerance: f64,
    /// The program is the last for this surface: what is left over then stays.
    pub finished: bool,
    /// Leftover above this, mm, is a caution; less is only told, for corners that no round
    /// cutter reaches.
    pub leftover: f64,
}

impl std::fmt::Debug for Wanted<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Wanted")
            .field("tolerance", &self.tolerance)
            .field("finished", &self.finished)
            .field("leftover", &self.leftover)
            .finish_non_exhaustive()
    }
}

/// The greatest difference of one kind, and where.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub struct Worst {
    /// mm.
    pub depth: f64,
    /// x, y and the height that is left, mm in work coordinates.
    pub at: [f64; 3],
}

/// A picture of the differences, coarse enough to be read at a glance.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub struct Map {
    /// Least x and y, mm.
    pub from: [f64; 2],
    /// Width of a square, mm.
    pub square: f64,
    /// Squares along x.
    pub columns: usize,
    /// Row by row from the least y: the greatest difference in each square, micrometres, negative
    /// for a gouge; `None` where nothing was judged.
    pub micrometres: Vec<Option<i32>>,
}

/// What is left against what is wanted.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub struct Surface {
    /// In height and, for walls, in plan, mm.
    pub tolerance: f64,
    /// Area that was judged, mm2.
    pub area: f64,
    /// Share of it within the tolerance.
    pub within: f64,
    /// The deepest gouge beyond the tolerance.
    pub gouge: Option<Worst>,
    /// The highest leftover beyond the tolerance.
    pub leftover: Option<Worst>,
    /// Where.
    pub map: Map,
}

/// Squares of the map along its longer side.
const SQUARES: f64 = 192.0;

/// Strips along x and y of which each may name its own deepest gouge.
const PLACES: usize = 4;

/// What one row of cells tells.
#[derive(Clone, Default)]
struct Row {
    judged: usize,
    within: usize,
    /// Difference beyond the tolerance and column: gouges are negative.
    off: Vec<(usize, f64)>,
    /// Columns that were judged, as a range per square of the map.
    seen: Vec<bool>,
}

/// The surface, and the places of the deepest gouges, deepest first.
pub(super) fn judge(field: &HeightField, scene: &Scene, wanted: &Wanted) -> (Surface, Vec<Worst>) {
    let top = scene.top;
    let size = point(field.columns() as f64, field.rows() as f64) * field.cell();
    // Whole cells, so that every cell lies in one square.
    let per = (size.x.max(size.y) / SQUARES / field.cell()).ceil().max(1.0) as usize;
    let columns = field.columns().div_ceil(per);
    // What was cut through from the other face is no work of this program.
    let under = scene.setup.below.map(|_| scene.under(f64::NEG_INFINITY));
    let open = |p: Point| under.is_some_and(|under| under.at(p) >= top - THINNEST);
    let row = |j: usize| judge_row(field, j, (top, per, columns), (wanted, &open));
    let rows: Vec<Row> = (0..field.rows()).into_par_iter().map(row).collect();
    let mut map: Vec<Option<i32>> = vec![None; columns * field.rows().div_ceil(per)];
    let mut worst = [[None::<Worst>; PLACES]; PLACES];
    let mut leftover: Option<Worst> = None;
    for (j, row) in rows.iter().enumerate() {
        let base = j / per * columns;
        for (square, _) in row.seen.iter().enumerate().filter(|(_, seen)| **seen) {
            map[base + square].get_or_insert(0);
        }
        for &(i, off) in &row.off {
            let p = field.middle(i, j);
            let z = field.height(i, j).map_or(top, f64::from);
            let here = Worst { depth: off.abs(), at: [p.x, p.y, z] };
            let slot = match off < 0.0 {
                true => &mut worst[j * PLACES / field.rows()][i * PLACES / field.columns()],
                false => &mut leftover,
            };
            if slot.is_none_or(|known| here.depth > known.depth) {
                *slot = Some(here);
            }
            // A difference fits: no stock is two kilometres high.
            let micrometres = (off * 1000.0).round() as i32;
            let square = map[base + i / per].get_or_insert(0);
            if micrometres.abs() > square.abs() {
                *square = micrometres;
            }
        }
    }
    let mut gouges: Vec<Worst> = worst.into_iter().flatten().flatten().collect();
    gouges.sort_by(|a, b| b.depth.total_cmp(&a.depth));
    let (judged, within) = rows.iter().fold((0, 0), |(a, b), row| (a + row.judged, b + row.within));
    let surface = Surface {
        tolerance: wanted.tolerance,
        area: judged as f64 * field.cell() * field.cell(),
        within: if judged > 0 { within as f64 / judged as f64 } else { 1.0 },
        gouge: gouges.first().copied(),
        leftover,
        map: Map {
            from: [field.min().x, field.min().y],
            square: per as f64 * field.cell(),
            columns,
            micrometres: map,
        },
    };
    (surface, gouges)
}

fn judge_row(
    field: &HeightField,
    j: usize,
    (top, per, columns): (f64, usize, usize),
    (wanted, open): (&Wanted, &(dyn Fn(Point) -> bool + Sync)),
) -> Row {
    let mut row = Row { seen: vec![false; columns], ..Row::default() };
    for (i, height) in field.row(j).iter().enumerate() {
        let height = f64::from(*height);
        // Uncut wood is no gouge, and no leftover before the last program.
        if !wanted.finished && height >= top {
            continue;
        }
        let p = field.middle(i, j);
        let Some(band) = (wanted.heights)(p).filter(|_| !open(p)) else { continue };
        row.judged += 1;
        row.seen[i / per] = true;
        match difference(height, p, band, wanted) {
            Some(off) => row.off.push((i, off)),
            None => row.within += 1,
        }
    }
    row
}

/// The difference beyond the tolerance. Near a wall what stands within the tolerance beside the
/// place counts too.
fn difference(height: f64, p: Point, band: Band, wanted: &Wanted) -> Option<f64> {
    let t = wanted.tolerance;
    let off = |band: Band| match () {
        () if height < band.low - t => Some(height - band.low),
        () if wanted.finished && height > band.high + t => Some(height - band.high),
        () => None,
    };
    off(band)?;
    let free = Band { low: f64::NEG_INFINITY, high: f64::INFINITY };
    let around = [point(t, 0.0), point(-t, 0.0), point(0.0, t), point(0.0, -t)];
    let widened = around.iter().fold(band, |band, step| {
        let beside = (wanted.heights)(p + *step).unwrap_or(free);
        Band { low: band.low.min(beside.low), high: band.high.max(beside.high) }
    });
    off(widened)
}

/// A text that can be read anew.
pub(super) struct Read<'s, S: ?Sized> {
    pub(super) source: &'s S,
    /// Without the lines that begin with `/`.
    pub(super) skipping: bool,
    /// Its last line, from 1.
    pub(super) last: usize,
}

/// A place that is watched while the program runs again.
struct Watched {
    /// One cell, its middle at the place.
    stock: Stock,
    /// The line that takes the cell below this height is looked for.
    level: f64,
    line: usize,
}

impl Watched {
    /// For a gouge; `None` for one at no sound place.
    fn new(gouge: &Worst, tolerance: f64, scene: &Scene) -> Option<Watched> {
        const CELL: f64 = 0.01;
        let at = place(gouge);
        let corner = at.xy() - point(CELL / 2.0, CELL / 2.0);
        let field = HeightField::new(corner, point(CELL, CELL), CELL, scene.top).ok()?;
        // What stands there afterwards is known to rounding.
        let level = at.z + gouge.depth - tolerance;
        Some(Watched { stock: Stock::new(field), level, line: 0 })
    }

    fn see(&mut self, stroke: &Stroke, body: &Body, line: usize) {
        if self.line > 0 || stroke.bounds().min.z >= self.level + NOISE {
            return;
        }
        let Some(end) = body.end(self.stock.field()) else { return };
        // An unsound stroke cuts nothing here either.
        let _ = self.stock.remove(stroke, &end);
        let left = self.stock.field().height(0, 0).map_or(self.level, f64::from);
        if left < self.level {
            self.line = line;
        }
    }
}

/// For each gouge the line whose stroke first makes it, read anew from the text; 0 if none does.
///
/// # Errors
/// If the text can not be read.
pub(super) fn blame<S: Source + ?Sized>(
    text: &Read<S>,
    scene: &Scene,
    gouges: &[Worst],
    tolerance: f64,
) -> Result<Vec<usize>, S::Error> {
    let mut watched: Vec<Option<Watched>> =
        gouges.iter().map(|gouge| Watched::new(gouge, tolerance, scene)).collect();
    if watched.iter().flatten().next().is_none() {
        return Ok(vec![0; gouges.len()]);
    }
    let body = |number: u32| scene.cutter(number).map(Body::of);
    let mut cutter = scene.setup.default_cutter.and_then(body);
    let mut by_hand = ByHand::new(scene.setup.machine);
    ngc::interpret_source(text.source, &scene.reading(text.skipping), &mut |event| {
        if let Some(What::CutterChange { cutter: number }) = by_hand.change(event).map(|e| e.what) {
            cutter = body(number);
        }
        match &event.what {
            What::CutterChange { cutter: number } => cutter = body(*number),
            What::Motion(motion) => {
                let Some(body) = &cutter else { return };
                for one in watched.iter_mut().flatten() {
                    one.see(&motion.stroke, body, event.line);
                }
            }
            _ => {}
        }
    })?;
    Ok(watched.iter().map(|one| one.as_ref().map_or(0, |one| one.line)).collect())
}

/// A place as a point.
pub(super) fn place(worst: &Worst) -> Point3 {
    point3(worst.at[0], worst.at[1], worst.at[2])
}
