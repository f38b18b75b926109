//! A tree of boxes over spans in the order in which they follow one another. Neighbours along
//! an outline are neighbours in the plane, so that no sorting is needed: building costs O(n),
//! a query O(log n) and what it finds.

use super::span::{Span, square};
use crate::geometry::Point;
use std::ops::Range;

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
}

/// All points within a distance of a chord: far tighter than a box about a run of a slanting
/// or gently bending outline.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sleeve {
    from: Point,
    to: Point,
    /// Unit direction of the chord and its length.
    along: Point,
    length: f64,
    radius: f64,
}

impl Sleeve {
    fn chord(from: Point, to: Point, radius: f64) -> Sleeve {
        let chord = to - from;
        let length = square(chord).sqrt();
        let along = if length > 0.0 { chord * (1.0 / length) } else { Point { x: 1.0, y: 0.0 } };
        Sleeve { from, to, along, length, radius }
    }

    pub(super) fn of(span: &Span) -> Sleeve {
        // An arc of at most half a turn is nowhere farther from its chord than at its middle.
        let rise = if span.is_line() {
            0.0
        } else {
            let half = square(span.to - span.from) / 4.0;
            let apothem = (span.size * span.size - half).max(0.0).sqrt();
            // Rounding must not make the sleeve too tight.
            (span.size - apothem) * (1.0 + 1e-9) + 1e-12 * span.size
        };
        Sleeve::chord(span.from, span.to, rise)
    }

    fn around(group: &[Sleeve]) -> Sleeve {
        let mut whole = Sleeve::chord(group[0].from, group[group.len() - 1].to, 0.0);
        for one in group {
            let off = whole.chord_distance2(one.from).max(whole.chord_distance2(one.to)).sqrt();
            // A chord between two points in a sleeve stays in it.
            whole.radius = whole.radius.max(off + one.radius);
        }
        whole
    }

    fn chord_distance2(&self, p: Point) -> f64 {
        let v = p - self.from;
        let along = v.dot(self.along);
        if along <= 0.0 {
            square(v)
        } else if along >= self.length {
            square(p - self.to)
        } else {
            let aside = v.cross(self.along);
            aside * aside
        }
    }

    /// Whether a point of it may lie closer to `p` than `reach`.
    #[inline]
    fn may_be_within(&self, p: Point, reach: f64) -> bool {
        let reach = reach + self.radius;
        self.chord_distance2(p) < reach * reach
    }

    /// Whether points of two sleeves may lie closer to each other than `reach`.
    fn may_come_within(&self, other: &Sleeve, reach: f64) -> bool {
        let reach = reach + self.radius + other.radius;
        let reach2 = reach * reach;
        let least = self
            .chord_distance2(other.from)
            .min(self.chord_distance2(other.to))
            .min(other.chord_distance2(self.from))
            .min(other.chord_distance2(self.to));
        least < reach2 || self.chords_cross(other)
    }

    fn chords_cross(&self, other: &Sleeve) -> bool {
        let side = |one: &Sleeve, p: Point| one.along.cross(p - one.from);
        side(self, other.from) * side(self, other.to) <= 0.0
            && side(other, self.from) * side(other, self.to) <= 0.0
    }
}

/// Children of a node.
const FAN: usize = 4;

/// Boxes of spans, of groups of spans, of groups of groups.
#[derive(Clone, Debug, Default)]
pub(super) struct Tree {
    boxes: Vec<Bounds>,
    /// In the same order as the boxes.
    sleeves: Vec<Sleeve>,
    /// Where each level starts in `boxes`; the first level holds one box a span.
    levels: Vec<usize>,
}

impl Tree {
    pub(super) fn new(spans: &[Span]) -> Tree {
        let mut boxes = Vec::with_capacity(spans.len() * 4 / 3 + 16);
        boxes.extend(spans.iter().map(Span::bounds));
        let mut sleeves = Vec::with_capacity(spans.len() * 4 / 3 + 16);
        sleeves.extend(spans.iter().map(Sleeve::of));
        let mut levels = vec![0];
        let mut start = 0;
        while boxes.len() - start > 1 {
            let end = boxes.len();
            let mut at = start;
            while at < end {
                let group = at..(at + FAN).min(end);
                let whole = boxes[group.clone()][1..].iter().fold(boxes[at], Bounds::join);
                boxes.push(whole);
                sleeves.push(Sleeve::around(&sleeves[group]));
                at += FAN;
            }
            levels.push(end);
            start = end;
        }
        Tree { boxes, sleeves, levels }
    }

