//! A part of any outline, from a drawing.

use crate::diagnostic::Diagnostic;
use crate::geometry::{Contour, Point};
use serde::Serialize;

/// A part whose outline was drawn.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Traced {
    /// The outline, counter-clockwise, its lower left corner at the origin.
    pub outline: Contour,
    /// The drawing's file.
    pub file: String,
    /// Where the outline's lower left corner lies in the drawing.
    pub corner: Point,
    /// What was left out of the drawing, and why.
    pub warnings: Vec<Diagnostic>,
}

/// What is asked of a traced part, millimetres.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TracedFigures {
    /// Extent along x.
    pub length: f64,
    /// Extent along y.
    pub width: f64,
    /// Once round.
    pub girth: f64,
    /// Of one face, mm².
    pub area: f64,
    /// Lines of the outline.
    pub lines: usize,
    /// Arcs of the outline.
    pub arcs: usize,
}

impl Traced {
    /// A part of a closed outline, wherever that lies in its drawing.
    #[must_use]
    pub fn new(outline: &Contour, file: &str, warnings: Vec<Diagnostic>) -> Traced {
        let corner = outline.bounds().map_or(Point::default(), |(low, _)| low);
        Traced { outline: outline.moved(-corner), file: file.to_string(), corner, warnings }
    }

    /// All that is asked of it.
    #[must_use]
    pub fn figures(&self) -> TracedFigures {
        let (low, high) = self.outline.bounds().unwrap_or_default();
        let arcs = self.outline.pieces().filter(crate::geometry::Piece::is_arc).count();
        TracedFigures {
            length: high.x - low.x,
            width: high.y - low.y,
            girth: self.outline.length(),
            area: self.outline.area(),
            lines: self.outline.pieces().count() - arcs,
            arcs,
        }
    }
}
