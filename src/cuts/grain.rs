//! Cutting with the grain: which way a finishing pass runs on a curved edge.

use super::Track;
use crate::geometry::{Piece, Point};

/// An arch of an outline: a convex arc with its crown, where it runs along the grain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Arch {
    /// Places along the track: where the arc starts, its crown, where it ends.
    pub(super) start: f64,
    /// The crown.
    pub(super) crown: f64,
    /// The end.
    pub(super) end: f64,
}

/// The arches of a track whose grain runs along `grain` (a unit vector): arcs of at least
/// `least_radius` that run along the grain somewhere well within them.
pub(super) fn arches(track: &Track, grain: Point, least_radius: f64) -> Vec<Arch> {
    track
        .pieces()
        .filter(|(_, piece)| piece.is_arc() && piece.radius() >= least_radius)
        .filter_map(|(start, piece)| {
            let share = crown(piece, grain)?;
            let length = piece.length();
            Some(Arch { start, crown: start + share * length, end: start + length })
        })
        .collect()
}

/// Share of the way along an arc where its direction is that of the grain.
fn crown(piece: &Piece, grain: Point) -> Option<f64> {
    let sweep = piece.sweep();
    let first = piece.direction(0.0);
    // Angle still to turn until the direction is along the grain, one way or the other.
    let ahead = |target: Point| {
        let angle = first.cross(target).atan2(first.dot(target)) * sweep.signum();
        angle.rem_euclid(std::f64::consts::TAU)
    };
    let turn = ahead(grain).min(ahead(-grain));
    let share = turn / sweep.abs();
    // A crown in the outer twentieth is an end, not a crown.
    (0.05..=0.95).contains(&share).then_some(share)
}

/// Whether a direction runs across the grain: more than 60 degrees off it.
pub(super) fn across(direction: Point, grain: Point) -> bool {
    direction.dot(grain).abs() < 0.5
}
