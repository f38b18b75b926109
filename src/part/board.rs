//! A rectangular board: a frieze, a panel's blank, a bracket's.

use crate::diagnostic::Diagnostic;
use crate::geometry::{Contour, Vertex, point};
use crate::units::{Length, Shown};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A rectangular board, its grain along its length.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(deny_unknown_fields)]
pub struct BoardShape {
    /// Along the grain.
    pub length: Length,
    /// Across the grain.
    pub width: Length,
}

/// A board that can be made.
#[derive(Clone, Debug, PartialEq)]
pub struct Board {
    /// Along the grain, mm.
    pub length: f64,
    /// Across the grain, mm.
    pub width: f64,
}

impl BoardShape {
    /// The board, or why there is none. `key` is where the shape stands in the job file.
    ///
    /// # Errors
    /// A length or width that is not more than zero.
    pub fn resolve(&self, key: &str, shown: Shown) -> Result<Board, Vec<Diagnostic>> {
        let found: Vec<Diagnostic> = [("length", self.length), ("width", self.width)]
            .into_iter()
            .filter(|(_, value)| value.0 <= 0.0)
            .map(|(what, value)| {
                Diagnostic::error(format!("{} is no {what} for a board", shown.one(value.0)))
                    .key(format!("{key}.{what}"))
                    .help("more than zero")
            })
            .collect();
        if found.is_empty() {
            Ok(Board { length: self.length.0, width: self.width.0 })
        } else {
            Err(found)
        }
    }
}

/// What is asked of a board, millimetres.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BoardFigures {
    /// Along the grain.
    pub length: f64,
    /// Across the grain.
    pub width: f64,
    /// Corner to opposite corner: equal both ways when the board is square.
    pub diagonal: f64,
    /// Of one face, mm².
    pub area: f64,
}

impl Board {
    /// The outline, counter-clockwise from the origin.
    #[must_use]
    pub fn contour(&self) -> Contour {
        let corners =
            [(0.0, 0.0), (self.length, 0.0), (self.length, self.width), (0.0, self.width)];
        let vertices =
            corners.into_iter().map(|(x, y)| Vertex { at: point(x, y), bulge: 0.0 }).collect();
        Contour { vertices, closed: true }
    }

    /// All that is asked of it.
    #[must_use]
    pub fn figures(&self) -> BoardFigures {
        BoardFigures {
            length: self.length,
            width: self.width,
            diagonal: self.length.hypot(self.width),
            area: self.length * self.width,
        }
    }
}
