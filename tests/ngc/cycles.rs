//! Canned cycles: section 3.5.16.

use super::common::{HEAD, breaks, clean_with, ends, from, motions, warnings};
use ovolo::ngc::{Event, Options, Rule, What, interpret_all};

/// Ends of the moves, each with whether it cuts.
fn path(events: &[Event]) -> Vec<([f64; 3], bool)> {
    ends(events).into_iter().map(|(p, feed)| (p, feed.is_some())).collect()
}

/// Runs lines from (1, 2, 3).
fn run(lines: &str) -> Vec<Event> {
    clean_with(&format!("G21 G17 G90 F100\n{lines}\nM2\n"), &from(1.0, 2.0, 3.0))
}

#[test]
fn the_first_example_of_the_report() {
    // 3.5.16.1
    let got = path(&run("G90 G81 G98 X4 Y5 Z1.5 R2.8"));
    assert_eq!(
        got,
        [
            ([4.0, 5.0, 3.0], false),
            ([4.0, 5.0, 2.8], false),
            ([4.0, 5.0, 1.5], true),
            ([4.0, 5.0, 3.0], false)
        ]
    );
}

#[test]
fn the_second_example_of_the_report() {
    // 3.5.16.1
    let got = path(&run("G91 G81 G98 X4 Y5 Z-0.6 R1.8 L3"));
    let mut want = vec![([1.0, 2.0, 4.8], false)];
    for (x, y) in [(5.0, 7.0), (9.0, 12.0), (13.0, 17.0)] {
        want.push(([x, y, 4.8], false));
        want.push(([x, y, 4.8 - 0.6], true));
        want.push(([x, y, 4.8], false));
    }
    assert_eq!(got, want);
}

#[test]
fn cycle_moves_carry_their_line_and_are_marked() {
    let events = run("G99 G81 X4 Y5 Z1 R2\nX6\nG80\nG0 Z9");
    let marks: Vec<_> = events
        .iter()
        .filter_map(|e| match e.what {
            What::Motion(m) => Some((e.line, m.cycle)),
            _ => None,
        })
        .collect();
    assert!(marks[..marks.len() - 1].iter().all(|&(line, cycle)| cycle && line < 4));
    assert!(marks.iter().any(|m| m.0 == 3));
    assert_eq!(marks.last(), Some(&(5, false)));
}

#[test]
fn r_and_depth_are_kept_while_the_same_cycle_goes_on() {
    // 3.5.16
    let got = path(&run("G99 G81 X4 Y5 Z1 R2\nX6"));
    assert_eq!(
        got[got.len() - 3..],
        [([6.0, 5.0, 2.0], false), ([6.0, 5.0, 1.0], true), ([6.0, 5.0, 2.0], false)]
    );
    for lines in
        ["G81 X4 Z1 R2\nG82 X6 P1", "G81 X4 Z1 R2\nG80\nG81 X6", "G81 X4 Z1 R2\nG0 X1\nG81 X6"]
    {
        let text = format!("{HEAD}{lines}\nM2\n");
        let (_, problems) = interpret_all(&text, &Options::default());
        assert_eq!(problems[0].rule, Rule::CycleWords, "{lines}");
    }
}

#[test]
fn g98_returns_to_the_height_before_if_it_is_higher_and_g99_to_r() {
    // 3.5.16, 3.5.20
    let end = |lines: &str| path(&run(lines)).last().unwrap().0[2];
    assert_eq!(end("G98 G81 X4 Z1 R2"), 3.0);
    assert_eq!(end("G99 G81 X4 Z1 R2"), 2.0);
    assert_eq!(end("G98 G81 X4 Z1 R5"), 5.0);
    assert_eq!(end("G99 G81 X4 Z1 R5"), 5.0);
    let text = "G21 G90 F100\nG0 X0 Y0 Z9\nG81 X4 Z1 R2\nM2\n";
    let (events, problems) = interpret_all(text, &Options::default());
    assert_eq!(path(&events).last().unwrap().0[2], 9.0);
    assert_eq!((problems[0].rule, problems[0].grave), (Rule::CycleReturn, false));
}

#[test]
fn below_r_the_cutter_rises_before_it_travels() {
    // 3.5.16
    let got = path(&run("G99 G81 X4 Y5 Z1 R6"));
    assert_eq!(got[0], ([1.0, 2.0, 6.0], false));
    assert_eq!(got[1], ([4.0, 5.0, 6.0], false));
}

