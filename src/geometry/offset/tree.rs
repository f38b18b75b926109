//! A tree of boxes over spans in the order in which they follow one another. Neighbours along
//! an outline are neighbours in the plane, so that no sorting is needed: building costs O(n),
//! a query O(log n) and what it finds.

use super::span::{Span, square};
use crate::geometry::Point;

/// A box with sides along the axes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bounds {
    low: Point,
    high: Point,
}

impl Bounds {
    pub(super) fn of(p: Point, q: Point) -> Bounds {
        let mut bounds = Bounds { low: p, high: p };
        bounds.add(q);
        bounds
    }

    pub(super) fn add(&mut self, p: Point) {
        self.low = Point { x: self.low.x.min(p.x), y: self.low.y.min(p.y) };
        self.high = Point { x: self.high.x.max(p.x), y: self.high.y.max(p.y) };
    }

    fn join(mut self, other: &Bounds) -> Bounds {
        self.add(other.low);
        self.add(other.high);
        self
    }

    /// Whether two boxes come closer than `by` along both axes.
    pub(super) fn overlaps(&self, other: &Bounds, by: f64) -> bool {
        self.low.x <= other.high.x + by
            && other.low.x <= self.high.x + by
            && self.low.y <= other.high.y + by
            && other.low.y <= self.high.y + by
    }

    /// Square of the distance between two boxes.
    fn gap2(&self, other: &Bounds) -> f64 {
        let dx = (self.low.x - other.high.x).max(other.low.x - self.high.x).max(0.0);
        let dy = (self.low.y - other.high.y).max(other.low.y - self.high.y).max(0.0);
        dx * dx + dy * dy
    }

    fn distance2(&self, p: Point) -> f64 {
        let dx = (self.low.x - p.x).max(p.x - self.high.x).max(0.0);
        let dy = (self.low.y - p.y).max(p.y - self.high.y).max(0.0);
        dx * dx + dy * dy
    }
}

/// Children of a node.
const FAN: usize = 4;

/// Boxes of spans, of groups of spans, of groups of groups.
#[derive(Clone, Debug, Default)]
pub(super) struct Tree {
    boxes: Vec<Bounds>,
    /// Where each level starts in `boxes`; the first level holds one box a span.
    levels: Vec<usize>,
}

impl Tree {
    pub(super) fn new(spans: &[Span]) -> Tree {
        let mut boxes = Vec::with_capacity(spans.len() * 4 / 3 + 16);
        boxes.extend(spans.iter().map(Span::bounds));
        let mut levels = vec![0];
        let mut start = 0;
        while boxes.len() - start > 1 {
            let end = boxes.len();
            let mut at = start;
            while at < end {
                let group = &boxes[at..(at + FAN).min(end)];
                let whole = group[1..].iter().fold(group[0], Bounds::join);
                boxes.push(whole);
                at += FAN;
            }
            levels.push(end);
            start = end;
        }
        Tree { boxes, levels }
    }

    fn level_end(&self, level: usize) -> usize {
        self.levels.get(level + 1).copied().unwrap_or(self.boxes.len())
    }

    /// Calls `leaf` with each span whose box, and whose groups' boxes, are wanted, until it
    /// returns `true`; returns whether it did.
    pub(super) fn visit(
        &self,
        mut wanted: impl FnMut(&Bounds) -> bool,
        mut leaf: impl FnMut(usize) -> bool,
    ) -> bool {
        if self.boxes.is_empty() {
            return false;
        }
        // Deep enough for 4^20 spans with three waiting at each level.
        let mut stack = [(0u32, 0u32); 64];
        let top = self.levels.len() - 1;
        if !wanted(&self.boxes[self.levels[top]]) {
            return false;
        }
        stack[0] = (top as u32, 0);
        let mut depth = 1;
        while depth > 0 {
            depth -= 1;
            let (level, index) = (stack[depth].0 as usize, stack[depth].1 as usize);
            if level == 0 {
                if leaf(index) {
                    return true;
                }
                continue;
            }
            let below = self.levels[level - 1];
            let first = index * FAN;
            let count = FAN.min(self.level_end(level - 1) - below - first);
            for child in first..first + count {
                if wanted(&self.boxes[below + child]) {
                    stack[depth] = ((level - 1) as u32, child as u32);
                    depth += 1;
                }
            }
        }
        false
    }

