//! Outlines whose arcs stay arcs.

use super::{Arc, EPSILON, Plane, Point, Stroke, point};
use std::f64::consts::TAU;

/// A corner of a contour and how the outline goes on from it.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Vertex {
    /// Where.
    pub at: Point,
    /// tan(sweep / 4) of the piece that starts here: 0 a line, positive an arc that turns
    /// left, 1 a half circle.
    pub bulge: f64,
}

/// A chain of lines and arcs in a plane, millimetres; closed or open.
#[derive(Clone, Debug, Default, PartialEq, serde::Serialize)]
pub struct Contour {
    /// The corners in order.
    pub vertices: Vec<Vertex>,
    /// Whether the last corner joins the first.
    pub closed: bool,
}

/// One line or arc of a contour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    /// Start.
    pub from: Point,
    /// End.
    pub to: Point,
    /// tan(sweep / 4).
    pub bulge: f64,
}

impl Piece {
    /// Whether it turns.
    #[must_use]
    pub fn is_arc(&self) -> bool {
        self.bulge.abs() > 1e-12
    }

    /// Angle turned, positive to the left; zero for a line.
    #[must_use]
    pub fn sweep(&self) -> f64 {
        4.0 * self.bulge.atan()
    }

    /// Radius; infinite for a line.
    #[must_use]
    pub fn radius(&self) -> f64 {
        if !self.is_arc() {
            return f64::INFINITY;
        }
        let b = self.bulge.abs();
        self.from.distance(self.to) * (1.0 + b * b) / (4.0 * b)
    }

    /// How far along x and y a point lies beside the box of the chord, widened by as much as the
    /// arc may stand out: soon found, and nothing of the piece is nearer.
    pub(crate) fn beside(&self, p: Point) -> Point {
        let b = self.bulge.abs();
        let chord = (self.to.x - self.from.x).abs() + (self.to.y - self.from.y).abs();
        // Up to half a turn no more than its rise, b / 2 of the chord; beyond, no more than its
        // diameter, which is less than b chords.
        let wide = EPSILON + if b <= 1.0 { b / 2.0 * chord } else { b * chord };
        let off = |v: f64, a: f64, b: f64| (a.min(b) - wide - v).max(v - a.max(b) - wide).max(0.0);
        point(off(p.x, self.from.x, self.to.x), off(p.y, self.from.y, self.to.y))
    }

    /// Centre of an arc; `None` for a line.
    #[must_use]
    pub fn center(&self) -> Option<Point> {
        self.is_arc().then(|| {
            let chord = self.to - self.from;
            let b = self.bulge;
            // Apothem over chord, signed to the left: (1 - b²) / (4 b).
            (self.from + self.to) * 0.5 + chord.left() * ((1.0 - b * b) / (4.0 * b))
        })
    }

    /// Length along it.
    #[must_use]
    pub fn length(&self) -> f64 {
        if self.is_arc() { self.radius() * self.sweep().abs() } else { self.from.distance(self.to) }
    }

    /// The point at `share` (0 to 1) of the way.
    #[must_use]
    pub fn at(&self, share: f64) -> Point {
        match self.center() {
            None => self.from + (self.to - self.from) * share,
            Some(_) if share <= 0.0 => self.from,
            Some(_) if share >= 1.0 => self.to,
            Some(c) => c + (self.from - c).rotated(self.sweep() * share),
        }
    }

    /// Unit direction of travel at `share`; zero for a piece without length.
    #[must_use]
    pub fn direction(&self, share: f64) -> Point {
        let raw = match self.center() {
            None => self.to - self.from,
            Some(c) => (self.at(share) - c).left() * self.bulge.signum(),
        };
        raw.unit().unwrap_or_default()
    }

    /// The part between two shares of the way.
    #[must_use]
    pub fn part(&self, from: f64, to: f64) -> Piece {
        Piece {
            from: self.at(from),
            to: self.at(to),
            bulge: (self.sweep() * (to - from) / 4.0).tan(),
        }
    }

