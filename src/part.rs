//! The parts as the trade describes them.

mod board;
mod cap;
pub mod features;

pub use board::{Board, BoardFigures, BoardShape};
pub use cap::{Cap, CapFigures, CapShape};
