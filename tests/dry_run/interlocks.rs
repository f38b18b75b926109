//! Every interlock: a good program holds it, each bad one breaks it at its line.

use super::bench::{Bench, GOOD, around, cautions, refusals, tried, tried_as};
use ovolo::dry_run::{Interlock, LengthOffsets, Outcome, Setup, Standing, Verdict, check};
use ovolo::ngc::CoordinateSystem;
use ovolo::shop::DialStop;

pub(crate) fn standing(verdict: &Verdict, interlock: Interlock) -> Standing {
    verdict.interlocks[interlock.number() - 1].standing
}

/// The body refuses with exactly these.
pub(crate) fn refuses(body: &str, wanted: &[(Interlock, usize)]) {
    let verdict = tried(&around(body));
    assert_eq!(refusals(&verdict), wanted, "{body}\n{:#?}", verdict.findings);
}

/// The body passes without a word.
pub(crate) fn passes(body: &str) {
    let verdict = tried(&around(body));
    assert_eq!(verdict.outcome, Outcome::Passed, "{body}\n{:#?}", verdict.findings);
}

/// The body passes with exactly these cautions.
pub(crate) fn cautions_only(body: &str, wanted: &[(Interlock, usize)]) {
    let verdict = tried(&around(body));
    assert_eq!(refusals(&verdict), [], "{body}\n{:#?}", verdict.findings);
    assert_eq!(cautions(&verdict), wanted, "{body}\n{:#?}", verdict.findings);
}

/// A whole text refuses with exactly these.
pub(crate) fn whole_refuses(text: &str, wanted: &[(Interlock, usize)]) {
    let verdict = tried(text);
    assert_eq!(refusals(&verdict), wanted, "{text}\n{:#?}", verdict.findings);
}

/// Down at the plunge feed, across 40 mm, from line 7.
pub(crate) const CUT: &str = "G0 X50 Y50\nG0 Z1\nG1 Z-3 F600\nG1 X90 F2000";

#[test]
fn good_programs_of_every_style_pass() {
    for (name, text) in GOOD {
        let verdict = tried_as(name, text);
        assert_eq!(refusals(&verdict), [], "{name}: {:#?}", verdict.findings);
        let broken = verdict.interlocks.iter().any(|r| r.standing == Standing::Broken);
        assert!(!broken, "{name}");
    }
    passes(CUT);
}

#[test]
fn the_documentation_is_whole_and_numbered() {
    for (index, page) in Interlock::ALL.iter().enumerate() {
        assert_eq!(page.interlock.number(), index + 1);
        let json = serde_json::to_value(page.interlock).unwrap();
        assert_eq!(json, page.name, "the name in JSON is the name in the table");
        assert!(
            page.guards.ends_with('.') && page.checked.ends_with('.') && page.blind.ends_with('.')
        );
    }
    assert_eq!(Interlock::TextUnderstood.code(), "I01");
}

#[test]
fn text_that_breaks_a_rule_is_refused_at_its_line() {
    refuses(&format!("G0 X50 Y50\nG0 X10,5\n{CUT}"), &[(Interlock::TextUnderstood, 8)]);
    refuses(&format!("G0 X50 Y50\nG999\n{CUT}"), &[(Interlock::TextUnderstood, 8)]);
}

#[test]
fn units_distance_mode_and_plane_come_before_the_first_motion() {
    let text = around(CUT);
    let missing = |word: &str| text.replace(word, "");
    whole_refuses(&missing("G21 "), &[(Interlock::UnitsStated, 6)]);
    whole_refuses(&missing("G90 "), &[(Interlock::DistanceModeStated, 6)]);
    let verdict = tried(&missing("G17 "));
    assert_eq!(refusals(&verdict), []);
    assert_eq!(cautions(&verdict), [(Interlock::PlaneStated, 6)]);
    let arc = around("G0 X50 Y50\nG1 Z-1 F600\nG2 X60 I5 F2000").replace("G17 ", "");
    whole_refuses(&arc, &[(Interlock::PlaneStated, 9)]);
}