    /// Seen from the other side, by a mirroring `at`.
    #[must_use]
    pub fn mirrored(&self, at: &dyn Fn(Point) -> Point) -> Piece {
        Piece { from: at(self.from), to: at(self.to), bulge: -self.bulge }
    }

    /// The same piece travelled the other way.
    #[must_use]
    pub fn reversed(&self) -> Piece {
        Piece { from: self.to, to: self.from, bulge: -self.bulge }
    }

    /// Share of the way at which the piece comes nearest to `p`.
    #[must_use]
    pub fn nearest_share(&self, p: Point) -> f64 {
        match self.center() {
            None => {
                let d = self.to - self.from;
                let l2 = d.dot(d);
                if l2 == 0.0 { 0.0 } else { ((p - self.from).dot(d) / l2).clamp(0.0, 1.0) }
            }
            Some(c) => {
                let sweep = self.sweep();
                let start = (self.from - c).angle();
                let turned = ((p - c).angle() - start) * sweep.signum();
                let share = turned.rem_euclid(TAU) / sweep.abs();
                if share <= 1.0 {
                    share
                } else if self.from.distance(p) <= self.to.distance(p) {
                    0.0
                } else {
                    1.0
                }
            }
        }
    }

    /// The piece as a stroke of a cutter's tip, from height `z0` to `z1`.
    #[must_use]
    pub fn stroke(&self, z0: f64, z1: f64) -> Stroke {
        Stroke {
            from: self.from.at(z0),
            to: self.to.at(z1),
            arc: self.center().map(|center| Arc { plane: Plane::Xy, center, sweep: self.sweep() }),
        }
    }
}

impl Contour {
    /// A closed contour through corners joined by lines.
    #[must_use]
    pub fn polygon(corners: &[Point]) -> Contour {
        let vertices = corners.iter().map(|&at| Vertex { at, bulge: 0.0 }).collect();
        Contour { vertices, closed: true }
    }

    /// A counter-clockwise rectangle.
    #[must_use]
    pub fn rectangle(low: Point, high: Point) -> Contour {
        Contour::polygon(&[low, point(high.x, low.y), high, point(low.x, high.y)])
    }

    /// A counter-clockwise rectangle with rounded corners; plain ones for a radius of zero.
    #[must_use]
    pub fn rounded_rectangle(low: Point, high: Point, radius: f64) -> Contour {
        if radius <= 0.0 {
            return Contour::rectangle(low, high);
        }
        // A quarter circle's bulge: tan(90 degrees / 4).
        let quarter = (std::f64::consts::PI / 8.0).tan();
        let (r, v) = (radius, |x, y, bulge| Vertex { at: point(x, y), bulge });
        let vertices = vec![
            v(low.x + r, low.y, 0.0),
            v(high.x - r, low.y, quarter),
            v(high.x, low.y + r, 0.0),
            v(high.x, high.y - r, quarter),
            v(high.x - r, high.y, 0.0),
            v(low.x + r, high.y, quarter),
            v(low.x, high.y - r, 0.0),
            v(low.x, low.y + r, quarter),
        ];
        Contour { vertices, closed: true }.without_repeats()
    }

    /// The same without vertices that repeat the one before.
    fn without_repeats(mut self) -> Contour {
        let n = self.vertices.len();
        let next = |i: usize| self.vertices[(i + 1) % n].at;
        let keep: Vec<bool> =
            (0..n).map(|i| self.vertices[i].at.distance(next(i)) > super::EPSILON).collect();
        let mut kept = keep.iter();
        self.vertices.retain(|_| kept.next().copied().unwrap_or(true));
        self
    }

