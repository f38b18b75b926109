//! The surface on which a cutter's tip may stand: the least height at which it touches a
//! relief and nowhere cuts into it.
//!
//! At the nodes of the relief's own grid this is the grey dilation of the heights by the
//! cutter's section (J. Serra, Image Analysis and Mathematical Morphology, Academic Press
//! 1982, chapter XII): the greatest of relief less section, over all nodes under the cutter.
//!
//! # Between the nodes
//! The relief between its samples is taken as bilinear in each cell. Then the bilinear surface
//! through the nodal values never lies below the dilation by whole offsets: for a fixed offset,
//! relief less section is bilinear in each cell and no higher at the corners. What remains is a
//! contact between the nodes, where the section, convex, lies below the bilinear surface
//! through its own nodal heights by no more than `cell² / 8` times the sum of its second
//! derivatives along x and y. [`CutterEnd::between_nodes`] is that bound; the finishing passes are
//! lifted by it, so that no place is cut below the bilinear relief.

mod cutter_end;
mod level;
mod search;
mod section_table;
mod windows;

pub use cutter_end::CutterEnd;

use crate::geometry::HeightField;
use level::Greatest;
use rayon::prelude::*;
use search::{COLUMNS, DOWN, Search};
use section_table::SectionTable;
use windows::Windows;

/// Columns of a tile: with a cutter's width on either side, its rows fit the cache.
const TILE_COLUMNS: usize = 256;

/// Rows of the field that a tile spans.
const TILE_SPAN: usize = 192;

/// A cutter over the grid of a relief.
#[derive(Clone, Debug)]
pub struct CutterSurface {
    table: SectionTable,
}

impl CutterSurface {
    /// For a cutter's end over fields of this cell.
    #[must_use]
    pub fn new(end: &CutterEnd, cell: f64) -> CutterSurface {
        CutterSurface { table: SectionTable::new(end, cell, TILE_COLUMNS) }
    }

    /// Heights of the tip at `count` rows of the field, the first of them `first` and then every
    /// `step`-th: row by row, one for each column. Rows and places beyond the field stand free.
    /// The result is the same on any number of threads.
    #[must_use]
    pub fn rows(&self, field: &HeightField, first: usize, step: usize, count: usize) -> Vec<f32> {
        let columns = field.columns();
        let mut out = vec![0.0; columns * count];
        let step = step.max(1);
        let per_band = (TILE_SPAN / step).max(1).next_multiple_of(DOWN);
        let bands = out.par_chunks_mut(per_band * columns).enumerate();
        bands.for_each_init(Default::default, |(windows, greatest), (band, out)| {
            let first = first + band * per_band * step;
            let surface = self;
            pulp::Arch::new().dispatch(Band {
                surface,
                field,
                windows,
                greatest,
                first,
                step,
                out,
            });
        });
        out
    }

    /// Heights of the tip over all of a relief, as a field of the same cells.
    #[must_use]
    pub fn over(&self, relief: &HeightField) -> HeightField {
        let mut surface = relief.clone();
        for first in (0..relief.rows()).step_by(BATCH_ROWS) {
            let count = BATCH_ROWS.min(relief.rows() - first);
            let rows = self.rows(relief, first, 1, count);
            for (k, row) in rows.chunks_exact(relief.columns()).enumerate() {
                surface.set_row(first + k, row);
            }
        }
        surface
    }

    /// What the cutter leaves once its tip has been everywhere on a surface: the grey erosion,
    /// which is the dilation of the surface turned upside down.
    #[must_use]
    pub fn left(&self, surface: &HeightField) -> HeightField {
        let turned = upside_down(surface);
        upside_down(&self.over(&turned))
    }
}

/// Rows computed at a time over a whole field, so that memory stays bounded.
const BATCH_ROWS: usize = 1024;

fn upside_down(field: &HeightField) -> HeightField {
    let mut turned = field.clone();
    for j in 0..field.rows() {
        let row: Vec<f32> = field.row(j).iter().map(|h| -h).collect();
        turned.set_row(j, &row);
    }
    turned
}

/// A band of rows to be found. A type, not a closure, so that it is compiled for the
/// processor's widest vectors.
struct Band<'a> {
    surface: &'a CutterSurface,
    field: &'a HeightField,
    windows: &'a mut Windows,
    greatest: &'a mut Greatest,
    first: usize,
    step: usize,
    out: &'a mut [f32],
}

impl pulp::WithSimd for Band<'_> {
    type Output = ();

    /// Tile by tile.
    #[inline(always)]
    fn with_simd<S: pulp::Simd>(self, simd: S) {
        // As many vectors as a group is wide.
        match S::F32_LANES {
            16 => self.tiles::<S, { COLUMNS / 16 }>(simd),
            8 => self.tiles::<S, { COLUMNS / 8 }>(simd),
            _ => self.tiles::<pulp::Scalar, COLUMNS>(pulp::Scalar::new()),
        }
    }
}

impl Band<'_> {
    #[inline(always)]
    fn tiles<S: pulp::Simd, const ACROSS: usize>(self, simd: S) {
        let Band { surface, field, windows, greatest, first, step, out } = self;
        let table = &surface.table;
        let (columns, half, span) = (field.columns(), table.half, table.span);
        let count = out.len() / columns;
        for left in (0..columns).step_by(TILE_COLUMNS) {
            let wide = TILE_COLUMNS.min(columns - left).next_multiple_of(COLUMNS);
            let corner = (left as isize - half as isize, first as isize - half as isize);
            let size = (wide + span, (count - 1) * step + span);
            windows.load(simd, field, corner, size, table.stride);
            windows.build(table.levels);
            let windows = &*windows;
            let mut known = None;
            if !table.level.is_empty() {
                table.level.greatest(windows, (wide, count), step, greatest);
                known = Some((&greatest.heights[..], wide));
            }
            let mut search = Search::<S, ACROSS>::new(simd, table, windows, known);
            // Down before across: the next group sees most of what this one saw.
            for column in (0..wide).step_by(COLUMNS) {
                let valid = COLUMNS.min(columns - left - column);
                for row in (0..count).step_by(DOWN) {
                    let rows: [usize; DOWN] = std::array::from_fn(|k| (row + k).min(count - 1));
                    let corners = rows.map(|r| r * step * table.stride);
                    search.group(corners.map(|c| c + column), (rows, column), |down, values| {
                        let target = &mut out[rows[down] * columns + left + column..][..valid];
                        // Adding zero turns minus zero into zero: one value, one pattern of bits.
                        target.iter_mut().zip(values).for_each(|(t, v)| *t = v + 0.0);
                    });
                }
            }
        }
    }
}
