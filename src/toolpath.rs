//! The neutral moves of a cutter: what cuts are planned as, and what a program's text is read
//! back into. Knows no dialect.

mod moves;
mod time;

pub use moves::{Direction, Move, Purpose, Step, Toolpath};
pub use time::{FreeTurn, Limits, free_turn, times};
