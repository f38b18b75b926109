//! Strokes clipped to where the field is, and arcs cut into pieces that turn little.

use super::envelope::{Ahead, Capsule};
use super::line::Course;
use super::section::Section;
use crate::geometry::{Arc, HeightField, Plane, Point, Point3, Stroke, point, point3};
use std::f64::consts::FRAC_PI_4;

/// Longest piece of an arc, millimetres, so that little is looked at that it does not reach.
const LONGEST: f64 = 64.0;

/// Most pieces of one arc; longer ones are then as exact, only slower.
const MOST_PIECES: f64 = 100_000.0;

/// Arcs outside the x-y plane, and arcs whose ends lie on different radii, are cut as chords
/// no further than this from them.
pub const CHORD_TOLERANCE: f64 = 1e-3;

/// The ends of an arc may differ in radius by this before it is cut as chords.
const SAME_RADIUS: f64 = 1e-3;

/// A rise less than this, millimetres, counts as level, at its lower end; an arc shorter than
/// this counts as a line.
const NOTHING: f64 = 1e-6;

/// Where the cells are.
#[derive(Clone, Copy, Debug)]
pub(super) struct Grid {
    pub(super) min: Point,
    pub(super) max: Point,
    pub(super) cell: f64,
}

impl Grid {
    pub(super) fn of(field: &HeightField) -> Grid {
        let (min, cell) = (field.min(), field.cell());
        let size = point(field.columns() as f64, field.rows() as f64) * cell;
        Grid { min, max: min + size, cell }
    }
}

/// A part of a stroke: a line, or an arc of the x-y plane of no more than an eighth of a turn.
#[derive(Clone, Copy, Debug)]
pub(super) enum Piece {
    Line { a: Point3, b: Point3 },
    Arc(ArcPiece),
}

/// An arc or a part of a helix about a vertical axis.
#[derive(Clone, Copy, Debug)]
pub(super) struct ArcPiece {
    pub(super) centre: Point,
    pub(super) radius: f64,
    /// Direction of the start from the centre.
    pub(super) angle: f64,
    /// Angle turned, counter-clockwise positive.
    pub(super) sweep: f64,
    /// Heights at start and end.
    pub(super) z: (f64, f64),
}

impl ArcPiece {
    /// The point after turning by `angle` from the start, in plan.
    pub(super) fn at(&self, angle: f64) -> Point {
        self.centre + Point::polar(self.radius, self.angle + angle)
    }

    pub(super) fn is_level(&self) -> bool {
        (self.z.0 - self.z.1).abs() <= NOTHING
    }
}

impl Piece {
    /// Lowest height of the tip.
    pub(super) fn lowest(&self) -> f64 {
        match self {
            Piece::Line { a, b, .. } => a.z.min(b.z),
            Piece::Arc(arc) => arc.z.0.min(arc.z.1),
        }
    }

    /// What need be looked at if the same cutter has just been at the start: see
    /// [`Capsule::ahead`].
    pub(super) fn ahead(&self, section: &Section) -> Option<Ahead> {
        match self {
            Piece::Line { a, b } => Course::new(*a, *b).ahead(section),
            Piece::Arc(_) => None,
        }
    }

    /// What a cutter of `radius` can reach in plan: for an arc, about its chord, wider by the
    /// rise of the arc over it.
    pub(super) fn reach(&self, radius: f64) -> Capsule {
        match self {
            Piece::Line { a, b, .. } => Capsule { a: a.xy(), b: b.xy(), radius, ahead: None },
            Piece::Arc(arc) => {
                let rise = arc.radius * (1.0 - (arc.sweep / 2.0).cos());
                let radius = radius + rise;
                Capsule { a: arc.at(0.0), b: arc.at(arc.sweep), radius, ahead: None }
            }
        }
    }
}

