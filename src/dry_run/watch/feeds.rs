//! Feeds: stated, within the axes, within the species.

use super::{Watch, say};
use crate::dry_run::interlock::Interlock;
use crate::dry_run::log::{Log, spot};
use crate::dry_run::pass::{Pass, axis_shares};
use crate::dry_run::progress::Progress;
use crate::ngc::Event;
use crate::shop::{CutterShape, CuttingData};

/// What rounding of a printed feed may add: 1 %.
pub(super) const ROUNDING: f64 = 1.01;

/// Below this share of the feed that was found a cutter rubs and burns (common practice: chips
/// too thin).
const BURNS: f64 = 0.2;

/// Cutters whose missing figures were told.
#[derive(Default)]
pub(super) struct Feeds {
    told: Vec<Option<u32>>,
}

impl Watch for Feeds {
    fn see(&mut self, event: &Event, now: &Progress, log: &mut Log) {
        let Some(pass) = &now.pass else { return };
        let Some(feed) = pass.feed else { return };
        if !(feed.is_finite() && feed > 0.0) {
            log.refuse(spot(Interlock::FeedStated, "none", event.line, now.place()), |_| {
                say("it cuts with no feed in force", "write F on the first cut")
            });
            return;
        }
        axes(event, pass, feed, now, log);
        if pass.touch.cut {
            self.unjudged(event, now, log);
        }
        // How fast it may go straight down is the business of plunges.
        let drill = now.cutter.is_some_and(|c| c.shape == CutterShape::Drill);
        if !pass.touch.inside || pass.upright() && !drill {
            return;
        }
        match now.limits {
            Some(limits) if pass.upright() => {
                slow(event, pass, (feed, limits.plunge.value), limits, now, log);
            }
            Some(limits) => species(event, pass, feed, limits, now, log),
            None => log.not_judged(Interlock::FeedWithinSpecies, &no_figures(now)),
        }
    }
}

impl Feeds {
    /// It cuts without figures where other cutters have them.
    fn unjudged(&mut self, event: &Event, now: &Progress, log: &mut Log) {
        let others = !now.scene.setup.limits.is_empty();
        if now.limits.is_some() || !others || self.told.contains(&now.number) {
            return;
        }
        self.told.push(now.number);
        log.caution(
            spot(Interlock::FeedWithinSpecies, "no-figures", event.line, now.place()),
            |_| {
                say(
                    format!(
                        "{}: feed, depth, plunge and ramp of its cuts are not judged",
                        no_figures(now)
                    ),
                    "name the cutter in the job, or check its cuts by hand",
                )
            },
        );
    }
}

/// Why limits by species are missing.
pub(super) fn no_figures(now: &Progress) -> String {
    match now.number {
        Some(number) => format!("no figures were given for cutter {number}"),
        None => "the cutter is not known".to_string(),
    }
}

fn axes(event: &Event, pass: &Pass, feed: f64, now: &Progress, log: &mut Log) {
    let shares = axis_shares(&pass.stroke);
    let limits = now.scene.setup.machine.max_feed;
    let axes =
        [("x", shares.x, limits[0].0), ("y", shares.y, limits[1].0), ("z", shares.z, limits[2].0)];
    for (name, share, limit) in axes {
        if share * feed > limit * ROUNDING {
            log.refuse(spot(Interlock::FeedWithinAxes, name, event.line, now.place()), |log| {
                let (asked, limit) = (log.feed(share * feed), log.feed(limit));
                say(
                    format!("{name} is asked to feed at {asked}, and its limit is {limit}"),
                    "lower F",
                )
            });
        }
    }
}

fn species(
    event: &Event,
    pass: &Pass,
    feed: f64,
    limits: &CuttingData,
    now: &Progress,
    log: &mut Log,
) {
    // The chip grows where the spindle turns slower than the figures assume.
    let rpm = now.spindle.and_then(|t| t.rpm).unwrap_or(limits.rpm.value);
    let slower = if limits.rpm.value > 0.0 { (rpm / limits.rpm.value).min(1.0) } else { 1.0 };
    let allowed = limits.feed.value * slower;
    let spot = |kind| spot(Interlock::FeedWithinSpecies, kind, event.line, now.place());
    if feed > allowed * ROUNDING {
        log.refuse(spot("fast"), |log| {
            let why = match slower < 1.0 / ROUNDING {
                true => format!(" at {rpm:.0} rpm"),
                false => String::new(),
            };
            say(
                format!(
                    "cutter {} feeds at {} in {}, and its limit there is {}{why} ({})",
                    limits.cutter,
                    log.feed(feed),
                    limits.material,
                    log.feed(allowed),
                    limits.feed.by
                ),
                "lower F, or overrule the feed in the shop or job file",
            )
        });
    } else if pass.down() <= 0.0 {
        slow(event, pass, (feed, allowed), limits, now, log);
    }
}

/// Far less than the feed that was found.
fn slow(
    event: &Event,
    pass: &Pass,
    (feed, found): (f64, f64),
    limits: &CuttingData,
    now: &Progress,
    log: &mut Log,
) {
    if feed >= found * BURNS || !pass.touch.cut {
        return;
    }
    log.caution(spot(Interlock::FeedWithinSpecies, "slow", event.line, now.place()), |log| {
        say(
            format!(
                "cutter {} feeds at {} in {}, less than a fifth of the {} found: it rubs and burns",
                limits.cutter,
                log.feed(feed),
                limits.material,
                log.feed(found)
            ),
            "check the units of F",
        )
    });
}
