//! What is written is what was meant: every dialect of `post-processors/`, read back by the
//! published rules.

#![allow(clippy::unwrap_used)]

use ovolo::geometry::{Arc, Plane, Point3, Stroke, point, point3};
use ovolo::ngc::{Event, Motion, Options, What, interpret_all};
use ovolo::post::{ArcForm, Dialect, DwellUnit, Heading, built_in, write};
use ovolo::toolpath::{Direction, Move, Purpose, Toolpath};
use ovolo::units::Unit;
use proptest::prelude::*;
use std::f64::consts::TAU;
use std::sync::LazyLock;

/// What f64 arithmetic loses on coordinates of 50 m, mm.
const NOISE: f64 = 1e-8;

/// The dialects in the folder, and some that test the arc rule harder than those.
fn dialects() -> &'static [Dialect] {
    static ALL: LazyLock<Vec<Dialect>> = LazyLock::new(read_dialects);
    &ALL
}

fn read_dialects() -> Vec<Dialect> {
    let mut files: Vec<_> = std::fs::read_dir("post-processors")
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "toml"))
        .collect();
    files.sort();
    let mut all: Vec<Dialect> =
        files.iter().map(|f| Dialect::find(f.to_str().unwrap()).unwrap()).collect();
    let hard = |name: &str, change: &dyn Fn(&mut Dialect)| {
        let mut dialect = Dialect::find("millimetres").unwrap();
        dialect.name = name.to_string();
        change(&mut dialect);
        dialect
    };
    all.push(hard("three decimals, radius", &|d| {
        (d.decimals, d.arcs) = (3, ArcForm::Radius);
    }));
    all.push(hard("six decimals", &|d| d.decimals = 6));
    all.push(hard("four decimals of an inch", &|d| d.units = Unit::In));
    all.push(hard("four decimals of an inch, radius", &|d| {
        (d.units, d.arcs) = (Unit::In, ArcForm::Radius);
    }));
    all.push(hard("milliseconds", &|d| d.dwell_unit = DwellUnit::Milliseconds));
    all.push(hard("no helix", &|d| d.helix = false));
    all
}

#[test]
fn every_dialect_of_the_folder_is_built_in_as_it_stands_there() {
    let mut files: Vec<String> = std::fs::read_dir("post-processors")
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "toml"))
        .map(|path| path.file_stem().unwrap().to_str().unwrap().to_string())
        .collect();
    files.sort();
    let names: Vec<&str> = built_in().iter().map(|(name, _)| *name).collect();
    assert_eq!(files, names);
    for (name, text) in built_in() {
        let file = std::fs::read_to_string(format!("post-processors/{name}.toml")).unwrap();
        assert_eq!(&file, text);
        assert_eq!(Dialect::find(name).unwrap().name, *name);
    }
}

/// Writes and reads back; a grave problem fails.
fn read_back(toolpath: &Toolpath, dialect: &Dialect, heading: &Heading) -> Vec<Event> {
    let mut events = Vec::new();
    for program in write(toolpath, dialect, heading).unwrap() {
        let text = program.text;
        assert!(text.is_ascii());
        assert!(text.lines().all(|l| l.len() <= 256), "a line is too long");
        let (found, problems) = interpret_all(&text, &Options::default());
        let grave: Vec<_> = problems.iter().filter(|p| p.grave).collect();
        assert!(grave.is_empty(), "{}: {grave:?}\n{text}", dialect.name);
        let arc_warnings: Vec<_> =
            problems.iter().filter(|p| p.rule.id().starts_with("arc-")).collect();
        assert!(arc_warnings.is_empty(), "{}: {arc_warnings:?}\n{text}", dialect.name);
        events.extend(found);
    }
    events
}

fn motions(events: &[Event]) -> Vec<Motion> {
    events
        .iter()
        .filter_map(|e| match e.what {
            What::Motion(m) if !m.machine => Some(m),
            _ => None,
        })
        .collect()
}

fn meant_arc(from: Point3, to: Point3, arc: Arc) -> Toolpath {
    let mut path = Toolpath::default();
    let above = Point3 { z: 50.0, ..from };
    path.push(Purpose::Machine, Move::CutterChange { cutter: 1 });
    path.push(
        Purpose::Machine,
        Move::SpindleStart { direction: Direction::Clockwise, rpm: 18_000.0 },
    );
    path.push(Purpose::Travel, Move::Traverse { to: above });
    path.push(Purpose::Entry, Move::Line { to: from, feed: 500.0 });
    path.push(Purpose::Finish, Move::Arc { to, arc, feed: 2000.0 });
    path
}

