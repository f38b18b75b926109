//! The path of a sweep in plan, and the lanes beside it.

use super::{Contour, EPSILON, Piece, Point};
use crate::units::Shown;

/// Directions that differ by less than this, radians, run on without a break.
const SMOOTH: f64 = 1e-5;

/// Lines of a lane that are shorter than this, mm, are no legs of an outline.
const LEAST_LEG: f64 = 0.01;

/// What is wrong with a path: a piece that leaves a lane no room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TooTight {
    /// An arc whose centre the lane would reach.
    Arc {
        /// Its radius.
        radius: f64,
        /// How far to its hollow side the lane would lie.
        aside: f64,
    },
    /// A leg that the mitres at its ends use up.
    Leg {
        /// Its length.
        length: f64,
        /// How far to its hollow side the lane would lie.
        aside: f64,
    },
}

impl TooTight {
    /// What is too tight, and for what.
    #[must_use]
    pub fn words(&self, shown: Shown) -> String {
        let (what, aside) = match self {
            TooTight::Arc { radius, aside } => {
                (format!("an arc of radius {}", shown.both(*radius)), aside)
            }
            TooTight::Leg { length, aside } => {
                (format!("a leg {} long", shown.both(*length)), aside)
            }
        };
        format!("would run {} to the hollow side of {what}", shown.both(*aside))
    }
}

/// A path in plan, from its first end to its last; u grows to the left of it. Where its
/// direction breaks, lanes meet on the mitre.
#[derive(Clone, Debug, PartialEq)]
pub struct Path {
    pieces: Vec<Piece>,
    /// How far each end leans from square, radians: positive where the moulding grows longer
    /// with u.
    lean: [f64; 2],
}

impl Path {
    /// A path of pieces that follow one another, with square ends.
    #[must_use]
    pub fn new(pieces: Vec<Piece>) -> Path {
        Path { pieces, lean: [0.0; 2] }
    }

    /// With ends that lean from square.
    #[must_use]
    pub fn leaning(self, lean: [f64; 2]) -> Path {
        Path { lean, ..self }
    }

    /// Its pieces.
    #[must_use]
    pub fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    /// Moved.
    #[must_use]
    pub fn moved(&self, by: Point) -> Path {
        let pieces = self.pieces.iter();
        let pieces = pieces.map(|p| Piece { from: p.from + by, to: p.to + by, ..*p }).collect();
        Path { pieces, lean: self.lean }
    }

    /// Where it breaks to the left, so that the moulding has a hollow corner: the corner of the
    /// path, and the direction of the mitre.
    #[must_use]
    pub fn hollow_mitres(&self) -> Vec<(Point, Point)> {
        let pairs = self.pieces.windows(2).filter(|w| turn(&w[0], &w[1]) > SMOOTH);
        pairs
            .filter_map(|w| Some((w[0].to, (mitre(&w[0], &w[1], 1.0) - w[0].to).unit()?)))
            .collect()
    }

    /// The least radius of its arcs on whose hollow side a lane at `u` lies, as that lane has it;
    /// infinite without one.
    #[must_use]
    pub fn least_hollow(&self, u: f64) -> f64 {
        let arcs = self.pieces.iter().filter(|p| p.is_arc() && p.bulge * u > 0.0);
        arcs.map(|p| p.radius() - u.abs()).fold(f64::INFINITY, f64::min)
    }

    /// The lane at `u`, cut to its ends and run on beyond them by `beyond`.
    ///
    /// # Errors
    /// An arc whose centre the lane would reach, or a leg that it would not.
    pub fn lane(&self, u: f64, beyond: f64) -> Result<Vec<Piece>, TooTight> {
        self.lane_past(u, [0.0; 2], beyond)
    }

