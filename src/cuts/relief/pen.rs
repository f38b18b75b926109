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

/// Steeper than this way back to the start, an entry is cut clean before the pass goes on,
/// millimetres.
const WEDGE: f64 = 0.05;

/// Steps of a pass that differ less than this in direction, radians, are one straight stretch:
/// rounding of places, no more.
const STRAIGHT: f64 = 1e-7;

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
        let data = self.tooling.data;
        if self.tooling.cutter.centre_cutting && data.plunge.value > 0.0 {
            self.stroke(Purpose::Entry, Stroke::line(self.at, start));
            return;
        }
        // Down to where wood may begin, then along the pass at the ramp's slope, and back.
        let begin = start.xy().at(from.max(start.z));
        self.stroke(Purpose::Entry, Stroke::line(self.at, begin));
        let ramp = ramp(pass, begin.z, data.ramp_angle.value.tan());
        let deep = begin.z - start.z > WEDGE;
        for &p in &ramp {
            self.stroke(Purpose::Entry, Stroke::line(self.at, p));
        }
        if deep {
            let back: Vec<Point3> =
                pass[..ramp.len().min(pass.len())].iter().rev().copied().collect();
            self.follow(Purpose::Rough, &back);
        }
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
        if fall > LEVEL {
            feed = feed.min(data.ramp_feed.value);
        }
        if fall > data.ramp_angle.value && data.plunge.value > 0.0 {
            // No faster down than straight down.
            feed = feed.min(data.plunge.value / fall.sin());
        }
        within_axes(self.tooling.machine, feed, stroke)
    }
}

/// The way down along a pass from height `z` at this slope until it meets the pass.
fn ramp(pass: &[Point3], z: f64, slope: f64) -> Vec<Point3> {
    let mut out = Vec::new();
    let (mut z, mut at) = (z, pass[0].xy());
    for p in pass {
        z -= slope * p.xy().distance(at);
        at = p.xy();
        if p.z >= z {
            out.push(*p);
            break;
        }
        out.push(at.at(z));
    }
    out
}