/// Distance from `p` to the stroke.
fn distance(stroke: &Stroke, p: Point3) -> f64 {
    let Some(arc) = stroke.arc else {
        let way = stroke.to - stroke.from;
        let square = way.length().powi(2);
        let d = p - stroke.from;
        let share =
            if square > 0.0 { (d.x * way.x + d.y * way.y + d.z * way.z) / square } else { 0.0 };
        return (stroke.from + way * share.clamp(0.0, 1.0)).distance(p);
    };
    let (start, low) = arc.plane.split(stroke.from);
    let (_, high) = arc.plane.split(stroke.to);
    let (flat, along) = arc.plane.split(p);
    let (a, b) = (start - arc.center, flat - arc.center);
    let around = a.cross(b).atan2(a.dot(b)) * arc.sweep.signum();
    let mut best = stroke.from.distance(p).min(stroke.to.distance(p));
    for turn in [around, around + TAU] {
        let by_angle = (turn / arc.sweep.abs()).clamp(0.0, 1.0);
        let by_height =
            if high == low { by_angle } else { ((along - low) / (high - low)).clamp(0.0, 1.0) };
        // Between the nearest in plan and the nearest in height lies the nearest of a helix.
        let (mut near, mut far) = (by_angle.min(by_height), by_angle.max(by_height));
        // Each step keeps two thirds: to a millionth of the range.
        let steps = if far - near > 1e-12 { 34 } else { 0 };
        for _ in 0..steps {
            let (m, n) = (near + (far - near) / 3.0, far - (far - near) / 3.0);
            if stroke.at(m).distance(p) < stroke.at(n).distance(p) { far = n } else { near = m }
        }
        best = best.min(stroke.at(near).distance(p)).min(stroke.at(by_angle).distance(p));
    }
    best
}

