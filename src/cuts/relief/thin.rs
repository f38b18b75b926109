//! Fewer strokes for a pass, within a tolerance that is checked at every point.
//!
//! A pass lies in a vertical plane: points of growing length along it, and heights. A line or
//! an arc takes the place of the points between its ends only if each of them, and for arcs
//! each middle between two, is within the tolerance of it, measured square to it. Between the
//! points the pass is straight, so that for lines the bound holds everywhere.

use crate::geometry::{Point, point};

/// The tightest and widest arcs worth writing, millimetres.
const RADII: std::ops::RangeInclusive<f64> = 0.5..=1000.0;

/// Of the radius, how far along a circle the ends of an arc may lie from its crown: short of
/// upright, so that the arc moves on everywhere.
const ALONG: f64 = 0.95;

/// An arc must stand for this many times the points of the line from the same place.
const WORTH: usize = 2;

/// Longest run of points taken in one stroke: keeps the search short.
const MOST: usize = 4096;

/// A stroke from the last end to a point of the pass.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Stretch {
    /// The number of the point at its end.
    pub(super) to: usize,
    /// Centre of the circle, along the pass and in height; a line without one.
    pub(super) center: Option<Point>,
}

/// The strokes for points (length along, height), from the first to the last.
pub(super) fn thin(points: &[Point], tolerance: f64, arcs: bool) -> Vec<Stretch> {
    let mut out = Vec::new();
    let mut from = 0;
    while from + 1 < points.len() {
        let line = line(points, from, tolerance);
        let mut next = Stretch { to: line, center: None };
        if arcs {
            let least = WORTH * (line - from).max(2);
            if let Some((to, center)) = arc(points, from, least, tolerance) {
                next = Stretch { to, center: Some(center) };
            }
        }
        out.push(next);
        from = next.to;
    }
    out
}

/// The farthest point to which a line from `from` keeps within the tolerance of all between.
/// From the start each point is seen within a wedge; the line must lie in all of them.
fn line(points: &[Point], from: usize, tolerance: f64) -> usize {
    let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
    let mut best = from + 1;
    for (to, &p) in points.iter().enumerate().skip(from + 1).take(MOST) {
        let way = p - points[from];
        let angle = way.angle();
        if angle >= low && angle <= high {
            best = to;
        }
        let length = way.length();
        if length > tolerance {
            let half = (tolerance / length).asin();
            low = low.max(angle - half);
            high = high.min(angle + half);
        }
        if low > high {
            break;
        }
    }
    // A point behind an end of the line is farther from it than from the wedge's middle.
    while best > from + 1 && !line_holds(&points[from..=best], tolerance) {
        best -= 1;
    }
    best
}

fn line_holds(points: &[Point], tolerance: f64) -> bool {
    let (Some(&a), Some(&b)) = (points.first(), points.last()) else { return true };
    let way = b - a;
    let squared = way.dot(way);
    points.iter().all(|&p| {
        let share = if squared > 0.0 { ((p - a).dot(way) / squared).clamp(0.0, 1.0) } else { 0.0 };
        (a + way * share).distance(p) <= tolerance * (1.0 + 1e-9)
    })
}

/// The farthest arc from `from` over at least `least` points, with its centre.
fn arc(points: &[Point], from: usize, least: usize, tolerance: f64) -> Option<(usize, Point)> {
    let last = points.len() - 1;
    let try_to = |to: usize| arc_holds(&points[from..=to], tolerance).map(|center| (to, center));
    let mut best = Some(from + least).filter(|&to| to <= last).and_then(&try_to)?;
    let mut step = least;
    // Doubling while it holds, then halving back.
    while let Some(found) = Some(best.0 + step).filter(|&to| to <= last).and_then(&try_to) {
        best = found;
        step = (step * 2).min(MOST);
    }
    while step > 1 {
        step /= 2;
        if let Some(found) = Some(best.0 + step).filter(|&to| to <= last).and_then(&try_to) {
            best = found;
        }
    }
    Some(best)
}

/// The centre of the circle through the first, middle and last point, if all keep to it.
fn arc_holds(points: &[Point], tolerance: f64) -> Option<Point> {
    let (a, m, b) = (*points.first()?, points[points.len() / 2], *points.last()?);
    let (p, q) = (m - a, b - a);
    let twice = 2.0 * p.cross(q);
    if twice.abs() < 1e-12 {
        return None;
    }
    let (pp, qq) = (p.dot(p), q.dot(q));
    let center = a + point(q.y * pp - p.y * qq, p.x * qq - q.x * pp) * (1.0 / twice);
    let radius = center.distance(a);
    let above = (a.y - center.y).signum();
    let forward =
        |e: Point| (e.x - center.x).abs() <= ALONG * radius && (e.y - center.y).signum() == above;
    if !RADII.contains(&radius) || !forward(a) || !forward(b) {
        return None;
    }
    let near = |p: Point| (p.distance(center) - radius).abs() <= tolerance;
    let holds =
        points.iter().all(|&p| near(p)) && points.windows(2).all(|w| near((w[0] + w[1]) * 0.5));
    holds.then_some(center)
}
