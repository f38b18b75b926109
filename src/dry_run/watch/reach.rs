//! Whether the program cuts the stock at all.

use super::{Watch, say};
use crate::dry_run::interlock::Interlock;
use crate::dry_run::log::{Log, spot};
use crate::dry_run::near;
use crate::dry_run::progress::Progress;
use crate::dry_run::touch::NOISE;
use crate::geometry::{Point3, Stroke};
use crate::ngc::Event;
use crate::shop::Cutter;

/// A feed above the stock longer than this, mm, is no approach.
const LONG: f64 = 10.0;

/// A feed that climbs by more than this, mm, from above the stock cuts nothing: rounding aside.
const CLIMB: f64 = 0.05;

/// How far a feed may run beyond the stock, mm, and as so many widths of the cutter: approaches
/// from beside and overruns stay well within it.
const BESIDE: f64 = 40.0;
const WIDTHS: f64 = 2.0;

/// Below the stock's top, beside it: more of the way than this share, and this long, mm, is no
/// approach.
const ASTRAY: f64 = 1.0 / 3.0;
const FAR: f64 = 50.0;

/// The four sides of the stock, as the operator sees them.
const SIDES: [&str; 4] = ["left of", "right of", "in front of", "behind"];

/// A hole of a canned cycle over the stock, and how low its feeds went: pecks may end in the air.
struct Hole {
    line: usize,
    at: Point3,
    low: f64,
}

/// Whether anything was cut.
#[derive(Default)]
pub(super) struct Reach {
    cut: bool,
    hole: Option<Hole>,
    /// Way of feed below the stock's top, mm.
    low: f64,
    /// As much of it as runs beside the stock.
    astray: f64,
}

impl Reach {
    /// A hole that is done with and never came down to the stock.
    fn leave_hole(&mut self, now: &Progress, log: &mut Log) {
        let Some(hole) = self.hole.take().filter(|h| h.low > now.scene.top + NOISE) else { return };
        log.caution(spot(Interlock::Reach, "hole", hole.line, Some(hole.at)), |log| {
            let above = log.mm(hole.low - now.scene.top);
            say(
                format!("the cycle's hole ends {above} above the stock, and cuts nothing"),
                "check the signs of Z and R, and whether they are meant as increments (G91)",
            )
        });
    }

    /// Much of the feed below the top that meets no stock: the work zero, most likely.
    fn tell_astray(&self, now: &Progress, log: &mut Log) {
        if self.astray <= FAR.max(ASTRAY * self.low) {
            return;
        }
        log.caution(spot(Interlock::Reach, "astray", now.line.max(1), None), |log| {
            let (astray, low) = (log.mm(self.astray), log.mm(self.low));
            say(
                format!("of {low} of feed below the stock's top {astray} run beside the stock"),
                "check that the work zero is where the program has it, and the stock's size",
            )
        });
    }

    /// Takes note of a cycle's feed over the stock.
    fn see_hole(&mut self, line: usize, at: Point3, low: f64, now: &Progress, log: &mut Log) {
        match &mut self.hole {
            Some(hole) if hole.line == line && hole.at.xy().distance(at.xy()) < NOISE => {
                hole.low = hole.low.min(low);
            }
            _ => {
                self.leave_hole(now, log);
                self.hole = Some(Hole { line, at, low });
            }
        }
    }
}

/// Feeds that run far out of the stock: an arc the long way round, axes changed about, a zero
/// that is not the setup's.
fn beside(event: &Event, now: &Progress, log: &mut Log) {
    let (Some(pass), Some((min, max))) = (&now.pass, now.scene.plan()) else { return };
    let way = pass.stroke.bounds();
    let out = [min.x - way.min.x, way.max.x - max.x, min.y - way.min.y, way.max.y - max.y];
    let far = out.into_iter().zip(SIDES).max_by(|a, b| a.0.total_cmp(&b.0));
    let room = now.cutter.map_or(BESIDE, |c| BESIDE.max(WIDTHS * c.diameter.0));
    let Some((out, side)) = far.filter(|(out, _)| *out > room) else { return };
    log.caution(spot(Interlock::Reach, "beside", event.line, now.place()), |log| {
        say(
            format!("it feeds as far as {} {side} the stock", log.mm(out)),
            "check the work zero, the stock and the senses of arcs, or traverse",
        )
    });
}

/// Share of a feed along which the cutter does not come over the stock, to a sixteenth.
fn share_beside(stroke: &Stroke, now: &Progress) -> f64 {
    const LOOKS: usize = 16;
    let Some((min, max)) = now.scene.plan() else { return 0.0 };
    let rim = now.cutter.map_or(0.0, Cutter::radius);
    let beside = |p: Point3| {
        p.x < min.x - rim || p.x > max.x + rim || p.y < min.y - rim || p.y > max.y + rim
    };
    let bounds = stroke.bounds();
    if !beside(bounds.min) && !beside(bounds.max) {
        return 0.0;
    }
    let looks = (0..LOOKS).map(|i| stroke.at((i as f64 + 0.5) / LOOKS as f64));
    looks.filter(|p| beside(*p)).count() as f64 / LOOKS as f64
}

impl Watch for Reach {
    fn see(&mut self, event: &Event, now: &Progress, log: &mut Log) {
        let Some(pass) = now.pass.as_ref().filter(|p| p.feed.is_some()) else { return };
        self.cut |= pass.touch.cut;
        let low = pass.stroke.bounds().min.z;
        let over = |stroke: &Stroke| {
            now.scene.plan().is_some_and(|(min, max)| {
                near::distance_below(stroke, min, max, f64::INFINITY) == Some(0.0)
            })
        };
        if pass.cycle && pass.placed() && over(&pass.stroke) {
            self.see_hole(event.line, pass.stroke.to, low, now, log);
        } else {
            self.leave_hole(now, log);
        }
        if !pass.placed() {
            return;
        }
        beside(event, now, log);
        if low < now.scene.top - NOISE {
            let way = pass.stroke.length();
            self.low += way;
            self.astray += way * share_beside(&pass.stroke, now);
        }
        let climbs = pass.stroke.from.z >= now.scene.top - NOISE && pass.down() < -CLIMB;
        if climbs && !pass.cycle && over(&pass.stroke) {
            log.caution(spot(Interlock::Reach, "climb", event.line, now.place()), |log| {
                let above = log.mm(pass.stroke.to.z - now.scene.top);
                say(
                    format!("it feeds upwards, to {above} above the stock, and cuts nothing"),
                    "check the sign of Z, or lift without a feed (G0)",
                )
            });
        } else if pass.level >= LONG && low > now.scene.top + NOISE && over(&pass.stroke) {
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
        self.leave_hole(now, log);
        if self.cut {
            self.tell_astray(now, log);
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
