//! How fine a field can and should be.

use super::super::Point;
use std::f64::consts::FRAC_1_SQRT_2;

/// Cells across the smallest cutter: its disc is then known to a twentieth in plan.
const CELLS_ACROSS: f64 = 12.0;

/// Finest cells that are chosen, mm: finer shows nothing that a router table can resolve.
pub const FINEST: f64 = 0.05;

/// Widest cells that are chosen where memory allows, mm: wider hides a tab or a screw.
pub const COARSEST: f64 = 1.0;

/// Cells are whole multiples of this, so that their sums carry no rounding.
const STEP: f64 = 1.0 / 256.0;

/// What set the size of the cells.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Limit {
    /// The smallest cutter: finer cells would show nothing more of it.
    Cutter,
    /// The memory allowed: finer cells would not fit.
    Memory,
}

/// The size of the cells, why, and what it costs.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Resolution {
    /// Width of a cell, millimetres.
    pub cell: f64,
    /// Memory for the heights, bytes.
    pub bytes: f64,
    /// What set the size.
    pub limit: Limit,
}

impl Resolution {
    /// The cell for a rectangle of widths `size`, within `budget` bytes, for cutters of which
    /// the smallest is `smallest` across at its tip: a twelfth of that, from 0.05 to 1 mm,
    /// coarser only where memory forces it. Rounded up to a 256th of a millimetre.
    #[must_use]
    pub fn choose(size: Point, budget: f64, smallest: f64) -> Resolution {
        let wanted = (smallest / CELLS_ACROSS).clamp(FINEST, COARSEST);
        let each = size_of::<f32>() as f64;
        let forced = (size.x * size.y * each / budget).sqrt();
        let cell = (wanted.max(forced) / STEP).ceil() * STEP;
        let bytes = size.x * size.y / (cell * cell) * each;
        let limit = if forced > wanted { Limit::Memory } else { Limit::Cutter };
        Resolution { cell, bytes, limit }
    }

    /// Greatest distance in plan from any point of the field to the nearest sample: half the
    /// diagonal of a cell. A wall is placed, and a narrow piece seen, within it.
    #[must_use]
    pub fn plan_bound(&self) -> f64 {
        self.cell * FRAC_1_SQRT_2
    }

    /// Greatest error in height of a surface of this slope (rise over run).
    #[must_use]
    pub fn height_bound(&self, slope: f64) -> f64 {
        self.plan_bound() * slope.abs()
    }
}
