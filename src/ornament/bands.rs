//! Running ornament: bead and reel, egg and dart, laurel.
//!
//! Bead and reel: one bead to two reels, on a cord. Egg and dart: an egg in its shell, and a dart
//! between two, under a fillet; the egg as wide as two thirds of the height (both from memory of
//! the plates of the Ionic order in Vignola and in Ware). Laurel: leaves by threes with berries,
//! from both ends to a ribbon crossed in the middle (from memory of the toruses of the orders).

use super::blade::{Blade, Girth, Section};
use super::boss::Boss;
use super::festoon::{Bundle, bundle};
use super::motif::Motif;
use super::spine::Spine;
use super::straight::{Channel, Plate};
use crate::geometry::{Point, point};
use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};

/// Length of a bead and two reels over the height of the band.
const BEAD_PITCH: f64 = 1.85;

/// A row of beads and reels about the origin, along x.
#[must_use]
pub fn bead_and_reel(length: f64, height: f64, depth: f64) -> Motif {
    let count = (length / (BEAD_PITCH * height)).round().max(1.0);
    let pitch = length / count;
    let half = height / 2.0;
    let mut m = Motif::default();
    let reach = length / 2.0 - 0.2 * half;
    let (from, to) = (point(-reach, 0.0), point(reach, 0.0));
    m.push(Channel { from, to, half: 0.22 * half, crown: 0.2 * half.min(depth) });
    for i in 0..count as usize {
        let x = -length / 2.0 + (i as f64 + 0.5) * pitch;
        let bead = 0.315 * pitch;
        m.push(Boss {
            half: bead,
            up: half,
            down: half,
            ..Boss::bead(point(x, 0.0), half, 0.0, depth)
        });
        for side in [1.0, -1.0] {
            let at = point(x + side * 0.412 * pitch, 0.0);
            m.push(Boss {
                half: 0.082 * pitch,
                up: half,
                down: half,
                ..Boss::bead(at, half, 0.05 * depth, 0.9 * depth)
            });
        }
    }
    m
}

/// Eggs and darts about the origin, along x, hanging from a fillet.
#[must_use]
pub fn egg_and_dart(length: f64, height: f64, depth: f64) -> Motif {
    // A dart at each end: a quarter of a pitch for the two halves that stand beyond the eggs.
    let count = (length / (0.92 * height) - 0.25).round().max(1.0);
    let pitch = length / (count + 0.25);
    let mut m = Motif::default();
    let x = |i: f64| point((i - count / 2.0) * pitch, 0.0);
    for i in 0..=count as usize {
        dart(&mut m, x(i as f64), pitch, height, depth);
    }
    for i in 0..count as usize {
        egg(&mut m, x(i as f64 + 0.5), pitch, height, depth);
    }
    let (low, high) = (point(-length / 2.0, 0.40 * height), point(length / 2.0, 0.50 * height));
    m.push(Plate { rectangles: vec![(low, high)], height: depth, bevel: 0.02 * height });
    m
}

/// A dart: a narrow ridged shaft, broadened to a barbed point.
fn dart(m: &mut Motif, at: Point, pitch: f64, height: f64, depth: f64) {
    let down = |y: f64| at + point(0.0, y * height);
    let ridge = |k: f64| Section {
        crown: 0.30 * k * depth,
        vein: 0.18 * k * depth,
        vein_half: 0.022 * pitch,
        even_vein: true,
        ..Section::default()
    };
    let shaft = Spine::bent(down(0.42), -FRAC_PI_2, 0.62 * height, 0.0);
    let girth = Girth { taper: 0.45, ..Girth::new(0.080 * pitch, 0, 0) };
    m.push(Blade::new(shaft, girth, [0.42, 0.36, 0.3, 0.2].map(|s| s * depth), ridge(0.8)));
    let head = Spine::bent(down(-0.16), -FRAC_PI_2, 0.335 * height, 0.0);
    let rise = [0.22, 0.34, 0.30, 0.16].map(|s| s * depth);
    m.push(Blade::new(head, Girth::new(0.125 * pitch, 1, 3), rise, ridge(1.2)));
}

/// An egg in its shell: a rim, a hollow, and the egg standing in it.
fn egg(m: &mut Motif, at: Point, pitch: f64, height: f64, depth: f64) {
    let middle = at + point(0.0, 0.10 * height);
    let oval = |half: f64, up: f64, down: f64, base: f64, high: f64| Boss {
        half: half * pitch,
        up: up * height,
        down: down * height,
        ..Boss::bead(middle, pitch * half, base * depth, high * depth)
    };
    m.push(oval(0.415, 0.39, 0.59, 0.10, 0.46));
    m.push(Boss { set_in: 0.0, ..oval(0.335, 0.38, 0.51, 0.30, -0.26) });
    m.push(oval(0.255, 0.37, 0.42, 0.06, 0.94));
}

/// A band of laurel about the origin, along x, its leaves pointing to a crossed ribbon.
#[must_use]
pub fn laurel_band(length: f64, height: f64, depth: f64) -> Motif {
    // The ribbon's crossing stands at nine tenths of what the forms are laid by.
    let depth = depth / 0.9025;
    let mut m = Motif::default();
    let half = length / 2.0;
    let spine = Spine::bent(point(-half, 0.0), 0.0, length, 0.0);
    let long = 1.05 * height;
    // Leaves overlap by half; the last ones reach under the ribbon.
    let count = ((half - 0.55 * long) / (0.46 * long)).round().max(1.0);
    let step = (half - 0.55 * long) / count;
    for i in (0..=count as usize).rev() {
        for flip in [false, true] {
            let one = Bundle {
                spine: &spine,
                s: step * i as f64,
                long,
                wide: 0.84 * height,
                thick: depth,
                flip,
            };
            bundle(&mut m, &one);
        }
    }
    for side in [1.0, -1.0] {
        let across = Spine::bent(
            Point::polar(0.60 * height, side * FRAC_PI_4 * 1.25 + std::f64::consts::PI),
            side * FRAC_PI_4 * 1.25,
            1.20 * height,
            0.0,
        );
        let section = Section { crown: 0.10 * depth, rim: 0.07 * depth, ..Section::default() };
        let rise = [0.06, 1.05, 1.05, 0.06].map(|s| s * depth);
        m.push(Blade::new(across, Girth::new(0.10 * height, 0, 0), rise, section));
    }
    m
}
