//! Hard and random outlines: every ring certified, none lost, however the outline is written.
#![allow(clippy::unwrap_used)]

mod offset_support;

use offset_support::{clipper_inset, summary};
use ovolo::geometry::{Contour, OffsetError, Point, Region, Vertex, point};
use proptest::prelude::*;
use std::f64::consts::{PI, TAU};

fn polygon(corners: &[(f64, f64)]) -> Contour {
    Contour::polygon(&corners.iter().map(|&(x, y)| point(x, y)).collect::<Vec<_>>())
}

fn alone(contour: Contour) -> Region {
    Region::new(contour, Vec::new()).unwrap()
}

fn area(regions: &[Region]) -> f64 {
    regions.iter().map(Region::area).sum()
}

/// Two rooms of 40 x 40 joined by a slot of the given width, 20 long, its middle at y = 20.
fn rooms(slot: f64) -> Contour {
    let (low, high) = (20.0 - slot / 2.0, 20.0 + slot / 2.0);
    polygon(&[
        (0.0, 0.0),
        (40.0, 0.0),
        (40.0, low),
        (60.0, low),
        (60.0, 0.0),
        (100.0, 0.0),
        (100.0, 40.0),
        (60.0, 40.0),
        (60.0, high),
        (40.0, high),
        (40.0, 40.0),
        (0.0, 40.0),
    ])
}

fn star(points: usize, inner: f64, outer: f64, turn: f64) -> Contour {
    let corner = |i: usize| {
        let r = if i.is_multiple_of(2) { outer } else { inner };
        Point::polar(r, turn + PI * i as f64 / points as f64)
    };
    Contour::polygon(&(0..2 * points).map(corner).collect::<Vec<_>>())
}

fn comb(teeth: usize, width: f64, gap: f64, depth: f64) -> Contour {
    let mut corners = vec![(0.0, 0.0), ((width + gap) * teeth as f64 - gap, 0.0)];
    for i in (0..teeth).rev() {
        let x = (width + gap) * i as f64;
        let end = |x: f64| [(x, depth + 20.0), (x, 20.0)];
        let [top, bottom] = end(x + width);
        corners.extend(if i + 1 == teeth { vec![top] } else { vec![bottom, top] });
        let [top, bottom] = end(x);
        corners.extend(if i == 0 { vec![top] } else { vec![top, bottom] });
    }
    polygon(&corners)
}

/// A band of even width along a spiral.
fn spiral(turns: f64, pitch: f64, width: f64, per_turn: usize) -> Contour {
    let steps = (turns * per_turn as f64).ceil() as usize;
    let at = |i: usize, aside: f64| {
        let angle = TAU * turns * i as f64 / steps as f64;
        Point::polar(20.0 + pitch * angle / TAU + aside, angle)
    };
    let out = (0..=steps).map(|i| at(i, width));
    let back = (0..=steps).rev().map(|i| at(i, 0.0));
    Contour::polygon(&out.chain(back).collect::<Vec<_>>())
}

/// A slot with round ends, arcs tangent to lines.
fn slot(length: f64, width: f64) -> Contour {
    let v = |x: f64, y: f64, bulge: f64| Vertex { at: point(x, y), bulge };
    let vertices =
        vec![v(0.0, 0.0, 0.0), v(length, 0.0, 1.0), v(length, width, 0.0), v(0.0, width, 1.0)];
    Contour { vertices, closed: true }
}

#[test]
fn a_slot_of_just_twice_the_distance_is_left_out_and_harms_nothing() {
    // Two squares of 40 less a margin of 3 each: 34 x 34 (closed form), and what the offset
    // of the slot's mouth adds.
    for narrower in [0.0, 1e-6, 1e-3, 1e-9, -1e-9] {
        let rings = alone(rooms(6.0 - narrower)).inset(3.0).unwrap();
        assert_eq!(rings.len(), 2, "narrower by {narrower}");
        let extra = area(&rings) - 2.0 * 34.0 * 34.0;
        // Between the face and the two quarter circles about the mouth's corners: 2 (9 - 9 pi/4)
        // a side, closed form of a square less a quarter circle.
        let wanted = 2.0 * 2.0 * (9.0 - 9.0 * PI / 4.0);
        assert!((extra - wanted).abs() < 0.05, "narrower by {narrower}: {extra}, wanted {wanted}");
    }
    // A micrometre wider, the offset passes or it does not: both lie within the tolerance.
    let rings = alone(rooms(6.001)).inset(3.0).unwrap();
    assert!((1..=2).contains(&rings.len()));
    // A slot with round ends of just the radius: nothing is left of it.
    assert!(area(&alone(slot(50.0, 6.0)).inset(3.0).unwrap()).abs() < 0.1);
    let rings = alone(slot(50.0, 6.0)).inset(2.5).unwrap();
    // Closed form: length x width and a circle.
    assert!((area(&rings) - (50.0 + PI * 0.25)).abs() < 1e-6);
}

