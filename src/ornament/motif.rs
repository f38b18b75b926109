//! A motif: forms in the order in which they are laid, and the painting of them.

use super::form::{Form, Layer};
use super::frame::Frame;
use crate::geometry::{Point, point};

/// Forms laid one over the next.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Motif {
    forms: Vec<(Frame, Form)>,
}

/// A window of cells that forms are painted on: heights over the ground, and how far the ground
/// is hidden.
#[derive(Clone, Debug)]
pub struct Canvas {
    /// The middle of the cell in column 0 of row 0.
    pub origin: Point,
    /// Width of a cell.
    pub cell: f64,
    /// Cells along x.
    pub columns: usize,
    /// Cells along y.
    pub rows: usize,
    /// Height over the ground, row by row.
    pub z: Vec<f64>,
    /// How far the ground is hidden, 0 to 1, row by row.
    pub cover: Vec<f64>,
}

impl Canvas {
    /// A bare window.
    #[must_use]
    pub fn new(origin: Point, cell: f64, columns: usize, rows: usize) -> Canvas {
        let cells = columns * rows;
        Canvas { origin, cell, columns, rows, z: vec![0.0; cells], cover: vec![0.0; cells] }
    }

    /// Highest and lowest y of the cells' middles.
    #[must_use]
    pub fn reach_y(&self) -> (f64, f64) {
        let up = self.rows.saturating_sub(1) as f64 * self.cell;
        (self.origin.y + up, self.origin.y)
    }

    /// Lays a form over what is there. `frame` places the form in the window;
    /// only cells in the box from `low` to `high` of the window are asked.
    pub fn lay(
        &mut self,
        low: Point,
        high: Point,
        frame: &Frame,
        layer: impl Fn(Point) -> Option<Layer>,
    ) {
        let range = |low: f64, high: f64, from: f64, count: usize| {
            // A float that is negative becomes zero.
            let first = ((low - from) / self.cell).ceil() as usize;
            let after = ((high - from) / self.cell).floor() + 1.0;
            first..(after as usize).min(count)
        };
        let columns = range(low.x, high.x, self.origin.x, self.columns);
        for j in range(low.y, high.y, self.origin.y, self.rows) {
            self.lay_row(j, columns.clone(), frame, &layer);
        }
    }

    /// The same where only cells in some circles, in the form's frame, are asked.
    pub fn lay_within(
        &mut self,
        circles: &[(Point, f64)],
        frame: &Frame,
        layer: impl Fn(Point) -> Option<Layer>,
    ) {
        let scale = frame.scale();
        let circles: Vec<(Point, f64)> =
            circles.iter().map(|(at, reach)| (frame.place(*at), reach * scale)).collect();
        let mut spans: Vec<(f64, f64)> = Vec::new();
        for j in 0..self.rows {
            let y = self.origin.y + j as f64 * self.cell;
            spans.clear();
            for (at, reach) in &circles {
                let half = reach * reach - (y - at.y) * (y - at.y);
                if half >= 0.0 {
                    let half = half.sqrt();
                    spans.push((at.x - half, at.x + half));
                }
            }
            spans.sort_by(|a, b| a.0.total_cmp(&b.0));
            let mut next = 0;
            for (low, high) in &spans {
                // Floats below zero become zero; each cell is asked once.
                let first = (((low - self.origin.x) / self.cell).ceil() as usize).max(next);
                let after = ((high - self.origin.x) / self.cell).floor() + 1.0;
                let after = (after.max(0.0) as usize).min(self.columns);
                if first < after {
                    self.lay_row(j, first..after, frame, &layer);
                    next = after;
                }
            }
        }
    }

    #[inline]
    fn lay_row(
        &mut self,
        j: usize,
        columns: std::ops::Range<usize>,
        frame: &Frame,
        layer: &impl Fn(Point) -> Option<Layer>,
    ) {
        let y = self.origin.y + j as f64 * self.cell;
        for i in columns {
            let p = point(self.origin.x + i as f64 * self.cell, y);
            let Some(over) = layer(frame.local(p)) else { continue };
            let (z, cover) =
                (&mut self.z[j * self.columns + i], &mut self.cover[j * self.columns + i]);
            // Only forms below are set in, not the ground.
            let below = *z - over.set_in * *cover;
            *z = below + (over.z + frame.lift() - below) * over.cover;
            *cover += (1.0 - *cover) * over.cover;
        }
    }
}

impl Motif {
    /// A motif of forms, the lowest first.
    #[must_use]
    pub fn new(forms: Vec<Form>) -> Motif {
        Motif { forms: forms.into_iter().map(|form| (Frame::HOME, form)).collect() }
    }

    /// Lays a form over what is there.
    pub fn push(&mut self, form: impl Into<Form>) {
        self.forms.push((Frame::HOME, form.into()));
    }

    /// Lays another motif over this one, where `frame` places it.
    pub fn lay(&mut self, frame: Frame, other: &Motif) {
        self.forms.extend(other.forms.iter().map(|(own, form)| (frame.of(own), form.clone())));
    }

    /// The forms and where they stand, the lowest first.
    #[must_use]
    pub fn forms(&self) -> &[(Frame, Form)] {
        &self.forms
    }

    /// The box around all forms; `None` for a motif without any.
    #[must_use]
    pub fn bounds(&self) -> Option<(Point, Point)> {
        let boxes = self.forms.iter().map(|(frame, form)| {
            let (low, high) = form.bounds();
            frame.bounds(low, high)
        });
        boxes.reduce(|(a, b), (c, d)| {
            (point(a.x.min(c.x), a.y.min(c.y)), point(b.x.max(d.x), b.y.max(d.y)))
        })
    }

    /// Paints the motif, placed by `frame`, on a window.
    pub fn paint(&self, frame: &Frame, canvas: &mut Canvas) {
        let (top, bottom) = canvas.reach_y();
        for (own, form) in &self.forms {
            let whole = frame.of(own);
            let (low, high) = form.bounds();
            let (low, high) = whole.bounds(low, high);
            if low.y > top || high.y < bottom {
                continue;
            }
            match form {
                Form::Blade(f) => canvas.lay_within(&f.circles(), &whole, |p| f.layer(p)),
                Form::Boss(f) => canvas.lay(low, high, &whole, |p| f.layer(p)),
                Form::Ring(f) => canvas.lay(low, high, &whole, |p| f.layer(p)),
                Form::Channel(f) => canvas.lay(low, high, &whole, |p| f.layer(p)),
                Form::Plate(f) => canvas.lay(low, high, &whole, |p| f.layer(p)),
            }
        }
    }

    /// Height over the ground at one place, and how far the ground is hidden there.
    #[must_use]
    pub fn height(&self, p: Point) -> (f64, f64) {
        let mut canvas = Canvas::new(p, 1.0, 1, 1);
        self.paint(&Frame::HOME, &mut canvas);
        (canvas.z[0], canvas.cover[0])
    }
}
