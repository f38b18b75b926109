//! The curves that drawings are made of: lines, arcs of ellipses, rational Bézier curves.

use crate::geometry::{EPSILON, Piece, Point, point};
use kurbo::Affine;
use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// Two half axes whose lengths or squareness differ by less than this share are a circle's.
const ROUND: f64 = 1e-9;

/// One curve of a drawing, millimetres, y up.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Curve {
    /// A line.
    Line(Point, Point),
    /// `center + u cos a + v sin a`, with `a` from `start` over `sweep`.
    Ellipse {
        /// Its middle.
        center: Point,
        /// One half axis, or any pair that was square before a skew.
        u: Point,
        /// The other.
        v: Point,
        /// Where it begins, radians.
        start: f64,
        /// How far it goes, radians, at most a full turn.
        sweep: f64,
    },
    /// A rational Bézier curve of any degree from 1.
    Bezier(Bezier),
}

/// A rational Bézier curve: control points with positive weights.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Bezier {
    /// Control points, each multiplied by its weight, and the weight.
    pub(super) poles: Vec<(Point, f64)>,
}

impl Curve {
    /// A polynomial Bézier curve.
    pub(super) fn polynomial(points: &[Point]) -> Curve {
        Curve::Bezier(Bezier { poles: points.iter().map(|&p| (p, 1.0)).collect() })
    }

    /// An arc of a circle as a bulge says it.
    pub(super) fn of_piece(piece: &Piece) -> Curve {
        match piece.center() {
            None => Curve::Line(piece.from, piece.to),
            // A middle so far off would cost the digits that the chord has.
            Some(_) if piece.radius() > 1e5 => {
                let half = piece.sweep() / 2.0;
                let chord = piece.to - piece.from;
                let corner = (piece.from + piece.to) * 0.5 - chord.left() * (half.tan() / 2.0);
                let weight = half.cos();
                let poles = vec![(piece.from, 1.0), (corner * weight, weight), (piece.to, 1.0)];
                Curve::Bezier(Bezier { poles })
            }
            Some(center) => {
                let u = piece.from - center;
                let v = u.left();
                Curve::Ellipse { center, u, v, start: 0.0, sweep: piece.sweep() }
            }
        }
    }

    /// As a map of the plane draws it.
    pub(super) fn mapped(&self, map: Affine) -> Curve {
        let place = |p: Point| {
            let q = map * kurbo::Point::new(p.x, p.y);
            point(q.x, q.y)
        };
        let turn = |p: Point| {
            let [a, b, c, d, ..] = map.as_coeffs();
            point(a * p.x + c * p.y, b * p.x + d * p.y)
        };
        match self {
            Curve::Line(a, b) => Curve::Line(place(*a), place(*b)),
            Curve::Ellipse { center, u, v, start, sweep } => Curve::Ellipse {
                center: place(*center),
                u: turn(*u),
                v: turn(*v),
                start: *start,
                sweep: *sweep,
            },
            Curve::Bezier(b) => {
                let pole = |&(p, w): &(Point, f64)| (place(p * (1.0 / w)) * w, w);
                Curve::Bezier(Bezier { poles: b.poles.iter().map(pole).collect() })
            }
        }
    }

    /// Whether every number in it is one, and near enough to count with.
    pub(super) fn is_sound(&self) -> bool {
        // A kilometre: beyond it too few digits are left for the tolerance.
        let near = |p: &Point| p.x.abs() < 1e6 && p.y.abs() < 1e6;
        match self {
            Curve::Line(a, b) => near(a) && near(b),
            Curve::Ellipse { center, u, v, start, sweep } => {
                near(center) && near(u) && near(v) && start.is_finite() && sweep.is_finite()
            }
            // The least weight that a curve is drawn with; below it digits are lost.
            Curve::Bezier(b) => {
                b.poles.iter().all(|(p, w)| *w > 1e-6 && *w < 1e6 && near(&(*p * (1.0 / *w))))
            }
        }
    }

