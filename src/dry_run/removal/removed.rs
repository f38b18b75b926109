//! How much a stroke really engages.

use super::form::{LANES, Lanes};

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

#[inline(always)]
fn keep(so_far: f32, value: f32, better: bool) -> f32 {
    if better { value } else { so_far }
}

/// The same while cells are swept, side by side.
#[derive(Clone, Copy)]
pub(super) struct Tally {
    drop: Lanes<f64>,
    deepest: Lanes<f32>,
    top: Lanes<f32>,
    floor: Lanes<f32>,
    left: Lanes<f32>,
    right: Lanes<f32>,
    cells: Lanes<u32>,
}

impl Tally {
    pub(super) fn new() -> Tally {
        Tally {
            drop: [0.0; LANES],
            deepest: [0.0; LANES],
            top: [f32::NEG_INFINITY; LANES],
            floor: [f32::INFINITY; LANES],
            left: [f32::NEG_INFINITY; LANES],
            right: [f32::INFINITY; LANES],
            cells: [0; LANES],
        }
    }

    /// Counts eight cells whose heights go from `old` to `new`, which is no higher.
    #[inline(always)]
    pub(super) fn count(&mut self, old: &Lanes<f32>, new: &Lanes<f32>, left: &Lanes<f32>) {
        for lane in 0..LANES {
            let (was, is, aside) = (old[lane], new[lane], left[lane]);
            let drop = if is < was { was - is } else { 0.0 };
            self.drop[lane] += f64::from(drop);
            let touched = drop > CONTACT as f32;
            self.deepest[lane] =
                keep(self.deepest[lane], drop, touched & (drop > self.deepest[lane]));
            self.top[lane] = keep(self.top[lane], was, touched & (was > self.top[lane]));
            self.floor[lane] = keep(self.floor[lane], is, touched & (is < self.floor[lane]));
            self.left[lane] = keep(self.left[lane], aside, touched & (aside > self.left[lane]));
            self.right[lane] = keep(self.right[lane], aside, touched & (aside < self.right[lane]));
            self.cells[lane] += u32::from(touched);
        }
    }

    /// The sum over the lanes, for cells of this area.
    pub(super) fn total(&self, area: f64) -> Removed {
        let mut sum = Removed::default();
        for lane in 0..LANES {
            sum = sum.with(&Removed {
                volume: self.drop[lane] * area,
                deepest: f64::from(self.deepest[lane]),
                top: f64::from(self.top[lane]),
                floor: f64::from(self.floor[lane]),
                left: f64::from(self.left[lane]),
                right: f64::from(self.right[lane]),
                cells: u64::from(self.cells[lane]),
            });
        }
        sum
    }
}
