//! Where something stands: moved, turned, mirrored and enlarged.

use crate::geometry::{Contour, Point, Vertex, point};

/// A similarity of the plane: local x is mirrored first, then all is enlarged, turned and moved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    at: Point,
    /// Enlargement times direction of the local x axis before mirroring.
    along: Point,
    mirrored: bool,
    /// Raised by this much.
    lift: f64,
}

impl Frame {
    /// Where things are drawn.
    pub const HOME: Frame =
        Frame { at: point(0.0, 0.0), along: point(1.0, 0.0), mirrored: false, lift: 0.0 };

    /// At `at`, turned by `angle`, enlarged `scale` times.
    #[must_use]
    pub fn new(at: Point, angle: f64, scale: f64, mirrored: bool) -> Frame {
        Frame { at, along: Point::polar(scale, angle), mirrored, lift: 0.0 }
    }

    /// Moved only.
    #[must_use]
    pub fn moved(at: Point) -> Frame {
        Frame { at, ..Frame::HOME }
    }

    /// Mirrored in the y axis only.
    #[must_use]
    pub fn mirror() -> Frame {
        Frame { mirrored: true, ..Frame::HOME }
    }

    /// The same, raised by `lift`.
    #[must_use]
    pub fn lifted(self, lift: f64) -> Frame {
        Frame { lift: self.lift + lift, ..self }
    }

    /// How far it is raised.
    #[must_use]
    pub fn lift(&self) -> f64 {
        self.lift
    }

    /// How many times larger things become.
    #[must_use]
    pub fn scale(&self) -> f64 {
        self.along.length()
    }

    /// A local contour in the plane. Mirrored, it runs the other way round.
    #[must_use]
    pub fn contour(&self, contour: &Contour) -> Contour {
        let turned = if self.mirrored { -1.0 } else { 1.0 };
        let corner = |v: &Vertex| Vertex { at: self.place(v.at), bulge: turned * v.bulge };
        Contour { vertices: contour.vertices.iter().map(corner).collect(), closed: contour.closed }
    }

    /// A local place in the plane.
    #[inline]
    #[must_use]
    pub fn place(&self, p: Point) -> Point {
        let x = if self.mirrored { -p.x } else { p.x };
        self.at + self.along * x + self.along.left() * p.y
    }

    /// A place of the plane, as local.
    #[inline]
    #[must_use]
    pub fn local(&self, p: Point) -> Point {
        let d = p - self.at;
        let l2 = self.along.dot(self.along);
        let by = 1.0 / l2;
        let (x, y) = (self.along.dot(d) * by, self.along.cross(d) * by);
        point(if self.mirrored { -x } else { x }, y)
    }

    /// The box in the plane around a local box.
    #[must_use]
    pub fn bounds(&self, low: Point, high: Point) -> (Point, Point) {
        let corners =
            [low, high, point(low.x, high.y), point(high.x, low.y)].map(|p| self.place(p));
        corners.into_iter().fold((corners[0], corners[0]), |(a, b), p| {
            (point(a.x.min(p.x), a.y.min(p.y)), point(b.x.max(p.x), b.y.max(p.y)))
        })
    }

    /// What `inner` places, placed by this one.
    #[must_use]
    pub fn of(&self, inner: &Frame) -> Frame {
        let along = self.place(inner.along) - self.at;
        let along = if self.mirrored { along * -1.0 } else { along };
        // A mirrored frame turns the inner y axis the other way; the inner mirror is toggled.
        Frame {
            at: self.place(inner.at),
            along,
            mirrored: self.mirrored != inner.mirrored,
            lift: self.lift + inner.lift,
        }
    }
}
