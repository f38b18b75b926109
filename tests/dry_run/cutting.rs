//! Every interlock of cutting: a good program holds it, each bad one breaks it at its line.

use super::bench::{Bench, around, cautions, refusals, tried};
use super::interlocks::{CUT, cautions_only, passes, refuses, standing, whole_refuses};
use ovolo::dry_run::{Interlock, Outcome, PartKeep, Setup, Severity, Standing, TabKeep, check};
use ovolo::geometry::{Contour, Point, point, point3};
use ovolo::shop::{CutterChange, DialStop};

#[test]
fn a_pass_deeper_than_the_stepdown_is_refused_where_it_begins() {
    // The limit of cutter 1 is 3.2.
    let slot = |z: &str| CUT.replace("Z-3", z);
    passes(&slot("Z-3.2"));
    refuses(&slot("Z-3.4"), &[(Interlock::Stepdown, 10)]);
    // A second pass from the floor of the first.
    passes(
        &format!("{CUT}\nG0 Z1\nG0 X50\nG1 Z-6 F600\nG1 X90 F2000")
            .replace("G0 Z1\nG0 X50", "G0 Z12\nG0 X50"),
    );
    refuses(
        &format!("{CUT}\nG0 Z12\nG0 X50\nG1 Z-6.5 F600\nG1 X90 F2000"),
        &[(Interlock::Stepdown, 14)],
    );
}

#[test]
fn short_moves_do_not_hide_a_deep_pass() {
    for step in [0.1, 0.35, 1.0, 2.5] {
        let mut body = "G0 X50 Y50\nG1 Z-5 F600\nF2000".to_string();
        let mut x = 50.0;
        while x < 90.0 {
            x += step;
            body.push_str(&format!("\nG1 X{x:.3}"));
        }
        let found = refusals(&tried(&around(&body)));
        let (interlock, line) = found[0];
        assert_eq!(interlock, Interlock::Stepdown, "step {step}");
        // Seen within one column of where it begins.
        let columns = 6.35 / 8.0 / step;
        assert!(line >= 10 && (line as f64) <= 11.0 + columns, "step {step}: line {line}");
    }
}

#[test]
fn a_full_depth_finishing_pass_is_no_deep_pass() {
    // Levels 1 mm outside of a rectangle, then the rectangle in full depth, inside corners too.
    let mut body = String::from("G0 X30 Y20");
    for z in [-3, -6, -9] {
        body.push_str(&format!("\nG1 Z{z} F600\nG1 X130 F2000\nY80\nX30\nY20"));
    }
    body.push_str("\nG1 X29 Y19\nX131\nY81\nX29\nY19");
    passes(&body);
    // 4 mm of solid wood at the side of the middle is no skin.
    refuses(&body.replace("X29 Y19\nX131", "X29 Y16\nX131"), &[(Interlock::Stepdown, 23)]);
}

#[test]
fn a_sliver_that_stands_higher_is_no_deep_pass() {
    // Two slots 3 deep, a sliver 0.65 wide between them, and a pass along it at 5.6: the section
    // is 0.65 x 5.6 + 5.7 x 2.6 = 18.5 mm2, and 6.35 x 3.2 = 20.3 is allowed.
    let slots =
        "G0 X50 Y50\nG1 Z-3 F600\nG1 X90 F2000\nG0 Z12\nG0 X50 Y57\nG1 Z-3 F600\nG1 X90 F2000";
    let between = "G0 Z12\nG0 X54 Y53.5\nG1 Z-2.5 F600\nG1 X58 Z-5.6 F600\nG1 X86 F2000";
    passes(&format!("{slots}\n{between}"));
    // With only the first slot there, half of it is too deep.
    let first = slots.split("\nG0 Z12").next().unwrap_or_default();
    let half = format!("{first}\n{between}");
    assert!(refusals(&tried(&around(&half))).iter().any(|f| f.0 == Interlock::Stepdown), "{half}");
}

