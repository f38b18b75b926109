//! The kinds of part: as written, and as resolved.

use crate::diagnostic::Diagnostic;
use crate::geometry::Contour;
use crate::part::{Board, BoardShape, Cap, CapShape, Panel, PanelShape};
use crate::units::Shown;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What a part is.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum PartKind {
    /// A cap with an arched front.
    Cap(CapShape),
    /// A rectangular board.
    Board(BoardShape),
    /// The flat board of a header, above the casing.
    Frieze(BoardShape),
    /// A carved panel.
    Panel(PanelShape),
}

impl PartKind {
    /// The word of `kind`.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self {
            PartKind::Cap(_) => "cap",
            PartKind::Board(_) => "board",
            PartKind::Frieze(_) => "frieze",
            PartKind::Panel(_) => "panel",
        }
    }

    /// The shape that can be made; `key` is where it stands in the job file.
    pub(super) fn resolve(&self, key: &str, shown: Shown) -> Result<Shape, Vec<Diagnostic>> {
        match self {
            PartKind::Cap(shape) => shape.resolve(key, shown).map(Shape::Cap),
            PartKind::Board(shape) | PartKind::Frieze(shape) => {
                shape.resolve(key, shown).map(Shape::Board)
            }
            PartKind::Panel(shape) => shape.resolve(key, shown).map(Shape::Panel),
        }
    }
}

/// The shape of a part.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A cap with an arched front.
    Cap(Cap),
    /// A rectangular board.
    Board(Board),
    /// A carved panel.
    Panel(Panel),
}

impl Shape {
    /// The outline in plan in the part's own frame, its lower left corner at the origin.
    #[must_use]
    pub fn contour(&self) -> Contour {
        match self {
            Shape::Cap(cap) => cap.contour(),
            Shape::Board(board) => board.contour(),
            Shape::Panel(panel) => panel.contour(),
        }
    }

    /// Its extent on the table, along x and y, mm.
    #[must_use]
    pub fn size(&self) -> [f64; 2] {
        match self {
            Shape::Cap(cap) => [cap.front.chord, cap.centre_depth()],
            Shape::Board(board) => [board.length, board.width],
            Shape::Panel(panel) => [panel.board.length, panel.board.width],
        }
    }
}