#[test]
fn inverse_time_is_a_caution_and_needs_its_own_f() {
    // 2000 mm/min over 40 mm is 50 of them a minute.
    cautions_only(
        "G0 X50 Y50\nG0 Z1\nG1 Z-3 F600\nG93 G1 X90 F50\nG94",
        &[(Interlock::FeedMode, 10)],
    );
    refuses("G0 X50 Y50\nG0 Z1\nG1 Z-3 F600\nG93\nG1 X90\nG94", &[(Interlock::FeedMode, 11)]);
}

#[test]
fn the_work_offset_is_the_setups() {
    let text = around(CUT);
    assert_eq!(refusals(&tried(&text.replace("G54", "G55")))[0], (Interlock::WorkOffset, 6));
    let bench = Bench::new();
    let setup = Setup { work_offset: CoordinateSystem(2), ..bench.setup() };
    assert_eq!(refusals(&check(&text.replace("G54", "G55"), &setup)), []);
    assert_eq!(refusals(&check(&text, &setup))[0], (Interlock::WorkOffset, 6));
    // Not said at all, it is what the last program left; said after the first motion is too late.
    whole_refuses(&text.replace("G54", ""), &[(Interlock::WorkOffset, 6)]);
    whole_refuses(&text.replace("G54", "(G54)"), &[(Interlock::WorkOffset, 6)]);
    let late = text.replace("G54\n", "").replace("G0 Z12\nG0 X50", "G0 Z12\nG54 G0 X50");
    whole_refuses(&late, &[(Interlock::WorkOffset, 5)]);
    assert_eq!(
        tried(&text.replace("G54\n", "").replace("G0 Z12\nG0 X50", "g 54 G0 Z12\nG0 X50")).findings,
        []
    );
}

#[test]
fn a_length_offset_is_the_cutters_own() {
    let with = |word: &str| around(&CUT.replace("G0 Z1", &format!("{word} G0 Z1")));
    let bench = Bench::new();
    let table = Setup { length_offsets: LengthOffsets::ByCutter, ..bench.setup() };
    assert_eq!(refusals(&check(&with("G43 H1"), &table)), []);
    assert_eq!(refusals(&check(&with("G43 H2"), &table)), [(Interlock::LengthOffset, 9)]);
    assert_eq!(refusals(&check(&with("G49"), &table)), [(Interlock::LengthOffset, 9)]);
    let by_hand = tried(&with("G43 H1"));
    assert_eq!(refusals(&by_hand), []);
    assert_eq!(cautions(&by_hand), [(Interlock::LengthOffset, 9)]);
}

#[test]
fn a_cutter_that_is_named_is_put_in() {
    let text = around(CUT);
    let bench = Bench::new();
    let by_setup = Setup { default_cutter: Some(1), ..bench.setup() };
    assert_eq!(refusals(&check(&text.replace("T1 M6", "T1"), &by_setup)), []);
    let other = check(&text.replace("T1 M6", "T2"), &by_setup);
    assert_eq!(refusals(&other)[0], (Interlock::CutterKnown, 9));
    assert!(other.findings[0].message.contains("T on line 3 names cutter 2"), "{other:?}");
    // Chosen ahead of its change, as a magazine likes it.
    passes(&format!("T3\n{CUT}\nG0 Z12\nM5\nM6\nM3 S9000\nG4 P3"));
    let waits = tried(&around(&format!("T3\n{CUT}")));
    assert_eq!(cautions(&waits), [(Interlock::CutterKnown, 7)]);
    let twice = tried(&around(&format!("T3\n{CUT}\nT2\nT1")));
    assert_eq!(cautions(&twice), [(Interlock::CutterKnown, 7)]);
    assert_eq!(twice.findings.iter().map(|f| (f.more, f.last_line)).collect::<Vec<_>>(), [(1, 12)]);
}