#[test]
fn a_helix_falls_by_its_pitch_only() {
    // 2.2 degrees on a radius of 1.5: nine turns to z -3.2, and on to 6.4.
    let mut body = String::from("G0 X51.5 Y50\nG1 Z0 F1000");
    for turn in 1..=18 {
        body.push_str(&format!("\nG3 X51.5 Y50 Z{:.4} I-1.5 J0", -0.355 * f64::from(turn)));
    }
    passes(&body);
}

#[test]
fn only_a_centre_cutting_cutter_plunges_and_only_slowly() {
    refuses(&CUT.replace("F600", "F610"), &[(Interlock::Plunge, 9)]);
    let other = around(CUT).replace("T1", "T2").replace("S18000", "S16000");
    whole_refuses(&other, &[(Interlock::Plunge, 9)]);
    // In air beside the stock, and into its own slot, anyone may.
    passes("G0 X-10 Y50\nG1 Z-3 F2000\nG1 X90");
    passes(&format!("{CUT}\nG0 Z1\nG1 Z-3 F2000\nG1 X70"));
}

#[test]
fn a_drill_never_moves_sideways() {
    refuses(
        "M5\nT3 M6\nM3 S9000\nG4 P3\nG0 X50 Y50\nG1 Z-3 F400\nG1 X60",
        &[(Interlock::Plunge, 13)],
    );
}

#[test]
fn ramps_are_gentle_and_slow() {
    let ramp =
        |x: &str, feed: &str| format!("G0 X50 Y50\nG1 Z0 F1000\nG1 X{x} Z-3 {feed}\nG1 X50 F2000");
    let half = |body: &str| around(body).replace("T1", "T2").replace("S18000", "S16000");
    // 3 mm over 60 are 2.9 degrees, over 40 are 4.3; the limit is 3.
    assert_eq!(refusals(&tried(&half(&ramp("110", "F1500")))), []);
    whole_refuses(&half(&ramp("90", "F1500")), &[(Interlock::Ramp, 9)]);
    whole_refuses(&half(&ramp("110", "F1600")), &[(Interlock::Ramp, 9)]);
    // A centre-cutting cutter may go steeper, at its plunge feed downward.
    passes(&ramp("55", "F1000"));
    refuses(&ramp("55", "F1400"), &[(Interlock::Plunge, 9)]);
}

#[test]
fn the_shank_stays_out_of_the_slot() {
    // Flutes of 12 mm: a slot 12.8 deep rubs, in levels of 3.2.
    let mut body = String::from("G0 X50 Y50");
    for level in 1..=4 {
        body.push_str(&format!("\nG1 Z{:.1} F600\nG1 X90 F2000\nG1 X50", -3.2 * f64::from(level)));
    }
    refuses(&body, &[(Interlock::FluteLength, 17)]);
    passes(&body.replace("-12.8", "-11.9"));
}

#[test]
fn the_holder_stays_out_of_the_wood() {
    // A stick-out of 15 mm, a holder of 40: cut 16 deep beside standing wood.
    let mut bench = Bench::new();
    bench.cutters[0].flute_length.0 = 20.0;
    let mut body = String::from("G0 X50 Y50");
    for level in 1..=5 {
        body.push_str(&format!("\nG1 Z{:.1} F600\nG1 X90 F2000\nG1 X50", -3.2 * f64::from(level)));
    }
    assert_eq!(refusals(&check(&around(&body), &bench.setup())), [(Interlock::HolderClear, 20)]);
    assert_eq!(refusals(&check(&around(&body.replace("-16.0", "-14.9")), &bench.setup())), []);
}