    /// The arcs of circles and the Bézier curves that it is, end to end.
    pub(super) fn parts(&self) -> Vec<Part> {
        match self {
            Curve::Line(a, b) => vec![Part::Exact(Piece { from: *a, to: *b, bulge: 0.0 })],
            Curve::Bezier(b) => vec![Part::Bezier(b.clone())],
            Curve::Ellipse { center, u, v, start, sweep } => {
                let (a, b) = (u.length(), v.length());
                let size = a.max(b);
                let round = (a - b).abs() <= ROUND * size && u.dot(*v).abs() <= ROUND * size * size;
                if round && size > EPSILON {
                    return circle_parts(*center, *u, *v, *start, *sweep);
                }
                ellipse_parts(*center, *u, *v, *start, *sweep)
            }
        }
    }
}

/// What a curve falls into.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Part {
    /// A line or an arc of a circle, as it is.
    Exact(Piece),
    /// What arcs have to follow.
    Bezier(Bezier),
}

/// Arcs of at most a half circle each, so that a bulge stays at most 1.
fn circle_parts(center: Point, u: Point, v: Point, start: f64, sweep: f64) -> Vec<Part> {
    let count = if sweep.abs() <= PI * (1.0 + 1e-9) { 1 } else { 2 };
    let each = sweep / f64::from(count);
    let at = |k: i32| {
        let angle = start + each * f64::from(k);
        center + u * angle.cos() + v * angle.sin()
    };
    let full = (sweep.abs() - TAU).abs() < 1e-9;
    let bulge = (each / 4.0).tan() * u.cross(v).signum();
    (0..count)
        .map(|k| {
            let to = if full && k + 1 == count { at(0) } else { at(k + 1) };
            Part::Exact(Piece { from: at(k), to, bulge })
        })
        .collect()
}

/// Rational quadratics of at most a quarter turn, which are the ellipse exactly.
fn ellipse_parts(center: Point, u: Point, v: Point, start: f64, sweep: f64) -> Vec<Part> {
    let count = (sweep.abs() / (FRAC_PI_2 * (1.0 + 1e-9))).ceil().clamp(1.0, 4.0);
    let half = sweep / count / 2.0;
    let at = |angle: f64| u * angle.cos() + v * angle.sin();
    // At most four.
    (0..count as usize)
        .map(|k| {
            let low = start + 2.0 * half * k as f64;
            let weight = half.cos();
            let corner = center + at(low + half) * (1.0 / weight);
            Part::Bezier(Bezier {
                poles: vec![
                    (center + at(low), 1.0),
                    (corner * weight, weight),
                    (center + at(low + 2.0 * half), 1.0),
                ],
            })
        })
        .collect()
}

impl Bezier {
    /// The control points themselves.
    pub(super) fn controls(&self) -> impl DoubleEndedIterator<Item = Point> + '_ {
        self.poles.iter().map(|&(p, w)| p * (1.0 / w))
    }

    /// Where it begins.
    pub(super) fn first(&self) -> Point {
        self.controls().next().unwrap_or_default()
    }

    /// Where it ends.
    pub(super) fn last(&self) -> Point {
        self.controls().next_back().unwrap_or_default()
    }

    /// Both parts at `t` (de Casteljau).
    pub(super) fn split(&self, t: f64) -> (Bezier, Bezier) {
        let n = self.poles.len();
        let mut row = self.poles.clone();
        let mut left = Vec::with_capacity(n);
        let mut right = vec![(point(0.0, 0.0), 0.0); n];
        for level in 0..n {
            left.push(row[0]);
            right[n - 1 - level] = row[n - 1 - level];
            for i in 0..n - 1 - level {
                let ((p, w), (q, x)) = (row[i], row[i + 1]);
                row[i] = (p * (1.0 - t) + q * t, w * (1.0 - t) + x * t);
            }
        }
        (Bezier { poles: left }, Bezier { poles: right })
    }

    /// The point at `t`.
    pub(super) fn at(&self, t: f64) -> Point {
        self.split(t).0.last()
    }

    /// Unit directions at both ends; `None` where it has no length.
    pub(super) fn tangents(&self) -> Option<(Point, Point)> {
        let (first, last) = (self.first(), self.last());
        let apart = |a: Point, b: Point| a.distance(b) > 1e-9;
        let next = self.controls().find(|&p| apart(p, first))?;
        let before = self.controls().rev().find(|&p| apart(p, last))?;
        Some(((next - first).unit()?, (last - before).unit()?))
    }

    /// Greatest distance of a control point from the first: the curve is no larger than twice it.
    pub(super) fn reach(&self) -> f64 {
        let first = self.first();
        self.controls().map(|p| p.distance(first)).fold(0.0, f64::max)
    }
}