#[test]
fn an_axis_offset_is_refused() {
    refuses(
        "G0 X50 Y50\nG92 X60\nG0 X60\nG0 Z1\nG1 Z-3 F600",
        &[(Interlock::AxisOffset, 8), (Interlock::AxisOffset, 9)],
    );
    // At the start nobody knows where the cutter stands, and so not what the offset is.
    let text = around(CUT);
    let start = |word: &str| text.replace("G54\n", &format!("G54 {word}\n"));
    for word in ["G92 X0 Y0 Z0", "G92 Z0", "G92.3"] {
        assert_eq!(refusals(&tried(&start(word)))[0], (Interlock::AxisOffset, 2), "{word}");
    }
    // Nor may it write another zero under the name that was touched off.
    assert_eq!(refusals(&tried(&start("\nG10 L2 P1 Z-9"))), [(Interlock::WorkOffset, 3)]);
    // A parameter writes it as well: of this system, or of another.
    for word in ["#5221=2", "#5243=-1", "#5213=1"] {
        let found = refusals(&tried(&start(&format!("\n{word}"))));
        assert_eq!(found.first(), Some(&(Interlock::WorkOffset, 3)), "{word}");
    }
    assert_eq!(tried(&start("\n#100=2")).findings, []);
    assert_eq!(tried(&start("G92.1")).findings, []);
    assert_eq!(tried(&start("(G92 X0)")).findings, []);
}

#[test]
fn travel_is_judged_by_place_or_by_size() {
    // Zero stands at x 200 of 1200: -201 and 1001 are beyond.
    refuses("G0 X-201\nX50 Y50\nG1 Z-1 F600", &[(Interlock::Travel, 7)]);
    refuses("G0 X1001 Y0\nX50 Y0\nY50\nG1 Z-1 F600", &[(Interlock::Travel, 7)]);
    passes("G0 X1000 Y-100\nX50 Y50\nG1 Z-1 F600");
    let bench = Bench::new();
    let setup = Setup { machine_zero: None, ..bench.setup() };
    let wide = around("G0 X-101 Y0\nX1100\nX50\nG1 Z-1 F600");
    assert_eq!(refusals(&check(&wide, &setup)), [(Interlock::Travel, 8)]);
    let fits = around("G0 X-100 Y0\nX1100\nX50\nG1 Z-1 F600");
    assert_eq!(refusals(&check(&fits, &setup)), []);
    // It fits, but not together with the place where the cutter was touched off.
    let far = check(&around("G0 X300 Y0\nX1400\nX300"), &setup);
    assert!(cautions(&far).contains(&(Interlock::Travel, 8)), "{:#?}", far.findings);
    let near = check(&around("G0 X300 Y0\nX1190\nX300"), &setup);
    assert!(!cautions(&near).iter().any(|(i, _)| *i == Interlock::Travel), "{:#?}", near.findings);
}

#[test]
fn a_machine_point_is_left_for_from_above() {
    let bench = Bench::new();
    let setup = Setup { machine_zero: None, ..bench.setup() };
    let tried = |body: &str| check(&around(body), &setup);
    assert_eq!(refusals(&tried(&format!("{CUT}\nG28"))), [(Interlock::MachineMoves, 11)]);
    assert_eq!(cautions(&tried(&format!("{CUT}\nG53 G0 Z5"))), [(Interlock::MachineMoves, 11)]);
    assert_eq!(refusals(&tried(&format!("{CUT}\nG53 G0 Z5"))), []);
    assert_eq!(tried(&format!("{CUT}\nG0 Z12\nG28")).findings, []);
    // With the zero known the same move is judged like any other: it goes to z 95.
    passes(&format!("{CUT}\nG53 G0 Z-5"));
}

#[test]
fn the_first_motion_in_plan_is_high() {
    let start = |first: &str| {
        format!(
            "G21 G90 G17 G94 G54\nT1 M6\nM3 S18000\nG4 P3\n{first}\nG1 Z-1 F600\nG0 Z12\nM5\nM30\n"
        )
    };
    whole_refuses(&start("G0 X50 Y50\nG0 Z12"), &[(Interlock::SafeHeight, 5)]);
    whole_refuses(&start("G0 X50 Y50 Z12"), &[(Interlock::SafeHeight, 5)]);
    assert_eq!(refusals(&tried(&start("G0 Z0\nG0 X50 Y50")))[0], (Interlock::SafeHeight, 6));
    let low = tried(&start("G0 Z5\nG0 X50 Y50"));
    assert_eq!((refusals(&low), cautions(&low)), (vec![], vec![(Interlock::SafeHeight, 6)]));
}