#[test]
fn clamps_are_kept_out_by_cutter_and_holder() {
    // The clamp stands at x 280 to 320, y 40 to 60, up to z 15. Radius 3.175, holder 20.
    refuses("G0 X276.9 Y50\nG0 X50\nG1 Z-1 F600", &[(Interlock::ClampsClear, 7)]);
    passes("G0 X276.8 Y50\nG0 X50\nG1 Z-1 F600");
    // Past its corner at 3.17 mm.
    refuses("G0 X200 Y20\nG0 X278 Y37.6\nG0 X200 Y20\nG1 Z-1 F600", &[(Interlock::ClampsClear, 8)]);
    passes("G0 X200 Y20\nG0 X277.7 Y37.7\nG0 X200 Y20\nG1 Z-1 F600");
    // Over it.
    passes("G0 Z15\nG0 X50 Y50\nG0 X300\nG0 X50\nG1 Z-1 F600");
    refuses("G0 Z14.9\nG0 X50 Y50\nG0 X300\nG0 X50\nG1 Z-1 F600", &[(Interlock::ClampsClear, 9)]);
    // The holder, 15 above the tip, comes below 15 only when the tip goes below 0.
    passes("G0 X265 Y50\nG1 Z0 F600\nG0 Z12\nG0 X50\nG1 Z-1 F600");
    refuses("G0 X265 Y50\nG1 Z-1 F600", &[(Interlock::ClampsClear, 8)]);
}

#[test]
fn arcs_are_kept_out_of_clamps_too() {
    // A half turn about (250, 50) with radius 26 comes to x 276; 27 would be 277.
    let past = tried(&around("G0 X250 Y24\nG3 X250 Y76 J26 F2000\nG0 X50 Y50\nG1 Z-1 F600"));
    assert_eq!(refusals(&past), []);
    refuses(
        "G0 X250 Y23\nG3 X250 Y77 J27 F2000\nG0 X50 Y50\nG1 Z-1 F600",
        &[(Interlock::ClampsClear, 8)],
    );
}

#[test]
fn the_cutter_is_known() {
    let text = around(CUT);
    let found = refusals(&tried(&text.replace("T1", "T7")));
    assert_eq!(found, [(Interlock::CutterKnown, 3)]);
    let none = text.replace("T1 M6", "");
    whole_refuses(&none, &[(Interlock::CutterKnown, 9)]);
    let mut bench = Bench::new();
    let setup = Setup { default_cutter: Some(1), ..bench.setup() };
    let assumed = check(&none, &setup);
    assert_eq!((refusals(&assumed), cautions(&assumed)), (vec![], vec![]));
    bench.machine.cutter_change = CutterChange::OnePerProgram;
    let setup = Setup { default_cutter: Some(1), ..bench.setup() };
    assert_eq!(check(&none, &setup).findings, []);
    let setup = Setup { default_cutter: Some(9), ..bench.setup() };
    assert_eq!(refusals(&check(&none, &setup)), [(Interlock::CutterKnown, 9)]);
}

#[test]
fn a_cutter_is_changed_at_rest_and_high() {
    let change = |before: &str, word: &str| format!("{CUT}\n{before}\n{word}\nM3 S18000\nG4 P3");
    passes(&change("G0 Z12\nM5", "T4 M6"));
    refuses(&change("G0 Z5\nM5", "T4 M6"), &[(Interlock::CutterChange, 13)]);
    refuses(&change("G0 Z12", "T4 M6"), &[(Interlock::CutterChange, 12)]);
    // On one line the change comes before the stop.
    refuses(&change("G0 Z12", "T4 M6 M5"), &[(Interlock::CutterChange, 12)]);
}

#[test]
fn one_cutter_per_program_means_one() {
    let mut bench = Bench::new();
    bench.machine.cutter_change = CutterChange::OnePerProgram;
    let first = check(&around(CUT), &bench.setup());
    assert_eq!((refusals(&first), cautions(&first)), (vec![], vec![(Interlock::CutterChange, 3)]));
    let second = around(&format!("{CUT}\nG0 Z12\nM5\nT4 M6"));
    assert_eq!(refusals(&check(&second, &bench.setup())), [(Interlock::CutterChange, 13)]);
}

