//! A groove as wide as its cutter, along a line, an arc or a chain of them.

use super::levels::levels;
use super::pen::Pen;
use super::profile::Profile;
use super::track::Track;
use crate::geometry::{Contour, Piece};
use crate::shop::CuttingData;
use crate::toolpath::Purpose;

/// Cuts along `middle` from `top` down to `bottom`, from and to travel height.
pub(super) fn cut(pen: &mut Pen<'_>, data: &CuttingData, middle: &Piece, top: f64, bottom: f64) {
    cut_from(pen, data, &[*middle], (top, bottom), top);
}

/// Cuts along pieces that follow one another from height `from` down to `to`, where wood above
/// `from` is gone. Each level is reached by a ramp to and fro along the groove, then cleaned out
/// to both ends.
pub(super) fn cut_from(
    pen: &mut Pen<'_>,
    data: &CuttingData,
    middle: &[Piece],
    (from, to): (f64, f64),
    top: f64,
) {
    let there = Track::new(&Contour::from_pieces(middle, false));
    let back = there.reversed_open();
    let length = there.length();
    pen.approach(there.start());
    pen.plunge(top.max(from));
    pen.plunge(from);
    let mut above = from;
    for z in levels(from, to, data.stepdown.value) {
        let slope = data.ramp_angle.value.tan();
        let (mut place, mut height, mut forward) = (0.0, above, true);
        while height > z + 1e-9 {
            // Places count along the way that is being gone.
            let run = ((height - z) / slope).min(length - place);
            let lower = (height - run * slope).max(z);
            let track = if forward { &there } else { &back };
            let ramp = Profile::through(vec![(place, height), (place + run, lower)]);
            pen.follow_open(track, (place, place + run), &ramp, Purpose::Entry);
            height = lower;
            place += run;
            if height > z + 1e-9 {
                (place, forward) = (length - place, !forward);
            }
        }
        // From where the ramp ends on to that end, all the way back, and home: the level is clean,
        // and the next begins where this one did.
        let purpose = if z <= to + 1e-9 { Purpose::Finish } else { Purpose::Rough };
        let level = Profile::level(z);
        let (one, other) = if forward { (&there, &back) } else { (&back, &there) };
        pen.follow_open(one, (place, length), &level, purpose);
        pen.follow_open(other, (0.0, length), &level, purpose);
        if !forward {
            pen.follow_open(one, (0.0, length), &level, purpose);
        }
        above = z;
    }
    pen.retract();
}
