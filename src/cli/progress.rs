//! A progress bar for what takes long: on standard error, only where a person looks at it.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::IsTerminal;
use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::sync::{Arc, OnceLock};
use std::thread::JoinHandle;
use std::time::Duration;

/// What is done sooner shows no bar.
const PATIENCE: Duration = Duration::from_millis(500);

/// How often the bar is drawn anew, told of or not.
const TICK: Duration = Duration::from_millis(100);

/// Steps of a bar.
const WHOLE: u64 = 1000;

/// How much of a work is done. The bar goes when this does.
pub(super) struct Progress {
    bar: Arc<OnceLock<ProgressBar>>,
    /// Dropped, it ends the waiter.
    work: Option<Sender<()>>,
    waiter: Option<JoinHandle<()>>,
}

impl Progress {
    /// A work that has just begun.
    pub(super) fn new(quiet: bool) -> Progress {
        let bar = Arc::new(OnceLock::new());
        if quiet || !std::io::stderr().is_terminal() {
            return Progress { bar, work: None, waiter: None };
        }
        let (work, over) = channel();
        let shared = Arc::clone(&bar);
        let waiter = std::thread::spawn(move || {
            // Drawn even while a long step tells nothing.
            if over.recv_timeout(PATIENCE) == Err(RecvTimeoutError::Timeout) {
                shared.get_or_init(drawn);
                // Ends when the work is dropped.
                let _ = over.recv();
            }
        });
        Progress { bar, work: Some(work), waiter: Some(waiter) }
    }

    /// What is being done, and which share of it is done.
    pub(super) fn tell(&self, what: &str, share: f64) {
        let Some(bar) = self.bar.get() else { return };
        bar.set_position((share.clamp(0.0, 1.0) * WHOLE as f64) as u64);
        if bar.message() != what {
            bar.set_message(what.to_string());
        }
    }
}

fn drawn() -> ProgressBar {
    let bar = ProgressBar::with_draw_target(Some(WHOLE), ProgressDrawTarget::stderr());
    // A template that does not parse leaves the plain bar.
    if let Ok(style) = ProgressStyle::with_template("{bar:30} {percent:>3} %  {elapsed}  {msg}") {
        bar.set_style(style);
    }
    bar.set_message("working");
    bar.enable_steady_tick(TICK);
    bar
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.work = None;
        if let Some(waiter) = self.waiter.take() {
            // A waiter that panicked has drawn nothing that needs clearing.
            let _ = waiter.join();
        }
        if let Some(bar) = self.bar.get() {
            bar.finish_and_clear();
        }
    }
}
