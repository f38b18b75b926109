//! The kinds of part: as written, and as resolved.

use crate::diagnostic::Diagnostic;
use crate::geometry::Contour;
use crate::part::{
    Board, BoardShape, Cap, CapShape, Moulding, MouldingShape, Panel, PanelShape, Pose, Template,
    Traced,
};
use crate::tracing::{Outlines, TracingEntry};
use crate::units::Shown;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::path::Path;

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
    /// The moulding under a cap, milled from the solid along a path.
    BedMold(MouldingShape),
    /// Any moulding milled from the solid along a path.
    Moulding(MouldingShape),
    /// A carved panel.
    Panel(PanelShape),
    /// A part of any outline, from a drawing.
    Traced(TracingEntry),
}

impl PartKind {
    /// The word of `kind`.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self {
            PartKind::Cap(_) => "cap",
            PartKind::Board(_) => "board",
            PartKind::Frieze(_) => "frieze",
            PartKind::BedMold(_) => "bed-mold",
            PartKind::Moulding(_) => "moulding",
            PartKind::Panel(_) => "panel",
            PartKind::Traced(_) => "traced",
        }
    }

    /// The shape that can be made; `key` is where it stands in the job file, which is in `folder`.
    pub(super) fn resolve(
        &self,
        key: &str,
        folder: &Path,
        shown: Shown,
    ) -> Result<Shape, Vec<Diagnostic>> {
        match self {
            PartKind::Cap(shape) => shape.resolve(key, shown).map(Shape::Cap),
            PartKind::Board(shape) | PartKind::Frieze(shape) => {
                shape.resolve(key, shown).map(Shape::Board)
            }
            PartKind::BedMold(shape) => {
                shape.resolve(key, folder, Pose::TopDown, shown).map(Shape::moulding)
            }
            PartKind::Moulding(shape) => {
                shape.resolve(key, folder, Pose::BackDown, shown).map(Shape::moulding)
            }
            PartKind::Panel(shape) => shape.resolve(key, shown).map(Shape::Panel),
            PartKind::Traced(entry) => {
                traced(entry, folder, key).map(Shape::Traced).map_err(|one| vec![one])
            }
        }
    }
}

/// The part whose outline is drawn in a file; or why there is none, such as another number of
/// outlines than one.
fn traced(entry: &TracingEntry, folder: &Path, key: &str) -> Result<Traced, Diagnostic> {
    let Outlines { contours, warnings } = entry.outlines(folder, key)?;
    match contours.as_slice() {
        [only] => Ok(Traced::new(only, &entry.file, warnings)),
        many => {
            Err(Diagnostic::error(format!("a part has one outline, and {} are drawn", many.len()))
                .key(format!("{key}.file"))
                .help("put the part's outline on a layer of its own, and name that as `layer`"))
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
    /// A moulding along a path.
    Moulding(Box<Moulding>),
    /// A carved panel.
    Panel(Panel),
    /// A pattern for the router, beside a curved part.
    Template(Template),
    /// A part of any outline.
    Traced(Traced),
}

impl Shape {
    fn moulding(moulding: Moulding) -> Shape {
        Shape::Moulding(Box::new(moulding))
    }

    /// The same, divided for boards of this length if it is made up of segments.
    #[must_use]
    pub(super) fn fitted(self, board: f64) -> Shape {
        match self {
            Shape::Moulding(moulding) => Shape::Moulding(Box::new(moulding.fitted(board))),
            other => other,
        }
    }

    /// The outline in plan in the part's own frame, its lower left corner at the origin.
    #[must_use]
    pub fn contour(&self) -> Contour {
        match self {
            Shape::Cap(cap) => cap.contour(),
            Shape::Board(board) => board.contour(),
            Shape::Moulding(moulding) => moulding.contour(),
            Shape::Panel(panel) => panel.contour(),
            Shape::Template(template) => template.contour.clone(),
            Shape::Traced(traced) => traced.outline.clone(),
        }
    }

    /// Its extent on the table, along x and y, mm.
    #[must_use]
    pub fn size(&self) -> [f64; 2] {
        match self {
            Shape::Cap(cap) => [cap.front.chord, cap.centre_depth()],
            Shape::Board(board) => [board.length, board.width],
            Shape::Moulding(moulding) => moulding.size(),
            Shape::Panel(panel) => [panel.board.length, panel.board.width],
            Shape::Traced(traced) => {
                let figures = traced.figures();
                [figures.length, figures.width]
            }
            Shape::Template(template) => {
                let figures = template.figures();
                [figures.length, figures.width]
            }
        }
    }
}
