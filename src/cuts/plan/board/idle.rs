//! Pockets and holes of which another pocket takes all: they would be cut in the air.

use super::super::bench::Bench;
use super::Side;
use crate::geometry::{Contour, Ground, Point, Region};
use crate::part::features::{Corners, Face, Hole, Pocket};

/// What sticks out of another pocket by less than this, mm, is nothing: chords of arcs.
const NOTHING: f64 = 0.03;

/// Depths this close are the same, mm.
const SAME_DEPTH: f64 = 1e-6;

impl<'a> Side<'a> {
    /// A face, with those of its pockets that are cut and those that others take.
    pub(super) fn new(bench: &'a Bench<'a>, face: Face) -> Side<'a> {
        let mut side = Side { bench, face, pockets: Vec::new(), idle: Vec::new() };
        let all = bench.part.features.pockets.iter().filter(|p| p.face == face);
        side.pockets = all.collect();
        let (idle, cut): (Vec<_>, Vec<_>) = side
            .pockets
            .iter()
            .map(|p| (*p, side.takes_pocket(p)))
            .partition(|(_, by)| by.is_some());
        side.idle = idle.into_iter().filter_map(|(p, by)| Some((p.key.as_str(), by?))).collect();
        side.pockets = cut.into_iter().map(|(p, _)| p).collect();
        side
    }

    /// The key of a pocket of this face that takes all of another: deeper, or as deep and named
    /// before.
    fn takes_pocket(&self, pocket: &Pocket) -> Option<&'a str> {
        let place = self.pockets.iter().position(|one| one.key == pocket.key)?;
        // It goes on beyond its area.
        if pocket.corners == Corners::Relieved {
            return None;
        }
        // All of it: what no cutter reaches is told where the pocket is cut.
        let own = Ground::new(std::slice::from_ref(&pocket.region));
        let takes = |(i, other): &(usize, &&Pocket)| {
            let deeper = other.depth > pocket.depth + SAME_DEPTH;
            let first = (other.depth - pocket.depth).abs() <= SAME_DEPTH && *i < place;
            (deeper || first) && self.lie_in(&own, other)
        };
        self.pockets.iter().enumerate().find(takes).map(|(_, other)| other.key.as_str())
    }

    /// The key of a pocket of this face that takes all of some equal holes and their counterbores.
    pub(super) fn takes_holes(&self, hole: &Hole) -> Option<&'a str> {
        let (wide, deep) = match hole.counterbore {
            Some((diameter, depth, _)) => (diameter.max(hole.diameter), depth),
            None => (hole.diameter, 0.0),
        };
        let deep = hole.depth?.max(deep);
        let circle = |at| Region::new(Contour::circle(at, wide / 2.0), Vec::new());
        let circles: Vec<Region> = hole.at.iter().filter_map(|at| circle(*at).ok()).collect();
        let own = Ground::new(&circles);
        let takes = |other: &&&Pocket| {
            other.depth >= deep - SAME_DEPTH
                && circles.len() == hole.at.len()
                && self.lie_in(&own, other)
        };
        self.pockets.iter().find(takes).map(|other| other.key.as_str())
    }

    /// Whether all that is to be cut is cut by a pocket too: what its last cutter reaches, which is
    /// all but what stays in its corners.
    fn lie_in(&self, own: &Ground, pocket: &Pocket) -> bool {
        let Some((low, high)) = pocket.region.outer().bounds() else { return false };
        // A box is asked sooner than areas.
        let outside = |p: &Point| p.x < low.x || p.x > high.x || p.y < low.y || p.y > high.y;
        let own = own.shrunk(NOTHING);
        if own.rings().flatten().any(|p| outside(&p)) {
            return false;
        }
        let last = pocket.cutters.last().and_then(|n| self.bench.shop.cutter(*n).ok());
        let all = Ground::new(std::slice::from_ref(&pocket.region));
        last.is_some_and(|cutter| own.without(&all.opened(cutter.radius())).is_empty())
    }
}

/// What is told of it.
pub(super) fn told(key: &str, by: &str) -> String {
    format!(
        "{key} is not cut: {by} takes all of its wood. Leave out one of them, or change a depth."
    )
}