#[test]
fn the_end_is_at_rest_and_high() {
    let text = around(CUT);
    let tail = |tail: &str| text.replace("G0 Z12\nM5\nM30\n", tail);
    let cut_off = refusals(&tried(&tail("G0 Z12\nM5\n")));
    assert_eq!(cut_off.len(), 1, "{cut_off:?}");
    assert_eq!(cut_off[0].0, Interlock::Ending);
    assert_eq!(
        refusals(&tried(&tail("M30\n"))),
        [(Interlock::Ending, 11), (Interlock::SpindleStop, 11)]
    );
    let by_end = tried(&tail("G0 Z12\nM30\n"));
    assert_eq!((refusals(&by_end), cautions(&by_end)), (vec![], vec![(Interlock::Ending, 12)]));
    let low = tried(&tail("G0 Z3\nM5\nM30\n"));
    assert_eq!((refusals(&low), cautions(&low)), (vec![], vec![(Interlock::Ending, 13)]));
    let percent = |tail_text: &str| format!("%\n{}", tail(tail_text));
    let closing = tried(&percent("G0 Z12\nM5\n%\n"));
    assert_eq!((refusals(&closing), cautions(&closing)), (vec![], vec![(Interlock::Ending, 14)]));
    assert_eq!(refusals(&tried(&percent("G0 Z12\n%\n"))), [(Interlock::Ending, 13)]);
}

#[test]
fn the_spindle_does_not_stop_in_the_wood() {
    refuses(&format!("{CUT}\nM5"), &[(Interlock::SpindleStop, 11)]);
    refuses(
        &format!("{CUT}\nM5\nG1 X95"),
        &[(Interlock::SpindleStop, 11), (Interlock::SpindleRunning, 12)],
    );
}

#[test]
fn a_program_that_misses_the_stock_says_so() {
    refuses("G0 X50 Y50", &[(Interlock::Reach, 10)]);
    refuses("G0 X50 Y-50\nG1 Z-3 F600\nG1 X90", &[(Interlock::Reach, 12)]);
    // All signs of Z flipped.
    refuses(&CUT.replace("Z-3", "Z3"), &[(Interlock::Reach, 13)]);
    // Without a stock it stays a caution.
    let bench = Bench::new();
    let setup = Setup { stock: None, ..bench.setup() };
    let verdict = check(&around(&CUT.replace("Z-3", "Z3")), &setup);
    assert_eq!((refusals(&verdict), cautions(&verdict)), (vec![], vec![(Interlock::Reach, 13)]));
    // A lost sign.
    cautions_only(&format!("{CUT}\nG1 Z3 F600\nG1 X50 F2000"), &[(Interlock::Reach, 12)]);
}

/// A drill that hardly moves burns; another cutter may go down as gently as it likes.
#[test]
fn a_drill_that_goes_down_too_slowly_is_told() {
    let hole = |feed: f64| around(&format!("G0 X50 Y50\nG0 Z1\nG1 Z-3 F{feed}"));
    let drilled = |feed: f64| hole(feed).replace("T1 M6\nM3 S18000", "T3 M6\nM3 S9000");
    let told = |text: &str| {
        let bench = Bench::new();
        let mut setup = bench.setup();
        // A drill's feed sideways, if it had any, is not what it goes down at.
        setup.limits[2].feed.value = 1000.0;
        cautions(&check(text, &setup))
    };
    // Plunge feeds of 600 and 400.
    assert_eq!(told(&hole(60.0)), []);
    assert_eq!(told(&drilled(79.0)), [(Interlock::FeedWithinSpecies, 9)]);
    assert_eq!(told(&drilled(81.0)), []);
}

/// A first pass with its sign lost climbs where it should go down; the pass after it mends that.
#[test]
fn a_feed_that_climbs_above_the_stock_is_told() {
    let signless = "G0 X50 Y50\nG0 Z1\nG1 Z3 F600\nG1 Z-3\nG1 X90 F2000";
    cautions_only(signless, &[(Interlock::Reach, 9)]);
    // A helix too, and a peck; a lift out of the wood is none, nor is one without a feed.
    cautions_only(
        "G0 X50 Y50\nG1 Z0 F600\nG3 X60 Y50 Z0.4 I5 J0\nG3 X50 Y50 Z-0.4 I-5 J0\nG1 X90 F2000",
        &[(Interlock::Reach, 9)],
    );
    cautions_only(&format!("{CUT}\nG1 Z2 F600\nG0 Z12"), &[]);
    cautions_only("G0 X50 Y50\nG0 Z1\nG0 Z12\nG0 Z1\nG1 Z-3 F600\nG1 X90 F2000", &[]);
}

