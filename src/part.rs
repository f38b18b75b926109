//! The parts as the trade describes them.

mod board;
mod cap;

pub use board::{Board, BoardFigures, BoardShape};
pub use cap::{Cap, CapFigures, CapShape};
