//! Finishing and roughing of reliefs whose shape is known in closed form: the program's text
//! is read back, and the cutter's body held against the shape itself.

#![allow(clippy::unwrap_used)]

use ovolo::cuts::relief::{Course, Finish, ReliefSpec, Rest, Rough, Tooling};
use ovolo::geometry::{HeightField, Point3, Stroke, point};
use ovolo::ngc::{Options, What, interpret_all};
use ovolo::post::{Dialect, Heading, write};
use ovolo::shop::Cutter;
use ovolo::toolpath::{Direction, Move, Purpose, Toolpath};
use ovolo::units::{Shown, Unit};
use ovolo::watch::Watch;

#[path = "relief_support/shop.rs"]
mod shop;
use shop::{ball, data, flat, machine};

/// Millimetres come first.
const SHOWN: Shown = Shown { unit: Unit::Mm, parts: 32 };

const CELL: f64 = 0.1;
const TOLERANCE: f64 = 0.002;

/// A relief 24 by 16 mm of this shape.
fn relief(shape: &dyn Fn(f64, f64) -> f64) -> HeightField {
    let mut field = HeightField::new(point(0.0, 0.0), point(24.0, 16.0), CELL, 0.0).unwrap();
    for j in 0..field.rows() {
        let row: Vec<f32> = (0..field.columns())
            .map(|i| {
                let p = field.middle(i, j);
                shape(p.x, p.y) as f32
            })
            .collect();
        field.set_row(j, &row);
    }
    field
}

/// The cutting strokes of the text, written and read back.
fn strokes(toolpath: &Toolpath, dialect: &str) -> (Vec<Stroke>, usize) {
    let mut path = Toolpath::default();
    path.push(Purpose::Machine, Move::CutterChange { cutter: 1 });
    path.push(
        Purpose::Machine,
        Move::SpindleStart { direction: Direction::Clockwise, rpm: 18_000.0 },
    );
    path.steps.extend(toolpath.steps.iter().cloned());
    let dialect = Dialect::find(dialect).unwrap();
    let mut out = Vec::new();
    let mut lines = 0;
    for program in write(&path, &dialect, &Heading::default()).unwrap() {
        lines += program.text.lines().count();
        let (events, problems) = interpret_all(&program.text, &Options::default());
        assert!(problems.iter().all(|p| !p.grave), "{problems:?}");
        out.extend(events.iter().filter_map(|e| match e.what {
            What::Motion(m) if !m.machine && m.feed.is_some() => Some(m.stroke),
            _ => None,
        }));
    }
    (out, lines)
}

/// The deepest that a ball goes in anywhere along the strokes: `inside` says how far a ball
/// with this centre and radius goes into the shape.
fn gouge(strokes: &[Stroke], radius: f64, inside: &dyn Fn(Point3) -> f64) -> f64 {
    let mut worst = f64::NEG_INFINITY;
    for stroke in strokes {
        let count = (stroke.length() / 0.03).ceil().max(1.0) as usize;
        for k in 0..=count {
            let tip = stroke.at(k as f64 / count as f64);
            worst = worst.max(inside(Point3 { z: tip.z + radius, ..tip }));
        }
    }
    worst
}

fn plan(
    field: &HeightField,
    cutter: &Cutter,
    angle: f64,
    arcs: bool,
) -> ovolo::cuts::relief::ReliefPlan {
    let (data, machine) = (data(cutter), machine());
    let tooling = Tooling {
        cutter,
        data: &data,
        machine: &machine,
        top: 5.0,
        travel_height: 20.0,
        shown: SHOWN,
    };
    let spec = ReliefSpec { relief: field, tooling, tolerance: TOLERANCE, watch: Watch::NOBODY };
    Finish { course: Course::Lines(angle), scallop: 0.02, arcs, stands: None, rest: None }
        .plan(&spec)
        .unwrap()
}

/// Distance of a point above a surface z(x) that does not change along y, by a fine search.
fn to_wave(x: f64, z: f64, wave: &dyn Fn(f64) -> f64) -> f64 {
    let near = |from: f64, to: f64| {
        (0..=400)
            .map(|k| from + (to - from) * f64::from(k) / 400.0)
            .map(|u| (u, (u - x).hypot(wave(u) - z)))
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .unwrap()
    };
    let (u, _) = near(x - 3.0, x + 3.0);
    near(u - 0.02, u + 0.02).1
}