/// The pieces of a stroke that can reach the grid with a cutter of `radius`.
pub(super) fn pieces(stroke: &Stroke, radius: f64, grid: &Grid, mut add: impl FnMut(Piece)) {
    match stroke.arc {
        None => line(stroke.from, stroke.to, radius, grid, &mut add),
        Some(arc) if is_round(stroke, &arc) => turn(stroke, &arc, radius, grid, &mut add),
        Some(_) => {
            let count = stroke.chords(CHORD_TOLERANCE);
            let at = |i: usize| stroke.at(i as f64 / count as f64);
            for i in 0..count {
                line(at(i), at(i + 1), radius, grid, &mut add);
            }
        }
    }
}

fn is_round(stroke: &Stroke, arc: &Arc) -> bool {
    let from = stroke.from.xy().distance(arc.center);
    let to = stroke.to.xy().distance(arc.center);
    arc.plane == Plane::Xy && (from - to).abs() <= SAME_RADIUS
}

fn line(a: Point3, b: Point3, radius: f64, grid: &Grid, add: &mut impl FnMut(Piece)) {
    let Some((t0, t1)) = clip(a.xy(), b.xy(), radius + grid.cell, grid) else { return };
    let (from, to) = (a + (b - a) * t0, if t1 < 1.0 { a + (b - a) * t1 } else { b });
    add(Piece::Line { a: from, b: to });
}

/// The part of a line, as shares of its length, that lies in the grid grown by `margin`.
fn clip(a: Point, b: Point, margin: f64, grid: &Grid) -> Option<(f64, f64)> {
    let (mut first, mut last) = (0.0_f64, 1.0_f64);
    let sides = [(a.x, b.x, grid.min.x, grid.max.x), (a.y, b.y, grid.min.y, grid.max.y)];
    for (from, to, low, high) in sides {
        let (low, high) = (low - margin, high + margin);
        if from.min(to) > high || from.max(to) < low {
            return None;
        }
        for (value, enters) in [(low, to > from), (high, to < from)] {
            let t = (value - from) / (to - from);
            if enters && t > first {
                first = t;
            }
            if !enters && to != from && t < last {
                last = t;
            }
        }
    }
    (first <= last).then_some((first, last))
}

fn turn(stroke: &Stroke, arc: &Arc, radius: f64, grid: &Grid, add: &mut impl FnMut(Piece)) {
    let (from, to) = (stroke.from, stroke.to);
    let start = from.xy() - arc.center;
    let mean = (start.length() + to.xy().distance(arc.center)) / 2.0;
    let turn = arc.sweep.abs();
    if turn * mean <= NOTHING {
        return line(from, to, radius, grid, add);
    }
    let count = (turn * mean / LONGEST).max(turn / FRAC_PI_4).ceil().clamp(1.0, MOST_PIECES);
    let z = |share: f64| from.z + (to.z - from.z) * share;
    for i in 0..count as usize {
        let (low, high) = (i as f64 / count, (i + 1) as f64 / count);
        let piece = Piece::Arc(ArcPiece {
            centre: arc.center,
            radius: mean,
            angle: start.angle() + arc.sweep * low,
            sweep: arc.sweep * (high - low),
            z: (z(low), z(high)),
        });
        let reach = piece.reach(radius);
        let ((x0, x1), (y0, y1)) = (reach.columns(), reach.rows());
        let near = x0 <= grid.max.x && x1 >= grid.min.x && y0 <= grid.max.y && y1 >= grid.min.y;
        if near {
            add(piece);
        }
    }
}

/// Whether every coordinate is a number that a table could have.
pub(in crate::dry_run) fn is_sound(stroke: &Stroke) -> bool {
    /// Ten kilometres: beyond it, a coordinate is a fault and not a place.
    const FURTHEST: f64 = 1e7;
    let fine = |p: Point3| [p.x, p.y, p.z].iter().all(|c| c.abs() <= FURTHEST);
    let arc = stroke.arc.is_none_or(|arc| {
        // A full turn and what rounding adds to it.
        fine(point3(arc.center.x, arc.center.y, 0.0)) && arc.sweep.abs() <= 6.3
    });
    fine(stroke.from) && fine(stroke.to) && arc
}
