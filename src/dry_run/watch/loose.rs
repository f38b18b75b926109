//! Pieces that come free, and what the operator does about them.

use super::say;
use crate::dry_run::interlock::Interlock;
use crate::dry_run::log::{Log, spot};
use crate::dry_run::loose::Loose;
use crate::dry_run::scene::Scene;

/// After the last event. A piece that a cutter still passes by is refused; one that drops out
/// behind the last pass is named.
pub(in crate::dry_run) fn report(scene: &Scene, loose: Option<&Loose>, log: &mut Log) {
    let interlock = Interlock::NothingLoose;
    let Some(loose) = loose else {
        let why = match scene.setup.stock {
            None => "no stock was given",
            Some(_) if scene.setup.held_below => {
                "the stock is held from below, and how well is not known"
            }
            Some(_) => "the stock has no size",
        };
        log.not_judged(interlock, why);
        return;
    };
    for free in &loose.free {
        let size = |log: &Log| format!("{} by {}", log.mm(free.size.x), log.mm(free.size.y));
        match free.passed_at {
            Some(line) => log.refuse(spot(interlock, "passed", free.line, Some(free.at)), |log| {
                say(
                    format!(
                        "a piece of {} is cut free here, with no tab, skin, screw or clamp to hold it, and the cutter still passes by it at line {line}",
                        size(log)
                    ),
                    "leave tabs or a skin, clamp or screw the piece, or cut it free in the last pass",
                )
            }),
            None => log.caution(spot(interlock, "drop", free.line, Some(free.at)), |log| {
                say(
                    format!("a piece of {} drops out at the end of this cut", size(log)),
                    "stop after this cut and lift the piece off before going on",
                )
            }),
        }
    }
}
