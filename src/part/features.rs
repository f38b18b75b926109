//! What is cut into a board besides its outline: holes, pockets, grooves, rebates, edges.
//!
//! Part frame: x along the grain, y across, from the part's lower left corner, seen from above
//! with the part's top up; what is on the bottom is given in the same frame, as if one saw
//! through the board.

mod area;
mod edge;
mod flip;
mod groove;
mod hole;
mod open;
mod pocket;
mod rebate;

pub use area::AreaShape;
pub use edge::{EdgeForm, EdgeShape, EdgeSide};
pub use flip::{Flip, FlipAxis};
pub use groove::{Groove, GrooveShape};
pub use hole::{Bore, Counterbore, Hole, HoleShape};
pub use open::Open;
pub use pocket::{Clearing, Corners, Pocket, PocketShape, Start};
pub use rebate::RebateShape;

use crate::diagnostic::Diagnostic;
use crate::geometry::{Contour, Point};
use crate::units::Shown;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::path::Path;

/// Farthest that an open pocket or groove may run out over the board's edge, mm: more than any
/// router cutter needs.
const RUN_OUT: f64 = 30.0;

/// A face of a board.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Face {
    /// The face that is up when the outline is cut.
    #[default]
    Top,
    /// The other: the board is turned over for it.
    Bottom,
}

/// What is cut into a board, as it is written.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", default)]
pub struct FeaturesShape {
    /// Holes.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub hole: Vec<HoleShape>,
    /// Pockets and recesses.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub pocket: Vec<PocketShape>,
    /// Grooves.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub groove: Vec<GrooveShape>,
    /// Rebates along the board's sides.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub rebate: Vec<RebateShape>,
    /// Edges that are rounded over or chamfered.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub edge: Vec<EdgeShape>,
    /// How the board is turned over for what is on its bottom.
    pub flip: Option<Flip>,
}

/// What is cut into a board, checked; each with its key.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Features {
    /// Holes, in the file's order.
    pub holes: Vec<Hole>,
    /// Pockets, in the file's order.
    pub pockets: Vec<Pocket>,
    /// Grooves, in the file's order.
    pub grooves: Vec<Groove>,
    /// Rebates, with their keys relative to the part.
    pub rebates: Vec<(String, RebateShape)>,
    /// Edges, with their keys relative to the part.
    pub edges: Vec<(String, EdgeShape)>,
    /// How the board is turned over.
    pub flip: Option<Flip>,
    /// What was left out of drawn areas, and why.
    pub warnings: Vec<Diagnostic>,
}

/// What the features of a board are checked against.
#[derive(Clone, Copy, Debug)]
pub struct Board<'a> {
    /// Where the part stands in the file.
    pub key: &'a str,
    /// Its outline in the part frame.
    pub outline: &'a Contour,
    /// Its thickness.
    pub thickness: f64,
    /// How lengths are shown.
    pub shown: Shown,
    /// Where the job's drawings lie.
    pub folder: &'a Path,
    /// The drawing that the outline came from, and where in it the outline's lower left corner is.
    pub traced: Option<(&'a str, Point)>,
}

impl FeaturesShape {
    /// The features that can be cut into a board.
    ///
    /// # Errors
    /// Every feature that can not be, at its key, with what would do.
    pub fn resolve(&self, board: &Board<'_>) -> Result<Features, Vec<Diagnostic>> {
        let Board { key, shown, .. } = *board;
        let mut found = Vec::new();
        let holes = each(&self.hole, "hole", &mut found, |shape, own| shape.resolve(own, board));
        let pockets =
            each(&self.pocket, "pocket", &mut found, |shape, own| shape.resolve(own, board));
        let grooves =
            each(&self.groove, "groove", &mut found, |shape, own| shape.resolve(own, board));
        let rebates = each(&self.rebate, "rebate", &mut found, |shape, own| {
            shape.check(own, board).map(|()| (own.to_string(), shape.clone()))
        });
        let edges = each(&self.edge, "edge", &mut found, |shape, own| {
            shape.check(own, board).map(|()| (own.to_string(), shape.clone()))
        });
        let (pockets, warnings): (Vec<_>, Vec<_>) = pockets.into_iter().unzip();
        let (flip, warnings) = (self.flip.clone(), warnings.concat());
        let all = Features { holes, pockets, grooves, rebates, edges, flip, warnings };
        if all.on(Face::Bottom) && self.flip.is_none() {
            found.push(
                Diagnostic::error("something is on the bottom, and nothing says how the board is turned over")
                    .key(key)
                    .help("give `flip = { axis = \"x\" }`, turned over away from you, or `\"y\"`, turned over sideways; pins keep its place"),
            );
        }
        if let Some(flip) = &self.flip {
            found.extend(flip.problems(&format!("{key}.flip"), shown));
        }
        if found.is_empty() { Ok(all) } else { Err(found) }
    }
}

