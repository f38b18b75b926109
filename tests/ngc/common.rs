//! What the tests of the reader share.

use ovolo::geometry::point3;
use ovolo::ngc::{Event, Motion, Options, Problem, Rule, What, interpret_all};

/// A safe start: every mode stated, a feed, and a known point (0, 0, 50).
pub(crate) const HEAD: &str = "G17 G21 G40 G49 G80 G90 G94 G98 F100\nG0 X0 Y0 Z50\n";

/// Runs a text that must be without any problem.
pub(crate) fn clean(text: &str) -> Vec<Event> {
    clean_with(text, &Options::default())
}

/// Runs a text that must be without any problem.
pub(crate) fn clean_with(text: &str, options: &Options) -> Vec<Event> {
    let (events, problems) = interpret_all(text, options);
    assert_eq!(problems, [], "{text}");
    events
}

/// Runs lines behind [`HEAD`], without any problem, and gives what they did.
pub(crate) fn after_head(lines: &str) -> Vec<Event> {
    let events = clean(&format!("{HEAD}{lines}\nM2\n"));
    events.into_iter().filter(|e| e.line > 2).collect()
}

/// Runs one line behind [`HEAD`] that has one grave problem.
pub(crate) fn refused(line: &str) -> Problem {
    let (_, problems) = interpret_all(&format!("{HEAD}{line}\nM2\n"), &Options::default());
    let graves: Vec<_> = problems.into_iter().filter(|p| p.grave).collect();
    assert_eq!(graves.len(), 1, "{line}: {graves:?}");
    assert!(graves[0].line >= 3, "{line}: {graves:?}");
    graves.into_iter().next().unwrap()
}

/// Checks that a line behind [`HEAD`] breaks a rule.
#[track_caller]
pub(crate) fn breaks(line: &str, rule: Rule) {
    assert_eq!(refused(line).rule, rule, "{line}");
}

/// Rules of the warnings of lines behind [`HEAD`], which must have no grave problem.
pub(crate) fn warnings(lines: &str) -> Vec<Rule> {
    let (_, problems) = interpret_all(&format!("{HEAD}{lines}\nM2\n"), &Options::default());
    assert!(problems.iter().all(|p| !p.grave), "{problems:?}");
    problems.into_iter().map(|p| p.rule).collect()
}

/// The moves among events.
pub(crate) fn motions(events: &[Event]) -> Vec<Motion> {
    events
        .iter()
        .filter_map(|e| match e.what {
            What::Motion(m) => Some(m),
            _ => None,
        })
        .collect()
}

/// Ends of the moves, with their feeds.
pub(crate) fn ends(events: &[Event]) -> Vec<([f64; 3], Option<f64>)> {
    motions(events)
        .iter()
        .map(|m| ([m.stroke.to.x, m.stroke.to.y, m.stroke.to.z], m.feed))
        .collect()
}

/// The end of the last move.
pub(crate) fn last_end(events: &[Event]) -> [f64; 3] {
    ends(events).last().unwrap().0
}

/// The x that `X<value>` goes to behind [`HEAD`].
pub(crate) fn x_of(value: &str) -> f64 {
    let (events, problems) =
        interpret_all(&format!("{HEAD}G0 X{value}\nM2\n"), &Options::default());
    assert!(problems.iter().all(|p| !p.grave), "{value}: {problems:?}");
    last_end(&events)[0]
}

/// Options with a known start.
pub(crate) fn from(x: f64, y: f64, z: f64) -> Options {
    Options { start: point3(x, y, z), start_known: [true; 3], ..Options::default() }
}
