//! The door header: from one measured opening to every projection, radius, mitre and length.
//!
//! Plan frame: x to the right along the wall, y out from it, the origin where the opening's
//! centre line meets the wall; z up from the frieze's lower edge. Millimetres and radians.

pub mod bend;
pub mod cut_list;
mod header;
pub mod mitre;
pub mod nest;
mod plan;
pub mod proportion;
mod rise;
mod say;
mod solve;
mod sprung;
mod standing;
mod views;

pub use header::{BedMold, Corona, Cymatium, Frieze, Front, Header, Overhang, Panel};
pub use plan::{Joint, MitreLine, PieceEnd, PlanPiece, Role};
pub use rise::{CapSeat, NoRise};
pub use solve::{Cap, Layout, Levels, Projections, RiseRow, rise_choices, rise_table};
pub use sprung::{Sprung, SprungCorner, corner};
pub use standing::Standing;
pub use views::{Member, Outline, Seen};
