//! Contours and strokes: areas, windings and bounds against closed forms.

use ovolo::geometry::{Arc, CircularSegment, Contour, Plane, Stroke, Vertex, point, point3};
use proptest::prelude::*;
use std::f64::consts::{FRAC_PI_2, PI, TAU};

fn cap(chord: f64, end: f64, rise: f64) -> Contour {
    let bulge = CircularSegment::from_chord_and_rise(chord, rise).expect("valid").bulge();
    let v = |x, y, bulge| Vertex { at: point(x, y), bulge };
    Contour {
        vertices: vec![
            v(0.0, 0.0, 0.0),
            v(chord, 0.0, 0.0),
            v(chord, end, bulge),
            v(0.0, end, 0.0),
        ],
        closed: true,
    }
}

#[test]
fn area_and_length_of_a_cap_are_those_of_its_parts() {
    let contour = cap(1000.0, 120.0, 100.0);
    // 5-12-13 triangle: segment area 67196.9923, arc 1026.456911 (closed form).
    assert!((contour.area() - (120_000.0 + 67_196.992_3)).abs() < 1e-3);
    assert!((contour.length() - (1000.0 + 240.0 + 1_026.456_911)).abs() < 1e-5);
    assert!((contour.reversed().area() + contour.area()).abs() < 1e-6);
    let (low, high) = contour.bounds().expect("not empty");
    assert!(low.distance(point(0.0, 0.0)) < 1e-9 && high.distance(point(1000.0, 220.0)) < 1e-9);
}

#[test]
fn a_point_between_chord_and_arc_is_inside() {
    let contour = cap(1000.0, 120.0, 100.0);
    for (p, inside) in [
        (point(500.0, 219.9), true),
        (point(500.0, 220.1), false),
        (point(10.0, 125.0), false),
        (point(999.9, 119.9), true),
        (point(-0.1, 50.0), false),
    ] {
        assert_eq!(contour.contains(p), inside, "{p:?}");
        assert_eq!(contour.reversed().contains(p), inside, "{p:?} reversed");
    }
    assert_eq!(contour.winding(point(500.0, 219.9)), 1);
    assert_eq!(contour.reversed().winding(point(500.0, 219.9)), -1);
}

#[test]
fn a_point_level_with_an_edge_shorter_than_a_micrometre_is_not_misjudged() {
    // The right side of a square of 10 with a corner more, 0.0000008 mm above another.
    let corners = [(0.0, 0.0), (10.0, 0.0), (10.0, 5.0), (10.0, 5.000_000_8), (10.0, 10.0)];
    let mut square = Contour::polygon(&corners.map(|(x, y)| point(x, y)));
    square.vertices.push(Vertex { at: point(0.0, 10.0), bulge: 0.0 });
    assert!(square.contains(point(5.0, 5.000_000_4)));
    assert!(!square.contains(point(-5.0, 5.000_000_4)));
    assert!(!square.contains(point(15.0, 5.000_000_4)));
}

#[test]
fn a_helix_has_its_length_and_bounds() {
    // Helix radius 5, pitch 2, one turn of ten: 314.795241 / 10 (closed form).
    let turn = Stroke {
        from: point3(5.0, 0.0, 0.0),
        to: point3(5.0, 0.0, -2.0),
        arc: Some(Arc { plane: Plane::Xy, center: point(0.0, 0.0), sweep: -TAU }),
    };
    assert!((turn.length() - 31.479_524_1).abs() < 1e-6);
    let bounds = turn.bounds();
    assert!(bounds.min.distance(point3(-5.0, -5.0, -2.0)) < 1e-9);
    assert!(bounds.max.distance(point3(5.0, 5.0, 0.0)) < 1e-9);
    assert!(turn.at(0.25).distance(point3(0.0, -5.0, -0.5)) < 1e-9);
    let start = turn.direction(0.0);
    assert!(start.y < -0.9 && start.z < 0.0);
}