    /// What a round cutter of this width sweeps along a line or an arc, counter-clockwise. An arc
    /// must be wider than half the width.
    #[must_use]
    pub fn around(middle: &Piece, width: f64) -> Contour {
        let half = width / 2.0;
        let (start, end) = (middle.direction(0.0).left(), middle.direction(1.0).left());
        let v = |at: Point, bulge: f64| Vertex { at, bulge };
        let vertices = vec![
            v(middle.from - start * half, middle.bulge),
            v(middle.to - end * half, 1.0),
            v(middle.to + end * half, -middle.bulge),
            v(middle.from + start * half, 1.0),
        ];
        Contour { vertices, closed: true }
    }

    /// The contour seen from the other side, by a mirroring `at`. It runs the same way round as
    /// before.
    #[must_use]
    pub fn mirrored(&self, at: &dyn Fn(Point) -> Point) -> Contour {
        let mut pieces: Vec<Piece> = self.pieces().map(|p| p.mirrored(at).reversed()).collect();
        pieces.reverse();
        Contour::from_pieces(&pieces, self.closed)
    }

    /// A counter-clockwise circle of two half circles.
    #[must_use]
    pub fn circle(center: Point, radius: f64) -> Contour {
        let at = |dx: f64| Vertex { at: center + point(dx, 0.0), bulge: 1.0 };
        Contour { vertices: vec![at(radius), at(-radius)], closed: true }
    }

    /// An open or closed contour of pieces that follow one another.
    #[must_use]
    pub fn from_pieces(pieces: &[Piece], closed: bool) -> Contour {
        let mut vertices: Vec<Vertex> =
            pieces.iter().map(|p| Vertex { at: p.from, bulge: p.bulge }).collect();
        if let (false, Some(last)) = (closed, pieces.last()) {
            vertices.push(Vertex { at: last.to, bulge: 0.0 });
        }
        Contour { vertices, closed }
    }

