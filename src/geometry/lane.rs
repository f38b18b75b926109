//! The path of a sweep in plan, and the lanes beside it.

use super::{Contour, EPSILON, Piece, Point};

/// Directions that differ by less than this, radians, run on without a break.
const SMOOTH: f64 = 1e-5;

/// What is wrong with a path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TooTight {
    /// Radius of the arc that leaves no room.
    pub radius: f64,
    /// How far to its hollow side the lane would lie.
    pub aside: f64,
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
    /// An arc whose centre the lane would reach.
    pub fn lane(&self, u: f64, beyond: f64) -> Result<Vec<Piece>, TooTight> {
        let mut lane = self.pieces.iter().map(|p| aside(p, u)).collect::<Result<Vec<_>, _>>()?;
        for i in 1..lane.len() {
            if turn(&self.pieces[i - 1], &self.pieces[i]).abs() > SMOOTH {
                let bisector = mitre(&self.pieces[i - 1], &self.pieces[i], u);
                let at = meet(&lane[i - 1], &lane[i], bisector);
                lane[i - 1] = ending(&lane[i - 1], at);
                lane[i] = ending(&lane[i].reversed(), at).reversed();
            }
        }
        if let ([.., end], [.., last]) = (self.pieces.as_slice(), lane.as_mut_slice()) {
            *last = longer(&cut(last, end, u, self.lean[1]), beyond, end);
        }
        if let ([end, ..], [first, ..]) = (self.pieces.as_slice(), lane.as_mut_slice()) {
            let end = end.reversed();
            let back = cut(&first.reversed(), &end, -u, self.lean[0]);
            *first = longer(&back, beyond, &end).reversed();
        }
        Ok(lane)
    }

    /// The lane that a point lies on: its u.
    #[must_use]
    pub fn aside(&self, p: Point) -> f64 {
        let mut nearest: Option<f64> = None;
        let mut farthest = f64::NEG_INFINITY;
        for piece in &self.pieces {
            let u = match piece.center() {
                None => piece.direction(0.5).cross(p - piece.from),
                Some(c) => (piece.radius() - p.distance(c)) * piece.bulge.signum(),
            };
            let share = piece.nearest_share(p);
            let foot = piece.at(share);
            // Square to the piece: its foot lies on it, not at an end that is nearer.
            if (foot.distance(p) - u.abs()).abs() < 1e-6
                && nearest.is_none_or(|n| u.abs() < n.abs())
            {
                nearest = Some(u);
            }
            farthest = farthest.max(u);
        }
        // Past an outside corner a point is on the lane of the piece that it is farther from.
        nearest.unwrap_or(farthest)
    }

    /// The sweep's outline in plan between two u, counter-clockwise, with straight ends.
    ///
    /// # Errors
    /// As [`Path::lane`].
    pub fn outline(&self, low: f64, high: f64) -> Result<Contour, TooTight> {
        let near = self.lane(low, 0.0)?;
        let far: Vec<Piece> = self.lane(high, 0.0)?.iter().rev().map(Piece::reversed).collect();
        let mut pieces = near;
        let corner = |from: Option<Point>, to: Option<Point>, pieces: &mut Vec<Piece>| {
            if let (Some(from), Some(to)) = (from, to) {
                pieces.push(Piece { from, to, bulge: 0.0 });
            }
        };
        let start = pieces.first().map(|p| p.from);
        corner(pieces.last().map(|p| p.to), far.first().map(|p| p.from), &mut pieces);
        let end = far.last().map(|p| p.to);
        pieces.extend(far);
        corner(end, start, &mut pieces);
        Ok(Contour::from_pieces(&pieces, true))
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
        return Err(TooTight { radius, aside: u.abs() });
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

/// A lane ended at the line through the end of the path's own last piece, `u` to its left.
fn cut(lane: &Piece, end: &Piece, u: f64, lean: f64) -> Piece {
    let left = end.direction(1.0).left();
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
