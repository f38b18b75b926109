//! What is left against what is wanted: gouge, leftover, share, map, and the line at fault.

use super::bench::{Bench, around, cautions, refusals};
use ovolo::dry_run::{
    Band, Interlock, Setup, TabKeep, Trial, Turn, Verdict, Wanted, check, try_out, turned_over,
};
use ovolo::geometry::{Point, point};
use ovolo::units::{Shown, Unit};

/// A board whose top stays, with a groove 3 deep and 6.35 wide along y 50 from x 50 to 90.
fn groove(p: Point) -> Option<Band> {
    let x = p.x.clamp(50.0, 90.0);
    let within = p.distance(point(x, 50.0)) <= 6.35 / 2.0;
    let z = if within { -3.0 } else { 0.0 };
    Some(Band { low: z, high: z })
}

fn tried(body: &str, leftover: f64) -> Verdict {
    let bench = Bench::new();
    let wanted = Wanted { heights: &groove, tolerance: 0.05, finished: true, leftover };
    check(&around(body), &Setup { wanted: Some(wanted), ..bench.setup() })
}

const GROOVE: &str = "G0 X50 Y50\nG0 Z1\nG1 Z-3 F600\nG1 X90 F2000";

#[test]
fn the_wanted_groove_is_within_tolerance_everywhere() {
    let verdict = tried(GROOVE, 0.1);
    assert_eq!(verdict.findings, []);
    let surface = verdict.surface.unwrap();
    assert_eq!((surface.gouge, surface.leftover, surface.within), (None, None, 1.0));
    // The whole board, 300 by 100, to a cell's width.
    assert!((surface.area - 30_000.0).abs() < 0.01 * 30_000.0, "{}", surface.area);
    assert!(surface.map.micrometres.iter().all(|square| *square == Some(0)));
}

#[test]
fn a_gouge_is_refused_at_the_line_that_makes_it() {
    let body = format!("{GROOVE}\nG0 Z12\nG0 X150 Y20\nG1 Z-0.4 F600\nG1 X160 F2000");
    let verdict = tried(&body, 0.1);
    assert_eq!(refusals(&verdict), [(Interlock::SurfaceKept, 13)]);
    let surface = verdict.surface.unwrap();
    let gouge = surface.gouge.unwrap();
    assert!((gouge.depth - 0.4).abs() < 1e-3, "{gouge:?}");
    assert!(gouge.at[0] > 146.0 && gouge.at[0] < 164.0 && (gouge.at[1] - 20.0).abs() < 3.5);
    assert!(surface.within < 1.0 && surface.within > 0.99);
    assert!(surface.map.micrometres.contains(&Some(-400)));
    // A groove 0.2 too wide is gouged along its wall.
    let wide = tried(&format!("{GROOVE}\nG1 Y50.4\nG1 X50"), 0.1);
    assert!(refusals(&wide).iter().all(|(i, _)| *i == Interlock::SurfaceKept));
    assert_eq!(refusals(&wide)[0].1, 11);
}

#[test]
fn the_surface_is_told_in_the_readers_unit() {
    let verdict =
        tried(&format!("{GROOVE}\nG0 Z12\nG0 X150 Y20\nG1 Z-0.4 F600\nG1 X160 F2000"), 0.1);
    let told = |unit| verdict.judged(Shown { unit, parts: 32 }).join("\n");
    let (metric, inches) = (told(Unit::Mm), told(Unit::In));
    // The board of 300 by 100 mm is 300 cm2, 46.5 square inches; 0.05 mm are 0.0019685 in and
    // 0.4 mm are 0.015748 in, at 25.4 mm to the inch.
    for part in [" 300 cm2 ", "within 0.05 mm of", "gouge 0.4 mm at"] {
        assert!(metric.contains(part), "{metric}");
    }
    for part in [" 46.5 sq in ", "within 0.00197 in of", "gouge 0.01575 in at"] {
        assert!(inches.contains(part), "{inches}");
    }
    assert!(!inches.contains("mm") && !inches.contains("cm2"), "{inches}");
}

#[test]
fn leftover_is_told_and_above_what_is_allowed_a_caution() {
    let shallow = GROOVE.replace("Z-3", "Z-2.8");
    let verdict = tried(&shallow, 0.5);
    assert_eq!(verdict.findings, []);
    let left = verdict.surface.unwrap().leftover.unwrap();
    assert!((left.depth - 0.2).abs() < 1e-3, "{left:?}");
    assert_eq!(cautions(&tried(&shallow, 0.1)), [(Interlock::SurfaceKept, 13)]);
}

