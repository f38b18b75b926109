//! Where the passes lie across a face, so that what stays between them is what was asked.

use super::edge::Edge;
use super::face::Face;
use super::locus::Ground;
use super::span::Run;
use crate::geometry::{Point, point};

/// Samples along the face, mm. Where the last pass stops clearing is found between them.
const SAMPLE: f64 = 0.04;

/// Angle, radians, between samples round a sharp edge: 15 degrees.
const EDGE: f64 = std::f64::consts::PI / 12.0;

/// Halvings of a search between two neighbours on a locus.
const HALVINGS: usize = 20;

/// Places of the locus on each side of the last one that served, where the next is looked for first.
const HINT: usize = 2;

/// Growth of the step in a search for what is left.
const STEP: f64 = 1.4;

/// Halvings of the scallop when passes are evened: to 2 % of it.
const EVENING: usize = 6;

/// A place of the face that must come clear.
#[derive(Clone, Copy, Debug)]
pub struct Sample {
    /// On the face.
    pub at: Point,
    /// Out of the wood.
    pub normal: Point,
    /// How far above it, along the normal, wood may stay.
    pub tolerance: f64,
    /// The element of the moulding.
    pub element: Option<usize>,
    /// On a level or an upright piece, which a square end cuts without a scallop.
    pub plain: bool,
}

impl Sample {
    /// The lowest point above it that must come clear.
    fn target(&self, tolerance: f64) -> Point {
        self.at + self.normal * tolerance
    }
}

/// Samples of a face below `top`, the stock's top, from left to right. A sharp edge of the wood
/// has some for every direction between its two sides, so that no feather stays on it.
#[must_use]
pub fn samples(face: &Face, top: f64, tolerance: f64) -> Vec<Sample> {
    let mut out = Vec::new();
    let mut before: Option<Point> = None;
    for span in &face.spans {
        let level = matches!(span.run, Run::Line) && (span.from.y - span.to.y).abs() < 1e-9;
        let mut sample = |at: Point, normal: Point, plain: bool| {
            if at.y < top - 1e-6 {
                out.push(Sample { at, normal, tolerance, element: span.element, plain });
            }
        };
        let (at, normal) = span.at(0.0);
        // At the face's left end the edge turns from straight up.
        round_edge(at, before.unwrap_or(point(0.0, 1.0)), normal, &mut sample);
        // A count of samples along millimetres of moulding.
        let count = (span.length() / SAMPLE).ceil().max(2.0) as usize;
        for i in 0..count {
            let (at, normal) = span.at((i as f64 + 0.5) / count as f64);
            sample(at, normal, level || span.is_wall());
        }
        before = Some(span.at(1.0).1);
    }
    if let (Some(last), Some(normal)) = (face.spans.last(), before)
        && last.to.y < top - 1e-6
    {
        let mut sample = |at: Point, normal: Point, plain: bool| {
            out.push(Sample { at, normal, tolerance, element: last.element, plain });
        };
        round_edge(last.to, normal, point(0.0, 1.0), &mut sample);
    }
    out
}

/// Samples at an edge where the normal turns from one direction to another, if it is sharp.
fn round_edge(at: Point, from: Point, to: Point, sample: &mut dyn FnMut(Point, Point, bool)) {
    let turn = from.cross(to).atan2(from.dot(to));
    // Clockwise: the wood sticks out. Half a turn is a feather's edge, whichever way.
    if turn < -EDGE || turn.abs() > std::f64::consts::PI - EDGE {
        let turn = -turn.abs();
        let steps = (turn.abs() / EDGE).ceil().max(1.0) as usize;
        for i in 0..=steps {
            sample(at, from.rotated(turn * i as f64 / steps as f64), true);
        }
    }
}

/// Whether a cutter whose tip is at `tip` takes away a point.
fn clears(edge: &Edge, tip: Point, p: Point) -> bool {
    // A hundredth of a micrometre, for places that lie on each other.
    edge.clears((p.x - tip.x).abs(), p.y - tip.y + 1e-8)
}

