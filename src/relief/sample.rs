//! Sampling a carved board into a height field.

use super::{Meeting, Placed, Relief};
use crate::geometry::height_field::FieldError;
use crate::geometry::{HeightField, Point, point};
use crate::ornament::{Canvas, Frame};
use rayon::prelude::*;

/// Rows sampled together: their windows stay in the cache, and there are enough bands for any
/// number of cores.
const BAND: usize = 16;

/// Told, now and then, how many more rows are done; from any thread.
pub type Progress<'a> = &'a (dyn Fn(usize) + Sync);

impl Relief {
    /// Heights over the board on a grid of `cell`, as designed; `progress` is told of rows done.
    ///
    /// # Errors
    /// [`FieldError`] if the cells are too many to hold, or a size is no size.
    pub fn sample(&self, cell: f64, progress: Progress) -> Result<HeightField, FieldError> {
        let mut field = HeightField::new(point(0.0, 0.0), self.size, cell, 0.0)?;
        let (columns, stride) = (field.columns(), field.stride());
        let (incised, modelled): (Vec<Standing>, Vec<Standing>) = self
            .carvings
            .iter()
            .flat_map(Standing::all)
            .partition(|one| one.placed.meeting == Meeting::Incised);
        field.raw_mut().par_chunks_mut(stride * BAND).enumerate().for_each(|(band, heights)| {
            let rows = heights.len() / stride;
            let origin = point(0.5 * cell, (band * BAND) as f64 * cell + 0.5 * cell);
            let mut window = vec![0.0; columns * rows];
            self.lay_ground(&mut window, origin, cell, columns);
            for one in &modelled {
                one.carve(&mut window, None, (origin, cell, columns));
            }
            let uncut = if incised.is_empty() { Vec::new() } else { window.clone() };
            for one in &incised {
                one.carve(&mut window, Some(&uncut), (origin, cell, columns));
            }
            for (row, done) in heights.chunks_exact_mut(stride).zip(window.chunks_exact(columns)) {
                for (height, z) in row.iter_mut().zip(done) {
                    // Adding zero turns minus zero into zero: one value, one pattern of bits.
                    *height = *z as f32 + 0.0;
                }
            }
            progress(rows);
        });
        Ok(field)
    }

    fn lay_ground(&self, window: &mut [f64], origin: Point, cell: f64, columns: usize) {
        for (j, row) in window.chunks_exact_mut(columns).enumerate() {
            let y = origin.y + j as f64 * cell;
            for (i, z) in row.iter_mut().enumerate() {
                *z = self.ground.at(point(origin.x + i as f64 * cell, y), self.size);
            }
        }
    }
}

/// One repeat of a carving and the box around it on the board.
struct Standing<'a> {
    placed: &'a Placed,
    frame: Frame,
    low: Point,
    high: Point,
}

impl<'a> Standing<'a> {
    fn all(placed: &'a Placed) -> Vec<Standing<'a>> {
        let Some((low, high)) = placed.carving.bounds() else { return Vec::new() };
        let one = |frame: &Frame| {
            let (low, high) = frame.bounds(low, high);
            Standing { placed, frame: *frame, low, high }
        };
        placed.frames.iter().map(one).collect()
    }

    /// Carves what lies in a window of whole rows; what is incised, into its heights `uncut`.
    fn carve(
        &self,
        window: &mut [f64],
        uncut: Option<&[f64]>,
        (origin, cell, columns): (Point, f64, usize),
    ) {
        let rows = window.len() / columns;
        let range = |low: f64, high: f64, from: f64, count: usize| {
            // A float that is negative becomes zero.
            let first = ((low - from) / cell).ceil() as usize;
            first..(((high - from) / cell).floor() + 1.0).max(0.0).min(count as f64) as usize
        };
        let across = range(self.low.x, self.high.x, origin.x, columns);
        let up = range(self.low.y, self.high.y, origin.y, rows);
        if across.is_empty() || up.is_empty() {
            return;
        }
        let corner = origin + point(across.start as f64 * cell, up.start as f64 * cell);
        let mut canvas = Canvas::new(corner, cell, across.len(), up.len());
        self.placed.carving.paint(&self.frame, &mut canvas);
        let meeting = self.placed.meeting;
        for (j, row) in up.zip(0..) {
            let out = &mut window[j * columns..][across.clone()];
            let uncut = uncut.map(|heights| &heights[j * columns..][across.clone()]);
            let start = row * canvas.columns;
            let layers = canvas.z[start..].iter().zip(&canvas.cover[start..]);
            for (i, (height, (&z, &cover))) in out.iter_mut().zip(layers).enumerate() {
                if cover > 0.0 {
                    let z = z * self.placed.deep;
                    *height = match uncut {
                        Some(uncut) => height.min(meeting.height(uncut[i], z, cover)),
                        None => meeting.height(*height, z, cover),
                    };
                }
            }
        }
    }
}
