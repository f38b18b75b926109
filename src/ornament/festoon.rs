//! The festoon: a swag that hangs as a chain does between two points, tied with ribbon.
//!
//! The line is the catenary (Jac. Bernoulli, Leibniz and Huygens, Acta Eruditorum 1691). Husks,
//! leaves or folds of cloth are small at the ties and full at the lowest point, laid from the
//! middle out so that each lies over the next lower one; as on the friezes of Roman altars, and
//! the plates of the Adams (from memory).

mod catenary;
mod cloth;
mod leaves;

use super::frame::Frame;
use super::husk::Husk;
use super::motif::Motif;
use super::ribbon;
use super::rosette::{Rosette, rosette};
use super::spine::Spine;
use crate::geometry::{Point, point};
use catenary::Catenary;
pub(super) use leaves::{Bundle, bundle};

/// What a festoon is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Swag {
    /// Husks from both ends to a flower in the middle.
    Husks,
    /// Bundles of leaves with berries.
    Leaves,
    /// Folds of cloth.
    Cloth,
}

/// A festoon between two points, its middle above the origin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Festoon {
    /// From tie to tie.
    pub span: f64,
    /// Lowest point of the line below the ties.
    pub sag: f64,
    /// Width of the swag at its fullest.
    pub full: f64,
    /// Highest point over the ground.
    pub depth: f64,
    /// What hangs.
    pub swag: Swag,
    /// Whether ribbons are tied at the ends.
    pub ribbons: bool,
}

/// A festoon, its ties at height 0 and its line hanging below, the middle on x = 0.
#[must_use]
pub fn festoon(f: &Festoon) -> Motif {
    let line = Catenary::hung(point(-f.span / 2.0, 0.0), point(f.span / 2.0, 0.0), f.sag);
    let mut motif = Motif::default();
    let ties = [-f.span / 2.0, f.span / 2.0].map(|x| point(x, 0.0));
    let (reach, wide) = (f.full, f.full * 0.20);
    let (low, high) = (0.06 * f.depth, 0.85 * f.depth);
    if f.ribbons {
        for at in ties {
            ribbon::tails(&mut motif, at, reach, wide, low, 0.6 * high);
        }
    }
    match f.swag {
        Swag::Husks => husks(&mut motif, f, &line),
        Swag::Leaves => leaves::lay(&mut motif, f, &line),
        Swag::Cloth => cloth::lay(&mut motif, f),
    }
    if f.ribbons {
        for at in ties {
            ribbon::bow(&mut motif, at, reach, wide, low, high);
            ribbon::pin(&mut motif, at, 0.45 * wide, 0.7 * f.depth, f.depth);
        }
    }
    motif
}

/// How full the swag is at a share of half its length, from tie (0) to middle (1).
pub(super) fn fullness(share: f64) -> f64 {
    let s = share.clamp(0.0, 1.0);
    0.50 + 0.50 * (1.0 - (1.0 - s) * (1.0 - s))
}

/// Husks on both halves, and a flower where they meet.
fn husks(motif: &mut Motif, f: &Festoon, line: &Catenary) {
    let spine = line.spine();
    let half = spine.length() / 2.0;
    let biggest = f.full * 1.02;
    let rose = f.full * 0.5;
    // Husks from the tie inward, each as long as its place allows, until the flower.
    let mut places = Vec::new();
    let mut s = 0.10 * f.full;
    while s < half - 0.42 * rose {
        let length = biggest * fullness(s / half);
        places.push((s, length));
        s += 0.74 * length;
    }
    // Stretched so that the last mouth just reaches under the flower.
    let stretch = (half - 0.60 * rose) / s.max(1e-9);
    for &(s, length) in places.iter().rev() {
        let (s, length) = (s * stretch, length * stretch);
        for mirrored in [false, true] {
            lay_husk(motif, f, &spine, s, length, mirrored);
        }
    }
    let (low, _) = spine.place(half);
    let flower = rosette(&Rosette { diameter: 1.5 * rose, petals: 6, whorls: 2, depth: f.depth });
    motif.lay(Frame::moved(low), &flower);
}

fn lay_husk(m: &mut Motif, f: &Festoon, spine: &Spine, s: f64, length: f64, mirrored: bool) {
    let (at, way) = spine.place(s);
    let (_, after) = spine.place(s + length);
    let turn = way.cross(after).atan2(way.dot(after));
    let high = f.depth * (0.60 + 0.33 * length / (1.02 * f.full));
    let mut husk = Husk { at, angle: way.angle(), length, turn, low: 0.06 * f.depth, high };
    if mirrored {
        husk.at = Point { x: -at.x, y: at.y };
        husk.angle = std::f64::consts::PI - husk.angle;
        husk.turn = -turn;
    }
    husk.lay(m);
}