    /// Whether a span lies closer to `p` than `reach`. `hint` is a span to try first and is
    /// set to the one found.
    pub(super) fn any_within(
        &self,
        spans: &[Span],
        p: Point,
        reach: f64,
        hint: &mut usize,
    ) -> bool {
        if reach <= 0.0 {
            return false;
        }
        let reach2 = reach * reach;
        if spans.get(*hint).is_some_and(|s| s.distance2(p) < reach2) {
            return true;
        }
        self.visit(
            |b| b.distance2(p) < reach2,
            |i| {
                let near = spans[i].distance2(p) < reach2;
                if near {
                    *hint = i;
                }
                near
            },
        )
    }

    /// A span that comes closer to `one` than `reach`.
    pub(super) fn any_gap_within(&self, spans: &[Span], one: &Span, reach: f64) -> Option<usize> {
        let (bounds, reach2) = (one.bounds(), reach * reach);
        let mut found = None;
        self.visit(
            |b| b.gap2(&bounds) < reach2,
            |i| {
                let near = spans[i].gap2(one) < reach2;
                if near {
                    found = Some(i);
                }
                near
            },
        );
        found
    }

    /// The nearest span to `p` and its distance.
    pub(super) fn nearest(&self, spans: &[Span], p: Point) -> Option<(usize, f64)> {
        let best = std::cell::Cell::new((usize::MAX, f64::INFINITY));
        self.visit(
            |b| b.distance2(p) < best.get().1,
            |i| {
                let d = spans[i].distance2(p);
                if d < best.get().1 {
                    best.set((i, d));
                }
                false
            },
        );
        let (index, d2) = best.get();
        (index != usize::MAX).then(|| (index, d2.sqrt()))
    }

    /// Calls `pair` with each later span whose box comes within `by` of that of span `index`.
    pub(super) fn later_pairs(&self, index: usize, by: f64, mut pair: impl FnMut(usize)) {
        let bounds = self.boxes[index];
        self.visit(
            |b| b.overlaps(&bounds, by),
            |i| {
                if i > index {
                    pair(i);
                }
                false
            },
        );
    }

    /// How often the spans, all closed loops together, turn about `p`; those for which `skip`
    /// holds are left out.
    pub(super) fn winding(&self, spans: &[Span], p: Point, skip: impl Fn(usize) -> bool) -> i32 {
        let mut turns = 0;
        self.visit(
            |b| b.low.y <= p.y && p.y <= b.high.y && b.high.x >= p.x,
            |i| {
                if !skip(i) {
                    turns += turns_about(&spans[i], p);
                }
                false
            },
        );
        turns
    }
}

/// Signed crossings of a span with the ray from `p` to the right: those of its chord, and one
/// if `p` lies between chord and arc.
fn turns_about(span: &Span, p: Point) -> i32 {
    let (from, to) = (span.from, span.to);
    let mut turns = 0;
    let side = (to - from).cross(p - from);
    if from.y <= p.y && to.y > p.y && side > 0.0 {
        turns += 1;
    } else if from.y > p.y && to.y <= p.y && side < 0.0 {
        turns -= 1;
    }
    if !span.is_line() {
        let inside = square(p - span.center) < span.size * span.size;
        // A point on the chord counts with the arc's side, as the chord's own test leaves it out.
        if inside && (side * span.turn < 0.0 || (side == 0.0 && span.turn > 0.0)) {
            turns += span.turn as i32;
        }
    }
    turns
}
