//! What each axis of the machine can follow.

use crate::geometry::Stroke;
use crate::shop::Machine;

/// The greatest feed up to `wanted` that no axis limit forbids along the stroke, mm/min.
///
/// An arc passes through every direction of its sweep; its ends and middle stand for it, and the
/// slower of x and y for the whole, if it turns much.
pub(super) fn within_axes(machine: &Machine, wanted: f64, stroke: &Stroke) -> f64 {
    let limit = machine.max_feed.map(|f| f.0);
    let mut feed = wanted;
    for share in [0.0, 0.5, 1.0] {
        let d = stroke.direction(share);
        for (part, most) in [(d.x, limit[0]), (d.y, limit[1]), (d.z, limit[2])] {
            if part.abs() > 1e-9 {
                feed = feed.min(most / part.abs());
            }
        }
    }
    if stroke.arc.is_some_and(|a| a.sweep.abs() > 0.5) {
        feed = feed.min(limit[0]).min(limit[1]);
    }
    feed
}
