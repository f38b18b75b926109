//! Trying a program before a machine does: it reads the text itself and refuses what is unsafe,
//! whoever wrote it. It never says that a program is safe; it says what it checked.
//!
//! The text becomes a stream of events ([`crate::ngc`]). `progress` follows what the machine
//! would be doing, `wood` cuts the stock with the kernel of [`removal`], and every file of `watch`
//! holds the interlocks of one subject, looking at one event at a time. A new interlock is an
//! entry in [`Interlock::ALL`] and one watch; none knows of another.

mod body;
mod by_hand;
pub mod film;
mod interlock;
mod load;
mod log;
mod loose;
mod near;
mod pass;
mod pieces;
mod progress;
pub mod removal;
mod render;
mod scene;
mod setup;
mod shift;
mod surface;
mod survey;
mod touch;
mod turned;
mod verdict;
mod watch;
mod wood;
mod words;

pub use crate::geometry::Band;
pub use by_hand::with_changes_by_hand;
pub use interlock::{Interlock, Page};
pub use setup::{Keepout, LengthOffsets, PartKeep, Setup, TabKeep};
pub use surface::{Map, Surface, Wanted, Worst};
pub use turned::{Turn, turned_over};
pub use verdict::{
    Cells, CutterExtents, Extents, Finding, InterlockResult, Outcome, Severity, Span, Standing,
    Verdict,
};

use crate::geometry::HeightField;
use crate::ngc::{self, Source};
use by_hand::ByHand;
use log::Log;
use scene::Scene;
use shift::Shift;
use survey::Survey;

/// Reads `text` as a program and tries it on the machine, cutters, stock and clamps of `setup`;
/// see [`try_source`].
#[must_use]
pub fn check(text: &str, setup: &Setup) -> Verdict {
    try_out(text, setup).verdict
}

/// A program that was tried.
#[derive(Clone, Debug)]
pub struct Trial {
    /// What was found.
    pub verdict: Verdict,
    /// What it leaves of the stock, lines that begin with `/` run; `None` without a stock.
    pub left: Option<HeightField>,
}

/// Like [`check`], and gives what is left of the stock, for [`Setup::before`] of the next program
/// on the same board.
#[must_use]
pub fn try_out(text: &str, setup: &Setup) -> Trial {
    let Ok(trial) = try_source(text, setup);
    trial
}

/// Reads a program from any source and tries it. The text is looked through once for what must
/// be known beforehand, run, run again with the lines that begin with `/` left out if there are
/// any (the operator's switch decides about them), and read for the lines that findings quote;
/// no more than a block of it is held. Memory is bounded by the stock's heights (256 MB), the
/// events that wait to be cut (8192) and the findings (1000).
///
/// # Errors
/// If the source can not be read.
pub fn try_source<S: Source + ?Sized>(source: &S, setup: &Setup) -> Result<Trial, S::Error> {
    let mut log = Log::new(setup.shown.unit);
    let survey = Survey::of(source, &mut log)?;
    let slashes = survey.slashes;
    let mut trial = run(source, survey.clone(), setup, log, false)?;
    if slashes {
        let log = Log::new(setup.shown.unit);
        let skipped = run(source, survey, setup, log, true)?;
        trial.verdict = trial.verdict.and_skipping(skipped.verdict);
    }
    verdict::quote(source, &mut trial.verdict.findings)?;
    Ok(trial)
}

fn run<S: Source + ?Sized>(
    source: &S,
    survey: Survey,
    setup: &Setup,
    mut log: Log,
    skipping: bool,
) -> Result<Trial, S::Error> {
    let scene = Scene::new(setup, &survey);
    let mut shift = Shift::new(&scene);
    let mut by_hand = ByHand::new(setup.machine);
    let lines = survey.lines.max(1) as f64;
    let problems = ngc::interpret_source(source, &scene.reading(skipping), &mut |event| {
        if let Some(change) = by_hand.change(event) {
            shift.take(&change, &mut log);
        }
        shift.take(event, &mut log);
        setup.watch.tell("trying the program", event.line as f64 / lines);
    })?;
    shift.end(&mut log);
    let text = surface::Read { source, skipping, last: survey.lines.max(1) };
    let surface = watch::surface::report(&text, &scene, shift.left(), &mut log)?;
    watch::text::report(&problems, &mut log);
    let (progress, left) = shift.over();
    Ok(Trial { verdict: verdict::conclude(survey, &scene, &progress, surface, log), left })
}
