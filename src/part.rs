//! The parts as the trade describes them.

mod cap;

pub use cap::{Cap, CapFigures, CapShape};