/// The meant arc against all cutting motions of the text behind the entry.
fn check_arc(dialect: &Dialect, from: Point3, to: Point3, arc: Arc) {
    let meant = Stroke { from, to, arc: Some(arc) };
    let all = motions(&read_back(&meant_arc(from, to, arc), dialect, &Heading::default()));
    let step = dialect.step();
    let cuts: Vec<Stroke> =
        all.iter().filter(|m| m.feed == Some(feed_of(dialect, 2000.0))).map(|m| m.stroke).collect();
    let chords = dialect.arcs == ArcForm::None || (!dialect.helix && low_high(&meant));
    // 0.00015 mm with four decimals of a millimetre, 0.00038 mm with five of an inch.
    let allowed = if chords { dialect.chord_tolerance.0 } else { 1.5 * step } + NOISE;
    assert!(allowed - NOISE <= dialect.reads_back_within(), "{} promises less", dialect.name);
    // Both ends exactly: each coordinate is the nearest that can be written.
    let (first, last) = match (cuts.first(), cuts.last()) {
        (Some(first), Some(last)) => (first.from, last.to),
        _ => {
            let at = all.last().unwrap().stroke.to;
            assert!(meant.length() <= 2.0 * allowed.max(step), "lost: {meant:?}");
            (at, at)
        }
    };
    for (found, wanted) in [(first, from), (last, to)] {
        let off = found - wanted;
        for one in [off.x, off.y, off.z] {
            assert!(one.abs() <= step / 2.0 + NOISE, "{}: end off by {one}", dialect.name);
        }
    }
    let mut length = 0.0;
    for cut in &cuts {
        length += cut.length();
        // A line leaves an arc most in its middle.
        let samples = if cut.arc.is_some() { 6 } else { 2 };
        for i in 0..=samples {
            let p = cut.at(f64::from(i) / f64::from(samples));
            let off = distance(&meant, p);
            assert!(off <= allowed, "{}: {off} mm off at {p:?}, {allowed} allowed", dialect.name);
        }
        let Some(arc) = cut.arc else { continue };
        // The published rule, from the numbers of the text.
        let radii = arc.plane.split(cut.from).0.distance(arc.center)
            - arc.plane.split(cut.to).0.distance(arc.center);
        let rule = if dialect.units == Unit::Mm { 0.002 } else { 0.0002 * 25.4 };
        assert!(radii.abs() <= rule, "{}: radii differ by {radii}", dialect.name);
        let radius = arc.plane.split(cut.from).0.distance(arc.center);
        let beyond = (arc.sweep.abs() - dialect.largest_sweep()) * radius;
        assert!(beyond <= 4.0 * step, "{}: turns by {}", dialect.name, arc.sweep);
    }
    // No arc turned into a full circle, and none lost: the way is as long as meant.
    // A chord within t of its arc of radius r is shorter by about 4 t / 3 r of its length.
    let radius = arc.plane.split(from).0.distance(arc.center);
    let shorter = if chords { 2.0 * allowed / radius.max(allowed) * meant.length() } else { 0.0 };
    let steps = 4.0 * step * (cuts.len() as f64 + 1.0) + shorter + NOISE;
    assert!(
        (length - meant.length()).abs() <= steps + 8.0 * allowed,
        "{}: {length} mm long, {} meant",
        dialect.name,
        meant.length()
    );
    // What is plainly an arc is written as arcs, in as few parts as its dialect wants.
    if !chords && radius >= 1.0 && radius * arc.sweep.abs() >= 1.0 {
        // Between an end and a quadrant close by, a line of a few steps is as good.
        // Seen along the arc's axis: a steep helix's line is as long as it falls.
        let plan = |c: &Stroke| arc.plane.split(c.from).0.distance(arc.plane.split(c.to).0);
        let sliver = |c: &Stroke| dialect.split_at_quadrants && plan(c) < 0.01;
        let arcs = cuts.iter().all(|c| c.arc.is_some() || sliver(c));
        assert!(arcs, "{}: {cuts:?}", dialect.name);
        let parts = (arc.sweep.abs() / dialect.largest_sweep() - 1e-9).ceil() as usize;
        let quarters = if dialect.split_at_quadrants { 5 } else { 0 };
        // The centre of a radius arc above some 90 degrees may hang too much on its last decimal.
        let halves = if dialect.arcs == ArcForm::Radius { 2 } else { 1 };
        assert!(cuts.len() <= parts * halves + quarters, "{}: {} parts", dialect.name, cuts.len());
    }
    // And no part of the meant arc is left out.
    for i in 0..=8 {
        let p = meant.at(f64::from(i) / 8.0);
        let off = cuts.iter().map(|c| distance(c, p)).fold(f64::INFINITY, f64::min);
        assert!(cuts.is_empty() || off <= allowed + step, "{}: {off} mm from {p:?}", dialect.name);
    }
}

fn low_high(stroke: &Stroke) -> bool {
    let plane = stroke.arc.unwrap().plane;
    plane.split(stroke.from).1 != plane.split(stroke.to).1
}

fn feed_of(dialect: &Dialect, feed: f64) -> f64 {
    let power = 10_f64.powi(dialect.decimals_feed as i32);
    (feed / dialect.units.mm() * power + 1e-6).floor() / power * dialect.units.mm()
}

