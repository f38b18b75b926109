//! What each axis of the machine can follow.

use crate::geometry::Stroke;
use crate::shop::Machine;

/// A dialect may write an arc as chords, which climb the same in less length. No chord of a
/// quarter turn or less is shorter than 0.9 of its arc (sin 45° / (pi / 4)).
const CHORD: f64 = 0.9;

/// Strokes shorter than this, mm, are another stroke after rounding.
const SHORT: f64 = 1.0;
/// How far rounding may move the ends of a stroke against each other, mm: by the last digit of a
/// program in inches, 0.0001 in.
const ROUNDING: f64 = 0.003;

/// The greatest feed up to `wanted` that no axis limit forbids along the stroke, mm/min.
///
/// An arc passes through every direction of its sweep; its ends and middle stand for it, and the
/// slower of x and y for the whole, if it turns much.
pub(super) fn within_axes(machine: &Machine, wanted: f64, stroke: &Stroke) -> f64 {
    let limit = machine.max_feed.map(|f| f.0);
    let length = stroke.length();
    // Of a short stroke, rounding turns more into climb than there was.
    let slack = if length < SHORT { 1.0 - (ROUNDING / length).min(0.5) } else { 1.0 };
    let (mut feed, mut climbing) = (wanted, f64::INFINITY);
    for share in [0.0, 0.5, 1.0] {
        let d = stroke.direction(share);
        let climb = if stroke.arc.is_some() { d.z / CHORD } else { d.z };
        for (part, most) in [(d.x, limit[0]), (d.y, limit[1])] {
            if part.abs() > 1e-9 {
                feed = feed.min(most / part.abs());
            }
        }
        if climb.abs() > 1e-9 {
            climbing = climbing.min(limit[2] / climb.abs());
        }
    }
    if feed < wanted {
        feed *= slack;
    }
    feed = feed.min(climbing * slack);
    if stroke.arc.is_some_and(|a| a.sweep.abs() > 0.5) {
        feed = feed.min(limit[0]).min(limit[1]);
    }
    feed
}
