//! Lines and arcs through points, greedily as long as the tolerance allows.

use super::{Piece, Point, point};
use std::f64::consts::TAU;

/// Arcs of more than this radius are lines, mm.
const STRAIGHT: f64 = 5000.0;

/// An arc is worth its while from so many points on.
const LEAST: usize = 3;

/// The fewest pieces that a greedy walk finds along a chain of points: each runs from one point to a
/// later one, and no point between, nor any middle of two neighbours, is farther than `tolerance` mm
/// from it. Arcs turn less than half a turn.
#[must_use]
pub fn pieces_through(points: &[Point], tolerance: f64) -> Vec<Piece> {
    let mut all = Vec::new();
    let mut from = 0;
    while from + 1 < points.len() {
        let fits = |to: usize| piece(&points[from..=to], tolerance);
        // Ever longer steps, then halving between the last that fits and the first that does not.
        let (mut good, mut step) = (from + 1, 1);
        let mut found = Piece { from: points[from], to: points[from + 1], bulge: 0.0 };
        let mut bad = points.len();
        while good + step < bad {
            match fits(good + step) {
                Some(longer) => (found, good, step) = (longer, good + step, step * 2),
                None => bad = good + step,
            }
        }
        while good + 1 < bad {
            let middle = usize::midpoint(good, bad);
            match fits(middle) {
                Some(longer) => (found, good) = (longer, middle),
                None => bad = middle,
            }
        }
        all.push(found);
        from = good;
    }
    all
}

/// One piece through points, the first and last exactly.
fn piece(points: &[Point], tolerance: f64) -> Option<Piece> {
    let (from, to) = (points[0], points[points.len() - 1]);
    let line = Piece { from, to, bulge: 0.0 };
    let near = |piece: &Piece| {
        let off = |p: Point| piece.at(piece.nearest_share(p)).distance(p);
        points.iter().all(|p| off(*p) <= tolerance)
            && points.windows(2).all(|w| off((w[0] + w[1]) * 0.5) <= tolerance)
    };
    if near(&line) {
        return Some(line);
    }
    if points.len() < LEAST {
        return None;
    }
    let middle = points[points.len() / 2];
    let center = circle(from, middle, to)?;
    let (u, v) = (from - center, to - center);
    if u.length() > STRAIGHT {
        return None;
    }
    // By the left of the chord is clockwise.
    let left = (middle - from).cross(to - from) < 0.0;
    let mut sweep = u.cross(v).atan2(u.dot(v));
    if left && sweep > 0.0 {
        sweep -= TAU;
    }
    if !left && sweep < 0.0 {
        sweep += TAU;
    }
    let arc = Piece { from, to, bulge: (sweep / 4.0).tan() };
    (sweep.abs() < 3.1 && near(&arc)).then_some(arc)
}

/// The middle of the circle through three points, none if they are in line.
fn circle(a: Point, b: Point, c: Point) -> Option<Point> {
    let (u, v) = (b - a, c - a);
    let d = 2.0 * u.cross(v);
    if d.abs() < 1e-12 {
        return None;
    }
    let (p, q) = (u.dot(u), v.dot(v));
    Some(a + point(v.y * p - u.y * q, u.x * q - v.x * p) * (1.0 / d))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_stadium_is_found_again() {
        // Along a line, round half a circle of radius 5, and back.
        let mut points: Vec<Point> = (0..20).map(|i| point(f64::from(i), 0.0)).collect();
        let round = (0..=60).map(|i| f64::from(i) / 60.0 * std::f64::consts::PI);
        points.extend(round.map(|a| point(20.0 + 5.0 * a.sin(), 5.0 - 5.0 * a.cos())));
        points.extend((0..20).map(|i| point(19.0 - f64::from(i), 10.0)));
        let pieces = pieces_through(&points, 0.004);
        let arcs: Vec<&Piece> = pieces.iter().filter(|p| p.is_arc()).collect();
        assert!(pieces.len() <= 4 && !arcs.is_empty(), "{pieces:?}");
        assert!(arcs.iter().all(|a| a.bulge > 0.0 && (a.radius() - 5.0).abs() < 0.05), "{arcs:?}");
        assert_eq!(pieces.last().map(|p| p.to), points.last().copied());
    }

    proptest! {
        #[test]
        fn no_point_is_farther_than_the_tolerance(
            turns in prop::collection::vec(-0.6..0.6_f64, 2..60), tolerance in 0.001..0.1_f64,
        ) {
            let (mut at, mut heading) = (point(0.0, 0.0), 0.0);
            let mut points = vec![at];
            for turn in turns {
                heading += turn;
                at = at + Point::polar(1.0, heading);
                points.push(at);
            }
            let pieces = pieces_through(&points, tolerance);
            for p in &points {
                let off = pieces.iter().map(|q| q.at(q.nearest_share(*p)).distance(*p));
                prop_assert!(off.fold(f64::INFINITY, f64::min) <= tolerance + 1e-9);
            }
            for w in pieces.windows(2) {
                prop_assert_eq!(w[0].to, w[1].from);
            }
        }
    }
}
