//! The cymatium round the bowed front: whether it bends, and what is advised.

use super::Header;
use crate::diagnostic::Diagnostic;
use crate::layout::Role;
use crate::layout::bend::{BendJob, BendReport, Board, Wood, assess, is_hardwood};
use crate::shop::Material;

/// What is known of a bend, or why nothing can be said.
pub type Bend = Result<(BendJob, BendReport), Diagnostic>;

impl Header {
    /// All ways of the cymatium round the front; `None` without a cymatium.
    ///
    /// # Errors
    /// A figure of the bend that cannot be, at its key.
    pub fn bending(&self, material: &Material) -> Result<Option<Bend>, Diagnostic> {
        let layout = &self.layout;
        let Some(cymatium) = layout.header.cymatium else { return Ok(None) };
        if self.cap_spring.is_some() {
            return Ok(Some(Err(Diagnostic::error(
                "a sprung moulding round the bowed front is part of a cone and does not bend flat \
                 on its back",
            )
            .help(
                "give its profile and a board as `board` in [header.bend], and the table mills it \
                 from the solid; or give the cap a moulding that is not sprung",
            ))));
        }
        let wood = match Wood::of(material) {
            Ok(wood) => wood,
            Err(why) => return Ok(Some(Err(why))),
        };
        let asked = BendJob {
            thickness: cymatium.thickness,
            height: cymatium.height,
            radius: layout.cap.radius,
            sweep: self.bowed_sweep(),
            wood,
            share: self.bend.share,
            saw_kerf: self.sawing.kerf,
            skin: self.bend.skin.map(|skin| skin.0),
            board: self.bend.board.map(|board| Board {
                length: board.length.0,
                width: board.width.0,
                thickness: board.thickness.0,
            }),
            finish: self.bend.finish,
            hardwood: is_hardwood(material),
        };
        let report = assess(&asked).map_err(|d| {
            let key = d.key.clone().unwrap_or_default();
            d.key(format!("header.{key}"))
        })?;
        Ok(Some(Ok((asked, report))))
    }

    /// Angle of the bowed moulding to its long points: what lies beyond the cap's corners must go
    /// round too.
    pub(super) fn bowed_sweep(&self) -> f64 {
        let layout = &self.layout;
        let front = layout.cap_moldings.iter().find(|piece| piece.role == Role::CapFront);
        let out = layout.header.cymatium.map_or(0.0, |c| c.thickness);
        front.map_or(0.0, |piece| piece.face / (layout.cap.radius + out))
    }
}
