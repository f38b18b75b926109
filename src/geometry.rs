//! Plane and space geometry: points, contours with true arcs, strokes of a cutter.

mod arc_fit;
mod band;
mod circular_segment;
mod contour;
pub mod cutter_surface;
mod ground;
pub mod height_field;
mod lane;
pub mod medial_axis;
mod offset;
mod point;
pub mod profile;
mod region;
mod stroke;
mod union;

pub use arc_fit::pieces_through;
pub use band::Band;
pub use circular_segment::{CircularSegment, SegmentError};
pub use contour::{Contour, Piece, Vertex};
pub use ground::Ground;
pub use height_field::HeightField;
pub use lane::{Path, TooTight};
pub use offset::{OffsetError, check_disjoint};
pub use point::{Box3, Point, Point3, point, point3};
pub use region::{Nested, Region, outset_all};
pub use stroke::{Arc, Plane, Stroke};
pub use union::{overlap, united};

/// Lengths closer than this are the same length: a thousandth of what a machine resolves.
pub const EPSILON: f64 = 1e-6;
