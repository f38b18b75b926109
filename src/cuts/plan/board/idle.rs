//! Pockets and holes of which another pocket takes all: they would be cut in the air.

use super::Side;
use crate::geometry::{Contour, Ground, Region};
use crate::part::features::{Corners, Hole, Pocket};

/// What sticks out of another pocket by less than this, mm, is nothing: chords of arcs.
const NOTHING: f64 = 0.03;

/// Depths this close are the same, mm.
const SAME_DEPTH: f64 = 1e-6;

impl Side<'_> {
    /// The key of a pocket of this face that takes all of another: deeper, or as deep and named
    /// before.
    pub(super) fn takes_pocket(&self, pocket: &Pocket) -> Option<&str> {
        let all = &self.bench.part.features.pockets;
        let place = all.iter().position(|one| one.key == pocket.key)?;
        // It goes on beyond its area.
        if pocket.corners == Corners::Relieved {
            return None;
        }
        // All of it: what no cutter reaches is told where the pocket is cut.
        let own = Ground::new(std::slice::from_ref(&pocket.region));
        let takes = |(i, other): &(usize, &Pocket)| {
            let deeper = other.depth > pocket.depth + SAME_DEPTH;
            let first = (other.depth - pocket.depth).abs() <= SAME_DEPTH && *i < place;
            other.face == self.face && (deeper || first) && self.lie_in(&own, other)
        };
        all.iter().enumerate().find(takes).map(|(_, other)| other.key.as_str())
    }

    /// The key of a pocket of this face that takes all of some equal holes and their counterbores.
    pub(super) fn takes_holes(&self, hole: &Hole) -> Option<&str> {
        let (wide, deep) = match hole.counterbore {
            Some((diameter, depth, _)) => (diameter.max(hole.diameter), depth),
            None => (hole.diameter, 0.0),
        };
        let deep = hole.depth?.max(deep);
        let circle = |at| Region::new(Contour::circle(at, wide / 2.0), Vec::new());
        let circles: Vec<Region> = hole.at.iter().filter_map(|at| circle(*at).ok()).collect();
        let own = Ground::new(&circles);
        let takes = |other: &&Pocket| {
            other.face == self.face
                && other.depth >= deep - SAME_DEPTH
                && circles.len() == hole.at.len()
                && self.lie_in(&own, other)
        };
        let found = self.bench.part.features.pockets.iter().find(takes);
        found.map(|other| other.key.as_str())
    }

    /// What a pocket's cutters reach: all but what stays in its corners.
    fn cleared(&self, pocket: &Pocket) -> Option<Ground> {
        let last = self.bench.shop.cutter(*pocket.cutters.last()?).ok()?;
        Some(Ground::new(std::slice::from_ref(&pocket.region)).opened(last.radius()))
    }

    /// Whether all that is to be cut is cut by a pocket too.
    fn lie_in(&self, own: &Ground, pocket: &Pocket) -> bool {
        self.cleared(pocket).is_some_and(|cleared| own.shrunk(NOTHING).without(&cleared).is_empty())
    }
}

/// What is told of it.
pub(super) fn told(key: &str, by: &str) -> String {
    format!(
        "{key} is not cut: {by} takes all of its wood. Leave out one of them, or change a depth."
    )
}
