//! The stock on the table: how large, held how, zeroed where.

use crate::diagnostic::Diagnostic;
use crate::shop::Clamp;
use crate::units::Length;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The board as it lies on the table, its grain along x.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Stock {
    /// Along x, along the grain.
    pub length: Length,
    /// Along y.
    pub width: Length,
    /// Up.
    pub thickness: Length,
}

/// What keeps stock, part and waste where they are.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Hold {
    /// Bridges of wood left between part and waste.
    #[serde(default)]
    pub tabs: Option<Tabs>,
    /// Thickness of an onion skin left under the whole cut.
    #[serde(default)]
    pub skin: Option<Length>,
    /// Screws through the stock into the spoilboard.
    #[serde(default)]
    pub screws: Vec<Screw>,
    /// What holds the whole underside, part included.
    #[serde(default)]
    pub bed: Option<Bed>,
    /// Clamps on this stock, besides the shop's.
    #[serde(default)]
    pub clamps: Vec<Clamp>,
}

impl Hold {
    /// Clamps and screws that can not be; `key` is where the table stands.
    pub(super) fn problems(&self, key: &str) -> Vec<Diagnostic> {
        let clamps = self.clamps.iter().enumerate();
        let clamps = clamps.filter_map(|(i, c)| c.problem(&format!("{key}.clamps[{}]", i + 1)));
        let screws = self.screws.iter().enumerate().filter(|(_, s)| s.diameter.0 <= 0.0);
        let screws = screws.map(|(i, _)| {
            Diagnostic::error("a screw's head has a diameter of more than zero")
                .key(format!("{key}.screws[{}].diameter", i + 1))
                .help("measure the head, or the washer under it")
        });
        clamps.chain(screws).collect()
    }
}

/// Bridges of wood left between part and waste.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Tabs {
    /// How many.
    #[schemars(range(min = 1, max = 100))]
    pub count: u32,
    /// Length of each along the edge, at its top.
    pub width: Length,
    /// Height of each above the underside of the stock.
    pub height: Length,
}

/// A screw through the stock, kept clear of by the cutter.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Screw {
    /// Its middle, x and y from the stock's front left corner.
    pub at: [Length; 2],
    /// Diameter of its head or washer.
    pub diameter: Length,
    /// How far its head stands above the stock's top; zero if sunk level.
    #[serde(default)]
    pub proud: Length,
}

/// What holds the whole underside.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Bed {
    /// Double-sided tape under part and waste.
    Tape,
    /// A vacuum table or pods.
    Vacuum,
}

/// Where the work zero is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
pub struct Zero {
    /// In plan: a corner of the stock or its middle.
    pub corner: ZeroCorner,
    /// In height.
    pub height: ZeroHeight,
}

/// The work zero in plan, as the operator at the front of the table sees the stock.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ZeroCorner {
    /// Least x, least y.
    #[default]
    FrontLeft,
    /// Greatest x, least y.
    FrontRight,
    /// Least x, greatest y.
    BackLeft,
    /// Greatest x, greatest y.
    BackRight,
    /// The middle of the stock.
    Middle,
}

/// The work zero in height.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ZeroHeight {
    /// The stock's top.
    #[default]
    Top,
    /// The table that the stock lies on.
    Table,
}

/// Stock, hold and zero of one part, with the job's defaults filled in.
#[derive(Clone, Debug, PartialEq)]
pub struct Placing {
    /// The board.
    pub stock: Stock,
    /// What holds it.
    pub hold: Hold,
    /// Where the zero is.
    pub zero: Zero,
}

impl Placing {
    /// The work zero, measured from the stock's front left corner and its top: what is taken
    /// off stock coordinates to get work coordinates.
    #[must_use]
    pub fn zero_in_stock(&self) -> crate::geometry::Point3 {
        let (l, w) = (self.stock.length.0, self.stock.width.0);
        let (x, y) = match self.zero.corner {
            ZeroCorner::FrontLeft => (0.0, 0.0),
            ZeroCorner::FrontRight => (l, 0.0),
            ZeroCorner::BackLeft => (0.0, w),
            ZeroCorner::BackRight => (l, w),
            ZeroCorner::Middle => (l / 2.0, w / 2.0),
        };
        let z = match self.zero.height {
            ZeroHeight::Top => 0.0,
            ZeroHeight::Table => -self.stock.thickness.0,
        };
        crate::geometry::point3(x, y, z)
    }

    /// The stock in work coordinates.
    #[must_use]
    pub fn stock_box(&self) -> crate::geometry::Box3 {
        use crate::geometry::{Box3, point3};
        let (l, w, t) = (self.stock.length.0, self.stock.width.0, self.stock.thickness.0);
        let zero = self.zero_in_stock();
        Box3 { min: point3(0.0, 0.0, -t) - zero, max: point3(l, w, 0.0) - zero }
    }
}
