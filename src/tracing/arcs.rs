//! Bézier curves as arcs that follow them, tangent to one another, within a certified tolerance.
//!
//! Each stretch of curve gets a biarc: two arcs that share a tangent where they meet and have the
//! curve's own tangents at its ends. The certificate is no sampling: that the curve lies within a
//! ring about an arc's centre is a polynomial inequality, and it holds if every Bernstein
//! coefficient of it does. The curve runs through the ring from end to end, so the arc is within
//! the tolerance of the curve as well as the curve within that of the arc.

use super::curve::Bezier;
use crate::geometry::{Piece, Point};
use std::f64::consts::FRAC_PI_2;

/// Share of the tolerance across an arc; the rest is for what overhangs its ends.
const ACROSS: f64 = 0.8;

/// A curve so much closer to a line than the tolerance is drawn as one.
const STRAIGHT: f64 = 0.02;

/// Halvings of a curve before it is given up: a millionth of its parameter.
const DEEPEST: usize = 20;

/// Halvings of a curve inside the certificate.
const DEEPEST_PROOF: usize = 5;

/// Arcs that follow `curve` within `tolerance`, both ways; `None` where `most` do not do.
pub(super) fn follow(curve: &Bezier, tolerance: f64, most: usize) -> Option<Vec<Piece>> {
    let mut found = Vec::new();
    // Curves still to follow, the next on top, with their depth: no recursion on what files say.
    let mut waiting = vec![(curve.clone(), 0)];
    while let Some((curve, depth)) = waiting.pop() {
        if let Some(pieces) = stretch(&curve, tolerance) {
            found.extend(pieces);
        } else if depth == DEEPEST || found.len() + waiting.len() > most {
            return None;
        } else {
            let (left, right) = curve.split(0.5);
            waiting.push((right, depth + 1));
            waiting.push((left, depth + 1));
        }
    }
    Some(found)
}

/// One stretch as a line or a biarc, if that is certified.
fn stretch(curve: &Bezier, tolerance: f64) -> Option<Vec<Piece>> {
    let (from, to) = (curve.first(), curve.last());
    let line = Piece { from, to, bulge: 0.0 };
    // A curve smaller than half the tolerance is as good as the line between its ends.
    if 2.0 * curve.reach() <= tolerance / 2.0 || along_line(curve, &line, tolerance * STRAIGHT) {
        return Some(vec![line]);
    }
    let (first, second) = biarc(curve)?;
    let meet = meeting(curve, &first)?;
    let (left, right) = curve.split(meet);
    (along_arc(&left, &first, tolerance) && along_arc(&right, &second, tolerance))
        .then(|| vec![first, second])
}

/// The two arcs with equal tangent lengths (the usual choice for a biarc: the joint is where the
/// lengths from both ends along the tangents are equal).
fn biarc(curve: &Bezier) -> Option<(Piece, Piece)> {
    let (from, to) = (curve.first(), curve.last());
    let (t0, t1) = curve.tangents()?;
    let v = to - from;
    let both = t0 + t1;
    let spread = 2.0 * (1.0 - t0.dot(t1));
    let along = v.dot(both);
    let far = v.dot(v);
    // The positive root of spread d² + 2 along d - far = 0, without cancellation.
    let root = (along * along + spread * far).sqrt();
    let d = far / (along + root);
    if !(d.is_finite() && d > 0.0) {
        return None;
    }
    let joint = (from + to + (t0 - t1) * d) * 0.5;
    let first = Piece { from, to: joint, bulge: bulge(t0, joint - from)? };
    let second = Piece { from: joint, to, bulge: bulge(to - joint, t1)? };
    Some((first, second))
}

/// tan(sweep / 4) of an arc that leaves along `a` where its chord runs along `b`, or the like at
/// its end; `None` over a quarter turn.
fn bulge(a: Point, b: Point) -> Option<f64> {
    let half_sweep = a.cross(b).atan2(a.dot(b));
    (half_sweep.abs() <= FRAC_PI_2 / 2.0).then(|| (half_sweep / 2.0).tan())
}

/// Where the curve crosses the square across the first arc's end.
fn meeting(curve: &Bezier, first: &Piece) -> Option<f64> {
    let (at, way) = (first.to, first.direction(1.0));
    let ahead = |t: f64| (curve.at(t) - at).dot(way);
    let (mut low, mut high) = (0.0, 1.0);
    if ahead(low) >= 0.0 || ahead(high) <= 0.0 {
        return None;
    }
    // Halvings enough for every digit.
    for _ in 0..52 {
        let middle = 0.5 * (low + high);
        if ahead(middle) < 0.0 { low = middle } else { high = middle }
    }
    Some(0.5 * (low + high))
}

/// Whether the curve is proved to lie within `tolerance` of a line.
fn along_line(curve: &Bezier, line: &Piece, tolerance: f64) -> bool {
    let Some(way) = (line.to - line.from).unit() else { return false };
    let length = line.from.distance(line.to);
    curve.controls().all(|p| {
        let (along, across) = (way.dot(p - line.from), way.cross(p - line.from));
        across.abs() <= tolerance && along >= -tolerance && along <= length + tolerance
    })
}

/// Whether the curve is proved to lie within `tolerance` of an arc of at most a quarter turn.
fn along_arc(curve: &Bezier, arc: &Piece, tolerance: f64) -> bool {
    let (across, over) = (ACROSS * tolerance, (1.0 - ACROSS) * tolerance);
    let Some(center) = arc.center() else { return along_line(curve, arc, across) };
    let proof = Proof {
        center,
        radius: arc.radius(),
        across,
        over,
        start: (arc.from, arc.direction(0.0)),
        end: (arc.to, arc.direction(1.0)),
    };
    proof.holds(curve, 0)
}

