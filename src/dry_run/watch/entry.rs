//! Going down into wood: plunges and ramps.

use super::feeds::{ROUNDING, no_figures};
use super::{Watch, say};
use crate::dry_run::interlock::Interlock;
use crate::dry_run::log::{Log, spot};
use crate::dry_run::progress::Progress;
use crate::ngc::Event;
use crate::shop::CutterShape;

/// Flatter than this, radians (1 degree), a stroke counts as level: a spiral that falls a pass
/// per round is one.
const LEVEL: f64 = 0.017_453_292_519_943_295;

/// Steeper than this, radians (45 degrees), a stroke is a plunge, whatever the ramp limit.
const PLUNGE: f64 = std::f64::consts::FRAC_PI_4;

/// Keeps nothing: every motion stands for itself.
pub(super) struct Entry;

impl Watch for Entry {
    fn see(&mut self, event: &Event, now: &Progress, log: &mut Log) {
        let Some(pass) = &now.pass else { return };
        let Some(feed) = pass.feed.filter(|_| pass.touch.inside) else { return };
        let drill = now.cutter.is_some_and(|c| c.shape == CutterShape::Drill);
        if drill && !pass.upright() && pass.touch.cut {
            log.refuse(spot(Interlock::Plunge, "drill", event.line, now.place()), |_| {
                say(
                    "a drill moves sideways in the stock",
                    "drill straight down, or mill with another cutter",
                )
            });
            return;
        }
        if let Some(slope) = pass.touch.entry {
            enter(event, slope, feed, drill, now, log);
        }
    }
}

fn enter(event: &Event, slope: f64, feed: f64, drill: bool, now: &Progress, log: &mut Log) {
    if now.cutter.is_none() || now.limits.is_none() {
        log.not_judged(Interlock::Plunge, &no_figures(now));
        log.not_judged(Interlock::Ramp, &no_figures(now));
    }
    let Some(cutter) = now.cutter else { return };
    let limit = now.limits.map_or(PLUNGE, |l| l.ramp_angle.value);
    // 2 % of the angle for coordinates rounded to the last digit.
    let steep = slope > (limit * 1.02).max(LEVEL);
    let goes_down = drill || cutter.centre_cutting;
    let spot = |interlock, kind| spot(interlock, kind, event.line, now.place());
    if steep && !goes_down && slope > PLUNGE {
        log.refuse(spot(Interlock::Plunge, "centre"), |_| {
            say(
                format!("{} plunges into wood, and does not cut at its centre", cutter.title()),
                "ramp along the cut, or use a centre-cutting cutter",
            )
        });
    } else if steep && !goes_down {
        log.refuse(spot(Interlock::Ramp, "steep"), |_| {
            say(
                format!(
                    "it ramps into wood at {:.1} degrees, and the limit for {} is {:.1}",
                    slope.to_degrees(),
                    cutter.title(),
                    limit.to_degrees()
                ),
                "ramp over a longer way",
            )
        });
    } else if let Some(limits) = now.limits {
        let (sink, plunge) = (feed * slope.sin(), limits.plunge.value);
        if steep && sink > plunge * ROUNDING {
            log.refuse(spot(Interlock::Plunge, "fast"), |log| {
                say(
                    format!(
                        "cutter {} goes down into wood at {}, and its plunge feed is {} ({})",
                        limits.cutter,
                        log.feed(sink),
                        log.feed(plunge),
                        limits.plunge.by
                    ),
                    "lower F for the plunge, or ramp",
                )
            });
        } else if !steep && slope > LEVEL && feed > limits.ramp_feed.value * ROUNDING {
            log.refuse(spot(Interlock::Ramp, "fast"), |log| {
                say(
                    format!(
                        "cutter {} ramps into wood at {}, and its ramp feed is {} ({})",
                        limits.cutter,
                        log.feed(feed),
                        log.feed(limits.ramp_feed.value),
                        limits.ramp_feed.by
                    ),
                    "lower F for the ramp",
                )
            });
        }
    }
}
