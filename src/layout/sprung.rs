//! Sprung mouldings: hollow behind, leaning from wall to cap; their corners sawn lying flat.

use super::cut_list::{CutList, Stock};
use super::mitre::{Compound, SpringFrom, compound};
use super::plan::{Joint, PieceEnd};
use std::f64::consts::PI;

/// Mitres closer than this are the same corner, radians: far below what a saw can be set to.
const SAME: f64 = 1e-9;

/// A sprung moulding and the saw settings of its corners. Millimetres and radians.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Sprung {
    /// The moulding, as a person calls it.
    pub name: &'static str,
    /// What its pieces are cut from.
    pub stock: Stock,
    /// Between its back and the wall.
    pub spring: f64,
    /// Across its back, from the edge on the wall to the one under the cap.
    pub width: f64,
    /// Each kind of corner once.
    pub corners: Vec<SprungCorner>,
}

/// A corner of a sprung moulding.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct SprungCorner {
    /// What kind.
    pub joint: Joint,
    /// Between the two faces that it goes round.
    pub between: f64,
    /// The saw, the moulding flat on its back.
    pub saw: Compound,
}

impl Sprung {
    /// The corners of a list's pieces cut from `stock`, sprung by `spring` from the wall; `width`
    /// across the back where the profile says it, else what height and projection span.
    #[must_use]
    pub fn of(
        name: &'static str,
        stock: Stock,
        spring: f64,
        width: Option<f64>,
        list: &CutList,
    ) -> Option<Sprung> {
        let own = || list.pieces.iter().filter(|piece| piece.stock == stock);
        let first = own().next()?;
        let mut corners: Vec<SprungCorner> = Vec::new();
        for end in own().flat_map(|piece| [piece.start, piece.end]) {
            let Some(corner) = corner(&end, spring) else { continue };
            let known = |c: &&SprungCorner| {
                c.joint == corner.joint && (c.between - corner.between).abs() < SAME
            };
            if !corners.iter().any(|c| known(&c)) {
                corners.push(corner);
            }
        }
        let width = width.unwrap_or_else(|| first.width.hypot(first.thickness));
        Some(Sprung { name, stock, spring, width, corners })
    }
}

/// The corner at a piece's end; `None` for a square end.
#[must_use]
pub fn corner(end: &PieceEnd, spring: f64) -> Option<SprungCorner> {
    if end.joint == Joint::Wall {
        return None;
    }
    // Each piece takes half of the turn, and the turn is what is missing to a straight wall.
    let between = PI - 2.0 * end.angle;
    let saw = compound(spring, SpringFrom::Wall, between).ok()?;
    Some(SprungCorner { joint: end.joint, between, saw })
}
