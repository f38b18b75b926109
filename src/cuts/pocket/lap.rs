//! Once round a ring, rounder than the ring where its corners would overload the cutter.

use super::fillet::Fillet;
use super::walker::{PEEL, Walker, turn};
use crate::cuts::track::Track;
use crate::geometry::Piece;
use crate::toolpath::Purpose;

/// Gentler turns than this, radians, are none.
const GENTLE: f64 = 0.05;

/// Arcs tighter than this many radii of the cutter count as corners.
const TIGHT: f64 = 2.0;

/// The tightest arc past a corner, in radii of the cutter.
const TIGHTEST: f64 = 0.2;

/// Halvings in search of an arc's radius: from a fifth to hundreds of radii, to a few hundredths.
const HALVINGS: usize = 7;

/// Pieces that one arc may leave out.
const LEFT_OUT: usize = 3;

/// Share of a piece that an arc leaves to the corner at its other end.
const LEAVES: f64 = 0.5;

/// Way before a corner over which the load is looked at, in radii.
const BEFORE: f64 = 1.6;

/// What an arc past a corner left out, along the ring.
pub(super) type Skipped = Vec<Piece>;

/// The pieces on both sides of a corner.
type Pair<'p> = (&'p Piece, &'p Piece);

/// From where on the first and up to where on the second an arc may touch them, shares.
#[derive(Clone, Copy)]
struct Room {
    start: f64,
    end: f64,
}

impl Walker<'_> {
    /// Once round a ring from a place on it, where the cutter is. In the last ring corners are
    /// peeled to their end; else what arcs past them leave out is told.
    pub(super) fn lap(
        &mut self,
        track: &Track,
        place: f64,
        purpose: Purpose,
        last: bool,
    ) -> Vec<Skipped> {
        let whole = track.between(place, place + track.length(), &[]);
        let pieces: Vec<Piece> = whole.iter().map(|stretch| stretch.piece).collect();
        let mut skipped = Vec::new();
        let (mut i, mut start) = (0, 0.0);
        while i < pieces.len() {
            let a = pieces[i];
            let Some((fillet, j)) = self.corner(&pieces, i, start) else {
                self.along(&a.part(start, 1.0), purpose);
                (i, start) = (i + 1, 0.0);
                continue;
            };
            let near = fillet.leave - BEFORE * self.radius / a.length().max(1e-9);
            if near > start {
                self.along(&a.part(start, near), purpose);
                start = near;
            }
            let way = [a.part(start, fillet.leave), fillet.arc];
            if self.tried(&way, PEEL) {
                way.into_iter().for_each(|piece| self.go(purpose, piece));
            } else {
                way.iter().for_each(|piece| self.along(piece, purpose));
            }
            let (sharp, b) = (&pieces[i + 1..j], &pieces[j]);
            start = fillet.join;
            if last {
                start = self.peel((&a, sharp, b), fillet, purpose);
            } else {
                let left_out = std::iter::once(a.part(fillet.leave, 1.0))
                    .chain(sharp.iter().copied())
                    .chain(std::iter::once(b.part(0.0, fillet.join)));
                skipped.push(left_out.collect());
            }
            i = j;
        }
        skipped
    }

    /// The arc past the corner at the end of piece `i`, and the piece on which it ends; none if
    /// there is no corner or it bears as it is.
    fn corner(&mut self, pieces: &[Piece], i: usize, start: f64) -> Option<(Fillet, usize)> {
        let next = pieces.get(i + 1).filter(|_| self.hold)?;
        let tight = |p: &Piece| p.bulge > 0.0 && p.radius() < TIGHT * self.radius;
        if turn(&pieces[i], next) < GENTLE && !tight(next) {
            return None;
        }
        if self.sharp_bears(pieces, i, start) {
            return None;
        }
        let mut widest = None;
        for j in i + 1..(i + 2 + LEFT_OUT).min(pieces.len()) {
            let left = |k: usize| turn(&pieces[k], &pieces[k + 1]) > -GENTLE;
            if !(i..j).all(left) || pieces[i + 1..j].iter().any(|p| p.bulge < 0.0) {
                break;
            }
            let pair = (&pieces[i], &pieces[j]);
            // The lap ends on its last piece: nothing else wants room there.
            let end = if j + 1 == pieces.len() { 1.0 } else { LEAVES };
            let room = Room { start, end };
            let Some(most) = self.widest(pair, room) else { continue };
            if !self.arc_bears(pair.0, start, &most) {
                widest = Some((most, j));
                continue;
            }
            return Some((self.tightest(pair, room, most), j));
        }
        widest
    }

    /// The arc between two pieces, if it lies in the room and leaves enough of both.
    fn arc(&self, (a, b): Pair<'_>, room: Room, radius: f64) -> Option<Fillet> {
        let found = Fillet::new(a, b, radius);
        found.filter(|f| f.leave > room.start && f.join <= room.end && self.within(&f.arc))
    }

    /// The widest arc between two pieces.
    fn widest(&self, pair: Pair<'_>, room: Room) -> Option<Fillet> {
        let low = TIGHTEST * self.radius;
        let mut found = self.arc(pair, room, low);
        // Between pieces that leave something out the tightest arc need not be the first.
        let (mut low, mut high) = (low, pair.0.length() + pair.1.length() + 2.0 * self.radius);
        for _ in 0..HALVINGS {
            let radius = (low * high).sqrt();
            match self.arc(pair, room, radius) {
                Some(wider) => (found, low) = (Some(wider), radius),
                None => high = radius,
            }
        }
        found
    }

    /// The tightest arc that bears, at most as wide as `most`, which does.
    fn tightest(&mut self, pair: Pair<'_>, room: Room, most: Fillet) -> Fillet {
        let (mut low, mut high, mut found) = (TIGHTEST * self.radius, most.arc.radius(), most);
        for _ in 0..HALVINGS {
            let radius = (low * high).sqrt();
            let tighter =
                self.arc(pair, room, radius).filter(|f| self.arc_bears(pair.0, room.start, f));
            match tighter {
                Some(tighter) => (found, high) = (tighter, radius),
                None => low = radius,
            }
        }
        found
    }

    /// Whether the corner can be gone round as it is.
    fn sharp_bears(&mut self, pieces: &[Piece], i: usize, start: f64) -> bool {
        let mut way = vec![self.before(&pieces[i], start, 1.0)];
        let mut length = 0.0;
        for piece in &pieces[i + 1..] {
            way.push(*piece);
            length += piece.length();
            if length > BEFORE * self.radius {
                break;
            }
        }
        let mark = self.cleared.mark();
        // A way of pieces that are metres long is looked at where it begins.
        if let Some(last) = way.last_mut() {
            let most = (BEFORE * self.radius / last.length().max(1e-9)).min(1.0);
            *last = last.part(0.0, most);
        }
        let bears = self.bears_all(&way);
        self.cleared.back_to(mark);
        bears
    }

    fn arc_bears(&mut self, a: &Piece, start: f64, fillet: &Fillet) -> bool {
        let mark = self.cleared.mark();
        let before = self.before(a, start, fillet.leave);
        let bears = self.bears_all(&[before, fillet.arc]);
        self.cleared.back_to(mark);
        bears
    }

    fn bears_all(&mut self, pieces: &[Piece]) -> bool {
        self.trial(pieces, PEEL).is_some()
    }

    /// The end of a piece up to a share of it.
    fn before(&self, piece: &Piece, start: f64, end: f64) -> Piece {
        let most = BEFORE * self.radius / piece.length().max(1e-9);
        piece.part((end - most).max(start), end)
    }
}
