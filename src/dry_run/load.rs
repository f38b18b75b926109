//! How much wood is in the way: the section really taken, over a stretch of way.

use super::body::{Body, SKIN};
use super::removal::Removed;
use super::touch::{NOISE, Overload};
use crate::geometry::Stroke;
use std::collections::VecDeque;
use std::f64::consts::PI;

/// Shortest way, mm, over which too much wood is a fault: turning into an inside corner meets
/// the skin of the next wall head-on for about its thickness.
const SHORTEST_RUN: f64 = 3.0;

/// A cut as wide as the cutter and deeper than is allowed takes at least this share of the section
/// that is allowed.
const SOLID: f64 = 0.8;

/// And this share of a groove as deep as the highest wood met, be it shallower at the ends of the
/// stretch: less, and what stands so high is a sliver.
const WHOLE: f64 = 0.6;

/// What rounded figures may add to a depth or a section: 1 %, and 3 %.
const ROUNDED: f64 = 1.01;
const ROUNDED_SECTION: f64 = 1.03;

/// What a cutter may take at once: a full-width pass of one stepdown.
#[derive(Clone, Copy, Debug)]
pub(super) struct FullPass {
    /// Its depth, mm.
    pub(super) stepdown: f64,
    /// Its section, mm2.
    pub(super) section: f64,
}

/// What stays the same for the strokes of one cutter.
#[derive(Clone, Copy, Debug)]
pub(super) struct Measure<'b> {
    pub(super) full: FullPass,
    pub(super) body: &'b Body,
    /// Width of a cell, mm.
    pub(super) cell: f64,
}

/// A stretch of way.
#[derive(Clone, Copy, Debug)]
struct Stretch {
    length: f64,
    volume: f64,
    /// Greatest height of wood above the tip.
    depth: f64,
    width: f64,
    /// The line and the stroke where it first takes more than is allowed, or else begins.
    line: usize,
    stroke: Stroke,
    over: bool,
}

impl Stretch {
    fn with(self, next: Stretch) -> Stretch {
        let from = if next.over && !self.over { &next } else { &self };
        Stretch {
            length: self.length + next.length,
            volume: self.volume + next.volume,
            depth: self.depth.max(next.depth),
            width: self.width.max(next.width),
            line: from.line,
            stroke: from.stroke,
            over: self.over || next.over,
        }
    }

    /// Whether it takes more than is allowed. Counted in cells, a width is known to a cell; so a
    /// cut as wide as the cutter is judged by its depth, which is exact.
    fn too_much(&self, measure: &Measure) -> bool {
        let section = self.volume / self.length;
        let allowed = measure.full.section;
        let deep = self.depth > measure.full.stepdown * ROUNDED + NOISE
            && self.width > 2.0 * (measure.body.width(self.depth) - measure.cell);
        // A skin at the side may be taken in full depth.
        let most = (allowed * ROUNDED_SECTION).max(self.depth * SKIN);
        let solid = || section > (SOLID * allowed).max(WHOLE * measure.body.groove(self.depth));
        section > most + self.depth * measure.cell || (deep && solid())
    }
}

/// The run of way just behind the cutter.
#[derive(Debug, Default)]
pub(super) struct Load {
    /// Whole stretches, oldest first.
    run: VecDeque<Stretch>,
    open: Option<Stretch>,
    /// Way, mm, and wood, mm3, since the last time that both were told by [`Load::heaviest`].
    gone: (f64, f64),
    /// Shortest stretch, and shortest run, mm.
    grain: f64,
    shortest: f64,
}

impl Load {
    /// For a cutter of this radius and pieces no longer than `grain`.
    pub(super) fn new(radius: f64, grain: f64) -> Load {
        Load { grain, shortest: radius.max(SHORTEST_RUN), ..Load::default() }
    }

    /// The cutter left the wood.
    pub(super) fn clear(&mut self) {
        self.run.clear();
        self.open = None;
        self.gone = (0.0, 0.0);
    }

    /// The section, mm2, taken over the way since the last was told, once that is long enough
    /// for a spindle to feel it: a cutter's radius and at least 3 mm. `length` counts plunges too.
    pub(super) fn heaviest(&mut self, length: f64, volume: f64) -> Option<f64> {
        self.gone = (self.gone.0 + length, self.gone.1 + volume);
        let (length, volume) = self.gone;
        if length < self.shortest.max(SHORTEST_RUN) {
            return None;
        }
        self.gone = (0.0, 0.0);
        Some(volume / length)
    }

    /// One more piece of way, and what it took.
    pub(super) fn add(
        &mut self,
        piece: &Stroke,
        removed: &Removed,
        line: usize,
        measure: &Measure,
    ) -> Option<Overload> {
        let length = match piece.arc {
            Some(_) => piece.length(),
            None => piece.from.xy().distance(piece.to.xy()),
        };
        // Straight down is judged as a plunge.
        if length == 0.0 {
            self.clear();
            return None;
        }
        let volume = (removed.volume - sunk(piece, removed, measure)).max(0.0);
        let depth = (removed.top - piece.from.z.min(piece.to.z)).max(0.0);
        let allowed = measure.full.section;
        let this = Stretch {
            length,
            volume,
            depth,
            width: removed.width(),
            line,
            stroke: *piece,
            over: volume > allowed * length,
        };
        let open = self.open.take().map_or(this, |open| open.with(this));
        if open.length < self.grain {
            self.open = Some(open);
            return None;
        }
        if !open.too_much(measure) {
            self.run.clear();
            return None;
        }
        self.run.push_back(open);
        self.judge(allowed)
    }

    fn judge(&mut self, allowed: f64) -> Option<Overload> {
        let length = |run: &VecDeque<Stretch>| run.iter().map(|one| one.length).sum::<f64>();
        while let Some(first) = self.run.front()
            && length(&self.run) - first.length >= self.shortest
        {
            self.run.pop_front();
        }
        let all = self.run.iter().copied().reduce(Stretch::with)?;
        let (section, depth, width) = (all.volume / all.length, all.depth, all.width);
        let found = Overload { line: all.line, at: all.stroke.to, section, allowed, depth, width };
        (all.length >= self.shortest).then_some(found)
    }
}

/// What a piece takes by going down, which is judged as a ramp: the cutter's plan by the fall.
fn sunk(piece: &Stroke, removed: &Removed, measure: &Measure) -> f64 {
    let down = (piece.from.z - piece.to.z).max(0.0);
    let plan = PI * measure.body.radius * measure.body.radius;
    plan.min(removed.cells as f64 * measure.cell * measure.cell) * down
}
