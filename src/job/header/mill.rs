//! How the mouldings of a header are made: milled on the table, bent, or bought.

use crate::geometry::profile;
use crate::job::OnTable;
use crate::part::{MouldingCut, MouldingShape, PathShape, Pose};
use crate::units::Angle;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How the bowed moulding of a cap is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Make {
    /// The table mills it from the solid.
    Mill,
    /// It is bent, kerfed or glued up by hand.
    Bend,
    /// It comes ready made.
    Buy,
}

/// How the table mills a moulding of a header: what a moulding that is a part of its own is asked,
/// besides its profile and what it follows.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(deny_unknown_fields)]
pub struct MillEntry {
    /// How it lies on its top or its bottom: its mitres are cut in the plane of the table.
    #[serde(default)]
    pub pose: Option<Pose>,
    /// How it is cut.
    #[serde(flatten)]
    pub cut: MouldingCut,
    /// Greatest angle at which a segment of a bowed one may run off the grain; 15 degrees without
    /// it.
    #[serde(default)]
    pub run_out: Option<Angle>,
    /// How it lies on the table and is cut out.
    #[serde(flatten)]
    pub table: OnTable,
}

impl MillEntry {
    /// How it lies; top down unless it says otherwise.
    pub(super) fn pose(&self) -> Pose {
        self.pose.unwrap_or(Pose::TopDown)
    }

    /// The same as somebody would write it for a part of its own, its profile apart.
    pub(super) fn shape(&self, path: PathShape, mitres: [f64; 2]) -> MouldingShape {
        let usual = MouldingShape::new(profile::Moulding::default(), path);
        MouldingShape {
            pose: Some(self.pose()),
            cut: self.cut.clone(),
            mitre_left: Angle(mitres[0]),
            mitre_right: Angle(mitres[1]),
            run_out: self.run_out.unwrap_or(usual.run_out),
            ..usual
        }
    }
}
