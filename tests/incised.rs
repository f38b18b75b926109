//! Incised work: the depth on the axis, and the cone held against the outline.

#![allow(clippy::unwrap_used)]

use ovolo::cuts::incise::Incise;
use ovolo::cuts::relief::Tooling;
use ovolo::geometry::medial_axis::medial_axis;
use ovolo::geometry::{Contour, Point, Region, Stroke, point};
use ovolo::toolpath::{Move, Purpose};
use ovolo::units::{Shown, Unit};

#[path = "relief_support/shop.rs"]
mod shop;
use shop::{data, flat, machine, vee};

/// Millimetres come first.
const SHOWN: Shown = Shown { unit: Unit::Mm, parts: 32 };

fn region(outer: Contour) -> Region {
    Region::new(outer, vec![]).unwrap()
}

fn ring(outside: f64, inside: f64) -> Region {
    let middle = point(3.0, -2.0);
    Region::new(Contour::circle(middle, outside), vec![Contour::circle(middle, inside)]).unwrap()
}

fn wedge() -> Region {
    region(Contour::polygon(&[point(0.0, 0.0), point(30.0, -3.0), point(30.0, 3.0)]))
}

fn strokes_only(strokes: &[Region], deepest: Option<f64>) -> Incise<'_> {
    Incise { strokes, lines: &[], half: 0.0, ground: 0.0, deepest }
}

fn plan(region: &Region, angle: f64, deepest: Option<f64>) -> Vec<Stroke> {
    let cutter = vee(angle);
    let (data, machine) = (data(&cutter), machine());
    let tooling = Tooling {
        cutter: &cutter,
        data: &data,
        machine: &machine,
        top: 0.0,
        travel_height: 20.0,
        shown: SHOWN,
    };
    let strokes = [region.clone()];
    let plan = strokes_only(&strokes, deepest).plan(&tooling).unwrap();
    for (stroke, step) in plan.toolpath.strokes() {
        if matches!(step.action, Move::Traverse { .. }) {
            let level = stroke.from.z >= 2.0 - 1e-9 && stroke.to.z >= 2.0 - 1e-9;
            let upright = stroke.from.xy().distance(stroke.to.xy()) < 1e-9;
            assert!(level || upright, "{stroke:?}");
        }
    }
    let cuts = plan.toolpath.strokes().filter(|(_, step)| step.purpose != Purpose::Travel);
    cuts.map(|(stroke, _)| stroke).collect()
}

/// How far the cone crosses the outline, at the most, where it meets the surface.
fn crosses(region: &Region, strokes: &[Stroke], angle: f64) -> f64 {
    let tangent = (angle.to_radians() / 2.0).tan();
    let mut worst = f64::NEG_INFINITY;
    for stroke in strokes {
        let count = (stroke.length() / 0.02).ceil().max(1.0) as usize;
        for k in 0..=count {
            let tip = stroke.at(k as f64 / count as f64);
            let all = region.contours().map(|c| c.nearest(tip.xy()).unwrap().1.distance(tip.xy()));
            let free = all.fold(f64::INFINITY, f64::min);
            let inside = if region.contains(tip.xy()) { free } else { -free };
            if tip.z < 0.0 {
                worst = worst.max(-tip.z * tangent - inside);
            }
        }
    }
    worst
}

fn deepest(strokes: &[Stroke]) -> f64 {
    -strokes.iter().map(|s| s.to.z).fold(0.0, f64::min)
}

#[test]
fn the_axis_of_a_rectangle_is_a_ridge_and_four_corners() {
    // Length a - b + 2 sqrt 2 b for a rectangle a by b (closed form): 200 x 100 gives 382.8427.
    let axis =
        medial_axis(&region(Contour::rectangle(point(10.0, 20.0), point(210.0, 120.0)))).unwrap();
    let length: f64 =
        axis.iter().flat_map(|b| b.points.windows(2)).map(|w| w[0].0.distance(w[1].0)).sum();
    assert!((length - 382.842_712).abs() < 1e-3, "{length}");
    for (p, r) in axis.iter().flat_map(|b| &b.points) {
        let true_distance = (p.x - 10.0).min(210.0 - p.x).min(p.y - 20.0).min(120.0 - p.y);
        assert!((r - true_distance).abs() < 1e-9);
    }
}

#[test]
fn the_axis_of_a_ring_is_a_circle_without_whiskers() {
    let axis = medial_axis(&ring(9.0, 5.0)).unwrap();
    let points: Vec<(Point, f64)> = axis.into_iter().flat_map(|b| b.points).collect();
    assert!(points.len() > 20);
    for (p, r) in points {
        assert!((p.distance(point(3.0, -2.0)) - 7.0).abs() < 2e-3, "{p:?}");
        assert!((r - 2.0).abs() < 2e-3, "{r}");
    }
}

