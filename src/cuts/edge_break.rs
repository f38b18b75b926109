//! Edges taken off: a chamfer by a V cutter, a roundover by a ball.

use super::groove;
use super::levels::levels;
use super::pen::Pen;
use super::profile::Profile;
use super::track::Track;
use crate::geometry::{Contour, OffsetError, Piece, Point};
use crate::part::features::EdgeForm;
use crate::shop::{Cutter, CuttingData};
use crate::toolpath::Purpose;

/// How far a V cutter's tip runs below the chamfer, so that the flank and not the tip cuts it, mm.
const BELOW: f64 = 0.5;

/// Section of one pass of a chamfer, as a share of that of a groove one stepdown deep.
const SHARE: f64 = 0.7;

/// Height of the ridges that a ball leaves on a roundover, mm: gone at the first stroke of
/// sandpaper (common practice).
const SCALLOP: f64 = 0.02;

/// Where the cutter's tip runs: outward of the line, and height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Pass {
    /// Outward of the outline, mm.
    pub aside: f64,
    /// Height of the tip below the face, mm.
    pub depth: f64,
}

/// The passes of an edge, the shallowest first.
///
/// A chamfer `c` wide on the face by a cone of half angle b and tip width t is `c / tan b` deep;
/// with its tip `BELOW` under that the cone stands `t / 2 + BELOW tan b` off the line. The section
/// of the groove grows with the square of its depth: deeper than `stepdown` it is cut in passes that
/// take equal sections, each no more than [`SHARE`] of a groove one stepdown deep. A roundover of
/// radius p by a ball of radius r keeps the ball's middle on a circle of p + r about the
/// roundover's own centre; passes s apart on it leave ridges s² / 8 (1 / p + 1 / r) high.
pub(super) fn passes(form: EdgeForm, size: f64, cutter: &Cutter, stepdown: f64) -> Vec<Pass> {
    match form {
        EdgeForm::Chamfer => {
            let slope = (cutter.included_angle.0 / 2.0).tan();
            let depth = size / slope + BELOW;
            let aside = cutter.tip_diameter.0 / 2.0 + BELOW * slope;
            let count = match depth > stepdown {
                true => ((depth / stepdown).powi(2) / SHARE).ceil(),
                false => 1.0,
            };
            // A count of passes: a chamfer is at most some stepdowns deep.
            let at = |i: usize| Pass { aside, depth: depth * (i as f64 / count).sqrt() };
            (1..=count as usize).map(at).collect()
        }
        EdgeForm::Roundover => {
            let ball = cutter.radius();
            let apart = (8.0 * SCALLOP * size * ball / (size + ball)).sqrt();
            let quarter = std::f64::consts::FRAC_PI_2;
            let count = (quarter * size / apart).ceil().max(2.0);
            // A count of passes: an edge is at most centimetres, a pass at least a hundredth wide.
            (1..=(count as usize))
                .map(|i| {
                    let angle = quarter * (1.0 - i as f64 / count);
                    Pass {
                        aside: (size + ball) * angle.cos() - size,
                        depth: size + ball - (size + ball) * angle.sin(),
                    }
                })
                .collect()
        }
    }
}

/// The ways of the tip round a whole outline (counter-clockwise), climb milling, one for each pass.
pub(super) fn rings(outline: &Contour, passes: &[Pass]) -> Result<Vec<(Track, Pass)>, OffsetError> {
    let mut all = Vec::new();
    for pass in passes {
        let loops = outline.offset(-pass.aside)?;
        let Some(longest) = loops.iter().max_by(|a, b| a.length().total_cmp(&b.length())) else {
            continue;
        };
        let clockwise = if longest.area() > 0.0 { longest.reversed() } else { longest.clone() };
        all.push((Track::new(&clockwise), *pass));
    }
    Ok(all)
}

/// Round all rings, each begun beside `from`, from and to travel height.
pub(super) fn around(
    pen: &mut Pen<'_>,
    data: &CuttingData,
    rings: &[(Track, Pass)],
    from: Point,
    top: f64,
) {
    let mut above = top;
    for (track, pass) in rings {
        let mut place = track.nearest(from);
        pen.approach(track.at(place));
        pen.plunge(above);
        for z in levels(above, top - pass.depth, data.stepdown.value) {
            let run = (above - z) / data.ramp_angle.value.tan();
            let heights = Profile::through(vec![(place, above), (place + run, z)]);
            pen.follow(track, (place, place + run), &heights, &|_| Purpose::Entry);
            let end = place + run + track.length();
            let level = Profile::level(z);
            pen.follow(track, (place + run, end), &level, &|_| Purpose::Finish);
            place = end.rem_euclid(track.length());
            above = z;
        }
        pen.retract();
    }
}

/// Along one side from end to end and `beyond` both, from and to travel height. A centre-cutting
/// cutter goes straight down in the waste before the side and runs climb-milling once each time.
pub(super) fn along(
    pen: &mut Pen<'_>,
    (cutter, data): (&Cutter, &CuttingData),
    side: &Piece,
    top: f64,
    beyond: f64,
    passes: &[Pass],
) {
    let mut above = top;
    for pass in passes {
        let piece = aside(side, pass.aside);
        let longer = longer(&piece, beyond);
        let floor = top - pass.depth;
        if cutter.centre_cutting {
            for z in levels(above, floor, data.stepdown.value) {
                once(pen, &longer, z, above.max(z));
                above = z;
            }
        } else {
            groove::cut_from(pen, data, &longer, (above, floor), top);
        }
        above = floor;
    }
}

/// Down at the start, along the chain backwards (its outline runs counter-clockwise: backwards is
/// climb), and up.
fn once(pen: &mut Pen<'_>, chain: &[Piece], z: f64, above: f64) {
    let back = Track::new(&Contour::from_pieces(chain, false)).reversed_open();
    pen.approach(back.start());
    pen.plunge(above);
    pen.plunge(z);
    pen.follow_open(&back, (0.0, back.length()), &Profile::level(z), Purpose::Finish);
    pen.retract();
}

/// The piece moved to the right of its way: outward of a counter-clockwise outline.
fn aside(piece: &Piece, by: f64) -> Piece {
    let out = |share: f64| -piece.direction(share).left() * by;
    Piece { from: piece.from + out(0.0), to: piece.to + out(1.0), bulge: piece.bulge }
}

/// The pieces with straight ends added, as one chain.
fn longer(piece: &Piece, by: f64) -> Vec<Piece> {
    let line = |from: Point, to: Point| Piece { from, to, bulge: 0.0 };
    let (start, end) = (piece.direction(0.0), piece.direction(1.0));
    match piece.is_arc() {
        false => vec![line(piece.from - start * by, piece.to + end * by)],
        true => vec![
            line(piece.from - start * by, piece.from),
            *piece,
            line(piece.to, piece.to + end * by),
        ],
    }
}
