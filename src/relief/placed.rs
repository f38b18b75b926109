//! A carving where it stands, and how it meets the ground.

use super::cushion::Cushion;
use super::source::Grid;
use crate::geometry::Point;
use crate::ornament::{Canvas, Frame, Motif};
use std::sync::Arc;

/// What can be carved.
#[derive(Clone, Debug, PartialEq)]
pub enum Carving {
    /// Ornament by rule.
    Motif(Arc<Motif>),
    /// Heights from a picture or a mesh.
    Grid(Arc<Grid>),
    /// Outlines, raised or sunk by the distance to them.
    Cushion(Arc<Cushion>),
}

impl Carving {
    /// The box around it in its own frame; `None` if there is nothing.
    #[must_use]
    pub fn bounds(&self) -> Option<(Point, Point)> {
        match self {
            Carving::Motif(motif) => motif.bounds(),
            Carving::Grid(grid) => Some(grid.bounds()),
            Carving::Cushion(cushion) => cushion.bounds(),
        }
    }

    /// Paints it on a window.
    pub fn paint(&self, frame: &Frame, canvas: &mut Canvas) {
        match self {
            Carving::Motif(motif) => motif.paint(frame, canvas),
            Carving::Grid(grid) => grid.paint(frame, canvas),
            Carving::Cushion(cushion) => cushion.paint(frame, canvas),
        }
    }
}

/// How a carving meets the ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Meeting {
    /// Stands on the ground, its edges upright as they are.
    Added,
    /// Let into the ground by so much: its edges lie below it.
    SetIn(f64),
    /// Rises from the ground in a hollow curve: what is lower than about this melts into it.
    Blended(f64),
    /// Cut into what is otherwise done; where several meet, the deepest counts.
    Incised,
}

impl Meeting {
    /// Height where a carving of height `z` over its own base hides the ground by `cover`.
    #[inline]
    #[must_use]
    pub fn height(self, ground: f64, z: f64, cover: f64) -> f64 {
        match self {
            Meeting::Added | Meeting::Incised => ground + z,
            Meeting::SetIn(by) => ground + z - by * cover,
            Meeting::Blended(soft) => {
                let rise = z.max(0.0);
                ground + z.min(0.0) + rise * rise / (rise + soft)
            }
        }
    }
}

/// A carving where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    /// What.
    pub carving: Carving,
    /// Where: one frame for each repeat.
    pub frames: Vec<Frame>,
    /// Its heights are multiplied by this.
    pub deep: f64,
    /// How it meets the ground.
    pub meeting: Meeting,
}
