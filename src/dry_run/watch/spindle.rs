//! The spindle: running before contact, the right way, at a speed that all bear, and not
//! stopped in the wood.

use super::{Watch, say};
use crate::dry_run::interlock::Interlock;
use crate::dry_run::log::{Log, spot};
use crate::dry_run::pass::Pass;
use crate::dry_run::progress::{Progress, Turning};
use crate::dry_run::touch::NOISE;
use crate::ngc::{Event, What};
use crate::toolpath::Direction;

/// Half a turn per minute: what rounding of a printed speed can add.
const ROUNDING: f64 = 0.5;

/// Starts that were already judged, by their line.
#[derive(Default)]
pub(super) struct Spindle {
    judged: usize,
    wrong_way: usize,
}

impl Watch for Spindle {
    fn see(&mut self, event: &Event, now: &Progress, log: &mut Log) {
        match event.what {
            What::SpindleStart { direction, rpm } if rpm > 0.0 => {
                way(event, direction, now, log);
                speed(event, rpm, now, log);
            }
            What::SpindleStart { .. } | What::SpindleStop => stops(event, now, log),
            What::Motion(_) => {
                if let Some(pass) = now.pass.as_ref().filter(|pass| contact(pass)) {
                    self.touch(event, pass, now, log);
                }
            }
            _ => {}
        }
    }
}

/// A feed inside the stock, other than straight up.
fn contact(pass: &Pass) -> bool {
    pass.feed.is_some() && pass.touch.inside && !(pass.upright() && pass.down() <= 0.0)
}

impl Spindle {
    fn touch(&mut self, event: &Event, pass: &Pass, now: &Progress, log: &mut Log) {
        let Some(turning) = now.spindle else {
            log.refuse(spot(Interlock::SpindleRunning, "still", event.line, now.place()), |_| {
                say(
                    "the cutter goes into the stock with the spindle stopped",
                    "write M3 with S above zero and a dwell before it",
                )
            });
            return;
        };
        if turning.direction == Direction::CounterClockwise && self.wrong_way != turning.line {
            self.wrong_way = turning.line;
            log.refuse(spot(Interlock::SpindleDirection, "cut", turning.line, None), |_| {
                say(
                    format!(
                        "the spindle is started counter-clockwise, and cuts on line {}",
                        event.line
                    ),
                    "write M3",
                )
            });
        }
        if self.judged != turning.line {
            self.judged = turning.line;
            spun_up(event, pass, turning, now, log);
        }
    }
}

fn spun_up(event: &Event, pass: &Pass, turning: Turning, now: &Progress, log: &mut Log) {
    let needed = now.scene.setup.machine.spindle.spin_up;
    let waited = turning.seconds + time_above(pass, now);
    // A millisecond is less than any controller's step.
    if waited < needed - 1e-3 {
        log.refuse(spot(Interlock::SpindleRunning, "spin-up", event.line, now.place()), |_| {
            say(
                format!(
                    "the cutter touches {waited:.1} s after the spindle was started on line {}, and it needs {needed:.1} s",
                    turning.line
                ),
                format!("write G4 P{needed} after M3"),
            )
        });
    }
}

/// Seconds of a straight stroke before it comes below the stock's top.
fn time_above(pass: &Pass, now: &Progress) -> f64 {
    let (from, to) = (pass.stroke.from.z, pass.stroke.to.z);
    let above = from - now.scene.top;
    let share = if pass.stroke.arc.is_none() && above > 0.0 && from > to {
        above / (from - to)
    } else {
        0.0
    };
    let [x, y, z] = now.scene.setup.machine.rapid;
    share.min(1.0) * pass.least_time([x.0, y.0, z.0])
}

fn way(event: &Event, direction: Direction, now: &Progress, log: &mut Log) {
    let already = now.spindle.is_some_and(|t| t.direction == direction);
    if direction == Direction::CounterClockwise && !already {
        log.caution(spot(Interlock::SpindleDirection, "started", event.line, None), |_| {
            say(
                "the spindle is started counter-clockwise",
                "write M3: router cutters are ground for it",
            )
        });
    }
}

fn speed(event: &Event, rpm: f64, now: &Progress, log: &mut Log) {
    let spot = |kind| spot(Interlock::SpindleSpeed, kind, event.line, None);
    let range = &now.scene.setup.machine.spindle;
    if rpm > range.max_rpm + ROUNDING || rpm < range.min_rpm - ROUNDING {
        log.refuse(spot("range"), |_| {
            say(
                format!(
                    "S{rpm:.0} is outside the spindle's {:.0} to {:.0} rpm",
                    range.min_rpm, range.max_rpm
                ),
                "write a speed within its range",
            )
        });
    }
    let Some(cutter) = now.cutter else {
        log.not_judged(Interlock::SpindleSpeed, "a speed was stated before a cutter was known");
        return;
    };
    if rpm > cutter.max_rpm + ROUNDING {
        log.refuse(spot("mark"), |_| {
            say(
                format!(
                    "S{rpm:.0} is above the {:.0} rpm marked on {}",
                    cutter.max_rpm,
                    cutter.title()
                ),
                "lower S",
            )
        });
        return;
    }
    // 1 % for a figure rounded to what a person would dial.
    if let Some(limit) = now.limits.filter(|l| rpm > l.rpm.value * 1.01 + ROUNDING) {
        log.refuse(spot("species"), |_| {
            say(
                format!(
                    "S{rpm:.0} is above the {:.0} rpm found for {} in {} ({})",
                    limit.rpm.value,
                    cutter.title(),
                    limit.material,
                    limit.rpm.by
                ),
                "lower S, or overrule the speed in the shop or job file",
            )
        });
    }
}

fn stops(event: &Event, now: &Progress, log: &mut Log) {
    if now.spindle.is_some() && now.in_stock && now.at.z < now.scene.top - NOISE {
        log.refuse(spot(Interlock::SpindleStop, "stop", event.line, now.place()), |log| {
            let depth = log.mm(now.scene.top - now.at.z);
            say(
                format!("the spindle stops with the tip {depth} deep in the stock"),
                "retract above the stock before it stops",
            )
        });
    }
}
