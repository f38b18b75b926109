//! What is told of a pocket's clearing: the load that was met, and the time against the ideal.

use crate::geometry::Point;
use serde::Serialize;

/// One cutter's work in one pocket. Millimetres, radians, seconds.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PocketFigures {
    /// The pocket's key relative to the part: `pocket[1]`.
    pub pocket: String,
    /// Number of the cutter.
    pub cutter: u32,
    /// Whether the load on the rim was held.
    pub held: bool,
    /// The engaged angle of a straight pass as wide as the stepover.
    pub nominal: f64,
    /// The greatest angle that was met after going in.
    pub greatest: f64,
    /// Where the cutter's middle was then, in work coordinates.
    pub at: Point,
    /// Way on which more than 1.2 times the nominal was met, with the feed eased.
    pub above: f64,
    /// Way in the wood after going in.
    pub length: f64,
    /// Way on which whole wood was opened at the depth of a pass, with the feed eased: part of
    /// going in.
    pub opened: f64,
    /// Area that this cutter clears, mm2.
    pub area: f64,
    /// Passes down to the floor.
    pub passes: usize,
    /// Time of its moves, the ways above the wood and the finishing of the walls included.
    pub seconds: f64,
    /// Area times passes over stepover times feed: straight passes without end.
    pub ideal_seconds: f64,
}
