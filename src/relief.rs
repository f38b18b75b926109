//! A carved board: its ground with a border, and what is carved on it, sampled into heights.
//!
//! Frame: the part's own, its lower left corner at the origin; z = 0 is the board's face, and
//! nothing stands above it but what the border leaves room for. Rows are sampled in bands by all
//! cores; every cell is a pure function of its place, so that any number of cores gives the same
//! bytes.

mod cushion;
mod ground;
mod placed;
mod sample;
mod shade;

pub mod source;

pub use cushion::{Cushion, CushionMap, CushionProfile};
pub use ground::{Ground, Stage};
pub use placed::{Carving, Meeting, Placed};
pub use sample::Progress;
pub use shade::shade;

use crate::geometry::Point;

/// A carved board.
#[derive(Clone, Debug, PartialEq)]
pub struct Relief {
    /// Length and width of the board.
    pub size: Point,
    /// The border and the field.
    pub ground: Ground,
    /// What is carved, in order: the later over the earlier.
    pub carvings: Vec<Placed>,
}
