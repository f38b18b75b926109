//! The stock while it is cut, and what each stroke meets in it.

use super::body::{Body, SKIN};
use super::load::{FullPass, Load, Measure};
use super::loose::{Loose, THINNEST};
use super::near;
use super::pass::Pass;
use super::pieces::{pieces, raised};
use super::removal::{Removed, Section, Stock, is_sound};
use super::scene::Scene;
use super::touch::{NOISE, Standing, Touch, keep_higher};
use crate::geometry::{EPSILON, HeightField, Point, Stroke};

/// Shortest piece of way, mm, of which what it takes is looked at by itself.
const GRAIN: f64 = 1.0;

/// A round cut that covers this share of the cutter's plan goes through its middle; a skin at
/// its side, or the wall beside a slot, covers less.
const MIDDLE_SHARE: f64 = 0.4;

/// The cutter at work.
#[derive(Clone, Copy, Debug)]
pub(super) struct Work<'b> {
    pub(super) body: &'b Body,
    /// What it may take at once, if known.
    pub(super) full: Option<FullPass>,
}

/// What one piece of a cutting stroke met.
#[derive(Clone, Copy, Debug, Default)]
struct Met {
    removed: Removed,
    wall: Option<Standing>,
    holder: Option<Standing>,
}

/// A cutting stroke among the pieces of a batch.
#[derive(Clone, Debug)]
pub(super) struct Cutting {
    pub(super) line: usize,
    pub(super) stroke: Stroke,
    pub(super) pieces: std::ops::Range<usize>,
}

/// The stock.
pub(super) struct Wood<'s> {
    stock: Option<Stock>,
    top: f64,
    plan: Option<(Point, Point)>,
    load: Load,
    loose: Option<Loose<'s>>,
    hole: Option<Hole>,
}

/// A place cut straight down, for setups without a stock.
struct Hole {
    at: Point,
    floor: f64,
}

impl<'s> Wood<'s> {
    /// The stock as it is before the program.
    pub(super) fn new(scene: &Scene<'s>) -> Wood<'s> {
        let fresh = || {
            let (stock, grid) = scene.setup.stock.zip(scene.grid.as_ref())?;
            let (min, size) = (stock.min.xy(), stock.size().xy());
            let mut field = HeightField::new(min, size, grid.cell, scene.top).ok()?;
            scene.under(stock.min.z).open(&mut field, scene.top, THINNEST);
            Some(field)
        };
        let field = scene.before().cloned().or_else(fresh);
        Wood {
            loose: field.as_ref().and_then(|field| Loose::new(scene, field)),
            stock: field.map(Stock::new),
            top: scene.top,
            plan: scene.plan(),
            load: Load::default(),
            hole: None,
        }
    }

    /// What is left of it.
    pub(super) fn field(&self) -> Option<&HeightField> {
        self.stock.as_ref().map(Stock::field)
    }

    /// What is left of it, to keep.
    pub(super) fn into_field(self) -> Option<HeightField> {
        self.stock.map(Stock::into_field)
    }

    /// What hangs together of it.
    pub(super) fn loose(&self) -> Option<&Loose<'s>> {
        self.loose.as_ref()
    }

    /// Whether a cutting stroke may go through the stock.
    pub(super) fn goes_through(&self, stroke: &Stroke) -> bool {
        self.loose.as_ref().is_some_and(|loose| loose.goes_through(stroke))
    }

    /// Another cutter is put in.
    pub(super) fn put_in(&mut self, body: &Body) {
        self.load = Load::new(body.radius, self.grain(body));
    }

    fn grain(&self, body: &Body) -> f64 {
        let cell = self.field().map_or(0.0, HeightField::cell);
        GRAIN.max(2.0 * cell).max(body.radius / 4.0)
    }

    /// Whether the cutter, of this radius, is below the stock's top over the stock's plan.
    pub(super) fn inside(&self, stroke: &Stroke, radius: f64) -> bool {
        let below = self.top - NOISE;
        match self.plan {
            None => stroke.bounds().min.z < below,
            Some((min, max)) => near::distance_below(stroke, min, max, below)
                .is_some_and(|distance| distance < radius.max(NOISE) - NOISE / 2.0),
        }
    }

    /// Whether the holder may be lower than the stock's top.
    pub(super) fn holder_low(&self, stroke: &Stroke, body: &Body) -> bool {
        stroke.from.z.min(stroke.to.z) + body.stick_out < self.top - NOISE
    }

    /// Adds the pieces of a stroke that can reach the stock.
    pub(super) fn pieces_of(&self, stroke: &Stroke, body: &Body, out: &mut Vec<Stroke>) {
        let (Some(plan), Some(field)) = (self.plan, self.field()) else { return };
        let holder = if self.holder_low(stroke, body) { body.holder_radius } else { 0.0 };
        let reach = body.radius.max(holder) + 2.0 * field.cell();
        pieces(stroke, self.grain(body), plan, reach, |piece| {
            if is_sound(&piece) {
                out.push(piece);
            }
        });
    }

