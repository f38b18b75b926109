//! A groove as wide as its cutter, along a line or an arc.

use super::levels::levels;
use super::pen::Pen;
use crate::geometry::Piece;
use crate::shop::CuttingData;
use crate::toolpath::Purpose;

/// Cuts along `middle` from `top` down to `bottom`, from and to travel height. Each level is
/// reached by a ramp to and fro along the groove, then cleaned out to both ends.
pub(super) fn cut(pen: &mut Pen<'_>, data: &CuttingData, middle: &Piece, top: f64, bottom: f64) {
    pen.approach(middle.from);
    pen.plunge(top);
    let length = middle.length();
    let mut above = top;
    for z in levels(top, bottom, data.stepdown.value) {
        let slope = data.ramp_angle.value.tan();
        let mut place = 0.0;
        let mut forward = true;
        let mut height = above;
        while height > z + 1e-9 {
            let room = if forward { length - place } else { place };
            let run = ((height - z) / slope).min(room);
            let lower = (height - run * slope).max(z);
            let to = if forward { place + run } else { place - run };
            go(pen, middle, Purpose::Entry, (place, to), (height, lower));
            (place, height) = (to, lower);
            forward = !forward;
        }
        // From where the ramp ends to the far end and all the way back: the level is clean, and
        // the next begins where this one did.
        let purpose = if z <= bottom + 1e-9 { Purpose::Finish } else { Purpose::Rough };
        go(pen, middle, purpose, (place, length), (z, z));
        go(pen, middle, purpose, (length, 0.0), (z, z));
        above = z;
    }
    pen.retract();
}

/// Along the piece from one length of it to another.
fn go(pen: &mut Pen<'_>, piece: &Piece, purpose: Purpose, (from, to): (f64, f64), z: (f64, f64)) {
    let length = piece.length();
    if (from - to).abs() < 1e-7 {
        return;
    }
    let part = match from < to {
        true => piece.part(from / length, to / length),
        false => piece.part(to / length, from / length).reversed(),
    };
    pen.stroke(purpose, &part, z.0, z.1);
}