/// From what place a feed goes down is known, or nothing can be said of what it cuts.
#[test]
fn no_feed_goes_into_the_stock_before_x_and_y_are_known() {
    let start = |first: &str| {
        format!(
            "G21 G90 G17 G94 G54\nT1 M6\nM3 S18000\nG4 P3\nF600\n{first}\nG0 Z12\nG0 X50 Y50\nG1 Z-1\n\
             G0 Z12\nM5\nM30\n"
        )
    };
    whole_refuses(&start("G1 Z-1"), &[(Interlock::SafeHeight, 6)]);
    let half = tried(&start("G0 Z12\nG0 X50\nG1 Z-1"));
    assert_eq!(refusals(&half), [(Interlock::SafeHeight, 8)]);
    assert_eq!(refusals(&tried(&start("G0 Z12\nG1 Z1"))), []);
}

#[test]
fn traverses_across_the_stock_below_safe_height_are_cautions() {
    cautions_only("G0 X50 Y50\nG1 Z-3 F600\nG0 Z5\nG0 X60\nG1 Z-3", &[(Interlock::SafeHeight, 10)]);
    // Beside the stock it may be low.
    passes("G0 X-10 Y50\nG0 Z-3\nG0 Y60\nG1 X50 F2000");
}

#[test]
fn a_traverse_never_meets_wood() {
    refuses("G0 X50 Y50\nG0 Z-2\nG1 X90 F2000", &[(Interlock::TraverseClear, 8)]);
    refuses(&format!("{CUT}\nG0 X120"), &[(Interlock::TraverseClear, 11)]);
    refuses(&format!("{CUT}\nG0 X120 Z12"), &[(Interlock::TraverseClear, 11)]);
    // Back through the slot, and down into it again.
    cautions_only(&format!("{CUT}\nG0 X50"), &[(Interlock::TraverseClear, 11)]);
    cautions_only(
        &format!("{CUT}\nG0 Z12\nG0 Z-3\nG1 X70 F2000"),
        &[(Interlock::TraverseClear, 12)],
    );
    passes(&format!("{CUT}\nG0 Z12\nG0 Z0\nG1 Z-3 F2000\nG1 X70"));
    refuses(&format!("{CUT}\nG0 Z12\nG0 Z-3.5"), &[(Interlock::TraverseClear, 12)]);
}

#[test]
fn pecks_come_back_down_to_the_floor_of_their_own_hole() {
    let drill = "M5\nT3 M6\nM3 S9000\nG4 P3\nG0 X50 Y50\nG98 G83 Z-15 R2 Q4 F400\nX70\nG80";
    passes(drill);
    let bench = Bench::new();
    let setup = Setup { stock: None, ..bench.setup() };
    let verdict = check(&around(drill), &setup);
    assert_eq!(verdict.findings, []);
    assert_eq!(standing(&verdict, Interlock::Bottom), Standing::NotJudged);
    let fault = around("G0 X50 Y50\nG1 Z-3 F600\nG0 Z12\nG0 X55\nG0 Z-3");
    assert_eq!(refusals(&check(&fault, &setup)), [(Interlock::TraverseClear, 11)]);
}

#[test]
fn the_spindle_is_at_speed_before_contact() {
    let text = around(CUT);
    whole_refuses(&text.replace("M3 S18000", ""), &[(Interlock::SpindleRunning, 9)]);
    whole_refuses(&text.replace("M3 S18000", "M3 S0"), &[(Interlock::SpindleRunning, 9)]);
    whole_refuses(&text.replace("G4 P3", ""), &[(Interlock::SpindleRunning, 9)]);
    whole_refuses(&text.replace("G4 P3", "G4 P1"), &[(Interlock::SpindleRunning, 9)]);
    // 250 mm at 5000 mm/min are three seconds.
    let far = around("G0 X0 Y50\nG0 X-180\nG0 X80\nG1 Z-3 F600").replace("G4 P3", "");
    assert_eq!(refusals(&tried(&far)), []);
    // The operator's stop is a wait.
    assert_eq!(refusals(&tried(&text.replace("G4 P3", "M0"))), []);
    assert_eq!(refusals(&tried(&text.replace("G4 P3", "M1")))[0], (Interlock::SpindleRunning, 9));
}

#[test]
fn a_hand_dialled_router_is_switched_on_at_a_stop() {
    let mut bench = Bench::new();
    bench.machine.spindle.dial = vec![DialStop { mark: "3".into(), rpm: 18_000.0 }];
    let text = around(CUT);
    assert_eq!(refusals(&check(&text.replace("M3 S18000", "M0"), &bench.setup())), []);
    assert_eq!(
        refusals(&check(&text.replace("M3 S18000", ""), &bench.setup())),
        [(Interlock::SpindleRunning, 9)]
    );
}