#[test]
fn regular_outlines_shrink_to_a_point_without_a_fault() {
    for sides in 3..40 {
        let corners: Vec<Point> =
            (0..sides).map(|i| Point::polar(50.0, TAU * i as f64 / sides as f64)).collect();
        let inradius = 50.0 * (PI / sides as f64).cos();
        let shape = alone(Contour::polygon(&corners));
        let rings = shape.rings(inradius / 8.0, inradius / 8.0, None).unwrap();
        assert!((7..=8).contains(&rings.len()), "{sides} sides: {} rings", rings.len());
        for (i, ring) in rings.iter().enumerate().take(7) {
            // Similar figures: area goes as the square of the inradius.
            let share: f64 = 1.0 - (i + 1) as f64 / 8.0;
            assert!((area(ring) - shape.area() * share * share).abs() < 1e-3);
        }
    }
    let ring = alone(Contour::circle(point(3.0, 4.0), 20.0)).rings(5.0, 5.0, None).unwrap();
    assert_eq!(ring.len(), 3);
    assert!((area(&ring[2]) - PI * 25.0).abs() < 1e-6);
}

#[test]
fn islands_that_nearly_touch_merge_and_the_wall_swallows_them() {
    let plate = Contour::rectangle(point(0.0, 0.0), point(200.0, 100.0));
    for gap in [1e-4, 1e-3, 0.1, 4.0, 2.0 + 1e-9, 2.0] {
        let island = |x: f64| Contour::circle(point(x, 50.0), 10.0);
        let islands = vec![island(60.0), island(80.0 + gap)];
        let region = Region::new(plate.clone(), islands).unwrap();
        let rings = region.inset(1.0).unwrap();
        assert_eq!(rings.len(), 1);
        let merged = rings[0].islands().len();
        assert_eq!(merged, if gap > 2.0 + 1e-3 { 2 } else { 1 }, "gap {gap}");
    }
}

#[test]
fn islands_in_the_wrong_place_are_refused() {
    let plate = || Contour::rectangle(point(0.0, 0.0), point(100.0, 100.0));
    let circle = |x: f64, r: f64| Contour::circle(point(x, 50.0), r);
    for islands in [
        vec![circle(200.0, 10.0)],
        vec![circle(100.0, 10.0)],
        vec![circle(50.0, 20.0), circle(50.0, 10.0)],
        vec![circle(30.0, 10.0), circle(45.0, 10.0)],
        vec![circle(50.0, 200.0)],
    ] {
        assert!(matches!(Region::new(plate(), islands), Err(OffsetError::Source(_))));
    }
    let region = Region::new(plate(), vec![circle(50.0, 10.0).reversed()]).unwrap();
    for bad in [-1.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(region.inset(bad), Err(OffsetError::Distance(_))));
    }
    assert!(matches!(region.rings(1.0, 0.0, None), Err(OffsetError::Distance(_))));
    assert!(matches!(region.insets(&[2.0, 1.0]), Err(OffsetError::Distance(_))));
}

#[test]
fn rings_together_are_the_insets_one_by_one() {
    let region = Region::new(
        star(7, 40.0, 90.0, 0.3),
        vec![Contour::circle(point(5.0, 3.0), 12.0), Contour::circle(point(-20.0, 10.0), 4.0)],
    )
    .unwrap();
    let rings = region.rings(0.7, 1.9, None).unwrap();
    assert!(rings.len() > 5);
    for (i, ring) in rings.iter().enumerate() {
        let single = region.inset(0.7 + 1.9 * i as f64).unwrap();
        assert_eq!(summary(ring, 0.0).0, summary(&single, 0.0).0);
        assert!((area(ring) - area(&single)).abs() < 1e-6);
    }
    assert_eq!(region.rings(0.7, 1.9, None).unwrap(), rings);
}

/// The same outline from another corner, mirrored, moved, scaled: the same areas.
fn does_not_care_how_it_is_written(shape: &Contour, distances: &[f64], seed: usize) {
    let plain = alone(shape.clone()).insets(distances).unwrap();
    let mut rotated = shape.clone();
    let n = rotated.vertices.len();
    rotated.vertices.rotate_left(seed % n);
    let mirrored: Vec<Vertex> = shape
        .vertices
        .iter()
        .map(|v| Vertex { at: point(-v.at.x, v.at.y), bulge: -v.bulge })
        .collect();
    let scaled: Vec<Vertex> =
        shape.vertices.iter().map(|v| Vertex { at: v.at * 3.0, bulge: v.bulge }).collect();
    let of = |vertices| Contour { vertices, closed: true };
    let cases = [
        (rotated, 1.0),
        (shape.reversed(), 1.0),
        (of(mirrored), 1.0),
        (shape.moved(point(1234.5, -987.25)), 1.0),
        (of(scaled), 3.0),
    ];
    for (case, scale) in cases {
        let distances: Vec<f64> = distances.iter().map(|d| d * scale).collect();
        let rings = alone(case).insets(&distances).unwrap();
        for (one, two) in plain.iter().zip(&rings) {
            let (a, b) = (area(one), area(two) / (scale * scale));
            // Within the tolerance times the outline's length.
            assert!((a - b).abs() < 1e-3 * (shape.length() + 1.0), "{a} and {b}");
        }
    }
}

