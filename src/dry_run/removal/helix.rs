//! A cutter swept along part of a helix about a vertical axis.
//!
//! Over a cell at distance D from the axis, the edge from the tip after turning by t is
//! `z - c t + h(r)` with `r² = A - B cos δ`, `A = D² + ρ²`, `B = 2 D ρ`, δ the angle from the
//! cell's direction to the tip's, and the sense taken so that the helix goes down (c > 0).
//! While the tip comes nearer (δ from -π to 0) the edge falls. While it goes away, the descent
//! and the section pull against each other: `h'(r) B sin δ / (2 r) = c`. On a ball and on a cone
//! this is a quadratic in cos δ. So the least is at an end of the turn, at δ = 0, where two forms
//! of the section meet, at the rim, or at a root. On the corner of a bull-nose it is found by
//! halving the turn, each half discarded when its bound is no better than what is known.

use super::envelope::{Edges, Envelope, offsets};
use super::piece::ArcPiece;
use super::section::{Form, Section, tangency};
use crate::geometry::{Point, point};
use std::f64::consts::{PI, TAU};

/// The search on a bull-nose's corner stops when no better height than this can be missed.
const SEARCH_BOUND: f64 = 1e-4;

/// A turn by this much less or more is the same turn, radians.
const SAME_TURN: f64 = 1e-12;

pub(super) struct Helix {
    section: Section,
    cell: f64,
    centre: Point,
    radius: f64,
    /// Direction of the upper end from the centre.
    angle: f64,
    /// 1 if going down turns counter-clockwise, else -1.
    down: f64,
    /// 1 if travel turns counter-clockwise, else -1.
    sense: f64,
    /// Angle turned, positive.
    turn: f64,
    /// Height of the upper end, and fall for each radian.
    z: f64,
    fall: f64,
    /// The lower end, from the centre.
    bottom: Point,
}

/// The distances to the cutter's axis over one cell: `r² = A - B cos δ`.
#[derive(Clone, Copy)]
struct Chord {
    a: f64,
    b: f64,
}

impl Chord {
    fn distance(&self, delta: f64) -> f64 {
        (self.a - self.b * delta.cos()).max(0.0).sqrt()
    }

    /// The δ from 0 to π at which the distance is `r`.
    fn angle_at(&self, r: f64) -> Option<f64> {
        let cosine = (self.a - r * r) / self.b;
        (-1.0..=1.0).contains(&cosine).then(|| cosine.acos())
    }
}

impl Helix {
    pub(super) fn new(piece: &ArcPiece, section: &Section, cell: f64) -> Helix {
        let (sense, turn) = (piece.sweep.signum(), piece.sweep.abs());
        let falls = piece.z.1 < piece.z.0;
        let (angle, down) =
            if falls { (piece.angle, sense) } else { (piece.angle + piece.sweep, -sense) };
        Helix {
            section: *section,
            cell,
            centre: piece.centre,
            radius: piece.radius,
            angle,
            down,
            sense,
            turn,
            z: piece.z.0.max(piece.z.1),
            fall: (piece.z.0 - piece.z.1).abs() / turn,
            bottom: Point::polar(piece.radius, angle + down * turn),
        }
    }

    /// Lowest height of the edge over a point given from the centre.
    fn lowest(&self, p: Point) -> f64 {
        let reach = self.section.radius();
        // A flat end is lowest where it ends; most of a wide one, a holder's, is over there.
        let flat = matches!(self.section.form, Form::Flat { .. });
        if flat && p.distance(self.bottom) <= reach {
            return self.z - self.fall * self.turn;
        }
        let d = p.length();
        let chord = Chord { a: d * d + self.radius * self.radius, b: 2.0 * d * self.radius };
        // The turn at which the tip is nearest to the cell, so that the middle of the piece
        // is within half a turn of it.
        let middle = self.turn / 2.0;
        let ahead = (p.angle() - self.angle) * self.down - middle;
        let nearest = middle + ahead - TAU * (ahead / TAU).round();
        let mut best = f64::INFINITY;
        let mut take = |t: f64| {
            if (-SAME_TURN..=self.turn + SAME_TURN).contains(&t) {
                let t = t.clamp(0.0, self.turn);
                let r = chord.distance(t - nearest);
                if r <= reach + 1e-9 {
                    best = best.min(self.z - self.fall * t + self.section.rise(r));
                }
            }
        };
        take(0.0);
        take(self.turn);
        // A centre of no width: all turns are alike, and the last is the lowest.
        if chord.b <= 1e-12 * chord.a {
            return best;
        }
        self.turning_points(&chord, |delta| {
            take(nearest + delta);
            take(nearest + delta - TAU);
        });
        if let Form::Bull { radius, corner } = self.section.form {
            for shift in [0.0, TAU] {
                best = self.search(&chord, nearest - shift, (radius - corner, radius), best);
            }
        }
        best
    }

