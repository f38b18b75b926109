//! The joint of a straight return and a bowed moulding, whose true line is a curve.

use crate::geometry::{CircularSegment, Contour, Piece, Point, point};
use std::f64::consts::FRAC_PI_2;

/// The true mitre at a cap's left corner.
///
/// Members of projection p stand on a line p outside the return's back and on a circle p outside
/// the arc: points equally far from a line and a circle, a parabola with the arc's centre for
/// focus. Frame: origin at the middle of the chord, x along it, y out; the corner at
/// `(-chord/2, 0)`. The right corner is the mirror image.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurvedMitre {
    front: CircularSegment,
    projection: f64,
}

/// What the saw and the report need to know of that joint. Radians and millimetres.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct CornerMitre {
    /// Half the angle of the arc.
    pub half_angle: f64,
    /// How far the moulding turns at the corner: a quarter turn less the half angle.
    pub turn: f64,
    /// Half of the turn: the true mitre's direction where it starts at the cap's corner, off square.
    pub each: f64,
    /// Off square on the return, for a straight cut that meets both ends of the true line.
    pub straight_on_return: f64,
    /// The same on the arc, off the radius through the cap's corner.
    pub straight_on_arc: f64,
    /// Depth of the mitre: how much longer the return's outer edge is than its back.
    pub depth: f64,
    /// Greatest distance between the true line and that straight cut.
    pub departure: f64,
    /// Projection from the cap's edge at which it is found.
    pub departure_at: f64,
}

impl CurvedMitre {
    /// For a moulding of `projection` round a cap with this front. Both must be what
    /// [`CircularSegment`] and a header allow: positive, the rise at most half the chord.
    #[must_use]
    pub fn new(front: CircularSegment, projection: f64) -> CurvedMitre {
        CurvedMitre { front, projection }
    }

    /// y of the true line at `p` from the cap's edge:
    /// `(s - R) + sqrt((R + p)² - (c/2 + p)²)`, written so that no digits are lost.
    #[must_use]
    pub fn depth_at(&self, p: f64) -> f64 {
        let (r, h) = (self.front.radius, self.front.chord / 2.0);
        let sum = (r + h + 2.0 * p).sqrt() + (r + h).sqrt();
        (r - h).max(0.0).sqrt() * 2.0 * p / sum
    }

    /// The true line at `p` from the cap's edge.
    #[must_use]
    pub fn at(&self, p: f64) -> Point {
        point(-(self.front.chord / 2.0 + p), self.depth_at(p))
    }

    /// The true line as `count` + 1 points at even projections, from the cap's corner out.
    #[must_use]
    pub fn points(&self, count: usize) -> Vec<Point> {
        let count = count.max(1);
        (0..=count).map(|i| self.at(self.projection * i as f64 / count as f64)).collect()
    }

    /// The true line as arcs that stay within `tolerance` of it, from the cap's corner out.
    #[must_use]
    pub fn contour(&self, tolerance: f64) -> Contour {
        let mut pieces = Vec::new();
        self.fit(0.0, self.projection, tolerance.max(1e-9), &mut pieces);
        Contour::from_pieces(&pieces, false)
    }

    /// Splits until an arc through both ends and the middle fits.
    fn fit(&self, low: f64, high: f64, tolerance: f64, pieces: &mut Vec<Piece>) {
        let middle = (low + high) / 2.0;
        let arc = arc_through(self.at(low), self.at(middle), self.at(high));
        // The parabola leaves a three-point arc most near the quarters.
        let off = [1.0, 2.0, 3.0, 5.0, 6.0, 7.0]
            .map(|eighth| {
                let p = self.at(low + (high - low) * eighth / 8.0);
                arc.at(arc.nearest_share(p)).distance(p)
            })
            .into_iter()
            .fold(0.0, f64::max);
        // A thousandth of the moulding is finer than any tool: an end to the halving.
        if off <= tolerance || high - low < self.projection / 1000.0 {
            pieces.push(arc);
        } else {
            self.fit(low, middle, tolerance, pieces);
            self.fit(middle, high, tolerance, pieces);
        }
    }

    /// Angles, depth, and how far the truth departs from a straight cut.
    ///
    /// The parabola is Y² = 4 F X with F = (R - c/2)/2 and Y measured from the arc's centre, so it
    /// is farthest from its chord at the mean Y of the ends, by (ΔY)²/(16 F) along X.
    #[must_use]
    pub fn report(&self) -> CornerMitre {
        let (r, h, p) = (self.front.radius, self.front.chord / 2.0, self.projection);
        let half_angle = self.front.half_angle();
        let turn = FRAC_PI_2 - half_angle;
        let depth = self.depth_at(p);
        let straight_on_return = depth.atan2(p);
        let focal = (r - h) / 2.0;
        let (departure, departure_at) = if focal > 0.0 && depth > 0.0 {
            let along = depth * depth / (16.0 * focal);
            (along * depth / depth.hypot(p), p / 2.0 - along)
        } else {
            // A half circle runs into its returns without a turn: a straight butt.
            (0.0, p / 2.0)
        };
        CornerMitre {
            half_angle,
            turn,
            each: super::mitre_of_turn(turn),
            straight_on_return,
            straight_on_arc: turn - straight_on_return,
            depth,
            departure,
            departure_at,
        }
    }
}

/// The arc from `from` through `on` to `to`: at `on` the chord turns by half of the sweep.
fn arc_through(from: Point, on: Point, to: Point) -> Piece {
    let (first, second) = (on - from, to - on);
    let turn = first.cross(second).atan2(first.dot(second));
    Piece { from, to, bulge: (turn / 2.0).tan() }
}
