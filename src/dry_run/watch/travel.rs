//! Travel of the axes, and moves to points of the machine.

use super::{Watch, say};
use crate::dry_run::interlock::Interlock;
use crate::dry_run::log::{Log, spot};
use crate::dry_run::pass::Pass;
use crate::dry_run::progress::Progress;
use crate::dry_run::touch::NOISE;
use crate::geometry::Point3;
use crate::ngc::Event;

/// Axes whose size of travel was already found too great.
#[derive(Default)]
pub(super) struct Travel {
    too_long: [bool; 3],
    /// The same with the work's zero, where the cutter was touched off.
    too_far: [bool; 3],
}

const AXES: [&str; 3] = ["x", "y", "z"];

fn list(p: Point3) -> [f64; 3] {
    [p.x, p.y, p.z]
}

impl Watch for Travel {
    fn see(&mut self, event: &Event, now: &Progress, log: &mut Log) {
        let Some(pass) = &now.pass else { return };
        if pass.machine && !pass.placed() {
            machine_move(event, pass, now, log);
        }
        match now.scene.zero() {
            Some(zero) => within(event, pass, zero, now, log),
            None => self.size(event, now, log),
        }
    }
}

/// Every point against the travel.
fn within(event: &Event, pass: &Pass, zero: Point3, now: &Progress, log: &mut Log) {
    let bounds = pass.stroke.bounds();
    let least = now.scene.setup.travel_least;
    let (low, high) = (list(bounds.min + zero - least), list(bounds.max + zero - least));
    let travel = list(now.scene.travel());
    for axis in 0..3 {
        if !pass.known[axis] || (low[axis] >= -NOISE && high[axis] <= travel[axis] + NOISE) {
            continue;
        }
        let beyond = (-low[axis]).max(high[axis] - travel[axis]);
        log.refuse(spot(Interlock::Travel, AXES[axis], event.line, now.place()), |log| {
            say(
                format!(
                    "{} goes {} beyond its travel of {}",
                    AXES[axis],
                    log.mm(beyond),
                    log.mm(travel[axis])
                ),
                "move the stock or the work zero, or turn the part",
            )
        });
    }
}

impl Travel {
    /// Without a known zero: whether the whole can fit at all.
    fn size(&mut self, event: &Event, now: &Progress, log: &mut Log) {
        let space = now.travelled();
        if space.is_empty() {
            return;
        }
        let (size, travel) = (list(space.size()), list(now.scene.travel()));
        let (low, high) = (list(space.min), list(space.max));
        for axis in 0..2 {
            let far = high[axis].max(0.0) - low[axis].min(0.0);
            let fits = size[axis] <= travel[axis] + NOISE;
            if far <= travel[axis] + NOISE || !fits || self.too_far[axis] {
                continue;
            }
            self.too_far[axis] = true;
            log.caution(spot(Interlock::Travel, "zero", event.line, now.place()), |log| {
                say(
                    format!(
                        "from the work zero up to here {} spans {}, more than its travel of {}: the cutter can not be touched off there",
                        AXES[axis],
                        log.mm(far),
                        log.mm(travel[axis])
                    ),
                    "put the work zero nearer to the cuts, or check the units",
                )
            });
        }
        for axis in 0..3 {
            if size[axis] <= travel[axis] + NOISE || self.too_long[axis] {
                continue;
            }
            self.too_long[axis] = true;
            log.refuse(spot(Interlock::Travel, AXES[axis], event.line, now.place()), |log| {
                say(
                    format!(
                        "up to here {} spans {}, more than its travel of {}",
                        AXES[axis],
                        log.mm(size[axis]),
                        log.mm(travel[axis])
                    ),
                    "check the units, or cut the part in two setups",
                )
            });
        }
    }
}

/// A move to a point of the machine that is not known in work coordinates.
fn machine_move(event: &Event, pass: &Pass, now: &Progress, log: &mut Log) {
    let interlock = Interlock::MachineMoves;
    log.not_judged(
        interlock,
        "where the machine's own points lie in work coordinates is not known",
    );
    let spot = |kind| spot(interlock, kind, event.line, Some(now.at));
    let level = pass.machine_levels();
    let known_height = now.known[2];
    if now.in_stock && level {
        log.refuse(spot("drag"), |_| {
            say(
                "it leaves for a point of the machine sideways, with the cutter in the stock",
                "retract to safe height first",
            )
        });
    } else if now.in_stock {
        log.caution(spot("up"), |_| {
            say(
                "it leaves the stock for a height of the machine that is not known here; up is assumed",
                "retract in work coordinates first",
            )
        });
    } else if known_height && level && now.at.z < now.scene.safe - NOISE {
        log.caution(spot("low"), |log| {
            say(
                format!(
                    "it leaves for a point of the machine from z {}, below safe height ({})",
                    log.mm(now.at.z),
                    log.mm(now.scene.safe)
                ),
                "retract to safe height first",
            )
        });
    }
}