    /// Makes the cutting strokes of a batch, in order, and says what each met.
    pub(super) fn cut(&mut self, all: &[Stroke], strokes: &[Cutting], work: &Work) -> Vec<Touch> {
        let met = self.meet(all, strokes, work.body);
        if let Some(loose) = &mut self.loose {
            loose.look(all, strokes, work.body.radius);
        }
        strokes.iter().map(|cutting| self.touch(cutting, all, &met, work)).collect()
    }

    /// The cutter leaves the wood, or does not cut: what it takes next is another run.
    pub(super) fn leave(&mut self) {
        self.load.clear();
    }

    fn touch(&mut self, cutting: &Cutting, all: &[Stroke], met: &[Met], work: &Work) -> Touch {
        let mut touch =
            Touch { inside: self.inside(&cutting.stroke, work.body.radius), ..Touch::default() };
        if !touch.inside {
            self.leave();
        }
        let cell = self.field().map_or(0.0, HeightField::cell);
        let volume: f64 = met[cutting.pieces.clone()].iter().map(|m| m.removed.volume).sum();
        // Over a shorter way cells are too coarse for a section.
        touch.section = volume / cutting.stroke.length().max(self.grain(work.body));
        for (piece, met) in all[cutting.pieces.clone()].iter().zip(&met[cutting.pieces.clone()]) {
            touch.cut |= met.removed.deepest > NOISE;
            let taken = self.load.heaviest(piece.length(), met.removed.volume);
            touch.heaviest = touch.heaviest.max(taken.unwrap_or(0.0));
            keep_higher(&mut touch.wall, met.wall);
            keep_higher(&mut touch.holder, met.holder);
            if let Some(slope) = self.entry(piece, &met.removed, work.body) {
                touch.entry = Some(touch.entry.map_or(slope, |steepest| steepest.max(slope)));
            }
            if let Some(full) = work.full {
                let measure = Measure { full, body: work.body, cell };
                let found = self.load.add(piece, &met.removed, cutting.line, &measure);
                touch.overload = touch.overload.or(found);
            }
        }
        touch
    }

    /// Cuts the pieces. Shank and holder meet what stands when their piece is made; pieces of
    /// which neither meets anything before the batch meet nothing later either, for wood only
    /// goes away, so most of a batch is cut as one. Strokes that go through are cut one by one,
    /// so that it is known which of them frees a piece.
    fn meet(&mut self, all: &[Stroke], strokes: &[Cutting], body: &Body) -> Vec<Met> {
        let mut met = vec![Met::default(); all.len()];
        let Some(stock) = &mut self.stock else { return met };
        let Some(end) = body.end(stock.field()) else { return met };
        let solids = [
            body.shank(stock.field()).map(|section| (section, body.flute_length)),
            body.holder().map(|section| (section, body.stick_out)),
        ];
        let suspects = suspects(stock, all, &solids, self.top);
        let through = |cutting: &&Cutting| {
            self.loose.as_ref().is_some_and(|loose| loose.goes_through(&cutting.stroke))
        };
        let ends = strokes.iter().filter(through).flat_map(|c| [c.pieces.start, c.pieces.end]);
        let alone = suspects.iter().flat_map(|i| [*i, i + 1]);
        let mut stops: Vec<usize> = ends.chain(alone).chain([0, all.len()]).collect();
        stops.sort_unstable();
        stops.dedup();
        let mut stroke = 0;
        for window in stops.windows(2) {
            let (from, to) = (window[0], window[1]);
            if suspects.binary_search(&from).is_ok() {
                let [wall, holder] = solids.map(|solid| {
                    let (section, up) = solid?;
                    standing(stock, &all[from], &section, up)
                });
                (met[from].wall, met[from].holder) = (wall, holder);
            }
            // Sound by [`Wood::pieces_of`].
            let found = stock.remove_all(&all[from..to], &end).unwrap_or_default();
            for (met, removed) in met[from..to].iter_mut().zip(found) {
                met.removed = removed;
            }
            let Some(loose) = &mut self.loose else { continue };
            while strokes.get(stroke).is_some_and(|c| c.pieces.end <= from) {
                stroke += 1;
            }
            for piece in &all[from..to] {
                loose.note(stock.field(), piece, body.radius, stroke);
            }
        }
        // The flutes themselves may meet more than their length.
        for (met, piece) in met.iter_mut().zip(all) {
            let height = met.removed.top - piece.from.z.max(piece.to.z);
            if height > body.flute_length + NOISE {
                keep_higher(&mut met.wall, Some(Standing { at: piece.to, height }));
            }
        }
        met
    }