    /// As [`Path::lane`], with the line that cuts each end so far beyond the path's own end.
    ///
    /// # Errors
    /// As [`Path::lane`].
    pub fn lane_past(&self, u: f64, past: [f64; 2], beyond: f64) -> Result<Vec<Piece>, TooTight> {
        let mut lane = self.pieces.iter().map(|p| aside(p, u)).collect::<Result<Vec<_>, _>>()?;
        for i in 1..lane.len() {
            if turn(&self.pieces[i - 1], &self.pieces[i]).abs() > SMOOTH {
                let bisector = mitre(&self.pieces[i - 1], &self.pieces[i], u);
                let at = meet(&lane[i - 1], &lane[i], bisector);
                lane[i - 1] = ending(&lane[i - 1], at);
                lane[i] = ending(&lane[i].reversed(), at).reversed();
            }
        }
        let own = self.reached(&mut lane, u);
        if let ([.., end], [.., last]) = (own, lane.as_mut_slice()) {
            *last = longer(&cut(last, end, u, self.lean[1], past[1]), beyond, end);
        }
        if let ([end, ..], [first, ..]) = (own, lane.as_mut_slice()) {
            let end = end.reversed();
            let back = cut(&first.reversed(), &end, -u, self.lean[0], past[0]);
            *first = longer(&back, beyond, &end).reversed();
        }
        match own.iter().zip(&lane).find(|(piece, lane)| is_used_up(piece, lane)) {
            Some((leg, _)) => Err(TooTight::Leg { length: leg.length(), aside: u.abs() }),
            None => Ok(lane),
        }
    }

    /// The pieces that a lane reaches: an end leg that its mitre uses up is none of them, and the
    /// lane runs straight on past its corner.
    fn reached(&self, lane: &mut Vec<Piece>, u: f64) -> &[Piece] {
        let mut own = self.pieces.as_slice();
        let natural = |piece: &Piece| aside(piece, u).ok();
        while let ([.., before, end], [.., last]) = (own, lane.as_slice())
            && is_used_up(end, last)
            && turn(before, end) * u > 0.0
        {
            own = &own[..own.len() - 1];
            lane.pop();
            if let (Some(last), Some(whole)) = (lane.last_mut(), natural(before)) {
                *last = ending(last, whole.to);
            }
        }
        while let ([end, after, ..], [first, ..]) = (own, lane.as_slice())
            && is_used_up(end, first)
            && turn(end, after) * u > 0.0
        {
            own = &own[1..];
            lane.remove(0);
            if let (Some(first), Some(whole)) = (lane.first_mut(), natural(after)) {
                *first = ending(&first.reversed(), whole.from).reversed();
            }
        }
        own
    }

    /// With its last piece, and its first, run on by so much along itself.
    #[must_use]
    pub fn longer(mut self, first: f64, last: f64) -> Path {
        if let Some(piece) = self.pieces.last_mut().filter(|_| last > 0.0) {
            *piece = longer(piece, last, piece);
        }
        if let Some(piece) = self.pieces.first_mut().filter(|_| first > 0.0) {
            let back = piece.reversed();
            *piece = longer(&back, first, &back).reversed();
        }
        self
    }

    /// The lane that a point lies on: its u.
    #[must_use]
    pub fn aside(&self, p: Point) -> f64 {
        let near: Vec<f64> = self.pieces.iter().map(|piece| piece.beside(p).length()).collect();
        let first = (0..near.len()).min_by(|a, b| near[*a].total_cmp(&near[*b]));
        let mut nearest: Option<f64> = None;
        for i in first.into_iter().chain(0..near.len()) {
            // Most pieces are farther off than one that is known.
            if nearest.is_some_and(|n| near[i] > n.abs()) {
                continue;
            }
            let (piece, u) = (&self.pieces[i], off(&self.pieces[i], p));
            let foot = piece.at(piece.nearest_share(p));
            // Square to the piece: its foot lies on it, not at an end that is nearer.
            if (foot.distance(p) - u.abs()).abs() < 1e-6
                && nearest.is_none_or(|n| u.abs() < n.abs())
            {
                nearest = Some(u);
            }
        }
        // Past an outside corner a point is on the lane of the piece that it is farther from.
        let farthest =
            || self.pieces.iter().map(|piece| off(piece, p)).fold(f64::NEG_INFINITY, f64::max);
        nearest.unwrap_or_else(farthest)
    }

