//! Lines that begin with `/`: the operator's switch decides whether they run.

use super::say;
use crate::dry_run::interlock::Interlock;
use crate::dry_run::log::{Log, spot};
use crate::dry_run::words::{g_words, is_system};

/// Every such line is a caution; one that holds a mode is refused, for all that follows would
/// mean something else with the switch on. What follows is judged both ways besides.
pub(in crate::dry_run) fn look(number: usize, line: &str, log: &mut Log) {
    let at = |interlock, kind| spot(interlock, kind, number, None);
    log.caution(at(Interlock::TextUnderstood, "slash"), |_| {
        say(
            "the line begins with /: the operator's switch decides whether it runs",
            "leave the / out, or the line",
        )
    });
    for code in g_words(line) {
        let (interlock, what) = match code {
            200 | 210 => (Interlock::UnitsStated, "the units depend"),
            900 | 910 => (Interlock::DistanceModeStated, "the distance mode depends"),
            170 | 180 | 190 => (Interlock::PlaneStated, "the plane depends"),
            930 | 940 => (Interlock::FeedMode, "the feed mode depends"),
            code if is_system(code) => (Interlock::WorkOffset, "the coordinate system depends"),
            _ => continue,
        };
        log.refuse(at(interlock, "slash"), |_| {
            say(format!("{what} on the operator's switch for / lines"), "leave the / out")
        });
    }
}
