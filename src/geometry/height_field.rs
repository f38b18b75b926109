//! A surface as heights over a grid: one `f32` in millimetres for each cell, row by row.
//!
//! A height is a sample at the middle of its cell, exact there to `f32` rounding. Between
//! samples the surface is not known: [`Resolution::plan_bound`] says how far in plan any point
//! is from the nearest sample, and a surface of slope g is known within g times that bound.

mod query;
mod resolution;

pub use resolution::{COARSEST, FINEST, Limit, Resolution};

use super::{Point, point};

/// Rows are stored in whole groups of this many cells, so that loops run over full groups.
pub(crate) const GROUP: usize = 16;

/// Most cells that a field may have: 16 GiB of heights, beyond any shop's computer.
const MAX_CELLS: f64 = 4.0e9;

/// Why a field can not be made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FieldError {
    /// A corner, a size, a cell or a height is not a finite number, or a size is not above zero.
    Size {
        /// The value that is wrong.
        value: f64,
    },
    /// More cells than can be held.
    TooFine {
        /// Cells asked for.
        cells: f64,
        /// A cell, millimetres, that would do.
        cell: f64,
    },
}

impl std::fmt::Display for FieldError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            FieldError::Size { value } => write!(
                f,
                "a height field can not be made from {value}: sizes and cells are finite and above zero"
            ),
            FieldError::TooFine { cells, cell } => write!(
                f,
                "a height field of {cells:.3e} cells is too fine: cells of {cell:.3} mm or more can be held"
            ),
        }
    }
}

/// Heights over a rectangle of the x-y plane, millimetres.
///
/// Column `i`, row `j` stands for the point `min + ((i + 1/2) cell, (j + 1/2) cell)`.
#[derive(Clone, Debug, PartialEq)]
pub struct HeightField {
    min: Point,
    cell: f64,
    columns: usize,
    rows: usize,
    /// Columns rounded up to whole groups; what is beyond `columns` is minus infinity.
    stride: usize,
    heights: Vec<f32>,
}

impl HeightField {
    /// A level field at height `z`: cells of `cell` whose middles lie in the rectangle from
    /// `min` of widths `size`; at least one cell each way.
    ///
    /// # Errors
    /// [`FieldError`] if a number is not finite, a size is not above zero, or the cells are
    /// too many to hold.
    pub fn new(min: Point, size: Point, cell: f64, z: f64) -> Result<HeightField, FieldError> {
        for value in [size.x, size.y, cell] {
            if !(value > 0.0 && value.is_finite()) {
                return Err(FieldError::Size { value });
            }
        }
        for value in [min.x, min.y, z] {
            if !value.is_finite() {
                return Err(FieldError::Size { value });
            }
        }
        let count = |length: f64| (length / cell).round().max(1.0);
        let (columns, rows) = (count(size.x), count(size.y));
        let cells = (columns + GROUP as f64) * rows;
        if cells > MAX_CELLS {
            let cell = (size.x * size.y / MAX_CELLS).sqrt() * 1.01;
            return Err(FieldError::TooFine { cells, cell });
        }
        let (columns, rows) = (columns as usize, rows as usize);
        let stride = columns.next_multiple_of(GROUP);
        // Adding zero turns minus zero into zero: one value, one pattern of bits.
        let mut heights = vec![z as f32 + 0.0; stride * rows];
        for row in heights.chunks_exact_mut(stride) {
            row[columns..].fill(f32::NEG_INFINITY);
        }
        Ok(HeightField { min, cell, columns, rows, stride, heights })
    }

    /// The corner of least x and y.
    #[must_use]
    pub fn min(&self) -> Point {
        self.min
    }

    /// Width of a cell.
    #[must_use]
    pub fn cell(&self) -> f64 {
        self.cell
    }

    /// Cells along x.
    #[must_use]
    pub fn columns(&self) -> usize {
        self.columns
    }

    /// Cells along y.
    #[must_use]
    pub fn rows(&self) -> usize {
        self.rows
    }

    /// The point for which column `i`, row `j` stands; it may lie outside.
    #[must_use]
    pub fn middle(&self, i: usize, j: usize) -> Point {
        self.min + point((i as f64 + 0.5) * self.cell, (j as f64 + 0.5) * self.cell)
    }

    /// Height at column `i`, row `j`; `None` outside.
    #[must_use]
    pub fn height(&self, i: usize, j: usize) -> Option<f32> {
        (i < self.columns && j < self.rows).then(|| self.heights[j * self.stride + i])
    }

    /// One row of heights, by column; empty outside.
    #[must_use]
    pub fn row(&self, j: usize) -> &[f32] {
        if j >= self.rows {
            return &[];
        }
        &self.heights[j * self.stride..j * self.stride + self.columns]
    }

    /// Sets the heights of row `j`, by column; those beyond the row, or a row outside, are left.
    pub fn set_row(&mut self, j: usize, heights: &[f32]) {
        if j < self.rows {
            let row = &mut self.heights[j * self.stride..][..self.columns];
            row.iter_mut().zip(heights).for_each(|(cell, height)| *cell = height + 0.0);
        }
    }

    /// Raises every cell whose middle lies in the rectangle to at least `z`: a clamp, a board.
    pub fn raise(&mut self, low: Point, high: Point, z: f64) {
        let (columns, rows) = (self.columns_in(low.x, high.x), self.rows_in(low.y, high.y));
        for j in rows {
            let start = j * self.stride;
            for height in &mut self.heights[start..][columns.clone()] {
                *height = height.max(z as f32 + 0.0);
            }
        }
    }

    /// Lowers column `i`, row `j` to at most `z`; nothing outside.
    pub fn lower(&mut self, i: isize, j: isize, z: f64) {
        let (Ok(i), Ok(j)) = (usize::try_from(i), usize::try_from(j)) else { return };
        if i < self.columns && j < self.rows {
            let height = &mut self.heights[j * self.stride + i];
            *height = height.min(z as f32 + 0.0);
        }
    }

    /// Volume between the field and a level `z` below it; cells lower than that count nothing.
    #[must_use]
    pub fn volume_above(&self, z: f64) -> f64 {
        let sum = |row: &[f32]| row.iter().map(|&h| (f64::from(h) - z).max(0.0)).sum::<f64>();
        (0..self.rows).map(|j| sum(self.row(j))).sum::<f64>() * self.cell * self.cell
    }

    /// Cells from one row to the next in [`HeightField::raw`].
    pub(crate) fn stride(&self) -> usize {
        self.stride
    }

    /// All cells, rows padded to [`HeightField::stride`] with minus infinity.
    pub(crate) fn raw(&self) -> &[f32] {
        &self.heights
    }

    /// All cells, to be changed; the padding must stay minus infinity.
    pub(crate) fn raw_mut(&mut self) -> &mut [f32] {
        &mut self.heights
    }
}
