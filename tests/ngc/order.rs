//! Order of execution on a line: section 3.8, Table 8.

use super::common::{HEAD, after_head, clean, ends};
use ovolo::ngc::{Event, What};

/// Names of what happens, in order.
fn names(events: &[Event]) -> Vec<&'static str> {
    events
        .iter()
        .map(|e| match e.what {
            What::Motion(m) if m.machine => "machine move",
            What::Motion(m) if m.feed.is_some() => "cut",
            What::Motion(_) => "traverse",
            What::Dwell { .. } => "dwell",
            What::SpindleStart { .. } => "start",
            What::SpindleStop => "stop spindle",
            What::CutterSelect { .. } => "select",
            What::CutterChange { .. } => "change",
            What::Coolant { on: true } => "coolant on",
            What::Coolant { on: false } => "coolant off",
            What::Stop { .. } => "wait",
            What::Stated(_) => "stated",
            What::Comment { .. } => "comment",
            What::End { .. } => "end",
        })
        .collect()
}

fn line(text: &str) -> Vec<&'static str> {
    let events = after_head(text);
    let last = events.last().unwrap().line;
    names(&events.into_iter().filter(|e| e.line < last).collect::<Vec<_>>())
}

#[test]
fn a_line_of_everything_runs_in_the_published_order() {
    let text = "M0 G1 X5 F100 G90 G21 G17 G4 P1 M8 M3 S900 M6 T2 (all)";
    assert_eq!(
        line(text),
        [
            "comment",
            "select",
            "stop spindle",
            "change",
            "start",
            "coolant on",
            "dwell",
            "stated",
            "cut",
            "wait"
        ]
    );
}

#[test]
fn the_spindle_starts_after_the_change_on_its_line() {
    assert_eq!(line("T1 M6 M3 S100"), ["select", "stop spindle", "change", "start"]);
}

#[test]
fn m5_on_a_cutting_line_stops_the_spindle_before_the_cut() {
    assert_eq!(line("G1 X5 M5"), ["stop spindle", "cut"]);
}

#[test]
fn f_is_taken_before_the_units_of_its_line() {
    let events = clean("G21\nG20 F100\nG0 X0 Y0 Z1\nG1 X1\nF10\nG1 X2\nM2\n");
    let feeds: Vec<_> = ends(&events).iter().filter_map(|e| e.1).collect();
    // 100 mm/min, then 10 inches a minute.
    assert_eq!(feeds, [100.0, 254.0]);
}

#[test]
fn the_dwell_comes_before_the_move_and_after_the_spindle() {
    assert_eq!(line("M3 S18000 G4 P3 G1 X5"), ["start", "dwell", "cut"]);
}

#[test]
fn settings_come_before_the_move() {
    let events = after_head("G1 X1 G91\nG1 X1 G90\nG0 X1 G20");
    let x: Vec<_> = ends(&events).iter().map(|e| e.0[0]).collect();
    assert_eq!(x, [1.0, 1.0, 25.4]);
}

#[test]
fn speed_changes_while_turning_are_told_and_others_are_not() {
    assert_eq!(line("S100"), [] as [&str; 0]);
    assert_eq!(line("M3 S100\nS200"), ["start", "start"]);
    assert_eq!(line("M3 S100\nS200 M5"), ["start", "stop spindle"]);
    assert_eq!(line("M3 S100\nS200 M4"), ["start", "start"]);
}

#[test]
fn f_s_and_t_are_kept_in_the_state() {
    let events = clean(&format!("{HEAD}F77 S88 T9\nG0 X1\nM2\n"));
    let state = events.last().unwrap().state;
    assert_eq!((state.feed, state.rpm, state.selected), (Some(77.0), Some(88.0), Some(9)));
    assert_eq!(state.cutter, None);
}

#[test]
fn m2_and_m30_reset_what_is_listed_and_nothing_else() {
    // 3.6.1
    for end in ["M2", "M30"] {
        let events = clean(&format!(
            "G20 G18 G91 G99 G64 F10 S5 T3\nM6\nM3 M8\nG55 G43 H3\nG92 X5\n{end}\n"
        ));
        let tail: Vec<_> = events.iter().filter(|e| e.line == 6).cloned().collect();
        assert_eq!(names(&tail), ["stop spindle", "coolant off", "end"]);
        let state = events.last().unwrap().state;
        assert_eq!(state.frame.system.0, 1);
        assert_eq!(state.frame.axis_offset, ovolo::geometry::Point3::default());
        assert_eq!(state.plane, Some(ovolo::geometry::Plane::Xy));
        assert_eq!(state.absolute, Some(true));
        assert_eq!((state.spindle, state.coolant), (None, false));
        assert_eq!(state.inches, Some(true), "units stay");
        assert_eq!(state.frame.length_offset, Some(3), "the length offset stays");
        assert_eq!((state.feed, state.rpm, state.cutter), (Some(10.0), Some(5.0), Some(3)));
    }
}

#[test]
fn m6_stops_the_spindle_and_leaves_the_coolant() {
    // 3.6.3
    let events = after_head("T1\nM3 S100 M8\nM6");
    let change = events.iter().find(|e| matches!(e.what, What::CutterChange { .. })).unwrap();
    assert_eq!((change.state.spindle, change.state.coolant), (None, true));
    assert_eq!(change.what, What::CutterChange { cutter: 1 });
}

#[test]
fn stops_tell_whether_they_depend_on_the_switch() {
    // 3.6.1
    let waits: Vec<_> = after_head("M0\nM1\nM60")
        .into_iter()
        .filter_map(|e| match e.what {
            What::Stop { optional } => Some((e.line, optional)),
            _ => None,
        })
        .collect();
    assert_eq!(waits, [(3, false), (4, true), (5, false)]);
}
