//! Any bytes as a drawing: no panic, and what is read is sound.
#![no_main]

use libfuzzer_sys::fuzz_target;
use ovolo::tracing::{Options, outlines, profile};

fuzz_target!(|bytes: &[u8]| {
    if let Ok(read) = outlines("drawing", bytes, &Options::default()) {
        assert!(read.contours.iter().all(|c| c.closed && c.validate().is_ok()));
    }
    if let Ok(drawn) = profile("drawing", bytes, &Options::default()) {
        assert!(drawn.profile.height() > 0.0 && drawn.profile.thickness() > 0.0);
    }
});