#[test]
fn counter_clockwise_is_refused_when_it_cuts() {
    let text = around(CUT).replace("M3 ", "M4 ");
    whole_refuses(&text, &[(Interlock::SpindleDirection, 4)]);
    let idle = tried(&around("G0 X50").replace("M3 ", "M4 "));
    assert_eq!(refusals(&idle), [(Interlock::Reach, 10)]);
    assert!(cautions(&idle).contains(&(Interlock::SpindleDirection, 4)));
}

#[test]
fn speeds_stay_within_mark_range_and_species() {
    let text = around(CUT);
    for bad in ["S25000", "S7000", "S18300"] {
        let found = refusals(&tried(&text.replace("S18000", bad)));
        assert_eq!(found[0], (Interlock::SpindleSpeed, 4), "{bad}");
    }
    // 1 % above 18000 is rounding.
    assert_eq!(refusals(&tried(&text.replace("S18000", "S18150"))), []);
    let half = text.replace("T1", "T2").replace("S18000", "S18500");
    assert!(refusals(&tried(&half)).contains(&(Interlock::SpindleSpeed, 4)));
}

#[test]
fn a_cut_states_its_feed() {
    refuses("G0 X50 Y50\nG0 Z1\nG1 Z-3\nG1 Z-3 F600\nG1 X90 F2000", &[(Interlock::FeedStated, 9)]);
}

#[test]
fn feeds_stay_within_the_axes() {
    // Above the stock, so that only the axes are in question: limits 4000, 4000, 3000.
    passes("G0 X-38 Y-38\nG1 X-8 Y-8 F5600\nG0 X50 Y50\nG1 Z-1 F600");
    refuses(
        "G0 X-38 Y-38\nG1 X-20 F4050\nG0 X50 Y50\nG1 Z-1 F600",
        &[(Interlock::FeedWithinAxes, 8)],
    );
    refuses(
        "G0 X-38 Y-38\nG1 Z5 F3100\nG0 X50 Y50\nG1 Z-1 F600",
        &[(Interlock::FeedWithinAxes, 8)],
    );
    // A quarter turn: x sees the whole feed where it starts, y where it ends.
    refuses(
        "G0 X-30 Y-30\nG3 X-20 Y-20 J10 F4100\nG0 X50 Y50\nG1 Z-1 F600",
        &[(Interlock::FeedWithinAxes, 8), (Interlock::FeedWithinAxes, 8)],
    );
}

#[test]
fn feeds_stay_within_the_species() {
    let cut = |feed: &str| CUT.replace("F2000", feed);
    passes(&cut("F2019"));
    refuses(&cut("F2025"), &[(Interlock::FeedWithinSpecies, 10)]);
    cautions_only(&cut("F390"), &[(Interlock::FeedWithinSpecies, 10)]);
    // At two thirds of the speed two thirds of the feed.
    let slow = around(&cut("F1400")).replace("S18000", "S12000");
    whole_refuses(&slow, &[(Interlock::FeedWithinSpecies, 10)]);
    let slow = around(&cut("F1333")).replace("S18000", "S12000");
    assert_eq!(refusals(&tried(&slow)), []);
}

#[test]
fn without_figures_the_species_is_not_judged() {
    let bench = Bench::new();
    let setup = Setup { limits: Vec::new(), ..bench.setup() };
    let verdict = check(&around(&CUT.replace("F2000", "F3900")), &setup);
    assert_eq!(verdict.findings, []);
    for interlock in [Interlock::FeedWithinSpecies, Interlock::Stepdown, Interlock::Ramp] {
        assert_eq!(standing(&verdict, interlock), Standing::NotJudged);
        assert!(verdict.interlocks[interlock.number() - 1].why.is_some());
    }
}

#[test]
fn the_table_is_not_cut_deeper_than_permitted() {
    let drill =
        |z: &str| format!("M5\nT3 M6\nM3 S9000\nG4 P3\nG0 X50 Y50\nG98 G83 Z{z} R2 Q4 F400\nG80");
    passes(&drill("-20.5"));
    refuses(&drill("-20.6"), &[(Interlock::Bottom, 12)]);
}