#[test]
fn the_axis_of_a_disc_is_its_centre() {
    let axis = medial_axis(&region(Contour::circle(point(3.0, -2.0), 4.0))).unwrap();
    assert_eq!(axis.len(), 1);
    let (p, r) = axis[0].points[0];
    assert!(p.distance(point(3.0, -2.0)) < 0.2 && (r - 4.0).abs() < 0.2, "{p:?} {r}");
}

#[test]
fn an_inner_corner_bends_the_axis_to_a_parabola() {
    // An L of arms 10 wide: beside its inner corner the axis keeps as far from the corner
    // as from the outer sides (closed form: the parabola).
    let l = Contour::polygon(&[
        point(0.0, 0.0),
        point(40.0, 0.0),
        point(40.0, 10.0),
        point(10.0, 10.0),
        point(10.0, 40.0),
        point(0.0, 40.0),
    ]);
    let axis = medial_axis(&region(l)).unwrap();
    let mut near = 0;
    for (p, r) in axis.iter().flat_map(|b| &b.points) {
        if p.x < 9.9 && p.y < 9.9 && (p.x - p.y).abs() > 1e-3 && p.x + p.y > 10.5 {
            near += 1;
            let corner = p.distance(point(10.0, 10.0));
            assert!((corner - p.x.min(p.y)).abs() < 1e-3, "{p:?}");
            assert!((corner - r).abs() < 1e-3);
        }
    }
    assert!(near > 10, "{near}");
}

#[test]
fn outside_the_outline_nothing_is_followed() {
    // Three feet all but level: the circle that touches all three from below has a radius of
    // 100² / (2 * 0.00001) mm, half a million metres.
    let foot = 1e-5;
    let corners = [
        (0.0, 0.0),
        (10.0, 0.0),
        (10.0, 20.0),
        (100.0, 20.0),
        (100.0, foot),
        (110.0, foot),
        (110.0, 20.0),
        (200.0, 20.0),
        (200.0, 0.0),
        (210.0, 0.0),
        (210.0, 30.0),
        (0.0, 30.0),
    ];
    let comb = Contour::polygon(&corners.map(|(x, y)| point(x, y)));
    let axis = medial_axis(&region(comb)).unwrap();
    let points = axis.iter().flat_map(|branch| &branch.points);
    for (p, _) in points {
        // The axis is sought on a grid of 0.00001 mm.
        let inside = (-1e-4..210.0001).contains(&p.x) && (-1e-4..30.0001).contains(&p.y);
        assert!(inside, "{p:?}");
    }
}

#[test]
fn depth_is_half_the_width_over_the_tangent() {
    // w / tan(g/2) at half width w: 2 mm at 60 degrees 3.4641, at 90 degrees 2 (closed form).
    let stroke = region(Contour::rectangle(point(0.0, 0.0), point(30.0, 4.0)));
    for (angle, depth) in [(60.0, 3.464_102), (90.0, 2.0), (120.0, 1.154_701)] {
        let strokes = plan(&stroke, angle, None);
        assert!((deepest(&strokes) - depth).abs() < 1e-3, "{}", deepest(&strokes));
        // On the ridge the tip is there.
        let there = strokes.iter().any(|s| {
            s.from.xy().distance(point(2.0, 2.0)) < 0.01
                && s.to.xy().distance(point(28.0, 2.0)) < 0.01
                && (s.to.z + depth).abs() < 0.005
                || s.to.xy().distance(point(2.0, 2.0)) < 0.01
                    && s.from.xy().distance(point(28.0, 2.0)) < 0.01
        });
        assert!(there, "{strokes:?}");
    }
    let strokes = plan(&ring(9.0, 5.0), 60.0, None);
    assert!((deepest(&strokes) - 3.464_102).abs() < 5e-3, "{}", deepest(&strokes));
    // In a wedge the tip rises into the corner in a straight line: half the width at x is
    // x sin(b), b half the wedge's angle, where the axis is met from both long sides.
    let half = (3.0_f64 / 30.0).atan();
    let strokes = plan(&wedge(), 60.0, None);
    for stroke in &strokes {
        for p in [stroke.from, stroke.to] {
            if p.z < 0.0 && p.y.abs() < 1e-3 && p.x < 25.0 {
                let depth = p.x * half.sin() / 30.0_f64.to_radians().tan();
                // Nothing deeper; in an upper level less.
                assert!(-p.z <= depth + 0.006, "{p:?} {depth}");
            }
        }
    }
    let inradius = 30.0 * half.sin() / (1.0 + half.sin());
    assert!((deepest(&strokes) - inradius / 30.0_f64.to_radians().tan()).abs() < 0.01);
}