/// An arc the long way round, or axes changed about, lead out of the board.
#[test]
fn a_feed_far_beside_the_stock_is_told() {
    // The stock is 300 by 100.
    for (out, side) in [
        ("X-60", "60 mm left of"),
        ("X360", "60 mm right of"),
        ("Y-60", "60 mm in front of"),
        ("Y160", "60 mm behind"),
    ] {
        let verdict = tried(&around(&format!("{CUT}\nG1 {out}")));
        let told = verdict.findings.iter().find(|f| f.interlock == Interlock::Reach).unwrap();
        assert_eq!((told.line, told.severity), (11, Severity::Caution), "{out}");
        assert!(told.message.contains(side), "{}", told.message);
    }
    // Its end is where it was meant; the bulge of the wrong sense is not.
    let short = format!("{CUT}\nG1 X10 Y50\nG2 X10 Y60 R60 F2000");
    cautions_only(&short, &[]);
    let long = tried(&around(&short.replace("R60", "R-60")));
    assert!(long.findings.iter().any(|f| f.interlock == Interlock::Reach && f.line == 12));
    // Laid out about the board's middle, run from its corner: half of it is beside the board.
    let middle = "G0 X-30 Y-30\nG0 Z1\nG1 Z-3 F600\nG1 X30 F2000\nG1 Y30\nG1 X-30\nG1 Y-30";
    cautions_only(middle, &[(Interlock::Reach, 16)]);
    // An overrun, and what travels without a feed, are not.
    cautions_only(&format!("{CUT}\nG1 Y130"), &[]);
    cautions_only(&format!("{CUT}\nG0 Z12\nG0 X-90 Y-90"), &[]);
}

#[test]
fn without_a_stock_the_zero_is_its_top() {
    let bench = Bench::new();
    let setup = Setup { stock: None, ..bench.setup() };
    let verdict = check(&around(CUT), &setup);
    // Nothing was found, and half of the interlocks saw nothing.
    assert_eq!(verdict.findings, []);
    assert_eq!(verdict.outcome, Outcome::PassedWithCautions);
    assert!(verdict.notes.iter().any(|n| n.contains("no stock")));
    assert_eq!(
        refusals(&check(&around(&format!("{CUT}\nG0 X120")), &setup)),
        [(Interlock::TraverseClear, 11)]
    );
    assert_eq!(
        refusals(&check(&around(CUT).replace("G4 P3", ""), &setup)),
        [(Interlock::SpindleRunning, 9)]
    );
}

#[test]
fn a_finding_has_its_line_place_and_way_out() {
    let verdict = tried(&around(&format!("{CUT}\nG0 X120")));
    let finding = &verdict.findings[0];
    assert_eq!(finding.text, "G0 X120");
    assert!(finding.at.is_some_and(|at| at.distance(point3(90.0, 50.0, -3.0)) < 60.0));
    assert!(!finding.help.is_empty() && !finding.message.is_empty());
}

#[test]
fn lines_that_may_be_skipped_are_judged_both_ways() {
    let body = |retract: &str| format!("{CUT}\n{retract}\nG0 X120");
    passes(&body("G0 Z12"));
    let verdict = tried(&around(&body("/G0 Z12")));
    assert_eq!(refusals(&verdict), [(Interlock::TraverseClear, 12)]);
    let skipped = verdict.findings.iter().find(|f| f.interlock == Interlock::TraverseClear);
    assert!(skipped.unwrap().message.starts_with("with / lines skipped"));
    assert_eq!(standing(&verdict, Interlock::TraverseClear), Standing::Broken);
    // Run, this line is the fault; skipped, it is none.
    let verdict = tried(&around(&format!("{CUT}\n/G0 X120")));
    assert_eq!(refusals(&verdict), [(Interlock::TraverseClear, 11)]);
}

