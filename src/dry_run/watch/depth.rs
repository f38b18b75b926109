//! Depth: of the whole cut, of one pass, and what shank and holder meet.

use super::{Watch, say};
use crate::dry_run::interlock::Interlock;
use crate::dry_run::log::{Log, spot};
use crate::dry_run::pass::Pass;
use crate::dry_run::progress::Progress;
use crate::dry_run::scene::Scene;
use crate::dry_run::touch::NOISE;
use crate::ngc::Event;

/// Keeps only whether there is a stock to judge by.
pub(super) struct Depth {
    stock: bool,
}

impl Depth {
    pub(super) fn new(scene: &Scene) -> Depth {
        Depth { stock: scene.setup.stock.is_some() }
    }
}

impl Watch for Depth {
    fn see(&mut self, event: &Event, now: &Progress, log: &mut Log) {
        let Some(pass) = &now.pass else { return };
        bottom(event, pass, now, log);
        stepdown(pass, now, log);
        shank(event, pass, log);
        if pass.feed.is_some() && pass.touch.inside {
            blind(now, log);
        }
    }

    fn end(&mut self, _: &Progress, log: &mut Log) {
        if !self.stock {
            for interlock in [
                Interlock::Bottom,
                Interlock::Stepdown,
                Interlock::FluteLength,
                Interlock::HolderClear,
            ] {
                log.not_judged(interlock, "no stock was given");
            }
        }
    }
}

/// What can not be judged for this cutter.
fn blind(now: &Progress, log: &mut Log) {
    if now.limits.is_none() {
        log.not_judged(Interlock::Stepdown, &super::feeds::no_figures(now));
    }
    if now.cutter.is_none() {
        log.not_judged(Interlock::FluteLength, "the cutter is not known");
        log.not_judged(Interlock::HolderClear, "the cutter is not known");
    }
}

fn bottom(event: &Event, pass: &Pass, now: &Progress, log: &mut Log) {
    let (Some(lowest), true) = (now.scene.lowest, pass.known[2]) else { return };
    let low = pass.stroke.bounds().min.z;
    if low < lowest - NOISE {
        log.refuse(spot(Interlock::Bottom, "deep", event.line, now.place()), |log| {
            let (low, lowest, overcut) =
                (log.mm(low), log.mm(lowest), log.mm(now.scene.setup.permitted_overcut));
            say(
                format!("it goes down to z {low}, and the lowest allowed is {lowest}: the stock's underside less {overcut}"),
                "check the sign and the units of Z, and the thickness of the stock",
            )
        });
    }
}

fn stepdown(pass: &Pass, now: &Progress, log: &mut Log) {
    let (Some(over), Some(limits)) = (pass.touch.overload, now.limits) else { return };
    log.refuse(spot(Interlock::Stepdown, "deep", over.line, Some(over.at)), |log| {
        say(
            format!(
                "cutter {} takes {} deep and {} wide at once in {}, a section of {}; a pass of its full width may be {} deep there, {} ({})",
                limits.cutter,
                log.mm(over.depth),
                log.mm(over.width),
                limits.material,
                log.mm2(over.section),
                log.mm(limits.stepdown.value),
                log.mm2(over.allowed),
                limits.stepdown.by
            ),
            "cut in more passes, or overrule the stepdown in the shop or job file",
        )
    });
}

fn shank(event: &Event, pass: &Pass, log: &mut Log) {
    if let Some(wood) = pass.touch.wall {
        log.refuse(spot(Interlock::FluteLength, "wall", event.line, Some(wood.at)), |log| {
            let height = log.mm(wood.height);
            say(
                format!("wood beside the cutter stands {height} above its tip, more than its flutes are long"),
                "use a cutter with longer flutes, or cut a wider slot first",
            )
        });
    }
    if let Some(wood) = pass.touch.holder {
        log.refuse(spot(Interlock::HolderClear, "wood", event.line, Some(wood.at)), |log| {
            let height = log.mm(wood.height);
            say(
                format!("the holder meets wood that stands {height} above the tip"),
                "clamp the cutter with more stick-out, or use a longer one",
            )
        });
    }
}
