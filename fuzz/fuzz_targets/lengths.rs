//! Any text as a length, an angle or a feed: no panic; what is read is finite and within bounds,
//! and what is shown of it reads back within half a part.
#![no_main]

use libfuzzer_sys::fuzz_target;
use ovolo::units::{INCH, MAX_LENGTH, Unit, fraction, parse_angle, parse_feed, parse_length};

fuzz_target!(|text: &str| {
    for unit in [Unit::Mm, Unit::In] {
        if let Ok(mm) = parse_length(text, unit) {
            assert!(mm.is_finite() && mm.abs() <= MAX_LENGTH, "{text:?}: {mm}");
            if mm.abs() > MAX_LENGTH - INCH {
                continue;
            }
            let shown = fraction(mm, 64).replace(['+'], "").replace("- in", " in");
            let back = parse_length(&shown, Unit::Mm).expect("what is shown can be read");
            assert!((back - mm).abs() <= INCH / 128.0 + 0.02, "{text:?}: {mm} {shown}");
        }
        if let Ok(feed) = parse_feed(text, unit) {
            assert!(feed.is_finite() && feed >= 0.0, "{text:?}: {feed}");
        }
    }
    if let Ok(angle) = parse_angle(text) {
        assert!(angle.is_finite() && angle.abs() < 7.0, "{text:?}: {angle}");
    }
});