impl Features {
    /// Whether anything is cut into this face.
    #[must_use]
    pub fn on(&self, face: Face) -> bool {
        self.holes.iter().any(|h| h.face == face)
            || self.pockets.iter().any(|p| p.face == face)
            || self.grooves.iter().any(|g| g.face == face)
            || self.rebates.iter().any(|(_, r)| r.face == face)
            || self.edges.iter().any(|(_, e)| e.face == face)
    }

    /// Whether nothing at all is cut into the board.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        !self.on(Face::Top) && !self.on(Face::Bottom)
    }
}

fn each<S, T>(
    shapes: &[S],
    name: &str,
    found: &mut Vec<Diagnostic>,
    resolve: impl Fn(&S, &str) -> Result<T, Vec<Diagnostic>>,
) -> Vec<T> {
    let mut all = Vec::new();
    for (i, shape) in shapes.iter().enumerate() {
        match resolve(shape, &format!("{name}[{}]", i + 1)) {
            Ok(one) => all.push(one),
            Err(mut some) => found.append(&mut some),
        }
    }
    all
}

impl Board<'_> {
    /// A length that must be more than zero.
    fn more_than_zero(&self, own: &str, what: &str, value: f64) -> Option<Diagnostic> {
        (value <= 0.0).then(|| {
            Diagnostic::error(format!("{} can not be", self.shown.one(value)))
                .key(format!("{}.{own}.{what}", self.key))
                .help("more than zero")
        })
    }

    /// A depth: more than zero, and less than the board is thick.
    fn depth(&self, own: &str, value: f64) -> Option<Diagnostic> {
        self.more_than_zero(own, "depth", value).or_else(|| {
            (value > self.thickness - 1e-6).then(|| {
                Diagnostic::error(format!(
                    "{} is not less than the board's thickness, {}",
                    self.shown.both(value),
                    self.shown.both(self.thickness)
                ))
                .key(format!("{}.{own}.depth", self.key))
                .help("leave some wood under it")
            })
        })
    }

    /// A line that may run out over the board's edge, but not far: it is a slip of the tape then.
    fn near_board(&self, own: &str, line: &Contour) -> Option<Diagnostic> {
        let (low, high) = self.outline.bounds()?;
        let (from, to) = line.bounds()?;
        let over = [low.x - from.x, low.y - from.y, to.x - high.x, to.y - high.y];
        let over = over.into_iter().fold(0.0, f64::max);
        (over > RUN_OUT + 1e-6).then(|| {
            Diagnostic::error(format!(
                "it runs {} out over the board's edge",
                self.shown.both(over)
            ))
            .key(format!("{}.{own}", self.key))
            .help(format!(
                "an open end runs out by at most {}; x runs along the grain, y across, from the part's lower left corner",
                self.shown.both(RUN_OUT)
            ))
        })
    }

    /// A point that must lie within the outline, `aside` from it at least.
    fn within(&self, own: &str, at: Point, aside: f64) -> Option<Diagnostic> {
        let gap = self.outline.nearest(at).map_or(0.0, |(gap, _)| gap);
        let gap = if self.outline.contains(at) { gap } else { -gap };
        (gap < aside - 1e-6).then(|| {
            Diagnostic::error(format!(
                "it stands {} over the board's edge",
                self.shown.both(aside - gap)
            ))
            .key(format!("{}.{own}", self.key))
            .help("x runs along the grain, y across, from the part's lower left corner")
        })
    }
}