#[test]
fn no_gouge_on_a_dome() {
    // A dome of radius 9 that rises 3 mm out of a level ground.
    let (cx, cy, r, up) = (12.0, 8.0, 9.0, 3.0);
    let dome = move |x: f64, y: f64| {
        let d = (x - cx).hypot(y - cy);
        ((r * r - d * d).max(0.0).sqrt() - (r - up)).max(0.0)
    };
    let field = relief(&dome);
    for cutter in [ball(3.0), ball(6.35)] {
        let radius = cutter.radius();
        let inside = move |c: Point3| {
            let dome = r + radius
                - ((c.x - cx).powi(2) + (c.y - cy).powi(2) + (c.z + r - up).powi(2)).sqrt();
            dome.max(radius - c.z)
        };
        for (angle, arcs) in [(0.0, false), (0.0, true), (90.0, true), (37.0, false)] {
            let plan = plan(&field, &cutter, f64::to_radians(angle), arcs);
            let (strokes, lines) = strokes(&plan.toolpath, "millimetres");
            let deepest = gouge(&strokes, radius, &inside);
            println!(
                "dome {} at {angle}, arcs {arcs}: gouge {deepest:.4}, {lines} lines, {:?}",
                cutter.name, plan.count
            );
            assert!(deepest < 0.005, "{deepest}");
            assert_eq!(arcs, plan.count.arcs > 0);
            assert!(plan.count.points > 5 * plan.count.strokes);
        }
    }
}

#[test]
fn no_gouge_on_a_cone() {
    // A cone 7 mm in radius and 4 mm high. Its tip is at a sample: between samples a tip would
    // be blunt in the field itself.
    let (cx, cy, r, up) = (12.05, 8.05, 7.0, 4.0);
    let cone = move |x: f64, y: f64| (up * (1.0 - (x - cx).hypot(y - cy) / r)).max(0.0);
    let field = relief(&cone);
    let cutter = ball(3.0);
    let radius = cutter.radius();
    let length = f64::hypot(r, up);
    let inside = move |c: Point3| {
        let d = (c.x - cx).hypot(c.y - cy);
        // In the plane through the axis: the flank from the tip (0, up) to (r, 0).
        let along = (d * r - (c.z - up) * up) / length;
        let flank = (d * up + (c.z - up) * r) / length;
        let side = if along < 0.0 { d.hypot(c.z - up) } else { flank };
        let base = if along <= length { side } else { f64::INFINITY };
        (radius - base).max(radius - c.z)
    };
    for angle in [0.0, 90.0, 45.0] {
        let plan = plan(&field, &cutter, f64::to_radians(angle), true);
        let deepest = gouge(&strokes(&plan.toolpath, "millimetres").0, radius, &inside);
        println!("cone at {angle}: gouge {deepest:.4}");
        assert!(deepest < 0.005, "{deepest}");
    }
}

#[test]
fn no_gouge_on_a_cosine_and_none_left_but_scallops() {
    let wave = |x: f64| 1.2 * (x / 2.2).cos();
    let field = relief(&|x, _| wave(x));
    let cutter = ball(3.0);
    let radius = cutter.radius();
    // Near the field's ends the wave is not in the field.
    let inner = 3.0..21.0;
    let inside = |c: Point3| match inner.contains(&c.x) {
        true => radius - to_wave(c.x, c.z, &wave),
        false => f64::NEG_INFINITY,
    };
    for angle in [0.0, 90.0] {
        let plan = plan(&field, &cutter, f64::to_radians(angle), true);
        let (strokes, _) = strokes(&plan.toolpath, "millimetres");
        let deepest = gouge(&strokes, radius, &inside);
        let section = ovolo::dry_run::removal::Section::of(&cutter).unwrap();
        let mut stock = ovolo::dry_run::removal::Stock::new(
            HeightField::new(field.min(), point(24.0, 16.0), CELL, 3.0).unwrap(),
        );
        stock.remove_all(&strokes, &section).unwrap();
        let mut most: f64 = 0.0;
        for j in 20..140 {
            for i in 30..210 {
                most = most.max(f64::from(stock.field().row(j)[i] - field.row(j)[i]));
            }
        }
        println!("cosine at {angle}: gouge {deepest:.4}, left {most:.4}");
        assert!(deepest < 0.005, "{deepest}");
        // The scallop of 0.02 on the steepest slope, 0.545, and the tolerance and the lift.
        assert!(most < 0.02 * 1.14 + TOLERANCE + 0.005, "{most}");
    }
}

