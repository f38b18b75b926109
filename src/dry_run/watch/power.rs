//! What the spindle must give for the wood that is really taken.

use super::{Watch, say};
use crate::dry_run::interlock::Interlock;
use crate::dry_run::log::{Log, spot};
use crate::dry_run::progress::Progress;
use crate::ngc::Event;

/// Keeps nothing: every stretch of way stands for itself.
pub(super) struct Power;

impl Watch for Power {
    fn see(&mut self, event: &Event, now: &Progress, log: &mut Log) {
        let Some(pass) = &now.pass else { return };
        let Some(feed) = pass.feed.filter(|_| pass.touch.heaviest > 0.0) else { return };
        let Some(limits) = now.limits else {
            return log.not_judged(Interlock::SpindlePower, &super::feeds::no_figures(now));
        };
        let Some(full) = now.full_pass() else { return };
        let whole = full.section * limits.feed.value;
        if whole <= 0.0 {
            return;
        }
        // Power goes with the wood taken per time (P = k Q), of which the figures give one pair.
        let share = pass.touch.heaviest * feed / whole;
        let (least, most) = (limits.power.low * share, limits.power.high * share);
        let has = now.scene.setup.machine.spindle.power;
        let spot = |kind| spot(Interlock::SpindlePower, kind, event.line, now.place());
        let words = |log: &Log| {
            let (section, feed) = (log.mm2(pass.touch.heaviest), log.feed(feed));
            say(
                format!(
                    "cutter {} takes a section of {section} at {feed} in {}, which needs {least:.0} to {most:.0} W, and the spindle has {has:.0} W",
                    limits.cutter, limits.material
                ),
                "take less at once, or feed slower",
            )
        };
        if least > has {
            log.refuse(spot("more"), words);
        } else if most > has * ROUNDED {
            log.caution(spot("perhaps"), words);
        }
    }

    fn end(&mut self, now: &Progress, log: &mut Log) {
        if now.scene.setup.stock.is_none() {
            log.not_judged(Interlock::SpindlePower, "no stock was given");
        }
    }
}

/// What counting cells may add to a section on the way that a spindle feels: a twentieth.
const ROUNDED: f64 = 1.05;