#[test]
fn a_slash_is_told_and_never_holds_a_mode() {
    let caution = (Interlock::TextUnderstood, 10);
    cautions_only(&CUT.replace("G1 X90", "/(x)\nG1 X90"), &[caution]);
    let text = around(CUT);
    let with = |line: &str| refusals(&tried(&text.replace("G54\n", &format!("G54\n{line}\n"))));
    assert!(with("/G20").contains(&(Interlock::UnitsStated, 3)));
    assert!(with("/G91").contains(&(Interlock::DistanceModeStated, 3)));
    assert!(with("/G55").contains(&(Interlock::WorkOffset, 3)));
    assert!(with("/G18").contains(&(Interlock::PlaneStated, 3)));
    assert!(with("/G93").contains(&(Interlock::FeedMode, 3)));
    let start = tried(&text.replace("M3 ", "/M3 "));
    assert_eq!(refusals(&start), [(Interlock::SpindleRunning, 9)]);
    let retract = tried(&text.replace("G0 Z12\nM5", "/G0 Z12\nM5"));
    assert!(refusals(&retract).contains(&(Interlock::SpindleStop, 12)));
}

#[test]
fn the_part_is_not_entered() {
    // Radius 3.175: a slot along y 50 leaves wood up to 46.825 and from 53.175 on.
    let tried = |outline: Contour, body: &str| {
        let bench = Bench::new();
        let part = Some(PartKeep { outline, clearance: 0.05 });
        check(&around(body), &Setup { part, ..bench.setup() })
    };
    let board = |top: f64| Contour::rectangle(point(60.0, 10.0), point(80.0, top));
    let held = tried(board(46.87), CUT);
    assert_eq!(held.findings, []);
    assert_eq!(standing(&held, Interlock::PartUntouched), Standing::Held);
    assert_eq!(refusals(&tried(board(46.89), CUT)), [(Interlock::PartUntouched, 10)]);
    // In the middle of the part, and swallowed whole by it: the plunge is at fault already.
    let around_all = Contour::rectangle(point(1.0, 1.0), point(200.0, 99.0));
    assert_eq!(refusals(&tried(around_all, CUT))[0], (Interlock::PartUntouched, 9));
    // A narrow part between two ends that lie outside of it.
    let sliver = Contour::rectangle(point(69.9, 10.0), point(70.1, 90.0));
    assert_eq!(refusals(&tried(sliver, CUT)), [(Interlock::PartUntouched, 10)]);
    // An arc around a disc: rim at 10 from its middle.
    let round = "G0 X63.175 Y50\nG0 Z1\nG1 Z-3 F600\nG2 X63.175 I-13.175 J0 F2000";
    let disc = |radius: f64| Contour::circle(point(50.0, 50.0), radius);
    assert_eq!(tried(disc(10.04), round).findings, []);
    assert_eq!(refusals(&tried(disc(10.06), round))[0].0, Interlock::PartUntouched);
    // A feed above the stock cuts nothing.
    let above = format!("G0 X50 Y20\nG1 Z1 F600\nG1 X58 F2000\nG1 X55\n{CUT}");
    assert_eq!(refusals(&tried(board(46.0), &above)), []);
    assert_eq!(standing(&self::tried(&around(CUT)), Interlock::PartUntouched), Standing::NotJudged);
}

