//! Traverses: high enough over the stock, and never through it; feeds from a known place.

use super::{Watch, say};
use crate::dry_run::interlock::Interlock;
use crate::dry_run::log::{Log, spot};
use crate::dry_run::near;
use crate::dry_run::pass::Pass;
use crate::dry_run::progress::Progress;
use crate::dry_run::touch::NOISE;
use crate::ngc::Event;

/// Whether anything moved in x or y yet.
#[derive(Default)]
pub(super) struct Heights {
    level: bool,
}

impl Watch for Heights {
    fn see(&mut self, event: &Event, now: &Progress, log: &mut Log) {
        let Some(pass) = &now.pass else { return };
        if pass.machine && !pass.placed() {
            return;
        }
        let levels = pass.goes_level() && (pass.known[0] || pass.known[1]);
        if levels && !std::mem::replace(&mut self.level, true) {
            first(event, pass, now, log);
        } else if levels && pass.feed.is_none() && !pass.cycle {
            over_stock(event, pass, now, log);
        }
        if pass.feed.is_none() {
            through(event, pass, now, log);
        } else if somewhere_in_stock(pass, now) {
            fed_somewhere(event, pass, now, log);
        }
    }
}

/// The first motion in x or y, from nobody knows where.
fn first(event: &Event, pass: &Pass, now: &Progress, log: &mut Log) {
    let spot = |kind| spot(Interlock::SafeHeight, kind, event.line, now.place());
    let help = "rise to safe height in Z alone first";
    if !pass.known_before[2] {
        // After a move to a point of the machine the height is that of the machine.
        if !now.away {
            log.refuse(spot("unknown"), |_| {
                say("the first motion in x or y starts at an unknown height", help)
            });
        }
        return;
    }
    let low = pass.stroke.bounds().min.z;
    if low <= now.scene.top + NOISE {
        log.refuse(spot("first"), |log| {
            let (low, top) = (log.mm(low), log.mm(now.scene.top));
            say(
                format!("the first motion in x or y runs at z {low}, and the stock's top is {top}"),
                help,
            )
        });
    } else if low < now.scene.safe - NOISE {
        log.caution(spot("first-low"), |log| {
            let (low, safe) = (log.mm(low), log.mm(now.scene.safe));
            say(
                format!("the first motion in x or y runs at z {low}, below safe height ({safe})"),
                help,
            )
        });
    }
}

/// Whether a move ends below the stock's top, at nobody knows what place.
fn somewhere_in_stock(pass: &Pass, now: &Progress) -> bool {
    pass.known[2] && !pass.placed() && pass.stroke.to.z < now.scene.top - NOISE
}

/// A feed into the stock, at nobody knows what place: nothing can be said of what it cuts.
fn fed_somewhere(event: &Event, pass: &Pass, now: &Progress, log: &mut Log) {
    log.refuse(spot(Interlock::SafeHeight, "somewhere", event.line, None), |log| {
        let (low, top) = (log.mm(pass.stroke.to.z), log.mm(now.scene.top));
        say(
            format!(
                "it feeds down to z {low}, below the stock's top ({top}), before x and y are known"
            ),
            "go to a known x and y at safe height first",
        )
    });
}

/// A traverse across the stock, above it but below safe height.
fn over_stock(event: &Event, pass: &Pass, now: &Progress, log: &mut Log) {
    if !pass.placed() || pass.touch.inside {
        return;
    }
    let below = now.scene.safe - NOISE;
    let low = pass.stroke.bounds().min.z;
    if low >= below {
        return;
    }
    let near = now.scene.plan().is_none_or(|(min, max)| {
        near::distance_below(&pass.stroke, min, max, below)
            .is_some_and(|distance| distance < now.body.radius.max(NOISE))
    });
    if near {
        log.caution(spot(Interlock::SafeHeight, "low", event.line, now.place()), |log| {
            let (low, safe) = (log.mm(low), log.mm(now.scene.safe));
            say(
                format!("it traverses across the stock at z {low}, below safe height ({safe})"),
                "retract to safe height between cuts",
            )
        });
    }
}

/// A traverse below the top.
fn through(event: &Event, pass: &Pass, now: &Progress, log: &mut Log) {
    let spot = |kind, at| spot(Interlock::TraverseClear, kind, event.line, at);
    if let Some(wood) = pass.touch.collides {
        log.refuse(spot("wood", Some(wood.at)), |log| {
            let (z, height) = (log.mm(wood.at.z), log.mm(wood.height));
            say(
                format!("it traverses at z {z} into wood that stands {height} above the tip"),
                "retract above the stock first, or feed",
            )
        });
    } else if pass.touch.inside && !pass.goes_level() && pass.down() > NOISE && !pass.cycle {
        log.caution(spot("down", now.place()), |log| {
            let (low, top) = (log.mm(pass.stroke.to.z), log.mm(now.scene.top));
            say(
                format!(
                    "it traverses down to z {low}, below the stock's top ({top}), where wood is cut away"
                ),
                "feed from the stock's top down",
            )
        });
    } else if pass.touch.inside && pass.goes_level() {
        log.caution(spot("cut-away", now.place()), |log| {
            let (low, top) = (log.mm(pass.stroke.bounds().min.z), log.mm(now.scene.top));
            say(
                format!(
                    "it traverses at z {low}, below the stock's top ({top}), where wood is cut away"
                ),
                "retract above the stock between cuts",
            )
        });
    } else if somewhere_in_stock(pass, now) {
        log.refuse(spot("unplaced", None), |log| {
            let (low, top) = (log.mm(pass.stroke.to.z), log.mm(now.scene.top));
            say(
                format!("it traverses down to z {low}, below the stock's top ({top}), before x and y are known"),
                "go to a known x and y at safe height first",
            )
        });
    }
}
