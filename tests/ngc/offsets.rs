//! Coordinate systems, offsets and the way home: sections 3.2.2, 3.5.5, 3.5.8, 3.5.11 to 3.5.13
//! and 3.5.18.

use super::common::{HEAD, after_head, breaks, clean_with, ends, from, last_end, motions};
use ovolo::geometry::{Point3, point3};
use ovolo::ngc::{CoordinateSystem, Event, Options};
use std::collections::BTreeMap;

/// Options with a known start at the zero of the machine and of every coordinate system.
fn at_zero() -> Options {
    Options { origins: [Some(Point3::default()); 9], ..from(0.0, 0.0, 0.0) }
}

fn last_known(events: &[Event]) -> [bool; 3] {
    motions(events).last().unwrap().known
}

#[test]
fn nine_coordinate_systems_are_named_in_order() {
    // 3.2.2, 3.5.13
    let codes = ["G54", "G55", "G56", "G57", "G58", "G59", "G59.1", "G59.2", "G59.3"];
    for (number, code) in (1..).zip(codes) {
        let events = after_head(code);
        assert_eq!(events[0].state.frame.system, CoordinateSystem(number));
        assert_eq!(last_end(&after_head(&format!("{code}\nG0 X#5220")))[0], f64::from(number));
    }
}

#[test]
fn changing_the_coordinate_system_renumbers_the_point_and_moves_nothing() {
    // 2.1.2.10, 3.5.5
    let lines = "G10 L2 P2 X10 Y20 Z30\nG55\nG91 G0 X0\nG90 G0 X1\nG54\nG91 G0 X0";
    let list: Vec<_> = ends(&after_head(lines)).iter().map(|e| e.0).collect();
    assert_eq!(list, [[-10.0, -20.0, 20.0], [1.0, -20.0, 20.0], [11.0, 0.0, 50.0]]);
}

#[test]
fn setting_the_zero_in_force_renumbers_at_once_and_leaves_other_axes() {
    // 3.5.5
    let list = ends(&after_head("G10 L2 P1 X5\nG91 G0 X0\nG10 L2 P1 Y2\nG0 X0"));
    assert_eq!(list[0].0, [-5.0, 0.0, 50.0]);
    assert_eq!(list[1].0, [-5.0, -2.0, 50.0]);
    // The numbers of a zero are absolute under G91 too.
    assert_eq!(ends(&after_head("G91\nG10 L2 P1 X5\nG10 L2 P1 X5\nG0 X0"))[0].0[0], -5.0);
}

#[test]
fn zeros_are_written_and_read_in_the_units_in_force() {
    let list = ends(&after_head("G20\nG10 L2 P1 X1\nG21\nG91 G0 X0\nG90 G0 X#5221"));
    assert_eq!((list[0].0[0], list[1].0[0]), (-25.4, 25.4));
    let list = ends(&after_head("G20\n#5241=2\nG55\nG91 G0 X0\nG0 X#5241"));
    assert_eq!((list[0].0[0], list[1].0[0]), (-50.8, 0.0));
}

#[test]
fn g10_wants_l2_and_p_from_1_to_9() {
    // 3.5.5
    use ovolo::ngc::Rule;
    for bad in ["G10 X1", "G10 L1 P1 X1", "G10 L2 X1", "G10 L2 P0 X1", "G10 L2 P10", "G10 L2 P1.5"]
    {
        breaks(bad, Rule::SetOrigin);
    }
}

#[test]
fn g92_gives_the_point_its_numbers_and_adds_to_offsets_in_force() {
    // 3.5.18, the report's example: G92 X9 at X7 with offset -3 gives -5.
    let start = from(4.0, 0.0, 0.0);
    let events = clean_with("G21 G90\nG92 X7\nG92 X9\nG91 G0 X0\nM2\n", &start);
    assert_eq!(events[1].state.frame.axis_offset.x, -3.0);
    assert_eq!(events[2].state.frame.axis_offset.x, -5.0);
    assert_eq!(last_end(&events)[0], 9.0);
    breaks("G92", ovolo::ngc::Rule::AxisOffset);
}

#[test]
fn g92_offsets_are_suspended_restored_and_cleared() {
    // 3.5.18
    let x = |lines: &str| last_end(&after_head(&format!("G0 X7\nG92 X9\n{lines}\nG91 G0 X0")))[0];
    assert_eq!(x(""), 9.0);
    assert_eq!(x("G92.2"), 7.0);
    assert_eq!(x("G92.2\nG92.3"), 9.0);
    assert_eq!(x("G92.1"), 7.0);
    assert_eq!(x("G92.1\nG92.3"), 7.0);
    assert_eq!(x("G92.2\nG0 X#5211"), -2.0, "the parameter outlives the offset");
    assert_eq!(x("G92.1\nG0 X#5211"), 0.0);
}

#[test]
fn g92_makes_an_axis_known_and_taking_it_off_makes_it_unknown_again() {
    let run = |text: &str| clean_with(text, &Options::default());
    assert_eq!(last_known(&run("G92 X0 Y0\nG0 X1\nM2\n")), [true, true, false]);
    assert_eq!(last_known(&run("G92 X0 Y0\nG92.1\nG0 X1\nM2\n")), [false; 3]);
}

