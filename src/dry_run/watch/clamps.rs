//! Clamps and whatever else is in the way.

use super::{Watch, say};
use crate::dry_run::interlock::Interlock;
use crate::dry_run::log::{Log, spot};
use crate::dry_run::near;
use crate::dry_run::pass::Pass;
use crate::dry_run::progress::Progress;
use crate::dry_run::scene::Scene;
use crate::dry_run::setup::Keepout;
use crate::geometry::{Box3, EPSILON};
use crate::ngc::Event;

/// Keeps only whether there are any.
pub(super) struct Clamps {
    any: bool,
}

impl Clamps {
    pub(super) fn new(scene: &Scene) -> Clamps {
        Clamps { any: !scene.setup.clamps.is_empty() }
    }
}

impl Watch for Clamps {
    fn see(&mut self, event: &Event, now: &Progress, log: &mut Log) {
        let Some(pass) = now.pass.as_ref().filter(|p| p.placed()) else { return };
        if !self.any {
            return;
        }
        let bounds = pass.stroke.bounds();
        for clamp in &now.scene.setup.clamps {
            if may_meet(&bounds, &clamp.space, now.body.radius.max(now.body.holder_radius)) {
                meet(event, pass, clamp, now, log);
            }
        }
    }

    fn end(&mut self, now: &Progress, log: &mut Log) {
        if !self.any {
            log.not_judged(Interlock::ClampsClear, "the setup names no clamps");
        } else if now.fed && now.cutter.is_none() {
            log.not_judged(
                Interlock::ClampsClear,
                "cutter and holder are not known: only the axis was judged",
            );
        }
    }
}

/// Whether boxes come within `reach` of each other in plan, and the stroke below the clamp's
/// top.
fn may_meet(stroke: &Box3, clamp: &Box3, reach: f64) -> bool {
    stroke.min.z < clamp.max.z
        && stroke.min.x < clamp.max.x + reach
        && stroke.max.x > clamp.min.x - reach
        && stroke.min.y < clamp.max.y + reach
        && stroke.max.y > clamp.min.y - reach
}

fn meet(event: &Event, pass: &Pass, clamp: &Keepout, now: &Progress, log: &mut Log) {
    let (min, max) = (clamp.space.min.xy(), clamp.space.max.xy());
    let meets = |radius: f64, height: f64| {
        near::distance_below(&pass.stroke, min, max, height)
            // Touching is not meeting; the axis alone may not even touch.
            .is_some_and(|distance| distance < radius - EPSILON || distance == 0.0)
    };
    let top = clamp.space.max.z;
    let spot = |kind| spot(Interlock::ClampsClear, kind, event.line, now.place());
    let help = "move the clamp, or retract above it";
    if meets(now.body.radius, top) {
        log.refuse(spot("cutter"), |log| {
            say(
                format!("the cutter runs into {}, whose top is z {}", clamp.name, log.mm(top)),
                help,
            )
        });
    } else if meets(now.body.holder_radius, top - now.body.stick_out) {
        log.refuse(spot("holder"), |log| {
            say(
                format!("the holder runs into {}, whose top is z {}", clamp.name, log.mm(top)),
                help,
            )
        });
    }
}
