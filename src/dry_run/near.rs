//! Distance in plan between a stroke and an upright box.

use crate::geometry::{EPSILON, Point, Point3, Stroke, point};

/// How far chords may leave an arc, mm; the distance is lowered by as much, so it errs on the
/// side of nearness.
const CHORD: f64 = 0.01;

/// Least distance in plan between the stroke and the rectangle from `min` to `max`, over the
/// part of the stroke that is lower than `height`; `None` if none is. Exact for lines, up to
/// 0.01 mm too small for arcs.
pub(super) fn distance_below(stroke: &Stroke, min: Point, max: Point, height: f64) -> Option<f64> {
    if stroke.arc.is_none() {
        return line_below(stroke.from, stroke.to, min, max, height);
    }
    let bounds = stroke.bounds();
    if bounds.min.z >= height {
        return None;
    }
    let pieces = stroke.chords(CHORD);
    let at = |i: usize| stroke.at(i as f64 / pieces as f64);
    let mut from = stroke.from;
    let mut least: Option<f64> = None;
    for i in 1..=pieces {
        let to = at(i);
        if let Some(d) = line_below(from, to, min, max, height) {
            least = Some(least.map_or(d, |l| l.min(d)));
        }
        from = to;
    }
    least.map(|d| (d - CHORD).max(0.0))
}

fn line_below(from: Point3, to: Point3, min: Point, max: Point, height: f64) -> Option<f64> {
    let (low, high) = (from.z < height, to.z < height);
    let crossing = || {
        let share = (height - from.z) / (to.z - from.z);
        (from + (to - from) * share).xy()
    };
    let (a, b) = match (low, high) {
        (false, false) => return None,
        (true, true) => (from.xy(), to.xy()),
        (true, false) => (from.xy(), crossing()),
        (false, true) => (crossing(), to.xy()),
    };
    Some(segment_to_rectangle(a, b, min, max))
}

/// Distance between a segment and a filled rectangle: zero if they meet.
fn segment_to_rectangle(a: Point, b: Point, min: Point, max: Point) -> f64 {
    if clip(a, b, min, max).is_some() {
        return 0.0;
    }
    let to_rectangle = |p: Point| {
        let dx = (min.x - p.x).max(p.x - max.x).max(0.0);
        let dy = (min.y - p.y).max(p.y - max.y).max(0.0);
        dx.hypot(dy)
    };
    let corners = [min, point(max.x, min.y), max, point(min.x, max.y)];
    // Apart, the nearest pair includes an end of the segment or a corner of the rectangle.
    let ends = to_rectangle(a).min(to_rectangle(b));
    corners.iter().map(|c| point_to_segment(*c, a, b)).fold(ends, f64::min)
}

fn point_to_segment(p: Point, a: Point, b: Point) -> f64 {
    let along = b - a;
    let square = along.dot(along);
    let share = if square > 0.0 { ((p - a).dot(along) / square).clamp(0.0, 1.0) } else { 0.0 };
    p.distance(a + along * share)
}

/// The shares of the segment inside the rectangle, from and to; `None` if it misses.
pub(super) fn clip(a: Point, b: Point, min: Point, max: Point) -> Option<(f64, f64)> {
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for (start, along, low, high) in
        [(a.x, b.x - a.x, min.x, max.x), (a.y, b.y - a.y, min.y, max.y)]
    {
        if along == 0.0 {
            if start < low || start > high {
                return None;
            }
            continue;
        }
        let (one, two) = ((low - start) / along, (high - start) / along);
        enter = enter.max(one.min(two));
        leave = leave.min(one.max(two));
    }
    (enter <= leave).then_some((enter, leave))
}

/// A body of revolution that moves along a stroke: how wide it is, and how high its lower surface
/// stands above its tip at a distance from its axis, which must be convex and never fall.
pub(super) struct Turned<'f> {
    pub(super) radius: f64,
    pub(super) rise: &'f dyn Fn(f64) -> f64,
}

/// The lowest height at which the body passes over the rectangle; `None` if it does not. A body
/// that only touches the rectangle's edge passes beside it, but an axis alone may not even touch.
/// Exact to a micrometre for lines, and arcs follow chords within 0.01 mm.
pub(super) fn lowest_over(
    stroke: &Stroke,
    (min, max): (Point, Point),
    body: &Turned,
) -> Option<f64> {
    if stroke.arc.is_none() {
        return line_over(stroke.from, stroke.to, (min, max), body);
    }
    let pieces = stroke.chords(CHORD);
    let at = |i: usize| stroke.at(i as f64 / pieces as f64);
    (0..pieces).filter_map(|i| line_over(at(i), at(i + 1), (min, max), body)).min_by(f64::total_cmp)
}

