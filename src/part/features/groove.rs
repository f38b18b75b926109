//! Grooves along a line or an arc.

use super::{Board, Face};
use crate::diagnostic::Diagnostic;
use crate::geometry::{CircularSegment, Contour, Piece, point};
use crate::units::Length;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A groove. Its middle runs straight from one point to another, or bows to the left of that way
/// by a rise (to the right by a negative one); or it follows the board's bowed front.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct GrooveShape {
    /// Where its middle starts, x and y from the part's lower left corner.
    #[serde(default)]
    pub from: Option<[Length; 2]>,
    /// Where its middle ends.
    #[serde(default)]
    pub to: Option<[Length; 2]>,
    /// How far it bows.
    #[serde(default)]
    pub rise: Length,
    /// Instead of from and to: how far its middle stands in from the bowed front, along it.
    #[serde(default)]
    pub behind_front: Option<Length>,
    /// How far its ends stand in from the ends of the front, with `behind-front`.
    #[serde(default)]
    pub stopped: Length,
    /// Width.
    pub width: Length,
    /// Depth from the face.
    pub depth: Length,
    /// Number of the cutter; without it one as wide as the groove.
    #[serde(default)]
    pub cutter: Option<u32>,
    /// In which face.
    #[serde(default)]
    pub face: Face,
}

/// A groove that can be cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Groove {
    /// Key relative to the part: `groove[1]`.
    pub key: String,
    /// Its middle: a line or an arc.
    pub middle: Piece,
    /// Width.
    pub width: f64,
    /// Depth from the face.
    pub depth: f64,
    /// Number of the cutter, if it was named.
    pub cutter: Option<u32>,
    /// In which face.
    pub face: Face,
}

impl GrooveShape {
    pub(super) fn resolve(&self, own: &str, board: &Board<'_>) -> Result<Groove, Vec<Diagnostic>> {
        let mut found = Vec::new();
        found.extend(board.more_than_zero(own, "width", self.width.0));
        found.extend(board.depth(own, self.depth.0));
        let middle = self.middle(own, board).map_err(|one| found.push(one)).ok();
        let line = middle.map(|piece| Contour::from_pieces(&[piece], false));
        found.extend(line.and_then(|line| board.near_board(own, &line)));
        let Some(middle) = middle.filter(|_| found.is_empty()) else { return Err(found) };
        Ok(Groove {
            key: own.to_string(),
            middle,
            width: self.width.0,
            depth: self.depth.0,
            cutter: self.cutter,
            face: self.face,
        })
    }

    fn middle(&self, own: &str, board: &Board<'_>) -> Result<Piece, Diagnostic> {
        let key = format!("{}.{own}", board.key);
        match (self.from, self.to, self.behind_front) {
            (Some(from), Some(to), None) => {
                let [from, to] = [from, to].map(|[x, y]| point(x.0, y.0));
                let chord = from.distance(to);
                if chord < 1.0 {
                    return Err(Diagnostic::error("the groove has no length")
                        .key(format!("{key}.to"))
                        .help("its ends stand at least 1 mm apart"));
                }
                let bulge = match self.rise.0 {
                    0.0 => 0.0,
                    // The bulge of an arc that bows to the right of its way is positive.
                    rise => CircularSegment::from_chord_and_rise(chord, rise.abs())
                        .map(|s| -s.bulge().copysign(rise))
                        .map_err(|_| {
                            Diagnostic::error("the groove bows by more than a half circle")
                                .key(format!("{key}.rise"))
                                .help(format!("at most {}", board.shown.both(chord / 2.0)))
                        })?,
                };
                Ok(Piece { from, to, bulge })
            }
            (None, None, Some(inset)) => behind_front(board, inset.0, self.stopped.0)
                .map_err(|d| d.key(format!("{key}.behind-front"))),
            _ => Err(Diagnostic::error("the groove has no place")
                .key(key)
                .help("give `from` and `to`, or `behind-front` alone")),
        }
    }
}

/// An arc concentric with the board's only arc, `inset` within it, its ends `stopped` from the
/// arc's ends along x.
fn behind_front(board: &Board<'_>, inset: f64, stopped: f64) -> Result<Piece, Diagnostic> {
    let arcs: Vec<Piece> = board.outline.pieces().filter(Piece::is_arc).collect();
    let [front] = arcs.as_slice() else {
        return Err(Diagnostic::error("the board has no bowed front to follow")
            .help("give `from`, `to` and `rise` instead"));
    };
    let Some(center) = front.center() else {
        return Err(Diagnostic::error("the board's front has no centre"));
    };
    let radius = front.radius() - inset;
    let (low, high) =
        (front.from.x.min(front.to.x) + stopped, front.from.x.max(front.to.x) - stopped);
    let foot = |x: f64| (radius * radius - (x - center.x).powi(2)).max(0.0).sqrt() + center.y;
    if inset <= 0.0 || stopped < 0.0 || high - low < 1.0 || radius <= (high - low) / 2.0 {
        return Err(Diagnostic::error(format!(
            "no groove runs {} behind the front and stops {} from its ends",
            board.shown.both(inset),
            board.shown.both(stopped)
        ))
        .help("more than zero, and less than the board is deep"));
    }
    let (from, to) = (point(high, foot(high)), point(low, foot(low)));
    let half = ((high - low) / 2.0 / radius).asin();
    let piece = Piece { from, to, bulge: (half / 2.0).tan() };
    let whole = Contour::from_pieces(&[piece], false);
    let inside = whole.flattened(1.0).iter().all(|p| board.outline.contains(*p));
    if !inside {
        return Err(Diagnostic::error("the groove leaves the board")
            .help("a smaller inset, or ends further from the board's"));
    }
    Ok(piece)
}
