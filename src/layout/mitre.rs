//! Mitres: at a break, at a cap's corner, and of a moulding that is sprung from the wall.

mod compound;
mod curved;

pub use compound::{Compound, SpringFrom, compound};
pub use curved::{CornerMitre, CurvedMitre};

/// The saw setting, off square, of each of two pieces that meet where a moulding turns by `turn`
/// (radians, either way): half of it.
#[must_use]
pub fn mitre_of_turn(turn: f64) -> f64 {
    turn.abs() / 2.0
}
