//! What every swept body tells the sweep: which columns of a row it may reach, and how low it
//! cuts a group of cells of that row.

use super::form::{LANES, Lanes};
use super::real::Real;
use crate::geometry::Point;

/// The lower surface of a cutter swept along one piece of a stroke.
pub(super) trait Envelope {
    /// What is the same for the cells of one row.
    type Row: Copy;

    /// Prepares the row through `origin`, the middle of a cell near to those asked for.
    fn row(&self, origin: Point) -> Self::Row;

    /// The edges over a group of cells, the first of them `first` columns from the origin.
    fn group(&self, row: &Self::Row, first: i32) -> Edges;
}

/// What the cutter leaves of a group of cells.
#[derive(Clone, Copy)]
pub(super) struct Edges {
    /// Heights of the edge; plus infinity where the cutter does not pass.
    pub(super) height: Lanes<f32>,
    /// How far left of the travel each cell lies.
    pub(super) left: Lanes<f32>,
}

impl Edges {
    pub(super) const NONE: Edges = Edges { height: [f32::INFINITY; LANES], left: [0.0; LANES] };

    /// Adding zero turns minus zero into zero: equal heights have equal bits, and the order of
    /// strokes leaves no trace.
    #[inline(always)]
    pub(super) fn signless(mut self) -> Edges {
        for height in &mut self.height {
            *height += 0.0;
        }
        self
    }

    /// Whether any of the heights is lower than `old`.
    #[inline(always)]
    pub(super) fn cut(&self, old: &Lanes<f32>) -> bool {
        let mut cuts = false;
        for (height, old) in self.height.iter().zip(old) {
            cuts |= height < old;
        }
        cuts
    }
}

/// Columns from the origin of each cell of a group.
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
    /// What lies behind `a` need not be looked at.
    pub(super) ahead: Option<Ahead>,
}

/// What lies ahead of a chord square to a line, in the disc about its start.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ahead {
    /// Direction of the line.
    pub(super) unit: Point,
    /// How far behind the disc's middle the chord lies.
    pub(super) lag: f64,
}

impl Ahead {
    /// How far along x or y, down and up, the part of a disc reaches that lies ahead of the chord,
    /// if the chord is `lag` behind its middle; for the unit's component in that direction.
    fn reach(radius: f64, lag: f64, along: f64) -> (f64, f64) {
        // The disc's own end on that side, or the chord's if that end is cut off.
        let aside = (1.0 - along * along).max(0.0).sqrt();
        let half = (radius * radius - lag * lag).max(0.0).sqrt();
        let chord = lag * along.abs() + half * aside;
        let behind = if radius * along.abs() > lag { chord } else { radius };
        if along > 0.0 { (behind, radius) } else { (radius, behind) }
    }
}

impl Capsule {
    /// Least and greatest y.
    pub(super) fn rows(&self) -> (f64, f64) {
        self.ends(self.a.y, self.b.y, |unit| unit.y)
    }

    /// Least and greatest x.
    pub(super) fn columns(&self) -> (f64, f64) {
        self.ends(self.a.x, self.b.x, |unit| unit.x)
    }

    fn ends(&self, a: f64, b: f64, along: impl Fn(Point) -> f64) -> (f64, f64) {
        let whole = (self.radius, self.radius);
        let ((down_a, up_a), (down_b, up_b)) = self.ahead.map_or((whole, whole), |ahead| {
            // The chord lies further behind the far end, and cuts its disc too.
            let far = ahead.lag + (self.b - self.a).dot(ahead.unit);
            let reach = |lag| Ahead::reach(self.radius, lag, along(ahead.unit));
            (reach(ahead.lag), reach(far))
        });
        ((a - down_a).min(b - down_b), (a + up_a).max(b + up_b))
    }

    /// Whether it is long enough for its rows to be much shorter than its box.
    pub(super) fn is_long(&self) -> bool {
        (self.a.x - self.b.x).abs() + (self.a.y - self.b.y).abs() > self.radius
    }

    /// Least and greatest y from one x to another, or a little more.
    pub(super) fn rows_between(&self, x0: f64, x1: f64) -> (f64, f64) {
        let (a, b, r) = if self.a.x <= self.b.x {
            (self.a, self.b, self.radius)
        } else {
            (self.b, self.a, self.radius)
        };
        let run = b.x - a.x;
        if run <= 0.0 {
            return (a.y.min(b.y) - r, a.y.max(b.y) + r);
        }
        let rise = (b.y - a.y) / run;
        let at = |x: f64| a.y + rise * (x.clamp(a.x, b.x) - a.x);
        // The discs whose middles are near enough, and between the ends the two straight sides.
        let (c, d) = (at(x0 - r), at(x1 + r));
        let discs = (c.min(d) - r, c.max(d) + r);
        if x0 < a.x || x1 > b.x {
            return discs;
        }
        let (c, d, aside) = (at(x0), at(x1), r * (1.0 + rise * rise).sqrt());
        (discs.0.max(c.min(d) - aside), discs.1.min(c.max(d) + aside))
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
