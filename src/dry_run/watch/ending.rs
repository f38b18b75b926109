//! The end of the program: at rest and high.

use super::{Watch, say};
use crate::dry_run::interlock::Interlock;
use crate::dry_run::log::{Log, spot};
use crate::dry_run::progress::Progress;
use crate::dry_run::touch::NOISE;
use crate::ngc::{Event, What};

/// Keeps nothing: there is one end.
pub(super) struct Ending;

impl Watch for Ending {
    fn see(&mut self, event: &Event, now: &Progress, log: &mut Log) {
        let What::End { stated } = event.what else { return };
        if !stated {
            log.caution(spot(Interlock::Ending, "percent", event.line, None), |_| {
                say(
                    "only the closing % ends the program, and leaves the machine as it is",
                    "write M30 before it",
                )
            });
        }
        spindle(event, stated, now, log);
        if now.moved {
            height(event, now, log);
        }
    }
}

fn spindle(event: &Event, stated: bool, now: &Progress, log: &mut Log) {
    let spot = |kind| spot(Interlock::Ending, kind, event.line, now.place());
    if !stated && now.spindle.is_some() {
        log.refuse(spot("turning"), |_| {
            say("the program ends with the spindle turning", "write M5 before the end")
        });
    } else if stated && now.turning_at_line {
        log.caution(spot("stops"), |_| {
            say(
                "the spindle is stopped only by the end of the program",
                "write M5 on a line before it",
            )
        });
    }
}

fn height(event: &Event, now: &Progress, log: &mut Log) {
    let spot = |kind| spot(Interlock::Ending, kind, event.line, now.place());
    let help = "retract to safe height before the end";
    if !now.known[2] {
        if !now.away {
            log.caution(spot("unknown"), |_| say("the program ends at an unknown height", help));
        }
    } else if now.at.z <= now.scene.top + NOISE {
        log.refuse(spot("low"), |log| {
            let (z, top) = (log.mm(now.at.z), log.mm(now.scene.top));
            say(format!("the program ends at z {z}, and the stock's top is {top}"), help)
        });
    } else if now.at.z < now.scene.safe - NOISE {
        log.caution(spot("below-safe"), |log| {
            let (z, safe) = (log.mm(now.at.z), log.mm(now.scene.safe));
            say(format!("the program ends at z {z}, below safe height ({safe})"), help)
        });
    }
}
