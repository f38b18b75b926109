//! The line along which a form grows: a chain of arcs that meet without a corner.
//!
//! A place beside it is told by how far along (s) and how far to the left (v). Both are smooth
//! across the joints, since neighbours share their tangent, and closed form on every piece.

use crate::geometry::{self, Point, point};

/// Curvature, 1/mm, below which a piece is straight: a sagitta of 1e-7 mm over a metre.
const STRAIGHT: f64 = 1e-12;

/// Sweep, radians, up to which two cross products tell whether a place lies beside an arc.
const QUARTER: f64 = 1.5;

/// One line or arc, by its start, direction, curvature (left positive) and length.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Piece {
    from: Point,
    along: Point,
    curvature: f64,
    length: f64,
    /// Length of the chain before it.
    before: f64,
    /// A circle that holds it: middle and radius.
    middle: Point,
    reach: f64,
    /// Sine and cosine of the angle turned, taken positive.
    turn: (f64, f64),
}

impl Piece {
    fn new(from: Point, along: Point, curvature: f64, length: f64, before: f64) -> Piece {
        let mut piece = Piece {
            from,
            along,
            curvature,
            length,
            before,
            middle: from,
            reach: length / 2.0,
            turn: (curvature.abs() * length).sin_cos(),
        };
        // No point of a curve is farther from its halfway point than half its length.
        piece.middle = piece.at(length / 2.0);
        piece
    }

    /// How far to the left `p` is, if it lies beside the piece and not before or after it.
    #[inline]
    fn beside(&self, p: Point) -> Option<f64> {
        let k = self.curvature;
        if k.abs() * self.length > QUARTER {
            let (s, v) = self.locate(p);
            return (s >= 0.0 && s <= self.length).then_some(v);
        }
        let d = p - self.from;
        let (x, y) = (d.dot(self.along), self.along.cross(d));
        if k.abs() < STRAIGHT {
            return (x >= 0.0 && x <= self.length).then_some(y);
        }
        let (sine, cosine) = (k * x, 1.0 - k * y);
        // Turned from the start by less than the sweep: both cross products say so.
        let (a, b) = (sine * k.signum(), cosine);
        let turned = a * self.turn.1 - b * self.turn.0;
        (a >= 0.0 && turned <= 0.0).then(|| (1.0 - (sine * sine + cosine * cosine).sqrt()) / k)
    }

    /// How far along and how far to the left `p` is.
    #[inline]
    fn locate(&self, p: Point) -> (f64, f64) {
        let d = p - self.from;
        let (x, y) = (d.dot(self.along), self.along.cross(d));
        let k = self.curvature;
        if k.abs() < STRAIGHT {
            return (x, y);
        }
        // The centre lies at (0, 1/k); polar coordinates about it, unrolled.
        let (sine, cosine) = (k * x, 1.0 - k * y);
        (sine.atan2(cosine) / k, (1.0 - (sine * sine + cosine * cosine).sqrt()) / k)
    }

    fn at(&self, s: f64) -> Point {
        let k = self.curvature;
        if k.abs() < STRAIGHT {
            return self.from + self.along * s;
        }
        let (sine, cosine) = (k * s).sin_cos();
        self.from + self.along * (sine / k) + self.along.left() * ((1.0 - cosine) / k)
    }

    fn direction(&self, s: f64) -> Point {
        self.along.rotated(self.curvature * s)
    }
}

/// A chain of arcs without corners.
#[derive(Clone, Debug, PartialEq)]
pub struct Spine {
    pieces: Vec<Piece>,
    length: f64,
}

impl Spine {
    /// A straight or evenly bent spine from `from` in direction `angle`, turning by `turn`
    /// radians to the left over its length.
    #[must_use]
    pub fn bent(from: Point, angle: f64, length: f64, turn: f64) -> Spine {
        let piece = Piece::new(from, Point::polar(1.0, angle), turn / length, length, 0.0);
        Spine { pieces: vec![piece], length }
    }

    /// A spine of several bends, each its length and its turn, one going on from the other.
    #[must_use]
    pub fn bends(from: Point, angle: f64, bends: &[(f64, f64)]) -> Spine {
        let mut spine = Spine { pieces: Vec::new(), length: 0.0 };
        let (mut at, mut along) = (from, Point::polar(1.0, angle));
        for &(length, turn) in bends {
            let piece = Piece::new(at, along, turn / length, length, spine.length);
            (at, along) = (piece.at(length), piece.direction(length));
            spine.length += length;
            spine.pieces.push(piece);
        }
        spine
    }

