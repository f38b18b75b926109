//! What the cutter before left: only where this one's disc is not within what is cleared.
//!
//! A disc of radius r about p lies within what a disc of radius b swept whose middle went through
//! the set A, if p is no farther than b - r from A. So along the rings of the smaller cutter only
//! the stretches farther than that are cut, and each is entered and left where it is free.

use super::cleared::Cleared;
use super::play::{Heights, play};
use super::rings::{closest, enter, reach};
use super::walker::Walker;
use super::{PocketCut, gap, nominal};
use crate::cuts::levels::levels;
use crate::cuts::pen::Pen;
use crate::cuts::track::Track;
use crate::geometry::{OffsetError, Region};
use crate::toolpath::Purpose;

/// Steps in which a ring is looked at, mm.
const LOOK: f64 = 0.2;

/// What is nearer to free than this is left out, mm: a hair over the tolerance of the rings.
const TOLERANCE: f64 = 2e-3;

impl PocketCut<'_> {
    /// Cuts along the rings within `centres`, where this cutter's middle may go.
    pub(super) fn rest(&self, pen: &mut Pen<'_>, centres: &[Region]) -> Result<(), OffsetError> {
        let radius = self.cutter.radius();
        let free = self.before.radius - radius;
        let angle = nominal(self.data.stepover.value, radius);
        let cleared = Cleared::new(radius, self.before);
        let mut walker = Walker::new(centres, (radius, angle), self.hold, cleared);
        for start in centres {
            let step = self.data.stepover.value.min(closest(start, radius));
            let mut rings = vec![vec![start.clone()]];
            rings.extend(start.rings(step, step, None)?);
            // The innermost rings first: each bites what the one before left free.
            for contour in rings.iter().rev().flatten().flat_map(Region::contours) {
                let track = Track::new(contour);
                for stretch in self.stretches(&track, free) {
                    along(&mut walker, &track, stretch);
                }
            }
        }
        let mut above = self.top;
        for z in levels(self.top, self.floor, self.data.stepdown.value) {
            play(pen, &walker.acts, self.data, Heights { top: self.top, above, z });
            above = z;
        }
        Ok(())
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
