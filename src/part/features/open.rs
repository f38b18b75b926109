//! Open edges of a pocket: those that the cutter may run out over.
//!
//! An edge that lies on the board's edge or beyond is open by itself: no wood of the part stands
//! there. Others are named by their side. Over an open edge the cleared area goes on, walls
//! straight on, so that a round cutter leaves nothing standing in the corners before it.

use super::{Board, EdgeSide};
use crate::diagnostic::Diagnostic;
use crate::geometry::{Contour, OffsetError, Piece, Point, Region};

/// An edge is on the board's edge if it is no farther inside, mm: what a drawing is exact to.
const ON_EDGE: f64 = 0.01;

/// Walls that meet an open edge more acutely than this go on across it, not along it: sine of 14.5
/// degrees, where the way on is four times as long as the cutter runs over.
const SLIM: f64 = 0.25;

/// The open edges of an area, by their numbers along its outline, counter-clockwise from 0.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Open {
    /// Number of the piece, and how far it lies beyond the board's edge already, mm.
    edges: Vec<(usize, f64)>,
}

impl Open {
    /// The edges of `outer` that lie on the board's edge or beyond, and those on the sides named.
    ///
    /// # Errors
    /// A side on which the area has no straight edge, at its key.
    pub(super) fn of(
        outer: &Contour,
        sides: &[EdgeSide],
        own: &str,
        board: &Board<'_>,
    ) -> Result<Open, Diagnostic> {
        let pieces: Vec<Piece> = outer.pieces().collect();
        let mut beyond: Vec<Option<f64>> =
            pieces.iter().map(|piece| beyond(piece, board.outline)).collect();
        for (i, side) in sides.iter().enumerate() {
            let named = on_side(&pieces, outer, *side);
            if named.is_empty() {
                return Err(Diagnostic::error("the area has no straight edge on this side")
                    .key(format!("{}.{own}.open[{}]", board.key, i + 1))
                    .help("an open edge is the area's straight edge on its `left`, `right`, `near` or `far` side, or `all` of its edges; what lies on the board's edge or beyond is open by itself"));
            }
            for k in named {
                beyond[k] = Some(beyond[k].unwrap_or(0.0));
            }
        }
        // A rounding between two open edges is no wall.
        let count = pieces.len();
        for i in 0..count {
            let beside = [(i + count - 1) % count, (i + 1) % count];
            if pieces[i].is_arc() && beside.iter().all(|k| beyond[*k].is_some() && *k != i) {
                beyond[i] = Some(beyond[i].unwrap_or(0.0));
            }
        }
        let edges = beyond.into_iter().enumerate().filter_map(|(i, b)| b.map(|b| (i, b)));
        Ok(Open { edges: edges.collect() })
    }

    /// The straight edges of `outer` on these sides.
    #[must_use]
    pub fn sides(outer: &Contour, sides: &[EdgeSide]) -> Open {
        let pieces: Vec<Piece> = outer.pieces().collect();
        let named = |i: &usize| sides.iter().any(|s| on_side(&pieces, outer, *s).contains(i));
        Open { edges: (0..pieces.len()).filter(named).map(|i| (i, 0.0)).collect() }
    }

    /// Whether all edges are walls.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.edges.is_empty()
    }

    /// The open edges of a region, counter-clockwise, out to their right; each with how far
    /// [`Open::over`] moves it.
    #[must_use]
    pub fn edges(&self, region: &Region, by: f64) -> Vec<(Piece, f64)> {
        let pieces: Vec<Piece> = region.outer().pieces().collect();
        let moved = |(i, beyond): &(usize, f64)| Some((*pieces.get(*i)?, (by - beyond).max(0.0)));
        self.edges.iter().filter_map(moved).collect()
    }

    /// Whether the corner at the end of this piece of the region's outline, which has so many,
    /// lies between walls.
    #[must_use]
    pub fn walled(&self, piece: usize, count: usize) -> bool {
        let open = |i: usize| self.edges.iter().any(|(k, _)| *k == i % count);
        !open(piece) && !open(piece + 1)
    }

    /// The region with its open edges moved out, so that each lies at least `by` beyond where it
    /// and the board's edge are; walls go straight on.
    ///
    /// # Errors
    /// [`OffsetError`] if edges cross then, or an open edge comes to nothing.
    pub fn over(&self, region: &Region, by: f64) -> Result<Region, OffsetError> {
        if self.is_empty() {
            return Ok(region.clone());
        }
        let pieces: Vec<Piece> = region.outer().pieces().collect();
        let mut out = vec![0.0; pieces.len()];
        for (i, beyond) in &self.edges {
            if let Some(out) = out.get_mut(*i) {
                *out = (by - beyond).max(0.0);
            }
        }
        let count = pieces.len();
        let joints: Vec<(Point, Point)> = (0..count)
            .map(|i| {
                let k = (i + 1) % count;
                joint((&pieces[i], out[i]), (&pieces[k], out[k]))
            })
            .collect();
        let mut chain: Vec<Piece> = Vec::new();
        for (i, piece) in pieces.iter().enumerate() {
            let start = joints[(i + count - 1) % count];
            let ends = (start.1, joints[i].0);
            link(&mut chain, start.0);
            let moved = between(piece, out[i], ends).ok_or_else(|| {
                let at = piece.at(0.5);
                OffsetError::Source(format!(
                    "an edge near ({:.3}, {:.3}) comes to nothing where an open one is moved out",
                    at.x, at.y
                ))
            })?;
            // A trimmed piece may end where it starts.
            if moved.from.distance(moved.to) > 1e-9 {
                link(&mut chain, moved.from);
                chain.push(moved);
            }
        }
        if let (Some(first), Some(last)) = (chain.first().copied(), chain.last().copied())
            && last.to.distance(first.from) > 1e-9
        {
            chain.push(Piece { from: last.to, to: first.from, bulge: 0.0 });
        }
        Region::new(Contour::from_pieces(&chain, true), region.islands().to_vec())
    }
}