    /// A spine through points with given directions: two arcs between each pair, the biarc whose
    /// joint splits the tangent lengths evenly (K. M. Bolton, Computer-Aided Design 7, 1975, from
    /// memory).
    #[must_use]
    pub fn through(places: &[(Point, Point)]) -> Spine {
        let mut spine = Spine { pieces: Vec::new(), length: 0.0 };
        for pair in places.windows(2) {
            let ((p, t), (q, u)) = (pair[0], pair[1]);
            let joint = biarc_joint(p, t, q, u);
            spine.add_arc(p, t, joint);
            let along = spine.pieces.last().map_or(t, |piece| piece.direction(piece.length));
            spine.add_arc(joint, along, q);
        }
        spine
    }

    /// A spine through points, its direction at each that of the circle through it and its
    /// neighbours.
    #[must_use]
    pub fn smooth(points: &[Point]) -> Spine {
        if points.len() < 3 {
            return Spine::through(&[]);
        }
        let last = points.len().saturating_sub(1);
        // Chords weighted by each other's length: the tangent of the circle through the three.
        let way = |i: usize| {
            let (a, b) = (points[i] - points[i - 1], points[i + 1] - points[i]);
            let (la, lb) = (a.length(), b.length());
            (a * (lb / la) + b * (la / lb)).unit().unwrap_or(point(1.0, 0.0))
        };
        let direction = |i: usize| {
            // At an end: the chord's direction, turned as far again from the neighbour's.
            let mirrored = |chord: Point, other: Point| {
                let c = chord.unit().unwrap_or(point(1.0, 0.0));
                c * (2.0 * c.dot(other)) - other
            };
            match i {
                0 => mirrored(points[1] - points[0], way(1)),
                i if i == last => mirrored(points[last] - points[last - 1], way(last - 1)),
                i => way(i),
            }
        };
        let places: Vec<_> = (0..points.len()).map(|i| (points[i], direction(i))).collect();
        Spine::through(&places)
    }

    /// The arc from `from` in direction `along` to `to`.
    fn add_arc(&mut self, from: Point, along: Point, to: Point) {
        let chord = to - from;
        let l2 = chord.dot(chord);
        if l2 == 0.0 {
            return;
        }
        let curvature = 2.0 * along.cross(chord) / l2;
        let half = along.cross(chord).atan2(along.dot(chord));
        let chord_length = l2.sqrt();
        // Arc over chord: x / sin x of half the turn.
        let length =
            if half.abs() < 1e-9 { chord_length } else { chord_length * half / half.sin() };
        self.pieces.push(Piece::new(from, along, curvature, length, self.length));
        self.length += length;
    }

    /// A cubic Bezier curve as a spine.
    #[must_use]
    pub fn bezier(p: [Point; 4]) -> Spine {
        Spine::beziers(&[p])
    }

    /// Cubic Bezier curves that follow one another without a corner, as a spine through six points
    /// of each.
    #[must_use]
    pub fn beziers(curves: &[[Point; 4]]) -> Spine {
        // Five spans of two arcs each follow any curve drawn here within a hundredth of its size.
        const SPANS: usize = 5;
        let mut places = Vec::new();
        for (n, p) in curves.iter().enumerate() {
            for i in usize::from(n > 0)..=SPANS {
                places.push(on_bezier(p, i as f64 / SPANS as f64));
            }
        }
        Spine::through(&places)
    }

