//! A whole header over a cased opening, as it is measured and chosen.

mod bowed;
mod mill;
mod milled;
mod molding;
mod resolve;

pub use bowed::Bend;
pub use mill::{Make, MillEntry};
pub(super) use milled::roles as milled_roles;
pub(super) use resolve::CAP_KEY;
pub use resolve::Header;

use super::{OnTable, Stock, TracingEntry};
use crate::geometry::profile::Element;
use crate::layout::bend::{Finish, USUAL_SHARE};
use crate::layout::cut_list;
use crate::units::{Angle, Length};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How far the cap's front rises.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum RiseEntry {
    /// As far as it must.
    Word(LeastRise),
    /// So far.
    Length(Length),
}

/// The rise that is found, not given.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum LeastRise {
    /// The least that covers the break.
    Least,
}

/// A header over a cased opening. Without `rise` and `radius` the cap's front has the least rise
/// that covers the break.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct HeaderEntry {
    /// Over the casings, outer edge to outer edge.
    pub cased_width: Length,
    /// Rise of the cap's front over the line between its corners, or `least`: the least that covers.
    #[serde(default)]
    pub rise: Option<RiseEntry>,
    /// Radius of the cap's front, instead of its rise.
    #[serde(default)]
    pub radius: Option<Length>,
    /// Rises to print a table of, to choose from by eye; without it the least one and round ones
    /// above it. The chosen rise has its row in either.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(min = 1, max = 50))]
    pub rises: Vec<Length>,
    /// Floor to the top of the opening; published proportions are offered from it.
    #[serde(default)]
    pub door_height: Option<Length>,
    /// The flat board above the casing.
    pub frieze: FriezeEntry,
    /// The raised panel on the frieze, under the break of the bed mould.
    #[serde(default)]
    pub panel: Option<PanelEntry>,
    /// The moulding under the cap.
    pub bed_mold: BedMoldEntry,
    /// The cap's board.
    pub corona: CoronaEntry,
    /// The moulding round the cap's edge.
    #[serde(default)]
    pub cymatium: Option<CymatiumEntry>,
    /// How far the cap's board stands beyond the bed mould.
    pub overhang: OverhangEntry,
    /// Moulding sticks on hand; pieces are nested in those of their kind.
    #[serde(default)]
    pub stick: Vec<StickEntry>,
    /// The saw that cuts the sticks and the kerfs.
    #[serde(default)]
    pub saw: SawEntry,
    /// How the cymatium may go round the front.
    #[serde(default)]
    pub bend: BendEntry,
}

/// The frieze's board, and how the table cuts it where it has a stock of its own.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(deny_unknown_fields)]
pub struct FriezeEntry {
    /// Height, up to the cap's underside; without it heights are offered from `door-height`.
    #[serde(default)]
    pub height: Option<Length>,
    /// Thickness.
    pub thickness: Length,
    /// How far each end stands back from the casing's outer edge; negative beyond it.
    #[serde(default)]
    pub reveal: Length,
    /// How it lies on the table and is cut out.
    #[serde(flatten)]
    pub table: OnTable,
}

/// The panel on the frieze, and how the table cuts it where it has a stock of its own.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(deny_unknown_fields)]
pub struct PanelEntry {
    /// Width along the wall.
    pub width: Length,
    /// Height, down from the cap's underside.
    pub height: Length,
    /// Thickness on top of the frieze.
    pub thickness: Length,
    /// Its middle to the right of the opening's centre line; negative to the left.
    #[serde(default)]
    pub offset: Length,
    /// How it lies on the table and is cut out.
    #[serde(flatten)]
    pub table: OnTable,
}

/// The bed mould: its elements, its tracing, or its height and projection as measured.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct BedMoldEntry {
    /// The profile's elements, the lowest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(min = 1, max = 100))]
    pub element: Vec<Element>,
    /// Its tracing, instead of elements.
    #[serde(default)]
    pub profile: Option<TracingEntry>,
    /// Wood behind the lowest inner end of the elements.
    #[serde(default)]
    pub back: Option<Length>,
    /// Height, without elements.
    #[serde(default)]
    pub height: Option<Length>,
    /// Greatest projection from the face it is fixed to, without elements.
    #[serde(default)]
    pub projection: Option<Length>,
    /// Angle between its back and the wall, if it stands sprung: height or projection follows, or
    /// both from elements or a tracing, which then show it lying flat on its back.
    #[serde(default)]
    pub spring: Option<Angle>,
    /// Whether it stands sprung across its height and projection, which give the angle.
    #[serde(default)]
    pub sprung: bool,
    /// How the table mills its pieces, mitred, where it is to; without it they are sawn from
    /// sticks.
    #[serde(default)]
    pub straight: Option<MillEntry>,
}

