//! The machine as its owner knows it.

use crate::units::{Feed, Length};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What the machine can do. Lists of three are x, y, z.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Machine {
    /// What the shop calls it.
    pub name: String,
    /// How far each axis travels.
    pub travel: [Length; 3],
    /// Height above the stock's top at which the cutter may travel freely.
    pub safe_height: Length,
    /// Fastest traverse of each axis.
    pub rapid: [Feed; 3],
    /// Fastest cutting feed of each axis.
    pub max_feed: [Feed; 3],
    /// Acceleration of each axis, in the file's units per second squared.
    pub acceleration: [Length; 3],
    /// How far the path may leave a corner to keep its speed; used for the time estimate.
    #[serde(default = "default_corner_tolerance")]
    pub corner_tolerance: Length,
    /// How stiff it is: published chip loads are for a stiff machine, a light one takes half.
    #[serde(default)]
    pub rigidity: Rigidity,
    /// The spindle or router motor.
    pub spindle: Spindle,
    /// How cutters are changed.
    pub cutter_change: CutterChange,
    /// How deep the cutter may go into the spoilboard.
    #[serde(default)]
    pub into_spoilboard: Length,
}

fn default_corner_tolerance() -> Length {
    Length(0.05)
}

/// How stiff a machine is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Rigidity {
    /// A light gantry or router table: half the published chip load.
    #[default]
    Light,
    /// An industrial machine: the published chip load.
    Stiff,
}

/// The spindle or router motor.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Spindle {
    /// Slowest speed, turns per minute.
    #[schemars(range(min = 1.0))]
    pub min_rpm: f64,
    /// Fastest speed, turns per minute.
    #[schemars(range(min = 1.0))]
    pub max_rpm: f64,
    /// Power at the cutter, watts.
    #[schemars(range(min = 1.0))]
    pub power: f64,
    /// Seconds from start to full speed.
    #[serde(default = "default_spin_up")]
    #[schemars(range(min = 0.0, max = 120.0))]
    pub spin_up: f64,
    /// For a router with a hand dial: its marks and their speeds. The program then stops for
    /// the operator to set the dial.
    #[serde(default)]
    pub dial: Vec<DialStop>,
}

fn default_spin_up() -> f64 {
    3.0
}

/// One mark of a hand dial.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct DialStop {
    /// What stands on the dial.
    pub mark: String,
    /// Turns per minute there.
    #[schemars(range(min = 1.0))]
    pub rpm: f64,
}

/// How cutters are changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum CutterChange {
    /// The program stops and the operator changes the cutter.
    Manual,
    /// The machine changes it.
    Automatic,
    /// The machine can not stop for a change: each cutter has its own program.
    OnePerProgram,
}

impl Machine {
    /// Fastest feed in the plane of the table, mm/min: the slower of x and y.
    #[must_use]
    pub fn plane_feed(&self) -> f64 {
        self.max_feed[0].0.min(self.max_feed[1].0)
    }
}

impl Spindle {
    /// Slowest speed that can be set, turns per minute: the dial's first mark if it has a dial.
    #[must_use]
    pub fn slowest(&self) -> f64 {
        self.dial.iter().map(|stop| stop.rpm).reduce(f64::min).unwrap_or(self.min_rpm)
    }

    /// Fastest speed that can be set, turns per minute: the dial's last mark if it has a dial.
    #[must_use]
    pub fn fastest(&self) -> f64 {
        self.dial.iter().map(|stop| stop.rpm).reduce(f64::max).unwrap_or(self.max_rpm)
    }
}
