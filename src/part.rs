//! The parts as the trade describes them.

mod board;
mod cap;
pub mod features;
mod moulding;

pub use board::{Board, BoardFigures, BoardShape};
pub use cap::{Cap, CapFigures, CapShape};
pub use moulding::{
    Grows, LegShape, Moulding, MouldingFigures, MouldingShape, PassOrder, PathShape, Pose,
};
