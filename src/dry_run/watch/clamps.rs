//! Clamps and whatever else is in the way.

use super::{Watch, say};
use crate::dry_run::interlock::Interlock;
use crate::dry_run::log::{Log, spot};
use crate::dry_run::near::{self, Turned};
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
            meet(event, (pass, &bounds), clamp, now, log);
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

/// Whether boxes come within `reach` of each other in plan, and what runs `above` the stroke
/// comes below the clamp's top.
fn may_meet(stroke: &Box3, above: f64, clamp: &Box3, reach: f64) -> bool {
    stroke.min.z + above < clamp.max.z
        && stroke.min.x < clamp.max.x + reach
        && stroke.max.x > clamp.min.x - reach
        && stroke.min.y < clamp.max.y + reach
        && stroke.max.y > clamp.min.y - reach
}

fn meet(
    event: &Event,
    (pass, bounds): (&Pass, &Box3),
    clamp: &Keepout,
    now: &Progress,
    log: &mut Log,
) {
    let plan = (clamp.space.min.xy(), clamp.space.max.xy());
    let top = clamp.space.max.z;
    let body = now.body;
    // How deep a solid of this radius and lower surface, its lowest so far above the tip, goes
    // into the clamp. Most passes are nowhere near: their boxes tell.
    let depth = |radius: f64, above: f64, rise: &dyn Fn(f64) -> f64| {
        if !may_meet(bounds, above, &clamp.space, radius) {
            return None;
        }
        let low = near::lowest_over(&pass.stroke, plan, &Turned { radius, rise })?;
        (low < top - EPSILON).then_some(top - low)
    };
    let cutter = depth(body.radius, 0.0, &|distance| body.rise(distance));
    let holder = || depth(body.holder_radius, body.stick_out, &|_| body.stick_out);
    let found = cutter.map(|depth| ("cutter", depth)).or_else(|| holder().map(|d| ("holder", d)));
    let Some((what, depth)) = found else { return };
    log.refuse(spot(Interlock::ClampsClear, what, event.line, now.place()), |log| {
        let (name, top, depth) = (&clamp.name, log.mm(top), log.mm(depth));
        say(
            format!("the {what} runs {depth} deep into {name}, whose top is z {top}"),
            "move the clamp, or retract above it",
        )
    });
}
