//! Clamps and other things in the cutter's way.

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