/// The cap's board, and how the table cuts it where there is a stock for it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(deny_unknown_fields)]
pub struct CoronaEntry {
    /// Thickness.
    pub thickness: Length,
    /// How it lies on the table and is cut out.
    #[serde(flatten)]
    pub table: OnTable,
}

/// The moulding round the cap's edge: its elements, its tracing, or its height and thickness as
/// measured.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct CymatiumEntry {
    /// The profile's elements, the lowest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(min = 1, max = 100))]
    pub element: Vec<Element>,
    /// Its tracing, instead of elements.
    #[serde(default)]
    pub profile: Option<TracingEntry>,
    /// Wood behind the lowest inner end of the elements.
    #[serde(default)]
    pub back: Option<Length>,
    /// Height, without elements.
    #[serde(default)]
    pub height: Option<Length>,
    /// Thickness, which is its projection from the cap's edge, without elements.
    #[serde(default)]
    pub thickness: Option<Length>,
    /// Angle between its back and the cap's edge, if it stands sprung: height or thickness follows,
    /// or both from elements or a tracing, which then show it lying flat on its back.
    #[serde(default)]
    pub spring: Option<Angle>,
    /// Whether it stands sprung across its height and thickness, which give the angle.
    #[serde(default)]
    pub sprung: bool,
    /// How its bowed front is made; as bending advises without it.
    #[serde(default)]
    pub make: Option<Make>,
    /// How the table mills the bowed front; its stock is the best board on hand without one.
    #[serde(default)]
    pub front: Option<MillEntry>,
    /// How the table mills the returns, mitred, where it is to; without it they are sawn from
    /// sticks.
    #[serde(default)]
    pub straight: Option<MillEntry>,
}

/// How far the cap's board stands beyond the bed mould.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct OverhangEntry {
    /// At each end.
    pub ends: Length,
    /// In front, at the cap's corners.
    pub front: Length,
    /// Least distance from the break's outer corners to the front.
    #[serde(rename = "break")]
    pub at_break: Length,
}

/// Sticks of one length.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct StickEntry {
    /// Which moulding they are.
    pub of: StickOf,
    /// Length of each.
    pub length: Length,
    /// How many; as many as are wanted without it.
    #[serde(default)]
    #[schemars(range(min = 1, max = 1000))]
    pub count: Option<u32>,
}

/// Which moulding a stick is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum StickOf {
    /// Bed mould.
    BedMold,
    /// The cap's moulding.
    Cymatium,
}

impl StickOf {
    /// Both kinds.
    pub const ALL: [StickOf; 2] = [StickOf::BedMold, StickOf::Cymatium];

    /// The stock of the cut list that comes out of it.
    #[must_use]
    pub fn stock(self) -> cut_list::Stock {
        match self {
            StickOf::BedMold => cut_list::Stock::BedMold,
            StickOf::Cymatium => cut_list::Stock::CapMold,
        }
    }

    /// As a person calls it.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            StickOf::BedMold => "bed mould",
            StickOf::Cymatium => "cap moulding",
        }
    }
}

/// The saw.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
pub struct SawEntry {
    /// Width of its cut.
    pub kerf: Length,
    /// Cut off each stick before it counts: rough ends.
    pub trim: Length,
}

impl Default for SawEntry {
    fn default() -> SawEntry {
        // A full-kerf blade cuts 1/8 in (common practice).
        SawEntry { kerf: Length(3.175), trim: Length(0.0) }
    }
}

/// How the cymatium may go round the front.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
pub struct BendEntry {
    /// Share of the wood's breaking strain that bending may use.
    #[schemars(range(min = 0.05, max = 1.0))]
    pub share: f64,
    /// Uncut wood over saw kerfs; 1/8 in without it.
    pub skin: Option<Length>,
    /// The best board on hand to mill the curve from.
    pub board: Option<Stock>,
    /// How it is finished.
    pub finish: Finish,
}

impl Default for BendEntry {
    fn default() -> BendEntry {
        BendEntry { share: USUAL_SHARE, skin: None, board: None, finish: Finish::Paint }
    }
}
