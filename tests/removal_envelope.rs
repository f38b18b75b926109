//! Swept heights held between two proven bounds, for every form of cutter and kind of stroke.
//!
//! With the stroke cut into small steps, any tip on it gives an edge that the envelope can not
//! be above; and over a step of plan length 2e and height 2f the edge is nowhere lower than
//! with the cutter e nearer and f lower. Neither bound shares a formula with the sweep.
#![allow(clippy::unwrap_used)]

use ovolo::dry_run::removal::{CHORD_TOLERANCE, ROUNDING, Section, Stock};
use ovolo::geometry::{Arc, HeightField, Plane, Point, Stroke, point, point3};

const TOP: f64 = 20.0;

fn sections() -> Vec<(&'static str, Section)> {
    let degrees = f64::to_radians;
    vec![
        ("flat", Section::flat(3.0).unwrap()),
        ("ball", Section::ball(3.175).unwrap()),
        ("bull-nose", Section::bull_nose(4.0, 1.2).unwrap()),
        ("bull-nose that is a ball", Section::bull_nose(3.0, 3.0).unwrap()),
        ("V", Section::cone(5.0, 0.0, degrees(60.0)).unwrap()),
        ("V with a flat tip", Section::cone(5.0, 0.6, degrees(90.0)).unwrap()),
        ("drill", Section::cone(4.0, 0.0, degrees(118.0)).unwrap()),
        ("taper-ball", Section::taper_ball(3.0, 0.8, degrees(14.0)).unwrap()),
        ("wide taper-ball", Section::taper_ball(4.0, 1.5, degrees(80.0)).unwrap()),
    ]
}

fn field() -> HeightField {
    // An odd corner, so that no stroke starts on a sample.
    HeightField::new(point(-1.37, 2.11), point(30.0, 30.0), 0.5, TOP).unwrap()
}

/// Least and greatest that the edge over `p` can be, for a path off by `slack` in any direction.
fn bounds(p: Point, stroke: &Stroke, section: &Section, steps: usize, slack: f64) -> (f64, f64) {
    let half = 0.5 / steps as f64;
    let plan = {
        let flat = Stroke {
            from: point3(stroke.from.x, stroke.from.y, 0.0),
            to: point3(stroke.to.x, stroke.to.y, 0.0),
            arc: stroke.arc,
        };
        let vertical = stroke.arc.is_some_and(|arc| arc.plane != Plane::Xy);
        if vertical { stroke.length() } else { flat.length() }
    };
    let vertical = stroke.arc.is_some_and(|arc| arc.plane != Plane::Xy);
    let rise = if vertical { stroke.length() } else { (stroke.to.z - stroke.from.z).abs() };
    let (e, f) = (plan * half + slack, rise * half + slack);
    let (mut low, mut high) = (TOP, TOP);
    for k in 0..steps {
        let tip = stroke.at((k as f64 + 0.5) / steps as f64);
        let r = p.distance(tip.xy());
        if let Some(h) = section.height((r - e).max(0.0)) {
            low = low.min(tip.z - f + h);
        }
        if let Some(h) = section.height(r + slack) {
            high = high.min(tip.z + slack + h);
        }
    }
    (low, high)
}

/// Cuts one stroke by every cutter and holds each sample between its bounds.
fn hold(stroke: &Stroke, slack: f64) {
    const STEPS: usize = 600;
    for (name, section) in sections() {
        let mut stock = Stock::new(field());
        let removed = stock.remove(stroke, &section).unwrap();
        let field = stock.field();
        let (mut cut, mut gap) = (0, 0.0_f64);
        for j in 0..field.rows() {
            for i in 0..field.columns() {
                let z = f64::from(field.height(i, j).unwrap());
                cut += u64::from(z < TOP - 1e-3);
                // A fifth of the samples, in no row nor column.
                if (2 * i + j) % 5 != 0 {
                    continue;
                }
                let (low, high) = bounds(field.middle(i, j), stroke, &section, STEPS, slack);
                assert!(
                    low <= z && z <= high,
                    "{name}: {z} not from {low} to {high} at {:?} for {stroke:?}",
                    field.middle(i, j)
                );
                gap += (high - low) * 5.0 / (field.rows() * field.columns()) as f64;
            }
        }
        assert!(removed.cells > 10, "{name}: the stroke misses the field");
        assert_eq!(removed.cells, cut, "{name}");
        // The bounds say something: together within a quarter of a millimetre on average, the
        // rims of square ends included.
        assert!(gap < 0.25, "{name}: bounds {gap} apart");
    }
}

