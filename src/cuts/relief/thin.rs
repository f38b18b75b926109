//! Fewer strokes for a pass, within a tolerance that is checked at every point.
//!
//! A pass lies in a vertical plane: points of growing length along it, and heights. A line or
//! an arc takes the place of the points between its ends only if each of them, and for arcs the
//! place between two that is nearest to the centre, is within the tolerance of it, measured
//! square to it. Between the points the pass is straight, so that the bound holds everywhere.
//! Lines may meet off the pass, within the tolerance of one of its points.

use crate::geometry::{Point, point};

/// The tightest and widest arcs worth writing, millimetres.
const RADII: std::ops::RangeInclusive<f64> = 0.5..=1000.0;

/// Of the radius, how far along a circle the ends of an arc may lie from its crown: short of
/// upright, so that the arc moves on everywhere.
const ALONG: f64 = 0.95;

/// Longest run of points taken in one stroke: keeps the search short.
const MOST: usize = 4096;

/// A stroke from the last end to a point of the pass, or to a place over or under it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Stretch {
    /// The number of the point at its end.
    pub(super) to: usize,
    /// Its end: at the length of that point, within the tolerance of it.
    pub(super) end: Point,
    /// Centre of the circle, along the pass and in height; a line without one.
    pub(super) center: Option<Point>,
}

/// The strokes for points (length along, height), from the first to the last.
pub(super) fn thin(points: &[Point], tolerance: f64, arcs: bool) -> Vec<Stretch> {
    let mut out = Vec::new();
    let Some(&first) = points.first() else { return out };
    let (mut from, mut at) = (0, first);
    while from + 1 < points.len() {
        let (to, end) = line(points, from, at, tolerance);
        let mut next = Stretch { to, end, center: None };
        if arcs {
            // It has more words than a line: for half as many points again it is worth them.
            let run = (to - from).max(2);
            let least = run + run / 2;
            if let Some((to, center)) = arc(points, from, at, least, tolerance) {
                next = Stretch { to, end: points[to], center: Some(center) };
            }
        }
        out.push(next);
        (from, at) = (next.to, next.end);
    }
    out
}

/// How far a line from `at`, which stands for the point `from`, gets within the tolerance of all
/// points that it passes, and where it ends. From `at` each point is seen within a wedge, and the
/// line must lie in all of them; its end may be the tolerance over or under its point. Of the ends
/// that it may have it takes the one on the side from which the next points turn away: so the line
/// after it can pass on either side of them too, and gets farther than one between points of the
/// pass (J. O'Rourke, An on-line algorithm for fitting straight lines between data ranges, CACM
/// 24, 1981, from memory).
fn line(points: &[Point], from: usize, at: Point, tolerance: f64) -> (usize, Point) {
    let last = points.len() - 1;
    let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
    // The farthest end, and the angles at which it may be reached.
    let mut best = None;
    let mut side = 0.5;
    for (to, &p) in points.iter().enumerate().skip(from + 1).take(MOST) {
        // The pass ends where it ends.
        let room = if to == last { 0.0 } else { tolerance };
        let seen = |y: f64| (point(p.x, y) - at).angle();
        let (least, most) = (seen(p.y - room).max(low), seen(p.y + room).min(high));
        if least <= most {
            best = Some((to, least, most));
        }
        let way = p - at;
        let (angle, length) = (way.angle(), way.length());
        if length > tolerance {
            let half = (tolerance / length).asin();
            side = if angle + half < low { 1.0 } else { 0.0 };
            (low, high) = (low.max(angle - half), high.min(angle + half));
        }
        if low > high {
            break;
        }
        side = 0.5;
    }
    if let Some((to, least, most)) = best {
        let place = points[to];
        let slope = (least + (most - least) * side).tan();
        let y = at.y + slope * (place.x - at.x);
        let y =
            if to == last { place.y } else { y.clamp(place.y - tolerance, place.y + tolerance) };
        let end = point(place.x, y);
        // A point behind an end of the line is farther from it than from the wedge's middle.
        if line_holds(&points[from..=to], at, end, tolerance) {
            return (to, end);
        }
    }
    let farthest = best.map_or(from + 1, |(to, ..)| to);
    let holds = |to: &usize| line_holds(&points[from..=*to], at, points[*to], tolerance);
    let to = (from + 1..=farthest).rev().find(holds).unwrap_or(from + 1);
    (to, points[to])
}

