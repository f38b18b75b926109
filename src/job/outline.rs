//! How an outline is to be cut.

use crate::units::Length;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How an outline is to be cut.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
pub struct OutlineCut {
    /// Number of the cutter in the shop's table. Without it cutter 1, or where that does not reach
    /// down, the narrowest that does.
    pub cutter: Option<u32>,
    /// On which side of the line the cutter runs.
    pub side: Side,
    /// Which way round: climb turns the cutter's edge into the wood, conventional out of it.
    pub milling: Milling,
    /// How the cutter goes down into the wood.
    pub entry: Entry,
    /// Wood that roughing leaves on the edge for the finishing pass.
    pub allowance: Length,
    /// How the finishing pass runs.
    pub finish: Finish,
    /// How deep to cut, from the stock's top; all through without it.
    pub depth: Option<Length>,
    /// How far below the stock a cut all through goes, into the spoilboard.
    pub overcut: Length,
}

impl Default for OutlineCut {
    fn default() -> OutlineCut {
        OutlineCut {
            cutter: None,
            side: Side::Outside,
            milling: Milling::Climb,
            entry: Entry::Ramp,
            // Finishing sweeps leave 0.5 to 1 mm (common practice).
            allowance: Length(0.8),
            finish: Finish::Downhill,
            depth: None,
            overcut: Length(0.3),
        }
    }
}

/// On which side of the line the cutter runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Side {
    /// Round the part: the part is what stays inside the line.
    Outside,
    /// Within the line: an opening.
    Inside,
    /// The cutter's centre follows the line.
    On,
}

/// Which way the cutter goes round.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Milling {
    /// The edge meets the wood from outside and leaves at the finished face.
    Climb,
    /// The edge starts at the finished face and leaves outward.
    Conventional,
}

/// How the cutter goes down into the wood.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Entry {
    /// Down a slope along the outline, then on at depth.
    Ramp,
    /// Down evenly over a whole round of the outline, then a level round.
    Helix,
    /// Straight down: only for a centre-cutting cutter.
    Plunge,
}

/// How the finishing pass runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Finish {
    /// Each half of an arch from its crown down to its end, so that the cutter goes with the
    /// fibres that run out of the edge; the rest of the outline as `milling` says.
    Downhill,
    /// Once round, as `milling` says.
    Around,
    /// No finishing pass: the allowance stays on, to be planed or sanded off.
    None,
}
