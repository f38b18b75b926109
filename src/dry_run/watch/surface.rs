//! The finished surface against the one that is wanted.

use super::say;
use crate::dry_run::interlock::Interlock;
use crate::dry_run::log::{Log, spot};
use crate::dry_run::scene::Scene;
use crate::dry_run::surface::{self, Surface, Wanted, blame, judge};
use crate::geometry::{Band, HeightField, Point};

/// After the last event: what is left, judged. Without a wanted surface the part's outline
/// stands for one, whose inside must not be cut; the outline's own interlock refuses then.
pub(in crate::dry_run) fn report(
    text: &str,
    scene: &Scene,
    skipping: bool,
    field: Option<&HeightField>,
    log: &mut Log,
) -> Option<Surface> {
    let interlock = Interlock::SurfaceKept;
    let Some(field) = field else {
        log.not_judged(interlock, "no stock was given");
        return None;
    };
    let Some(wanted) = &scene.setup.wanted else {
        log.not_judged(interlock, "the setup gives no wanted surface");
        let part = scene.setup.part.as_ref()?;
        let whole = Band { low: scene.top, high: f64::INFINITY };
        let heights = |p: Point| part.outline.contains(p).then_some(whole);
        let tolerance = part.clearance;
        let wanted =
            Wanted { heights: &heights, tolerance, finished: false, leftover: f64::INFINITY };
        return Some(judge(field, scene, &wanted).0);
    };
    let (surface, gouges) = judge(field, scene, wanted);
    for gouge in &gouges {
        let at = surface::place(gouge);
        // What stands there afterwards is known to rounding.
        let level = at.z + gouge.depth - wanted.tolerance;
        let line = blame(text, scene, skipping, at.xy(), level);
        log.refuse(spot(interlock, "gouge", line, Some(at)), |log| {
            say(
                format!(
                    "the surface is gouged: {} lower than wanted, and {} are allowed",
                    log.mm(gouge.depth),
                    log.mm(wanted.tolerance)
                ),
                "check the cutter, its depth and the work zero",
            )
        });
    }
    if let Some(left) = surface.leftover.filter(|left| left.depth > wanted.leftover) {
        let at = surface::place(&left);
        let last = text.lines().count().max(1);
        log.caution(spot(interlock, "left", last, Some(at)), |log| {
            say(
                format!("wood is left: {} higher than wanted", log.mm(left.depth)),
                "cut closer, or finish by hand",
            )
        });
    }
    Some(surface)
}
