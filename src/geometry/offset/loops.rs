//! Closed contours as spans under a tree, for crossings and windings.

use super::element::{SHORT, clean_pieces};
use super::span::{Slack, Span, square};
use super::tree::Tree;
use crate::geometry::{Contour, Piece, Point};
use std::ops::Range;

/// Pieces that come this near without following each other touch, millimetres.
const TOUCH: f64 = 1e-7;
/// Neighbours on a loop may share their common corner, give or take this, millimetres: at a cusp
/// far from zero rounding alone lets them cross that far from it, and no more than rounding lies
/// between them there.
const SHARED: f64 = 2e-4;

/// Spans of closed loops, one loop after another.
pub(super) struct Loops {
    pub(super) spans: Vec<Span>,
    /// First span and number of spans of each span's loop.
    origin: Vec<(u32, u32)>,
    pub(super) loops: Vec<Range<usize>>,
    pub(super) tree: Tree,
}

impl Loops {
    /// Every corner of a contour starts one span.
    pub(super) fn of_corners<'a>(contours: impl Iterator<Item = &'a Contour>) -> Loops {
        Loops::new(contours.map(|contour| {
            let n = contour.vertices.len();
            (0..n).map(move |i| {
                let (v, next) = (contour.vertices[i], contour.vertices[(i + 1) % n]);
                Piece { from: v.at, to: next.at, bulge: v.bulge }
            })
        }))
    }

    /// Contours as a source is read: corners too near each other are one.
    pub(super) fn of_source<'a>(contours: impl Iterator<Item = &'a Contour>) -> Loops {
        Loops::new(contours.map(|contour| clean_pieces(contour, SHORT)))
    }

    fn new<P: IntoIterator<Item = Piece>>(contours: impl Iterator<Item = P>) -> Loops {
        let (mut spans, mut origin, mut loops) = (Vec::new(), Vec::new(), Vec::new());
        for pieces in contours {
            let first = spans.len();
            spans.extend(pieces.into_iter().map(|piece| Span::of(&piece)));
            let count = spans.len() - first;
            origin.resize(spans.len(), (first as u32, count as u32));
            loops.push(first..spans.len());
        }
        let tree = Tree::new(&spans);
        Loops { spans, origin, loops, tree }
    }

    fn next(&self, i: usize) -> usize {
        let (first, count) = self.origin[i];
        if i as u32 + 1 == first + count { first as usize } else { i + 1 }
    }

    /// Where a span of a group and a later span cross or touch, other than at a corner that they
    /// share.
    pub(super) fn crossing(&self, group: Range<usize>) -> Option<Point> {
        let mut bad = None;
        self.tree.later_pairs(group, TOUCH, |i, j| {
            bad = bad.or_else(|| self.crossing_of(i, j));
        });
        bad
    }

    fn crossing_of(&self, i: usize, j: usize) -> Option<Point> {
        let (one, two) = (&self.spans[i], &self.spans[j]);
        let shared = [(self.next(i) == j).then_some(one.to), (self.next(j) == i).then_some(two.to)];
        let is_shared =
            |p: Point| shared.iter().flatten().any(|&s| square(p - s) < SHARED * SHARED);
        let near = |a: &Span, p: Point| !is_shared(p) && a.distance2(p) < TOUCH * TOUCH;
        let crossings = one.cross(Slack::default(), two, Slack::default());
        let crossed = crossings.as_slice().iter().copied().find(|&p| !is_shared(p));
        crossed
            .or_else(|| [two.from, two.to].into_iter().find(|&p| near(one, p)))
            .or_else(|| [one.from, one.to].into_iter().find(|&p| near(two, p)))
    }

    /// Signed area of a loop.
    pub(super) fn area(&self, index: usize) -> f64 {
        let spans = &self.spans[self.loops[index].clone()];
        // Corners from the first one on, so that far from zero no digits are lost.
        let origin = spans.first().map_or(Point::default(), |s| s.from);
        spans.iter().map(|s| s.area2(origin)).sum::<f64>() / 2.0
    }

    /// How often all loops but one turn about a point on that one.
    pub(super) fn winding_of_others(&self, index: usize, at: Point) -> i32 {
        let own = &self.loops[index];
        self.tree.winding(&self.spans, at, |i| self.spans[i].to, |i| own.contains(&i))
    }
}
