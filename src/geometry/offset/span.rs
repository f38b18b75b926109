//! A line or an arc of at most half a turn, stored for fast distance and crossing tests:
//! no trigonometry, only unit vectors.

use super::tree::Bounds;
use crate::geometry::{Piece, Point, point};

/// A directed line or arc of at most half a turn.
#[derive(Clone, Copy, Debug)]
pub(super) struct Span {
    pub(super) from: Point,
    pub(super) to: Point,
    /// Of an arc.
    pub(super) center: Point,
    /// Radius of an arc, length of a line.
    pub(super) size: f64,
    /// 0 a line, 1 an arc that turns left, -1 right.
    pub(super) turn: f64,
    /// Unit direction of a line; unit vector from an arc's centre to its start.
    pub(super) a: Point,
    /// Unit vector from an arc's centre to its end.
    pub(super) b: Point,
}

/// At most two points where spans cross.
#[derive(Clone, Copy, Default)]
pub(super) struct Crossings {
    points: [Point; 2],
    count: usize,
}

impl Crossings {
    fn add(&mut self, p: Point) {
        self.points[self.count.min(1)] = p;
        self.count += 1;
    }

    pub(super) fn as_slice(&self) -> &[Point] {
        &self.points[..self.count.min(2)]
    }
}

/// How far a span may be thought longer at its ends, millimetres.
#[derive(Clone, Copy, Default)]
pub(super) struct Slack {
    pub(super) from: f64,
    pub(super) to: f64,
}

impl Span {
    pub(super) fn line(from: Point, a: Point, size: f64) -> Span {
        let to = from + a * size;
        Span { from, to, center: point(0.0, 0.0), size, turn: 0.0, a, b: a }
    }

    pub(super) fn round(center: Point, size: f64, turn: f64, a: Point, b: Point) -> Span {
        Span { from: center + a * size, to: center + b * size, center, size, turn, a, b }
    }

    pub(super) fn of(piece: &Piece) -> Span {
        let (from, to) = (piece.from, piece.to);
        let chord = to - from;
        let length = square(chord).sqrt();
        if piece.is_arc() {
            let b = piece.bulge;
            // Apothem over chord, signed to the left: (1 - b²) / (4 b).
            let center = (from + to) * 0.5 + chord.left() * ((1.0 - b * b) / (4.0 * b));
            let size = length * (1.0 + b * b) / (4.0 * b.abs());
            let (a, b) = (unit(from - center), unit(to - center));
            return Span { from, to, center, size, turn: piece.bulge.signum(), a, b };
        }
        let a = unit(chord);
        Span { from, to, center: point(0.0, 0.0), size: length, turn: 0.0, a, b: a }
    }

    pub(super) fn is_line(&self) -> bool {
        self.turn == 0.0
    }

    /// Whether a vector from an arc's centre points into its sector.
    pub(super) fn spans(&self, v: Point) -> bool {
        self.a.cross(v) * self.turn >= 0.0 && v.cross(self.b) * self.turn >= 0.0
    }

    /// Unit vector from an arc's centre to its middle.
    pub(super) fn middle_unit(&self) -> Point {
        middle_of(self.a, self.b, self.turn)
    }

    pub(super) fn middle(&self) -> Point {
        if self.is_line() {
            (self.from + self.to) * 0.5
        } else {
            self.center + self.middle_unit() * self.size
        }
    }

    /// Travel at a point on it, unit length.
    pub(super) fn direction(&self, at: Point) -> Point {
        if self.is_line() {
            return self.a;
        }
        unit(at - self.center).left() * self.turn
    }

    /// Angle turned, radians, not signed.
    pub(super) fn sweep(&self) -> f64 {
        if self.is_line() { 0.0 } else { sweep_of(self.a, self.b) }
    }

    /// Length along it.
    pub(super) fn length(&self) -> f64 {
        if self.is_line() { self.size } else { self.size * self.sweep() }
    }

    /// Twice the area between it and a point, positive where it turns left about the point.
    pub(super) fn area2(&self, about: Point) -> f64 {
        let chord = (self.from - about).cross(self.to - about);
        if self.is_line() {
            return chord;
        }
        let segment = self.size * self.size * (self.sweep() - self.a.cross(self.b).abs());
        chord + segment * self.turn
    }

    /// tan(sweep / 4), signed.
    pub(super) fn bulge(&self) -> f64 {
        if self.is_line() {
            return 0.0;
        }
        // tan of a half angle from its sine and cosine, twice.
        let (cos, sin) = (self.a.dot(self.b), self.a.cross(self.b).abs());
        let bulge = if cos < -1.0 + 1e-15 {
            1.0
        } else {
            let half = sin / (1.0 + cos);
            half / (1.0 + half.hypot(1.0))
        };
        bulge.min(1.0) * self.turn
    }

    /// Square of the distance to a point.
    pub(super) fn distance2(&self, p: Point) -> f64 {
        if self.is_line() {
            let v = p - self.from;
            let along = v.dot(self.a);
            if along > 0.0 && along < self.size {
                return v.cross(self.a).powi(2);
            }
        } else {
            let v = p - self.center;
            if self.spans(v) {
                return (v.dot(v).sqrt() - self.size).powi(2);
            }
        }
        square(p - self.from).min(square(p - self.to))
    }

    pub(super) fn bounds(&self) -> Bounds {
        let mut bounds = Bounds::of(self.from, self.to);
        if !self.is_line() && self.size > 0.0 {
            for axis in [point(1.0, 0.0), point(0.0, 1.0), point(-1.0, 0.0), point(0.0, -1.0)] {
                if self.spans(axis) {
                    bounds.add(self.center + axis * self.size);
                }
            }
        }
        bounds
    }

