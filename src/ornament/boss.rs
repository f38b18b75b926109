//! Round forms: beads, berries, eggs and rings.

use super::form::Layer;
use crate::geometry::{Point, point};
use std::f64::consts::TAU;

/// An ellipsoid, or an egg of two half ellipsoids, standing on a level.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Boss {
    /// Middle.
    pub at: Point,
    /// Half width.
    pub half: f64,
    /// Reach up from the middle.
    pub up: f64,
    /// Reach down from the middle.
    pub down: f64,
    /// Turned by this angle, radians.
    pub turned: f64,
    /// Height of its edge over the ground.
    pub base: f64,
    /// Height of its top over its edge.
    pub height: f64,
    /// A dimple or eye in the middle, as a share of its size: 0 none.
    pub eye: f64,
    /// Line set in beside it.
    pub set_in: f64,
}

impl Boss {
    /// A bead: part of a ball of this radius.
    #[must_use]
    pub fn bead(at: Point, radius: f64, base: f64, height: f64) -> Boss {
        Boss {
            at,
            half: radius,
            up: radius,
            down: radius,
            turned: 0.0,
            base,
            height,
            eye: 0.0,
            set_in: 0.05 * radius,
        }
    }

    fn wall(&self) -> f64 {
        (self.half / 8.0).clamp(0.1, 0.4)
    }

    /// The form at `p`.
    #[inline]
    #[must_use]
    pub fn layer(&self, p: Point) -> Option<Layer> {
        let mut d = p - self.at;
        if self.turned != 0.0 {
            d = d.rotated(-self.turned);
        }
        let reach = if d.y > 0.0 { self.up } else { self.down };
        let (a, b) = (d.x / self.half, d.y / reach);
        let n2 = a * a + b * b;
        let n = n2.sqrt();
        // First-order distance to the edge: (1 - n) over the gradient of n.
        let steep = if n > 1e-9 {
            ((a / self.half).powi(2) + (b / reach).powi(2)).sqrt() / n
        } else {
            1.0 / self.half
        };
        let mut z = self.base + self.height * (1.0 - n2).max(0.0).sqrt();
        if self.eye > 0.0 {
            let out = n / self.eye;
            z -= 0.35 * self.height * (-out * out).exp();
        }
        Layer::edged(z, (1.0 - n) / steep, self.wall(), self.set_in)
    }

    /// The box outside which it has no say.
    #[must_use]
    pub fn bounds(&self) -> (Point, Point) {
        let out = self.half.max(self.up).max(self.down) + 2.0 * self.wall();
        (self.at - point(out, out), self.at + point(out, out))
    }
}

/// A ring round a middle, its section a flat arch; lobed, it is a wreath of gadroons.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ring {
    /// Middle.
    pub at: Point,
    /// Radius of the ring's own middle.
    pub radius: f64,
    /// Half its width.
    pub half: f64,
    /// Height of its edges.
    pub base: f64,
    /// Height of its crown over its edges; negative: a hollow.
    pub crown: f64,
    /// Lobes round it: 0 plain.
    pub lobes: f64,
    /// How deep the lobes are parted.
    pub parted: f64,
}

impl Ring {
    fn wall(&self) -> f64 {
        (self.half / 5.0).clamp(0.1, 0.3)
    }

    /// The form at `p`.
    #[inline]
    #[must_use]
    pub fn layer(&self, p: Point) -> Option<Layer> {
        let d = p - self.at;
        let v = d.length() - self.radius;
        let q = v / self.half;
        let mut z = self.base + self.crown * (1.0 - q * q).max(0.0);
        if self.lobes > 0.0 {
            let wave = (self.lobes * d.angle() * 0.5).cos().abs();
            z -= self.parted * (1.0 - wave.sqrt());
        }
        Layer::edged(z, self.half - v.abs(), self.wall(), 0.4 * self.wall())
    }

    /// The box outside which it has no say.
    #[must_use]
    pub fn bounds(&self) -> (Point, Point) {
        let out = self.radius + self.half + 2.0 * self.wall();
        (self.at - point(out, out), self.at + point(out, out))
    }
}

/// The places of `count` things round a middle, the first straight up.
pub(crate) fn round(count: usize) -> impl Iterator<Item = f64> {
    (0..count).map(move |i| TAU * (0.25 + i as f64 / count as f64))
}