#[test]
fn a_second_program_cuts_what_the_first_has_left() {
    let bench = Bench::new();
    let first = around(GROOVE);
    let second = around("G0 X50 Y50\nG0 Z0\nG1 Z-6 F600\nG1 X90 F2000");
    let Trial { verdict, left } = try_out(&first, &bench.setup());
    assert_eq!(refusals(&verdict), []);
    let alone = check(&second, &bench.setup());
    assert_eq!(refusals(&alone), [(Interlock::Stepdown, 10)]);
    let setup = Setup { before: left.as_ref(), ..bench.setup() };
    assert_eq!(refusals(&check(&second, &setup)), []);
}

#[test]
fn a_tab_too_weak_for_the_pass_is_a_caution() {
    let bench = Bench::new();
    // 40 N in a full-width pass of 3.2 mm; a tab of 0.5 by 2 mm holds 1 mm2 of a tenth of 100 MPa.
    let tab = |half_width: f64| TabKeep {
        at: point(150.0, 20.0),
        out: Point::default(),
        top: -18.0,
        half_width,
    };
    let body = "G0 X-10 Y50\nG0 Z-3\nG1 X60 F2000\nG0 Z12\nG0 X-10\nG0 Z-6\nG1 X60\nG0 Z12\nG0 X-10\nG0 Z-9\nG1 X60";
    let tried = |half_width: f64, top: f64| {
        let tabs = vec![TabKeep { top, ..tab(half_width) }];
        check(&around(body), &Setup { tabs, rupture: Some(100.0), ..bench.setup() })
    };
    assert_eq!(cautions(&tried(0.25, -8.0)), []);
    let weak = tried(0.1, -8.0);
    assert_eq!(cautions(&weak), [(Interlock::TabsStrong, 17)]);
    assert!(
        weak.findings[0].message.contains("a tab of 2.4 mm2 holds 24 N"),
        "{:?}",
        weak.findings
    );
    // Nothing is cut lower than this tab's top.
    assert_eq!(cautions(&tried(0.1, -18.0)), []);
}

#[test]
fn a_spindle_too_weak_for_the_wood_taken_is_a_caution_then_a_refusal() {
    // 50 to 200 W in a full pass of 3.2 mm at 2000 mm/min (the bench's own figures): a slot of
    // half that depth needs half as much, 25 to 100 W.
    let mut bench = Bench::new();
    let text = around("G0 X50 Y50\nG0 Z1\nG1 Z-1.6 F600\nG1 X90 F2000");
    let mut found = |watts: f64| {
        bench.machine.spindle.power = watts;
        let verdict = check(&text, &bench.setup());
        let power = |f: &&ovolo::dry_run::Finding| f.interlock == Interlock::SpindlePower;
        let first = verdict.findings.iter().find(power).map(|f| (f.line, f.message.clone()));
        (first, refusals(&verdict))
    };
    assert_eq!(found(110.0).0, None);
    let (caution, refused) = found(80.0);
    let (line, message) = caution.unwrap();
    assert_eq!((line, refused), (10, Vec::new()));
    // Counted in cells, the section is known to a few per cent.
    assert!(
        message.contains("which needs 25 to 1") || message.contains("which needs 26 to 1"),
        "{message}"
    );
    assert_eq!(found(20.0).1, [(Interlock::SpindlePower, 10)]);
}

#[test]
fn a_groove_over_a_groove_from_the_other_face_parts_the_board() {
    let bench = Bench::new();
    // Right across the board, 12 deep of 20, one face and then the other, in steps of 3.
    let step = |z: f64| format!("G0 X150 Y-5\nG0 Z{z}\nG1 Y105 F2000\nG0 Z12\n");
    let across: String = [-3.0, -6.0, -9.0, -11.0].map(step).concat();
    let text = around(&across);
    let loose =
        |verdict: &Verdict| verdict.findings.iter().any(|f| f.interlock == Interlock::NothingLoose);
    let first = try_out(&text, &bench.setup());
    assert!(!loose(&first.verdict));
    let stock = bench.setup().stock.unwrap();
    let below = turned_over(&first.left.unwrap(), &stock, Turn::AboutX);
    let second = check(&text, &Setup { below: Some(&below), ..bench.setup() });
    assert!(loose(&second), "{:?}", second.findings);
    assert!(second.notes.iter().any(|note| note.contains("turned over")));
    // Elsewhere on the board the two do not meet.
    let beside = text.replace("X150", "X100");
    let second = check(&beside, &Setup { below: Some(&below), ..bench.setup() });
    assert!(!loose(&second), "{:?}", second.findings);
}
