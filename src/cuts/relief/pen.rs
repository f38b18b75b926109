//! Putting passes down as moves, each at a feed that its slope and the machine allow.

use super::thin::thin;
use super::{Count, Tooling};
use crate::cuts::axes::within_axes;
use crate::geometry::{Arc, Plane, Point, Point3, Stroke, point, point3};
use crate::toolpath::{Move, Purpose, Toolpath};
use std::f64::consts::{PI, TAU};

/// Height above the stock's top to which the cutter may traverse straight down.
const CLEARANCE: f64 = 2.0;

/// Gentler than this, radians (one degree), a slope is cut as if it were level.
const LEVEL: f64 = 0.017_453;

/// So much the two ends of a stroke may change in height with the last digit of the text,
/// millimetres: a short stroke may be a little steeper there than here.
const LAST_DIGIT: f64 = 1e-3;

/// Steps of a pass that differ less than this in direction, radians, are one straight stretch:
/// rounding of places, no more.
const STRAIGHT: f64 = 1e-7;

/// A fall of less than this, millimetres, is none.
const DIP: f64 = 2e-3;

/// So many valleys within valleys are looked for.
const NESTED: usize = 8;

/// Points of a crest before a fall.
const CREST: usize = 8;

/// A ramp ends this near to the floor, millimetres.
const FLOOR: f64 = 2e-3;

/// So often a ramp turns round before the rest is a plunge: along a cutter's radius any board is
/// cut through by then.
const TURNS: usize = 400;

/// Writes moves.
pub(in crate::cuts) struct Pen<'a> {
    tooling: Tooling<'a>,
    pub(in crate::cuts) toolpath: Toolpath,
    pub(in crate::cuts) count: Count,
    arcs: bool,
    tolerance: f64,
    at: Point3,
    way: Option<Point3>,
}

