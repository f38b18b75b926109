//! Modal groups and the words that belong to codes: sections 3.4 to 3.7.

use super::common::{HEAD, after_head, breaks, clean, ends, last_end, motions, refused};
use ovolo::geometry::Plane;
use ovolo::ngc::{Options, Rule, What, interpret_all};
use ovolo::toolpath::Direction;

/// Table 4, as far as it is supported.
const G_GROUPS: [&[&str]; 11] = [
    &["G0 X1", "G1 X1", "G2 X1 R5", "G3 X1 R5", "G80", "G81 X1 R2 Z1", "G85 X1 R2 Z1"],
    &["G17", "G18", "G19"],
    &["G90", "G91"],
    &["G93", "G94"],
    &["G20", "G21"],
    &["G40"],
    &["G43 H1", "G49"],
    &["G98", "G99"],
    &["G54", "G55", "G56", "G57", "G58", "G59", "G59.1", "G59.2", "G59.3"],
    &["G61", "G61.1", "G64"],
    &["G4 P1", "G10 L2 P1", "G28", "G30", "G92.1", "G92.2", "G92.3"],
];

const M_GROUPS: [&[&str]; 5] = [
    &["M0", "M1", "M2", "M30", "M60"],
    &["M6"],
    &["M3", "M4", "M5"],
    &["M7", "M8", "M9"],
    &["M48", "M49"],
];

/// The bare code of an example, to set beside another of its group.
fn code(example: &str) -> &str {
    example.split(' ').next().unwrap()
}

#[test]
fn codes_of_one_group_do_not_stand_on_a_line() {
    // 3.4, Table 4
    for group in G_GROUPS.iter().chain(&M_GROUPS) {
        for one in *group {
            for two in *group {
                breaks(&format!("{} {}", code(one), code(two)), Rule::ModalGroup);
            }
        }
    }
}

#[test]
fn codes_of_different_groups_stand_on_a_line() {
    // One of each group that takes no axis words, then one of each of the others alone.
    after_head("G17 G90 G94 G21 G40 G49 G98 G54 G61 G80 G4 P1 T1 M6 M3 S1 M8 M48");
    for example in G_GROUPS.iter().flat_map(|g| g.iter()) {
        after_head(example);
    }
}

#[test]
fn a_motion_code_and_a_code_that_takes_axis_words_are_not_mixed() {
    // 3.4
    for other in ["G10 L2 P1", "G28", "G30", "G92"] {
        breaks(&format!("G0 {other} X1"), Rule::AxisWordsTwice);
        breaks(&format!("{other} G1 X1"), Rule::AxisWordsTwice);
    }
    // In force from before, the motion is suspended for the line.
    let events = after_head("G1 X5\nG92 X9\nX8");
    assert_eq!(ends(&events).len(), 2);
    // These take none, so the motion goes on.
    assert_eq!(ends(&after_head("G92.2 X5")).len(), 1);
    assert_eq!(ends(&after_head("G4 P1 X5")).len(), 1);
}

#[test]
fn axis_words_alone_use_the_motion_in_force() {
    // 3.3.7
    let events = after_head("G1 X1\nX2\nG0 X3\nX4");
    let feeds: Vec<_> = ends(&events).iter().map(|e| e.1.is_some()).collect();
    assert_eq!(feeds, [true, true, false, false]);
    let arc = after_head("G2 X2 I1\nX4 I1");
    assert!(motions(&arc).iter().all(|m| m.stroke.arc.is_some()));
    let (_, problems) = interpret_all("X1\nM2\n", &Options::default());
    assert_eq!(problems[0].rule, Rule::NoMotionMode);
}

#[test]
fn g80_makes_axis_words_an_error_unless_a_code_takes_them() {
    // 3.5.15
    breaks("G80 X1", Rule::NoMotionMode);
    let (_, problems) = interpret_all(&format!("{HEAD}G80\nX1\nM2\n"), &Options::default());
    assert_eq!(problems[0].rule, Rule::NoMotionMode);
    after_head("G80\nG92 X1\nG10 L2 P2 X1\nG80 G92 X1");
}

