//! Clamps and other things in the cutter's way.

use crate::diagnostic::Diagnostic;
use crate::units::Length;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A box that neither cutter nor holder may enter. Measured from the stock's front left corner
/// (least x, least y) and, in height, from the table that the stock lies on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Clamp {
    /// What it is, for messages and pictures.
    pub name: String,
    /// One corner, x and y.
    pub from: [Length; 2],
    /// The opposite corner, x and y.
    pub to: [Length; 2],
    /// Its top above the table.
    pub height: Length,
}

impl Clamp {
    /// What is wrong with it, if anything; `key` is where it stands in its file.
    pub(crate) fn problem(&self, key: &str) -> Option<Diagnostic> {
        let flat = (0..2).any(|i| (self.from[i].0 - self.to[i].0).abs() < 1e-6);
        let message = match (flat, self.height.0 <= 0.0) {
            (true, _) => format!("the clamp `{}` has no size in plan", self.name),
            (false, true) => format!("the clamp `{}` has no height", self.name),
            (false, false) => return None,
        };
        Some(
            Diagnostic::error(message)
                .key(key)
                .help("`from` and `to` are opposite corners, `height` is its top above the table"),
        )
    }
}
