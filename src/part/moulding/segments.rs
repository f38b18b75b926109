//! Dividing a long or strongly curved moulding into segments that come out of straight boards,
//! and the shape of each one's ends.

use super::joint::Key;
use crate::geometry::{Contour, Path, Piece, Point, TooTight, point};

/// Most segments that a path is divided into.
pub(super) const MOST: usize = 24;

/// Length of the back of a moulding that is returned to a wall, mm: none, but a leg must have a
/// direction, which this gives to a millionth of a radian on any board.
const NO_LENGTH: f64 = 1e-6;

/// How one end of the whole moulding is made.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum End {
    /// Straight, and so far from square, radians: positive where the moulding grows longer away
    /// from the path.
    Straight(f64),
    /// The sweep turns by this angle, radians, and runs back to the wall.
    Turned(f64),
    /// A line in plan, from the lower u to the higher, x out beyond the path's end.
    Shaped(Vec<Piece>),
}

/// What segments are made from.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Division {
    pub(super) ends: [End; 2],
    pub(super) key: Option<Key>,
    /// Least and greatest u.
    pub(super) extent: (f64, f64),
}

/// A segment as it lies.
#[derive(Clone, Debug, PartialEq)]
pub struct Segment {
    /// What its lanes follow: its chord along x from the origin, and as far as its ends reach.
    pub path: Path,
    /// Its outline in plan, counter-clockwise, in the frame of its path.
    pub outline: Contour,
    /// Greatest angle off the grain, radians.
    pub run_out: f64,
}

impl Segment {
    /// Where the lower left corner of its outline lies in the frame of its path.
    #[must_use]
    pub fn corner(&self) -> Point {
        self.outline.bounds().map_or(Point::default(), |(low, _)| low)
    }
}

impl Division {
    /// A path in so many equal lengths, each turned so that its chord runs along x, its first end
    /// at the origin.
    ///
    /// # Errors
    /// A piece that leaves one side of the moulding no room.
    pub(super) fn divide(&self, pieces: &[Piece], count: usize) -> Result<Vec<Segment>, TooTight> {
        let total: f64 = pieces.iter().map(Piece::length).sum();
        let share = |k: usize| total * k as f64 / count as f64;
        // A tongue carries the profile on along the next segment's own path.
        let tongue = self.key.map_or(0.0, |key| key.length);
        (0..count)
            .map(|i| {
                let own = between(pieces, share(i), share(i + 1));
                let on = between(pieces, share(i + 1), share(i + 1) + tongue);
                let outer = [i == 0, i + 1 == count];
                self.segment(level(&own, &own), level(&on, &own), outer)
            })
            .collect()
    }

    /// A straight piece of its own, with its own mitres.
    ///
    /// # Errors
    /// Mitres that leave its face nothing.
    pub(super) fn piece(&self, length: f64, mitres: [f64; 2]) -> Result<Segment, TooTight> {
        let alone = Division { ends: mitres.map(End::Straight), key: None, extent: self.extent };
        let line = Piece { from: point(0.0, 0.0), to: point(length, 0.0), bulge: 0.0 };
        alone.segment(vec![line], Vec::new(), [true, true])
    }

    /// One segment, which has the whole moulding's first end, its last, both or neither; the
    /// path goes `on` beyond it.
    fn segment(
        &self,
        own: Vec<Piece>,
        on: Vec<Piece>,
        outer: [bool; 2],
    ) -> Result<Segment, TooTight> {
        let (low, high) = self.extent;
        let run_out = run_out(&own);
        let (mut own, mut lean, mut past) = (own, [0.0; 2], [0.0; 2]);
        let mut shapes: [Vec<Piece>; 2] = Default::default();
        for side in 0..2 {
            match (&self.ends[side], outer[side], self.key) {
                (End::Straight(by), true, _) => lean[side] = *by,
                (End::Turned(by), true, _) => turn_back(&mut own, side, *by),
                (End::Shaped(line), true, _) => shapes[side].clone_from(line),
                (_, false, Some(key)) if side == 1 => shapes[1] = key.tongue([low, high]),
                (_, false, Some(key)) => shapes[0] = key.socket([low, high]),
                (_, false, None) => {}
            }
            if outer[side] {
                past[side] = shapes[side].iter().map(|p| p.to.x).fold(0.0, f64::max);
            }
        }
        let path = Path::new(own.clone()).leaning(lean);
        let outline = path.shaped([low, high], [&shapes[0], &shapes[1]])?;
        own.extend(on);
        let path = Path::new(own).leaning(lean).longer(past[0], past[1]);
        Ok(Segment { path, outline, run_out })
    }
}

/// A leg without length that turns to the right at one end of a path: the moulding goes round the
/// corner and back to the wall.
fn turn_back(own: &mut Vec<Piece>, side: usize, by: f64) {
    let leg = |at: Point, along: Point| Piece { from: at, to: at + along * NO_LENGTH, bulge: 0.0 };
    if side == 1
        && let Some(last) = own.last()
    {
        own.push(leg(last.to, last.direction(1.0).rotated(-by)));
    } else if let Some(first) = own.first() {
        let back = leg(first.from, -first.direction(0.0).rotated(by));
        own.insert(0, back.reversed());
    }
}

/// The part of a path between two lengths along it.
fn between(pieces: &[Piece], from: f64, to: f64) -> Vec<Piece> {
    let mut start = 0.0;
    let mut out = Vec::new();
    for piece in pieces {
        let length = piece.length();
        let (low, high) = ((from - start).max(0.0), (to - start).min(length));
        // Less than a thousandth of a millimetre is its neighbour's.
        if high - low > 1e-3 {
            let (first, last) = (low / length, high / length);
            out.push(match (low <= 0.0, high >= length) {
                (true, true) => *piece,
                _ => piece.part(first, last),
            });
        }
        start += length;
    }
    out
}

/// Pieces turned so that the chord of `by` runs along x, its first end at the origin.
fn level(pieces: &[Piece], by: &[Piece]) -> Vec<Piece> {
    let (Some(first), Some(last)) = (by.first(), by.last()) else { return Vec::new() };
    let origin = first.from;
    let chord = last.to - origin;
    let angle = if chord.length() > 0.0 { chord.angle() } else { 0.0 };
    let turned = |p: Point| (p - origin).rotated(-angle);
    pieces.iter().map(|p| Piece { from: turned(p.from), to: turned(p.to), ..*p }).collect()
}

/// The greatest angle, radians, at which pieces run off the grain.
fn run_out(pieces: &[Piece]) -> f64 {
    let off = |d: Point| d.y.atan2(d.x).abs();
    pieces.iter().flat_map(|p| [off(p.direction(0.0)), off(p.direction(1.0))]).fold(0.0, f64::max)
}

/// The end of a moulding that lies on its back, returned in the solid: its own face, seen from
/// the end, stands `back` before the path's end where the face starts.
pub(super) fn returned(face: &Contour, back: f64) -> Vec<Piece> {
    let moved = |p: Point| point(p.x + back, p.y);
    let piece = |p: Piece| Piece { from: moved(p.from), to: moved(p.to), bulge: p.bulge };
    face.pieces().map(piece).collect()
}
