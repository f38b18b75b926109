//! How a part lies on the table and is cut out: what every kind of part is asked.

use super::{Hold, OutlineCut, Stock, TemplateEntry, Zero};
use crate::part::features::FeaturesShape;
use crate::shop::Overrides;
use crate::units::Length;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How a part lies on the table and is cut out.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub struct OnTable {
    /// Names the part's program: letters, digits and hyphens. The kind serves without it.
    #[serde(default)]
    pub name: Option<String>,
    /// Its own board.
    #[serde(default)]
    pub stock: Option<Stock>,
    /// What holds its board.
    #[serde(default)]
    pub hold: Option<Hold>,
    /// Its own work zero.
    #[serde(default)]
    pub zero: Option<Zero>,
    /// Where the part's lower left corner lies on the stock, x and y from the stock's front
    /// left corner; in the middle of the stock without it.
    #[serde(default)]
    pub at: Option<[Length; 2]>,
    /// How its outline is cut.
    #[serde(default)]
    pub outline: OutlineCut,
    /// Feeds, speeds and depths for this part.
    #[serde(default)]
    pub feeds: Overrides,
    /// A pattern for cutting its curved edge with a hand-held router instead.
    #[serde(default)]
    pub template: Option<TemplateEntry>,
    /// What is cut into its faces.
    #[serde(flatten)]
    pub features: FeaturesShape,
}
