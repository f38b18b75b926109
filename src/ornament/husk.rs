//! The husk or bellflower: a cup from which three pointed petals open; and drops of them.
//!
//! A drop of husks, each coming out of the mouth of the one above and a little smaller: as in the
//! plates of R. and J. Adam, Works in Architecture, and of G. Hepplewhite, Guide (from memory).

use super::blade::{Blade, Girth, Section};
use super::boss::Boss;
use super::motif::Motif;
use super::spine::Spine;
use crate::geometry::{Point, point};
use std::f64::consts::FRAC_PI_2;

/// One husk: where its cup begins, where it points, how it is bent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Husk {
    pub(super) at: Point,
    /// Direction of the middle petal, radians.
    pub(super) angle: f64,
    pub(super) length: f64,
    /// How much its axis turns over its length: it follows the swag.
    pub(super) turn: f64,
    /// Height of its cup's foot.
    pub(super) low: f64,
    /// Height of its highest ridge.
    pub(super) high: f64,
}

impl Husk {
    /// Lays the husk: two back petals, two side petals, the middle one over them, the cup last.
    pub(super) fn lay(&self, motif: &mut Motif) {
        for side in [1.0, -1.0] {
            motif.push(self.petal(side * 0.30, side * 0.16, 0.88, 0.12, 0.25));
        }
        for side in [1.0, -1.0] {
            motif.push(self.side_petal(side));
        }
        motif.push(self.middle_petal());
        self.cup(motif);
    }

    fn heights(&self, shares: [f64; 4]) -> [f64; 4] {
        shares.map(|s| self.low + (self.high - self.low) * s)
    }

    /// A plain petal between the others, seen behind them.
    fn petal(&self, lean: f64, turn: f64, long: f64, half: f64, rise: f64) -> Blade {
        let l = self.length;
        let start = self.at + Point::polar(0.16 * l, self.angle);
        let spine =
            Spine::bent(start, self.angle + lean, (long - 0.16) * l, self.turn * 0.8 + turn);
        let section = Section {
            crown: 0.10 * (self.high - self.low),
            vein: 0.12 * (self.high - self.low),
            vein_half: 0.03 * l,
            ..Section::default()
        };
        let rise = self.heights([rise, rise + 0.1, rise + 0.15, rise]);
        Blade::new(spine, Girth::new(half * l, 1, 2), rise, section)
    }

    /// A side petal: along the middle one, then turned out to its point.
    fn side_petal(&self, side: f64) -> Blade {
        let l = self.length;
        let start = self.at
            + Point::polar(0.10 * l, self.angle)
            + Point::polar(0.05 * l * side, self.angle + FRAC_PI_2);
        let spine = Spine::bends(
            start,
            self.angle + side * 0.62,
            &[
                (0.36 * l, -side * 0.42 + self.turn * 0.4),
                (0.44 * l, side * 0.85 + self.turn * 0.4),
            ],
        );
        let thick = self.high - self.low;
        let section = Section {
            crown: -0.20 * thick,
            vein: 0.16 * thick,
            vein_half: 0.035 * l,
            rim: 0.10 * thick,
            ..Section::default()
        };
        let rise = self.heights([0.45, 0.85, 0.75, 0.55]);
        Blade::new(spine, Girth::new(0.155 * l, 1, 2), rise, section)
    }

    fn middle_petal(&self) -> Blade {
        let l = self.length;
        let start = self.at + Point::polar(0.08 * l, self.angle);
        let spine = Spine::bent(start, self.angle + 0.04 * self.turn, 0.80 * l, self.turn);
        let thick = self.high - self.low;
        let section = Section {
            crown: 0.20 * thick,
            vein: 0.17 * thick,
            vein_half: 0.045 * l,
            ..Section::default()
        };
        // Swells over the cup, sinks, and turns up at the point over the next husk.
        let rise = self.heights([0.45, 0.75, 0.60, 0.85]);
        Blade::new(spine, Girth::new(0.165 * l, 2, 2), rise, section)
    }

    /// The cup: two sepals that clasp the petals' feet, a third over them, and a bead below.
    fn cup(&self, motif: &mut Motif) {
        let l = self.length;
        let thick = self.high - self.low;
        let section = Section {
            crown: 0.16 * thick,
            vein: 0.12 * thick,
            vein_half: 0.025 * l,
            ..Section::default()
        };
        for (side, long, half) in [(1.0, 0.36, 0.075), (-1.0, 0.36, 0.075), (0.0, 0.44, 0.095)] {
            let spine = Spine::bent(
                self.at,
                self.angle + side * 0.75,
                long * l,
                -side * 0.50 + 0.3 * self.turn,
            );
            let lift = if side == 0.0 { 0.12 } else { 0.0 };
            let rise = self.heights([0.40, 0.72, 0.84 + lift, 0.74 + lift]);
            motif.push(Blade::new(spine, Girth::new(half * l, 1, 2), rise, section));
        }
        let bead = self.at + Point::polar(0.015 * l, self.angle);
        motif.push(Boss::bead(bead, 0.055 * l, self.low + 0.40 * thick, 0.34 * thick));
    }
}

/// A drop of husks that hangs from the origin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HuskDrop {
    /// From the hanging point to the last tip.
    pub length: f64,
    /// How many.
    pub count: usize,
    /// The last husk's length over the first one's.
    pub taper: f64,
    /// Highest point over the ground.
    pub depth: f64,
}

/// Share of a husk that shows before the next one's cup begins.
const STEP: f64 = 0.82;

/// Share of a husk's length at which its middle petal ends.
const TIP: f64 = 0.88;

/// How high the ridge of a husk's middle petal stands, as a share of the height it is laid by.
const RIDGE: f64 = 1.078;

/// A drop of husks, hanging from the origin, with a bead under the last.
#[must_use]
pub fn husk_drop(drop: &HuskDrop) -> Motif {
    let count = drop.count.max(1);
    let ratio = drop.taper.powf(1.0 / (count.max(2) - 1) as f64);
    let shares: Vec<f64> = (0..count).map(|i| ratio.powi(i as i32)).collect();
    let last = shares[count - 1];
    let (shown, radius) = (TIP * last, 0.10 * last);
    // The bead hangs at the last tip, a tenth of it under the petal.
    let whole: f64 =
        shares.iter().take(count - 1).map(|s| s * STEP).sum::<f64>() + shown + 1.8 * radius;
    let unit = drop.length / whole;
    let depth = drop.depth / RIDGE;
    let mut motif = Motif::default();
    let mut y = (radius - whole) * unit;
    motif.push(Boss::bead(point(0.0, y), radius * unit, 0.1 * depth, 0.5 * depth * drop.taper));
    y = (1.8 * radius - whole) * unit;
    for (i, &share) in shares.iter().enumerate().rev() {
        let length = share * unit;
        y += length * if i + 1 == count { TIP } else { STEP };
        let high = depth * (0.55 + 0.45 * share);
        Husk { at: point(0.0, y), angle: -FRAC_PI_2, length, turn: 0.0, low: 0.08 * high, high }
            .lay(&mut motif);
    }
    motif
}