#[test]
fn passes_close_up_where_it_is_steep_across_them() {
    // A slope of 60 degrees across passes along x, beside a level ground.
    let slope = 3.0_f64.sqrt();
    let field = relief(&|_, y| ((y - 8.0) * slope).clamp(0.0, 5.0));
    let plan = plan(&field, &ball(3.0), 0.0, false);
    let count = |low: f64, high: f64| {
        let mut rows: Vec<i64> = plan
            .toolpath
            .strokes()
            .filter(|(s, step)| {
                step.purpose == Purpose::Finish
                    && s.length() > 1.0
                    && (low..high).contains(&s.from.y)
                    && (s.from.y - s.to.y).abs() < 1e-9
            })
            .map(|(s, _)| (s.from.y * 1e6).round() as i64)
            .collect();
        rows.sort_unstable();
        rows.dedup();
        rows.len()
    };
    let (level, steep) = (count(2.0, 4.0), count(8.5, 10.5));
    // A slope of 60 degrees halves the distance seen from above (closed form).
    assert!(steep >= 2 * level - 1, "{level} {steep}");
    // s = 2 sqrt(2 r h - h²) = 0.488 mm for r 1.5, h 0.02 (closed form): four passes in 2 mm.
    assert!((4..=5).contains(&level), "{level}");
}

#[test]
fn threads_leave_no_trace_in_passes() {
    // Steep enough in places for rows between rows, at an angle that no row of the grid has.
    let field = relief(&|x, y| 2.0 + 1.5 * (x / 2.0).cos() * (y / 1.5).sin());
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| plan(&field, &ball(3.0), 0.5, false).toolpath)
    };
    let alone = on(1);
    assert!(alone.steps.len() > 1000, "{}", alone.steps.len());
    assert_eq!(alone, on(2));
    assert_eq!(alone, on(3));
}

#[test]
fn passes_along_an_upright_wall_come_as_near_as_the_cutter_can() {
    // Wherever the wall stands between two passes of the widest distance.
    for tenths in 0..8 {
        let wall = 8.0 + 0.1 * f64::from(tenths);
        let field = relief(&|_, y| if y < wall { 0.0 } else { 4.0 });
        let plan = plan(&field, &ball(3.0), 0.0, false);
        let nearest = plan
            .toolpath
            .strokes()
            .filter(|(s, _)| s.to.z < 0.01 && s.length() > 20.0 && s.from.y == s.to.y)
            .map(|(s, _)| s.to.y)
            .fold(f64::NEG_INFINITY, f64::max);
        // An eighth of 0.488 mm, and the grid knows the wall to a cell on either side.
        let free = wall - 1.5 - nearest;
        assert!((0.0..0.061 + 2.0 * CELL + 0.01).contains(&free), "{free} at {wall}");
    }
}

#[test]
fn a_second_finish_goes_only_where_the_first_left_more() {
    // A level ground with a narrow groove that a ball of 6.35 mm bridges.
    let field = relief(&|x, _| if (x - 12.0).abs() < 1.0 { -1.5 } else { 0.0 });
    let (wide, fine) = (ball(6.35), ball(1.0));
    let (wide_data, fine_data, machine) = (data(&wide), data(&fine), machine());
    let tooling = |cutter, data| Tooling {
        cutter,
        data,
        machine: &machine,
        top: 0.0,
        travel_height: 20.0,
        shown: SHOWN,
    };
    let first = ReliefSpec {
        relief: &field,
        tooling: tooling(&wide, &wide_data),
        tolerance: TOLERANCE,
        watch: Watch::NOBODY,
    };
    let left = first.left().unwrap();
    let second = ReliefSpec {
        relief: &field,
        tooling: tooling(&fine, &fine_data),
        tolerance: TOLERANCE,
        watch: Watch::NOBODY,
    };
    let rest = Some(Rest { relief: &field, left: &left, amount: 0.05 });
    let plan =
        Finish { course: Course::Lines(0.0), scallop: 0.02, arcs: false, stands: None, rest }
            .plan(&second)
            .unwrap();
    let cuts: Vec<_> =
        plan.toolpath.strokes().filter(|(_, s)| s.purpose == Purpose::Finish).collect();
    assert!(!cuts.is_empty());
    for (stroke, _) in cuts {
        // Within a fine radius, and some cells, of the groove.
        assert!((stroke.from.x - 12.0).abs() < 1.0 + 0.5 + 0.4, "{stroke:?}");
    }
    // All of the groove's floor is reached.
    assert!(plan.toolpath.strokes().any(|(s, _)| s.to.z < -1.49));
}

