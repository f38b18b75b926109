//! What every swept body tells the sweep: which columns of a row it may reach, and how low it
//! cuts eight cells of that row.

use super::form::{LANES, Lanes};
use super::real::Real;
use crate::geometry::Point;

/// The lower surface of a cutter swept along one piece of a stroke.
pub(super) trait Envelope {
    /// What is the same for the cells of one row.
    type Row: Copy;

    /// Prepares the row through `origin`, the middle of a cell near to those asked for.
    fn row(&self, origin: Point) -> Self::Row;

    /// Height of the edge over eight cells, the first of them `first` columns from the origin:
    /// plus infinity where the cutter does not pass. And how far left of the travel they lie.
    fn eight(&self, row: &Self::Row, first: i32) -> (Lanes<f32>, Lanes<f32>);
}

/// Columns from the origin of each of the eight cells.
#[inline(always)]
pub(super) fn offsets<N: Real>(first: i32) -> Lanes<N> {
    let mut out = [N::from_index(first); LANES];
    for (lane, value) in out.iter_mut().enumerate() {
        *value = *value + N::from_index(lane as i32);
    }
    out
}

/// All points within `radius` of a straight line: what a piece of a stroke can reach in plan.
#[derive(Clone, Copy, Debug)]
pub(super) struct Capsule {
    pub(super) a: Point,
    pub(super) b: Point,
    pub(super) radius: f64,
}

impl Capsule {
    /// Least and greatest y.
    pub(super) fn rows(&self) -> (f64, f64) {
        (self.a.y.min(self.b.y) - self.radius, self.a.y.max(self.b.y) + self.radius)
    }

    /// Least and greatest x.
    pub(super) fn columns(&self) -> (f64, f64) {
        (self.a.x.min(self.b.x) - self.radius, self.a.x.max(self.b.x) + self.radius)
    }

    /// Whether it is long enough for its rows to be much shorter than its box.
    pub(super) fn is_long(&self) -> bool {
        (self.a.x - self.b.x).abs() + (self.a.y - self.b.y).abs() > self.radius
    }

    /// Least and greatest x on the row at `y`: of the two discs and of the two straight sides.
    pub(super) fn span(&self, y: f64) -> (f64, f64) {
        let (a, b, r) = (self.a, self.b, self.radius);
        let mut span = (f64::INFINITY, f64::NEG_INFINITY);
        let mut hold = |low: f64, high: f64| span = (span.0.min(low), span.1.max(high));
        for end in [a, b] {
            let half2 = r * r - (y - end.y) * (y - end.y);
            if half2 >= 0.0 {
                let half = half2.sqrt();
                hold(end.x - half, end.x + half);
            }
        }
        let along = b - a;
        if let Some(unit) = along.unit() {
            for side in [unit.left() * r, unit.left() * -r] {
                let t = (y - a.y - side.y) / along.y;
                if (0.0..=1.0).contains(&t) {
                    let x = a.x + side.x + along.x * t;
                    hold(x, x);
                }
            }
        }
        span
    }
}
