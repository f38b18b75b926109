//! Strokes in short pieces, so that what each piece of way takes is known by itself.

use super::near;
use crate::geometry::{Arc, Point, Point3, Stroke, point};

/// Most pieces of one stroke, so that a hostile length can not hold up the check.
const MOST: usize = 100_000;

/// The pieces of a stroke, each at most `longest` in plan, that come within `reach` of the
/// rectangle. A stroke that is short enough is one piece.
pub(super) fn pieces(
    stroke: &Stroke,
    longest: f64,
    (min, max): (Point, Point),
    reach: f64,
    mut add: impl FnMut(Stroke),
) {
    let (min, max) = (min - point(reach, reach), max + point(reach, reach));
    let Some(arc) = stroke.arc else {
        let (a, b) = (stroke.from, stroke.to);
        let Some((enter, leave)) = near::clip(a.xy(), b.xy(), min, max) else { return };
        let share = |s: f64| if s >= 1.0 { b } else { a + (b - a) * s };
        let count = count((b - a).xy().length() * (leave - enter), longest);
        let at = |k: usize| share(enter + (leave - enter) * (k as f64 / count as f64));
        return (0..count).for_each(|k| add(Stroke::line(at(k), at(k + 1))));
    };
    let count = count(stroke.length(), longest);
    for k in 0..count {
        let part = part_of(stroke, arc, k, count);
        let bounds = part.bounds();
        let beside = bounds.min.x > max.x
            || bounds.max.x < min.x
            || bounds.min.y > max.y
            || bounds.max.y < min.y;
        if !beside {
            add(part);
        }
    }
}

fn count(length: f64, longest: f64) -> usize {
    // A length that is not a number becomes one piece.
    ((length / longest).ceil() as usize).clamp(1, MOST)
}

fn part_of(stroke: &Stroke, arc: Arc, k: usize, count: usize) -> Stroke {
    if count == 1 {
        return *stroke;
    }
    let at = |k: usize| -> Point3 { stroke.at(k as f64 / count as f64) };
    let arc = Arc { sweep: arc.sweep / count as f64, ..arc };
    Stroke { from: at(k), to: at(k + 1), arc: Some(arc) }
}

/// The stroke `by` higher.
pub(super) fn raised(stroke: &Stroke, by: f64) -> Stroke {
    let up = |p: Point3| Point3 { z: p.z + by, ..p };
    let mut out = Stroke { from: up(stroke.from), to: up(stroke.to), arc: stroke.arc };
    if let Some(arc) = &mut out.arc {
        let (lift, _) = arc.plane.split(up(Point3::default()));
        arc.center = arc.center + lift;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Plane, point3};
    use approx::assert_relative_eq;

    const BOARD: (Point, Point) = (point(0.0, 0.0), point(100.0, 50.0));

    fn all(stroke: &Stroke, longest: f64) -> Vec<Stroke> {
        let mut out = Vec::new();
        pieces(stroke, longest, BOARD, 5.0, |piece| out.push(piece));
        out
    }

    #[test]
    fn pieces_join_and_stay_near_the_board() {
        let line = Stroke::line(point3(-100.0, 20.0, 0.0), point3(200.0, 20.0, -3.0));
        let found = all(&line, 1.0);
        // A hundred and ten millimetres in pieces of at most one, as rounding will have it.
        assert!((110..=111).contains(&found.len()), "{}", found.len());
        assert_relative_eq!(found[0].from.x, -5.0, epsilon = 1e-9);
        assert_relative_eq!(found[found.len() - 1].to.x, 105.0, epsilon = 1e-9);
        for pair in found.windows(2) {
            assert_eq!(pair[0].to, pair[1].from);
        }
        let arc = Arc { plane: Plane::Xy, center: point(50.0, 0.0), sweep: -1.5 };
        let start = point3(40.0, 0.0, -1.0);
        let whole = Stroke { from: start, to: start, arc: Some(arc) };
        let whole = Stroke { to: whole.at(0.999_999), ..whole };
        let sweep: f64 = all(&whole, 1.0).iter().filter_map(|p| p.arc).map(|a| a.sweep).sum();
        assert_relative_eq!(sweep, -1.5, epsilon = 1e-9);
        assert!(
            all(&Stroke::line(point3(0.0, 80.0, 0.0), point3(90.0, 80.0, 0.0)), 1.0).is_empty()
        );
        assert_eq!(all(&Stroke::line(point3(9.0, 9.0, 0.0), point3(9.0, 9.0, -9.0)), 1.0).len(), 1);
    }

    #[test]
    fn raising_moves_the_centre_of_an_upright_arc() {
        let arc = Arc { plane: Plane::Zx, center: point(-5.0, 10.0), sweep: 1.0 };
        let stroke =
            Stroke { from: point3(15.0, 0.0, -5.0), to: point3(15.0, 0.0, -5.0), arc: Some(arc) };
        let up = raised(&stroke, 7.0);
        assert_eq!(up.arc.map(|a| a.center), Some(point(2.0, 10.0)));
        assert_relative_eq!(up.at(0.3).z, stroke.at(0.3).z + 7.0, epsilon = 1e-12);
    }
}
