//! Putting the passes of a sweep down as moves.

use super::Between;
use crate::cuts::axes::within_axes;
use crate::geometry::{Arc, Path, Piece, Plane, Point, Point3, Stroke, TooTight, point3};
use crate::shop::{CuttingData, Machine};
use crate::toolpath::{Move, Purpose, Toolpath};

/// Height above the stock's top to which the cutter may traverse straight down, mm.
const CLEARANCE: f64 = 2.0;
/// Gentler than this a stroke is cut as if it were level, radians: one degree.
const LEVEL: f64 = 0.017_453;
/// Links shorter than this, mm, are lines: no machine shows the difference.
const LEAST_LINK_ARC: f64 = 0.2;
/// Links no steeper than this, rise over run, go along one helix.
const STEEPEST_LINK: f64 = 1.0;
/// How far a link may run below the face's own line before it goes round, mm.
const HUMP: f64 = 0.05;
/// Room over a hump, mm.
const OVER: f64 = 0.5;

/// What the moves of one cutter on one sweep need to know. Work coordinates.
#[derive(Clone, Copy, Debug)]
pub(super) struct Table<'a> {
    pub(super) path: &'a Path,
    /// How far a lane runs on beyond the ends.
    pub(super) beyond: f64,
    pub(super) data: &'a CuttingData,
    pub(super) machine: &'a Machine,
    /// Height of the stock's top.
    pub(super) top: f64,
    pub(super) travel_height: f64,
}

/// Writes moves.
pub(super) struct Strokes<'a> {
    table: Table<'a>,
    pub(super) toolpath: Toolpath,
    at: Point3,
}

impl<'a> Strokes<'a> {
    pub(super) fn new(table: Table<'a>) -> Strokes<'a> {
        Strokes { table, toolpath: Toolpath::default(), at: Point3::default() }
    }

    /// The lane at `u`, forward or back.
    pub(super) fn lane(&self, u: f64, forward: bool) -> Result<Vec<Piece>, TooTight> {
        let lane = self.table.path.lane(u, self.table.beyond)?;
        Ok(if forward { lane } else { lane.iter().rev().map(Piece::reversed).collect() })
    }

    /// Over to `to` at travel height, down to just above the stock, and on down to `z` by feed.
    pub(super) fn approach(&mut self, to: Point, z: f64) {
        let clear = self.table.top + CLEARANCE;
        self.traverse(to.at(self.table.travel_height));
        self.traverse(to.at(clear.max(z)));
        self.line(Purpose::Entry, to.at(z));
    }

    /// Straight up to travel height.
    pub(super) fn retract(&mut self) {
        self.traverse(point3(self.at.x, self.at.y, self.table.travel_height));
    }

    fn traverse(&mut self, to: Point3) {
        self.toolpath.push(Purpose::Travel, Move::Traverse { to });
        self.at = to;
    }

    /// A straight stroke.
    pub(super) fn line(&mut self, purpose: Purpose, to: Point3) {
        if self.at.distance(to) > 1e-9 {
            self.stroke(purpose, &Stroke::line(self.at, to));
        }
    }

    /// Along pieces at one height.
    pub(super) fn along(&mut self, purpose: Purpose, lane: &[Piece], z: f64) {
        for piece in lane {
            self.stroke(purpose, &piece.stroke(z, z));
        }
    }

    /// Down along pieces, from the height where the cutter is to `z`, at one slope.
    pub(super) fn down(&mut self, lane: &[Piece], z: f64) {
        let length: f64 = lane.iter().map(Piece::length).sum();
        let (from, mut gone) = (self.at.z, 0.0);
        for piece in lane {
            let here = self.at.z;
            gone += piece.length();
            let there = from + (z - from) * (gone / length).min(1.0);
            self.stroke(Purpose::Entry, &piece.stroke(here, there));
        }
    }

    /// From the end of one pass, travelling along `direction`, to the start of the next, over
    /// what lies between.
    pub(super) fn link(&mut self, direction: Point, to: Point3, between: &Between) {
        let from = self.at;
        let across = to.xy() - from.xy();
        let (wide, fall) = (across.length(), (to.z - from.z).abs());
        let high = from.z.max(to.z);
        if between.high > high + HUMP {
            let over = between.high + OVER;
            if over > self.table.top {
                // Over the board the way is free: no feed there.
                self.retract();
                self.approach(to.xy(), to.z);
                return;
            }
            self.line(Purpose::Lead, from.xy().at(over));
            self.line(Purpose::Lead, to.xy().at(over));
            self.line(Purpose::Lead, to);
        } else if fall > wide * STEEPEST_LINK || between.bulge > HUMP {
            self.line(Purpose::Lead, from.xy().at(high));
            self.line(Purpose::Lead, to.xy().at(high));
            self.line(Purpose::Lead, to);
        } else if wide > LEAST_LINK_ARC && across.dot(direction).abs() < 1e-3 * wide {
            // Half a turn that leaves one pass and joins the next without a corner.
            let sweep = std::f64::consts::PI * direction.cross(across).signum();
            let center = (from.xy() + to.xy()) * 0.5;
            let arc = Some(Arc { plane: Plane::Xy, center, sweep });
            self.stroke(Purpose::Lead, &Stroke { from, to, arc });
        } else {
            self.line(Purpose::Lead, to);
        }
    }

    fn stroke(&mut self, purpose: Purpose, stroke: &Stroke) {
        let feed = self.feed(stroke);
        let to = stroke.to;
        let action = match stroke.arc {
            Some(arc) => Move::Arc { to, arc, feed },
            None => Move::Line { to, feed },
        };
        self.toolpath.push(purpose, action);
        self.at = to;
    }

    /// The feed for a stroke: by its slope, and by what each axis can do.
    fn feed(&self, stroke: &Stroke) -> f64 {
        let data = self.table.data;
        let length = stroke.length();
        if length <= 0.0 {
            return data.ramp_feed.value;
        }
        let steepness = ((stroke.from.z - stroke.to.z) / length).clamp(-1.0, 1.0).asin();
        let wanted = if steepness > data.ramp_angle.value * 1.001 {
            // No faster down than straight down.
            if data.plunge.value > 0.0 { data.plunge.value } else { data.ramp_feed.value }
        } else if steepness > LEVEL {
            data.ramp_feed.value
        } else {
            data.feed.value
        };
        within_axes(self.table.machine, wanted, stroke)
    }
}

/// The first part of a lane of a given length, and the rest.
pub(super) fn split(lane: &[Piece], at: f64) -> (Vec<Piece>, Vec<Piece>) {
    let (mut first, mut rest, mut left) = (Vec::new(), Vec::new(), at);
    for piece in lane {
        let length = piece.length();
        if left >= length - 1e-6 {
            first.push(*piece);
        } else if left <= 1e-6 {
            rest.push(*piece);
        } else {
            first.push(piece.part(0.0, left / length));
            rest.push(piece.part(left / length, 1.0));
        }
        left = (left - length).max(0.0);
    }
    (first, rest)
}
