//! The one door to standard output and standard error. A closed pipe is no failure.

use ovolo::diagnostic::{Diagnostic, Failure};
use std::io::Write;

/// Prints a result.
pub(super) fn result(text: &str) -> Result<(), Failure> {
    let mut out = std::io::stdout().lock();
    let written = out.write_all(printable(text).as_bytes()).and_then(|()| out.flush());
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
        let _ = writeln!(std::io::stderr(), "{}", printable(text));
    }
}

/// Prints why a verb failed, quiet or not, for it is all there is; as JSON to standard output if
/// that is what was asked for.
pub(super) fn failure(failure: &Failure, json: bool) {
    if json {
        let all = serde_json::json!({
            "exit": failure.exit_code(),
            "diagnostics": failure.diagnostics(),
        });
        // Nothing more can be told if this fails too.
        let _ = result(&format!("{all:#}\n"));
    }
    talk(false, &failure.to_string());
}

/// Without the control characters that a title or a file's name could send to a terminal.
fn printable(text: &str) -> String {
    let shown = |c: char| if c.is_control() && c != '\n' { '\u{fffd}' } else { c };
    text.chars().map(shown).collect()
}
