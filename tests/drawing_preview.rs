//! Pictures of programs: what is on them, and that they can be read.
#![allow(clippy::unwrap_used)]

mod drawing_sample;

use drawing_sample as sample;
use ovolo::drawing::{Role, png, preview, preview_sheet, trace};

/// Writes every sample as SVG and PNG for a person to look at, when the variable names a folder.
#[test]
fn samples_render() {
    let folder = std::env::var("OVOLO_PICTURES").ok();
    for (name, job) in sample::all() {
        let svg = preview(&job.input());
        let bytes = png(&svg, 1000).unwrap();
        assert!(bytes.starts_with(b"\x89PNG"), "{name}");
        if let Some(folder) = &folder {
            std::fs::write(format!("{folder}/{name}.svg"), &svg).unwrap();
            std::fs::write(format!("{folder}/{name}.png"), &bytes).unwrap();
        }
    }
}

#[test]
fn no_text_covers_another_or_leaves_the_sheet() {
    for (name, job) in sample::all() {
        let sheet = preview_sheet(&job.input());
        let texts = sheet.texts();
        assert!(texts.len() > 5, "{name}");
        for (i, a) in texts.iter().enumerate() {
            let inside = a.low.x >= 0.0
                && a.low.y >= 0.0
                && a.high.x <= sheet.width()
                && a.high.y <= sheet.height();
            assert!(inside, "{name}: {a:?} leaves the sheet");
            for b in &texts[i + 1..] {
                assert!(!a.overlaps(b), "{name}: {a:?} covers {b:?}");
            }
        }
    }
}

#[test]
fn the_caps_tabs_are_found_in_the_text() {
    let job = sample::cap_job();
    let trace = trace(&job.program.events, job.stock);
    assert_eq!(trace.tabs.len(), 5);
    assert!(trace.tabs.iter().all(|t| (t.top - -14.5).abs() < 1e-9));
    assert_eq!(trace.levels.len(), 6);
    assert!(trace.has(Role::Lead) && trace.has(Role::Entry) && trace.has(Role::Travel));
}
