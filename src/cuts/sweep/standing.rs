//! Wood that stands where a pass is to run: no pass goes deeper than its cutter may.

use super::edge::Edge;
use super::face::Face;
use crate::cuts::levels::levels;
use crate::geometry::{Point, point};

/// Share of the radius about the axis within which wood counts as met head-on.
const MIDDLE: f64 = 0.6;
/// Places looked at across that.
const LOOKS: i32 = 8;
/// Share of the stepdown that a pass may use: the rest is for rounding.
const SHARE: f64 = 0.95;

/// What a sweep should leave at places across it, evenly spaced. Heights in the face's own frame.
#[derive(Clone, Debug, PartialEq)]
pub struct Left {
    from: f64,
    step: f64,
    /// Lowest and highest at each place.
    bands: Vec<(f64, f64)>,
}

impl Left {
    /// Lowest and highest that may stand at `u`; `None` beside the face.
    #[must_use]
    pub fn at(&self, u: f64) -> Option<(f64, f64)> {
        let place = (u - self.from) / self.step;
        // A place of the table: below zero there is none.
        (place >= 0.0).then(|| self.bands.get(place as usize).copied()).flatten()
    }
}

/// Places of a table of what is left, mm apart.
const PLACE: f64 = 0.02;

/// What stands across a sweep while passes come off it. Heights in the face's own frame.
pub(super) struct Standing {
    /// The stock's top.
    top: f64,
    passes: Vec<(Edge, Point)>,
}

impl Standing {
    /// The stock after some passes.
    pub(super) fn after(top: f64, passes: Vec<(Edge, Point)>) -> Standing {
        Standing { top, passes }
    }

    /// What finishing should leave of a face: no lower than the face, no higher than the passes
    /// make it, each taken over a place and its neighbours.
    pub(super) fn left(&self, face: &Face) -> Left {
        let (low, high) = face.extent;
        // A count of places across a moulding.
        let count = ((high - low) / PLACE).ceil() as usize;
        let rows: Vec<(f64, f64)> = (0..=count)
            .map(|i| {
                let u = low + PLACE * i as f64;
                let lower = [u - 1e-4, u + 1e-4].map(|v| face.z(v.clamp(low, high)));
                (lower[0].min(lower[1]), self.height(u))
            })
            .collect();
        let bands = (0..count)
            .map(|i| {
                let near = &rows[i.saturating_sub(1)..(i + 3).min(rows.len())];
                let lowest = near.iter().map(|r| r.0).fold(f64::INFINITY, f64::min);
                let highest = near.iter().map(|r| r.1).fold(lowest, f64::max);
                (lowest, highest)
            })
            .collect();
        Left { from: low, step: PLACE, bands }
    }

    fn height(&self, u: f64) -> f64 {
        let left = self.passes.iter().map(|(edge, tip)| tip.y + edge.rise((u - tip.x).abs()));
        left.fold(self.top, f64::min)
    }

    /// The greatest height of wood over the middle of a cutter's end.
    fn over(&self, edge: &Edge, tip: Point) -> f64 {
        (-LOOKS..=LOOKS)
            .map(|i| {
                let d = edge.radius * MIDDLE * f64::from(i) / f64::from(LOOKS);
                self.height(tip.x + d) - tip.y
            })
            .fold(0.0, f64::max)
    }

    /// The passes with others above them where one alone would go deeper than `stepdown`.
    pub(super) fn stepped(&mut self, edge: &Edge, tips: &[Point], stepdown: f64) -> Vec<Point> {
        let mut out = Vec::new();
        for tip in tips {
            let over = self.over(edge, *tip);
            let depth = if over > stepdown * SHARE { over } else { 0.0 };
            for z in levels(tip.y + depth, tip.y, stepdown * SHARE) {
                out.push(point(tip.x, z));
            }
            self.passes.push((*edge, *tip));
        }
        out
    }
}
