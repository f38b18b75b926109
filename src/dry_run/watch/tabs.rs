//! Tabs that must be left standing.

use super::{Watch, say};
use crate::dry_run::interlock::Interlock;
use crate::dry_run::log::{Log, spot};
use crate::dry_run::near;
use crate::dry_run::progress::Progress;
use crate::dry_run::setup::TabKeep;
use crate::ngc::Event;

/// How much of a tab's top may be lost, mm: rounding, and a skin.
const LOSS: f64 = 0.05;

/// What may be lost at either end of a tab, and half of what must stay in its middle, mm.
const END: f64 = 0.5;

/// Keeps nothing: every stroke stands for itself.
pub(super) struct Tabs;

impl Watch for Tabs {
    fn see(&mut self, event: &Event, now: &Progress, log: &mut Log) {
        let Some(pass) = now.pass.as_ref().filter(|p| p.placed() && p.feed.is_some()) else {
            return;
        };
        let meets = |tab: &&TabKeep| {
            let reach = now.body.radius + (tab.half_width - END).clamp(0.0, END);
            near::distance_below(&pass.stroke, tab.at, tab.at, tab.top - LOSS)
                .is_some_and(|distance| distance < reach)
        };
        if let Some(tab) = now.scene.setup.tabs.iter().find(meets) {
            log.refuse(spot(Interlock::TabsLeft, "cut", event.line, now.place()), |log| {
                let (x, y, top) = (log.mm(tab.at.x), log.mm(tab.at.y), log.mm(tab.top));
                let low = log.mm(pass.stroke.bounds().min.z);
                say(
                    format!("at z {low} it cuts the tab at x {x}, y {y}, whose top is z {top}"),
                    "lift the cutter over the tab",
                )
            });
        }
    }

    fn end(&mut self, now: &Progress, log: &mut Log) {
        if now.scene.setup.tabs.is_empty() {
            log.not_judged(Interlock::TabsLeft, "the setup names no tabs");
        }
    }
}
