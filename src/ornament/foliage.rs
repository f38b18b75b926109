//! The acanthus leaf, simple or lobed.
//!
//! A lobed leaf: pairs of lobes along a midrib, each a fan of hollowed leaflets; an eye where two
//! lobes part, and from each eye a pipe running down beside the midrib; the tip turned over. The
//! build is that of the plates of leaves in Vignola, of Ware and of F. S. Meyer, Handbook of
//! Ornament (from memory). The simple leaf is the water leaf: one blade, ribbed, its edge turned.

use super::blade::{Blade, Girth, Section};
use super::boss::Boss;
use super::motif::Motif;
use super::spine::Spine;
use crate::geometry::{Point, point};
use std::f64::consts::FRAC_PI_2;

/// An acanthus leaf that grows up from the origin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Acanthus {
    /// From foot to tip.
    pub height: f64,
    /// Across the widest lobes.
    pub width: f64,
    /// Pairs of lobes; 0 for the simple leaf.
    pub lobes: usize,
    /// Highest point over the ground.
    pub depth: f64,
}

/// Highest points of the two builds, as shares of the depth that their forms are laid by.
const WATER_LEAF_TOP: f64 = 0.769;
const LOBED_TOP: f64 = 0.843;

/// An acanthus leaf that grows up from the origin.
#[must_use]
pub fn acanthus(leaf: &Acanthus) -> Motif {
    let mut motif = Motif::default();
    let high = |top: f64| Acanthus { depth: leaf.depth / top, ..*leaf };
    if leaf.lobes == 0 {
        water_leaf(&mut motif, &high(WATER_LEAF_TOP));
        return motif;
    }
    let leaf = &high(LOBED_TOP);
    body(&mut motif, leaf);
    top(&mut motif, leaf);
    for i in (0..leaf.lobes).rev() {
        for side in [1.0, -1.0] {
            Lobe::of(leaf, i, side).lay(&mut motif);
        }
    }
    for i in (0..leaf.lobes).rev() {
        for side in [1.0, -1.0] {
            pipe(&mut motif, leaf, i, side);
        }
    }
    midrib(&mut motif, leaf);
    motif
}

/// Where lobe `i` of `n` leaves the midrib, as a share of the height.
fn root_of(i: usize, n: usize) -> f64 {
    0.10 + 0.56 * i as f64 / n as f64
}

/// Half the width of a leaflet in a lobe of this length: the more lobes, the narrower.
fn leaflet_half(leaf: &Acanthus, length: f64) -> f64 {
    (0.215 * leaf.height / (leaf.lobes as f64 + 0.6)).min(0.20 * length)
}

/// The leaf's body: one broad blade under the lobes, so that no ground shows between their roots.
fn body(m: &mut Motif, leaf: &Acanthus) {
    let spine = Spine::bent(point(0.0, 0.0), FRAC_PI_2, 0.86 * leaf.height, 0.0);
    let section = Section { crown: 0.10 * leaf.depth, ..Section::default() };
    let rise = [0.22, 0.34, 0.36, 0.36].map(|s| s * leaf.depth);
    m.push(Blade::new(spine, Girth::new(0.27 * leaf.width, 1, 1), rise, section));
}

/// A fan of leaflets.
struct Lobe {
    root: Point,
    /// Direction of its middle leaflet.
    angle: f64,
    side: f64,
    length: f64,
    half: f64,
    low: f64,
    thick: f64,
}

/// Leaflets of a lobe: turned from its middle by this much (radians), and of this share of its
/// length; laid in this order.
const LEAFLETS: [(f64, f64); 5] =
    [(0.94, 0.70), (-0.94, 0.70), (0.48, 0.88), (-0.48, 0.88), (0.0, 1.0)];

impl Lobe {
    fn of(leaf: &Acanthus, i: usize, side: f64) -> Lobe {
        let up = root_of(i, leaf.lobes);
        let (h, half_width) = (leaf.height, leaf.width / 2.0);
        // Lower lobes spread, upper ones rise.
        let lean = 1.22 - 0.92 * up;
        let reach = half_width * (1.0 - 0.38 * up);
        let root = point(side * 0.035 * h, up * h);
        let length = (reach - root.x.abs()) / lean.sin();
        Lobe {
            root,
            angle: FRAC_PI_2 - side * lean,
            side,
            length,
            half: leaflet_half(leaf, length),
            low: leaf.depth * (0.10 + 0.12 * up),
            thick: leaf.depth * 0.62,
        }
    }

    fn lay(&self, m: &mut Motif) {
        m.push(self.palm());
        for (turned, share) in LEAFLETS {
            m.push(self.leaflet(turned, share));
        }
    }

    /// What the leaflets grow out of, with the line set in about it that parts the lobe from what
    /// lies below.
    fn palm(&self) -> Blade {
        let spine = Spine::bent(self.root, self.angle, 0.72 * self.length, self.side * 0.22);
        let section = Section { crown: -0.25 * self.thick, ..Section::default() };
        let rise = [0.62, 0.95, 0.95, 0.60].map(|s| self.low + s * self.thick);
        Blade::new(spine, Girth::new(1.9 * self.half, 1, 1), rise, section)
    }

