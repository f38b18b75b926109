//! The least rise at which a cap's arc still covers what lies under it.

use crate::geometry::{CircularSegment, Point};

/// A cap's two front corners and what its arc must cover.
///
/// Frame: the plan's. The corners stand at `(±half_chord, end_depth)`; the front's arc passes
/// through both and bows outwards.
#[derive(Clone, Debug, PartialEq)]
pub struct CapSeat {
    /// Half the straight distance between the corners.
    pub half_chord: f64,
    /// Distance of the corners from the wall.
    pub end_depth: f64,
    /// Corners of what lies below, in plan.
    pub corners: Vec<Point>,
    /// Least distance from each of them to the arc.
    pub overhang: f64,
}

/// Not even a half circle covers the corners by the overhang.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NoRise {
    /// The corner that is worst off.
    pub corner: Point,
    /// Its distance to a half circle over the same chord; negative when it stands beyond.
    pub most_overhang: f64,
    /// The least half chord that allows the overhang, by a half circle.
    pub half_chord_needed: f64,
}

impl CapSeat {
    /// The least rise that covers every corner by the overhang; 0 when a straight front does.
    ///
    /// With h the half chord, o the overhang, x the corner's distance from the centre line, q its
    /// height over the chord (negative below), s the rise and z = s/h: the circle through the
    /// cap's corners has its centre u = h(1/z - z)/2 below the chord and the radius
    /// R = h(1/z + z)/2. The corner is covered when its distance to the centre is at most R - o:
    /// x² + (q + u)² <= (R - o)², and since R² - u² = h² this is 2(q u + o R) <= h² + o² - x² - q².
    /// Put u and R in and multiply by z/h:
    ///
    /// (o - q) z² - B z + (q + o) <= 0, B = (h² + o² - x² - q²)/h.
    ///
    /// The least z is the smaller root, 2(q + o) / (B + sqrt(B² - 4(o² - q²))), which loses no
    /// digits for a flat arc. Arcs over one chord lie one inside the other, so cover grows with
    /// the rise and everything from this root up to a half circle (z = 1) covers too. For o = 0 it
    /// is the circle through the corner itself.
    ///
    /// # Errors
    /// [`NoRise`], when a half circle does not cover.
    pub fn least_rise(&self) -> Result<f64, NoRise> {
        let mut least = 0.0_f64;
        for &corner in &self.corners {
            least = least.max(self.least_for(corner)?);
        }
        Ok(least)
    }

    fn least_for(&self, corner: Point) -> Result<f64, NoRise> {
        let (h, o) = (self.half_chord, self.overhang);
        let (x, q) = (corner.x.abs(), corner.y - self.end_depth);
        let most = self.distance_to_arc(&self.half_circle(), corner);
        // A nanometre is forgiven: rounding of the sums that placed the corner.
        if most + 1e-6 < o {
            return Err(NoRise { corner, most_overhang: most, half_chord_needed: o + x.hypot(q) });
        }
        if q + o <= 0.0 {
            return Ok(0.0);
        }
        let b = (h * h + o * o - x * x - q * q) / h;
        let root = (b * b - 4.0 * (o * o - q * q)).max(0.0).sqrt();
        Ok((2.0 * h * (q + o) / (b + root)).min(h))
    }

    fn half_circle(&self) -> CircularSegment {
        let h = self.half_chord;
        CircularSegment { chord: 2.0 * h, rise: h, radius: h }
    }

    /// Least distance from the corners to an arc over this chord; negative when one stands beyond
    /// it. Infinite without corners.
    #[must_use]
    pub fn cover(&self, front: &CircularSegment) -> f64 {
        self.corners
            .iter()
            .map(|&corner| self.distance_to_arc(front, corner))
            .fold(f64::INFINITY, f64::min)
    }

    /// Distance from a point of the plan to the front's arc, negative beyond it.
    #[must_use]
    pub fn distance_to_arc(&self, front: &CircularSegment, from: Point) -> f64 {
        let h = self.half_chord;
        let (x, q) = (from.x.abs(), from.y - self.end_depth);
        // Depth of the centre below the chord.
        let u = front.radius - front.rise;
        let to_center = x.hypot(q + u);
        let beside = x * u > h * (q + u);
        if beside {
            // The nearest of the circle is not on the arc: its end is nearest.
            return (h - x).hypot(q);
        }
        // R - to_center, written so that a flat arc keeps its digits: R² - u² = h².
        (h * h - x * x - q * q - 2.0 * q * u) / (front.radius + to_center)
    }
}