    /// The sweep's outline in plan between two u, counter-clockwise, with straight ends.
    ///
    /// # Errors
    /// As [`Path::lane`].
    pub fn outline(&self, low: f64, high: f64) -> Result<Contour, TooTight> {
        self.shaped([low, high], [&[], &[]])
    }

    /// The same with ends of a shape: lines and arcs from the lower u to the higher, x how far
    /// out beyond the path's end and y how far to its left. An end without any is straight.
    ///
    /// # Errors
    /// As [`Path::lane`].
    pub fn shaped(&self, [low, high]: [f64; 2], ends: [&[Piece]; 2]) -> Result<Contour, TooTight> {
        let past = |at: fn(&[Piece]) -> Option<f64>| ends.map(|end| at(end).unwrap_or(0.0));
        let lane = |u: f64, past: [f64; 2]| {
            let mut lane = self.lane_past(u, past, 0.0)?;
            lane.retain(|p| p.length() > LEAST_LEG);
            Ok(lane)
        };
        let mut pieces = lane(low, past(|end| end.first().map(|p| p.from.x)))?;
        let far = lane(high, past(|end| end.last().map(|p| p.to.x)))?;
        let start = pieces.first().map(|p| p.from);
        let close = |to: Option<Point>, pieces: &mut Vec<Piece>| {
            if let (Some(from), Some(to)) = (pieces.last().map(|p| p.to), to) {
                pieces.push(Piece { from, to, bulge: 0.0 });
            }
        };
        match (ends[1], self.pieces.last()) {
            (shape @ [_, ..], Some(own)) => {
                let (at, along) = (own.to, own.direction(1.0));
                let placed = |p: Point| at + along * p.x + along.left() * p.y;
                pieces.extend(shape.iter().map(|p| Piece {
                    from: placed(p.from),
                    to: placed(p.to),
                    bulge: p.bulge,
                }));
            }
            _ => close(far.last().map(|p| p.to), &mut pieces),
        }
        pieces.extend(far.iter().rev().map(Piece::reversed));
        match (ends[0], self.pieces.first()) {
            (shape @ [_, ..], Some(own)) => {
                let (at, along) = (own.from, own.direction(0.0));
                let placed = |p: Point| at - along * p.x + along.left() * p.y;
                pieces.extend(shape.iter().rev().map(|p| p.mirrored(&placed).reversed()));
            }
            _ => close(start, &mut pieces),
        }
        pieces.retain(|p| p.length() > EPSILON);
        Ok(Contour::from_pieces(&pieces, true))
    }
}

/// How far to the left of a piece, or of the line or circle that it is on, a point lies.
fn off(piece: &Piece, p: Point) -> f64 {
    match piece.center() {
        None => piece.direction(0.5).cross(p - piece.from),
        Some(c) => (piece.radius() - p.distance(c)) * piece.bulge.signum(),
    }
}

/// A piece moved to its left.
fn aside(piece: &Piece, u: f64) -> Result<Piece, TooTight> {
    let Some(center) = piece.center() else {
        let by = piece.direction(0.5).left() * u;
        return Ok(Piece { from: piece.from + by, to: piece.to + by, bulge: 0.0 });
    };
    let radius = piece.radius();
    let wanted = radius - u * piece.bulge.signum();
    if wanted <= EPSILON {
        return Err(TooTight::Arc { radius, aside: u.abs() });
    }
    let scaled = |p: Point| center + (p - center) * (wanted / radius);
    Ok(Piece { from: scaled(piece.from), to: scaled(piece.to), bulge: piece.bulge })
}

/// Angle by which the direction breaks between two pieces, positive to the left.
fn turn(a: &Piece, b: &Piece) -> f64 {
    let (into, out) = (a.direction(1.0), b.direction(0.0));
    into.cross(out).atan2(into.dot(out))
}