#[test]
fn no_cone_crosses_the_outline() {
    let l = Contour::polygon(&[
        point(0.0, 0.0),
        point(40.0, 0.0),
        point(40.0, 5.0),
        point(5.0, 5.0),
        point(5.0, 40.0),
        point(0.0, 40.0),
    ]);
    let shapes = [
        region(Contour::rectangle(point(0.0, 0.0), point(30.0, 4.0))),
        wedge(),
        ring(9.0, 5.0),
        region(l),
        region(Contour::circle(point(3.0, -2.0), 2.0)),
    ];
    for (k, shape) in shapes.iter().enumerate() {
        for angle in [30.0, 60.0, 90.0] {
            let strokes = plan(shape, angle, None);
            let worst = crosses(shape, &strokes, angle);
            println!("shape {k} at {angle}: crosses by {worst:.4}, {} strokes", strokes.len());
            assert!(worst < 0.01, "shape {k} at {angle}: {worst}");
        }
    }
}

#[test]
fn corners_are_cut_sharp_to_the_surface() {
    let stroke = region(Contour::rectangle(point(0.0, 0.0), point(30.0, 4.0)));
    let strokes = plan(&stroke, 60.0, None);
    for corner in [point(0.0, 0.0), point(30.0, 0.0), point(30.0, 4.0), point(0.0, 4.0)] {
        let reached = strokes
            .iter()
            .any(|s| s.from.xy().distance(corner) < 0.01 || s.to.xy().distance(corner) < 0.01);
        assert!(reached, "{corner:?}");
    }
}

#[test]
fn what_is_too_wide_is_left_to_a_flat_cutter() {
    let stroke = region(Contour::rectangle(point(0.0, 0.0), point(40.0, 20.0)));
    let strokes = plan(&stroke, 60.0, Some(3.0));
    assert!((deepest(&strokes) - 3.0).abs() < 1e-9);
    assert!(crosses(&stroke, &strokes, 60.0) < 0.01);
    let cutter = vee(60.0);
    let (v_data, machine) = (data(&cutter), machine());
    let tooling = Tooling {
        cutter: &cutter,
        data: &v_data,
        machine: &machine,
        top: 0.0,
        travel_height: 20.0,
        shown: SHOWN,
    };
    let all = [stroke.clone()];
    let clearing = strokes_only(&all, Some(3.0)).clearing(&tooling).unwrap().unwrap();
    // The floor is the outline moved in by 3 tan 30 = 1.7321 on all sides (closed form).
    let inset = 3.0 * 30.0_f64.to_radians().tan();
    let wanted = (40.0 - 2.0 * inset) * (20.0 - 2.0 * inset);
    assert!((clearing.floors[0].area() - wanted).abs() < 1e-6);
    let flat = flat(3.0);
    let flat_data = data(&flat);
    let plan = clearing.plan(&Tooling { cutter: &flat, data: &flat_data, ..tooling }).unwrap();
    for (s, step) in plan.toolpath.strokes() {
        if step.purpose == Purpose::Rough {
            for p in [s.from, s.to] {
                assert!(p.x > inset + 1.5 - 0.01 && p.x < 40.0 - inset - 1.5 + 0.01, "{p:?}");
                assert!(p.y > inset + 1.5 - 0.01 && p.y < 20.0 - inset - 1.5 + 0.01, "{p:?}");
                assert!(p.z >= -3.0 - 1e-9);
            }
        }
    }
    // A stroke that the V reaches everywhere needs none.
    let thin = [region(Contour::rectangle(point(0.0, 0.0), point(30.0, 2.0)))];
    assert!(strokes_only(&thin, Some(3.0)).clearing(&tooling).unwrap().is_none());
}

#[test]
fn what_can_not_be_incised_is_answered() {
    let (v, square) = (vee(60.0), flat(6.0));
    let (v_data, flat_data, machine) = (data(&v), data(&square), machine());
    let tooling = Tooling {
        cutter: &v,
        data: &v_data,
        machine: &machine,
        top: 0.0,
        travel_height: 20.0,
        shown: SHOWN,
    };
    let strokes = [region(Contour::rectangle(point(0.0, 0.0), point(30.0, 4.0)))];
    let key = |deepest, tooling: Tooling<'_>| {
        strokes_only(&strokes, deepest).plan(&tooling).unwrap_err().key
    };
    assert_eq!(key(Some(0.0), tooling).as_deref(), Some("depth"));
    assert_eq!(key(Some(500.0), tooling).as_deref(), Some("depth"));
    let wrong = Tooling { cutter: &square, data: &flat_data, ..tooling };
    assert_eq!(key(None, wrong).as_deref(), Some("cutter"));
}
