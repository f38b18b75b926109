//! The line of a hanging chain.

use super::super::spine::Spine;
use crate::geometry::{Point, point};

/// A chain hung from two points: `y = low + a (cosh((x - middle) / a) - 1)`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Catenary {
    from: Point,
    to: Point,
    a: f64,
    middle: f64,
    level: f64,
}

impl Catenary {
    /// The chain through two points whose middle in plan hangs `sag` below the line between them.
    #[must_use]
    pub(super) fn hung(from: Point, to: Point, sag: f64) -> Catenary {
        let (half, drop) = ((to.x - from.x) / 2.0, to.y - from.y);
        let sag = sag.max(1e-6 * half);
        // Where the chain's lowest place lies for a given `a`, from the middle of the span.
        let shift = |a: f64| a * (drop / (2.0 * a * (half / a).sinh())).asinh();
        let hangs = |a: f64| a * (shift(a) / a).cosh() * ((half / a).cosh() - 1.0);
        // Flatter as `a` grows: sag ~ half² / 2a. Below half/600 cosh overflows.
        let (mut tight, mut flat) = (half / 600.0, half * half / sag * 2.0 + half);
        for _ in 0..200 {
            let a = (tight * flat).sqrt();
            if hangs(a) > sag { tight = a } else { flat = a }
        }
        let a = (tight * flat).sqrt();
        let middle = (from.x + to.x) / 2.0 - shift(a);
        let level = from.y - a * ((from.x - middle) / a).cosh();
        Catenary { from, to, a, middle, level }
    }

    /// Height at `x`.
    #[must_use]
    pub(super) fn y(&self, x: f64) -> f64 {
        self.level + self.a * ((x - self.middle) / self.a).cosh()
    }

    /// The line from the first point to the second.
    #[must_use]
    pub(super) fn spine(&self) -> Spine {
        // Ten spans of two arcs follow a swag as deep as it is wide within a thousandth of its span.
        const SPANS: usize = 10;
        let places: Vec<(Point, Point)> = (0..=SPANS)
            .map(|i| {
                let x = self.from.x + (self.to.x - self.from.x) * i as f64 / SPANS as f64;
                let way = point(1.0, ((x - self.middle) / self.a).sinh());
                (point(x, self.y(x)), way.unit().unwrap_or_default())
            })
            .collect();
        Spine::through(&places)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The catenary y = a cosh(x / a): its length between two places is a (sinh - sinh).
    #[test]
    fn a_chain_hangs_as_long_as_the_catenary() {
        let chain = Catenary::hung(point(-80.0, 0.0), point(80.0, 0.0), 40.0);
        assert!(chain.y(80.0).abs() < 1e-9 && (chain.y(0.0) + 40.0).abs() < 1e-9);
        let long = 2.0 * chain.a * (80.0 / chain.a).sinh();
        assert!((chain.spine().length() - long).abs() < 1e-3 * long, "{long}");
        // Both sides of the definition: the sag is a (cosh - 1).
        assert!((chain.a * ((80.0 / chain.a).cosh() - 1.0) - 40.0).abs() < 1e-9);
    }

    #[test]
    fn a_chain_between_unlike_heights_passes_both_and_sags_as_asked() {
        let (from, to) = (point(10.0, 5.0), point(130.0, 45.0));
        let chain = Catenary::hung(from, to, 30.0);
        assert!((chain.y(10.0) - 5.0).abs() < 1e-6 && (chain.y(130.0) - 45.0).abs() < 1e-6);
        assert!((chain.y(70.0) - (25.0 - 30.0)).abs() < 1e-6, "{}", chain.y(70.0));
    }
}
