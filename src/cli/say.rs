//! The one door to standard output and standard error. A closed pipe is no failure.

use ovolo::diagnostic::{Diagnostic, Failure};
use std::io::Write;

/// Prints a result.
pub(super) fn result(text: &str) -> Result<(), Failure> {
    let mut out = std::io::stdout().lock();
    let written = out.write_all(text.as_bytes()).and_then(|()| out.flush());
    match written {
        Err(e) if e.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(Failure::System(Diagnostic::error(format!("cannot write to standard output: {e}"))))
        }
        _ => Ok(()),
    }
}

/// Prints a line of talk, unless `quiet`.
pub(super) fn talk(quiet: bool, text: &str) {
    if !quiet {
        // If standard error is closed there is nobody left to tell.
        let _ = writeln!(std::io::stderr(), "{text}");
    }
}

/// Prints why a verb failed; quiet or not, for it is all there is.
pub(super) fn failure(failure: &Failure, _quiet: bool) {
    talk(false, &failure.to_string());
}