#[test]
fn nothing_is_stated_until_a_text_states_it() {
    let events = clean("G0 X1\nM2\n");
    let state = events[0].state;
    assert_eq!((state.inches, state.absolute, state.plane), (None, None, None));
    assert_eq!((state.feed, state.rpm, state.cutter), (None, None, None));
    let m = motions(&events)[0];
    assert_eq!((m.known, m.stroke.to.x), ([false; 3], 1.0));
    let stated = clean("G20\nG91\nG19\nM2\n");
    let state = stated[2].state;
    assert_eq!(
        (state.inches, state.absolute, state.plane),
        (Some(true), Some(false), Some(Plane::Yz))
    );
    assert!(stated[..3].iter().all(|e| matches!(e.what, What::Stated(_))));
}

#[test]
fn coordinates_become_known_one_by_one() {
    let events = clean("G21 G90\nG0 Z5\nG0 X1\nG0 Y1\nG0 X2\nM2\n");
    let known: Vec<_> = motions(&events).iter().map(|m| m.known).collect();
    assert_eq!(
        known,
        [[false, false, false], [false, false, true], [true, false, true], [true, true, true]]
    );
    // An increment from the unknown is unknown.
    let events = clean("G21 G91\nG0 X5\nG0 X5\nM2\n");
    assert!(!motions(&events)[1].known[0]);
}

#[test]
fn g0_and_g1_have_an_axis_word_and_omitted_axes_stay() {
    // 3.5.1, 3.5.2
    breaks("G0", Rule::AxisWordsMissing);
    breaks("G1 F5", Rule::AxisWordsMissing);
    assert_eq!(last_end(&after_head("G0 X1\nG1 Y2\nG1 Z3")), [1.0, 2.0, 3.0]);
}

#[test]
fn a_cutting_move_has_a_feed_above_zero() {
    breaks("G1 X1 F0", Rule::NoFeed);
    breaks("F-1", Rule::NegativeFeed);
    let (_, problems) = interpret_all("G1 X1\nM2\n", &Options::default());
    assert_eq!(problems[0].rule, Rule::NoFeed);
}

#[test]
fn g4_dwells_for_p_seconds() {
    // 3.5.4
    let events = after_head("G4 P2.5");
    assert_eq!(events[0].what, What::Dwell { seconds: 2.5 });
    after_head("G4 P0");
    breaks("G4", Rule::Dwell);
    breaks("G4 P-1", Rule::Dwell);
    breaks("G4 X1", Rule::Dwell);
}

#[test]
fn units_are_converted_exactly_and_the_point_stays() {
    // 3.5.7, 2.1.2.10
    let events = after_head("G20\nG0 X1 Y-0.5 Z2\nG21\nG0 X30\nG91 G20\nG1 X1");
    let list: Vec<_> = ends(&events).iter().map(|e| e.0).collect();
    assert_eq!(list, [[25.4, -12.7, 50.8], [30.0, -12.7, 50.8], [30.0 + 25.4, -12.7, 50.8]]);
    assert_eq!(motions(&events).len(), 3, "changing units moves nothing");
}

#[test]
fn increments_add_up() {
    let events = after_head("G91 G1 X1 Y1\nX1 Z-2\nG90 X1");
    let list: Vec<_> = ends(&events).iter().map(|e| e.0).collect();
    assert_eq!(list, [[1.0, 1.0, 50.0], [2.0, 1.0, 48.0], [1.0, 1.0, 48.0]]);
}

#[test]
fn inverse_time_needs_f_on_every_cutting_line_and_gives_the_feed_along_it() {
    // 3.5.19
    let events = after_head("G93 G1 X10 F2\nX40 F0.5\nG0 X0\nG3 X0 Y20 J10 F1\nG94 F60\nG1 X1");
    let feeds: Vec<_> = ends(&events).iter().map(|e| e.1).collect();
    // 10 mm in half a minute, 30 mm in two minutes, half a circle of radius 10 in one.
    let half = std::f64::consts::PI * 10.0;
    assert_eq!(feeds[..3], [Some(20.0), Some(15.0), None]);
    approx::assert_abs_diff_eq!(feeds[3].unwrap(), half, epsilon = 1e-9);
    assert_eq!(feeds[4], Some(60.0));
    breaks("G93 G1 X1", Rule::InverseTimeFeed);
    after_head("G93 G0 X1");
    after_head("G93 G0 X1 F5");
    // A number for inverse time is no feed afterwards.
    let text = format!("{HEAD}G93 G1 X1 F5\nG94\nG1 X2\nM2\n");
    assert_eq!(interpret_all(&text, &Options::default()).1[0].rule, Rule::NoFeed);
}