    /// A number that grows along the span.
    pub(super) fn key(&self, p: Point) -> f64 {
        if self.is_line() {
            return (p - self.from).dot(self.a);
        }
        round_key(self.a, p - self.center, self.turn)
    }

    fn holds(&self, p: Point, slack: Slack) -> bool {
        if self.is_line() {
            let along = (p - self.from).dot(self.a);
            return along >= -slack.from && along <= self.size + slack.to;
        }
        let v = p - self.center;
        // On the sector's side of the centre; a half turn has no such side of its own.
        self.a.cross(v) * self.turn >= -slack.from
            && v.cross(self.b) * self.turn >= -slack.to
            && v.dot(self.a + self.b) >= -1e-9 * self.size
    }

    /// Where two spans cross, each lengthened at its ends by its slack. Parallel spans do not.
    pub(super) fn cross(&self, own: Slack, other: &Span, others: Slack) -> Crossings {
        let mut found = Crossings::default();
        let mut add = |p: Point| {
            if self.holds(p, own) && other.holds(p, others) {
                found.add(p);
            }
        };
        match (self.is_line(), other.is_line()) {
            (true, true) => {
                let sine = self.a.cross(other.a);
                // Under this angle, radians, two lines are parallel to the last digits.
                if sine.abs() > 1e-12 {
                    let along = (other.from - self.from).cross(other.a) / sine;
                    add(self.from + self.a * along);
                }
            }
            (true, false) => line_round(self, other).into_iter().flatten().for_each(add),
            (false, true) => line_round(other, self).into_iter().flatten().for_each(add),
            (false, false) => round_round(self, other).into_iter().flatten().for_each(add),
        }
        found
    }

    /// Square of the least distance between two spans; `meet` tells whether their boxes do.
    pub(super) fn gap2(&self, other: &Span, meet: bool) -> f64 {
        let mut least = self
            .distance2(other.from)
            .min(self.distance2(other.to))
            .min(other.distance2(self.from))
            .min(other.distance2(self.to));
        let mut try_at = |on: &Span, p: Point| least = least.min(on.distance2(p));
        match (self.is_line(), other.is_line()) {
            (true, true) => {}
            (true, false) => {
                facing(self, other).into_iter().flatten().for_each(|p| try_at(self, p))
            }
            (false, true) => {
                facing(other, self).into_iter().flatten().for_each(|p| try_at(other, p))
            }
            (false, false) => {
                let u = unit(self.center - other.center);
                for v in [u, -u].into_iter().filter(|&v| other.spans(v)) {
                    try_at(self, other.center + v * other.size);
                }
            }
        }
        let touching =
            meet && !self.cross(Slack::default(), other, Slack::default()).as_slice().is_empty();
        if touching { 0.0 } else { least }
    }
}

/// The points of an arc that may be nearest to a line and end neither.
fn facing(line: &Span, round: &Span) -> [Option<Point>; 2] {
    let n = line.a.left();
    [n, -n].map(|v| round.spans(v).then(|| round.center + v * round.size))
}

/// Circles and lines that miss each other by less than this, millimetres, touch.
const TANGENT: f64 = 1e-9;

fn line_round(line: &Span, round: &Span) -> [Option<Point>; 2] {
    let v = round.center - line.from;
    let aside = v.cross(line.a);
    let half2 = (round.size - aside) * (round.size + aside);
    let along = v.dot(line.a);
    if half2 < 0.0 {
        let touches = aside.abs() - round.size < TANGENT;
        return [touches.then(|| line.from + line.a * along), None];
    }
    let half = half2.sqrt();
    [along - half, along + half].map(|t| Some(line.from + line.a * t))
}

fn round_round(one: &Span, two: &Span) -> [Option<Point>; 2] {
    let v = two.center - one.center;
    let apart = square(v).sqrt();
    // Circles about one centre do not cross.
    if apart < 1e-9 {
        return [None, None];
    }
    let along = (apart + (one.size - two.size) * (one.size + two.size) / apart) / 2.0;
    let half2 = (one.size - along) * (one.size + along);
    let u = v * (1.0 / apart);
    let foot = one.center + u * along;
    if half2 < 0.0 {
        let facing = one.center + u * (one.size * along.signum());
        let touches = (square(facing - two.center).sqrt() - two.size).abs() < TANGENT;
        return [touches.then_some(facing), None];
    }
    let half = half2.sqrt();
    [foot + u.left() * half, foot - u.left() * half].map(Some)
}

/// Of length one; to the right if it has no length.
pub(super) fn unit(v: Point) -> Point {
    let length = square(v).sqrt();
    if length > 0.0 { v * (1.0 / length) } else { point(1.0, 0.0) }
}

pub(super) fn square(v: Point) -> f64 {
    v.dot(v)
}

/// Half way between two unit vectors, turning that way, at most half a turn.
pub(super) fn middle_of(a: Point, b: Point, turn: f64) -> Point {
    let raw = if a.dot(b) > 0.0 { a + b } else { (a - b).left() * turn };
    unit(raw)
}

/// Angle between two unit vectors, 0 to half a turn.
pub(super) fn sweep_of(a: Point, b: Point) -> f64 {
    a.cross(b).abs().atan2(a.dot(b))
}

/// A number from 0 to 4 that grows with the angle from `a` to `v` turning that way.
pub(super) fn round_key(a: Point, v: Point, turn: f64) -> f64 {
    let (x, y) = (a.dot(v), a.cross(v) * turn);
    let share = y / (x.abs() + y.abs()).max(f64::MIN_POSITIVE);
    match (x >= 0.0, y >= 0.0) {
        (true, true) => share,
        (false, _) => 2.0 - share,
        // Just before the start: below zero rather than nearly a full turn on.
        (true, false) => share,
    }
}
