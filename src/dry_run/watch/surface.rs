//! The finished surface against the one that is wanted.

use super::say;
use crate::dry_run::interlock::Interlock;
use crate::dry_run::log::{Log, spot};
use crate::dry_run::scene::Scene;
use crate::dry_run::surface::{self, Read, Surface, Wanted, blame, judge};
use crate::geometry::{Band, HeightField, Point};
use crate::ngc::Source;

/// After the last event: what is left, judged. Without a wanted surface the part's outline
/// stands for one, whose inside must not be cut; the outline's own interlock refuses then.
///
/// # Errors
/// If the text can not be read.
pub(in crate::dry_run) fn report<S: Source + ?Sized>(
    text: &Read<S>,
    scene: &Scene,
    field: Option<&HeightField>,
    log: &mut Log,
) -> Result<Option<Surface>, S::Error> {
    let interlock = Interlock::SurfaceKept;
    let Some(field) = field else {
        log.not_judged(interlock, "no stock was given");
        return Ok(None);
    };
    let Some(wanted) = &scene.setup.wanted else {
        log.not_judged(interlock, "the setup gives no wanted surface");
        let Some(part) = scene.setup.part.as_ref() else { return Ok(None) };
        let whole = Band { low: scene.top, high: f64::INFINITY };
        let heights = |p: Point| part.outline.contains(p).then_some(whole);
        let tolerance = part.clearance;
        let wanted =
            Wanted { heights: &heights, tolerance, finished: false, leftover: f64::INFINITY };
        return Ok(Some(judge(field, scene, &wanted).0));
    };
    let (surface, gouges) = judge(field, scene, wanted);
    let lines = blame(text, scene, &gouges, wanted.tolerance)?;
    for (gouge, line) in gouges.iter().zip(lines) {
        let at = surface::place(gouge);
        log.refuse(spot(interlock, "gouge", line, Some(at)), |log| {
            say(
                format!(
                    "the surface is gouged: {} lower than wanted, and {} are allowed",
                    log.bound(gouge.depth),
                    log.bound(wanted.tolerance)
                ),
                "check the cutter, its depth and the work zero",
            )
        });
    }
    if let Some(left) = surface.leftover.filter(|left| left.depth > wanted.leftover) {
        let at = surface::place(&left);
        log.caution(spot(interlock, "left", text.last, Some(at)), |log| {
            say(
                format!("wood is left: {} higher than wanted", log.mm(left.depth)),
                "cut closer, or finish by hand",
            )
        });
    }
    Ok(Some(surface))
}