/// A straight piece on to `to`, if the chain is not there yet.
fn link(chain: &mut Vec<Piece>, to: Point) {
    if let Some(from) = chain.last().map(|piece| piece.to)
        && from.distance(to) > 1e-9
    {
        chain.push(Piece { from, to, bulge: 0.0 });
    }
}

/// How far a piece lies beyond the board's edge at least; none if any of it lies inside.
fn beyond(piece: &Piece, board: &Contour) -> Option<f64> {
    let out = |share: f64| {
        let p = piece.at(share);
        let gap = board.nearest(p).map_or(f64::INFINITY, |(gap, _)| gap);
        if board.contains(p) { -gap } else { gap }
    };
    // Ends, and enough between them for what bows.
    let least = (0..=8).map(|i| out(f64::from(i) / 8.0)).fold(f64::INFINITY, f64::min);
    (least > -ON_EDGE).then(|| least.max(0.0))
}

/// Numbers of the straight pieces on one side of an outline.
fn on_side(pieces: &[Piece], outer: &Contour, side: EdgeSide) -> Vec<usize> {
    let (low, high) = outer.bounds().unwrap_or_default();
    let on = |p: &Piece| {
        let both = |value: &dyn Fn(Point) -> f64, end: f64| {
            (value(p.from) - end).abs() < ON_EDGE && (value(p.to) - end).abs() < ON_EDGE
        };
        match side {
            EdgeSide::All => true,
            EdgeSide::Left => both(&|p| p.x, low.x),
            EdgeSide::Right => both(&|p| p.x, high.x),
            EdgeSide::Near => both(&|p| p.y, low.y),
            EdgeSide::Far => both(&|p| p.y, high.y),
        }
    };
    let straight = |p: &Piece| side == EdgeSide::All || !p.is_arc();
    (0..pieces.len()).filter(|i| straight(&pieces[*i]) && on(&pieces[*i])).collect()
}

/// What a piece runs on when it is moved out: a line by a point and a direction, or a circle.
enum Carrier {
    Line(Point, Point),
    Circle(Point, f64),
}

/// The carrier of a piece moved out by `out`, as seen from its end (1) or start (0). A wall goes
/// on straight.
fn carrier(piece: &Piece, out: f64, share: f64) -> Carrier {
    let along = piece.direction(share);
    match piece.center().filter(|_| piece.is_arc() && out > 0.0) {
        Some(middle) => Carrier::Circle(middle, piece.radius() + out * piece.bulge.signum()),
        None => Carrier::Line(piece.at(share) - along.left() * out, along),
    }
}

/// Where the first of two pieces ends and the second begins, each moved out by its own measure.
fn joint((a, out_a): (&Piece, f64), (b, out_b): (&Piece, f64)) -> (Point, Point) {
    let corner = a.to;
    if out_a == 0.0 && out_b == 0.0 {
        return (corner, corner);
    }
    let moved = |p: &Piece, share: f64, out: f64| p.at(share) - p.direction(share).left() * out;
    let plain = (moved(a, 1.0, out_a), moved(b, 0.0, out_b));
    let far = out_a.max(out_b) / SLIM + 1e-6;
    let met = match (carrier(a, out_a, 1.0), carrier(b, out_b, 0.0)) {
        (Carrier::Line(p, d), Carrier::Line(q, e)) => {
            let cross = d.cross(e);
            (cross.abs() > SLIM).then(|| p + d * ((q - p).cross(e) / cross))
        }
        (Carrier::Line(p, d), Carrier::Circle(c, r))
        | (Carrier::Circle(c, r), Carrier::Line(p, d)) => {
            let along = (c - p).dot(d);
            let height = (p + d * along).distance(c);
            let half = (r * r - height * height).max(0.0).sqrt();
            let ends = [along - half, along + half].map(|t| p + d * t);
            let near =
                ends.into_iter().min_by(|x, y| x.distance(corner).total_cmp(&y.distance(corner)));
            near.filter(|_| height < r)
        }
        (Carrier::Circle(..), Carrier::Circle(..)) => None,
    };
    match met.filter(|p| p.distance(corner) <= far) {
        // A round wall ends where it ends: a straight piece goes on from there.
        Some(p) if a.is_arc() && out_a == 0.0 => (corner, p),
        Some(p) if b.is_arc() && out_b == 0.0 => (p, corner),
        Some(p) => (p, p),
        None => plain,
    }
}

/// A piece moved out by `out` between new ends; none if it would run backwards.
fn between(piece: &Piece, out: f64, (from, to): (Point, Point)) -> Option<Piece> {
    match piece.center().filter(|_| piece.is_arc()) {
        None => {
            let forward = (to - from).dot(piece.direction(0.0));
            (forward > -1e-9).then_some(Piece { from, to, bulge: 0.0 })
        }
        Some(_) if out == 0.0 => Some(Piece { from, to, bulge: piece.bulge }),
        Some(middle) => {
            let radius = piece.radius() + out * piece.bulge.signum();
            let (a, b) = (from - middle, to - middle);
            let turned = a.cross(b).atan2(a.dot(b)) * piece.bulge.signum();
            // Past half a turn the angle comes back as a negative one.
            let turned = if turned < 0.0 && piece.sweep().abs() > std::f64::consts::PI * 0.9 {
                turned + std::f64::consts::TAU
            } else {
                turned
            };
            (radius > 1e-3 && turned > 0.0).then(|| Piece {
                from,
                to,
                bulge: (turned / 4.0).tan() * piece.bulge.signum(),
            })
        }
    }
}