#[test]
fn tabs_are_left() {
    let bench = Bench::new();
    let tabs =
        vec![TabKeep { at: point(70.0, 50.0), out: Point::default(), top: -1.0, half_width: 4.0 }];
    let setup = Setup { tabs, ..bench.setup() };
    assert_eq!(refusals(&check(&around(CUT), &setup)), [(Interlock::TabsLeft, 10)]);
    let lifted = "G0 X50 Y50\nG0 Z1\nG1 Z-3 F600\nG1 X66 F2000\nG1 Z-1 F600\nG1 X74 F2000\nG1 Z-3 F600\nG1 X90 F2000";
    assert_eq!(check(&around(lifted), &setup).findings, []);
    // A pass farther out saws the tab off in the slot.
    let out =
        vec![TabKeep { at: point(70.0, 46.0), out: point(0.0, 1.0), top: -1.0, half_width: 4.0 }];
    let beside = vec![TabKeep { out: Point::default(), ..out[0] }];
    let found = |tabs: Vec<TabKeep>, text: &str| {
        refusals(&check(&around(text), &Setup { tabs, ..bench.setup() }))
    };
    assert_eq!(found(beside, CUT), []);
    assert_eq!(found(out.clone(), CUT), [(Interlock::TabsLeft, 10)]);
    assert_eq!(found(out, lifted), []);
    let low = lifted.replace("Z-1 ", "Z-1.1 ");
    assert_eq!(refusals(&check(&around(&low), &setup)), [(Interlock::TabsLeft, 12)]);
    assert_eq!(standing(&tried(&around(CUT)), Interlock::TabsLeft), Standing::NotJudged);
}

#[test]
fn a_stop_after_m5_starts_no_router() {
    let mut bench = Bench::new();
    bench.machine.spindle.dial = vec![DialStop { mark: "3".into(), rpm: 18_000.0 }];
    let text = around(CUT).replace("M3 S18000", "M5\nM0").replace("M5\nM30", "M5\nM0\nM30");
    assert_eq!(check(&text, &bench.setup()).findings, []);
    // Switched off, it does not cut on.
    let on = around(&format!("{CUT}\nG0 Z12\nM5\nM0\nG1 X95 Z-3 F600"));
    assert!(refusals(&check(&on, &bench.setup())).contains(&(Interlock::SpindleRunning, 14)));
}

#[test]
fn waits_are_short_and_out_of_the_wood() {
    passes(&format!("G4 P60\n{CUT}"));
    cautions_only(&format!("G4 P3000\n{CUT}"), &[(Interlock::TextUnderstood, 7)]);
    for word in ["M0", "M1"] {
        let stop = format!("{CUT}\n{word}");
        let both = [(Interlock::CutterChange, 11), (Interlock::SpindleStop, 11)];
        cautions_only(&stop, &both);
    }
    passes(&format!("{CUT}\nG0 Z12\nM5\nM0"));
    passes(&format!("{CUT}\nG0 Z12\nM5 M1"));
    // Hands come near at a stop.
    for word in ["M0", "M1"] {
        let stop = format!("{CUT}\nG0 Z12\n{word}");
        cautions_only(&stop, &[(Interlock::CutterChange, 12)]);
    }
    // In one place it burns.
    cautions_only(&format!("{CUT}\nG4 P20"), &[(Interlock::SpindleStop, 11)]);
    passes(&format!("{CUT}\nG4 P1"));
}

#[test]
fn a_change_of_units_is_told() {
    // There and back: told once, with how often.
    let there_and_back = format!("{CUT}\nG0 Z12\nG20\nG0 X3\nG21");
    cautions_only(&there_and_back, &[(Interlock::UnitsStated, 12)]);
    // Before the first motion, too: the last one counts.
    let twice = around(CUT).replace("G54", "G54 G20\nG21");
    assert_eq!(cautions(&tried(&twice)), [(Interlock::UnitsStated, 2)]);
    passes(&format!("{CUT}\nG0 Z12\nG21\nG0 X60"));
}

#[test]
fn a_cutter_without_figures_is_told_where_others_have_them() {
    let bench = Bench::new();
    let mut limits = bench.setup().limits;
    limits.retain(|l| l.cutter != 1);
    let verdict = check(&around(CUT), &Setup { limits, ..bench.setup() });
    assert_eq!(refusals(&verdict), []);
    assert_eq!(cautions(&verdict), [(Interlock::FeedWithinSpecies, 9)]);
}
