//! Any text as a job, a shop and a post-processor file: no panic, and every message has a place
//! within the text.
#![no_main]

use libfuzzer_sys::fuzz_target;
use ovolo::diagnostic::Failure;
use ovolo::job::Job;
use ovolo::post::Dialect;
use ovolo::shop::Shop;

fn placed(text: &str, failure: &Failure) {
    assert!(!failure.diagnostics().is_empty());
    let lines = text.matches('\n').count() + 1;
    for place in failure.diagnostics().iter().filter_map(|d| d.place.as_ref()) {
        assert!((1..=lines).contains(&place.line) && place.column >= 1, "{place:?}");
    }
    assert!(!failure.to_string().is_empty());
}

fuzz_target!(|text: &str| {
    match Job::read("job.toml", text) {
        // A job that can be read can be planned, or is refused: it never panics.
        Ok(job) => {
            if let Ok(shop) = Shop::built_in() {
                let _ = ovolo::cuts::plan(&job, &shop);
            }
        }
        Err(failure) => placed(text, &failure),
    }
    if let Err(failure) = Shop::read("shop.toml", text) {
        placed(text, &failure);
    }
    if let Err(failure) = Dialect::read("post.toml", text) {
        placed(text, &failure);
    }
});
