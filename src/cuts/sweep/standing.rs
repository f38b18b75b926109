//! Wood that stands where a pass is to run: no pass goes deeper than its cutter may.

use super::edge::Edge;
use super::face::Face;
use crate::cuts::levels::levels;
use crate::geometry::{Point, point};

/// Slices that a section is summed over.
const SLICES: u32 = 48;
/// Thinnest layer that is worth a pass of its own, mm.
const LEAST: f64 = 0.2;
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

    /// The greatest height of wood over a cutter's end, and the section that it takes, mm².
    fn taken(&self, edge: &Edge, tip: Point) -> (f64, f64) {
        let slice = 2.0 * edge.radius / f64::from(SLICES);
        (0..SLICES)
            .map(|i| {
                let d = (f64::from(i) + 0.5) * slice - edge.radius;
                let height = self.height(tip.x + d);
                let taken = (height - tip.y - edge.rise(d.abs())).max(0.0);
                // Wood that is not touched is not met, however high it stands.
                (if taken > 0.0 { height - tip.y } else { 0.0 }, taken * slice)
            })
            .fold((0.0, 0.0), |(most, sum), (height, area)| (height.max(most), sum + area))
    }

    /// The passes with others above them where one alone would go deeper than `stepdown` and
    /// take more than a full groove of that depth.
    pub(super) fn stepped(&mut self, edge: &Edge, tips: &[Point], stepdown: f64) -> Vec<Point> {
        let groove = groove(edge, stepdown) * SHARE;
        let mut out = Vec::new();
        for tip in tips {
            let (over, section) = self.taken(edge, *tip);
            let head_on = self.height(tip.x) - tip.y;
            let many = (section / groove).ceil().max(1.0);
            let step = if head_on > stepdown * SHARE { stepdown * SHARE } else { over / many };
            let depth = if section > groove || head_on > stepdown * SHARE { over } else { 0.0 };
            for z in levels(tip.y + depth, tip.y, step.max(LEAST)) {
                out.push(point(tip.x, z));
            }
            self.passes.push((*edge, *tip));
        }
        out
    }
}

/// Section of a groove of this depth, mm².
fn groove(edge: &Edge, depth: f64) -> f64 {
    let slice = edge.radius / f64::from(SLICES);
    let halves = (0..SLICES).map(|i| (depth - edge.rise((f64::from(i) + 0.5) * slice)).max(0.0));
    2.0 * slice * halves.sum::<f64>()
}
