//! Points and boxes, millimetres.

use std::ops::{Add, Mul, Neg, Sub};

/// A point or a vector in a plane, millimetres.
#[derive(Clone, Copy, Debug, Default, PartialEq, serde::Serialize)]
pub struct Point {
    /// To the right.
    pub x: f64,
    /// Away from the viewer.
    pub y: f64,
}

/// Short for a [`Point`].
#[must_use]
pub const fn point(x: f64, y: f64) -> Point {
    Point { x, y }
}

impl Point {
    /// The point at `angle` on a circle of `radius` about the origin.
    #[must_use]
    pub fn polar(radius: f64, angle: f64) -> Point {
        point(radius * angle.cos(), radius * angle.sin())
    }

    /// Length as a vector. Not `hypot`: it guards against overflow that millimetres never
    /// reach, and costs ten times as much in the loops over columns of wood.
    #[must_use]
    pub fn length(self) -> f64 {
        (self.x * self.x + self.y * self.y).sqrt()
    }

    /// Distance to another point.
    #[must_use]
    pub fn distance(self, other: Point) -> f64 {
        (self - other).length()
    }

    /// Scalar product.
    #[must_use]
    pub fn dot(self, other: Point) -> f64 {
        self.x * other.x + self.y * other.y
    }

    /// Signed area of the parallelogram: positive when `other` lies to the left.
    #[must_use]
    pub fn cross(self, other: Point) -> f64 {
        self.x * other.y - self.y * other.x
    }

    /// Direction, radians, counter-clockwise from x.
    #[must_use]
    pub fn angle(self) -> f64 {
        self.y.atan2(self.x)
    }

    /// Turned a quarter turn counter-clockwise: the left of a direction.
    #[must_use]
    pub fn left(self) -> Point {
        point(-self.y, self.x)
    }

    /// Turned by `angle` counter-clockwise about the origin.
    #[must_use]
    pub fn rotated(self, angle: f64) -> Point {
        let (s, c) = angle.sin_cos();
        point(self.x * c - self.y * s, self.x * s + self.y * c)
    }

    /// Length one, same direction; `None` for a vector without one.
    #[must_use]
    pub fn unit(self) -> Option<Point> {
        let l = self.length();
        (l > 0.0 && l.is_finite()).then(|| self * (1.0 / l))
    }

    /// This point at height `z`.
    #[must_use]
    pub fn at(self, z: f64) -> Point3 {
        point3(self.x, self.y, z)
    }
}

impl Add for Point {
    type Output = Point;
    fn add(self, o: Point) -> Point {
        point(self.x + o.x, self.y + o.y)
    }
}

impl Sub for Point {
    type Output = Point;
    fn sub(self, o: Point) -> Point {
        point(self.x - o.x, self.y - o.y)
    }
}

impl Mul<f64> for Point {
    type Output = Point;
    fn mul(self, k: f64) -> Point {
        point(self.x * k, self.y * k)
    }
}

impl Neg for Point {
    type Output = Point;
    fn neg(self) -> Point {
        point(-self.x, -self.y)
    }
}

/// A point in space, millimetres.
#[derive(Clone, Copy, Debug, Default, PartialEq, serde::Serialize)]
pub struct Point3 {
    /// Along the grain.
    pub x: f64,
    /// Across the table.
    pub y: f64,
    /// Up.
    pub z: f64,
}

/// Short for a [`Point3`].
#[must_use]
pub const fn point3(x: f64, y: f64, z: f64) -> Point3 {
    Point3 { x, y, z }
}

impl Point3 {
    /// Seen from above.
    #[must_use]
    pub fn xy(self) -> Point {
        point(self.x, self.y)
    }

    /// Distance to another point.
    #[must_use]
    pub fn distance(self, o: Point3) -> f64 {
        (self - o).length()
    }

    /// Length as a vector.
    #[must_use]
    pub fn length(self) -> f64 {
        (self.x * self.x + self.y * self.y + self.z * self.z).sqrt()
    }
}

impl Add for Point3 {
    type Output = Point3;
    fn add(self, o: Point3) -> Point3 {
        point3(self.x + o.x, self.y + o.y, self.z + o.z)
    }
}

impl Sub for Point3 {
    type Output = Point3;
    fn sub(self, o: Point3) -> Point3 {
        point3(self.x - o.x, self.y - o.y, self.z - o.z)
    }
}

impl Mul<f64> for Point3 {
    type Output = Point3;
    fn mul(self, k: f64) -> Point3 {
        point3(self.x * k, self.y * k, self.z * k)
    }
}

/// A box with sides along the axes, millimetres.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Box3 {
    /// Least corner.
    pub min: Point3,
    /// Greatest corner.
    pub max: Point3,
}

impl Box3 {
    /// The empty box: contains nothing, grows to whatever is added.
    pub const EMPTY: Box3 = Box3 {
        min: point3(f64::INFINITY, f64::INFINITY, f64::INFINITY),
        max: point3(f64::NEG_INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY),
    };

    /// Whether nothing was ever added.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.min.x > self.max.x
    }

    /// Grown to hold `p`.
    #[must_use]
    pub fn with(self, p: Point3) -> Box3 {
        Box3 {
            min: point3(self.min.x.min(p.x), self.min.y.min(p.y), self.min.z.min(p.z)),
            max: point3(self.max.x.max(p.x), self.max.y.max(p.y), self.max.z.max(p.z)),
        }
    }

    /// Grown to hold another box.
    #[must_use]
    pub fn union(self, o: Box3) -> Box3 {
        if o.is_empty() { self } else { self.with(o.min).with(o.max) }
    }

    /// Widths along the axes.
    #[must_use]
    pub fn size(&self) -> Point3 {
        self.max - self.min
    }
}