#[test]
fn every_plane_joins_what_it_splits() {
    let p = point3(1.0, 2.0, 3.0);
    for plane in [Plane::Xy, Plane::Zx, Plane::Yz] {
        let (flat, along) = plane.split(p);
        assert_eq!(plane.join(flat, along), p);
    }
}

proptest! {
    #[test]
    fn flattening_stays_within_its_tolerance(radius in 0.1..5000.0f64, sweep in 0.01..TAU, tolerance in 0.001..0.1f64) {
        let arc = Arc { plane: Plane::Xy, center: point(0.0, 0.0), sweep };
        let stroke = Stroke {
            from: point3(radius, 0.0, 0.0),
            to: point3(radius * sweep.cos(), radius * sweep.sin(), 0.0),
            arc: Some(arc),
        };
        let points = stroke.flattened(tolerance);
        for pair in points.windows(2) {
            let middle = (pair[0] + pair[1]) * 0.5;
            prop_assert!(radius - middle.length() <= tolerance * (1.0 + 1e-6));
        }
    }

    #[test]
    fn parts_of_a_piece_lie_on_it(bulge in -1.0..1.0f64, a in 0.0..1.0f64, b in 0.0..1.0f64) {
        let piece = ovolo::geometry::Piece { from: point(3.0, 1.0), to: point(17.0, -4.0), bulge };
        let part = piece.part(a.min(b), a.max(b));
        let middle = part.at(0.5);
        let share = piece.nearest_share(middle);
        prop_assert!(piece.at(share).distance(middle) < 1e-9);
        prop_assert!((share - (a + b) / 2.0).abs() < 1e-6);
        let d = piece.direction(0.5);
        let turned = piece.direction(0.0).rotated(piece.sweep() / 2.0);
        prop_assert!(d.distance(turned) < 1e-9);
    }

    #[test]
    fn winding_agrees_with_the_distance_to_a_circle(x in -30.0..30.0f64, y in -30.0..30.0f64, r in 0.5..20.0f64) {
        let circle = Contour::circle(point(1.0, -2.0), r);
        let p = point(x, y);
        prop_assume!((p.distance(point(1.0, -2.0)) - r).abs() > 1e-6);
        prop_assert_eq!(circle.contains(p), p.distance(point(1.0, -2.0)) < r);
        prop_assert!((circle.area() - PI * r * r).abs() < 1e-9 * r * r);
        let (d, _) = circle.nearest(p).expect("not empty");
        prop_assert!((d - (p.distance(point(1.0, -2.0)) - r).abs()).abs() < 1e-9);
    }

    #[test]
    fn bounds_hold_every_point(start in 0.0..TAU, sweep in -TAU..TAU, share in 0.0..1.0f64) {
        let from = ovolo::geometry::Point::polar(7.0, start);
        let to = ovolo::geometry::Point::polar(7.0, start + sweep);
        let arc = Arc { plane: Plane::Zx, center: point(0.0, 0.0), sweep };
        let stroke = Stroke { from: Plane::Zx.join(from, 1.0), to: Plane::Zx.join(to, 4.0), arc: Some(arc) };
        let bounds = stroke.bounds();
        let p = stroke.at(share);
        let e = 1e-9;
        prop_assert!(p.x >= bounds.min.x - e && p.y >= bounds.min.y - e && p.z >= bounds.min.z - e);
        prop_assert!(p.x <= bounds.max.x + e && p.y <= bounds.max.y + e && p.z <= bounds.max.z + e);
    }
}

#[test]
fn a_quarter_turn_is_flattened_into_few_lines() {
    let quarter = Stroke {
        from: point3(10.0, 0.0, 0.0),
        to: point3(0.0, 10.0, 0.0),
        arc: Some(Arc { plane: Plane::Xy, center: point(0.0, 0.0), sweep: FRAC_PI_2 }),
    };
    // 2 acos(1 - 0.01/10) = 0.08946 rad a line (closed form): 18 lines.
    assert_eq!(quarter.chords(0.01), 18);
}