#[test]
fn a_length_offset_that_is_given_renumbers_z() {
    // 3.5.11, 2.1.2.10
    let lengths = BTreeMap::from([(1, 30.0), (2, 12.5)]);
    let options = Options { lengths, ..from(0.0, 0.0, 50.0) };
    let text = "G21 G90\nG43 H1\nG91 G0 Z0\nG43 H2\nG0 Z0\nG43 H0\nG0 Z0\nG43 H1\nG49\nG0 Z0\nM2\n";
    let events = clean_with(text, &options);
    let z: Vec<_> = ends(&events).iter().map(|e| e.0[2]).collect();
    assert_eq!(z, [20.0, 37.5, 50.0, 50.0]);
    let index = motions(&events)[0].frame.length_offset;
    assert_eq!(index, Some(1));
    assert_eq!(motions(&events)[3].frame.length_offset, None);
}

#[test]
fn a_length_offset_that_is_not_given_leaves_z_unknown_until_it_is_stated() {
    let known: Vec<_> =
        motions(&after_head("G43 H1\nG0 X1\nG0 Z5\nG43 H1 X2\nG43 H2 X3\nG0 Z6\nG49 X4"))
            .iter()
            .map(|m| m.known[2])
            .collect();
    assert_eq!(known, [false, false, true, false, false, false]);
    let before = |lines: &str| last_known(&after_head(&format!("{lines}\nG0 X1")));
    assert_eq!(before("G43 H0"), [true; 3]);
    assert_eq!(before("G49"), [true; 3]);
}

#[test]
fn g53_goes_in_machine_coordinates_once() {
    // 3.5.12
    let options = at_zero();
    let text = "G21 G90 G10 L2 P1 X10 Y20 Z30\nG53 G0 X1 Z2\nG0 Y3\nM2\n";
    let events = clean_with(text, &options);
    let list: Vec<_> = ends(&events).iter().map(|e| e.0).collect();
    assert_eq!(list, [[-9.0, -20.0, -28.0], [-9.0, 3.0, -28.0]]);
    let machine: Vec<_> = motions(&events).iter().map(|m| m.machine).collect();
    assert_eq!(machine, [true, false]);
    // Absolute under G91 too.
    let text = "G21 G91 G10 L2 P1 X10\nG53 G0 X1\nG0 X0\nM2\n";
    assert_eq!(last_end(&clean_with(text, &options))[0], -9.0);
}

#[test]
fn a_point_of_the_machine_is_unknown_in_work_coordinates_without_origins() {
    assert_eq!(last_known(&after_head("G53 G0 Z0\nG0 X1")), [true, true, false]);
}

#[test]
fn g53_goes_with_g0_and_g1_only() {
    // 3.5.12
    use ovolo::ngc::Rule;
    for bad in ["G53", "G53 G2 X1 I5", "G53 G81 X1 Z1 R2", "G53 G80"] {
        breaks(bad, Rule::MachineMove);
    }
    after_head("G53 G1 X1\nG53 X2");
}

#[test]
fn g28_goes_by_way_of_the_named_point_and_leaves_all_axes_unknown() {
    // 3.5.8
    let events = after_head("G28 Z60\nG0 X1");
    let list = motions(&events);
    assert_eq!(list.len(), 3);
    assert_eq!((list[0].stroke.to.z, list[0].machine), (60.0, false));
    assert!(list[1].machine && list[1].feed.is_none());
    assert_eq!(list[2].known, [false; 3]);
}

#[test]
fn g91_g28_z0_goes_straight_home() {
    // 3.5.8; from memory of use
    for text in ["G91 G28 Z0", "G28", "G30"] {
        let list = motions(&after_head(text));
        assert_eq!(list.len(), 1, "{text}");
        assert!(list[0].machine);
    }
}

#[test]
fn a_home_that_is_given_is_a_known_point() {
    // 3.5.8
    let options = Options {
        homes: [Some(point3(1.0, 2.0, 90.0)), Some(point3(5.0, 5.0, 80.0))],
        ..at_zero()
    };
    let text = "G21 G90 G10 L2 P1 X10 Y20 Z30\nG28\nG0 X0\nG30 Z70\nG0 X0\nM2\n";
    let events = clean_with(text, &options);
    let list: Vec<_> = ends(&events).iter().map(|e| e.0).collect();
    assert_eq!(list[0], [-9.0, -18.0, 60.0]);
    assert_eq!(list[2], [0.0, -18.0, 70.0], "by way of the named point");
    assert_eq!(list[3], [-5.0, -15.0, 50.0]);
    assert!(motions(&events).iter().skip(1).all(|m| m.known == [true; 3]));
}

#[test]
fn a_refused_line_leaves_offsets_and_their_parameters() {
    let text = format!("{HEAD}G0 X7\nG92.1 X5 G1 F0\nG92 X1\nG92.1 X5 G1 F0\nG91 G0 X#5211\nM2\n");
    let (events, _) = ovolo::ngc::interpret_all(&text, &Options::default());
    let state = events.iter().rev().find(|e| e.line == 7).unwrap().state;
    assert_ne!(state.frame.axis_offset.x, 0.0);
}
