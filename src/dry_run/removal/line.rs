//! A cutter swept along a straight line of any slope; a plunge is a line without length.

use super::envelope::{Ahead, Edges, Envelope, offsets};
use super::form::{Cell, End, LANES, Lanes};
use super::glance::Bound;
use super::real::Real;
use super::section::Section;
use super::tile::TILE_ROWS;
use crate::geometry::{Point, Point3, point};

/// Shorter than this in plan, a line is a plunge at its lower end: beyond what a machine
/// resolves a thousandfold.
const PLUNGE: f64 = 1e-6;

/// Lines steeper than this (rise over run) are computed in `f64`, for there a rounding along
/// the stroke is a greater one in height.
const STEEP: f64 = 4.0;

/// The measures of a line before a precision is chosen. It is taken upward, whichever way the
/// cutter went.
#[derive(Clone, Copy, Debug)]
pub(super) struct Course {
    from: Point,
    unit: Point,
    length: f64,
    z: f64,
    /// Rise over run, not negative.
    pub(super) slope: f64,
    /// 1 if the cutter went this way, else -1.
    sense: f64,
}

impl Course {
    pub(super) fn new(a: Point3, b: Point3) -> Course {
        let (low, high, sense) = if b.z < a.z { (b, a, -1.0) } else { (a, b, 1.0) };
        let along = high.xy() - low.xy();
        // Not `hypot`, which is slower and guards against what no table is long enough for.
        let length = along.dot(along).sqrt();
        let (from, z) = (low.xy(), low.z);
        if length > PLUNGE {
            let (unit, slope) = (along * (1.0 / length), (high.z - low.z) / length);
            return Course { from, unit, length, z, slope, sense };
        }
        Course { from, unit: point(1.0, 0.0), length: 0.0, z, slope: 0.0, sense }
    }

    /// Which cells the same cutter left nothing of if it has just been at the start of this
    /// line: those that this line cuts lowest from its start. They lie behind a chord.
    pub(super) fn ahead(&self, section: &Section) -> Option<Ahead> {
        // Downward the cutter cuts a cell lowest when it has passed it by as much as `back`.
        let lag = if self.sense < 0.0 { section.greatest_back(self.slope) } else { 0.0 };
        (self.length > 0.0).then(|| Ahead { unit: self.unit * self.sense, lag })
    }

    pub(super) fn is_steep(&self) -> bool {
        self.slope > STEEP
    }
}

/// The envelope of a line: see [`super::form`] for why it is exact. `LEVEL` leaves out what
/// only a slope needs.
pub(super) struct Line<N, E, const LEVEL: bool> {
    course: Course,
    end: E,
    /// The cutter's radius.
    radius: f64,
    /// Along and to the left of the travel, for each column.
    step: (N, N),
    slope: N,
    radius2: N,
}

/// A row as seen from the foot of its origin on the line: no number is then greater than the
/// tile is wide, but for ends so far off that they do not matter.
#[derive(Clone, Copy)]
pub(super) struct LineRow<N> {
    /// How far left of the travel the origin is.
    pub(super) left: N,
    /// Where the line starts and ends, along it from the foot.
    pub(super) start: N,
    pub(super) end: N,
    /// Height at the foot, were the line to go on: of the tip, or of a ball's centre.
    pub(super) z: N,
}

impl<N: Real, E: End<N>, const LEVEL: bool> Line<N, E, LEVEL> {
    pub(super) fn new(course: Course, section: &Section, cell: f64) -> Self {
        Line {
            course,
            end: E::new(section, course.slope),
            radius: section.radius(),
            step: (N::of(cell * course.unit.x), N::of(-cell * course.sense * course.unit.y)),
            slope: N::of(course.slope),
            radius2: N::of(section.radius() * section.radius()),
        }
    }
}

/// A group of cells as seen from a line: how far along it they are from the foot of their row's
/// origin, and how much further left of the travel than that origin.
#[derive(Clone, Copy)]
pub(super) struct Spread<N> {
    pub(super) along: Lanes<N>,
    pub(super) aside: Lanes<N>,
}

impl Spread<f32> {
    pub(super) const NONE: Self = Spread { along: [0.0; LANES], aside: [0.0; LANES] };
}

/// Rows of a tile as seen from a line.
pub(super) struct LineRows {
    left: [f32; TILE_ROWS],
    start: [f32; TILE_ROWS],
    end: [f32; TILE_ROWS],
    z: [f32; TILE_ROWS],
}

impl LineRows {
    pub(super) const NONE: LineRows = LineRows {
        left: [0.0; TILE_ROWS],
        start: [0.0; TILE_ROWS],
        end: [0.0; TILE_ROWS],
        z: [0.0; TILE_ROWS],
    };

    #[inline(always)]
    pub(super) fn row(&self, j: usize) -> LineRow<f32> {
        LineRow { left: self.left[j], start: self.start[j], end: self.end[j], z: self.z[j] }
    }
}