#[test]
fn roughing_keeps_its_allowance_and_its_stepdown() {
    let field =
        relief(&|x, y| 4.0 * ((-((x - 12.0).powi(2) + (y - 8.0).powi(2)) / 18.0).exp()) - 6.0);
    let cutter = flat(6.0);
    let (data, machine) = (data(&cutter), machine());
    let tooling = Tooling {
        cutter: &cutter,
        data: &data,
        machine: &machine,
        top: 0.0,
        travel_height: 20.0,
        shown: SHOWN,
    };
    let spec = ReliefSpec { relief: &field, tooling, tolerance: TOLERANCE, watch: Watch::NOBODY };
    let plan = Rough { allowance: 0.5 }.plan(&spec).unwrap();
    let section = ovolo::dry_run::removal::Section::of(&cutter).unwrap();
    let mut stock = ovolo::dry_run::removal::Stock::new(
        HeightField::new(field.min(), point(24.0, 16.0), CELL, 0.0).unwrap(),
    );
    let mut deepest: f64 = 0.0;
    for (stroke, step) in plan.toolpath.strokes() {
        let removed = stock.remove(&stroke, &section).unwrap();
        if matches!(step.action, Move::Traverse { .. }) {
            // More than rounding.
            assert!(!removed.touched() && removed.volume < 1e-4, "{removed:?} by {stroke:?}");
        }
        if step.purpose == Purpose::Rough {
            deepest = deepest.max(removed.deepest);
        }
    }
    assert!(deepest <= data.stepdown.value + 0.02, "{deepest}");
    for j in 0..field.rows() {
        for i in 0..field.columns() {
            let above = stock.field().row(j)[i] - field.row(j)[i];
            assert!(above > 0.499 - 0.1, "({i}, {j}): {above}");
        }
    }
    // On the level the allowance and what the tolerance lifts it by is all that stays.
    let corner = stock.field().row(5)[5] - field.row(5)[5];
    assert!(corner < 0.8, "{corner}");
}

#[test]
fn what_can_not_be_asked_is_answered() {
    let field = relief(&|_, _| 0.0);
    let cutter = ball(3.0);
    let (data, machine) = (data(&cutter), machine());
    let tooling = Tooling {
        cutter: &cutter,
        data: &data,
        machine: &machine,
        top: 0.0,
        travel_height: 20.0,
        shown: SHOWN,
    };
    let spec = |tolerance| ReliefSpec { relief: &field, tooling, tolerance, watch: Watch::NOBODY };
    for scallop in [0.0, -1.0, 5.0, f64::NAN] {
        let refused =
            Finish { course: Course::Lines(0.0), scallop, arcs: false, stands: None, rest: None }
                .plan(&spec(0.002));
        assert_eq!(refused.unwrap_err().key.as_deref(), Some("scallop"));
    }
    let finish = |angle| Finish {
        course: Course::Lines(angle),
        scallop: 0.02,
        arcs: false,
        stands: None,
        rest: None,
    };
    assert_eq!(finish(f64::NAN).plan(&spec(0.002)).unwrap_err().key.as_deref(), Some("angle"));
    assert_eq!(finish(0.0).plan(&spec(0.0)).unwrap_err().key.as_deref(), Some("tolerance"));
    let refused = Rough { allowance: -1.0 }.plan(&spec(0.002)).unwrap_err();
    assert_eq!(refused.key.as_deref(), Some("allowance"));
}