/// Along a line the distance to a rectangle is convex, and so is the height of a convex body over
/// its nearest point: both have one least value.
fn line_over(from: Point3, to: Point3, (min, max): (Point, Point), body: &Turned) -> Option<f64> {
    let at = |share: f64| from + (to - from) * share;
    let distance = |share: f64| {
        let p = at(share).xy();
        let dx = (min.x - p.x).max(p.x - max.x).max(0.0);
        let dy = (min.y - p.y).max(p.y - max.y).max(0.0);
        dx.hypot(dy)
    };
    let meets = |share: f64| {
        let d = distance(share);
        d < body.radius - EPSILON || d == 0.0
    };
    // Where the axis is over the rectangle the search must not start beside it.
    let nearest = clip(from.xy(), to.xy(), min, max)
        .map_or_else(|| least(0.0, 1.0, &distance), |(enter, leave)| (enter + leave) / 2.0);
    if !meets(nearest) {
        return None;
    }
    let (first, last) = (edge(nearest, 0.0, &meets), edge(nearest, 1.0, &meets));
    let height = |share: f64| at(share).z + (body.rise)(distance(share));
    Some(height(least(first, last, &height)).min(height(first)).min(height(last)))
}

/// Halvings of a stroke of ten kilometres: below a micrometre.
const HALVINGS: usize = 40;

/// The place of the least value of a convex function.
fn least(mut low: f64, mut high: f64, value: &dyn Fn(f64) -> f64) -> f64 {
    // A third goes each time, so twice as often as halving is enough.
    for _ in 0..2 * HALVINGS {
        let (a, b) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
        match value(a) <= value(b) {
            true => high = b,
            false => low = a,
        }
    }
    (low + high) / 2.0
}

