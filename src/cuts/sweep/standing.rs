//! Wood that stands where a pass is to run: no pass goes deeper than its cutter may.

use super::edge::Edge;
use crate::cuts::levels::levels;
use crate::geometry::{Point, point};

/// Share of the radius about the axis within which wood counts as met head-on.
const MIDDLE: f64 = 0.6;
/// Places looked at across that.
const LOOKS: i32 = 8;
/// Share of the stepdown that a pass may use: the rest is for rounding.
const SHARE: f64 = 0.95;

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
