//! Holes: drilled or bored, plain or counterbored.

use super::{Board, Face};
use crate::diagnostic::Diagnostic;
use crate::geometry::{Point, point};
use crate::units::Length;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Holes of one size.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct HoleShape {
    /// The middle of each, x and y from the part's lower left corner.
    #[schemars(length(min = 1, max = 1000))]
    pub at: Vec<[Length; 2]>,
    /// Diameter.
    pub diameter: Length,
    /// Depth from the face; all through without it.
    #[serde(default)]
    pub depth: Option<Length>,
    /// A wider mouth for a screw's head.
    #[serde(default)]
    pub counterbore: Option<Counterbore>,
    /// Number of the cutter; without it a drill of the diameter, or the widest flat cutter that
    /// goes in.
    #[serde(default)]
    pub cutter: Option<u32>,
    /// How it is made; without it by the cutter: a drill pecks, any other goes round in a helix.
    #[serde(default)]
    pub bore: Option<Bore>,
    /// In which face.
    #[serde(default)]
    pub face: Face,
}

/// A wider mouth.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Counterbore {
    /// Diameter.
    pub diameter: Length,
    /// Depth from the face.
    pub depth: Length,
    /// Number of the cutter; the widest flat cutter that goes in without it.
    #[serde(default)]
    pub cutter: Option<u32>,
}

/// How a hole is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Bore {
    /// Straight down in one go.
    Drill,
    /// Straight down, lifting the chips out on the way.
    Peck,
    /// Round and down.
    Helix,
}

/// Holes of one size that can be made.
#[derive(Clone, Debug, PartialEq)]
pub struct Hole {
    /// Key relative to the part: `hole[1]`.
    pub key: String,
    /// The middle of each.
    pub at: Vec<Point>,
    /// Diameter.
    pub diameter: f64,
    /// Depth; `None` all through.
    pub depth: Option<f64>,
    /// Diameter, depth and cutter of the wider mouth.
    pub counterbore: Option<(f64, f64, Option<u32>)>,
    /// Number of the cutter, if it was named.
    pub cutter: Option<u32>,
    /// How, if it was said.
    pub bore: Option<Bore>,
    /// In which face.
    pub face: Face,
}

impl HoleShape {
    pub(super) fn resolve(&self, own: &str, board: &Board<'_>) -> Result<Hole, Vec<Diagnostic>> {
        let mut found = Vec::new();
        found.extend(board.more_than_zero(own, "diameter", self.diameter.0));
        found.extend(self.depth.and_then(|depth| board.depth(own, depth.0)));
        let mut widest = self.diameter.0;
        if let Some(mouth) = &self.counterbore {
            let own = format!("{own}.counterbore");
            found.extend(board.depth(&own, mouth.depth.0));
            if mouth.diameter.0 <= self.diameter.0 {
                found.push(
                    Diagnostic::error("a counterbore is wider than its hole")
                        .key(format!("{}.{own}.diameter", board.key))
                        .help(format!("more than {}", board.shown.both(self.diameter.0))),
                );
            }
            if let Some(depth) = self.depth.filter(|depth| depth.0 <= mouth.depth.0) {
                found.push(
                    Diagnostic::error("a counterbore is not as deep as its hole")
                        .key(format!("{}.{own}.depth", board.key))
                        .help(format!("less than {}", board.shown.both(depth.0))),
                );
            }
            widest = widest.max(mouth.diameter.0);
        }
        let at: Vec<Point> = self.at.iter().map(|[x, y]| point(x.0, y.0)).collect();
        for (i, middle) in at.iter().enumerate() {
            let own = format!("{own}.at[{}]", i + 1);
            found.extend(board.within(&own, *middle, widest / 2.0));
        }
        if !found.is_empty() {
            return Err(found);
        }
        Ok(Hole {
            key: own.to_string(),
            at,
            diameter: self.diameter.0,
            depth: self.depth.map(|depth| depth.0),
            counterbore: self
                .counterbore
                .as_ref()
                .map(|mouth| (mouth.diameter.0, mouth.depth.0, mouth.cutter)),
            cutter: self.cutter,
            bore: self.bore,
            face: self.face,
        })
    }
}
