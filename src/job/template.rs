//! A router template beside a curved part, as a job asks for it.

use super::{Hold, OnTable, OutlineCut, Shape, Stock, Zero};
use crate::diagnostic::Diagnostic;
use crate::part::{Guide, Template};
use crate::shop::Overrides;
use crate::units::{Length, Shown};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A pattern for the hand-held router, cut from a board of its own.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct TemplateEntry {
    /// Outer diameter of the router's guide bush.
    pub bush: Length,
    /// Diameter of the router's bit.
    pub bit: Length,
    /// What the pattern is made of.
    #[serde(default = "usual_species")]
    pub species: String,
    /// Its board.
    pub stock: Stock,
    /// What holds its board; as the job's without it.
    #[serde(default)]
    pub hold: Option<Hold>,
    /// Its own work zero.
    #[serde(default)]
    pub zero: Option<Zero>,
    /// Where its lower left corner lies on the board; in the middle without it.
    #[serde(default)]
    pub at: Option<[Length; 2]>,
    /// How its outline is cut.
    #[serde(default)]
    pub outline: OutlineCut,
    /// Feeds, speeds and depths for it.
    #[serde(default)]
    pub feeds: Overrides,
}

fn usual_species() -> String {
    "mdf".to_string()
}

impl TemplateEntry {
    /// The patterns for a part; `key` is where this stands in the job file.
    pub(super) fn resolve(
        &self,
        of: &Shape,
        key: &str,
        shown: Shown,
    ) -> Result<Vec<Shape>, Vec<Diagnostic>> {
        let guide = Guide { bush: self.bush.0, bit: self.bit.0 };
        let all = Template::of(&of.contour(), guide, key, shown).map_err(|one| vec![one])?;
        Ok(all.into_iter().map(Shape::Template).collect())
    }

    /// How one named `name` lies on the table.
    pub(super) fn on_table(&self, name: String) -> OnTable {
        OnTable {
            name: Some(name),
            stock: Some(self.stock),
            hold: self.hold.clone(),
            zero: self.zero,
            at: self.at,
            outline: self.outline.clone(),
            feeds: self.feeds,
            ..OnTable::default()
        }
    }
}
