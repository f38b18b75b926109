//! A closed outline measured by length along it.

use crate::geometry::{Contour, Piece, Point};

/// A closed contour with the length at which each of its pieces starts. Places on it are
/// lengths along it, which may be more than one lap, or negative.
#[derive(Clone, Debug)]
pub struct Track {
    pieces: Vec<Piece>,
    starts: Vec<f64>,
    length: f64,
}

/// A stretch of a track within one piece.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stretch {
    /// Where it starts, lengths along the track.
    pub(super) from: f64,
    /// Where it ends.
    pub(super) to: f64,
    /// Its geometry.
    pub(super) piece: Piece,
}

impl Track {
    /// The track of a closed contour, in its direction.
    #[must_use]
    pub fn new(contour: &Contour) -> Track {
        let pieces: Vec<Piece> = contour.pieces().collect();
        let mut starts = Vec::with_capacity(pieces.len());
        let mut length = 0.0;
        for piece in &pieces {
            starts.push(length);
            length += piece.length();
        }
        Track { pieces, starts, length }
    }

    /// The same outline the other way; place `s` here is place `length - s` there.
    #[must_use]
    pub fn reversed(&self) -> Track {
        let pieces: Vec<Piece> = self.pieces.iter().rev().map(Piece::reversed).collect();
        Track::new(&Contour::from_pieces(&pieces, true))
    }

    /// An open chain the other way; place `s` here is place `length - s` there.
    #[must_use]
    pub(super) fn reversed_open(&self) -> Track {
        let pieces: Vec<Piece> = self.pieces.iter().rev().map(Piece::reversed).collect();
        Track::new(&Contour::from_pieces(&pieces, false))
    }

    /// Where it starts.
    pub(super) fn start(&self) -> Point {
        self.pieces.first().map_or_else(Point::default, |piece| piece.from)
    }

    /// Once round, or from end to end.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.length
    }

    /// Pieces with the place where each starts.
    pub fn pieces(&self) -> impl Iterator<Item = (f64, &Piece)> + '_ {
        self.starts.iter().copied().zip(&self.pieces)
    }

    /// Piece number and share of it at place `s`.
    fn find(&self, s: f64) -> (usize, f64) {
        let s = s.rem_euclid(self.length);
        let i = self.starts.partition_point(|start| *start <= s).saturating_sub(1);
        let share = (s - self.starts[i]) / self.pieces[i].length();
        (i, share.clamp(0.0, 1.0))
    }

    /// The point at place `s`.
    #[must_use]
    pub fn at(&self, s: f64) -> Point {
        let (i, share) = self.find(s);
        self.pieces[i].at(share)
    }

    /// The direction of travel at place `s`.
    #[must_use]
    pub fn direction(&self, s: f64) -> Point {
        let (i, share) = self.find(s);
        self.pieces[i].direction(share)
    }

    /// The place nearest to `p`.
    #[must_use]
    pub fn nearest(&self, p: Point) -> f64 {
        let mut best = (f64::INFINITY, 0.0);
        for (start, piece) in self.pieces() {
            let share = piece.nearest_share(p);
            let distance = piece.at(share).distance(p);
            if distance < best.0 {
                best = (distance, start + share * piece.length());
            }
        }
        best.1
    }

    /// The stretches from place `from` on to place `to`, cut where pieces end and at `cuts`.
    pub(super) fn between(&self, from: f64, to: f64, cuts: &[f64]) -> Vec<Stretch> {
        // Shorter stretches than this are left to their neighbour: far below a program's digits.
        const LEAST: f64 = 1e-7;
        let mut places = vec![from];
        let first_lap = (from / self.length).floor();
        let last_lap = (to / self.length).floor();
        let mut lap = first_lap;
        while lap <= last_lap {
            places.extend(self.starts.iter().map(|s| s + lap * self.length));
            lap += 1.0;
        }
        places.extend_from_slice(cuts);
        places.retain(|s| *s >= from && *s < to);
        places.sort_by(f64::total_cmp);
        places.dedup_by(|b, a| *b - *a < LEAST);
        if places.last().is_some_and(|s| to - s < LEAST) && places.len() > 1 {
            places.pop();
        }
        places.push(to);
        places
            .windows(2)
            .map(|pair| {
                let (i, share) = self.find((pair[0] + pair[1]) / 2.0);
                let half = (pair[1] - pair[0]) / 2.0 / self.pieces[i].length();
                let piece = self.pieces[i].part((share - half).max(0.0), (share + half).min(1.0));
                Stretch { from: pair[0], to: pair[1], piece }
            })
            .collect()
    }
}