fn any_arc() -> impl Strategy<Value = (Point3, Point3, Arc)> {
    let place = (-3000.0..3000.0, -3000.0..3000.0, -40.0..0.0);
    let radius = (0.05_f64.ln()..50_000_f64.ln()).prop_map(f64::exp);
    let sweep = (
        prop_oneof![
            4 => (1e-4_f64.ln()..TAU.ln()).prop_map(f64::exp),
            2 => 0.5..TAU,
            // Near a half and a whole turn.
            1 => (-1e-3..1e-3_f64).prop_map(|d| TAU / 2.0 + d),
            1 => Just(TAU / 2.0),
            1 => (0.0..1e-3_f64).prop_map(|d| TAU - d),
            1 => Just(TAU),
        ],
        any::<bool>(),
    )
        .prop_map(|(s, ccw)| if ccw { s } else { -s });
    let rise = prop_oneof![2 => Just(0.0), 1 => -20.0..20.0_f64];
    let plane = prop_oneof![4 => Just(Plane::Xy), 1 => Just(Plane::Zx), 1 => Just(Plane::Yz)];
    (place, radius, sweep, rise, plane, 0.0..TAU).prop_map(
        |((x, y, z), radius, sweep, rise, plane, angle)| {
            let from = point3(x, y, z);
            let (flat, along) = plane.split(from);
            let center = flat + point(radius * angle.cos(), radius * angle.sin());
            let end =
                if sweep.abs() == TAU { flat } else { center + (flat - center).rotated(sweep) };
            (from, plane.join(end, along + rise), Arc { plane, center, sweep })
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn every_arc_reads_back_as_meant((from, to, arc) in any_arc()) {
        for dialect in dialects() {
            check_arc(dialect, from, to, arc);
        }
    }
}

/// A move of the second property.
fn any_moves() -> impl Strategy<Value = Vec<Move>> {
    // Small differences: many moves that round to little or nothing.
    let place = prop_oneof![
        (-900.0..900.0, -400.0..400.0, -20.0..5.0),
        (-0.01..0.01, -0.01..0.01, -0.001..0.001),
    ];
    let one = (place, 0..5_u8, (0.001_f64.ln()..9000_f64.ln()).prop_map(f64::exp));
    prop::collection::vec(one, 1..30).prop_map(|all| {
        let mut moves = vec![Move::Traverse { to: point3(0.0, 0.0, 20.0) }];
        for ((x, y, z), kind, feed) in all {
            let to = point3(x, y, z);
            moves.push(match kind {
                0 => Move::Traverse { to },
                1 => Move::Dwell { seconds: feed / 1000.0 },
                _ => Move::Line { to, feed },
            });
        }
        moves
    })
}

/// Same as the text says: moves that a dialect's grid can tell apart.
fn on_grid(moves: &[Move], dialect: &Dialect) -> Vec<(bool, [i64; 3])> {
    let count = |mm: f64| (mm / dialect.step()).round() as i64;
    let mut at = None;
    let mut all = Vec::new();
    for action in moves {
        let Some(p) = action.target() else { continue };
        let spot = [count(p.x), count(p.y), count(p.z)];
        if at != Some(spot) {
            all.push((action.feed().is_some(), spot));
        }
        at = Some(spot);
    }
    all
}

proptest! {
    #[test]
    fn lines_feeds_and_waits_read_back_in_order(moves in any_moves()) {
        let mut path = Toolpath::default();
        for m in &moves {
            path.push(Purpose::Rough, *m);
        }
        for dialect in dialects() {
            let events = read_back(&path, dialect, &Heading::default());
            let mut found = motions(&events);
            // The first traverse is written as two: up, then across.
            prop_assert!((found[0].stroke.to.z - 20.0).abs() <= dialect.step() / 2.0);
            prop_assert_eq!(found[0].known, [false; 3]);
            found.remove(0);
            let neutral: Vec<Move> = found.iter().map(Motion::neutral).collect();
            prop_assert_eq!(on_grid(&neutral, dialect), on_grid(&moves, dialect));

            // Positions never drift: each is within half a step of what was meant.
            let meant = moves.iter().filter_map(|m| m.feed().map(|f| (m.target().unwrap(), f)));
            let meant: Vec<_> = meant.collect();
            for m in found.iter().filter(|m| m.feed.is_some()) {
                let (to, feed) = (m.stroke.to, m.feed.unwrap());
                let half = dialect.step() / 2.0 + NOISE;
                let fits = meant.iter().any(|(p, f)| {
                    let off = to - *p;
                    let least = dialect.units.mm() / 10_f64.powi(dialect.decimals_feed as i32);
                    off.x.abs() <= half && off.y.abs() <= half && off.z.abs() <= half
                        && feed > 0.0 && feed <= f.max(least) + 1e-4 && feed > f - least * 1.001
                });
                prop_assert!(fits, "{}: {:?}", dialect.name, m);
            }
            let waits = |seconds: f64| seconds > 0.0;
            let waited: f64 = events.iter().map(|e| match e.what {
                // The reader takes P as seconds, as published.
                What::Dwell { seconds } if dialect.name == "milliseconds" => seconds / 1000.0,
                What::Dwell { seconds } => seconds,
                _ => 0.0,
            }).sum();
            let wanted: f64 = moves.iter().map(|m| match m {
                Move::Dwell { seconds } if waits(*seconds) => *seconds,
                _ => 0.0,
            }).sum();
            prop_assert!(waited >= wanted - 1e-6 && waited <= wanted + 0.001 * moves.len() as f64);
        }
    }

    #[test]
    fn no_title_breaks_out_of_its_remark(
        title in any::<String>(),
        line in ".{0,600}",
        cutter in "[ -~]{0,300}",
        sly in prop_oneof![
            Just(")\nM3 S9999 (".to_string()),
            Just("M S G , hello".to_string()),
            Just("%\r\n%".to_string()),
            Just("{title} {cutter} ;(((".to_string()),
        ],
    ) {
        let mut path = meant_arc(
            point3(0.0, 0.0, -2.0),
            point3(10.0, 0.0, -2.0),
            Arc { plane: Plane::Xy, center: point(5.0, 0.0), sweep: TAU / 2.0 },
        );
        path.push(Purpose::Machine, Move::SpindleStop);
        for dialect in dialects() {
            let words = |heading: &Heading| -> Vec<What> {
                read_back(&path, dialect, heading)
                    .into_iter()
                    .filter(|e| !matches!(e.what, What::Comment { message: false, .. }))
                    .map(|e| match e.what {
                        What::Comment { .. } => What::Comment { text: String::new(), message: true },
                        what => what,
                    })
                    .collect()
            };
            let hostile = Heading {
                title: title.clone(),
                lines: vec![line.clone(), sly.clone(), format!("{line}{sly}")],
                cutters: vec![(1, format!("{cutter}{sly}"))],
                ..Heading::default()
            };
            prop_assert_eq!(words(&hostile), words(&Heading::default()));
        }
    }
}

/// A full circle stays one, in parts.
#[test]
fn a_full_circle_is_written_in_parts_that_make_one() {
    let from = point3(10.0, 0.0, -1.0);
    let arc = Arc { plane: Plane::Xy, center: point(0.0, 0.0), sweep: -TAU };
    for dialect in dialects() {
        check_arc(dialect, from, from, arc);
    }
}

/// An arc whose ends round to one point must not become a full circle (NISTIR 6556 section 3.5.3.2).
#[test]
fn an_arc_too_short_to_write_is_left_out() {
    let from = point3(10.0, 0.0, -1.0);
    let sweep = 1e-7;
    let to = point3(10.0 * f64::cos(sweep), 10.0 * f64::sin(sweep), -1.0);
    let arc = Arc { plane: Plane::Xy, center: point(0.0, 0.0), sweep };
    for dialect in dialects().iter().filter(|d| d.decimals < 6) {
        let events = read_back(&meant_arc(from, to, arc), dialect, &Heading::default());
        assert!(motions(&events).iter().all(|m| m.stroke.arc.is_none()), "{}", dialect.name);
    }
}

/// Three decimals of a millimetre, each rounded by itself, can break the rule of 0.002 mm (NISTIR 6556
/// section 3.5.3.2). Of many arcs those that do are written all the same, as one arc each.
#[test]
fn arcs_that_plain_rounding_breaks_are_written_as_arcs() {
    let dialect = Dialect::find("millimetres-terse").unwrap();
    let rounded = |v: f64| (v * 1000.0).round() / 1000.0;
    let mut hard = 0;
    for n in 0..400_000_u32 {
        // Steps of irrational shares fill the space evenly.
        let share = |k: f64| (f64::from(n) * k).fract();
        let from = point(500.0 * share(0.618_034), 300.0 * share(0.754_878));
        let center = from + point(60.0 * share(0.569_840) - 30.0, 60.0 * share(0.819_173) - 30.0);
        let sweep = 2.6 + 0.54 * share(0.671_044);
        let to = center + (from - center).rotated(sweep);
        let (i, j) = (rounded(center.x - rounded(from.x)), rounded(center.y - rounded(from.y)));
        let plain = point(rounded(from.x) + i, rounded(from.y) + j);
        let end = point(rounded(to.x), rounded(to.y));
        if (point(i, j).length() - plain.distance(end)).abs() <= 0.002 {
            continue;
        }
        hard += 1;
        let arc = Arc { plane: Plane::Xy, center, sweep };
        check_arc(&dialect, from.at(-1.0), to.at(-1.0), arc);
        let path = meant_arc(from.at(-1.0), to.at(-1.0), arc);
        let text = write(&path, &dialect, &Heading::default()).unwrap().remove(0).text;
        assert_eq!(text.matches("G3").count(), 1, "{text}");
    }
    assert!(hard >= 10, "only {hard} hard arcs found");
}