/// A sample that a cutter can clear, its place in the list, and the last place of the locus
/// from which it comes clear.
struct Open {
    sample: Sample,
    index: usize,
    end: usize,
}

/// A cutter with everything that its tip may do over one face.
#[derive(Clone, Debug)]
pub struct Finisher<'a> {
    edge: Edge,
    ground: &'a Ground,
    locus: Vec<Point>,
}

impl<'a> Finisher<'a> {
    /// A cutter that may go from one u to another.
    #[must_use]
    pub fn new(edge: Edge, ground: &'a Ground, (from, to): (f64, f64)) -> Finisher<'a> {
        Finisher { edge, ground, locus: ground.locus(&edge, from, to) }
    }

    /// The part of the locus from which the cutter can touch a point.
    fn near(&self, p: Point) -> std::ops::Range<usize> {
        let start = self.locus.partition_point(|t| t.x < p.x - self.edge.radius - 1e-9);
        let end = self.locus.partition_point(|t| t.x <= p.x + self.edge.radius + 1e-9);
        start..end
    }

    /// First and last place of the longest stretch from which a point comes clear.
    fn stretch(&self, p: Point) -> Option<(usize, usize)> {
        let mut best: Option<(usize, usize)> = None;
        let mut open: Option<usize> = None;
        let range = self.near(p);
        for j in range.clone() {
            match (clears(&self.edge, self.locus[j], p), open) {
                (true, None) => open = Some(j),
                (false, Some(_)) => open = None,
                _ => {}
            }
            if let Some(start) = open
                && best.is_none_or(|(a, b)| j - start > b - a)
            {
                best = Some((start, j));
            }
        }
        best
    }

    /// How far above each of some samples, in their order, wood must stay, and the direction in
    /// which that was measured: its normal, or straight up where the normal runs into other wood,
    /// as in a quirk.
    #[must_use]
    pub fn leaves_each(&self, samples: &[Sample], most: f64) -> Vec<(f64, Point)> {
        let mut hint = 0;
        samples.iter().map(|sample| self.leaves_from(sample, most, &mut hint)).collect()
    }

    /// `hint`: a place of the locus from which a neighbour came clear, most likely this one too.
    fn leaves_from(&self, sample: &Sample, most: f64, hint: &mut usize) -> (f64, Point) {
        // Nothing of a face lies under other parts of it: straight up there is air.
        let up = point(0.0, 1.0);
        match self.left_along(sample, sample.normal, most, hint) {
            Some(left) => (left, sample.normal),
            None => (self.left_along(sample, up, most, hint).unwrap_or(most), up),
        }
    }

    fn left_along(
        &self,
        sample: &Sample,
        normal: Point,
        most: f64,
        hint: &mut usize,
    ) -> Option<f64> {
        let at = |h: f64| sample.at + normal * h;
        let mut free = |h: f64| {
            let p = at(h);
            let clear = |j: &usize| clears(&self.edge, self.locus[*j], p);
            let about = hint.saturating_sub(HINT)..(*hint + HINT + 1).min(self.locus.len());
            let found = about.rev().find(clear).or_else(|| self.near(p).find(clear));
            *hint = found.unwrap_or(*hint);
            found.is_some()
        };
        if free(sample.tolerance) {
            return Some(0.0);
        }
        // Outward by growing steps, as long as there is air.
        let (mut low, mut high) = (sample.tolerance, sample.tolerance * STEP);
        while !free(high) {
            let p = at(high);
            let into_wood = normal.x != 0.0 && self.ground.height(p.x) > p.y + 1e-9;
            if high > most || into_wood {
                return None;
            }
            (low, high) = (high, high * STEP);
        }
        // To a thousandth of what is left.
        for _ in 0..10 {
            let middle = (low + high) / 2.0;
            if free(middle) { high = middle } else { low = middle }
        }
        Some(high)
    }

    /// The fewest passes that bring every sample within its tolerance, in the order of the
    /// locus. Each sample is brought clear from one stretch of the locus; taking them by the
    /// stretches' ends, a pass at the end of the first that is not yet clear serves the most.
    /// `done`: passes of other cutters before.
    #[must_use]
    pub fn passes(&self, samples: &[Sample], done: &[(Edge, Point)]) -> Vec<Point> {
        self.with_share(&undone(samples, done), 1.0)
    }

    /// The same with every tolerance lowered to a share of it, where the cutter can do that.
    fn with_share(&self, samples: &[Sample], share: f64) -> Vec<Point> {
        let mut open: Vec<Open> = Vec::with_capacity(samples.len());
        for (index, s) in samples.iter().enumerate() {
            let found = [s.tolerance * share, s.tolerance]
                .into_iter()
                .find_map(|h| self.stretch(s.target(h)).map(|(_, end)| (h, end)));
            if let Some((tolerance, end)) = found {
                open.push(Open { sample: Sample { tolerance, ..*s }, index, end });
            }
        }
        let mut order: Vec<usize> = (0..open.len()).collect();
        order.sort_by_key(|i| (open[*i].end, open[*i].index));
        let mut out: Vec<Point> = Vec::new();
        for i in order {
            let one = &open[i];
            let p = one.sample.target(one.sample.tolerance);
            if self.cleared(&out, p) {
                continue;
            }
            let before = i.checked_sub(1).map(|b| &open[b]).filter(|b| b.index + 1 == one.index);
            let edge = before.and_then(|b| self.last_clear(&out, &b.sample, &one.sample));
            out.push(self.refined(one.end, edge.unwrap_or(p)));
        }
        out
    }

    /// Whether one of the last passes clears a point.
    fn cleared(&self, passes: &[Point], p: Point) -> bool {
        let near = passes.iter().rev().take_while(|t| t.x > p.x - 2.0 * self.edge.radius);
        near.into_iter().any(|tip| clears(&self.edge, *tip, p))
    }

    /// The place between two neighbouring samples up to which the passes so far clear.
    fn last_clear(&self, passes: &[Point], a: &Sample, b: &Sample) -> Option<Point> {
        let close = a.at.distance(b.at) < 2.0 * SAMPLE && a.normal.dot(b.normal) > 0.9;
        let (p, q) = (a.target(a.tolerance), b.target(b.tolerance));
        if !close || !self.cleared(passes, p) {
            return None;
        }
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..HALVINGS {
            let middle = (low + high) / 2.0;
            match self.cleared(passes, p + (q - p) * middle) {
                true => low = middle,
                false => high = middle,
            }
        }
        Some(p + (q - p) * high)
    }

    /// The farthest place round `end` on the locus that still clears a point.
    fn refined(&self, end: usize, p: Point) -> Point {
        let mut end = end;
        while end > 0 && !clears(&self.edge, self.locus[end], p) {
            end -= 1;
        }
        let tip = self.locus[end];
        let Some(next) = self.locus.get(end + 1) else { return tip };
        let (mut low, mut high) = (tip.x, next.x);
        let mut best = tip;
        for _ in 0..HALVINGS {
            let middle = (low + high) / 2.0;
            let at = point(middle, self.ground.tip(&self.edge, middle));
            if clears(&self.edge, at, p) {
                (low, best) = (middle, at);
            } else {
                high = middle;
            }
        }
        best
    }

    /// As [`Finisher::passes`], but with the same number of passes closer together, so that no
    /// scallop is needlessly higher than its neighbours: the last gap is as wide as the others.
    #[must_use]
    pub fn even_passes(&self, samples: &[Sample], done: &[(Edge, Point)]) -> Vec<Point> {
        let samples = undone(samples, done);
        let mut best = self.with_share(&samples, 1.0);
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..EVENING {
            let share = (low + high) / 2.0;
            let tried = self.with_share(&samples, share);
            if tried.len() <= best.len() {
                (best, high) = (tried, share);
            } else {
                low = share;
            }
        }
        best
    }
}

/// The samples that none of these passes cleared.
fn undone(samples: &[Sample], done: &[(Edge, Point)]) -> Vec<Sample> {
    let clear = |s: &&Sample| {
        let p = s.target(s.tolerance);
        !done.iter().any(|(edge, tip)| clears(edge, *tip, p))
    };
    samples.iter().filter(clear).copied().collect()
}
