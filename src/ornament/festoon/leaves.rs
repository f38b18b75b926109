//! A swag of leaves: bundles of three with berries, all pointing to the middle.

use super::super::blade::{Blade, Girth, Section};
use super::super::boss::Boss;
use super::super::frame::Frame;
use super::super::motif::Motif;
use super::super::rosette::{Rosette, rosette};
use super::super::spine::Spine;
use super::{Catenary, Festoon, fullness};
use crate::geometry::point;
use std::f64::consts::PI;

/// Lays the bundles from the middle out, then a band of petals round the middle.
pub(super) fn lay(m: &mut Motif, f: &Festoon, line: &Catenary) {
    let spine = line.spine();
    let half = spine.length() / 2.0;
    let length = f.full * 0.85;
    let step = 0.42 * length;
    let count = (half / step).floor().max(2.0);
    let step = half / count;
    for i in (0..count as usize).rev() {
        let s = step * (i as f64 + 0.15);
        for mirrored in [false, true] {
            let full = fullness(s / half);
            let one = Bundle {
                spine: &spine,
                s,
                long: length * full,
                wide: f.full * full,
                thick: f.depth * (0.35 + 0.65 * full),
                flip: mirrored,
            };
            bundle(m, &one);
        }
    }
    let (low, _) = spine.place(half);
    let flower =
        rosette(&Rosette { diameter: 0.8 * f.full, petals: 8, whorls: 2, depth: 0.75 * f.depth });
    m.lay(Frame::moved(low).lifted(0.25 * f.depth), &flower);
}

/// Where a bundle stands and how large it is.
pub(in super::super) struct Bundle<'a> {
    /// The line that it lies on.
    pub(in super::super) spine: &'a Spine,
    /// How far along.
    pub(in super::super) s: f64,
    /// Length of its leaves.
    pub(in super::super) long: f64,
    /// Width of the whole.
    pub(in super::super) wide: f64,
    /// Height over the ground.
    pub(in super::super) thick: f64,
    /// Mirrored in the y axis.
    pub(in super::super) flip: bool,
}

/// Leaves of a bundle: off the line by this share of the width, leaning by this angle (radians),
/// lifted by this share of the thickness.
const LEAVES: [(f64, f64, f64); 5] = [
    (0.34, 0.50, 0.04),
    (-0.34, -0.50, 0.04),
    (0.17, 0.20, 0.24),
    (-0.17, -0.20, 0.24),
    (0.0, 0.0, 0.40),
];

/// One bundle: outer leaves, berries, the middle leaf over all.
pub(in super::super) fn bundle(m: &mut Motif, b: &Bundle) {
    let (at, way) = b.spine.place(b.s);
    let (_, after) = b.spine.place(b.s + b.long);
    let bend = way.cross(after).atan2(way.dot(after));
    let place = |along: f64, across: f64| {
        let p = at + way * along + way.left() * across;
        if b.flip { point(-p.x, p.y) } else { p }
    };
    for (across, lean, lift) in LEAVES {
        let start = place(if lean == 0.0 { 0.08 * b.long } else { 0.0 }, across * b.wide * 0.75);
        let (angle, turn) = (way.angle() + lean, bend - lean * 0.75);
        let (angle, turn) = if b.flip { (PI - angle, -turn) } else { (angle, turn) };
        let leaf = Spine::bent(start, angle, b.long, turn);
        m.push(laurel_leaf(leaf, 0.17 * b.wide, lift * b.thick, 0.42 * b.thick));
        if lean.abs() > 0.3 {
            let berry = place(0.30 * b.long, across * b.wide * 1.02);
            m.push(Boss::bead(berry, 0.055 * b.wide, 0.15 * b.thick, 0.34 * b.thick));
        }
    }
}

/// A leaf with a midrib, its halves hollowed, its tip lifted.
fn laurel_leaf(spine: Spine, half: f64, low: f64, thick: f64) -> Blade {
    let section = Section {
        crown: 0.42 * thick,
        vein: -0.22 * thick,
        vein_half: 0.13 * half,
        ribs: 0.05 * thick,
        rib_count: 6.0,
        ..Section::default()
    };
    let rise = [low, low + 0.35 * thick, low + 0.45 * thick, low + 0.75 * thick];
    Blade::new(spine, Girth::new(half, 2, 2), rise, section)
}