impl<'a> Pen<'a> {
    pub(in crate::cuts) fn new(tooling: Tooling<'a>, tolerance: f64, arcs: bool) -> Pen<'a> {
        let at = Point3::default();
        let (toolpath, count) = (Toolpath::default(), Count::default());
        Pen { tooling, toolpath, count, arcs, tolerance, at, way: None }
    }

    /// Goes over to the start of a pass and down into the wood: straight if the cutter can,
    /// else along the pass and back. `from` is the height at which wood may be met.
    pub(in crate::cuts) fn enter(&mut self, pass: &[Point3], from: f64) {
        let Some(&start) = pass.first() else { return };
        // No traverse goes below the stock's top, wherever wood is gone already.
        let above = from.max(self.tooling.top) + CLEARANCE;
        self.traverse(start.xy().at(self.tooling.travel_height));
        self.traverse(start.xy().at(above.min(self.tooling.travel_height)));
        if self.plunges() {
            self.stroke(Purpose::Entry, Stroke::line(self.at, start));
            return;
        }
        // Down to where wood may begin.
        let begin = start.xy().at(from.max(start.z));
        self.stroke(Purpose::Entry, Stroke::line(self.at, begin));
        self.ramp(pass);
    }

    /// From above the start of a pass down into the wood, if the cutter can not go straight down.
    pub(in crate::cuts) fn sink(&mut self, pass: &[Point3]) {
        if !self.plunges() && pass.first().is_some_and(|start| self.at.z > start.z + DIP) {
            self.ramp(pass);
        }
    }

    /// Whether the cutter may go straight down into wood.
    fn plunges(&self) -> bool {
        self.tooling.plunges()
    }

    /// From above the start of a pass down along it at the ramp's slope, and back to the start.
    fn ramp(&mut self, pass: &[Point3]) {
        if pass.is_empty() {
            return;
        }
        let met = self.ramp_along(self.at, pass);
        self.back(&pass[..=met], NESTED);
    }

    /// Down along a pass from a place at the ramp's slope: at which of its points that meets it.
    fn ramp_along(&mut self, from: Point3, pass: &[Point3]) -> usize {
        let (ramp, met) = ramp(from, pass, self.slope());
        for &p in &ramp {
            self.stroke(Purpose::Entry, Stroke::line(self.at, p));
        }
        met
    }

    /// Rise over run at which it ramps: less than it may, for short strokes of a thinned pass are
    /// steeper than the pass.
    fn slope(&self) -> f64 {
        0.6 * self.tooling.data.ramp_angle.value.tan()
    }

    /// Back along a pass, for what a ramp left.
    fn back(&mut self, pass: &[Point3], nested: usize) {
        let back: Vec<Point3> = pass.iter().rev().copied().collect();
        self.gently(Purpose::Rough, &back, nested);
    }

    /// Along a pass as [`Pen::follow_turning`]; where it falls faster than a cutter may ramp that
    /// can not go straight down, first down at the ramp's slope, and back.
    pub(in crate::cuts) fn follow_gently(&mut self, purpose: Purpose, pass: &[Point3]) {
        self.gently(purpose, pass, NESTED);
    }

    /// The way back from one valley may fall into another, over which the ramp went.
    fn gently(&mut self, purpose: Purpose, pass: &[Point3], nested: usize) {
        if self.plunges() || nested == 0 {
            return self.follow_turning(purpose, pass);
        }
        let slope = self.slope();
        let falls =
            |k: usize| pass[k].z - pass[k + 1].z > slope * pass[k].xy().distance(pass[k + 1].xy());
        let (mut from, mut k) = (0, 0);
        while k + 1 < pass.len() {
            let bottom = (k..pass.len() - 1).find(|&k| !falls(k)).unwrap_or(pass.len() - 1);
            if pass[k].z - pass[bottom].z <= DIP {
                k = bottom.max(k + 1);
                continue;
            }
            // A crest is left point by point: a stroke through several is steeper at its end.
            let crest = k.saturating_sub(CREST).max(from);
            self.follow_turning(purpose, &pass[from..=crest]);
            for &p in &pass[crest..=k] {
                self.stroke(purpose, Stroke::line(self.at, p));
            }
            let met = k + 1 + self.ramp_along(pass[k], &pass[k + 1..]);
            self.back(&pass[k..=met], nested - 1);
            from = k;
            k = met;
        }
        self.follow_turning(purpose, &pass[from..]);
    }

    /// Straight up to travel height.
    pub(in crate::cuts) fn retract(&mut self) {
        self.traverse(self.at.xy().at(self.tooling.travel_height));
    }

    fn traverse(&mut self, to: Point3) {
        self.toolpath.push(Purpose::Travel, Move::Traverse { to });
        self.at = to;
        self.way = None;
    }

    /// Along a pass whose points lie in one vertical plane, thinned. Begins wherever it is.
    pub(in crate::cuts) fn follow(&mut self, purpose: Purpose, pass: &[Point3]) {
        let (Some(&first), Some(&last)) = (pass.first(), pass.last()) else { return };
        if self.at.distance(first) > 1e-9 {
            self.stroke(purpose, Stroke::line(self.at, first));
        }
        // Turns are told within a pass, not from one to the next.
        self.way = None;
        let Some(along) = (last - first).xy().unit() else {
            if first.distance(last) > 1e-9 {
                self.stroke(purpose, Stroke::line(self.at, last));
            }
            return;
        };
        let plane = if along.y.abs() < 1e-12 {
            Some(Plane::Zx)
        } else if along.x.abs() < 1e-12 {
            Some(Plane::Yz)
        } else {
            None
        };
        let flat: Vec<Point> =
            pass.iter().map(|p| point((p.xy() - first.xy()).dot(along), p.z)).collect();
        self.count.points += pass.len();
        for stretch in thin(&flat, self.tolerance, self.arcs && plane.is_some()) {
            let to = pass[stretch.to].xy().at(stretch.end.y);
            let arc = stretch.center.zip(plane).map(|(center, plane)| {
                let at = first.xy() + along * center.x;
                self.arc(plane, point3(at.x, at.y, center.y), to)
            });
            self.stroke(purpose, Stroke { from: self.at, to, arc });
        }
    }

    /// Along a pass that turns in plan: each straight stretch by itself.
    pub(in crate::cuts) fn follow_turning(&mut self, purpose: Purpose, pass: &[Point3]) {
        let mut from = 0;
        while from + 1 < pass.len() {
            let step = |k: usize| (pass[k + 1].xy() - pass[k].xy()).unit();
            let first = step(from);
            let straight = |k: &usize| match (first, step(*k)) {
                (Some(a), Some(b)) => a.cross(b).abs() < STRAIGHT && a.dot(b) > 0.0,
                // A step straight up or down is a stretch by itself.
                _ => false,
            };
            let to = (from + 1..pass.len() - 1).find(|k| !straight(k)).unwrap_or(pass.len() - 1);
            self.follow(purpose, &pass[from..=to]);
            from = to;
        }
    }

    /// The arc of less than half a turn from where the cutter is.
    fn arc(&self, plane: Plane, center: Point3, to: Point3) -> Arc {
        let (center, _) = plane.split(center);
        let angle = |p: Point3| (plane.split(p).0 - center).angle();
        let sweep = (angle(to) - angle(self.at) + PI).rem_euclid(TAU) - PI;
        Arc { plane, center, sweep }
    }

    fn stroke(&mut self, purpose: Purpose, stroke: Stroke) {
        let length = stroke.length();
        if length <= 1e-9 {
            return;
        }
        let feed = self.feed(&stroke);
        let to = stroke.to;
        let action = match stroke.arc {
            Some(arc) => Move::Arc { to, arc, feed },
            None => Move::Line { to, feed },
        };
        self.toolpath.push(purpose, action);
        if purpose != Purpose::Entry {
            self.count.strokes += 1;
            self.count.arcs += usize::from(stroke.arc.is_some());
            self.count.length += length;
            let into = stroke.direction(0.0);
            if let Some(way) = self.way {
                let cosine = way.x * into.x + way.y * into.y + way.z * into.z;
                self.count.sharpest = self.count.sharpest.max(cosine.clamp(-1.0, 1.0).acos());
            }
        }
        self.way = (purpose != Purpose::Entry).then(|| stroke.direction(1.0));
        self.at = to;
    }

    /// The feed for a stroke: by its steepest fall, and by what each axis can do.
    fn feed(&self, stroke: &Stroke) -> f64 {
        let data = self.tooling.data;
        let ways = [0.0, 0.5, 1.0].map(|share| stroke.direction(share));
        let fall = ways.iter().map(|w| (-w.z).clamp(-1.0, 1.0).asin()).fold(0.0, f64::max);
        let mut feed = data.feed.value;
        if fall > 0.0 && fall + LAST_DIGIT / stroke.length() > LEVEL {
            feed = feed.min(data.ramp_feed.value);
        }
        if fall > data.ramp_angle.value && data.plunge.value > 0.0 {
            // No faster down than straight down.
            feed = feed.min(data.plunge.value / fall.sin());
        }
        within_axes(self.tooling.machine, feed, stroke)
    }
}

/// The way down from a place along a pass at this slope, and at which of its points that meets
/// the pass: to and fro where the pass is short or rises again before, until nothing between the
/// two turns lies lower.
fn ramp(from: Point3, pass: &[Point3], slope: f64) -> (Vec<Point3>, usize) {
    let (mut out, mut at) = (Vec::new(), from);
    let last = pass.len().saturating_sub(1);
    // Where it turned last, where it is, and which way it goes.
    let (mut turned, mut k, mut forward) = (0, None::<usize>, true);
    for _ in 0..TURNS {
        let met = loop {
            let next = match (k, forward) {
                (None, _) => Some(0),
                (Some(k), true) => Some(k + 1).filter(|k| *k <= last),
                (Some(k), false) => k.checked_sub(1),
            };
            let Some((next, p)) = next.and_then(|k| Some((k, *pass.get(k)?))) else { break None };
            let z = at.z - slope * p.xy().distance(at.xy());
            if p.z >= z {
                break Some((next, p));
            }
            at = p.xy().at(z);
            out.push(at);
            k = Some(next);
        };
        // On a floor it goes on to where that is met, before a wall not.
        if let Some((next, p)) = met.filter(|(_, p)| p.z <= at.z) {
            (at, k) = (p, Some(next));
            out.push(p);
        }
        let here = k.unwrap_or(0);
        let between = here.min(turned)..=here.max(turned);
        let deeper = pass.get(between).is_some_and(|all| all.iter().any(|p| p.z < at.z - FLOOR));
        if !deeper {
            return (out, here);
        }
        (turned, forward) = (here, !forward);
    }
    (out, k.unwrap_or(0))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// From (0, 0, 0) along x, a point each millimetre.
    fn pass(heights: &[f64]) -> Vec<Point3> {
        heights.iter().enumerate().map(|(k, z)| point3(k as f64, 0.0, *z)).collect()
    }

    /// No step of a ramp falls faster than it may, and none goes below the pass.
    fn gentle(from: Point3, ramp: &[Point3], pass: &[Point3], slope: f64) {
        let mut before = from;
        for p in ramp {
            let way = p.xy().distance(before.xy());
            assert!(before.z - p.z <= slope * way + 1e-9, "{before:?} to {p:?}");
            let below = pass[p.x.round() as usize];
            assert!(p.z >= below.z - 1e-9, "{p:?} lies below {below:?}");
            before = *p;
        }
    }

    #[test]
    fn a_ramp_goes_down_to_a_long_floor_at_once() {
        let pass = pass(&[-4.0; 101]);
        let (ramp, met) = ramp(point3(0.0, 0.0, 0.0), &pass, 0.1);
        gentle(point3(0.0, 0.0, 0.0), &ramp, &pass, 0.1);
        // 4 mm at 1 in 10 (closed form), by a point more for rounding.
        assert!((40..=41).contains(&met), "{met}");
    }

    #[test]
    fn in_a_narrow_valley_it_goes_to_and_fro_down_to_the_floor() {
        let mut heights = [-4.0; 31];
        (heights[0], heights[20]) = (0.0, 0.0);
        let pass = pass(&heights);
        let (ramp, met) = ramp(pass[0], &pass[1..], 0.1);
        gentle(pass[0], &ramp, &pass, 0.1);
        let lowest = ramp.iter().map(|p| p.z).fold(0.0, f64::min);
        assert!(lowest <= -4.0 + FLOOR, "it goes down to {lowest}");
        assert!(met < 19 && ramp.iter().all(|p| p.x < 20.0), "it stays before the wall");
    }

    #[test]
    fn on_a_short_pass_it_turns_at_the_ends() {
        let pass = pass(&[-3.0; 6]);
        let (ramp, _) = ramp(point3(0.0, 0.0, 0.0), &pass, 0.1);
        gentle(point3(0.0, 0.0, 0.0), &ramp, &pass, 0.1);
        assert!(ramp.last().is_some_and(|p| p.z <= -3.0 + FLOOR), "{ramp:?}");
    }
}
