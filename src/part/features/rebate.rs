//! Rebates: steps along the sides of a board.

use super::{Board, EdgeSide, Face};
use crate::diagnostic::Diagnostic;
use crate::units::Length;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A step along one side, from end to end.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct RebateShape {
    /// Along which side.
    pub side: EdgeSide,
    /// How far it goes in from the side.
    pub width: Length,
    /// Depth from the face.
    pub depth: Length,
    /// Number of the cutter.
    pub cutter: u32,
    /// In which face.
    #[serde(default)]
    pub face: Face,
}

impl RebateShape {
    pub(super) fn check(&self, own: &str, board: &Board<'_>) -> Result<(), Vec<Diagnostic>> {
        let mut found = Vec::new();
        found.extend(board.more_than_zero(own, "width", self.width.0));
        found.extend(board.depth(own, self.depth.0));
        let (low, high) = board.outline.bounds().unwrap_or_default();
        let size = match self.side {
            EdgeSide::Left | EdgeSide::Right => high.x - low.x,
            _ => high.y - low.y,
        };
        if self.width.0 >= size {
            found.push(
                Diagnostic::error("the rebate is as wide as the board")
                    .key(format!("{}.{own}.width", board.key))
                    .help(format!("less than {}", board.shown.both(size))),
            );
        }
        if self.side == EdgeSide::All {
            found.push(
                Diagnostic::error("a rebate runs along one side")
                    .key(format!("{}.{own}.side", board.key))
                    .help("give one rebate for each of `left`, `right`, `near` and `far`"),
            );
        }
        if found.is_empty() { Ok(()) } else { Err(found) }
    }
}
