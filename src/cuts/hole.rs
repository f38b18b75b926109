//! Holes: straight down by a drill, or round and down by a cutter that is narrower.

use super::levels::levels;
use super::pen::Pen;
use super::profile::Profile;
use super::track::Track;
use crate::geometry::{Contour, Piece, Point};
use crate::part::features::Bore;
use crate::shop::{Cutter, CuttingData};
use crate::toolpath::Purpose;

/// How far above the floor of a hole the drill slows down again after its chips were lifted.
const ABOVE_FLOOR: f64 = 0.5;

/// A path of the centre narrower than this is no circle: the cutter is as wide as the hole, mm.
pub(super) const NO_CIRCLE: f64 = 0.02;

/// One hole, in work coordinates.
#[derive(Clone, Copy, Debug)]
pub(super) struct HoleCut {
    /// Its middle.
    pub at: Point,
    /// Its diameter.
    pub diameter: f64,
    /// Where its wood begins.
    pub top: f64,
    /// Where the tip stops.
    pub bottom: f64,
    /// How.
    pub bore: Bore,
    /// Where a helix begins, radians round its middle.
    pub from: f64,
}

/// Makes a hole, from and to travel height.
pub(super) fn cut(pen: &mut Pen<'_>, cutter: &Cutter, data: &CuttingData, hole: &HoleCut) {
    let around = hole.diameter / 2.0 - cutter.radius();
    match hole.bore {
        Bore::Helix if around > NO_CIRCLE => helix(pen, cutter, data, hole, around),
        Bore::Drill => {
            pen.approach(hole.at);
            pen.plunge(hole.bottom);
        }
        Bore::Peck | Bore::Helix => peck(pen, data, hole),
    }
    pen.retract();
}

fn peck(pen: &mut Pen<'_>, data: &CuttingData, hole: &HoleCut) {
    pen.approach(hole.at);
    let clear = pen.at().z;
    let mut floor = hole.top;
    for z in levels(hole.top, hole.bottom, data.stepdown.value) {
        if floor < hole.top {
            pen.sink(clear);
            pen.sink(floor + ABOVE_FLOOR);
        }
        pen.plunge(z);
        floor = z;
    }
}

/// Down a helix narrow enough to leave no core, then out in rings as wide as a stepover.
/// Counter-clockwise: climb milling, for the wood is on the right.
fn helix(pen: &mut Pen<'_>, cutter: &Cutter, data: &CuttingData, hole: &HoleCut, around: f64) {
    // Nine tenths of the radius: no core stands in the middle.
    let inner = around.min(0.9 * cutter.radius());
    let ring = |radius: f64| Track::new(&Contour::circle(hole.at, radius));
    let first = ring(inner);
    let pitch = data.stepdown.value.min(first.length() * data.ramp_angle.value.tan());
    let turns = ((hole.top - hole.bottom) / pitch).max(0.0);
    let down = turns * first.length();
    let start = first.nearest(hole.at + Point::polar(inner, hole.from));
    pen.approach(first.at(start));
    pen.plunge(hole.top);
    let heights = Profile::through(vec![(start, hole.top), (start + down, hole.bottom)]);
    let end = start + down;
    pen.follow(&first, (start, end), &heights, &|_| Purpose::Entry);
    let level = Profile::level(hole.bottom);
    let wall = if inner < around { Purpose::Rough } else { Purpose::Finish };
    pen.follow(&first, (end, end + first.length()), &level, &|_| wall);
    if inner >= around {
        return;
    }
    let count = ((around - inner) / data.stepover.value).ceil().max(1.0);
    // The helix ends anywhere on its circle: back to its start along the floor.
    let home = |pen: &mut Pen<'_>, z: f64| {
        let from = pen.at().xy();
        let to = hole.at + Point::polar(inner, hole.from);
        if from.distance(to) > 1e-6 {
            pen.stroke(Purpose::Rough, &Piece { from, to, bulge: 0.0 }, z, z);
        }
    };
    home(pen, hole.bottom);
    for z in levels(hole.top, hole.bottom, data.stepdown.value) {
        pen.sink(z);
        // A count of rings: a board is at most metres wide, a stepover at least micrometres.
        for i in 1..=(count as usize) {
            let radius = inner + (around - inner) * i as f64 / count;
            let from = pen.at().xy();
            let to = hole.at + Point::polar(radius, hole.from);
            pen.stroke(Purpose::Rough, &Piece { from, to, bulge: 0.0 }, z, z);
            let track = ring(radius);
            let purpose = if i as f64 == count { Purpose::Finish } else { Purpose::Rough };
            let start = track.nearest(to);
            pen.follow(&track, (start, start + track.length()), &Profile::level(z), &|_| purpose);
        }
        home(pen, z);
    }
}
