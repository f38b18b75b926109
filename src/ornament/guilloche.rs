//! The guilloche: two bands plaited round a row of eyes.
//!
//! Bands that go by turns over and under one another round circles evenly spaced, as in the plates
//! of interlacing bands in Meyer, Handbook of Ornament (from memory).

use super::blade::{Blade, Girth, Section};
use super::boss::{Boss, Ring};
use super::motif::Motif;
use super::spine::Spine;
use crate::geometry::{Point, point};
use std::f64::consts::PI;

/// Pitch of the eyes over the height of the band (from memory).
const PITCH: f64 = 0.92;

/// A guilloche about the origin, along x: as many eyes as fit.
#[must_use]
pub fn guilloche(length: f64, height: f64, depth: f64) -> Motif {
    let eyes = (length / (PITCH * height)).round().max(1.0);
    let plait = Plait { pitch: length / eyes, height, depth, from: -length / 2.0 };
    let mut motif = Motif::default();
    // Eyes are numbered from 0; crossings lie between them and at both ends.
    let count = eyes as i32;
    for k in 0..count {
        plait.eye(&mut motif, k);
    }
    for k in 0..=count {
        let over = if k % 2 == 0 { 1.0 } else { -1.0 };
        motif.push(plait.strand(k, -over, 0.0, count));
        motif.push(plait.strand(k, over, 0.30 * depth, count));
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

    /// The band that goes up (`way` 1) or down (-1) through crossing `k`, from the eye before to
    /// the eye after; at the ends of the work only the half inside.
    fn strand(&self, k: i32, way: f64, swell: f64, count: i32) -> Blade {
        let amplitude = self.height / 2.0 - self.half();
        let x0 = self.from + f64::from(k) * self.pitch;
        let at = |share: f64| -> (Point, Point) {
            let angle = PI * share;
            let along = point(self.pitch, way * amplitude * PI * angle.cos());
            let p = point(x0 + share * self.pitch, way * amplitude * angle.sin());
            (p, along.unit().unwrap_or_default())
        };
        let first = if k == 0 { 0.0 } else { -0.5 };
        let last = if k == count { 0.0 } else { 0.5 };
        // Four spans of two arcs follow half a wave within a thousandth of its height.
        let places: Vec<_> = (0..=4).map(|i| at(first + (last - first) * f64::from(i) / 4.0)).collect();
        let section = Section {
            crown: 0.26 * self.depth,
            vein: -0.16 * self.depth,
            vein_half: 0.16 * self.half(),
            swell,
            even_vein: true,
            ..Section::default()
        };
        let girth = Girth::new(self.half(), 0, 0);
        Blade::new(Spine::through(&places), girth, [0.32 * self.depth; 4], section)
    }

    /// A ringed bead in the middle between two crossings.
    fn eye(&self, m: &mut Motif, k: i32) {
        let at = point(self.from + (f64::from(k) + 0.5) * self.pitch, 0.0);
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
