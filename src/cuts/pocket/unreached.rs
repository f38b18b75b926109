//! What no cutter of the list can reach: where, and how far from it its edge stays.

use crate::geometry::{Point, Region};

/// Steps in which the walls are looked at, mm.
const LOOK: f64 = 0.5;

/// A gap smaller than this is no gap, mm.
const TOLERANCE: f64 = 0.02;

/// A stretch of wall that the cutter's edge does not reach.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::cuts) struct Unreached {
    /// The place farthest from the cutter's edge.
    pub at: Point,
    /// How far it stays from the cutter's edge.
    pub gap: f64,
}

/// Every stretch of the region's walls that a cutter of this radius, its middle within
/// `centres`, does not reach.
pub(in crate::cuts) fn unreached(
    region: &Region,
    centres: &[Region],
    radius: f64,
) -> Vec<Unreached> {
    // Over an open edge the middle itself goes out.
    let gap = |p: Point| super::gap(centres, p) - radius;
    let mut all = Vec::new();
    for contour in region.contours() {
        let first = all.len();
        // A stretch that is not reached may go on over where the contour begins.
        let begins = contour.vertices.first().is_some_and(|v| gap(v.at) > TOLERANCE);
        let mut worst: Option<Unreached> = None;
        for piece in contour.pieces() {
            // A count of steps along a wall: metres at most.
            let count = (piece.length() / LOOK).ceil().max(2.0) as usize;
            for i in 0..=count {
                let at = piece.at(i as f64 / count as f64);
                let one = Unreached { at, gap: gap(at) };
                if one.gap <= TOLERANCE {
                    all.extend(worst.take());
                } else if worst.is_none_or(|w| one.gap > w.gap) {
                    worst = Some(one);
                }
            }
        }
        match (worst, all.get_mut(first)) {
            (Some(last), Some(one)) if begins => {
                if last.gap > one.gap {
                    *one = last;
                }
            }
            (last, _) => all.extend(last),
        }
    }
    all
}