    fn level_end(&self, level: usize) -> usize {
        self.levels.get(level + 1).copied().unwrap_or(self.boxes.len())
    }

    /// Calls `leaf` with each span whose node, and whose groups' nodes, are wanted, until it
    /// returns `true`; returns whether it did.
    pub(super) fn visit(
        &self,
        mut wanted: impl FnMut(usize) -> bool,
        mut leaf: impl FnMut(usize) -> bool,
    ) -> bool {
        if self.boxes.is_empty() {
            return false;
        }
        // Deep enough for 4^20 spans with three waiting at each level.
        let mut stack = [(0u32, 0u32); 64];
        let top = self.levels.len() - 1;
        if !wanted(self.levels[top]) {
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
                if wanted(below + child) {
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
            |node| self.sleeves[node].may_be_within(p, reach),
            |i| {
                let near = spans[i].distance2(p) < reach2;
                if near {
                    *hint = i;
                }
                near
            },
        )
    }

    /// The node over span `index` and its neighbours, as many as a group holds.
    fn group_node(&self, index: usize) -> usize {
        self.levels.get(1).map_or(0, |level| level + index / FAN)
    }

    /// Index ranges of the groups within a range that starts with a group.
    pub(super) fn groups(range: Range<usize>) -> impl Iterator<Item = Range<usize>> {
        let end = range.end;
        range.step_by(FAN).map(move |at| at..(at + FAN).min(end))
    }

    /// Pairs of a span of another tree in `group` and one of this tree closer to it than
    /// `reach`: the first of the group for which there is one.
    pub(super) fn any_gap_within(
        &self,
        spans: &[Span],
        (tree, others): (&Tree, &[Span]),
        group: Range<usize>,
        reach: f64,
    ) -> Option<usize> {
        let node = tree.group_node(group.start);
        let (bounds, sleeve, reach2) = (&tree.boxes[node], &tree.sleeves[node], reach * reach);
        let mut found = None;
        self.visit(
            |n| {
                self.boxes[n].overlaps(bounds, reach)
                    && self.sleeves[n].may_come_within(sleeve, reach)
            },
            |i| {
                found = group.clone().find(|&k| {
                    let (one, two) = (&tree.boxes[k], &self.boxes[i]);
                    one.overlaps(two, reach)
                        && others[k].gap2(&spans[i], one.overlaps(two, 0.0)) < reach2
                });
                found.is_some()
            },
        );
        found
    }

    /// Calls `pair` with each span of a group and each later span whose box comes within `by` of
    /// its own.
    pub(super) fn later_pairs(
        &self,
        group: Range<usize>,
        by: f64,
        mut pair: impl FnMut(usize, usize),
    ) {
        let bounds = &self.boxes[self.group_node(group.start)];
        self.visit(
            |n| self.boxes[n].overlaps(bounds, by),
            |j| {
                for i in group.start..group.end.min(j) {
                    if self.boxes[i].overlaps(&self.boxes[j], by) {
                        pair(i, j);
                    }
                }
                false
            },
        );
    }

    /// The nearest span to `p` and its distance.
    pub(super) fn nearest(&self, spans: &[Span], p: Point) -> Option<(usize, f64)> {
        let best = std::cell::Cell::new((usize::MAX, f64::INFINITY));
        self.visit(
            |node| self.sleeves[node].may_be_within(p, best.get().1.sqrt()),
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

    /// How often the spans, all closed loops together, turn about `p`; those for which `skip`
    /// holds are left out. `end` gives where the loop goes on after a span, to the last digit:
    /// the span's own end may differ by rounding.
    pub(super) fn winding(
        &self,
        spans: &[Span],
        p: Point,
        end: impl Fn(usize) -> Point,
        skip: impl Fn(usize) -> bool,
    ) -> i32 {
        let mut turns = 0;
        self.visit(
            |node| {
                let b = &self.boxes[node];
                b.low.y - ENDS <= p.y && p.y <= b.high.y + ENDS && b.high.x + ENDS >= p.x
            },
            |i| {
                if !skip(i) {
                    turns += turns_about(&spans[i], end(i), p);
                }
                false
            },
        );
        turns
    }
}

/// By how much spans that follow one another may miss each other, millimetres: well over
/// rounding and nearly smooth joints.
const ENDS: f64 = 1e-3;

/// Signed crossings of a span with the ray from `p` to the right: those of its chord, and one
/// if `p` lies between chord and arc.
fn turns_about(span: &Span, to: Point, p: Point) -> i32 {
    let from = span.from;
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
