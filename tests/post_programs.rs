//! The whole text of one small toolpath in every dialect, and what is refused.

#![allow(clippy::unwrap_used)]

use ovolo::geometry::{Arc, Plane, point, point3};
use ovolo::post::{Dialect, Heading, built_in, write};
use ovolo::shop::DialStop;
use ovolo::toolpath::{Direction, Move, Purpose, Toolpath};
use std::f64::consts::{FRAC_PI_2, TAU};

fn spindle(rpm: f64) -> Move {
    Move::SpindleStart { direction: Direction::Clockwise, rpm }
}

/// Two cutters: an outline with a helix down, an arc, a full circle and a holding tab; then a hole.
fn small() -> Toolpath {
    let mut path = Toolpath::default();
    let arc = |x: f64, y: f64, sweep: f64| Arc { plane: Plane::Xy, center: point(x, y), sweep };
    let mut go = |purpose, action| path.push(purpose, action);
    go(Purpose::Machine, Move::CutterChange { cutter: 1 });
    go(Purpose::Machine, spindle(18_000.0));
    go(Purpose::Machine, Move::Dwell { seconds: 4.5 });
    go(Purpose::Travel, Move::Traverse { to: point3(0.0, -10.0, 20.0) });
    go(Purpose::Travel, Move::Traverse { to: point3(0.0, -10.0, 2.0) });
    go(
        Purpose::Entry,
        Move::Arc { to: point3(0.0, -10.0, -3.0), arc: arc(5.0, -10.0, TAU), feed: 600.0 },
    );
    go(Purpose::Lead, Move::Line { to: point3(0.0, 0.0, -3.0), feed: 1800.0 });
    go(Purpose::Rough, Move::Line { to: point3(1000.0 / 3.0, 0.0, -3.0), feed: 1800.0 });
    go(
        Purpose::Rough,
        Move::Arc {
            to: point3(1000.0 / 3.0 + 20.0, 20.0, -3.0),
            arc: arc(1000.0 / 3.0, 20.0, FRAC_PI_2),
            feed: 1500.0,
        },
    );
    go(Purpose::Tab, Move::Line { to: point3(1000.0 / 3.0 + 20.0, 26.0, 0.0), feed: 600.0 });
    go(Purpose::Travel, Move::Traverse { to: point3(1000.0 / 3.0 + 20.0, 26.0, 20.0) });
    go(Purpose::Machine, Move::SpindleStop);
    go(Purpose::Machine, Move::CutterChange { cutter: 2 });
    go(Purpose::Machine, spindle(12_000.0));
    go(Purpose::Travel, Move::Traverse { to: point3(50.0, 50.0, 20.0) });
    go(Purpose::Entry, Move::Line { to: point3(50.0, 50.0, -5.0), feed: 300.0 });
    go(Purpose::Travel, Move::Traverse { to: point3(50.0, 50.0, 20.0) });
    go(Purpose::Machine, Move::SpindleStop);
    path
}

fn heading() -> Heading {
    Heading {
        title: "Reading-room cap (blank 1 of 2)".to_string(),
        lines: vec![
            "Stock 1100 × 120 × 38 mm, work zero at the near left corner of its top".into(),
        ],
        cutters: vec![(1, "1/4 in two-flute".to_string()), (2, "5 mm drill".to_string())],
        dial: vec![
            DialStop { mark: "2".to_string(), rpm: 12_000.0 },
            DialStop { mark: "4".to_string(), rpm: 18_000.0 },
        ],
        ..Heading::default()
    }
}

#[test]
fn every_dialect_writes_the_small_toolpath() {
    for (name, _) in built_in() {
        let dialect = Dialect::find(name).unwrap();
        let programs = write(&small(), &dialect, &heading()).unwrap();
        let text: Vec<String> = programs
            .iter()
            .map(|p| {
                let cutter = p.cutter.map_or(String::new(), |n| format!(" cutter {n}"));
                format!("---{cutter} .{}\n{}", p.extension, p.text.replace('\r', "<CR>"))
            })
            .collect();
        insta::assert_snapshot!(*name, text.concat());
    }
}

#[test]
fn the_same_toolpath_gives_the_same_bytes() {
    let dialect = Dialect::find("inches").unwrap();
    assert_eq!(write(&small(), &dialect, &heading()), write(&small(), &dialect, &heading()));
}

