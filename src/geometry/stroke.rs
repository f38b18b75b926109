//! One stroke of a cutter's tip through space: a line, an arc or a helix.

use super::{Box3, Point, Point3, point, point3};
use std::f64::consts::{FRAC_PI_2, TAU};

/// The plane of an arc.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, serde::Serialize)]
pub enum Plane {
    /// G17: seen from above, first axis x, second y.
    #[default]
    Xy,
    /// G18: first axis z, second x, seen from the positive end of y.
    Zx,
    /// G19: first axis y, second z, seen from the positive end of x.
    Yz,
}

impl Plane {
    /// (first axis, second axis, axis along) of a point.
    #[must_use]
    pub fn split(self, p: Point3) -> (Point, f64) {
        match self {
            Plane::Xy => (point(p.x, p.y), p.z),
            Plane::Zx => (point(p.z, p.x), p.y),
            Plane::Yz => (point(p.y, p.z), p.x),
        }
    }

    /// The point with these in-plane coordinates and this place along the axis.
    #[must_use]
    pub fn join(self, flat: Point, along: f64) -> Point3 {
        match self {
            Plane::Xy => point3(flat.x, flat.y, along),
            Plane::Zx => point3(flat.y, along, flat.x),
            Plane::Yz => point3(along, flat.x, flat.y),
        }
    }
}

/// An arc or helix about an axis square to its plane.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Arc {
    /// Plane of turning.
    pub plane: Plane,
    /// Centre, in the plane's own axes (see [`Plane::split`]).
    pub center: Point,
    /// Angle turned, radians: positive counter-clockwise seen from the axis's positive end. At most one turn.
    pub sweep: f64,
}

/// A stroke from one point to another.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Stroke {
    /// Where it starts.
    pub from: Point3,
    /// Where it ends.
    pub to: Point3,
    /// The arc that it follows; a line without one.
    pub arc: Option<Arc>,
}

impl Stroke {
    /// A straight stroke.
    #[must_use]
    pub fn line(from: Point3, to: Point3) -> Stroke {
        Stroke { from, to, arc: None }
    }

    /// Length along the stroke, helices included.
    #[must_use]
    pub fn length(&self) -> f64 {
        match self.arc {
            None => self.from.distance(self.to),
            Some(arc) => {
                let (start, low) = arc.plane.split(self.from);
                let (_, high) = arc.plane.split(self.to);
                (start.distance(arc.center) * arc.sweep).hypot(high - low)
            }
        }
    }

    /// The point at `share` (0 to 1) of the way. The radius is blended from the start's to the
    /// end's, which differ by no more than rounding.
    #[must_use]
    pub fn at(&self, share: f64) -> Point3 {
        match self.arc {
            None => self.from + (self.to - self.from) * share,
            Some(_) if share <= 0.0 => self.from,
            Some(_) if share >= 1.0 => self.to,
            Some(arc) => {
                let (start, low) = arc.plane.split(self.from);
                let (end, high) = arc.plane.split(self.to);
                let (r0, r1) = (start.distance(arc.center), end.distance(arc.center));
                let angle = (start - arc.center).angle() + arc.sweep * share;
                let radius = r0 + (r1 - r0) * share;
                arc.plane.join(arc.center + Point::polar(radius, angle), low + (high - low) * share)
            }
        }
    }

    /// Unit direction of travel at `share`; zero for a stroke without length.
    #[must_use]
    pub fn direction(&self, share: f64) -> Point3 {
        let raw = match self.arc {
            None => self.to - self.from,
            Some(arc) => {
                let (start, low) = arc.plane.split(self.from);
                let (_, high) = arc.plane.split(self.to);
                let angle = (start - arc.center).angle() + arc.sweep * share;
                let speed = start.distance(arc.center) * arc.sweep;
                let flat = Point::polar(1.0, angle).left() * speed;
                arc.plane.join(flat, high - low)
            }
        };
        let length = raw.length();
        if length > 0.0 { raw * (1.0 / length) } else { Point3::default() }
    }

    /// The least box that holds the stroke, exact for arcs.
    #[must_use]
    pub fn bounds(&self) -> Box3 {
        let mut bounds = Box3::EMPTY.with(self.from).with(self.to);
        let Some(arc) = self.arc else { return bounds };
        let (start, low) = arc.plane.split(self.from);
        let radius = start.distance(arc.center);
        let first = (start - arc.center).angle();
        for quarter in 0..4 {
            let angle = f64::from(quarter) * FRAC_PI_2;
            let ahead = if arc.sweep >= 0.0 {
                (angle - first).rem_euclid(TAU)
            } else {
                (first - angle).rem_euclid(TAU)
            };
            if ahead <= arc.sweep.abs() {
                let extreme = arc.center + Point::polar(radius, angle);
                bounds = bounds.with(arc.plane.join(extreme, low));
            }
        }
        bounds
    }

    /// Number of equal lines that stay within `tolerance` of an arc; one for a line.
    #[must_use]
    pub fn chords(&self, tolerance: f64) -> usize {
        let Some(arc) = self.arc else { return 1 };
        let (start, _) = arc.plane.split(self.from);
        let radius = start.distance(arc.center);
        if radius <= tolerance {
            return 1.max((arc.sweep.abs() / FRAC_PI_2).ceil() as usize);
        }
        let step = 2.0 * (1.0 - tolerance / radius).acos();
        // A turn in chords of a nanometre's sagitta is still a countable number.
        ((arc.sweep.abs() / step).ceil() as usize).clamp(1, 1_000_000)
    }

    /// The stroke as points within `tolerance` of it, both ends included.
    #[must_use]
    pub fn flattened(&self, tolerance: f64) -> Vec<Point3> {
        let n = self.chords(tolerance);
        (0..=n).map(|i| self.at(i as f64 / n as f64)).collect()
    }
}