/// Where lanes at `u` would meet if both pieces were straight.
fn mitre(a: &Piece, b: &Piece, u: f64) -> Point {
    let (m, n) = (a.direction(1.0).left(), b.direction(0.0).left());
    // Half the sum of two unit vectors is the cosine of half their angle long.
    let half = (m + n) * 0.5;
    let square = half.dot(half).max(EPSILON);
    a.to + half * (u / square)
}

/// Whether the mitres at a piece's ends leave nothing of its lane.
fn is_used_up(piece: &Piece, lane: &Piece) -> bool {
    match piece.is_arc() {
        true => lane.bulge * piece.bulge <= 0.0,
        false => piece.direction(0.5).dot(lane.to - lane.from) <= 0.0,
    }
}

/// A lane ended at the line so far past the end of the path's own last piece, `u` to its left.
fn cut(lane: &Piece, end: &Piece, u: f64, lean: f64, past: f64) -> Piece {
    let ahead = end.direction(1.0);
    let end = Piece { to: end.to + ahead * past, ..*end };
    let left = ahead.left();
    // A lean makes the sweep longer with u, on whichever side that is.
    let line = left.rotated(-lean * if u < 0.0 { -1.0 } else { 1.0 });
    let near = end.to + line * (u / lean.cos());
    let across = Piece { from: end.to, to: end.to + line, bulge: 0.0 };
    ending(lane, meet(&across, lane, near))
}

/// The piece ended, or run on, to a point of its line or circle.
fn ending(piece: &Piece, at: Point) -> Piece {
    let Some(center) = piece.center() else { return Piece { to: at, ..*piece } };
    let (from, to, new) = (piece.from - center, piece.to - center, at - center);
    let more = to.cross(new).atan2(to.dot(new));
    let sweep = piece.sweep() + more;
    let radius = from.length();
    let to = center + new * (radius / new.length().max(EPSILON));
    Piece { from: piece.from, to, bulge: (sweep / 4.0).tan() }
}

/// A lane's piece run on beyond its end by a length, or cut short by a negative one; `own` is the
/// path's piece, for a short lane cut by an inward mitre may point the other way.
fn longer(piece: &Piece, by: f64, own: &Piece) -> Piece {
    match piece.center() {
        None => Piece { to: piece.to + own.direction(1.0) * by, ..*piece },
        Some(center) => {
            let turn = by / piece.radius() * own.bulge.signum();
            Piece {
                from: piece.from,
                to: center + (piece.to - center).rotated(turn),
                bulge: ((piece.sweep() + turn) / 4.0).tan(),
            }
        }
    }
}

/// Where two lanes meet: the crossing of their lines or circles that is nearest to `near`.
fn meet(a: &Piece, b: &Piece, near: Point) -> Point {
    let found = match (a.center(), b.center()) {
        (None, None) => {
            let (d, e) = (a.direction(0.5), b.direction(0.5));
            let area = d.cross(e);
            vec![a.to + d * ((b.from - a.to).cross(e) / area)]
        }
        (None, Some(c)) => line_circle(a.to, a.direction(0.5), c, b.radius()),
        (Some(c), None) => line_circle(b.from, b.direction(0.5), c, a.radius()),
        (Some(c), Some(d)) => circles(c, a.radius(), d, b.radius()),
    };
    let nearest = found.into_iter().min_by(|p, q| p.distance(near).total_cmp(&q.distance(near)));
    nearest.unwrap_or(near)
}

fn line_circle(p: Point, d: Point, c: Point, r: f64) -> Vec<Point> {
    let foot = p + d * (c - p).dot(d);
    let half = (r * r - foot.distance(c).powi(2)).max(0.0).sqrt();
    vec![foot - d * half, foot + d * half]
}

fn circles(c: Point, r: f64, d: Point, q: f64) -> Vec<Point> {
    let between = d - c;
    let length = between.length();
    let Some(along) = between.unit() else { return Vec::new() };
    let foot = (length * length + r * r - q * q) / (2.0 * length);
    let half = (r * r - foot * foot).max(0.0).sqrt();
    [-1.0, 1.0].map(|side| c + along * foot + along.left() * (half * side)).to_vec()
}