/// What has to hold for a curve beside an arc.
struct Proof {
    center: Point,
    radius: f64,
    /// Allowed across the arc.
    across: f64,
    /// Allowed past its ends.
    over: f64,
    /// Its ends, and its direction there.
    start: (Point, Point),
    end: (Point, Point),
}

impl Proof {
    fn holds(&self, curve: &Bezier, depth: usize) -> bool {
        let off = |p: Point| (p.distance(self.center) - self.radius).abs() > self.across;
        if off(curve.first()) || off(curve.last()) {
            return false;
        }
        if self.in_sector(curve) && self.in_ring(curve) {
            return true;
        }
        if depth == DEEPEST_PROOF {
            return false;
        }
        let (left, right) = curve.split(0.5);
        self.holds(&left, depth + 1) && self.holds(&right, depth + 1)
    }

    /// Between the squares across the arc's ends: a convex room, so control points suffice.
    fn in_sector(&self, curve: &Bezier) -> bool {
        curve.controls().all(|p| {
            (p - self.start.0).dot(self.start.1) >= -self.over
                && (p - self.end.0).dot(self.end.1) <= self.over
        })
    }

    /// Between two circles: for the curve (x, y) / w about the centre,
    /// x² + y² - (radius ± across)² w² has one sign if all its Bernstein coefficients have it.
    fn in_ring(&self, curve: &Bezier) -> bool {
        let own: Vec<(Point, f64)> =
            curve.poles.iter().map(|&(p, w)| (p - self.center * w, w)).collect();
        let n = own.len() - 1;
        let (outer, inner) = (self.radius + self.across, (self.radius - self.across).max(0.0));
        (0..=2 * n).all(|k| {
            let (mut squares, mut weights) = (0.0, 0.0);
            for i in k.saturating_sub(n)..=k.min(n) {
                let (a, b) = (own[i], own[k - i]);
                let share = choose(n, i) * choose(n, k - i);
                squares += share * a.0.dot(b.0);
                weights += share * a.1 * b.1;
            }
            squares <= outer * outer * weights && squares >= inner * inner * weights
        })
    }
}

/// n over k, for the small degrees of drawings.
fn choose(n: usize, k: usize) -> f64 {
    (0..k.min(n - k)).fold(1.0, |all, i| all * (n - i) as f64 / (i + 1) as f64)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;
    use crate::geometry::{Contour, point};

    fn cubic(points: [(f64, f64); 4]) -> Bezier {
        Bezier { poles: points.iter().map(|&(x, y)| (point(x, y), 1.0)).collect() }
    }

    /// Both distances by brute force, which knows nothing of the proof.
    fn distances(curve: &Bezier, pieces: &[Piece]) -> (f64, f64) {
        let contour = Contour::from_pieces(pieces, false);
        let samples: Vec<Point> = (0..=4000).map(|i| curve.at(f64::from(i) / 4000.0)).collect();
        let there = samples.iter().map(|&p| contour.nearest(p).unwrap().0).fold(0.0, f64::max);
        let back = contour
            .flattened(1e-4)
            .iter()
            .map(|p| samples.iter().map(|q| q.distance(*p)).fold(f64::INFINITY, f64::min))
            .fold(0.0, f64::max);
        (there, back)
    }

    #[test]
    fn an_s_curve_is_followed_both_ways_by_tangent_arcs() {
        let curve = cubic([(0.0, 0.0), (30.0, 0.0), (10.0, 20.0), (40.0, 20.0)]);
        for tolerance in [0.1, 0.005] {
            let pieces = follow(&curve, tolerance, 1000).unwrap();
            let (there, back) = distances(&curve, &pieces);
            // Samples of the curve stand up to 0.02 mm apart, which only the way back feels.
            assert!(there <= tolerance && back <= tolerance + 0.012, "{there} {back}");
            for pair in pieces.windows(2) {
                let turn = pair[0].direction(1.0).cross(pair[1].direction(0.0)).abs();
                assert!(turn < 1e-6, "a corner of {turn} rad");
            }
        }
    }

    #[test]
    fn a_looser_tolerance_needs_fewer_arcs() {
        let curve = cubic([(0.0, 0.0), (30.0, 0.0), (10.0, 20.0), (40.0, 20.0)]);
        let count = |tolerance| follow(&curve, tolerance, 1000).unwrap().len();
        assert!(count(0.5) < count(0.05) && count(0.05) < count(0.0005));
    }

    #[test]
    fn the_proof_refuses_an_arc_beside_the_curve() {
        let curve = cubic([(0.0, 0.0), (5.0, 3.0), (10.0, 3.0), (15.0, 0.0)]);
        let (first, _) = biarc(&curve).unwrap();
        let (left, _) = curve.split(meeting(&curve, &first).unwrap());
        assert!(along_arc(&left, &first, 0.5));
        let wrong = Piece { bulge: first.bulge * 1.5, ..first };
        assert!(!along_arc(&left, &wrong, 0.05));
    }

    #[test]
    fn cusps_loops_and_dots_end() {
        let cusp = cubic([(0.0, 0.0), (10.0, 10.0), (0.0, 10.0), (10.0, 0.0)]);
        let folded = cubic([(0.0, 0.0), (20.0, 0.0), (-10.0, 0.0), (10.0, 0.0)]);
        for curve in [cusp, folded] {
            let pieces = follow(&curve, 0.005, 100_000).unwrap();
            assert!(distances(&curve, &pieces).0 <= 0.005);
        }
        let dot = follow(&cubic([(1.0, 1.0); 4]), 0.005, 100_000).unwrap();
        assert!(dot.iter().all(|p| p.from == point(1.0, 1.0) && p.to == p.from));
    }
}
