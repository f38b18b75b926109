//! A rounder way past an inside corner of a ring.

use crate::geometry::{Piece, Point};

/// Lengths below this are rounding, mm.
const SMALL: f64 = 1e-6;

/// An arc that touches two pieces of a ring, on their left.
#[derive(Clone, Copy, Debug)]
pub(super) struct Fillet {
    /// Share of the first piece at which it is left.
    pub leave: f64,
    /// From the first to the second, counter-clockwise.
    pub arc: Piece,
    /// Share of the second piece at which it is joined.
    pub join: f64,
}

/// Where the middle of a circle that touches a piece on its left may be.
#[derive(Clone, Copy)]
enum Locus {
    /// Through a point, in a direction.
    Line(Point, Point),
    /// About a point.
    Circle(Point, f64),
}

impl Fillet {
    /// The arc of this radius between two pieces, the one nearest to the end of the first.
    pub(super) fn new(a: &Piece, b: &Piece, radius: f64) -> Option<Fillet> {
        let touching = |q: &Point| {
            let (leave, join) = (a.nearest_share(*q), b.nearest_share(*q));
            let touches = |p: Point| (p.distance(*q) - radius).abs() < SMALL;
            let within = leave > 0.0 && leave <= 1.0 && (0.0..1.0).contains(&join);
            let (from, to) = (a.at(leave), b.at(join));
            if !(within && touches(from) && touches(to)) {
                return None;
            }
            let (u, v) = (from - *q, to - *q);
            let sweep = u.cross(v).atan2(u.dot(v));
            // An inside corner turns left, by less than half a turn.
            (sweep > SMALL).then(|| Fillet {
                leave,
                arc: Piece { from, to, bulge: (sweep / 4.0).tan() },
                join,
            })
        };
        let middles = meets(Locus::of(a, radius)?, Locus::of(b, radius)?);
        let found = middles.iter().filter_map(touching);
        found.max_by(|x, y| x.leave.total_cmp(&y.leave))
    }
}

impl Locus {
    fn of(piece: &Piece, radius: f64) -> Option<Locus> {
        let Some(center) = piece.center() else {
            let along = piece.direction(0.0);
            return Some(Locus::Line(piece.from + along.left() * radius, along));
        };
        let left = if piece.bulge > 0.0 { -radius } else { radius };
        let wide = piece.radius() + left;
        (wide > SMALL).then_some(Locus::Circle(center, wide))
    }
}

fn meets(a: Locus, b: Locus) -> Vec<Point> {
    match (a, b) {
        (Locus::Line(p, u), Locus::Line(q, v)) => {
            let cross = u.cross(v);
            if cross.abs() < SMALL { Vec::new() } else { vec![p + u * ((q - p).cross(v) / cross)] }
        }
        (Locus::Line(p, u), Locus::Circle(c, r)) | (Locus::Circle(c, r), Locus::Line(p, u)) => {
            let foot = p + u * (c - p).dot(u);
            let rest = r * r - foot.distance(c).powi(2);
            if rest < 0.0 {
                return Vec::new();
            }
            vec![foot + u * rest.sqrt(), foot - u * rest.sqrt()]
        }
        (Locus::Circle(c, r), Locus::Circle(e, s)) => {
            let d = c.distance(e);
            let Some(u) = (e - c).unit() else { return Vec::new() };
            let along = (d * d + r * r - s * s) / (2.0 * d);
            let rest = r * r - along * along;
            if rest < 0.0 {
                return Vec::new();
            }
            let foot = c + u * along;
            vec![foot + u.left() * rest.sqrt(), foot - u.left() * rest.sqrt()]
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::point;

    #[test]
    fn between_two_lines_it_touches_both() {
        let a = Piece { from: point(0.0, 0.0), to: point(20.0, 0.0), bulge: 0.0 };
        let b = Piece { from: point(20.0, 0.0), to: point(20.0, 15.0), bulge: 0.0 };
        let Some(found) = Fillet::new(&a, &b, 5.0) else { panic!("no arc") };
        assert!((found.leave - 0.75).abs() < 1e-12 && (found.join - 1.0 / 3.0).abs() < 1e-12);
        assert!(found.arc.at(0.5).distance(point(15.0, 5.0)) - 5.0 < 1e-12);
        // As wide as the shorter side, and no wider.
        assert!(Fillet::new(&a, &b, 15.1).is_none());
        // An outside corner has none.
        let down = Piece { to: point(20.0, -15.0), ..b };
        assert!(Fillet::new(&a, &down, 5.0).is_none());
    }

    #[test]
    fn between_a_line_and_an_arc_it_touches_both() {
        // Up from the middle of a half disc's flat side along the rim of radius 10.
        let a = Piece { from: point(-10.0, 0.0), to: point(10.0, 0.0), bulge: 0.0 };
        let b = Piece { from: point(10.0, 0.0), to: point(-10.0, 0.0), bulge: 1.0 };
        let Some(found) = Fillet::new(&a, &b, 3.0) else { panic!("no arc") };
        // Its middle is 7 from the rim's middle and 3 above the flat side (closed form).
        let x = (49.0_f64 - 9.0).sqrt();
        assert!(found.arc.from.distance(point(x, 0.0)) < 1e-9);
        assert!((found.arc.to.length() - 10.0).abs() < 1e-9);
        assert!((found.arc.radius() - 3.0).abs() < 1e-9);
    }
}
