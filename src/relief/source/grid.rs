//! Heights on a grid, met smoothly between its nodes.

use crate::geometry::{HeightField, Point};
use crate::ornament::{Canvas, Frame, Layer};

/// A hollow under an overhang, where no straight cutter from above can reach.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Undercut {
    /// Where it is highest.
    pub at: Point,
    /// Wood that stays in it there, from the overhang's lower side down to what lies under it, mm.
    pub high: f64,
}

/// Heights on a grid; minus infinity where there is nothing.
#[derive(Clone, Debug, PartialEq)]
pub struct Grid {
    field: HeightField,
    smooth: bool,
    undercut: Option<Undercut>,
}

impl Grid {
    /// Heights of a field. `smooth`: between nodes a surface without creases (Catmull and Rom's
    /// cubic); else bilinear, which no mesh's edge makes overshoot.
    #[must_use]
    pub fn new(field: HeightField, smooth: bool) -> Grid {
        Grid { field, smooth, undercut: None }
    }

    /// With what its source has under overhangs.
    #[must_use]
    pub fn over(self, undercut: Option<Undercut>) -> Grid {
        Grid { undercut, ..self }
    }

    /// What its source has under overhangs.
    #[must_use]
    pub fn undercut(&self) -> Option<Undercut> {
        self.undercut
    }

    /// The field.
    #[must_use]
    pub fn field(&self) -> &HeightField {
        &self.field
    }

    /// The box around the nodes.
    #[must_use]
    pub fn bounds(&self) -> (Point, Point) {
        let field = &self.field;
        (field.middle(0, 0), field.middle(field.columns() - 1, field.rows() - 1))
    }

    /// Paints it on a window.
    pub fn paint(&self, frame: &Frame, canvas: &mut Canvas) {
        let (low, high) = self.bounds();
        let (low, high) = frame.bounds(low, high);
        canvas.lay(low, high, frame, |p| {
            self.height(p).map(|z| Layer { z, cover: 1.0, set_in: 0.0 })
        });
    }

    /// Height at a place; `None` outside and where there is nothing.
    #[must_use]
    pub fn height(&self, p: Point) -> Option<f64> {
        let at = (p - self.field.middle(0, 0)) * (1.0 / self.field.cell());
        let last = (self.field.columns() as f64 - 1.0, self.field.rows() as f64 - 1.0);
        // A hair over the edge is the edge.
        let hair = 1e-9;
        if at.x < -hair || at.y < -hair || at.x > last.0 + hair || at.y > last.1 + hair {
            return None;
        }
        let cell = |v: f64, last: f64| v.clamp(0.0, last).floor().min((last - 1.0).max(0.0));
        let (i, j) = (cell(at.x, last.0), cell(at.y, last.1));
        let (u, v) = ((at.x - i).clamp(0.0, 1.0), (at.y - j).clamp(0.0, 1.0));
        let (i, j) = (i as i64, j as i64);
        let cubic = if self.smooth { self.cubic(i, j, u, v) } else { None };
        cubic.or_else(|| self.bilinear(i, j, u, v))
    }

    /// A node's height, the outermost repeated outside.
    fn node(&self, i: i64, j: i64) -> f64 {
        let i = i.clamp(0, self.field.columns() as i64 - 1) as usize;
        let j = j.clamp(0, self.field.rows() as i64 - 1) as usize;
        self.field.height(i, j).map_or(f64::NEG_INFINITY, f64::from)
    }

    fn bilinear(&self, i: i64, j: i64, u: f64, v: f64) -> Option<f64> {
        let row = |j: i64| {
            let (a, b) = (self.node(i, j), self.node(i + 1, j));
            // Nothing beside a node does not reach it.
            if u <= 0.0 { a } else { a + (b - a) * u }
        };
        let (a, b) = (row(j), row(j + 1));
        let z = if v <= 0.0 { a } else { a + (b - a) * v };
        z.is_finite().then_some(z)
    }

    fn cubic(&self, i: i64, j: i64, u: f64, v: f64) -> Option<f64> {
        let row = |j: i64| {
            let n = |k: i64| self.node(i + k, j);
            catmull_rom([n(-1), n(0), n(1), n(2)], u)
        };
        let z = catmull_rom([row(j - 1), row(j), row(j + 1), row(j + 2)], v);
        z.is_finite().then_some(z)
    }
}

fn catmull_rom(p: [f64; 4], t: f64) -> f64 {
    let a = 3.0 * (p[1] - p[2]) + p[3] - p[0];
    let b = 2.0 * p[0] - 5.0 * p[1] + 4.0 * p[2] - p[3];
    p[1] + 0.5 * t * (p[2] - p[0] + t * (b + t * a))
}
