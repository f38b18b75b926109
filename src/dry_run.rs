//! Trying a program before a machine does: it reads the text itself and refuses what is unsafe,
//! whoever wrote it. It never says that a program is safe; it says what it checked.
//!
//! The text becomes a stream of events ([`crate::ngc`]). `progress` follows what the machine
//! would be doing, `columns` keeps how deep the stock has been cut, and every file of `watch`
//! holds the interlocks of one subject, looking at one event at a time. A new interlock is an
//! entry in [`Interlock::ALL`] and one watch; none knows of another.

mod body;
mod cells;
mod columns;
pub mod film;
mod interlock;
mod log;
mod near;
mod pass;
mod piece;
mod progress;
pub mod removal;
mod render;
mod scene;
mod setup;
mod verdict;
mod watch;
mod words;

pub use interlock::{Interlock, Page};
pub use setup::{Keepout, LengthOffsets, PartKeep, Setup, TabKeep};
pub use verdict::{
    CutterExtents, Extents, Finding, InterlockResult, Outcome, Severity, Span, Standing, Verdict,
};

use crate::ngc;
use columns::Columns;
use log::Log;
use progress::Progress;
use scene::Scene;

/// Reads `text` as a program and tries it on the machine, cutters, stock and clamps of `setup`.
/// One pass over the text, and a second with the lines that begin with `/` left out if there are
/// any, for the operator's switch decides about them. Memory is bounded by the column grid (16 MB)
/// and the findings (1000).
#[must_use]
pub fn check(text: &str, setup: &Setup) -> Verdict {
    let verdict = run(text, setup, false);
    match text.lines().any(|line| line.trim_start().starts_with('/')) {
        true => verdict.and_skipping(run(text, setup, true)),
        false => verdict,
    }
}

fn run(text: &str, setup: &Setup, skipping: bool) -> Verdict {
    let scene = Scene::new(setup, text);
    let mut log = Log::new(setup.shown.unit);
    if !skipping {
        watch::slashes(text, &mut log);
    }
    let mut progress = Progress::new(&scene);
    let mut columns = Columns::new(&scene);
    let mut watches = watch::all(&scene);
    let problems = ngc::interpret(text, &scene.reading(skipping), &mut |event| {
        progress.begin(event, &mut columns);
        for one in &mut watches {
            one.see(event, &progress, &mut log);
        }
        progress.finish(event);
    });
    for one in &mut watches {
        one.end(&progress, &mut log);
    }
    watch::text::report(&problems, &mut log);
    verdict::conclude(text, &scene, &progress, log)
}
