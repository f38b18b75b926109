//! What a field says of a place.

use super::super::Point;
use super::HeightField;
use std::ops::Range;

impl HeightField {
    /// Height at the sample nearest to `p`; `None` outside the field.
    #[must_use]
    pub fn at(&self, p: Point) -> Option<f32> {
        let i = ((p.x - self.min.x) / self.cell).floor();
        let j = ((p.y - self.min.y) / self.cell).floor();
        let inside = i >= 0.0 && j >= 0.0;
        if inside { self.height(i as usize, j as usize) } else { None }
    }

    /// Height at `p` of the surface that is bilinear between the samples, and level beyond the
    /// outermost ones.
    #[must_use]
    pub fn bilinear(&self, p: Point) -> f64 {
        let place = |v: f64, min: f64, count: usize| {
            let v = ((v - min) / self.cell - 0.5).clamp(0.0, (count - 1) as f64);
            // Not negative, so the whole part is the floor, without the call that that takes.
            let first = (v as usize).min(count.saturating_sub(2));
            (first, (first + 1).min(count - 1), v - first as f64)
        };
        let (i, i1, u) = place(p.x, self.min.x, self.columns);
        let (j, j1, v) = place(p.y, self.min.y, self.rows);
        let at = |i: usize, j: usize| f64::from(self.heights[j * self.stride + i]);
        let low = at(i, j) + (at(i1, j) - at(i, j)) * u;
        let high = at(i, j1) + (at(i1, j1) - at(i, j1)) * u;
        low + (high - low) * v
    }

    /// Greatest height at a sample within `radius` of `centre`; `None` if there is none.
    #[must_use]
    pub fn highest_in_disc(&self, centre: Point, radius: f64) -> Option<f32> {
        let rows = self.rows_in(centre.y - radius, centre.y + radius);
        rows.filter_map(|j| {
            let across = self.middle(0, j).y - centre.y;
            let half = (radius * radius - across * across).max(0.0).sqrt();
            greatest(&self.row(j)[self.columns_in(centre.x - half, centre.x + half)])
        })
        .reduce(f32::max)
    }

    /// Greatest height at a sample in the rectangle; `None` if there is none.
    #[must_use]
    pub fn highest_in_rectangle(&self, low: Point, high: Point) -> Option<f32> {
        let columns = self.columns_in(low.x, high.x);
        let rows = self.rows_in(low.y, high.y);
        rows.filter_map(|j| greatest(&self.row(j)[columns.clone()])).reduce(f32::max)
    }

    /// Heights at `count` points evenly from one place to another, ends included; `None`
    /// where the line leaves the field.
    #[must_use]
    pub fn section(&self, from: Point, to: Point, count: usize) -> Vec<Option<f32>> {
        let last = count.saturating_sub(1).max(1) as f64;
        (0..count).map(|k| self.at(from + (to - from) * (k as f64 / last))).collect()
    }

    /// The same heights elsewhere: moved by `by` in plan and raised by `up`.
    #[must_use]
    pub fn moved(mut self, by: Point, up: f64) -> HeightField {
        self.min = self.min + by;
        // What is minus infinity stays so. Adding zero turns minus zero into zero.
        self.heights.iter_mut().for_each(|z| *z = (f64::from(*z) + up) as f32 + 0.0);
        self
    }

    /// Columns whose middles lie from `low` to `high`.
    pub(crate) fn columns_in(&self, low: f64, high: f64) -> Range<usize> {
        within((low - self.min.x) / self.cell, (high - self.min.x) / self.cell, self.columns)
    }

    /// Rows whose middles lie from `low` to `high`.
    pub(crate) fn rows_in(&self, low: f64, high: f64) -> Range<usize> {
        within((low - self.min.y) / self.cell, (high - self.min.y) / self.cell, self.rows)
    }
}

/// The whole numbers k below `count` with `low <= k + 1/2 <= high`.
fn within(low: f64, high: f64, count: usize) -> Range<usize> {
    // A float that is negative or not a number becomes zero.
    let first = (low - 0.5).ceil() as usize;
    let after = (high + 0.5).floor() as usize;
    first.min(count)..after.min(count).max(first.min(count))
}

fn greatest(heights: &[f32]) -> Option<f32> {
    heights.iter().copied().reduce(f32::max)
}
