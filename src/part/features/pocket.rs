//! Pockets and recesses with islands.

use super::{Board, Face};
use crate::diagnostic::Diagnostic;
use crate::geometry::{Contour, Region, point};
use crate::units::Length;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// An area: a rectangle by two corners, or a circle.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct AreaShape {
    /// One corner of a rectangle, x and y from the part's lower left corner.
    #[serde(default)]
    pub from: Option<[Length; 2]>,
    /// The corner across.
    #[serde(default)]
    pub to: Option<[Length; 2]>,
    /// Radius of a rectangle's corners.
    #[serde(default)]
    pub corner_radius: Length,
    /// Middle of a circle.
    #[serde(default)]
    pub at: Option<[Length; 2]>,
    /// Diameter of a circle.
    #[serde(default)]
    pub diameter: Option<Length>,
}

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
    pub(super) fn resolve(&self, own: &str, board: &Board<'_>) -> Result<Pocket, Vec<Diagnostic>> {
        let mut found = Vec::new();
        found.extend(board.depth(own, self.depth.0));
        let area = self.area.contour(&format!("{own}.area"), board);
        let area = area.map_err(|one| found.push(one)).ok();
        found.extend(area.as_ref().and_then(|a| board.near_board(&format!("{own}.area"), a)));
        let islands: Vec<Contour> = self
            .island
            .iter()
            .enumerate()
            .filter_map(|(i, island)| {
                let own = format!("{own}.island[{}]", i + 1);
                island.contour(&own, board).map_err(|one| found.push(one)).ok()
            })
            .collect();
        let Some(area) = area.filter(|_| found.is_empty()) else { return Err(found) };
        let region = Region::new(area, islands).map_err(|why| {
            vec![
                Diagnostic::error(why.to_string())
                    .key(format!("{}.{own}.island", board.key))
                    .help("islands stand within the area, clear of it and of one another"),
            ]
        })?;
        Ok(Pocket {
            key: own.to_string(),
            region,
            depth: self.depth.0,
            cutters: self.cutters.clone(),
            corners: self.corners,
            clearing: self.clearing,
            start: self.start,
            face: self.face,
        })
    }
}

impl AreaShape {
    /// The closed contour, counter-clockwise.
    fn contour(&self, own: &str, board: &Board<'_>) -> Result<Contour, Diagnostic> {
        let key = format!("{}.{own}", board.key);
        match (self.from, self.to, self.at, self.diameter) {
            (Some(a), Some(b), None, None) => {
                let low = point(a[0].0.min(b[0].0), a[1].0.min(b[1].0));
                let high = point(a[0].0.max(b[0].0), a[1].0.max(b[1].0));
                let least = (high.x - low.x).min(high.y - low.y);
                if least < 0.1 {
                    return Err(Diagnostic::error("the rectangle has no width")
                        .key(format!("{key}.to"))
                        .help("give two corners that lie across from one another"));
                }
                let radius = self.corner_radius.0;
                if radius < 0.0 || radius > least / 2.0 {
                    return Err(Diagnostic::error(format!(
                        "{} is no radius for these corners",
                        board.shown.both(radius)
                    ))
                    .key(format!("{key}.corner-radius"))
                    .help(format!("from 0 to {}", board.shown.both(least / 2.0))));
                }
                Ok(Contour::rounded_rectangle(low, high, radius))
            }
            (None, None, Some(at), Some(diameter)) if diameter.0 > 0.0 => {
                Ok(Contour::circle(point(at[0].0, at[1].0), diameter.0 / 2.0))
            }
            _ => Err(Diagnostic::error("the area is neither a rectangle nor a circle")
                .key(key)
                .help("give `from` and `to`, or `at` and `diameter`")),
        }
    }
}