impl<E: End<f32>, const LEVEL: bool> Line<f32, E, LEVEL> {
    /// Writes what [`Envelope::row`] gives for each of `count` rows, the first through `origin`,
    /// `step` apart.
    #[inline(always)]
    pub(super) fn rows(&self, origin: Point, step: f64, count: usize, rows: &mut LineRows) {
        let Course { from, unit, length, slope, sense, .. } = self.course;
        let (dx, dy) = (origin.x - from.x, origin.y - from.y);
        let (foot, across) = (dx * unit.x + dy * unit.y, dy * unit.x - dx * unit.y);
        let z = self.height();
        for j in 0..count.min(TILE_ROWS) {
            let up = j as f64 * step;
            let foot = foot + up * unit.y;
            rows.left[j] = (sense * (across + up * unit.x)) as f32;
            rows.start[j] = -foot as f32;
            rows.end[j] = (length - foot) as f32;
            rows.z[j] = (z + slope * foot) as f32 + 0.0;
        }
    }

    /// What [`super::glance`] asks of a ball.
    #[inline(always)]
    pub(super) fn bound(&self) -> Bound {
        let Course { unit, z, slope, length, .. } = self.course;
        Bound::of(self.radius, slope, unit, z.abs() + slope * length)
    }
}

impl<N: Real, E: End<N>, const LEVEL: bool> Line<N, E, LEVEL> {
    /// Height at the lower end: of the tip, or of a ball's centre.
    #[inline(always)]
    fn height(&self) -> f64 {
        if E::ROUND { self.course.z + self.radius } else { self.course.z }
    }

    /// A group of cells, the first of them `first` columns from the origin of its row.
    #[inline(always)]
    pub(super) fn spread(&self, first: i32) -> Spread<N> {
        let mut spread = Spread { along: [N::ZERO; LANES], aside: [N::ZERO; LANES] };
        for (lane, k) in offsets::<N>(first).into_iter().enumerate() {
            spread.along[lane] = k * self.step.0;
            spread.aside[lane] = k * self.step.1;
        }
        spread
    }

    /// The edges over a group of cells of a row.
    #[inline(always)]
    pub(super) fn edges(&self, row: &LineRow<N>, spread: &Spread<N>) -> Edges {
        if E::ROUND { self.round(row, spread) } else { self.any(row, spread) }
    }

    #[inline(always)]
    fn round(&self, row: &LineRow<N>, spread: &Spread<N>) -> Edges {
        let mut edges = Edges::NONE;
        for lane in 0..LANES {
            let (u, v) = (spread.along[lane], row.left + spread.aside[lane]);
            let (z, square) = if LEVEL {
                let off = u - u.most(row.start).least(row.end);
                (row.z, self.radius2 - v * v - off * off)
            } else {
                let at = Cell { u, v2: v * v, start: row.start, end: row.end };
                let (s, square) = self.end.round(at);
                (row.z + self.slope * s, square)
            };
            let z = (z - square.sqrt()).single();
            edges.height[lane] = if square >= N::ZERO { z } else { f32::INFINITY };
            edges.left[lane] = v.single();
        }
        edges
    }

    #[inline(always)]
    fn any(&self, row: &LineRow<N>, spread: &Spread<N>) -> Edges {
        let mut edges = Edges::NONE;
        let mut v2 = [N::ZERO; LANES];
        for (lane, v2) in v2.iter_mut().enumerate() {
            let v = row.left + spread.aside[lane];
            *v2 = v * v;
            edges.left[lane] = v.single();
        }
        let back = if LEVEL { v2 } else { self.end.back(&v2) };
        for lane in 0..LANES {
            let (u, v2) = (spread.along[lane], v2[lane]);
            let off = u - u.most(row.start).least(row.end);
            let r2 = v2 + off * off;
            let reached = r2 <= self.radius2;
            let z = if LEVEL {
                row.z + self.end.rise(r2)
            } else {
                let s = (u - back[lane]).most(row.start).least(row.end);
                let off = u - s;
                let r2 = (v2 + off * off).least(self.radius2);
                row.z + self.slope * s + self.end.rise(r2)
            };
            edges.height[lane] = if reached { z.single() } else { f32::INFINITY };
        }
        edges
    }
}

impl<N: Real, E: End<N>, const LEVEL: bool> Envelope for Line<N, E, LEVEL> {
    type Row = LineRow<N>;

    #[inline(always)]
    fn row(&self, origin: Point) -> LineRow<N> {
        let Course { from, unit, length, slope, sense, .. } = self.course;
        let (dx, dy) = (origin.x - from.x, origin.y - from.y);
        let foot = dx * unit.x + dy * unit.y;
        LineRow {
            left: N::of(sense * (dy * unit.x - dx * unit.y)),
            start: N::of(-foot),
            end: N::of(length - foot),
            z: N::of(self.height() + slope * foot),
        }
    }

    #[inline(always)]
    fn group(&self, row: &LineRow<N>, first: i32) -> Edges {
        self.edges(row, &self.spread(first))
    }
}
