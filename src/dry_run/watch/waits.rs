//! Waits: dwells that are too long to be meant, and stops with the cutter in the wood.

use super::{Watch, say};
use crate::dry_run::interlock::Interlock;
use crate::dry_run::log::{Log, spot};
use crate::dry_run::progress::Progress;
use crate::dry_run::touch::NOISE;
use crate::ngc::{Event, What};

/// A dwell longer than this, seconds, was written in milliseconds (common practice: spindles
/// start within seconds).
const LONG: f64 = 60.0;

/// A cutter that turns in one place for longer than this, seconds, burns the wood (common
/// practice).
const BURNS: f64 = 3.0;

/// Keeps nothing: every wait stands for itself.
pub(super) struct Waits;

impl Watch for Waits {
    fn see(&mut self, event: &Event, now: &Progress, log: &mut Log) {
        match event.what {
            What::Dwell { seconds } if seconds > LONG => {
                log.caution(spot(Interlock::TextUnderstood, "dwell", event.line, None), |_| {
                    say(
                        format!("it waits for {seconds:.0} s, more than {LONG:.0} s"),
                        "P of G4 is in seconds: check that it was not meant in milliseconds",
                    )
                });
            }
            What::Dwell { seconds }
                if seconds > BURNS && now.in_stock && now.at.z < now.scene.top - NOISE =>
            {
                log.caution(spot(Interlock::SpindleStop, "dwell", event.line, now.place()), |log| {
                    let depth = log.mm(now.scene.top - now.at.z);
                    say(
                        format!("it stands still for {seconds:.0} s with the tip {depth} deep in the stock: it burns"),
                        "retract above the stock before the wait, or leave the wait out",
                    )
                });
            }
            What::Stop { .. } if now.in_stock && now.at.z < now.scene.top - NOISE => {
                log.caution(spot(Interlock::SpindleStop, "wait", event.line, now.place()), |log| {
                    let depth = log.mm(now.scene.top - now.at.z);
                    say(
                        format!("it waits for the operator with the tip {depth} deep in the stock"),
                        "retract above the stock before the stop",
                    )
                });
            }
            _ => {}
        }
    }
}