#[test]
fn what_no_program_can_say_is_refused() {
    let at = point3(0.0, 0.0, 20.0);
    let start = Move::Traverse { to: at };
    let cases = [
        (vec![Move::Line { to: at, feed: 100.0 }], "cuts before it has travelled"),
        (
            vec![Move::Traverse { to: point3(f64::NAN, 0.0, 0.0) }],
            "move 1 cannot be written: a coordinate",
        ),
        (vec![start, Move::Line { to: at, feed: 0.0 }], "move 2 cannot be written: the feed"),
        (vec![start, Move::Line { to: at, feed: f64::NAN }], "move 2 cannot be written: the feed"),
        (vec![start, Move::Dwell { seconds: -1.0 }], "move 2 cannot be written: a dwell"),
        (vec![start, spindle(0.0)], "move 2 cannot be written: a spindle speed"),
        (
            vec![
                start,
                Move::Arc {
                    to: at,
                    arc: Arc { plane: Plane::Xy, center: point(1.0, 0.0), sweep: 7.0 },
                    feed: 100.0,
                },
            ],
            "move 2 cannot be written: an arc turns",
        ),
    ];
    let dialect = Dialect::find("millimetres").unwrap();
    for (moves, wanted) in cases {
        let mut path = Toolpath::default();
        for m in moves {
            path.push(Purpose::Rough, m);
        }
        let failure = write(&path, &dialect, &Heading::default()).unwrap_err();
        assert_eq!(failure.exit_code(), 1);
        assert!(failure.to_string().contains(wanted), "{failure}");
    }
    let heading = Heading { work_offset: 60, ..Heading::default() };
    let failure = write(&small(), &dialect, &heading).unwrap_err();
    assert!(failure.to_string().contains("the work offset is G60; G54 to G59"), "{failure}");
}

/// Line numbers start again behind 99999 (NISTIR 6556 section 3.3.1: at most five digits, repeats allowed).
#[test]
fn line_numbers_start_again_when_they_run_out() {
    let mut dialect = Dialect::find("millimetres-numbered").unwrap();
    dialect.line_numbers.as_mut().unwrap().start = 99_970;
    let text = write(&small(), &dialect, &heading()).unwrap().remove(0).text;
    let numbers: Vec<u32> =
        text.lines().filter_map(|l| l.strip_prefix('N')?.split(' ').next()?.parse().ok()).collect();
    assert_eq!(numbers[..5], [99_970, 99_980, 99_990, 99_970, 99_980]);
}

/// The work after a change is far from where the cutter was: first up, then across.
#[test]
fn after_a_stop_the_cutter_rises_before_it_crosses() {
    let dialect = Dialect::find("hand-dial").unwrap();
    let text = write(&small(), &dialect, &heading()).unwrap().remove(0).text;
    let behind = text.split("M0\n").nth(2).unwrap();
    let moves: Vec<&str> = behind.lines().filter(|l| l.contains(['X', 'Y', 'Z'])).collect();
    assert_eq!(moves[..2], ["G0 Z0.7874", "X1.9685 Y1.9685"]);
}

/// A cut straight after a change first goes back to where the plan stands.
#[test]
fn a_program_of_its_own_starts_by_travelling_to_its_first_cut() {
    let mut path = Toolpath::default();
    path.push(Purpose::Machine, Move::CutterChange { cutter: 1 });
    path.push(Purpose::Travel, Move::Traverse { to: point3(7.0, 8.0, 20.0) });
    path.push(Purpose::Rough, Move::Line { to: point3(7.0, 9.0, 20.0), feed: 500.0 });
    path.push(Purpose::Machine, Move::CutterChange { cutter: 2 });
    path.push(Purpose::Rough, Move::Line { to: point3(7.0, 8.0, 19.0), feed: 500.0 });
    let programs =
        write(&path, &Dialect::find("per-cutter").unwrap(), &Heading::default()).unwrap();
    assert_eq!(programs.iter().map(|p| p.cutter).collect::<Vec<_>>(), [Some(1), Some(2)]);
    let moves: Vec<&str> =
        programs[1].text.lines().filter(|l| l.contains(['X', 'Y', 'Z'])).collect();
    assert_eq!(moves, ["G0 Z20.", "X7. Y9.", "G1 Y8. Z19. F500"]);
}

