//! The border of a panel, stage by stage from the edge inwards.

use super::checks::Checks;
use crate::diagnostic::Diagnostic;
use crate::geometry::profile::{Moulding, Profile};
use crate::relief::Stage;
use crate::units::{Length, Shown};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// One stage of a border.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "stage", rename_all = "kebab-case", deny_unknown_fields)]
pub enum BorderShape {
    /// A level strip: a frame's face, a fillet.
    Level {
        /// Its width.
        width: Length,
    },
    /// An upright step.
    Step {
        /// How far down; negative: up.
        drop: Length,
    },
    /// A straight slope: the bevel of a fielded panel.
    Bevel {
        /// Its width in plan.
        width: Length,
        /// How far down; negative: up.
        drop: Length,
    },
    /// A moulding that falls inwards: its elements, the lowest and innermost first; `height` is
    /// then the width in plan, `projection` how far it rises.
    Moulding(Moulding),
}

impl BorderShape {
    /// The stage. `key` is where it stands in the job file.
    pub(super) fn resolve(&self, key: &str, shown: Shown) -> Result<Stage, Vec<Diagnostic>> {
        let mut checks = Checks::new(key, shown);
        let stage = match self {
            BorderShape::Level { width } => {
                checks.positive("width", width.0);
                Stage::Level { width: width.0 }
            }
            BorderShape::Step { drop } => Stage::Step { drop: drop.0 },
            BorderShape::Bevel { width, drop } => {
                checks.positive("width", width.0);
                Stage::Bevel { width: width.0, drop: drop.0 }
            }
            BorderShape::Moulding(moulding) => Stage::Moulding(Profile::build(moulding, key)?),
        };
        if checks.found.is_empty() { Ok(stage) } else { Err(checks.found) }
    }
}
