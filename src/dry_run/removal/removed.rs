//! How much a stroke really engages.

use super::form::{LANES, Lanes};
use super::real::Real;

/// A drop of a surface by no more than this, millimetres, is no contact: above what rounding
/// can make of a height, below what a machine resolves.
pub const CONTACT: f64 = 1e-3;

/// What one stroke takes, or would take, from the surface that it meets: the surface after the
/// whole of it against the surface before.
///
/// Depths and heights are exact at the samples. A width is measured between samples: the true
/// one is greater by no more than a cell's diagonal.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Removed {
    /// Cubic millimetres.
    pub volume: f64,
    /// Greatest drop of the surface at a sample.
    pub deepest: f64,
    /// Highest surface touched before the stroke; minus infinity without contact. The cutter's
    /// edge is engaged from the tip up to here.
    pub top: f64,
    /// Lowest surface left where it touched; plus infinity without contact.
    pub floor: f64,
    /// Furthest touched sample to the left of the travel, seen from above; negative if all are
    /// on the right, minus infinity without contact.
    pub left: f64,
    /// Furthest touched sample to the right, as a negative distance; negative if any is on the
    /// right, plus infinity without contact.
    pub right: f64,
    /// Samples touched.
    pub cells: u64,
}

impl Default for Removed {
    fn default() -> Removed {
        Removed {
            volume: 0.0,
            deepest: 0.0,
            top: f64::NEG_INFINITY,
            floor: f64::INFINITY,
            left: f64::NEG_INFINITY,
            right: f64::INFINITY,
            cells: 0,
        }
    }
}

impl Removed {
    /// Whether the cutter met anything.
    #[must_use]
    pub fn touched(&self) -> bool {
        self.cells > 0
    }

    /// Width engaged across the travel.
    #[must_use]
    pub fn width(&self) -> f64 {
        (self.left - self.right).max(0.0)
    }

    /// Angle of the front half of a cutter of `radius` that is engaged, from 0 to π: between
    /// the leftmost and the rightmost contact.
    #[must_use]
    pub fn angle(&self, radius: f64) -> f64 {
        let at = |aside: f64| (aside / radius).clamp(-1.0, 1.0).asin();
        if self.touched() { at(self.left) - at(self.right) } else { 0.0 }
    }

    /// Both together.
    #[must_use]
    pub fn with(self, other: &Removed) -> Removed {
        Removed {
            volume: self.volume + other.volume,
            deepest: self.deepest.max(other.deepest),
            top: self.top.max(other.top),
            floor: self.floor.min(other.floor),
            left: self.left.max(other.left),
            right: self.right.min(other.right),
            cells: self.cells + other.cells,
        }
    }
}

/// The same while cells are swept, side by side.
#[derive(Clone, Copy)]
pub(super) struct Tally {
    drop: f64,
    deepest: Lanes<f32>,
    top: Lanes<f32>,
    floor: Lanes<f32>,
    left: Lanes<f32>,
    right: Lanes<f32>,
    cells: u64,
}

/// A group whose heights go from `old` to `edge` where that is lower, `left` of the travel.
#[derive(Clone, Copy)]
pub(super) struct Change {
    pub(super) old: Lanes<f32>,
    pub(super) edge: Lanes<f32>,
    pub(super) left: Lanes<f32>,
}

impl Tally {
    pub(super) const EMPTY: Tally = Tally {
        drop: 0.0,
        deepest: [0.0; LANES],
        top: [f32::NEG_INFINITY; LANES],
        floor: [f32::INFINITY; LANES],
        left: [f32::NEG_INFINITY; LANES],
        right: [f32::INFINITY; LANES],
        cells: 0,
    };

    /// Counts some groups; few enough for a sum in `f32`.
    #[inline(always)]
    pub(super) fn count(&mut self, groups: usize, mut change: impl FnMut(usize) -> Change) {
        let mut drops = [0.0_f32; LANES];
        let mut cells = [0.0_f32; LANES];
        let Tally { mut deepest, mut top, mut floor, mut left, mut right, .. } = *self;
        for k in 0..groups {
            let Change { old, edge, left: aside } = change(k);
            for lane in 0..LANES {
                let (was, is, aside) = (old[lane], edge[lane], aside[lane]);
                let drop = was - is;
                let or = |cuts: bool, value: f32, never: f32| if cuts { value } else { never };
                drops[lane] += or(is < was, drop, 0.0);
                let touched = drop > CONTACT as f32;
                deepest[lane] = deepest[lane].most(or(touched, drop, 0.0));
                top[lane] = top[lane].most(or(touched, was, f32::NEG_INFINITY));
                floor[lane] = floor[lane].least(or(touched, is, f32::INFINITY));
                left[lane] = left[lane].most(or(touched, aside, f32::NEG_INFINITY));
                right[lane] = right[lane].least(or(touched, aside, f32::INFINITY));
                cells[lane] += or(touched, 1.0, 0.0);
            }
        }
        let drop = self.drop + f64::from(fold(&drops, |a, b| a + b));
        let cells = self.cells + fold(&cells, |a, b| a + b) as u64;
        *self = Tally { drop, deepest, top, floor, left, right, cells };
    }

    /// The sum over the lanes, for cells of this area.
    #[inline(always)]
    pub(super) fn total(&self, area: f64) -> Removed {
        let most = |lanes: &Lanes<f32>| f64::from(fold(lanes, Real::most));
        let least = |lanes: &Lanes<f32>| f64::from(fold(lanes, Real::least));
        Removed {
            volume: self.drop * area,
            deepest: most(&self.deepest),
            top: most(&self.top),
            floor: least(&self.floor),
            left: most(&self.left),
            right: least(&self.right),
            cells: self.cells,
        }
    }
}

/// All lanes together: halves, quarters, and so on.
#[inline(always)]
fn fold(lanes: &Lanes<f32>, f: impl Fn(f32, f32) -> f32) -> f32 {
    let eight = |k: usize| f(lanes[k], lanes[k + 8]);
    let four = |k: usize| f(eight(k), eight(k + 4));
    let two = |k: usize| f(four(k), four(k + 2));
    f(two(0), two(1))
}