/// F ends the first line cut with that feed, and is said again where the operator may have changed
/// it. What stands between two cuts does not part it from its motion.
#[test]
fn a_feed_ends_the_first_line_that_is_cut_with_it() {
    let mut path = Toolpath::default();
    let rough = |path: &mut Toolpath, x: f64, y: f64, z: f64, feed: f64| {
        path.push(Purpose::Rough, Move::Line { to: point3(x, y, z), feed });
    };
    path.push(Purpose::Travel, Move::Traverse { to: point3(0.0, 0.0, 20.0) });
    path.push(Purpose::Machine, spindle(18_000.0));
    rough(&mut path, 0.0, 0.0, -1.0, 300.0);
    rough(&mut path, 0.0, 0.0, -1.0, 700.0); // goes nowhere, so that no line is cut with 700
    path.push(Purpose::Machine, Move::Dwell { seconds: 1.0 });
    rough(&mut path, 9.0, 0.0, -1.0, 300.0);
    path.push(
        Purpose::Finish,
        Move::Arc {
            to: point3(9.0, 4.0, -1.0),
            arc: Arc { plane: Plane::Yz, center: point(2.0, -1.0), sweep: FRAC_PI_2 * 2.0 },
            feed: 900.0,
        },
    );
    path.push(Purpose::Travel, Move::Traverse { to: point3(9.0, 4.0, 20.0) });
    path.push(Purpose::Travel, Move::Traverse { to: point3(9.0, 5.0, 20.0) });
    rough(&mut path, 9.0, 5.0, -1.0, 900.0);
    path.push(Purpose::Machine, spindle(12_000.0));
    rough(&mut path, 9.0, 8.0, -1.0, 900.0);
    let lines = |dialect: &str| -> Vec<String> {
        let dialect = Dialect::find(dialect).unwrap();
        let text = write(&path, &dialect, &heading()).unwrap().remove(0).text;
        text.lines().skip_while(|l| !l.contains("S18000")).skip(2).map(str::to_string).collect()
    };
    assert_eq!(
        lines("millimetres")[..16],
        [
            "(rough)",
            "G1 Z-1 F300",
            "G4 P1",
            "X9",
            "(finish)",
            "G19",
            "G3 Y4 Z-1 J2 K0 F900",
            "G0 Z20",
            "Y5",
            "(rough)",
            "G1 Z-1",
            "M3 S12000",
            "G4 P3",
            "Y8",
            "M5",
            "G17",
        ]
    );
    let by_hand = lines("hand-dial");
    let behind = by_hand.iter().skip_while(|l| !l.contains("S12000")).skip(2);
    let wanted = ["G0 Z-0.03937", "X0.35433 Y0.19685", "G1 Y0.31496 F35.4"];
    assert_eq!(behind.take(3).collect::<Vec<_>>(), wanted);
}

/// A start that changes nothing asks the operator for nothing; a new speed asks for the dial.
#[test]
fn a_new_speed_by_hand_is_a_stop_with_the_router_off() {
    let mut path = Toolpath::default();
    path.push(Purpose::Travel, Move::Traverse { to: point3(0.0, 0.0, 20.0) });
    path.push(Purpose::Machine, spindle(18_000.0));
    path.push(Purpose::Machine, spindle(18_000.0));
    path.push(Purpose::Machine, spindle(12_000.0));
    path.push(Purpose::Machine, Move::SpindleStop);
    let dialect = Dialect::find("hand-dial").unwrap();
    let text = write(&path, &dialect, &heading()).unwrap().remove(0).text;
    let lines: Vec<&str> = text.lines().skip_while(|l| !l.starts_with("(MSG")).collect();
    assert_eq!(
        lines,
        [
            "(MSG, set the dial to 4 for 18000 rpm, start the router)",
            "M0",
            "M3 S18000",
            "G4 P1",
            "M5",
            "(MSG, switch the router off, set the dial to 2 for 12000 rpm, start the router)",
            "M0",
            "M3 S12000",
            "G4 P1",
            "M5",
            "(MSG, switch the router off)",
            "M0",
            "M30",
        ]
    );
}
