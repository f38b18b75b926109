//! Rings within rings, cut from the inside out.

use crate::cuts::pen::Pen;
use crate::cuts::profile::Profile;
use crate::cuts::track::Track;
use crate::geometry::{Contour, OffsetError, Piece, Point, Region};
use crate::shop::CuttingData;
use crate::toolpath::Purpose;

/// A way from ring to ring may leave the region by no more than this, mm: rounding.
const ASTRAY: f64 = 1e-3;

/// Steps in which such a way is looked at, mm: round an outside corner the least cutters' middles
/// run on arcs of half a millimetre and more, which a step this long leaves by 0.0003 mm at most.
const LOOK: f64 = 0.04;

/// The rings of one connected piece of where the cutter's middle may go.
pub(super) struct Nest {
    /// Where the middle may go while roughing.
    room: Vec<Region>,
    /// Loops in the order of cutting, the innermost first.
    loops: Vec<Track>,
    /// The stepover.
    step: f64,
}

impl Nest {
    /// Rings at most `step` apart, for a cutter of this radius.
    pub(super) fn of(
        centres: &Region,
        allowance: f64,
        step: f64,
        radius: f64,
    ) -> Result<Nest, OffsetError> {
        let step = step.min(closest(centres, radius));
        // A pocket no wider than cutter and allowance has its walls as its only ring.
        let mut room = if allowance > 0.0 { centres.inset(allowance)? } else { Vec::new() };
        if room.is_empty() {
            room.push(centres.clone());
        }
        let mut loops = Vec::new();
        for region in &room {
            let rings = region.rings(step, step, None)?;
            order(region, &rings, 0, &mut loops);
        }
        Ok(Nest { room, loops: loops.iter().map(Track::new).collect(), step })
    }

    /// Clears one level from height `above` down to `z`; above `above` all is cleared.
    pub(super) fn clear(&self, pen: &mut Pen<'_>, data: &CuttingData, heights: (f64, f64, f64)) {
        let (top, above, z) = heights;
        let mut down = false;
        for track in &self.loops {
            let from = pen.at().xy();
            let place = track.nearest(from);
            let to = track.at(place);
            // A ring beside the one just cut is reached by a step through what is between them.
            let beside = down && from.distance(to) <= 1.5 * self.step && self.within(from, to);
            if beside {
                if from.distance(to) > 1e-6 {
                    pen.stroke(Purpose::Rough, &Piece { from, to, bulge: 0.0 }, z, z);
                }
                let end = place + track.length();
                pen.follow(track, (place, end), &Profile::level(z), &|_| Purpose::Rough);
            } else {
                if down {
                    pen.retract();
                }
                let place = entry(track);
                pen.approach(track.at(place));
                pen.plunge(top);
                pen.sink(above);
                ramp_and_round(pen, track, place, data, (above, z));
                down = true;
            }
        }
        if down {
            pen.retract();
        }
    }

    /// Whether the middle may go straight from one point to the other.
    fn within(&self, from: Point, to: Point) -> bool {
        straight(from, to, |p| self.room.iter().any(|region| near(region, p)))
    }
}

/// Whether all points of a short straight way are where they may be.
fn straight(from: Point, to: Point, may: impl Fn(Point) -> bool) -> bool {
    // A count of steps along a stepover or two, or a cutter's radius.
    let count = (from.distance(to) / LOOK).ceil().max(1.0) as usize;
    (0..=count).all(|i| may(from + (to - from) * (i as f64 / count as f64)))
}

/// Rings farther apart than this leave a spike in the sharpest inside corner: between corners of
/// interior angle t the way along the bisector is s / sin(t / 2), and a disc at each end covers its
/// radius of it. Never below a tenth of the radius, for corners that are almost cusps.
pub(super) fn closest(centres: &Region, radius: f64) -> f64 {
    let mut least = std::f64::consts::PI;
    for contour in centres.contours() {
        let pieces: Vec<Piece> = contour.pieces().collect();
        for (i, piece) in pieces.iter().enumerate() {
            let next = pieces[(i + 1) % pieces.len()];
            let (a, b) = (piece.direction(1.0), next.direction(0.0));
            let turn = a.cross(b).atan2(a.dot(b));
            least = least.min(std::f64::consts::PI - turn.max(0.0));
        }
    }
    // A little less than two radii: the discs overlap.
    (1.8 * radius * (least / 2.0).sin()).max(0.1 * radius)
}

/// Whether a point is in a region, or on its contours as far as can be told.
fn near(region: &Region, p: Point) -> bool {
    region.contains(p)
        || region.contours().any(|c| c.nearest(p).is_some_and(|(gap, _)| gap <= ASTRAY))
}

/// The loops of a region after those of the regions within it. `rings` are the levels further in.
fn order(region: &Region, rings: &[Vec<Region>], level: usize, loops: &mut Vec<Contour>) {
    if let Some(inner) = rings.get(level) {
        let within =
            |r: &&Region| r.outer().vertices.first().is_some_and(|v| region.contains(v.at));
        for child in inner.iter().filter(within) {
            order(child, rings, level + 1, loops);
        }
    }
    loops.extend(region.islands().iter().cloned());
    loops.push(region.outer().clone());
}

/// Where to go down on a loop: in its longest piece, so that the ramp is straight or even.
fn entry(track: &Track) -> f64 {
    let longest = track.pieces().max_by(|a, b| a.1.length().total_cmp(&b.1.length()));
    longest.map_or(0.0, |(start, _)| start)
}

/// Down a ramp along a loop, then once round.
fn ramp_and_round(
    pen: &mut Pen<'_>,
    track: &Track,
    place: f64,
    data: &CuttingData,
    (above, z): (f64, f64),
) {
    let run = (above - z) / data.ramp_angle.value.tan();
    let ramp = Profile::through(vec![(place, above), (place + run, z)]);
    pen.follow(track, (place, place + run), &ramp, &|_| Purpose::Entry);
    let end = place + run + track.length();
    pen.follow(track, (place + run, end), &Profile::level(z), &|_| Purpose::Rough);
}

/// Once round every wall at full depth, entered from the cleared side.
pub(super) fn walls(pen: &mut Pen<'_>, centres: &Region, floor: f64, radius: f64) {
    for contour in centres.contours() {
        let track = Track::new(contour);
        let place = entry(&track);
        let (on, along) = (track.at(place), track.direction(place));
        // The region lies on the left: from there, unless something else stands there.
        let aside = (1..=8).rev().map(|i| on + along.left() * (radius * f64::from(i) / 8.0));
        let off = aside.into_iter().find(|p| straight(*p, on, |q| near(centres, q)));
        let off = off.unwrap_or(on);
        pen.approach(off);
        pen.sink(floor);
        if off.distance(on) > 1e-6 {
            pen.stroke(Purpose::Lead, &Piece { from: off, to: on, bulge: 0.0 }, floor, floor);
        }
        let end = place + track.length();
        pen.follow(&track, (place, end), &Profile::level(floor), &|_| Purpose::Finish);
        if off.distance(on) > 1e-6 {
            pen.stroke(Purpose::Lead, &Piece { from: on, to: off, bulge: 0.0 }, floor, floor);
        }
        pen.retract();
    }
}
