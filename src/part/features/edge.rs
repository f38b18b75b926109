//! Edges that are rounded over or chamfered.

use super::{Board, Face};
use crate::diagnostic::Diagnostic;
use crate::units::Length;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// An edge of the face that is taken off along a side.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct EdgeShape {
    /// Along which side; all round without it.
    #[serde(default)]
    pub side: EdgeSide,
    /// A flat chamfer by a V cutter, or a roundover by a ball cutter.
    pub form: EdgeForm,
    /// A chamfer's width on the face; a roundover's radius.
    pub size: Length,
    /// Number of the cutter.
    pub cutter: u32,
    /// In which face.
    #[serde(default)]
    pub face: Face,
}

/// A side of a board, seen with its top up by somebody at the front of the table.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum EdgeSide {
    /// All round.
    #[default]
    All,
    /// Least x.
    Left,
    /// Greatest x.
    Right,
    /// Least y: the straight back of a cap.
    Near,
    /// Greatest y: the bowed front of a cap.
    Far,
}

/// The form of an edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum EdgeForm {
    /// Flat, at the V cutter's angle.
    Chamfer,
    /// A quarter circle.
    Roundover,
}

impl EdgeShape {
    pub(super) fn check(&self, own: &str, board: &Board<'_>) -> Result<(), Vec<Diagnostic>> {
        let size = self.size.0;
        let wrong = board.more_than_zero(own, "size", size).or_else(|| {
            (size >= board.thickness).then(|| {
                Diagnostic::error(format!(
                    "{} is not less than the board's thickness, {}",
                    board.shown.both(size),
                    board.shown.both(board.thickness)
                ))
                .key(format!("{}.{own}.size", board.key))
                .help("leave some of the side standing")
            })
        });
        wrong.map_or(Ok(()), |one| Err(vec![one]))
    }
}
