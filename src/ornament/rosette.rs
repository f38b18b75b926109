//! The rosette: petals in whorls about a beaded middle.
//!
//! Whorls of petals, each half a step round from the one below, as in the paterae and coffer
//! roses of the orders (plates of Vignola and of Chambers, from memory).

use super::blade::{Blade, Girth, Section};
use super::boss::{Boss, Ring, round};
use super::motif::Motif;
use super::spine::Spine;
use crate::geometry::{Point, point};
use std::f64::consts::TAU;

/// A rosette about the origin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rosette {
    /// Across the outermost petals.
    pub diameter: f64,
    /// Petals in each whorl.
    pub petals: usize,
    /// Whorls.
    pub whorls: usize,
    /// Highest point over the ground.
    pub depth: f64,
}

/// A rosette about the origin.
#[must_use]
pub fn rosette(rose: &Rosette) -> Motif {
    let (petals, whorls) = (rose.petals.max(3), rose.whorls.max(1));
    let radius = rose.diameter / 2.0;
    let mut motif = Motif::default();
    for whorl in 0..whorls {
        let share = 1.0 - 0.62 * whorl as f64 / whorls as f64;
        let low = rose.depth * 0.5 * whorl as f64 / whorls as f64;
        lay_whorl(&mut motif, rose, petals, radius * share, low, whorl);
    }
    middle(&mut motif, radius * (0.30 - 0.03 * whorls as f64), rose.depth);
    motif
}

/// One whorl: leaf points between the petals, then the petals themselves.
fn lay_whorl(m: &mut Motif, rose: &Rosette, petals: usize, reach: f64, low: f64, whorl: usize) {
    let step = TAU / petals as f64;
    let shift = if whorl % 2 == 1 { 0.5 * step } else { 0.0 };
    let depth = rose.depth;
    let thick = depth / (1.6 + 0.6 * rose.whorls as f64);
    let half = (reach * 0.62 * (step / 2.0).tan()).min(reach * 0.42);
    if whorl == 0 {
        for angle in round(petals) {
            m.push(between(angle + 0.5 * step, reach, half, low, thick));
        }
    }
    for angle in round(petals) {
        m.push(petal(angle + shift, reach, half * 1.16, low, thick));
    }
}

/// A pointed sepal seen between two petals.
fn between(angle: f64, reach: f64, half: f64, low: f64, thick: f64) -> Blade {
    let spine = Spine::bent(Point::polar(0.35 * reach, angle), angle, 0.64 * reach, 0.0);
    let section = Section {
        crown: 0.15 * thick,
        vein: 0.30 * thick,
        vein_half: 0.05 * reach,
        ..Section::default()
    };
    Blade::new(spine, Girth::new(0.85 * half, 2, 2), [low + 0.2 * thick; 4], section)
}

/// A petal: hollow, veined, its rim turned up and its end rolled over.
fn petal(angle: f64, reach: f64, half: f64, low: f64, thick: f64) -> Blade {
    let start = Point::polar(0.10 * reach, angle);
    let spine = Spine::bent(start, angle, 0.90 * reach, 0.0);
    let section = Section {
        crown: -0.34 * thick,
        vein: 0.26 * thick,
        vein_half: 0.055 * reach,
        rim: 0.16 * thick,
        ..Section::default()
    };
    let rise = [low + 0.45 * thick, low + 0.65 * thick, low + 1.35 * thick, low + 0.62 * thick];
    Blade::new(spine, Girth::new(half, 3, 1), rise, section)
}

/// A ring of beads round a domed middle.
fn middle(m: &mut Motif, radius: f64, depth: f64) {
    m.push(Boss::bead(point(0.0, 0.0), radius * 1.12, 0.42 * depth, 0.12 * depth));
    const BEADS: usize = 12;
    // Beads that just touch one another round the circle.
    let bead = 0.8 * radius * (TAU / 2.0 / BEADS as f64).sin();
    for angle in round(BEADS) {
        let at = Point::polar(0.8 * radius, angle);
        m.push(Boss::bead(at, bead, 0.55 * depth, 0.16 * depth));
    }
    m.push(Ring {
        at: point(0.0, 0.0),
        radius: 0.53 * radius,
        half: 0.09 * radius,
        base: 0.58 * depth,
        crown: 0.06 * depth,
        lobes: 0.0,
        parted: 0.0,
    });
    let mut dome = Boss::bead(point(0.0, 0.0), 0.47 * radius, 0.60 * depth, 0.40 * depth);
    dome.set_in = 0.1 * radius;
    m.push(dome);
}
