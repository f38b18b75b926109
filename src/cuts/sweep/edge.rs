//! The lower outline of a cutter's section, as the profile plane sees it.

use crate::shop::{Cutter, CutterShape};

/// A cutter's lower outline: level out to `flat`, a quarter round of radius `corner` (which may be
/// none), then a cone's side if it has one, up to `radius`; nothing beyond. It covers square and
/// round ends, bull-noses, cones and tapered balls. Millimetres, the tip at height zero.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Edge {
    /// Greatest distance from the axis.
    pub radius: f64,
    /// Half the width of the level end.
    pub flat: f64,
    /// Radius of the rounding beyond it.
    pub corner: f64,
    /// Rise over run of the cone's side.
    pub side: Option<f64>,
}

impl Edge {
    /// Of a cutter of the table; `None` for a drill, which does not mill.
    #[must_use]
    pub fn of(cutter: &Cutter) -> Option<Edge> {
        let radius = cutter.radius();
        let tip = cutter.tip_diameter.0 / 2.0;
        let cone = 1.0 / (cutter.included_angle.0 / 2.0).tan();
        let (flat, corner, side) = match cutter.shape {
            CutterShape::Flat => (radius, 0.0, None),
            CutterShape::Ball => (0.0, radius, None),
            CutterShape::BullNose => {
                (radius - cutter.corner_radius.0, cutter.corner_radius.0, None)
            }
            CutterShape::V => (tip, 0.0, Some(cone)),
            CutterShape::TaperBall => (0.0, tip, Some(cone)),
            CutterShape::Drill => return None,
        };
        Some(Edge { radius, flat, corner, side })
    }

    /// The outline of every place that is within `by` of the cutter, its lowest point at zero: a
    /// pass of it, lifted by `by`, keeps off a face by that much.
    #[must_use]
    pub fn grown(&self, by: f64) -> Edge {
        Edge { radius: self.radius + by, corner: self.corner + by, ..*self }
    }

    /// Distance beyond the flat at which the rounding meets the cone, or ends.
    #[must_use]
    pub fn round_ends(&self) -> f64 {
        // The rounding has the cone's slope k where it is c k / sqrt(1 + k²) out (closed form).
        self.side.map_or(self.corner, |k| self.corner * k / (k * k + 1.0).sqrt())
    }

    /// Whether a point at this distance from the axis, so high above the tip, is not under the
    /// outline: [`Edge::rise`] is no more than `height`, told without a root.
    #[must_use]
    pub fn clears(&self, distance: f64, height: f64) -> bool {
        if distance > self.radius || height < 0.0 {
            return false;
        }
        let out = distance - self.flat;
        if out <= 0.0 {
            return true;
        }
        let (c, below) = (self.corner, self.corner - height);
        let in_round = |out: f64| below <= 0.0 || out * out + below * below <= c * c;
        match self.side {
            None => in_round(out.min(c)),
            Some(k) => {
                let steep = k * k + 1.0;
                if out * out * steep <= c * c * k * k {
                    return in_round(out);
                }
                // On the cone the rise is k out + c - c sqrt(1 + k²) (closed form).
                let under = k * out + below;
                under <= 0.0 || under * under <= c * c * steep
            }
        }
    }

    /// Height above the tip at a distance from the axis; infinite beyond the radius.
    #[must_use]
    pub fn rise(&self, distance: f64) -> f64 {
        if distance > self.radius {
            return f64::INFINITY;
        }
        let out = distance - self.flat;
        if out <= 0.0 {
            return 0.0;
        }
        let round =
            |out: f64| self.corner - (self.corner * self.corner - out * out).max(0.0).sqrt();
        match self.side {
            None => round(out.min(self.corner)),
            Some(k) => {
                let end = self.round_ends();
                if out <= end { round(out) } else { round(end) + k * (out - end) }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Edge;
    use approx::assert_relative_eq;

    #[test]
    fn rises_are_those_of_circle_and_cone() {
        let ball = Edge { radius: 3.0, flat: 0.0, corner: 3.0, side: None };
        // Closed form: r - sqrt(r² - d²), r 3, d 0.5: 0.041960.
        assert_relative_eq!(ball.rise(0.5), 0.041_960, epsilon = 1e-6);
        let cone = Edge { radius: 10.0, flat: 0.0, corner: 0.0, side: Some(3.0_f64.sqrt()) };
        // A groove of width w cut by a 60 degree cone is (w/2) / tan 30 deep: w 10, 8.6603.
        assert_relative_eq!(cone.rise(5.0), 8.6603, epsilon = 1e-4);
        assert!(cone.rise(10.1).is_infinite());
    }

    #[test]
    fn a_grown_square_end_is_a_bull_nose() {
        let grown = Edge { radius: 3.0, flat: 3.0, corner: 0.0, side: None }.grown(0.8);
        assert_eq!(grown, Edge { radius: 3.8, flat: 3.0, corner: 0.8, side: None });
        assert_relative_eq!(grown.rise(3.8), 0.8, epsilon = 1e-6);
    }

    #[test]
    fn what_is_clear_lies_above_the_rise() {
        let k = 1.0 / 5.0_f64.to_radians().tan();
        let edges = [
            Edge { radius: 3.0, flat: 3.0, corner: 0.0, side: None },
            Edge { radius: 3.0, flat: 0.0, corner: 3.0, side: None },
            Edge { radius: 4.0, flat: 2.5, corner: 1.5, side: None },
            Edge { radius: 10.0, flat: 0.2, corner: 0.0, side: Some(1.7) },
            Edge { radius: 3.0, flat: 0.0, corner: 0.8, side: Some(k) },
        ];
        for edge in edges {
            for i in 0..1100 {
                let distance = edge.radius * f64::from(i) / 1000.0;
                let rise = edge.rise(distance);
                assert_eq!(edge.clears(distance, rise + 1e-9), rise.is_finite(), "{edge:?} {i}");
                // At the rim a ball stands upright: there no height tells in from out.
                assert!(i == 1000 || !edge.clears(distance, rise - 1e-9), "{edge:?} {i}");
            }
        }
    }

    #[test]
    fn a_tapered_ball_runs_smoothly_into_its_cone() {
        let k = 1.0 / 5.0_f64.to_radians().tan();
        let edge = Edge { radius: 3.0, flat: 0.0, corner: 0.8, side: Some(k) };
        let end = edge.round_ends();
        let slope = |d: f64| (edge.rise(d + 1e-7) - edge.rise(d - 1e-7)) / 2e-7;
        assert_relative_eq!(slope(end - 1e-4), k, max_relative = 0.05);
        assert_relative_eq!(slope(end + 1e-4), k, max_relative = 1e-6);
    }
}
