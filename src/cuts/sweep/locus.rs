//! Where a cutter's tip may stand over a face: the planar offset of the face by the cutter's own
//! section, trimmed of gouges.

use super::edge::Edge;
use super::span::Span;
use crate::geometry::{Point, point};

/// Along the locus no two neighbours lie farther apart than this, mm, but where it drops upright.
const SPACING: f64 = 0.05;

/// Neighbours closer than this in u, mm, are one place: what is left between them is a drop.
const DROP: f64 = 1e-7;

/// What keeps a cutter off: the wanted face and whatever stands beside it.
#[derive(Clone, Debug, PartialEq)]
pub struct Ground {
    /// Sorted by their left ends.
    spans: Vec<Span>,
}

impl Ground {
    /// Of spans in any order.
    #[must_use]
    pub fn new(mut spans: Vec<Span>) -> Ground {
        spans.sort_by(|a, b| a.from.x.total_cmp(&b.from.x));
        Ground { spans }
    }

    /// The lowest that a tip may stand at `u`: exact. Minus infinity where nothing is in reach.
    #[must_use]
    pub fn tip(&self, edge: &Edge, u: f64) -> f64 {
        let end = self.spans.partition_point(|s| s.from.x <= u + edge.radius);
        self.spans[..end].iter().map(|s| s.tip(edge, u)).fold(f64::NEG_INFINITY, f64::max)
    }

    /// The wood's own height at `u`; minus infinity where there is none.
    #[must_use]
    pub fn height(&self, u: f64) -> f64 {
        let end = self.spans.partition_point(|s| s.from.x <= u);
        let over = self.spans[..end].iter().filter(|s| u <= s.to.x);
        over.map(|s| s.z(u)).fold(f64::NEG_INFINITY, f64::max)
    }

    /// The tip's lowest places from one u to another, close enough to be read as a line. Where
    /// it drops along a wall two neighbours have nearly one u.
    #[must_use]
    pub fn locus(&self, edge: &Edge, from: f64, to: f64) -> Vec<Point> {
        let at = |u: f64| point(u, self.tip(edge, u));
        // A count of spacings across a moulding.
        let count = ((to - from) / SPACING).ceil().max(1.0) as usize;
        let even = (0..=count).map(|i| from + (to - from) * i as f64 / count as f64);
        // A groove just as wide as its cutter lets it down at one place only.
        let beside = [edge.radius, -edge.radius, edge.flat, -edge.flat];
        let ends = self.spans.iter().flat_map(|s| [s.from.x, s.to.x]);
        let touching = ends.flat_map(|x| beside.map(|by| x + by));
        let mut places: Vec<f64> =
            even.chain(touching.filter(|u| (from..=to).contains(u))).collect();
        places.sort_by(f64::total_cmp);
        places.dedup();
        let mut out = vec![at(from)];
        for u in places.into_iter().skip(1) {
            fill(out[out.len() - 1], at(u), &at, &mut out);
        }
        out
    }
}

fn fill(a: Point, b: Point, at: &dyn Fn(f64) -> Point, out: &mut Vec<Point>) {
    if (b.y - a.y).abs() > SPACING && b.x - a.x > DROP {
        let middle = at((a.x + b.x) / 2.0);
        fill(a, middle, at, out);
        fill(middle, b, at, out);
    } else {
        out.push(b);
    }
}