    /// Its lines and arcs in order; pieces without length are left out.
    pub fn pieces(&self) -> impl Iterator<Item = Piece> + '_ {
        self.sides().filter(|p| p.from.distance(p.to) > EPSILON)
    }

    /// From every corner to the next, each starting just where the one before ends.
    fn sides(&self) -> impl Iterator<Item = Piece> + '_ {
        let n = self.vertices.len();
        let count = if self.closed { n } else { n.saturating_sub(1) };
        (0..count).map(move |i| {
            let (a, b) = (self.vertices[i], self.vertices[(i + 1) % n]);
            Piece { from: a.at, to: b.at, bulge: a.bulge }
        })
    }

    /// Length along it.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.pieces().map(|p| p.length()).sum()
    }

    /// Signed area: positive when counter-clockwise. An open contour is closed by a line.
    #[must_use]
    pub fn area(&self) -> f64 {
        let n = self.vertices.len();
        let corners: f64 =
            (0..n).map(|i| self.vertices[i].at.cross(self.vertices[(i + 1) % n].at)).sum();
        let segments: f64 = self
            .pieces()
            .filter(Piece::is_arc)
            .map(|p| p.radius().powi(2) * (p.sweep() - p.sweep().sin()))
            .sum();
        (corners + segments) / 2.0
    }

    /// The same outline travelled the other way.
    #[must_use]
    pub fn reversed(&self) -> Contour {
        let n = self.vertices.len();
        let vertices = (0..n)
            .map(|i| {
                let from = n - 1 - i;
                let bulge = match (from, self.closed) {
                    (0, true) => -self.vertices[n - 1].bulge,
                    (0, false) => 0.0,
                    (k, _) => -self.vertices[k - 1].bulge,
                };
                Vertex { at: self.vertices[from].at, bulge }
            })
            .collect();
        Contour { vertices, closed: self.closed }
    }

    /// Least and greatest corner of the box that holds it, exact for arcs.
    #[must_use]
    pub fn bounds(&self) -> Option<(Point, Point)> {
        let mut all = super::Box3::EMPTY;
        for vertex in &self.vertices {
            all = all.with(vertex.at.at(0.0));
        }
        for piece in self.pieces() {
            all = all.union(piece.stroke(0.0, 0.0).bounds());
        }
        (!all.is_empty()).then(|| (all.min.xy(), all.max.xy()))
    }

    /// Least distance from `p` to the outline, and where on it.
    #[must_use]
    pub fn nearest(&self, p: Point) -> Option<(f64, Point)> {
        self.pieces()
            .map(|piece| {
                let q = piece.at(piece.nearest_share(p));
                (q.distance(p), q)
            })
            .min_by(|a, b| a.0.total_cmp(&b.0))
    }

    /// Whether a closed contour encloses `p` (on the outline itself: either).
    #[must_use]
    pub fn contains(&self, p: Point) -> bool {
        self.winding(p) != 0
    }

    /// How often a closed contour turns about `p`, counter-clockwise positive.
    ///
    /// Crossings of the chords with a ray along x (D. Sunday's winding number, from memory), and for
    /// each arc one turn more or less where `p` lies between arc and chord: within the circle and
    /// on the chord's outer side. Ties are broken as if `p` stood a hair further along y, then x.
    #[must_use]
    pub fn winding(&self, p: Point) -> i32 {
        let mut turns = 0;
        // However short, each counts: a gap would let the ray through.
        for piece in self.sides() {
            let d = piece.to - piece.from;
            let left = is_left(d, p - piece.from);
            if piece.from.y <= p.y && p.y < piece.to.y && left {
                turns += 1;
            } else if piece.to.y <= p.y && p.y < piece.from.y && !left {
                turns -= 1;
            }
            if left != (piece.bulge > 0.0)
                && piece.beside(p) == Point::default()
                && let Some(center) = piece.center()
                && center.distance(p) < piece.radius()
            {
                turns += if piece.bulge > 0.0 { 1 } else { -1 };
            }
        }
        turns
    }

    /// Moved by a vector.
    #[must_use]
    pub fn moved(&self, by: Point) -> Contour {
        let vertices =
            self.vertices.iter().map(|v| Vertex { at: v.at + by, bulge: v.bulge }).collect();
        Contour { vertices, closed: self.closed }
    }

    /// Points along it, within `tolerance` of its arcs; a closed contour does not repeat the first.
    #[must_use]
    pub fn flattened(&self, tolerance: f64) -> Vec<Point> {
        let mut points = Vec::new();
        let mut last = None;
        for piece in self.pieces() {
            let run = piece.stroke(0.0, 0.0).flattened(tolerance);
            points.extend(run[..run.len() - 1].iter().map(|p| p.xy()));
            last = run.last().map(|p| p.xy());
        }
        if let (false, Some(last)) = (self.closed, last) {
            points.push(last);
        }
        points
    }
}

/// Whether a point, `to` it from the start of a way `d`, lies to the left of the way.
fn is_left(d: Point, to: Point) -> bool {
    let cross = d.cross(to);
    match (cross != 0.0, d.x != 0.0) {
        (true, _) => cross > 0.0,
        (false, true) => d.x > 0.0,
        (false, false) => d.y < 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::Piece;
    use crate::geometry::point;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn nothing_of_a_piece_is_nearer_than_what_is_soon_found(
            ends in prop::array::uniform4(-50.0..50.0_f64),
            bulge in -4.0..4.0_f64,
            at in prop::array::uniform2(-200.0..200.0_f64),
            share in 0.0..=1.0_f64,
        ) {
            let (from, to) = (point(ends[0], ends[1]), point(ends[2], ends[3]));
            let piece = Piece { from, to, bulge };
            let p = point(at[0], at[1]);
            prop_assert!(piece.beside(p).length() <= p.distance(piece.at(share)) + 1e-9);
            prop_assert_eq!(piece.beside(piece.at(share)), point(0.0, 0.0));
        }
    }
}
