//! One piece of a face in the profile plane: u across the sweep, z up.

use super::edge::Edge;
use crate::geometry::{EPSILON, Piece, Point, point};

/// How much of its rim a cutter may have in a wall, mm: far less than any machine holds, and a
/// groove just as wide as its cutter is cut.
const FIT: f64 = 1e-6;

/// How a span goes from its left end to its right.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Run {
    /// Straight; upright too.
    Line,
    /// The upper half of a circle.
    Hill {
        /// Centre.
        center: Point,
        /// Radius.
        radius: f64,
    },
    /// The lower half of a circle.
    Hollow {
        /// Centre.
        center: Point,
        /// Radius.
        radius: f64,
    },
}

/// A piece of a face: one height for every u, or upright.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// Its left end, or the end that comes first along the face if it is upright.
    pub from: Point,
    /// Its right end.
    pub to: Point,
    /// How it goes.
    pub run: Run,
    /// The element of the moulding that it belongs to; none for waste.
    pub element: Option<usize>,
}

impl Span {
    /// A straight span.
    #[must_use]
    pub fn line(from: Point, to: Point, element: Option<usize>) -> Span {
        Span { from, to, run: Run::Line, element }
    }

    /// The spans of a piece, cut where it turns back in u.
    #[must_use]
    pub fn of(piece: &Piece, element: Option<usize>) -> Vec<Span> {
        let Some(center) = piece.center() else {
            let (a, b) = (piece.from, piece.to);
            return vec![if a.x <= b.x {
                Span::line(a, b, element)
            } else {
                Span::line(b, a, element)
            }];
        };
        let radius = piece.radius();
        let mut shares = vec![0.0, 1.0];
        for side in [-1.0, 1.0] {
            let extreme = center + point(side * radius, 0.0);
            let share = piece.nearest_share(extreme);
            if piece.at(share).distance(extreme) < EPSILON {
                shares.push(share);
            }
        }
        shares.sort_by(f64::total_cmp);
        shares
            .windows(2)
            .filter(|pair| pair[1] - pair[0] > 1e-9)
            .map(|pair| {
                let (a, b) = (piece.at(pair[0]), piece.at(pair[1]));
                let middle = piece.at((pair[0] + pair[1]) / 2.0);
                let run = match middle.y > center.y {
                    true => Run::Hill { center, radius },
                    false => Run::Hollow { center, radius },
                };
                let (from, to) = if a.x <= b.x { (a, b) } else { (b, a) };
                Span { from, to, run, element }
            })
            .collect()
    }

    /// Whether it stands upright.
    #[must_use]
    pub fn is_wall(&self) -> bool {
        self.to.x - self.from.x <= EPSILON
    }

    /// Its height at `u`, held within its ends; the upper end of a wall.
    #[must_use]
    pub fn z(&self, u: f64) -> f64 {
        let u = u.clamp(self.from.x, self.to.x);
        match self.run {
            Run::Line if self.is_wall() => self.from.y.max(self.to.y),
            Run::Line => {
                let share = (u - self.from.x) / (self.to.x - self.from.x);
                self.from.y + (self.to.y - self.from.y) * share
            }
            Run::Hill { center, radius } => center.y + half_chord(radius, u - center.x),
            Run::Hollow { center, radius } => center.y - half_chord(radius, u - center.x),
        }
    }

    /// The part between two places in u.
    #[must_use]
    pub fn part(&self, from: f64, to: f64) -> Span {
        Span { from: point(from, self.z(from)), to: point(to, self.z(to)), ..*self }
    }

    /// Rise over run at `u`; of a wall none.
    #[must_use]
    pub fn slope(&self, u: f64) -> f64 {
        match self.run {
            Run::Line => (self.to.y - self.from.y) / (self.to.x - self.from.x),
            Run::Hill { center, radius } => -(u - center.x) / half_chord(radius, u - center.x),
            Run::Hollow { center, radius } => (u - center.x) / half_chord(radius, u - center.x),
        }
    }

    /// Length along it.
    #[must_use]
    pub fn length(&self) -> f64 {
        let chord = self.from.distance(self.to);
        match self.run {
            Run::Line => chord,
            Run::Hill { radius, .. } | Run::Hollow { radius, .. } => {
                2.0 * radius * (chord / (2.0 * radius)).min(1.0).asin()
            }
        }
    }

    /// The point at `share` of its length and the unit normal there, out of the wood.
    #[must_use]
    pub fn at(&self, share: f64) -> (Point, Point) {
        match self.run {
            Run::Line => {
                let along = self.to - self.from;
                (self.from + along * share, along.left().unit().unwrap_or_default())
            }
            Run::Hill { center, radius } | Run::Hollow { center, radius } => {
                let (a, b) = (self.from - center, self.to - center);
                let turn = a.cross(b).atan2(a.dot(b));
                let out = a.rotated(turn * share) * (1.0 / radius);
                let hill = matches!(self.run, Run::Hill { .. });
                (center + out * radius, if hill { out } else { -out })
            }
        }
    }

    /// The least height of a tip at `u` that keeps the cutter out of this span: the greatest of
    /// z(v) - rise(v - u). It is reached at an end, at a kink of the cutter's outline, or where
    /// face and outline have one slope, and each of these is a closed form.
    #[must_use]
    pub fn tip(&self, edge: &Edge, u: f64) -> f64 {
        let reach = edge.radius - FIT;
        let low = self.from.x.max(u - reach);
        let high = self.to.x.min(u + reach);
        if low > high {
            return f64::NEG_INFINITY;
        }
        let mut best = f64::NEG_INFINITY;
        let mut see = |v: f64| {
            if v >= low && v <= high {
                // The rim itself is the cutter's, whatever rounding says of it.
                best = best.max(self.z(v) - edge.rise((v - u).abs().min(edge.radius)));
            }
        };
        see(low);
        see(high);
        for side in [-1.0, 1.0] {
            let w = u + side * edge.flat;
            see(w);
            see(w + side * edge.round_ends());
            if let Some(k) = edge.side {
                self.with_slope(side * k).into_iter().for_each(&mut see);
            }
            self.touched_by_round(edge.corner, w).into_iter().for_each(&mut see);
        }
        self.with_slope(0.0).into_iter().for_each(&mut see);
        best
    }

    /// Where an arc has this slope.
    fn with_slope(&self, k: f64) -> Option<f64> {
        let off = |radius: f64| radius * k / k.hypot(1.0);
        match self.run {
            Run::Line => None,
            Run::Hill { center, radius } => Some(center.x - off(radius)),
            Run::Hollow { center, radius } => Some(center.x + off(radius)),
        }
    }

    /// Where a round of this radius whose centre is at `w` touches.
    fn touched_by_round(&self, corner: f64, w: f64) -> Option<f64> {
        match self.run {
            Run::Line if self.is_wall() => None,
            Run::Line => {
                let m = self.slope(w);
                Some(w + corner * m / m.hypot(1.0))
            }
            Run::Hill { center, radius } => {
                Some(center.x + radius * (w - center.x) / (radius + corner))
            }
            // A round that is no smaller than the hollow touches at ends only.
            Run::Hollow { radius, .. } if radius <= corner + EPSILON => None,
            Run::Hollow { center, radius } => {
                Some(center.x + radius * (w - center.x) / (radius - corner))
            }
        }
    }
}

fn half_chord(radius: f64, aside: f64) -> f64 {
    (radius * radius - aside * aside).max(0.0).sqrt()
}
