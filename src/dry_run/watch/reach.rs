//! Whether the program cuts the stock at all.

use super::{Watch, say};
use crate::dry_run::interlock::Interlock;
use crate::dry_run::log::{Log, spot};
use crate::dry_run::near;
use crate::dry_run::progress::Progress;
use crate::dry_run::touch::NOISE;
use crate::ngc::Event;

/// A feed above the stock longer than this, mm, is no approach.
const LONG: f64 = 10.0;

/// Whether anything was cut.
#[derive(Default)]
pub(super) struct Reach {
    cut: bool,
}

impl Watch for Reach {
    fn see(&mut self, event: &Event, now: &Progress, log: &mut Log) {
        let Some(pass) = now.pass.as_ref().filter(|p| p.feed.is_some()) else { return };
        self.cut |= pass.touch.cut;
        let low = pass.stroke.bounds().min.z;
        if pass.level < LONG || low <= now.scene.top + NOISE || !pass.placed() {
            return;
        }
        let over = now.scene.plan().is_some_and(|(min, max)| {
            near::distance_below(&pass.stroke, min, max, f64::INFINITY) == Some(0.0)
        });
        if over {
            log.caution(spot(Interlock::Reach, "air", event.line, now.place()), |log| {
                let (way, above) = (log.mm(pass.level), log.mm(low - now.scene.top));
                say(
                    format!("it feeds over {way} at {above} above the stock, and cuts nothing"),
                    "check the sign of Z, or traverse",
                )
            });
        }
    }

    fn end(&mut self, now: &Progress, log: &mut Log) {
        if self.cut {
            return;
        }
        let spot = spot(Interlock::Reach, "nothing", now.line.max(1), None);
        let words = |_: &Log| {
            let message = match now.fed {
                true => "nothing is cut: no feed enters the stock",
                false => "nothing is cut: the program has no feed",
            };
            say(message, "check the work zero, the stock and the sign of Z")
        };
        // Without a stock the assumed top may be what is wrong.
        match now.scene.setup.stock {
            Some(_) => log.refuse(spot, words),
            None => log.caution(spot, words),
        }
    }
}
