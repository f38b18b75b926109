//! Dividing a long or strongly curved moulding into segments that come out of straight boards.

use crate::geometry::{Path, Piece, Point};

/// Most segments that a path is divided into.
pub(super) const MOST: usize = 24;

/// A path divided into equal lengths, each turned so that its chord runs along x, its first end
/// at the origin.
pub(super) fn divide(pieces: &[Piece], count: usize, lean: [f64; 2]) -> Vec<Path> {
    let total: f64 = pieces.iter().map(Piece::length).sum();
    (0..count)
        .map(|i| {
            let share = |k: usize| total * k as f64 / count as f64;
            let own = between(pieces, share(i), share(i + 1));
            let ends =
                [if i == 0 { lean[0] } else { 0.0 }, if i + 1 == count { lean[1] } else { 0.0 }];
            Path::new(level(&own)).leaning(ends)
        })
        .collect()
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

fn level(pieces: &[Piece]) -> Vec<Piece> {
    let (Some(first), Some(last)) = (pieces.first(), pieces.last()) else { return Vec::new() };
    let origin = first.from;
    let chord = last.to - origin;
    let angle = if chord.length() > 0.0 { chord.angle() } else { 0.0 };
    let turned = |p: Point| (p - origin).rotated(-angle);
    pieces.iter().map(|p| Piece { from: turned(p.from), to: turned(p.to), ..*p }).collect()
}

/// The greatest angle, radians, at which the path runs off the grain.
pub(super) fn run_out(path: &Path) -> f64 {
    let off = |d: Point| d.y.atan2(d.x).abs();
    path.pieces()
        .iter()
        .flat_map(|p| [off(p.direction(0.0)), off(p.direction(1.0))])
        .fold(0.0, f64::max)
}