    /// Its lines and arcs, as pieces of a contour.
    pub fn arcs(&self) -> impl Iterator<Item = geometry::Piece> + '_ {
        self.pieces.iter().map(|p| {
            let bulge = (p.curvature * p.length / 4.0).tan();
            geometry::Piece { from: p.from, to: p.at(p.length), bulge }
        })
    }

    /// Length along it.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.length
    }

    /// The place at `s` along it and the direction there; beyond an end straight on.
    #[must_use]
    pub fn place(&self, s: f64) -> (Point, Point) {
        let index = self.pieces.iter().rposition(|p| p.before <= s).unwrap_or(0);
        let Some(piece) = self.pieces.get(index) else {
            return (Point::default(), point(1.0, 0.0));
        };
        let own = s - piece.before;
        let inside = own.clamp(0.0, piece.length);
        let way = piece.direction(inside);
        (piece.at(inside) + way * (own - inside), way)
    }

    /// How far along and how far to the left `p` is, beyond an end along its tangent; `None` where
    /// it is farther than `reach` from the spine.
    #[inline]
    #[must_use]
    pub fn locate(&self, p: Point, reach: f64) -> Option<(f64, f64)> {
        let (mut best, mut nearest, mut near) = (None, f64::INFINITY, false);
        for piece in &self.pieces {
            let (d, out) = (p - piece.middle, piece.reach + reach);
            if d.dot(d) > out * out {
                continue;
            }
            near = true;
            if let Some(v) = piece.beside(p)
                && v.abs() < nearest
            {
                (best, nearest) = (Some(piece), v.abs());
            }
        }
        match best {
            Some(piece) => {
                let (s, v) = piece.locate(p);
                Some((piece.before + s, v))
            }
            None if near => self.beyond(p),
            None => None,
        }
    }

    /// Before the start or after the end, along the tangent there; `None` if neither.
    fn beyond(&self, p: Point) -> Option<(f64, f64)> {
        let (start, first) = self.place(0.0);
        let (end, last) = self.place(self.length);
        let (ahead, past) = (first.dot(p - start), last.dot(p - end));
        if p.distance(start) <= p.distance(end) {
            (ahead <= 0.0).then(|| (ahead, first.cross(p - start)))
        } else {
            (past >= 0.0).then(|| (self.length + past, last.cross(p - end)))
        }
    }

    /// Circles that together hold every place within `reach` of it.
    #[must_use]
    pub fn circles(&self, reach: f64) -> Vec<(Point, f64)> {
        let mut all = Vec::new();
        for piece in &self.pieces {
            // About as long as wide: longer parts hold much that is far from the spine.
            let parts = (piece.length / (2.0 * reach)).ceil().clamp(1.0, 64.0);
            let half = 0.5 * piece.length / parts;
            let mut s = half;
            while s < piece.length {
                all.push((piece.at(s), half + reach));
                s += 2.0 * half;
            }
        }
        all
    }

    /// The box around it, grown by `margin`.
    #[must_use]
    pub fn bounds(&self, margin: f64) -> (Point, Point) {
        // Points along each piece, and the most that an arc can stand beyond their chords.
        const PARTS: usize = 8;
        let (mut low, mut high) = (point(f64::MAX, f64::MAX), point(f64::MIN, f64::MIN));
        let mut rise = 0.0_f64;
        for piece in &self.pieces {
            let step = piece.length / PARTS as f64;
            rise = rise.max(piece.curvature.abs() * step * step / 8.0);
            for i in 0..=PARTS {
                let p = piece.at(step * i as f64);
                low = point(low.x.min(p.x), low.y.min(p.y));
                high = point(high.x.max(p.x), high.y.max(p.y));
            }
        }
        let out = point(margin + rise, margin + rise);
        (low - out, high + out)
    }
}

/// A point of a cubic Bezier curve, and the direction there.
fn on_bezier(p: &[Point; 4], t: f64) -> (Point, Point) {
    let r = 1.0 - t;
    let at = p[0] * (r * r * r)
        + p[1] * (3.0 * r * r * t)
        + p[2] * (3.0 * r * t * t)
        + p[3] * (t * t * t);
    let way = (p[1] - p[0]) * (r * r) + (p[2] - p[1]) * (2.0 * r * t) + (p[3] - p[2]) * (t * t);
    (at, way.unit().unwrap_or(point(1.0, 0.0)))
}

/// Where the two arcs of a biarc meet.
fn biarc_joint(p: Point, t: Point, q: Point, u: Point) -> Point {
    let v = q - p;
    let sum = t + u;
    // The tangent length d common to both arcs solves a d² + b d - c = 0.
    let a = 2.0 * (1.0 - t.dot(u));
    let b = 2.0 * v.dot(sum);
    let c = v.dot(v);
    let d = if a.abs() < 1e-12 {
        if b.abs() < 1e-12 { 0.0 } else { c / b }
    } else {
        (-b + (b * b + 4.0 * a * c).sqrt()) / (2.0 * a)
    };
    (p + t * d + q - u * d) * 0.5
}
