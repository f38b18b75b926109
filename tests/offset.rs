//! Offsets that keep arcs, against closed forms.

use ovolo::geometry::{CircularSegment, Contour, OffsetError, Vertex, point};
use proptest::prelude::*;
use std::f64::consts::PI;

fn segment(chord: f64, rise: f64) -> Contour {
    let bulge = CircularSegment::from_chord_and_rise(chord, rise).expect("valid").bulge();
    let v = |x, y, bulge| Vertex { at: point(x, y), bulge };
    Contour { vertices: vec![v(0.0, 0.0, 0.0), v(chord, 0.0, bulge)], closed: true }
}

fn only(mut loops: Vec<Contour>) -> Contour {
    assert_eq!(loops.len(), 1, "{loops:?}");
    loops.remove(0)
}

#[test]
fn a_rectangle_shrinks_to_nothing_and_grows_by_steiner() {
    let r = Contour::rectangle(point(0.0, 0.0), point(200.0, 100.0));
    let inner = only(r.offset(10.0).expect("offset"));
    assert!((inner.area() - 180.0 * 80.0).abs() < 1e-6);
    assert!(r.offset(50.1).expect("offset").is_empty());
    // Steiner: A + L d + pi d^2 (closed form).
    let outer = only(r.offset(-10.0).expect("offset"));
    assert!((outer.area() - (20_000.0 + 600.0 * 10.0 + PI * 100.0)).abs() < 1e-6);
    assert_eq!(outer.pieces().filter(|p| p.is_arc()).count(), 4);
}

#[test]
fn a_segment_inset_has_its_closed_form_area() {
    // Chord 1000, rise 100, inset 10: radius 1290, rise 80, half chord sqrt(200000), area
    // 48006.7004, arc 913.387831 (closed form).
    let inner = only(segment(1000.0, 100.0).offset(10.0).expect("offset"));
    assert!((inner.area() - 48_006.700_4).abs() < 1e-3, "{}", inner.area());
    let arc = inner.pieces().find(|p| p.is_arc()).expect("an arc");
    assert!((arc.radius() - 1290.0).abs() < 1e-6);
    assert!((arc.length() - 913.387_831).abs() < 1e-5);
}

#[test]
fn a_dumb_bell_falls_apart_where_it_is_narrow() {
    let corners = [
        (0.0, 0.0),
        (40.0, 0.0),
        (40.0, 18.0),
        (60.0, 18.0),
        (60.0, 0.0),
        (100.0, 0.0),
        (100.0, 40.0),
        (60.0, 40.0),
        (60.0, 22.0),
        (40.0, 22.0),
        (40.0, 40.0),
        (0.0, 40.0),
    ];
    let shape = Contour::polygon(&corners.map(|(x, y)| point(x, y)));
    let loops = shape.offset(3.0).expect("offset");
    assert_eq!(loops.len(), 2);
    let area: f64 = loops.iter().map(Contour::area).sum();
    // Two squares of 34 each, and where the neck joins, a corner of the offset reaches in: the
    // two circles of radius 3 about the neck's corners meet 3 - sqrt(9 - 4) before the face.
    assert!(area > 2.0 * 34.0 * 34.0 && area < 2.0 * 34.0 * 34.0 + 20.0, "{area}");
}

#[test]
fn what_is_no_outline_is_refused() {
    let bow =
        Contour::polygon(&[point(0.0, 0.0), point(10.0, 10.0), point(10.0, 0.0), point(0.0, 10.0)]);
    assert!(matches!(bow.offset(1.0), Err(OffsetError::Source(_))));
    let mut open = Contour::rectangle(point(0.0, 0.0), point(1.0, 1.0));
    open.closed = false;
    assert!(matches!(open.offset(0.1), Err(OffsetError::Source(_))));
    let mut no_number = Contour::rectangle(point(0.0, 0.0), point(1.0, 1.0));
    no_number.vertices[0].at.x = f64::NAN;
    assert!(matches!(no_number.offset(0.1), Err(OffsetError::Source(_))));
    let mut great = Contour::circle(point(0.0, 0.0), 5.0);
    great.vertices[0].bulge = 2.0;
    assert!(matches!(great.offset(1.0), Err(OffsetError::Source(_))));
}

proptest! {
    #[test]
    fn outset_and_inset_of_a_convex_outline_return_it(chord in 50.0..2000.0f64, share in 0.02..0.49f64, d in 0.5..30.0f64) {
        let shape = segment(chord, chord * share);
        let out = only(shape.offset(-d).expect("out"));
        // Steiner for a convex outline: A + L d + pi d^2.
        let steiner = shape.area() + shape.length() * d + PI * d * d;
        prop_assert!((out.area() - steiner).abs() < 1e-6 * steiner);
        let back = only(out.offset(d).expect("back"));
        prop_assert!((back.area() - shape.area()).abs() < 1e-6 * shape.area().max(1.0));
    }

    #[test]
    fn an_offset_does_not_depend_on_start_direction_or_place(turn in 0usize..6, reverse in any::<bool>(), dx in -500.0..500.0f64, d in 1.0..12.0f64) {
        let corners = [(0.0, 0.0), (80.0, 0.0), (80.0, 30.0), (30.0, 30.0), (30.0, 90.0), (0.0, 90.0)];
        let mut shape = Contour::polygon(&corners.map(|(x, y)| point(x + dx, y)));
        let plain = only(shape.offset(d).expect("offset")).area();
        shape.vertices.rotate_left(turn);
        let (shape, d) = if reverse { (shape.reversed(), -d) } else { (shape, d) };
        let other = only(shape.offset(d).expect("offset")).area().abs();
        prop_assert!((plain - other).abs() < 1e-6);
    }
}
