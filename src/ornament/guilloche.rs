//! The guilloche: two bands plaited round a row of eyes.
//!
//! Bands that go by turns over and under one another round circles evenly spaced, as in the plates
//! of interlacing bands in Meyer, Handbook of Ornament (from memory).

use super::blade::{Blade, Girth, OPEN, Section};
use super::boss::{Boss, Ring};
use super::motif::Motif;
use super::spine::Spine;
use crate::geometry::point;
use std::f64::consts::PI;

/// Pitch of the eyes over the height of the band (from memory).
const PITCH: f64 = 0.92;

/// A guilloche about the origin, along x: as many eyes as fit.
#[must_use]
pub fn guilloche(length: f64, height: f64, depth: f64) -> Motif {
    let gaps = ((length - height) / (PITCH * height)).round().max(1.0);
    let pitch = (length - height) / gaps;
    // The upper strand stands at 0.8525 of what the forms are laid by.
    let depth = depth / 0.8525;
    let plait = Plait { pitch, height, depth, from: height / 2.0 - length / 2.0 };
    let mut motif = Motif::default();
    // Eyes are numbered from 0; crossing k lies between eyes k and k + 1.
    let count = gaps as i32;
    for k in 0..=count {
        plait.eye(&mut motif, k);
    }
    motif.push(plait.end(1.0, -length / 2.0 + height / 2.0));
    motif.push(plait.end(-1.0, length / 2.0 - height / 2.0));
    for k in 0..count {
        let over = if k % 2 == 0 { 1.0 } else { -1.0 };
        motif.push(plait.strand(k, -over, 0.0));
        motif.push(plait.strand(k, over, 0.30 * depth));
    }
    motif
}

struct Plait {
    pitch: f64,
    height: f64,
    depth: f64,
    from: f64,
}

impl Plait {
    fn half(&self) -> f64 {
        0.135 * self.height
    }

    fn band(&self, spine: Spine, swell: f64) -> Blade {
        let section = Section {
            crown: 0.26 * self.depth,
            vein: -0.16 * self.depth,
            vein_half: 0.16 * self.half(),
            swell,
            even_vein: true,
            ..Section::default()
        };
        let girth = Girth::new(self.half(), OPEN, OPEN);
        Blade::new(spine, girth, [0.32 * self.depth; 4], section)
    }

    /// The band that goes up (`way` 1) or down (-1) from one eye to the next.
    fn strand(&self, k: i32, way: f64, swell: f64) -> Blade {
        let amplitude = self.height / 2.0 - self.half();
        let x0 = self.from + f64::from(k) * self.pitch;
        let at = |share: f64| {
            let angle = PI * (share - 0.5);
            let along = point(self.pitch, way * amplitude * PI * angle.cos());
            let p = point(x0 + share * self.pitch, way * amplitude * angle.sin());
            (p, along.unit().unwrap_or_default())
        };
        // Four spans of two arcs follow half a wave within a thousandth of its height.
        let places: Vec<_> = (0..=4).map(|i| at(f64::from(i) / 4.0)).collect();
        self.band(Spine::through(&places), swell)
    }

    /// The half circle round the first (`side` 1) or last eye (-1), from above it to below.
    fn end(&self, side: f64, x: f64) -> Blade {
        let radius = self.height / 2.0 - self.half();
        let start = if side > 0.0 { PI } else { 0.0 };
        self.band(Spine::bent(point(x, radius), start, PI * radius, side * PI), 0.0)
    }

    /// A ringed bead in the middle between two crossings.
    fn eye(&self, m: &mut Motif, k: i32) {
        let at = point(self.from + (f64::from(k)) * self.pitch, 0.0);
        let radius = 0.155 * self.height;
        m.push(Ring {
            at,
            radius: 0.8 * radius,
            half: 0.2 * radius,
            base: 0.18 * self.depth,
            crown: 0.18 * self.depth,
            lobes: 0.0,
            parted: 0.0,
        });
        m.push(Boss::bead(at, 0.52 * radius, 0.12 * self.depth, 0.50 * self.depth));
    }
}