    /// Every δ from 0 to π where the edge can be least, other than on a bull-nose's corner.
    fn turning_points(&self, chord: &Chord, mut take: impl FnMut(f64)) {
        take(0.0);
        let mut at = |r: f64| {
            if let Some(delta) = chord.angle_at(r) {
                take(delta);
            }
        };
        at(self.section.radius());
        match self.section.form {
            Form::Flat { .. } => {}
            Form::Ball { radius } => self.on_ball(chord, radius, take),
            Form::Bull { radius, corner } => at(radius - corner),
            Form::Cone { tip, slope, .. } => {
                at(tip);
                self.on_cone(chord, slope, take);
            }
            Form::TaperBall { ball, slope, .. } => {
                at(tangency(ball, slope).0);
                self.on_ball(chord, ball, &mut take);
                self.on_cone(chord, slope, take);
            }
        }
    }

    /// `B sin δ = 2 c sqrt(b² - A + B cos δ)`.
    fn on_ball(&self, chord: &Chord, ball: f64, take: impl FnMut(f64)) {
        let (Chord { a, b }, c2) = (*chord, self.fall * self.fall);
        roots(b * b, 4.0 * c2 * b, 4.0 * c2 * (ball * ball - a) - b * b, take);
    }

    /// `k B sin δ = 2 c sqrt(A - B cos δ)`.
    fn on_cone(&self, chord: &Chord, slope: f64, take: impl FnMut(f64)) {
        let (Chord { a, b }, q2) = (*chord, (self.fall / slope).powi(2));
        roots(b * b, -4.0 * q2 * b, 4.0 * q2 * a - b * b, take);
    }

    /// The least of `best` and the edge where the distance goes from the first to the second of
    /// `ring` while δ goes up to π, within [`SEARCH_BOUND`]. There the section rises and the
    /// helix falls, so over a part of the turn the edge is nowhere lower than the section at
    /// the part's start and the helix at its end.
    fn search(&self, chord: &Chord, nearest: f64, ring: (f64, f64), mut best: f64) -> f64 {
        let angle = |r: f64| ((chord.a - r * r) / chord.b).clamp(-1.0, 1.0).acos();
        let start = (nearest + angle(ring.0)).max(0.0);
        let end = (nearest + angle(ring.1)).min(self.turn);
        let rise = |t: f64| self.section.rise(chord.distance(t - nearest));
        if start >= end {
            return best;
        }
        for t in [start, end] {
            best = best.min(self.z - self.fall * t + rise(t));
        }
        let mut open = vec![(start, end)];
        while let Some((from, to)) = open.pop() {
            let low = rise(from);
            if self.z - self.fall * to + low >= best - SEARCH_BOUND {
                continue;
            }
            let middle = (from + to) / 2.0;
            best = best.min(self.z - self.fall * middle + rise(middle));
            open.extend([(from, middle), (middle, to)]);
        }
        best
    }
}

/// Gives the angles from 0 to π whose cosines solve `a x² + b x + c = 0`.
fn roots(a: f64, b: f64, c: f64, mut take: impl FnMut(f64)) {
    let inside = b * b - 4.0 * a * c;
    if inside < 0.0 {
        return;
    }
    // The form that does not subtract like from like.
    let q = -(b + inside.sqrt().copysign(b)) / 2.0;
    for x in [q / a, c / q] {
        if (-1.0..=1.0).contains(&x) {
            take(x.acos().clamp(0.0, PI));
        }
    }
}

impl Envelope for Helix {
    /// The origin, from the centre.
    type Row = Point;

    fn row(&self, origin: Point) -> Point {
        origin - self.centre
    }

    fn group(&self, row: &Point, first: i32) -> Edges {
        let mut edges = Edges::NONE;
        for (lane, k) in offsets::<f64>(first).into_iter().enumerate() {
            let p = point(row.x + k * self.cell, row.y);
            let out = p.length() - self.radius;
            let passes = out.abs() <= self.section.radius();
            edges.height[lane] = if passes { self.lowest(p) as f32 } else { f32::INFINITY };
            edges.left[lane] = (-self.sense * out) as f32;
        }
        edges
    }
}