#[test]
fn g82_and_g89_dwell_at_the_bottom() {
    // 3.5.16.2, 3.5.16.9
    for (code, up) in [("G82", false), ("G89", true)] {
        let events = run(&format!("G99 {code} X4 Z1 R2 P1.5"));
        let dwell = events.iter().position(|e| e.what == What::Dwell { seconds: 1.5 }).unwrap();
        let m = motions(&events[dwell..]);
        assert_eq!(m.len(), 1);
        assert_eq!((m[0].stroke.from.z, m[0].feed.is_some()), (1.0, up), "{code}");
    }
}

#[test]
fn g85_feeds_out() {
    // 3.5.16.5
    let got = path(&run("G99 G85 X4 Z1 R2"));
    assert_eq!(got[got.len() - 2..], [([4.0, 2.0, 1.0], true), ([4.0, 2.0, 2.0], true)]);
}

#[test]
fn g83_pecks_to_the_depth() {
    // 3.5.16.3; the traverse back stops 0.254 mm above the bottom (from memory)
    let got = path(&run("G99 G83 X4 Z-1 R2 Q1.25"));
    let z: Vec<_> = got.iter().map(|(p, cut)| (p[2], *cut)).collect();
    assert_eq!(
        z,
        [
            (3.0, false),
            (2.0, false),
            (0.75, true),
            (2.0, false),
            (1.004, false),
            (-0.5, true),
            (2.0, false),
            (-0.246, false),
            (-1.0, true),
            (2.0, false)
        ]
    );
    // A peck that ends at the depth is the last.
    assert_eq!(path(&run("G99 G83 X4 Z0 R2 Q1")).iter().filter(|p| p.1).count(), 2);
}

#[test]
fn cycles_work_in_every_plane() {
    // 3.5.16: the axis drilled along is the plane's
    let got = path(&run("G18 G99 G81 X4 Z5 Y-1 R1"));
    assert_eq!(got[0..2], [([4.0, 2.0, 5.0], false), ([4.0, 1.0, 5.0], false)]);
    assert_eq!(got[2], ([4.0, -1.0, 5.0], true));
    let got = path(&run("G19 G99 G81 Y4 Z5 X-1 R0.5"));
    assert_eq!(
        got[1..],
        [([0.5, 4.0, 5.0], false), ([-1.0, 4.0, 5.0], true), ([0.5, 4.0, 5.0], false)]
    );
}

#[test]
fn repeats_are_whole_numbers_above_zero_and_not_kept() {
    // 3.5.16
    for bad in ["L0", "L-1", "L1.5"] {
        breaks(&format!("G81 X1 Z1 R2 {bad}"), Rule::CycleRepeats);
    }
    let cuts = |lines: &str| path(&run(lines)).iter().filter(|p| p.1).count();
    assert_eq!(cuts("G99 G81 X4 Z1 R2 L3"), 3);
    assert_eq!(cuts("G99 G81 X4 Z1 R2 L3\nX5"), 4);
}

#[test]
fn cycles_refuse_what_they_cannot_use() {
    // 3.5.16
    breaks("G81", Rule::AxisWordsMissing);
    breaks("G81 X1 R2", Rule::CycleWords);
    breaks("G81 X1 Z2", Rule::CycleWords);
    breaks("G82 X1 Z1 R2", Rule::CycleWords);
    breaks("G82 X1 Z1 R2 P-1", Rule::CycleWords);
    breaks("G83 X1 Z1 R2", Rule::CycleWords);
    breaks("G83 X1 Z1 R2 Q0", Rule::CycleWords);
    breaks("G83 X1 Z1 R2 Q-1", Rule::CycleWords);
    breaks("G81 X1 Z3 R2", Rule::CycleDepth);
    breaks("G93 F1 G81 X1 Z1 R2", Rule::CycleMode);
    breaks("F0 G81 X1 Z1 R2", Rule::NoFeed);
    breaks("G83 X1 Z-100 R2 Q0.001", Rule::CycleLong);
    breaks("G81 X1 Z1 R2 L100000", Rule::CycleLong);
    let (_, problems) = interpret_all("G21 F5 G98\nG81 X1 Y1 Z1 R2\nM2\n", &Options::default());
    assert_eq!(problems[0].rule, Rule::CycleStart);
    assert_eq!(warnings("G98 G81 X1 Z1 R2"), []);
}

#[test]
fn lengths_of_a_cycle_are_in_the_units_in_force() {
    let got = path(&run("G20 G99 G81 X1 Z0.05 R0.1"));
    assert_eq!(got.iter().map(|p| p.0[2]).collect::<Vec<_>>(), [3.0, 2.54, 1.27, 2.54]);
}
