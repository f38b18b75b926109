//! A progress bar for what takes long: on standard error, only where a person looks at it.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::IsTerminal;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Duration, Instant};

/// What is done sooner shows no bar.
const PATIENCE: Duration = Duration::from_millis(500);

/// How much of a work is done.
pub(super) struct Progress {
    what: &'static str,
    total: u64,
    done: AtomicU64,
    start: Instant,
    silent: bool,
    bar: OnceLock<ProgressBar>,
}

impl Progress {
    /// A work of `total` steps.
    pub(super) fn new(what: &'static str, total: u64, quiet: bool) -> Progress {
        Progress {
            what,
            total,
            done: AtomicU64::new(0),
            start: Instant::now(),
            silent: quiet || !std::io::stderr().is_terminal(),
            bar: OnceLock::new(),
        }
    }

    /// So many more steps are done.
    pub(super) fn add(&self, steps: usize) {
        let done = self.done.fetch_add(steps as u64, Ordering::Relaxed) + steps as u64;
        if !self.silent && self.start.elapsed() > PATIENCE {
            self.bar.get_or_init(|| self.drawn()).set_position(done);
        }
    }

    fn drawn(&self) -> ProgressBar {
        let bar = ProgressBar::with_draw_target(Some(self.total), ProgressDrawTarget::stderr());
        // A template that does not parse leaves the plain bar.
        if let Ok(style) = ProgressStyle::with_template("{msg} {bar:30} {percent} %") {
            bar.set_style(style);
        }
        bar.set_message(self.what);
        bar
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if let Some(bar) = self.bar.get() {
            bar.finish_and_clear();
        }
    }
}