#[test]
fn speeds_are_not_negative_and_zero_is_legal() {
    // 3.6.2, 3.7.2
    breaks("S-1", Rule::NegativeSpeed);
    let start = |direction, rpm| What::SpindleStart { direction, rpm };
    assert_eq!(after_head("M3")[0].what, start(Direction::Clockwise, 0.0));
    assert_eq!(after_head("M4 S0")[0].what, start(Direction::CounterClockwise, 0.0));
    assert_eq!(after_head("M3 S9")[0].what, start(Direction::Clockwise, 9.0));
}

#[test]
fn cutters_are_whole_numbers_within_the_slots() {
    // 3.7.3
    breaks("T-1", Rule::CutterNumber);
    breaks("M6", Rule::CutterNotSelected);
    let options = Options { slots: Some(4), ..Options::default() };
    assert_eq!(interpret_all("T4\nT5\nM2\n", &options).1[0].line, 2);
    assert_eq!(after_head("T0 M6")[0].what, What::CutterSelect { cutter: 0 });
}

#[test]
fn g43_has_its_h_on_the_line() {
    // 3.5.11
    breaks("G43", Rule::LengthOffset);
    breaks("G43 H-1", Rule::LengthOffset);
    breaks("G43 H1.5", Rule::LengthOffset);
    breaks("H1", Rule::WordWithoutUse);
    breaks("G49 H1", Rule::WordWithoutUse);
    let options = Options { slots: Some(4), ..Options::default() };
    assert_eq!(interpret_all("G43 H5\nM2\n", &options).1[0].rule, Rule::LengthOffset);
}

#[test]
fn words_that_serve_nothing_are_refused() {
    for bad in [
        "G0 X1 I5",
        "G1 X1 J5",
        "G1 X1 R5",
        "P5",
        "G1 X1 P5",
        "L2",
        "Q1",
        "G81 X1 Z1 R2 Q1",
        "G81 X1 Z1 R2 P1",
        "D1",
        "G40 D1",
        "G0 X1 K1",
        "G83 X1 Z1 R2 Q1 P1",
        "G28 R1",
        "G4 P1 G82 X1 Z1 R2",
    ] {
        breaks(bad, Rule::WordWithoutUse);
    }
}

#[test]
fn what_is_published_and_not_supported_is_refused_with_the_reason() {
    // 3.5.9, 3.5.10, 3.5.16
    for bad in ["G41", "G42 D1", "G38.2 Z1", "G84 Z1", "G86 Z1", "G87 Z1", "G88 Z1"] {
        let problem = refused(bad);
        assert_eq!(problem.rule, Rule::Unsupported, "{bad}");
        assert!(problem.message.contains("refused:") && problem.help.is_some(), "{problem}");
    }
}

#[test]
fn what_is_not_published_is_refused() {
    for bad in ["G5", "G73 X1", "G70", "G90.1", "G100", "G-1", "G2.5", "G12345678"] {
        breaks(bad, Rule::UnknownG);
    }
    for bad in ["M10", "M98", "M-1", "M3.5", "M1000000"] {
        breaks(bad, Rule::UnknownM);
    }
}

#[test]
fn coolant_is_one_flag_of_two_words() {
    // 3.6.4; both may be on, set on separate lines.
    let events = after_head("M7\nM8\nM9");
    let on: Vec<_> = events
        .iter()
        .filter_map(|e| match e.what {
            What::Coolant { on } => Some((e.line, on, e.state.coolant)),
            _ => None,
        })
        .collect();
    assert_eq!(on, [(3, true, true), (4, true, true), (5, false, false)]);
}
