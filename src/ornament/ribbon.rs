//! The ribbon that ties a swag: a knot, two loops and two fluttering tails.
//!
//! A band is seen now from its face, now from its back: each stretch is a form of its own, one
//! edge up, and where it folds it lies over the last one.

use super::blade::{Blade, Girth, Section};
use super::boss::Boss;
use super::motif::Motif;
use super::spine::Spine;
use crate::geometry::{Point, point};
use std::f64::consts::FRAC_PI_2;

/// The tails of a bow, to be laid before what hangs from it.
pub(super) fn tails(m: &mut Motif, at: Point, reach: f64, wide: f64, low: f64, high: f64) {
    for side in [1.0, -1.0] {
        tail(m, at, side, reach, wide, low, high);
    }
}

/// A bow of loops `reach` long, `wide` the half width of the band, and its knot.
pub(super) fn bow(m: &mut Motif, at: Point, reach: f64, wide: f64, low: f64, high: f64) {
    for side in [1.0, -1.0] {
        ring(m, at, side, reach, wide, low, high);
    }
    knot(m, at, wide, low, high);
}

fn band(tilt: f64, thick: f64) -> Section {
    Section { crown: -0.16 * thick, tilt: tilt * thick, rim: 0.10 * thick, ..Section::default() }
}

/// A loop: out from the knot, round, and back to it over its own start.
fn ring(m: &mut Motif, at: Point, side: f64, reach: f64, wide: f64, low: f64, high: f64) {
    let thick = high - low;
    let p = |x: f64, y: f64| at + point(side * x * reach, y * reach);
    let spine = Spine::beziers(&[
        [p(0.0, 0.05), p(0.42, 0.52), p(1.08, 0.86), p(1.14, 0.34)],
        [p(1.14, 0.34), p(1.18, -0.06), p(0.56, -0.20), p(0.0, -0.02)],
    ]);
    let rise = [0.15, 0.35, 1.05, 0.45].map(|share| low + share * thick);
    let girth = Girth { taper: 1.2, ..Girth::new(0.66 * wide, 1, 1) };
    m.push(Blade::new(spine, girth, rise, band(-side * 0.55, thick)));
}

/// A tail: down and out, turning as it falls, its end cut as a swallow's tail.
fn tail(m: &mut Motif, at: Point, side: f64, reach: f64, wide: f64, low: f64, high: f64) {
    let thick = high - low;
    let p = |x: f64, y: f64| at + point(side * x * reach, y * reach);
    let spine = Spine::smooth(&[
        p(0.0, 0.0),
        p(0.22, -0.42),
        p(0.20, -0.80),
        p(0.42, -1.12),
        p(0.44, -1.48),
        p(0.70, -1.84),
    ]);
    let rise = [0.35, 0.75, 0.55, 0.45].map(|share| low + share * thick);
    let girth = Girth { taper: 1.5, notch: 0.9, waves: 2.0, ..Girth::new(0.78 * wide, 1, 0) };
    m.push(Blade::new(spine, girth, rise, band(side * 0.8, thick)));
}

/// The knot: a short band across, drawn in, with creases.
fn knot(m: &mut Motif, at: Point, wide: f64, low: f64, high: f64) {
    let thick = high - low;
    let spine = Spine::bent(at + point(0.0, 1.25 * wide), -FRAC_PI_2, 2.5 * wide, 0.0);
    let section = Section {
        crown: 0.30 * thick,
        vein: -0.10 * thick,
        vein_half: 0.12 * wide,
        ..Section::default()
    };
    let rise = [0.35, 0.85, 0.85, 0.35].map(|s| low + s * thick);
    m.push(Blade::new(spine, Girth::new(0.85 * wide, 1, 1), rise, section));
}

/// A nail head from which a ribbon hangs.
pub(super) fn pin(m: &mut Motif, at: Point, radius: f64, low: f64, high: f64) {
    m.push(Boss::bead(at, radius, low, high - low));
}
