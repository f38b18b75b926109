//! Cutters.

use crate::units::{Angle, Length};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// One cutter of the table.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Cutter {
    /// Its number, as in T and M6.
    #[schemars(range(min = 1, max = 9999))]
    pub number: u32,
    /// What the shop calls it.
    #[serde(default)]
    pub name: String,
    /// The form of its end.
    pub shape: CutterShape,
    /// Diameter over the flutes (at the top of the cone for V and taper-ball).
    pub diameter: Length,
    /// Number of cutting edges.
    #[schemars(range(min = 1, max = 12))]
    pub flutes: u32,
    /// Length of the cutting edges along the axis.
    pub flute_length: Length,
    /// From the holder's face to the tip.
    pub stick_out: Length,
    /// Diameter of the collet nut or holder.
    pub holder_diameter: Length,
    /// Bull-nose: radius of the corner.
    #[serde(default)]
    pub corner_radius: Length,
    /// V and taper-ball: full angle of the cone. Drill: full angle of the point.
    #[serde(default)]
    pub included_angle: Angle,
    /// V: width of the flat tip. Taper-ball: diameter of the ball.
    #[serde(default)]
    pub tip_diameter: Length,
    /// Whether its edges reach the axis, so that it can go straight down.
    #[serde(default)]
    pub centre_cutting: bool,
    /// The speed marked on it: never more.
    #[schemars(range(min = 1.0))]
    pub max_rpm: f64,
    /// What its edges are made of.
    #[serde(default)]
    pub material: CutterMaterial,
}

/// The form of a cutter's end.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum CutterShape {
    /// Square end.
    Flat,
    /// Half ball.
    Ball,
    /// Flat with rounded corners.
    BullNose,
    /// Cone.
    V,
    /// Ball at the end of a slender cone.
    TaperBall,
    /// Twist or brad-point drill: goes straight down only.
    Drill,
}

/// What a cutter's edges are made of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum CutterMaterial {
    /// Solid or tipped carbide.
    #[default]
    Carbide,
    /// High-speed steel: half the rim speed of carbide (common practice).
    Hss,
}

impl Cutter {
    /// Half the diameter.
    #[must_use]
    pub fn radius(&self) -> f64 {
        self.diameter.0 / 2.0
    }

    /// `cutter 1, 1/4 in two-flute` or `cutter 1` without a name.
    #[must_use]
    pub fn title(&self) -> String {
        match self.name.as_str() {
            "" => format!("cutter {}", self.number),
            name => format!("cutter {}, {name}", self.number),
        }
    }
}