/// From a place that is inside towards `end`: the last that is inside.
fn edge(inside: f64, end: f64, is: &dyn Fn(f64) -> bool) -> f64 {
    if is(end) {
        return end;
    }
    let (mut inside, mut outside) = (inside, end);
    for _ in 0..HALVINGS {
        let middle = (inside + outside) / 2.0;
        match is(middle) {
            true => inside = middle,
            false => outside = middle,
        }
    }
    inside
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Arc, Plane, point3};
    use approx::assert_relative_eq;
    use proptest::prelude::*;
    use std::f64::consts::PI;

    const MIN: Point = point(0.0, 0.0);
    const MAX: Point = point(10.0, 5.0);

    #[test]
    fn a_line_past_a_corner_is_as_far_as_the_corner() {
        let stroke = Stroke::line(point3(12.0, -10.0, -1.0), point3(12.0, 20.0, -1.0));
        assert_relative_eq!(distance_below(&stroke, MIN, MAX, 0.0).unwrap_or(-1.0), 2.0);
        let oblique = Stroke::line(point3(10.0, 7.0, -1.0), point3(12.0, 5.0, -1.0));
        // Closed form: the corner (10, 5) lies sqrt(2) from the line x + y = 17.
        assert_relative_eq!(
            distance_below(&oblique, MIN, MAX, 0.0).unwrap_or(-1.0),
            2.0_f64.sqrt(),
            epsilon = 1e-12
        );
    }

    #[test]
    fn only_the_part_below_the_height_counts() {
        // Falls from z 10 at x -20 to z -10 at x 0: below 0 from x -10 on, so 0 from the box.
        let stroke = Stroke::line(point3(-20.0, 2.0, 10.0), point3(0.0, 2.0, -10.0));
        assert_eq!(distance_below(&stroke, MIN, MAX, 0.0), Some(0.0));
        // Above the box all the time that it is over it.
        let stroke = Stroke::line(point3(20.0, 2.0, -10.0), point3(-20.0, 2.0, 30.0));
        assert_relative_eq!(distance_below(&stroke, MIN, MAX, -5.0).unwrap_or(-1.0), 5.0);
        assert_eq!(distance_below(&stroke, MIN, MAX, -10.0), None);
    }

    #[test]
    fn an_arc_comes_as_near_as_its_crown() {
        let arc = Arc { plane: Plane::Xy, center: point(5.0, 20.0), sweep: PI };
        let stroke =
            Stroke { from: point3(-5.0, 20.0, -1.0), to: point3(15.0, 20.0, -1.0), arc: Some(arc) };
        // Crown at (5, 10), 5 above the rectangle.
        let found = distance_below(&stroke, MIN, MAX, 0.0).unwrap_or(-1.0);
        assert!((4.98..=5.0).contains(&found), "{found}");
    }

    #[test]
    fn a_cone_passes_over_an_edge_that_its_shank_would_strike() {
        // A 60 degree cone, 12 wide, 4 beside the edge at y 5: tan 60 = sqrt 3, so its edge
        // stands 4 sqrt 3 above the tip there (closed form).
        let rise = |d: f64| d * 3.0_f64.sqrt();
        let cone = Turned { radius: 6.0, rise: &rise };
        let level = Stroke::line(point3(-50.0, 9.0, -2.0), point3(50.0, 9.0, -2.0));
        let found = lowest_over(&level, (MIN, MAX), &cone).unwrap_or(f64::NAN);
        assert_relative_eq!(found, -2.0 + 4.0 * 3.0_f64.sqrt(), epsilon = 1e-6);
        // Falling 10 in 100 along x: lowest over the far end, x 10.
        let falling = Stroke::line(point3(-50.0, 9.0, 5.0), point3(50.0, 9.0, -5.0));
        let found = lowest_over(&falling, (MIN, MAX), &cone).unwrap_or(f64::NAN);
        let over_end = -1.0 + 4.0 * 3.0_f64.sqrt();
        // A little further on it is lower by the fall and higher by the distance.
        assert!(found < over_end && found > over_end - 0.1, "{found} {over_end}");
        let beside = Stroke::line(point3(-50.0, 11.0, -2.0), point3(50.0, 11.0, -2.0));
        assert_eq!(lowest_over(&beside, (MIN, MAX), &cone), None);
    }

    #[test]
    fn an_axis_alone_passes_over_what_it_touches() {
        let axis = Turned { radius: 0.0, rise: &|_| 0.0 };
        let across = Stroke::line(point3(5.0, -5.0, 1.0), point3(5.0, 20.0, 1.0));
        assert_eq!(lowest_over(&across, (MIN, MAX), &axis), Some(1.0));
        let along = Stroke::line(point3(-5.0, 5.0, 1.0), point3(20.0, 5.0, 1.0));
        assert_eq!(lowest_over(&along, (MIN, MAX), &axis), Some(1.0));
        let past = Stroke::line(point3(-5.0, 5.1, 1.0), point3(20.0, 5.1, 1.0));
        assert_eq!(lowest_over(&past, (MIN, MAX), &axis), None);
    }

    proptest! {
        #[test]
        fn no_point_of_the_body_is_lower_over_the_rectangle(
            a in prop::array::uniform3(-30.0..30.0_f64),
            b in prop::array::uniform3(-30.0..30.0_f64),
            radius in 0.5..12.0_f64,
        ) {
            let stroke = Stroke::line(point3(a[0], a[1], a[2]), point3(b[0], b[1], b[2]));
            let rise = |d: f64| d * d / 4.0;
            let found = lowest_over(&stroke, (MIN, MAX), &Turned { radius, rise: &rise });
            let mut least = f64::INFINITY;
            for i in 0..=400 {
                let p = stroke.at(f64::from(i) / 400.0);
                let dx = (MIN.x - p.x).max(p.x - MAX.x).max(0.0);
                let dy = (MIN.y - p.y).max(p.y - MAX.y).max(0.0);
                let d = dx.hypot(dy);
                if d < radius - 1e-6 {
                    least = least.min(p.z + rise(d));
                }
            }
            match found {
                // Between samples, 0.26 mm apart at most, the height changes by less than the
                // fall of the line and a slope of 6 (radius 12) bring about.
                Some(found) => prop_assert!(found <= least + 1e-6),
                None => prop_assert!(least.is_infinite()),
            }
        }

        #[test]
        fn no_point_of_the_stroke_is_nearer(
            a in prop::array::uniform3(-30.0..30.0_f64),
            b in prop::array::uniform3(-30.0..30.0_f64),
            height in -20.0..20.0_f64,
        ) {
            let stroke = Stroke::line(point3(a[0], a[1], a[2]), point3(b[0], b[1], b[2]));
            let found = distance_below(&stroke, MIN, MAX, height);
            let mut least = f64::INFINITY;
            for i in 0..=400 {
                let p = stroke.at(f64::from(i) / 400.0);
                if p.z < height {
                    let dx = (MIN.x - p.x).max(p.x - MAX.x).max(0.0);
                    let dy = (MIN.y - p.y).max(p.y - MAX.y).max(0.0);
                    least = least.min(dx.hypot(dy));
                }
            }
            match found {
                // A quarter of a per cent of 104 mm between samples: within 0.3 mm.
                Some(found) => prop_assert!(found <= least + 1e-9 && (least.is_infinite() || least <= found + 0.3)),
                None => prop_assert!(least.is_infinite()),
            }
        }
    }
}
