//! Pockets and recesses with islands.

use super::area::{Area, Islands};
use super::{AreaShape, Board, EdgeSide, Face, Open};
use crate::diagnostic::Diagnostic;
use crate::geometry::Region;
use crate::units::Length;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A pocket.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct PocketShape {
    /// What is cleared.
    pub area: AreaShape,
    /// What stays standing in it.
    #[serde(default)]
    pub island: Vec<AreaShape>,
    /// Depth from the face.
    pub depth: Length,
    /// Numbers of the cutters, the widest first: each takes what the ones before could not.
    #[schemars(length(min = 1, max = 8))]
    pub cutters: Vec<u32>,
    /// What becomes of inside corners.
    #[serde(default)]
    pub corners: Corners,
    /// Sides of the area over which the cutter may run out; edges on the board's edge or beyond
    /// are open without being named.
    #[serde(default)]
    #[schemars(length(max = 5))]
    pub open: Vec<EdgeSide>,
    /// How much of the cutter's rim may be in the wood.
    #[serde(default)]
    pub clearing: Clearing,
    /// From where it is cleared.
    #[serde(default)]
    pub start: Start,
    /// In which face.
    #[serde(default)]
    pub face: Face,
}

/// What becomes of inside corners that a round cutter can not reach.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Corners {
    /// They stay as round as the cutter.
    #[default]
    AsCut,
    /// They are squared with a chisel: the setup sheet says so.
    SquareByHand,
    /// The cutter goes beyond the corner, so that a square piece drops in.
    Relieved,
}

/// How much of the cutter's rim may be in the wood while a pocket is cleared.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Clearing {
    /// No more than in a straight pass, and a fifth: corners and narrow places are peeled.
    #[default]
    HeldLoad,
    /// As much as comes: plain offsets of the walls, with the feed eased where it is too much.
    Offset,
}

/// From where a pocket is cleared.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Start {
    /// From the middle outward.
    #[default]
    Inside,
    /// From the walls inward.
    Outside,
}

/// A pocket that can be cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Pocket {
    /// Key relative to the part: `pocket[1]`.
    pub key: String,
    /// What is cleared, with its islands.
    pub region: Region,
    /// Its edges that the cutter may run out over.
    pub open: Open,
    /// Depth from the face.
    pub depth: f64,
    /// Numbers of the cutters, in order.
    pub cutters: Vec<u32>,
    /// What becomes of inside corners.
    pub corners: Corners,
    /// How much of the cutter's rim may be in the wood.
    pub clearing: Clearing,
    /// From where it is cleared.
    pub start: Start,
    /// In which face.
    pub face: Face,
}

impl PocketShape {
    /// The pocket, and what was left out of its drawings.
    pub(super) fn resolve(
        &self,
        own: &str,
        board: &Board<'_>,
    ) -> Result<(Pocket, Vec<Diagnostic>), Vec<Diagnostic>> {
        let mut found = Vec::new();
        found.extend(board.depth(own, self.depth.0));
        let area = self.area.area(&format!("{own}.area"), board);
        let area = area.map_err(|one| found.push(one)).ok();
        let outer = area.as_ref().map(|a| &a.outer);
        found.extend(outer.and_then(|a| board.near_board(&format!("{own}.area"), a)));
        let more: Vec<Islands> = self
            .island
            .iter()
            .enumerate()
            .filter_map(|(i, island)| {
                let own = format!("{own}.island[{}]", i + 1);
                island.islands(&own, board).map_err(|one| found.push(one)).ok()
            })
            .collect();
        let Some(area) = area.filter(|_| found.is_empty()) else { return Err(found) };
        let Area { outer, mut islands, mut warnings } = area;
        for mut some in more {
            islands.append(&mut some.contours);
            warnings.append(&mut some.warnings);
        }
        let region = Region::new(outer, islands).map_err(|why| {
            vec![
                Diagnostic::error(why.to_string())
                    .key(format!("{}.{own}.island", board.key))
                    .help("islands stand within the area, clear of it and of one another"),
            ]
        })?;
        let open = Open::of(region.outer(), &self.open, own, board).map_err(|one| vec![one])?;
        let pocket = Pocket {
            key: own.to_string(),
            region,
            open,
            depth: self.depth.0,
            cutters: self.cutters.clone(),
            corners: self.corners,
            clearing: self.clearing,
            start: self.start,
            face: self.face,
        };
        Ok((pocket, warnings))
    }
}
