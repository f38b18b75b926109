//! Figures that overrule the table's.

use crate::units::{Angle, Feed, Length};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Figures that overrule the table's; what is left out is left to the table.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
pub struct Overrides {
    /// Depth of one pass.
    pub stepdown: Option<Length>,
    /// Width of one pass when clearing.
    pub stepover: Option<Length>,
    /// Spindle speed, turns per minute.
    #[schemars(range(min = 1.0))]
    pub rpm: Option<f64>,
    /// Chip load per tooth.
    pub chip_load: Option<Length>,
    /// Feed along the path.
    pub feed: Option<Feed>,
    /// Feed straight down.
    pub plunge: Option<Feed>,
    /// Steepest ramp into the work, from level.
    pub ramp_angle: Option<Angle>,
}

impl Overrides {
    /// These figures, and `other`'s where these have none.
    #[must_use]
    pub fn or(&self, other: &Overrides) -> Overrides {
        Overrides {
            stepdown: self.stepdown.or(other.stepdown),
            stepover: self.stepover.or(other.stepover),
            rpm: self.rpm.or(other.rpm),
            chip_load: self.chip_load.or(other.chip_load),
            feed: self.feed.or(other.feed),
            plunge: self.plunge.or(other.plunge),
            ramp_angle: self.ramp_angle.or(other.ramp_angle),
        }
    }
}
