//! Tabs that must be left standing, and stand what the cutter does to the part.

use super::{Watch, say};
use crate::dry_run::interlock::Interlock;
use crate::dry_run::log::{Log, spot};
use crate::dry_run::near;
use crate::dry_run::pass::Pass;
use crate::dry_run::progress::Progress;
use crate::dry_run::setup::TabKeep;
use crate::geometry::Point3;
use crate::ngc::Event;

/// How much of a tab's top may be lost, mm: rounding, and a skin.
const LOSS: f64 = 0.05;

/// What may be lost at either end of a tab, and half of what must stay in its middle, mm.
const END: f64 = 0.5;

/// Places across the slot where a tab is looked at, radii of the cutter from the part's edge: on
/// its far side other work may begin.
const ACROSS: [f64; 4] = [0.0, 0.5, 1.0, 1.5];

/// Shear strength as a share of the modulus of rupture: 0.10 to 0.20 over the hardwoods and
/// softwoods of the Wood Handbook's table 5-3 (FPL-GTR-282; from memory); the least is taken.
const SHEAR: f64 = 0.1;

/// The hardest pull at the part while only tabs hold it.
#[derive(Default)]
pub(super) struct Tabs {
    pull: Option<(f64, usize, Point3)>,
}

impl Watch for Tabs {
    fn see(&mut self, event: &Event, now: &Progress, log: &mut Log) {
        let Some(pass) = now.pass.as_ref().filter(|p| p.placed() && p.feed.is_some()) else {
            return;
        };
        // A tab is sawn off wherever it is cut on its way across the slot.
        let meets = |tab: &&TabKeep| {
            let reach = now.body.radius + (tab.half_width - END).clamp(0.0, END);
            ACROSS.iter().any(|share| {
                let at = tab.at + tab.out * (share * now.body.radius);
                near::distance_below(&pass.stroke, at, at, tab.top - LOSS)
                    .is_some_and(|distance| distance < reach)
            })
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
        self.pulled(event, pass, now);
    }

    fn end(&mut self, now: &Progress, log: &mut Log) {
        let setup = now.scene.setup;
        if setup.tabs.is_empty() {
            log.not_judged(Interlock::TabsLeft, "the setup names no tabs");
            log.not_judged(Interlock::TabsStrong, "the setup names no tabs");
            return;
        }
        let (Some(rupture), Some(stock)) = (setup.rupture, setup.stock) else {
            log.not_judged(Interlock::TabsStrong, "the strength of the wood is not known");
            return;
        };
        let section = |tab: &TabKeep| 2.0 * tab.half_width * (tab.top - stock.min.z).max(0.0);
        let weakest = setup.tabs.iter().map(section).fold(f64::INFINITY, f64::min);
        let holds = weakest * SHEAR * rupture;
        if let Some((force, line, at)) = self.pull.filter(|(force, ..)| *force > holds) {
            log.caution(spot(Interlock::TabsStrong, "weak", line, Some(at)), |log| {
                let section = log.mm2(weakest);
                say(
                    format!(
                        "the cut may pull with {force:.0} N, and a tab of {section} holds {holds:.0} N"
                    ),
                    "make the tabs wider or higher, or take less in the last pass",
                )
            });
        }
    }
}

impl Tabs {
    /// The greatest force to be expected below the tops of the tabs: the share of a full-width
    /// pass that the stroke really takes.
    fn pulled(&mut self, event: &Event, pass: &Pass, now: &Progress) {
        let top = now.scene.setup.tabs.iter().map(|tab| tab.top).reduce(f64::max);
        let Some((top, limits)) = top.zip(now.limits) else { return };
        let Some(full) = now.full_pass().filter(|full| full.section > 0.0) else { return };
        if pass.stroke.bounds().min.z >= top {
            return;
        }
        let force = limits.force.high * pass.touch.section / full.section;
        if self.pull.is_none_or(|(greatest, ..)| force > greatest) {
            self.pull = Some((force, event.line, pass.stroke.to));
        }
    }
}
