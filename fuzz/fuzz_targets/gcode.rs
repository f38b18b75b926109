//! Any bytes as a program: no panic, the same result each time, no event from a refused line,
//! every place within the text, and every move of finite length.
#![no_main]

use libfuzzer_sys::fuzz_target;
use ovolo::ngc::{Event, Options, Problem, Rule, What, interpret_stream};

fn read(bytes: &[u8]) -> (Vec<Event>, Vec<Problem>) {
    let mut events = Vec::new();
    let problems = interpret_stream(bytes, &Options::default(), &mut |e| events.push(e.clone()));
    // Reading a slice cannot fail.
    (events, problems.unwrap_or_default())
}

fuzz_target!(|bytes: &[u8]| {
    let (events, problems) = read(bytes);
    assert_eq!((&events, &problems), (&read(bytes).0, &read(bytes).1));
    let lines = bytes.iter().filter(|&&b| b == b'\n').count() + 1;
    let at_end = |r: Rule| matches!(r, Rule::NoEnd | Rule::PercentOpen | Rule::MoreProblems);
    for p in &problems {
        assert!((1..=lines).contains(&p.line) && p.column >= 1, "{p}");
        let refused = p.grave && p.rule != Rule::ByteOrderMark && !at_end(p.rule);
        // Problems come in the order of lines, but looking for each would be quadratic.
        let found = events.binary_search_by_key(&p.line, |e| e.line).is_ok();
        assert!(!(refused && found), "{p}");
    }
    for e in &events {
        if let What::Motion(m) = &e.what {
            assert!(m.stroke.length().is_finite(), "{m:?}");
        }
    }
});
