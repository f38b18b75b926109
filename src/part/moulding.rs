//! A moulding along a path, milled from the solid: a bed mould round a bowed cap, an arched band.

mod arcs;
mod joint;
mod made;
mod path;
mod resolve;
mod section;
mod segments;

pub use joint::{JointShape, Key};
pub use made::{Moulding, MouldingFigures};
pub use path::{Grows, LegShape, PathShape, StraightShape};
pub use section::ProfileShape;
pub use segments::Segment;

use crate::units::{Angle, Length};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How a moulding lies on the table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Pose {
    /// On its back, the face up.
    BackDown,
    /// On its top, upside down: the usual way for a moulding that steps out as it rises.
    TopDown,
    /// On its bottom, upright.
    BottomDown,
}

impl Pose {
    /// All of them.
    pub const ALL: [Pose; 3] = [Pose::BackDown, Pose::TopDown, Pose::BottomDown];

    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Pose::BackDown => "back down",
            Pose::TopDown => "top down",
            Pose::BottomDown => "bottom down",
        }
    }
}

/// In which order and direction finishing passes run.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum PassOrder {
    /// To and fro, each pass joined to the next.
    #[default]
    BothWays,
    /// Each half from the middle down to its end, with the fibres; the cutter lifts between.
    Downhill,
}

/// A moulding along a path.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(deny_unknown_fields)]
pub struct MouldingShape {
    /// Its section: elements from the bottom up or a tracing, and the wood behind them.
    pub profile: ProfileShape,
    /// What it follows.
    pub path: PathShape,
    /// How it lies on the table; a bed mould top down, any other back down without it.
    #[serde(default)]
    pub pose: Option<Pose>,
    /// How it is cut.
    #[serde(flatten)]
    pub cut: MouldingCut,
    /// How far its left end leans from square, in the plane of the table: positive where the
    /// moulding grows longer away from the path.
    #[serde(default)]
    pub mitre_left: Angle,
    /// The same of its right end.
    #[serde(default)]
    pub mitre_right: Angle,
    /// Its left end goes round a corner of this angle and back to the wall, returned in the
    /// solid; the wall is at the path's end. 90 degrees is square.
    #[serde(default)]
    pub return_left: Option<Angle>,
    /// The same of its right end.
    #[serde(default)]
    pub return_right: Option<Angle>,
    /// How its segments meet; butted square without it.
    #[serde(default)]
    pub joint: JointShape,
    /// Greatest angle at which a segment may run off the grain.
    #[serde(default = "default_run_out")]
    pub run_out: Angle,
}

/// How the table mills a moulding.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub struct MouldingCut {
    /// Height of the ridges that finishing may leave between its passes.
    #[serde(default = "default_scallop")]
    pub scallop: Length,
    /// Wood that roughing leaves on the face for finishing.
    #[serde(default = "default_allowance")]
    pub allowance: Length,
    /// Number of the cutter that roughs; chosen from the shop's without it.
    #[serde(default)]
    pub rough: Option<u32>,
    /// Numbers of the cutters that finish, in their order; chosen from the shop's without it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub finish: Vec<u32>,
    /// Which way finishing passes run.
    #[serde(default)]
    pub passes: PassOrder,
    /// How many segments make it up; as few as board and grain allow without it.
    #[serde(default)]
    #[schemars(range(min = 1, max = 24))]
    pub segments: Option<u32>,
}

impl Default for MouldingCut {
    fn default() -> MouldingCut {
        MouldingCut {
            scallop: default_scallop(),
            allowance: default_allowance(),
            rough: None,
            finish: Vec::new(),
            passes: PassOrder::default(),
            segments: None,
        }
    }
}

fn default_scallop() -> Length {
    // Sands away with one grit (common practice).
    Length(0.03)
}

fn default_allowance() -> Length {
    // Finishing sweeps leave 0.5 to 1 mm (common practice).
    Length(0.8)
}

fn default_run_out() -> Angle {
    // A half circle of three segments runs 30 degrees off the grain at most (common practice).
    Angle(30.5_f64.to_radians())
}

impl MouldingShape {
    /// As usual in everything but profile and path.
    #[must_use]
    pub fn new(profile: impl Into<ProfileShape>, path: PathShape) -> MouldingShape {
        MouldingShape {
            profile: profile.into(),
            path,
            pose: None,
            cut: MouldingCut::default(),
            mitre_left: Angle(0.0),
            mitre_right: Angle(0.0),
            return_left: None,
            return_right: None,
            joint: JointShape::default(),
            run_out: default_run_out(),
        }
    }
}
