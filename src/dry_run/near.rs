//! Distance in plan between a stroke and an upright box.

use crate::geometry::{Point, Point3, Stroke, point};

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

    proptest! {
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
