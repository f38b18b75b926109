//! The figures of each kind of part: for the terminal, for the setup sheet, for other programs.

use crate::drawing::{
    Figure, FigureTable, board_figures, cap_figures, cap_text, figures_text, moulding_figures,
    ordinates, template_figures, traced_figures,
};
use crate::job::{Part, Shape};
use crate::units::Shown;
use serde_json::{Value, json};

/// The kind's word in the job file.
#[must_use]
fn kind(shape: &Shape) -> &'static str {
    match shape {
        Shape::Cap(_) => "cap",
        Shape::Board(_) => "board",
        Shape::Moulding(_) => "moulding",
        Shape::Panel(_) => "panel",
        Shape::Template(_) => "template",
        Shape::Traced(_) => "traced",
    }
}

/// What the part is and its figures, as text.
#[must_use]
pub fn part_text(part: &Part, shown: Shown) -> String {
    let (what, figures) = match &part.shape {
        Shape::Cap(cap) => ("a cap with an arched front", cap_text(&cap.figures(), shown)),
        Shape::Board(board) => {
            ("a rectangular board", figures_text(&board_figures(&board.figures(), shown)))
        }
        Shape::Moulding(moulding) => {
            ("a moulding along a path", figures_text(&moulding_figures(&moulding.figures(), shown)))
        }
        Shape::Panel(panel) => {
            ("a carved panel", figures_text(&board_figures(&panel.board.figures(), shown)))
        }
        Shape::Traced(traced) => {
            ("a part of a drawn outline", figures_text(&traced_figures(&traced.figures(), shown)))
        }
        Shape::Template(template) => (
            "a pattern for the hand-held router",
            figures_text(&template_figures(&template.figures(), shown)),
        ),
    };
    format!("{}: {what}\n{figures}", part.name)
}

/// The figures for other programs, millimetres and radians.
#[must_use]
pub fn part_json(part: &Part) -> Value {
    let figures = match &part.shape {
        Shape::Cap(cap) => json!(cap.figures()),
        Shape::Board(board) => json!(board.figures()),
        Shape::Moulding(moulding) => json!(moulding.figures()),
        Shape::Panel(panel) => json!(panel.board.figures()),
        Shape::Traced(traced) => json!(traced.figures()),
        Shape::Template(template) => json!({
            "figures": template.figures(),
            "outline": template.contour,
            "edge": template.edge,
        }),
    };
    json!({ "name": part.name, "kind": kind(&part.shape), "figures": figures })
}

/// The figures for the setup sheet.
#[must_use]
pub fn part_table(part: &Part, shown: Shown) -> FigureTable {
    let (figures, ordinates) = match &part.shape {
        Shape::Cap(cap) => {
            let figures = cap.figures();
            (cap_figures(&figures, shown), ordinates(&figures, shown))
        }
        Shape::Board(board) => (board_figures(&board.figures(), shown), Vec::new()),
        Shape::Moulding(moulding) => (moulding_figures(&moulding.figures(), shown), Vec::new()),
        Shape::Panel(panel) => (board_figures(&panel.board.figures(), shown), Vec::new()),
        Shape::Template(template) => (template_figures(&template.figures(), shown), Vec::new()),
        Shape::Traced(traced) => (traced_figures(&traced.figures(), shown), Vec::new()),
    };
    let row = |f: Figure| (f.name.to_string(), f.value);
    FigureTable {
        name: part.name.clone(),
        figures: figures.into_iter().map(row).collect(),
        ordinates,
    }
}