    /// A leaflet: hollowed as by one gouge from the root to the point, a fine vein along it. Its
    /// neighbours lie close, so that only the points stand free.
    fn leaflet(&self, turned: f64, share: f64) -> Blade {
        let spine = Spine::bent(
            self.root,
            self.angle - self.side * turned * 0.60,
            share * self.length,
            -self.side * turned * 0.75 + self.side * 0.22,
        );
        let section = Section {
            crown: -0.42 * self.thick,
            vein: 0.13 * self.thick,
            vein_half: 0.10 * self.half,
            ..Section::default()
        };
        let lift = 0.22 * share;
        let rise = [0.60, 0.90 + lift, 1.00 + lift, 0.30 + lift];
        let rise = rise.map(|s| self.low + s * self.thick);
        let half = self.half * (0.92 + 0.38 * share);
        Blade::new(spine, Girth::new(half, 1, 2), rise, section)
    }
}

/// The topmost lobe, its tip turned over towards the viewer.
fn top(m: &mut Motif, leaf: &Acanthus) {
    let h = leaf.height;
    let lobe = Lobe {
        root: point(0.0, 0.62 * h),
        angle: FRAC_PI_2,
        side: 1.0,
        length: 0.38 * h,
        half: leaflet_half(leaf, 0.38 * h),
        low: 0.22 * leaf.depth,
        thick: 0.62 * leaf.depth,
    };
    for (turned, share) in LEAFLETS {
        let mut one = lobe.leaflet(turned, share);
        if turned != 0.0 {
            // The fan is symmetric about the midrib: no sweep to one side.
            let spine = Spine::bent(
                lobe.root,
                lobe.angle - turned * 0.70,
                share * lobe.length,
                -turned * 0.45,
            );
            one = one.along(spine);
        } else {
            one = one.along(Spine::bent(lobe.root, FRAC_PI_2, lobe.length, 0.0));
        }
        m.push(one);
    }
}

/// The pipe from the eye above lobe `i` down beside the midrib, and the eye itself.
fn pipe(m: &mut Motif, leaf: &Acanthus, i: usize, side: f64) {
    let (h, depth) = (leaf.height, leaf.depth);
    // The eye lies in the angle between this lobe and the next.
    let (below, above) = (Lobe::of(leaf, i, side), Lobe::of(leaf, i + 1, side));
    let between = 0.5 * (below.angle + above.angle);
    let eye = above.root + Point::polar(0.115 * leaf.width, between - side * 0.1);
    // The pipes draw together in the stem.
    let foot = point(side * (0.016 + 0.048 * (leaf.lobes - i) as f64 / leaf.lobes as f64) * h, 0.0);
    let spine = Spine::bezier([
        eye,
        eye + Point::polar(-0.10 * h, between + side * 0.25),
        foot + point(0.0, 0.16 * h),
        foot,
    ]);
    let section = Section { crown: 0.20 * depth, ..Section::default() };
    let rise = [0.62, 0.76, 0.66, 0.45].map(|s| s * depth);
    m.push(Blade::new(spine, Girth { taper: 0.45, ..Girth::new(0.022 * h, 1, 0) }, rise, section));
    let mut hole = Boss::bead(eye + point(0.0, 0.006 * h), 0.013 * h, 0.40 * depth, -0.30 * depth);
    hole.up = 0.030 * h;
    hole.turned = between - FRAC_PI_2;
    hole.set_in = 0.0;
    m.push(hole);
}

/// The midrib, from a broad foot to the tip, grooved along both sides.
fn midrib(m: &mut Motif, leaf: &Acanthus) {
    let (h, depth) = (leaf.height, leaf.depth);
    let spine = Spine::bent(point(0.0, 0.0), FRAC_PI_2, 0.90 * h, 0.0);
    let section = Section { crown: 0.20 * depth, ..Section::default() };
    let rise = [0.50, 0.78, 0.80, 0.70].map(|s| s * depth);
    m.push(Blade::new(spine, Girth::new(0.030 * h, 0, 2), rise, section));
}

/// One blade, ribbed, its edges turned up, with a rounded midrib.
fn water_leaf(m: &mut Motif, leaf: &Acanthus) {
    let (h, depth) = (leaf.height, leaf.depth);
    let half = leaf.width / 2.0;
    let spine = || Spine::bent(point(0.0, 0.0), FRAC_PI_2, h, 0.0);
    let section = Section {
        crown: 0.40 * depth,
        rim: 0.22 * depth,
        ribs: 0.14 * depth,
        rib_count: 9.0,
        vein: -0.12 * depth,
        vein_half: 0.16 * half,
        ..Section::default()
    };
    let rise = [0.20, 0.28, 0.40, 0.50].map(|s| s * depth);
    m.push(Blade::new(spine(), Girth::new(half, 1, 2), rise, section));
    let section = Section { crown: 0.16 * depth, ..Section::default() };
    let rise = [0.45, 0.62, 0.70, 0.55].map(|s| s * depth);
    let stem = Spine::bent(point(0.0, 0.0), FRAC_PI_2, 0.93 * h, 0.0);
    m.push(Blade::new(stem, Girth { taper: 0.3, ..Girth::new(0.07 * half, 0, 1) }, rise, section));
}
