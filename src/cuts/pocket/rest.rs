//! What the cutter before left: only where this one's disc is not within what is cleared.
//!
//! A disc of radius r about p lies within what a disc of radius b swept whose middle went through
//! the set A, if p is no farther than b - r from A. So along the rings of the smaller cutter only
//! the stretches farther than that are cut, and each is entered and left where it is free.

use super::cleared::Cleared;
use super::join::reach;
use super::play::{Heights, put};
use super::rings::{closest, enter};
use super::walker::{Act, Walker};
use super::{PocketCut, gap, nominal};
use crate::cuts::levels::levels;
use crate::cuts::pen::Pen;
use crate::cuts::track::Track;
use crate::geometry::{OffsetError, Piece, Point, Region};
use crate::toolpath::Purpose;

/// Steps in which a ring is looked at, mm.
const LOOK: f64 = 0.2;

/// What is nearer to free than this is left out, mm: a hair over the tolerance of the rings.
const TOLERANCE: f64 = 2e-3;

/// Stretches nearer than so many radii are cut in one go.
const FAR: f64 = 4.0;

impl PocketCut<'_> {
    /// Cuts along the rings within `centres`, where this cutter's middle may go.
    pub(super) fn rest(&self, pen: &mut Pen<'_>, centres: &[Region]) -> Result<(), OffsetError> {
        let radius = self.cutter.radius();
        let free = self.before.radius - radius;
        let angle = nominal(self.data.stepover.value, radius);
        let cleared = Cleared::new(radius, self.before);
        // Stretches in corners are short: their feed is eased rather than their load held.
        let mut walker = Walker::new(centres, (radius, angle), false, cleared);
        let mut all = Vec::new();
        for start in centres {
            let step = self.data.stepover.value.min(closest(start, radius));
            let mut rings = vec![vec![start.clone()]];
            rings.extend(start.rings(step, step, None)?);
            // The innermost rings first: each bites what the one before left free.
            for contour in rings.iter().rev().flatten().flat_map(Region::contours) {
                let track = Track::new(contour);
                for stretch in self.stretches(&track, free) {
                    all.push((track.clone(), stretch));
                }
            }
        }
        // Place by place down to the floor: the way between places is gone once, not at each depth.
        for place in places(&all, FAR * radius) {
            walker.at = None;
            for (track, stretch) in place {
                along(&mut walker, track, *stretch);
            }
            let back = returns(&mut walker);
            self.down(pen, &std::mem::take(&mut walker.acts), back);
        }
        Ok(())
    }

    /// A place at every depth: without lifts between them if its acts end where they begin.
    fn down(&self, pen: &mut Pen<'_>, acts: &[Act], back: bool) {
        let mut above = self.top;
        let mut down = false;
        for z in levels(self.top, self.floor, self.data.stepdown.value) {
            let heights = Heights { top: self.top, above, z };
            match acts {
                [_, rest @ ..] if down && back => {
                    pen.sink(z);
                    put(pen, rest, self.data, heights, true);
                }
                _ => {
                    if down {
                        pen.retract();
                    }
                    down = put(pen, acts, self.data, heights, false);
                }
            }
            above = z;
        }
        if down {
            pen.retract();
        }
    }

    /// The stretches of a ring that still bite, each a little longer at both ends; all of it as
    /// one lap if none of it is free.
    fn stretches(&self, track: &Track, free: f64) -> Vec<(f64, f64)> {
        let length = track.length();
        // A count of steps along a ring: metres at most.
        let count = (length / LOOK).ceil().max(8.0) as usize;
        let step = length / count as f64;
        let bites: Vec<bool> = (0..count)
            .map(|i| gap(self.before.centres, track.at(i as f64 * step)) > free + TOLERANCE)
            .collect();
        let Some(first_free) = bites.iter().position(|b| !b) else {
            return vec![(0.0, length)];
        };
        let mut all = Vec::new();
        let mut from: Option<usize> = None;
        for k in 0..=count {
            let i = first_free + k;
            match (bites[i % count], from) {
                (true, None) => from = Some(i),
                (false, Some(start)) => {
                    // From the last free place before to the first free one after.
                    all.push(((start - 1) as f64 * step, i as f64 * step));
                    from = None;
                }
                _ => {}
            }
        }
        all
    }
}

/// Goes back straight to where the place was begun, if all on the way is cleared by now and the
/// cutter came there from above; says whether it did.
fn returns(walker: &mut Walker<'_>) -> bool {
    let (Some(Act::Over(start)), Some(from)) = (walker.acts.first().copied(), walker.at) else {
        return false;
    };
    let way = Piece { from, to: start, bulge: 0.0 };
    let free = walker.within(&way) && walker.trial(&[way], 0.0).is_some();
    if free {
        walker.go(Purpose::Rough, way);
    }
    free
}

/// A stretch of a ring.
type Stretch = (Track, (f64, f64));

/// Stretches sorted by place, in the order given within each: those nearer to one another than `far`
/// belong together.
fn places(all: &[Stretch], far: f64) -> Vec<Vec<&Stretch>> {
    /// Points that stand for a stretch, at most this share of `far` apart.
    const APART: f64 = 0.5;
    let points = |(track, (from, to)): &Stretch| -> Vec<Point> {
        // A count of points along a ring: metres at most.
        let count = ((to - from) / (APART * far)).ceil().max(1.0) as usize;
        (0..=count).map(|i| track.at(from + (to - from) * i as f64 / count as f64)).collect()
    };
    let mut places: Vec<(Vec<usize>, Vec<Point>)> = Vec::new();
    for (i, stretch) in all.iter().enumerate() {
        let mut own = (vec![i], points(stretch));
        let near =
            |other: &[Point]| other.iter().any(|p| own.1.iter().any(|q| p.distance(*q) < far));
        let (mut joined, mut others) = (Vec::new(), Vec::new());
        for place in places {
            if near(&place.1) { joined.push(place) } else { others.push(place) }
        }
        for (stretches, points) in joined {
            own.0.extend(stretches);
            own.1.extend(points);
        }
        own.0.sort_unstable();
        others.push(own);
        places = others;
    }
    places.sort_by_key(|(stretches, _)| stretches.first().copied());
    let named = places.into_iter().map(|(stretches, _)| stretches);
    named.map(|place| place.into_iter().map(|i| &all[i]).collect()).collect()
}

/// Along a stretch that begins and ends where it is free, or once round a ring that is nowhere.
fn along(walker: &mut Walker<'_>, track: &Track, (from, to): (f64, f64)) {
    if to - from >= track.length() - 1e-9 {
        if let Some(place) = enter(walker, track) {
            walker.lap(track, place, Purpose::Finish, true);
        }
        return;
    }
    reach(walker, track.at(from));
    for stretch in track.between(from, to, &[]) {
        walker.along(&stretch.piece, Purpose::Finish);
    }
}
