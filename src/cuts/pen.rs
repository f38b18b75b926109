//! Putting strokes down as moves, each at a feed that its slope and direction allow.

use super::axes::within_axes;
use super::grain;
use super::profile::Profile;
use super::track::Track;
use crate::geometry::{Piece, Point, Point3, Stroke, point3};
use crate::shop::{CuttingData, Machine};
use crate::toolpath::{Move, Purpose, Toolpath};

/// Height above the stock's top to which the cutter may traverse straight down.
const CLEARANCE: f64 = 2.0;

/// Gentler than this a slope is cut as if it were level, radians: one degree.
const LEVEL: f64 = 0.017_453;

/// What the moves of one cutter keep to.
#[derive(Clone, Copy, Debug)]
pub(in crate::cuts) struct Rules<'a> {
    /// How fast and how deep.
    pub data: &'a CuttingData,
    /// On which machine.
    pub machine: &'a Machine,
    /// Height for travelling freely.
    pub travel_height: f64,
    /// The stock's top.
    pub top: f64,
    /// Direction of the grain, a unit vector.
    pub grain: Point,
}

/// Writes moves.
pub(super) struct Pen<'a> {
    rules: Rules<'a>,
    pub(super) toolpath: Toolpath,
    at: Point3,
}

impl<'a> Pen<'a> {
    pub(super) fn new(rules: Rules<'a>) -> Pen<'a> {
        Pen { rules, toolpath: Toolpath::default(), at: Point3::default() }
    }

    /// Goes over to `to` at travel height and down to just above the stock.
    pub(super) fn approach(&mut self, to: Point) {
        self.traverse(to.at(self.rules.travel_height));
        self.traverse(to.at(self.rules.top + CLEARANCE));
    }

    /// Straight up to travel height.
    pub(super) fn retract(&mut self) {
        self.traverse(point3(self.at.x, self.at.y, self.rules.travel_height));
    }

    fn traverse(&mut self, to: Point3) {
        self.toolpath.push(Purpose::Travel, Move::Traverse { to });
        self.at = to;
    }

    /// Straight down to `z`: into the wood, or into a slot already cut.
    pub(super) fn plunge(&mut self, z: f64) {
        let to = point3(self.at.x, self.at.y, z);
        if self.at.distance(to) > 1e-9 {
            let data = self.rules.data;
            let feed =
                if data.plunge.value > 0.0 { data.plunge.value } else { data.ramp_feed.value };
            let feed = feed.min(self.rules.machine.max_feed[2].0);
            self.toolpath.push(Purpose::Entry, Move::Line { to, feed });
            self.at = to;
        }
    }

    /// Straight up, or down through wood that is already cut away: at the feed for cutting, so
    /// that no traverse goes below the stock's top.
    pub(super) fn sink(&mut self, z: f64) {
        let to = point3(self.at.x, self.at.y, z);
        if self.at.distance(to) > 1e-9 {
            let feed = self.rules.data.feed.value.min(self.rules.machine.max_feed[2].0);
            self.toolpath.push(Purpose::Entry, Move::Line { to, feed });
            self.at = to;
        }
    }

    /// Where the cutter's tip is.
    pub(super) fn at(&self) -> Point3 {
        self.at
    }

    /// A piece at constant height.
    pub(super) fn piece(&mut self, purpose: Purpose, piece: &Piece, z: f64) {
        self.stroke(purpose, piece, z, z);
    }

    /// Along a track from place to place at the profile's heights. `purpose` is asked for each
    /// stretch with its middle place and whether it lies above the pass's own depth.
    pub(super) fn follow(
        &mut self,
        track: &Track,
        (from, to): (f64, f64),
        heights: &Profile,
        purpose: &dyn Fn(f64) -> Purpose,
    ) {
        let cuts: Vec<f64> = heights.places().collect();
        for stretch in track.between(from, to, &cuts) {
            // Just within the stretch, so that a step in the profile belongs to one side; where
            // there is none, the knot's own height, so that a level stays level to the last digit.
            let inset = (stretch.to - stretch.from) * 1e-9;
            let height = |s: f64, within: f64| {
                let (at, beside) = (heights.at(s), heights.at(within));
                if (at - beside).abs() < 1e-6 { at } else { beside }
            };
            let z0 = height(stretch.from, stretch.from + inset);
            let z1 = height(stretch.to, stretch.to - inset);
            let middle = (stretch.from + stretch.to) / 2.0;
            self.stroke(purpose(middle), &stretch.piece, z0, z1);
        }
    }

    /// Along an open chain from place to place; nothing if they are the same.
    pub(super) fn follow_open(
        &mut self,
        track: &Track,
        (from, to): (f64, f64),
        heights: &Profile,
        purpose: Purpose,
    ) {
        // Shorter ways are far below a program's digits.
        if to - from > 1e-6 {
            // A hair short of the end: beyond it an outline would begin anew.
            let to = to.min(track.length() * (1.0 - 1e-12));
            self.follow(track, (from, to), heights, &|_| purpose);
        }
    }

    /// A piece from one height to another.
    pub(super) fn stroke(&mut self, purpose: Purpose, piece: &Piece, z0: f64, z1: f64) {
        let stroke = piece.stroke(z0, z1);
        let feed = self.feed(purpose, &stroke);
        let to = stroke.to;
        self.toolpath.push(
            purpose,
            match stroke.arc {
                Some(arc) => Move::Arc { to, arc, feed },
                None => Move::Line { to, feed },
            },
        );
        self.at = to;
    }

    /// The feed for a stroke: by its slope, by the grain it crosses, by what each axis can do.
    fn feed(&self, purpose: Purpose, stroke: &Stroke) -> f64 {
        let data = self.rules.data;
        let down = stroke.from.z - stroke.to.z;
        let length = stroke.length();
        if length <= 0.0 {
            return data.ramp_feed.value;
        }
        let steepness = (down / length).clamp(-1.0, 1.0).asin();
        let wanted = if steepness > data.ramp_angle.value * 1.001 {
            data.plunge.value
        } else if steepness > LEVEL {
            data.ramp_feed.value
        } else {
            data.feed.value
        };
        let middle = stroke.direction(0.5);
        let across = grain::across(middle.xy().unit().unwrap_or_default(), self.rules.grain);
        // A third less across end grain, where the edge breaks out (common practice).
        let eased = if purpose == Purpose::Finish && across { wanted * 2.0 / 3.0 } else { wanted };
        within_axes(self.rules.machine, eased, stroke)
    }
}