/// Whether the line keeps within the tolerance of the points between its ends, and of those that
/// its ends stand for.
fn line_holds(points: &[Point], a: Point, b: Point, tolerance: f64) -> bool {
    let way = b - a;
    let squared = way.dot(way);
    points.iter().all(|&p| {
        let share = if squared > 0.0 { ((p - a).dot(way) / squared).clamp(0.0, 1.0) } else { 0.0 };
        (a + way * share).distance(p) <= tolerance * (1.0 + 1e-9)
    })
}

/// The farthest arc from `from` over at least `least` points, with its centre.
fn arc(
    points: &[Point],
    from: usize,
    at: Point,
    least: usize,
    tolerance: f64,
) -> Option<(usize, Point)> {
    let last = points.len() - 1;
    let try_to = |to: usize| arc_holds(&points[from..=to], at, tolerance).map(|c| (to, c));
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

/// The centre of the circle from `a` through the middle and the last point, if all keep to it.
fn arc_holds(points: &[Point], a: Point, tolerance: f64) -> Option<Point> {
    let (m, b) = (points[points.len() / 2], *points.last()?);
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
    // Between two points the pass is straight: nearest to the centre at the foot of its normal.
    let foot = |w: &[Point]| {
        let way = w[1] - w[0];
        w[0] + way * ((center - w[0]).dot(way) / way.dot(way).max(1e-30)).clamp(0.0, 1.0)
    };
    let holds = points.iter().all(|&p| near(p)) && points.windows(2).all(|w| near(foot(w)));
    holds.then_some(center)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Where the strokes go: along lines exactly, along arcs in short steps.
    fn path(points: &[Point], stretches: &[Stretch]) -> Vec<Point> {
        let mut all = vec![points[0]];
        for stretch in stretches {
            let from = *all.last().expect("a start");
            if let Some(center) = stretch.center {
                let (a, b) = ((from - center).angle(), (stretch.end - center).angle());
                let radius = center.distance(from);
                let steps = 400;
                all.extend((1..steps).map(|k| {
                    let share = f64::from(k) / f64::from(steps);
                    center + Point::polar(radius, a + (b - a) * share)
                }));
            }
            all.push(stretch.end);
        }
        all
    }

    fn off(line: &[Point], p: Point) -> f64 {
        let to = |w: &[Point]| {
            let way = w[1] - w[0];
            let share = ((p - w[0]).dot(way) / way.dot(way).max(1e-30)).clamp(0.0, 1.0);
            (w[0] + way * share).distance(p)
        };
        line.windows(2).map(to).fold(f64::INFINITY, f64::min)
    }

    proptest! {
        #[test]
        fn both_lie_within_the_tolerance_of_each_other(
            steps in prop::collection::vec((0.01..0.3, -0.4..0.4, 0..6), 1..120),
            tolerance in 0.002..0.05,
            arcs in any::<bool>(),
        ) {
            let mut at = point(0.0, 0.0);
            let mut slope = 0.0;
            let mut points = vec![at];
            for (run, turn, kind) in steps {
                // Curves, walls, levels and scatter.
                slope = match kind {
                    0 => 0.0,
                    1 => turn * 100.0,
                    2 => turn,
                    _ => slope + turn * 0.1,
                };
                at = at + point(run, slope * run);
                points.push(at);
            }
            let stretches = thin(&points, tolerance, arcs);
            let path = path(&points, &stretches);
            prop_assert_eq!(path.last(), points.last());
            for &p in &points {
                prop_assert!(off(&path, p) <= tolerance * 1.01, "{} of {p:?}", off(&path, p));
            }
            for &p in &path {
                prop_assert!(off(&points, p) <= tolerance * 1.01, "{} at {p:?}", off(&points, p));
            }
        }
    }

    /// A chord whose ends are the tolerance t outside a circle and whose middle is t inside it
    /// spans half angles of `acos((r - t) / (r + t))`.
    #[test]
    fn lines_round_an_arc_are_as_few_as_the_tolerance_allows() {
        let (radius, tolerance) = (40.0, 0.005);
        let angles = (-1000..=1000).map(|k| 0.0005 * f64::from(k));
        let points: Vec<Point> = angles.map(|a| point(a.sin(), a.cos()) * radius).collect();
        let each = 2.0 * ((radius - tolerance) / (radius + tolerance)).acos();
        let least = (1.0 / each).ceil() as usize;
        let found = thin(&points, tolerance, false).len();
        assert!((least..=least + 2).contains(&found), "{found} lines, {least} would do");
    }
}