fn arc(from: (f64, f64, f64), centre: Point, sweep: f64, to_z: f64) -> Stroke {
    let end = centre + (point(from.0, from.1) - centre).rotated(sweep);
    let arc = Arc { plane: Plane::Xy, center: centre, sweep };
    Stroke { from: point3(from.0, from.1, from.2), to: end.at(to_z), arc: Some(arc) }
}

#[test]
fn level_lines() {
    hold(&Stroke::line(point3(5.0, 9.0, 17.0), point3(21.0, 9.0, 17.0)), ROUNDING);
    hold(&Stroke::line(point3(20.3, 22.1, 16.0), point3(8.7, 11.9, 16.0)), ROUNDING);
}

#[test]
fn sloped_lines() {
    for (rise, x, y) in [(0.4, 20.0, 14.0), (-2.5, 9.0, 24.0), (5.0, 11.0, 13.0), (-7.0, 16.0, 9.0)]
    {
        hold(&Stroke::line(point3(10.1, 12.2, 14.0), point3(x, y, 14.0 + rise)), ROUNDING);
    }
}

#[test]
fn lines_steeper_than_cones() {
    for (run, rise) in [(3.0, 5.0), (1.0, -4.5), (0.6, 5.5), (0.05, -6.0), (1e-4, 6.0)] {
        hold(
            &Stroke::line(point3(12.3, 15.2, 14.0), point3(12.3 + run, 15.4, 14.0 + rise)),
            ROUNDING,
        );
    }
}

#[test]
fn plunges_and_points() {
    hold(&Stroke::line(point3(12.3, 15.2, 25.0), point3(12.3, 15.2, 14.0)), ROUNDING);
    hold(&Stroke::line(point3(12.3, 15.2, 14.0), point3(12.3, 15.2, 14.0)), ROUNDING);
}

#[test]
fn level_arcs_both_ways() {
    for sweep in [0.3, 2.5, -4.0, std::f64::consts::TAU] {
        hold(&arc((20.0, 15.0, 16.0), point(13.2, 15.7), sweep, 16.0), ROUNDING);
    }
    // Flat, with its centre far away.
    hold(&arc((3.0, 8.0, 16.0), point(12.0, 2000.0), 0.009, 16.0), ROUNDING);
}

#[test]
fn helices_both_ways() {
    for (sweep, z) in [(6.2, 14.0), (-6.2, 15.5), (2.0, 18.5), (-1.0, 12.0), (0.01, 15.0)] {
        hold(&arc((17.0, 15.0, 17.0), point(13.2, 15.7), sweep, z), ROUNDING);
    }
}

#[test]
fn helices_narrower_than_the_cutter() {
    for (radius, z) in [(0.7, 13.0), (2.0, 12.5), (1e-3, 15.0)] {
        hold(&arc((13.2 + radius, 15.7, 17.0), point(13.2, 15.7), -6.25, z), ROUNDING);
    }
}

#[test]
fn arcs_of_upright_planes() {
    let slack = ROUNDING + CHORD_TOLERANCE;
    // A dip in the x-z plane and one in the y-z plane.
    let dip = Arc { plane: Plane::Zx, center: point(22.0, 12.0), sweep: 1.2 };
    let start = point(22.0, 12.0) + Point::polar(7.0, 2.5);
    let end = point(22.0, 12.0) + Point::polar(7.0, 3.7);
    hold(
        &Stroke {
            from: point3(start.y, 14.0, start.x),
            to: point3(end.y, 14.0, end.x),
            arc: Some(dip),
        },
        slack,
    );
    let dip = Arc { plane: Plane::Yz, center: point(15.0, 24.0), sweep: -1.6 };
    let start = point(15.0, 24.0) + Point::polar(9.0, -0.8);
    let end = point(15.0, 24.0) + Point::polar(9.0, -2.4);
    hold(
        &Stroke {
            from: point3(11.0, start.x, start.y),
            to: point3(14.0, end.x, end.y),
            arc: Some(dip),
        },
        slack,
    );
}

#[test]
fn strokes_that_leave_the_field_cut_what_is_in_it() {
    hold(&Stroke::line(point3(-30.0, -10.0, 18.0), point3(60.0, 50.0, 13.0)), ROUNDING);
    hold(&arc((28.0, 40.0, 16.0), point(10.0, 40.0), -3.0, 16.0), ROUNDING);
}
