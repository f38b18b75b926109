//! What a walker does in thought, put down as moves at the heights of a level.

use super::walker::Act;
use crate::cuts::pen::Pen;
use crate::cuts::profile::Profile;
use crate::cuts::track::Track;
use crate::geometry::{Contour, Piece, Point};
use crate::shop::CuttingData;
use crate::toolpath::Purpose;

/// Heights of a level: the wood's top, the floor of the level before, its own.
#[derive(Clone, Copy, Debug)]
pub(super) struct Heights {
    pub top: f64,
    pub above: f64,
    pub z: f64,
}

/// Puts acts down at a level, from and to travel height.
pub(super) fn play(pen: &mut Pen<'_>, acts: &[Act], data: &CuttingData, heights: Heights) {
    if put(pen, acts, data, heights, false) {
        pen.retract();
    }
}

/// As [`play`], but begins where the cutter is if it is `down`, and stays down. Says whether it is.
pub(super) fn put(
    pen: &mut Pen<'_>,
    acts: &[Act],
    data: &CuttingData,
    heights: Heights,
    mut down: bool,
) -> bool {
    let Heights { z, .. } = heights;
    for (i, act) in acts.iter().enumerate() {
        if !matches!(act, Act::Go(..)) && down {
            pen.retract();
        }
        match *act {
            Act::Over(to) => {
                pen.approach(to);
                pen.sink(z);
            }
            Act::Helix { at, middle } => helix(pen, data, (at, middle), heights),
            Act::Ramp(count) => {
                let pieces: Vec<Piece> = acts[i + 1..]
                    .iter()
                    .take(count)
                    .filter_map(|act| match act {
                        Act::Go(_, piece) => Some(*piece),
                        _ => None,
                    })
                    .collect();
                ramp(pen, data, &pieces, heights);
            }
            Act::Go(purpose, piece) => pen.piece(purpose, &piece, z),
        }
        down = true;
    }
    down
}

/// Down whole turns of a helix, and once round at the level's depth.
fn helix(pen: &mut Pen<'_>, data: &CuttingData, (at, middle): (Point, Point), heights: Heights) {
    let circle = Track::new(&Contour::circle(middle, at.distance(middle)));
    let steepest = circle.length() * data.ramp_angle.value.tan();
    let turns = ((heights.above - heights.z) / steepest).ceil().max(1.0);
    let (start, down) = (circle.nearest(at), turns * circle.length());
    pen.approach(circle.at(start));
    pen.plunge(heights.top);
    pen.sink(heights.above);
    let fall = Profile::through(vec![(start, heights.above), (start + down, heights.z)]);
    pen.follow(&circle, (start, start + down), &fall, &|_| Purpose::Entry);
    let end = start + down + circle.length();
    let level = Profile::level(heights.z);
    pen.follow(&circle, (start + down, end), &level, &|_| Purpose::Entry);
}

/// Down along a ring, to where it is closed.
fn ramp(pen: &mut Pen<'_>, data: &CuttingData, ring: &[Piece], heights: Heights) {
    let track = Track::new(&Contour::from_pieces(ring, true));
    let run = (heights.above - heights.z) / data.ramp_angle.value.tan();
    pen.approach(track.at(-run));
    pen.plunge(heights.top);
    pen.sink(heights.above);
    let fall = Profile::through(vec![(-run, heights.above), (0.0, heights.z)]);
    pen.follow(&track, (-run, 0.0), &fall, &|_| Purpose::Entry);
}
