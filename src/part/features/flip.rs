//! Turning a board over between two setups.

use crate::diagnostic::Diagnostic;
use crate::units::{Length, Shown};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How a board is turned over: about a middle line of the stock, onto pins that stand on that
/// line, so that both faces share one work zero.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Flip {
    /// The middle line that it is turned about.
    pub axis: FlipAxis,
    /// Where the locating pins stand: distances along the middle line from the stock's front
    /// left corner.
    #[serde(default)]
    pub pins: Vec<Length>,
    /// Diameter of the pins.
    #[serde(default = "pin_diameter")]
    pub pin_diameter: Length,
    /// Number of the cutter for their holes, as for holes.
    #[serde(default)]
    pub cutter: Option<u32>,
}

fn pin_diameter() -> Length {
    // A common size of dowel (common practice).
    Length(6.0)
}

/// A middle line of the stock.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum FlipAxis {
    /// Along x: the far long side comes towards you.
    X,
    /// Along y: the right end goes to the left.
    Y,
}

impl Flip {
    pub(super) fn problems(&self, key: &str, shown: Shown) -> Vec<Diagnostic> {
        let mut found = Vec::new();
        if self.pins.len() == 1 {
            found.push(
                Diagnostic::error("a board turns about one pin")
                    .key(format!("{key}.pins"))
                    .help("give two or more, far apart; or none, and keep its place by a fence"),
            );
        }
        if self.pin_diameter.0 <= 0.0 {
            found.push(
                Diagnostic::error(format!("{} can not be", shown.one(self.pin_diameter.0)))
                    .key(format!("{key}.pin-diameter"))
                    .help("more than zero"),
            );
        }
        found
    }
}
