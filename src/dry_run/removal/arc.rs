//! A cutter swept along a level arc of the x-y plane: the section at the distance from the arc.

use super::envelope::{Edges, Envelope, offsets};
use super::form::End;
use super::piece::ArcPiece;
use super::section::Section;
use crate::geometry::Point;

/// Always in `f64`: the centre of a flat arc is far away.
pub(super) struct LevelArc<E> {
    end: E,
    cell: f64,
    centre: Point,
    /// Start and end, from the centre.
    ends: (Point, Point),
    radius: f64,
    reach2: f64,
    /// 1 counter-clockwise, -1 clockwise.
    sense: f64,
    z: f64,
}

impl<E: End<f64>> LevelArc<E> {
    pub(super) fn new(piece: &ArcPiece, section: &Section, cell: f64) -> LevelArc<E> {
        let start = piece.at(0.0);
        LevelArc {
            end: E::new(section, 0.0),
            cell,
            centre: piece.centre,
            ends: (start - piece.centre, piece.at(piece.sweep) - piece.centre),
            radius: piece.radius,
            reach2: section.radius() * section.radius(),
            sense: piece.sweep.signum(),
            z: piece.z.0.min(piece.z.1),
        }
    }

    /// Squared distance from the arc, and distance to the left of it, of a point from the centre.
    #[inline(always)]
    fn place(&self, x: f64, y: f64) -> (f64, f64) {
        let (a, b) = self.ends;
        let out = (x * x + y * y).sqrt() - self.radius;
        let past_start = (a.x * y - a.y * x) * self.sense;
        let before_end = (x * b.y - y * b.x) * self.sense;
        let to_a = (x - a.x) * (x - a.x) + (y - a.y) * (y - a.y);
        let to_b = (x - b.x) * (x - b.x) + (y - b.y) * (y - b.y);
        let to_end = if to_a < to_b { to_a } else { to_b };
        // An eighth of a turn at most, so both conditions leave only the sector.
        let beside = past_start >= 0.0 && before_end >= 0.0;
        (if beside { out * out } else { to_end }, -self.sense * out)
    }
}

impl<E: End<f64>> Envelope for LevelArc<E> {
    /// The origin, from the centre.
    type Row = Point;

    #[inline(always)]
    fn row(&self, origin: Point) -> Point {
        origin - self.centre
    }

    #[inline(always)]
    fn group(&self, row: &Point, first: i32) -> Edges {
        let mut edges = Edges::NONE;
        for (lane, k) in offsets::<f64>(first).into_iter().enumerate() {
            let (r2, aside) = self.place(row.x + k * self.cell, row.y);
            let z = (self.z + self.end.rise(r2)) as f32;
            edges.height[lane] = if r2 <= self.reach2 { z } else { f32::INFINITY };
            edges.left[lane] = aside as f32;
        }
        edges
    }
}