    /// How steeply a piece enters wood with its middle.
    fn entry(&self, piece: &Stroke, removed: &Removed, body: &Body) -> Option<f64> {
        let down = piece.from.z - piece.to.z;
        let (Some(field), true) = (self.field(), down > 0.0) else { return None };
        let level = piece.from.xy().distance(piece.to.xy());
        let enters = if level < EPSILON {
            let reach = body.width(removed.top - piece.to.z);
            let plan = std::f64::consts::PI * reach * reach;
            let cut = removed.cells as f64 * field.cell() * field.cell();
            // An axis alone is all middle.
            removed.deepest > NOISE && (body.radius == 0.0 || cut > MIDDLE_SHARE * plan)
        } else {
            // A cutter narrower than the skin takes half its radius.
            let skin = SKIN.min(body.radius / 2.0);
            let middle = (body.width(0.0) - skin).max(field.cell());
            removed.deepest > SKIN && removed.right < middle && removed.left > -middle
        };
        enters.then(|| down.atan2(level))
    }

    /// Makes a traverse, and says what it met: wood that it should not have.
    pub(super) fn traverse(&mut self, pass: &Pass, body: &Body) -> Touch {
        self.leave();
        let mut touch =
            Touch { inside: self.inside(&pass.stroke, body.radius), ..Touch::default() };
        let mut all = Vec::new();
        self.pieces_of(&pass.stroke, body, &mut all);
        let Some(stock) = &mut self.stock else { return touch };
        let rises = pass.upright() && pass.down() <= 0.0;
        let field = stock.field();
        let (core, end, holder) = (body.core(field, NOISE), body.end(field), body.holder());
        for piece in all {
            if let Some(core) = core.filter(|_| touch.inside && !rises) {
                keep_higher(&mut touch.collides, standing(stock, &piece, &core, 0.0));
            }
            if let Some(holder) = holder {
                keep_higher(&mut touch.holder, standing(stock, &piece, &holder, body.stick_out));
            }
            if let Some(end) = end.filter(|_| touch.collides.is_some()) {
                // Sound by [`Wood::pieces_of`]; what it takes is told by what stood there.
                let _ = stock.remove(&piece, &end);
            }
        }
        touch
    }

    /// What a motion meets where no stock is known: all below the assumed top is wood, but for
    /// the last place cut straight down, which is enough for pecks.
    pub(super) fn without_stock(&mut self, pass: &Pass) -> Touch {
        let stroke = &pass.stroke;
        let mut touch = Touch { inside: self.inside(stroke, 0.0), ..Touch::default() };
        if !touch.inside {
            return touch;
        }
        let here = |hole: &&Hole| hole.at.distance(stroke.to.xy()) < EPSILON;
        let floor = self.hole.as_ref().filter(here).map_or(self.top, |hole| hole.floor);
        let taken = floor - stroke.to.z;
        let standing = |height: f64| Some(Standing { at: stroke.to, height });
        match (pass.feed.is_some(), pass.upright()) {
            (false, true) if taken > NOISE && pass.down() > 0.0 => {
                touch.collides = standing(taken);
            }
            (false, true) => {}
            (false, false) => touch.collides = standing(self.top - stroke.bounds().min.z),
            (true, true) => {
                touch.cut = taken > NOISE;
                if touch.cut && pass.down() > 0.0 {
                    touch.entry = Some(std::f64::consts::FRAC_PI_2);
                }
                let floor = floor.min(stroke.to.z).min(stroke.from.z);
                self.hole = Some(Hole { at: stroke.to.xy(), floor });
            }
            (true, false) => {
                touch.cut = true;
                self.hole = None;
            }
        }
        touch
    }

    /// Whether there is a stock to cut.
    pub(super) fn is_known(&self) -> bool {
        self.stock.is_some()
    }
}

/// A solid of revolution and how far above the tip it begins.
type Solid = (Section, f64);

/// Pieces whose shank or holder would meet wood if the stock stayed as it is, in order.
fn suspects(stock: &Stock, all: &[Stroke], solids: &[Option<Solid>], top: f64) -> Vec<usize> {
    let mut out: Vec<usize> = Vec::new();
    for (section, up) in solids.iter().flatten() {
        let low = |i: &usize| all[*i].from.z.min(all[*i].to.z) + up < top - NOISE;
        let low: Vec<usize> = (0..all.len()).filter(low).collect();
        let lifted: Vec<Stroke> = low.iter().map(|i| raised(&all[*i], *up)).collect();
        // Sound by [`Wood::pieces_of`].
        let found = stock.probe_all(&lifted, section).unwrap_or_default();
        let hits = low.iter().zip(&found).filter(|(_, r)| r.deepest > NOISE);
        out.extend(hits.map(|(i, _)| *i));
    }
    out.sort_unstable();
    out.dedup();
    out
}

/// What a solid, so high above the tip, meets on a piece of way.
fn standing(stock: &Stock, piece: &Stroke, section: &Section, up: f64) -> Option<Standing> {
    // Sound by [`Wood::pieces_of`].
    let found = stock.probe_all(&[raised(piece, up)], section).ok()?;
    let hit = found.first().filter(|r| r.deepest > NOISE)?;
    Some(Standing { at: piece.to, height: hit.top - piece.from.z.min(piece.to.z) })
}