fn agrees_with_the_second_library(shape: &Contour, islands: &[Contour], distance: f64) {
    let region = Region::new(shape.clone(), islands.to_vec()).unwrap();
    let contours: Vec<Contour> = region.contours().map(fine_polygon).collect();
    let ours = area(&region.inset(distance).unwrap());
    let wanted = clipper_inset(&contours, distance, 0.0).1;
    // Its arcs are short of the true ones by up to 1/500 of the distance, and its outline by 1e-3.
    let length: f64 = contours.iter().map(Contour::length).sum();
    let slack = (distance / 500.0 + 1e-3) * length + 0.01;
    assert!((ours - wanted).abs() < slack, "{ours}, wanted {wanted} at {distance}");
}

fn fine_polygon(contour: &Contour) -> Contour {
    Contour::polygon(&contour.flattened(1e-3))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(350))]

    #[test]
    fn stars(points in 3usize..40, inner in 5.0..60.0f64, more in 0.0..60.0f64, turn in 0.0..1.0f64, d in 0.1..30.0f64, seed in 0usize..80) {
        let shape = star(points, inner, inner + more, turn);
        agrees_with_the_second_library(&shape, &[], d);
        does_not_care_how_it_is_written(&shape, &[d / 3.0, d, d * 1.5], seed);
    }

    #[test]
    fn combs(teeth in 2usize..12, width in 2.0..12.0f64, gap in 1.0..12.0f64, depth in 5.0..60.0f64, d in 0.2..9.0f64, seed in 0usize..40) {
        let shape = comb(teeth, width, gap, depth);
        agrees_with_the_second_library(&shape, &[], d);
        does_not_care_how_it_is_written(&shape, &[d / 2.0, d], seed);
        // Slots of just twice the distance.
        let exact = alone(comb(teeth, width, gap, depth)).inset(width / 2.0).unwrap();
        prop_assert!(area(&exact) >= 0.0);
    }

    #[test]
    fn spirals(turns in 1.0..5.0f64, pitch in 8.0..20.0f64, share in 0.3..0.9f64, steps in 40usize..200, d in 0.1..8.0f64) {
        let shape = spiral(turns, pitch, pitch * share, steps);
        agrees_with_the_second_library(&shape, &[], d);
        let width = pitch * share;
        prop_assert!(alone(shape).rings(width / 20.0, width / 20.0, None).unwrap().len() >= 8);
    }

    #[test]
    fn tangent_slots(length in 1.0..200.0f64, width in 1.0..40.0f64, share in 0.01..0.99f64) {
        let d = share * width / 2.0;
        let rings = alone(slot(length, width)).inset(d).unwrap();
        let left = width - 2.0 * d;
        // Closed form: a rectangle and a circle.
        prop_assert!((area(&rings) - (length * left + PI * left * left / 4.0)).abs() < 1e-6 * length.max(width));
        let outside = slot(length, width).offset(-d).unwrap();
        let wide = width + 2.0 * d;
        prop_assert!((outside[0].area() - (length * wide + PI * wide * wide / 4.0)).abs() < 1e-6 * length * wide);
    }

    #[test]
    fn islands_at_random(places in proptest::collection::vec((10.0..190.0f64, 10.0..90.0f64, 1.0..9.0f64), 1..9), d in 0.05..20.0f64) {
        let plate = Contour::rectangle(point(0.0, 0.0), point(200.0, 100.0));
        let islands: Vec<Contour> = places.iter().map(|&(x, y, r)| Contour::circle(point(x, y), r)).collect();
        // Those that overlap are refused; then there is nothing to compare.
        if Region::new(plate.clone(), islands.clone()).is_ok() {
            agrees_with_the_second_library(&plate, &islands, d);
        }
    }

    #[test]
    fn any_chain_of_lines_and_arcs_is_offset_or_refused(corners in proptest::collection::vec((-50.0..50.0f64, -50.0..50.0f64, -1.0..1.0f64), 2..9), d in -20.0..20.0f64) {
        let vertices = corners.iter().map(|&(x, y, bulge)| Vertex { at: point(x, y), bulge }).collect();
        let shape = Contour { vertices, closed: true };
        match shape.offset(d) {
            Ok(loops) => {
                // Towards the left an outline that runs counter-clockwise gets smaller.
                let area: f64 = loops.iter().map(Contour::area).sum();
                let inward = (d > 0.0) == (shape.area() > 0.0);
                prop_assert!((area.abs() <= shape.area().abs() + 1e-6) == inward || d.abs() < 1e-4);
            }
            Err(OffsetError::Source(_)) => {}
            Err(other) => prop_assert!(false, "{other} for {shape:?} by {d}"),
        }
    }
}
