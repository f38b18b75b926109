//! A first look at a plain program.
#![allow(clippy::unwrap_used)]

use ovolo::ngc::{Options, What, interpret_all};

#[test]
fn a_plain_program_runs_in_order() {
    let text = "%\nG17 G21 G40 G49 G80 G90 G94\nT1 M6\nM3 S18000\nG4 P3\nG0 X0 Y0 Z5\nG1 Z-1 F600\nG2 X10 Y0 I5 J0\nG0 Z5\nM30\n%\n";
    let (events, problems) = interpret_all(text, &Options::default());
    assert_eq!(problems, []);
    let motions: Vec<_> =
        events.iter().filter(|e| matches!(e.what, What::Motion(_))).map(|e| e.line).collect();
    assert_eq!(motions, [6, 7, 8, 9]);
    assert_eq!(events.last().unwrap().what, What::End { stated: true });
}
