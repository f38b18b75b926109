//! How deep the stock has been cut so far, on a grid of columns.

use crate::geometry::{Box3, Point, point};

/// Heights of the wood that stands, one per column, in single precision: 0.00001 mm at 100 mm.
pub(super) struct Cells {
    origin: Point,
    /// Side of a column, mm.
    pub(super) side: f64,
    across: usize,
    rows: usize,
    floor: Vec<f32>,
}

impl Cells {
    /// The whole stock, uncut.
    pub(super) fn new(stock: &Box3, side: f64) -> Cells {
        let size = stock.size();
        // Rounded, so that the middle of every column lies in the stock.
        let count = |length: f64| ((length / side).round().max(1.0)) as usize;
        let (across, rows) = (count(size.x), count(size.y));
        Cells {
            origin: stock.min.xy(),
            side,
            across,
            rows,
            floor: vec![stock.max.z as f32; across.saturating_mul(rows)],
        }
    }

    /// Runs `see` over every column whose middle lies in the rectangle, with the middle and the
    /// height that stands there, which `see` may lower.
    pub(super) fn visit(&mut self, min: Point, max: Point, mut see: impl FnMut(Point, &mut f32)) {
        let first = |v: f64| ((v / self.side - 0.5).ceil().max(0.0)) as usize;
        // One past the last; a negative one is none.
        let last =
            |v: f64, n: usize| (((v / self.side - 0.5).floor() + 1.0).max(0.0) as usize).min(n);
        let (min, max) = (min - self.origin, max - self.origin);
        let (x0, x1) = (first(min.x), last(max.x, self.across));
        let (y0, y1) = (first(min.y), last(max.y, self.rows));
        for row in y0..y1 {
            let y = self.origin.y + (row as f64 + 0.5) * self.side;
            let start = row * self.across;
            for column in x0..x1 {
                let x = self.origin.x + (column as f64 + 0.5) * self.side;
                see(point(x, y), &mut self.floor[start + column]);
            }
        }
    }

    /// The middle of the column that holds `p`, if it is on the stock.
    pub(super) fn middle_at(&self, p: Point) -> Option<Point> {
        let at = (p - self.origin) * (1.0 / self.side);
        let inside =
            at.x >= 0.0 && at.y >= 0.0 && at.x < self.across as f64 && at.y < self.rows as f64;
        inside.then(|| self.origin + point(at.x.floor() + 0.5, at.y.floor() + 0.5) * self.side)
    }
}
