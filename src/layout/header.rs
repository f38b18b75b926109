//! What is measured and chosen for a header, and what of it cannot be.

use super::say::{about, at_least, at_most};
use crate::diagnostic::Diagnostic;
use crate::geometry::EPSILON;
use crate::units::MAX_LENGTH;

/// A run of bed mould shorter than this cannot be mitred at both ends (common practice), mm.
const LEAST_RUN: f64 = 1.0;

/// A header over a cased opening. Lengths in millimetres.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Header {
    /// Over the casings, outer edge to outer edge.
    pub cased_width: f64,
    /// The flat board above the casing.
    pub frieze: Frieze,
    /// The raised panel on the frieze, under the break of the bed mould.
    pub panel: Option<Panel>,
    /// The moulding under the cap.
    pub bed_mold: BedMold,
    /// The cap's board.
    pub corona: Corona,
    /// The moulding round the cap's edge.
    pub cymatium: Option<Cymatium>,
    /// How far the cap stands beyond what it covers.
    pub overhang: Overhang,
    /// The arc of the cap's front.
    pub front: Front,
}

/// The frieze board.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Frieze {
    /// Height up to the cap's underside.
    pub height: f64,
    /// Thickness; its face stands so far from the wall.
    pub thickness: f64,
    /// How far each end stands back from the casing's outer edge; negative beyond it.
    pub reveal: f64,
}

/// The panel on the frieze, its top in line with the frieze's.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Panel {
    /// Width along the wall.
    pub width: f64,
    /// Height, down from the cap's underside.
    pub height: f64,
    /// Thickness on top of the frieze.
    pub thickness: f64,
    /// Its centre to the right of the opening's centre line.
    pub offset: f64,
}

/// The bed mould, its top against the cap.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct BedMold {
    /// Height of the profile.
    pub height: f64,
    /// Greatest projection from the face that it is fixed to.
    pub projection: f64,
}

/// The cap's board.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Corona {
    /// Thickness.
    pub thickness: f64,
}

/// The moulding round the cap's edge, its top in line with the cap's.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Cymatium {
    /// Thickness, which is its projection from the cap's edge.
    pub thickness: f64,
    /// Height of the profile.
    pub height: f64,
}

/// How far the cap's board stands beyond the bed mould.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Overhang {
    /// At each end, beyond the end returns.
    pub ends: f64,
    /// In front, at the cap's corners, beyond the bed mould over the frieze.
    pub front: f64,
    /// At the break: least distance from its outer corners to the arc.
    pub at_break: f64,
}

/// How the arc of the cap's front is chosen.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Front {
    /// By its rise over the line between the cap's corners.
    Rise(f64),
    /// By its radius.
    Radius(f64),
    /// The least rise that covers the break by the asked overhang.
    Least,
}

impl Header {
    /// Length of the frieze board.
    #[must_use]
    pub fn frieze_length(&self) -> f64 {
        self.cased_width - 2.0 * self.frieze.reveal
    }

    /// Everything that cannot be, each with its key and the number that would do.
    #[must_use]
    pub fn problems(&self) -> Vec<Diagnostic> {
        let mut found = self.lengths_out_of_range();
        if !found.is_empty() {
            // Sums of what is no length would only repeat the complaint.
            return found;
        }
        let length = self.frieze_length();
        if length < LEAST_RUN {
            found.push(
                wrong("frieze.reveal", format!("leaves a frieze of {}", about(length)))
                    .help(format!("at most {}", at_most((self.cased_width - LEAST_RUN) / 2.0))),
            );
            return found;
        }
        if self.bed_mold.height > self.frieze.height + EPSILON {
            found.push(
                wrong(
                    "bed-mold.height",
                    format!("{} is more than the frieze's height", about(self.bed_mold.height)),
                )
                .help(format!("at most {}", at_most(self.frieze.height))),
            );
        }
        if let Some(panel) = &self.panel {
            self.panel_problems(panel, length, &mut found);
        }
        let whole = self.frieze.height + self.corona.thickness;
        if let Some(cymatium) = self.cymatium.filter(|c| c.height > whole + EPSILON) {
            let message = format!("{} hangs below the frieze", about(cymatium.height));
            found.push(
                wrong("cymatium.height", message).help(format!("at most {}", at_most(whole))),
            );
        }
        found
    }

    fn panel_problems(&self, panel: &Panel, frieze_length: f64, found: &mut Vec<Diagnostic>) {
        let room = frieze_length / 2.0 - LEAST_RUN;
        let reach = panel.width / 2.0 + panel.offset.abs();
        if reach > room {
            let widest = 2.0 * (room - panel.offset.abs());
            let (key, help) = if widest > 0.0 {
                ("panel.width", format!("at most {} with this offset", at_most(widest)))
            } else {
                ("panel.offset", format!("less than {} either way", at_most(room)))
            };
            let message = format!(
                "the panel reaches {} from the centre line and leaves no run of bed mould beside it",
                about(reach)
            );
            found.push(wrong(key, message).help(help));
        }
        if panel.height > self.frieze.height + EPSILON {
            let message = format!("{} is more than the frieze's height", about(panel.height));
            found.push(
                wrong("panel.height", message)
                    .help(format!("at most {}", at_most(self.frieze.height))),
            );
        }
        if panel.height + EPSILON < self.bed_mold.height {
            let message = format!(
                "{} leaves nothing to fix the bed mould to: it is {} high",
                about(panel.height),
                about(self.bed_mold.height)
            );
            found.push(
                wrong("panel.height", message)
                    .help(format!("at least {}", at_least(self.bed_mold.height))),
            );
        }
    }

    fn lengths_out_of_range(&self) -> Vec<Diagnostic> {
        let mut positive = vec![
            ("cased-width", self.cased_width),
            ("frieze.height", self.frieze.height),
            ("frieze.thickness", self.frieze.thickness),
            ("bed-mold.height", self.bed_mold.height),
            ("bed-mold.projection", self.bed_mold.projection),
            ("corona.thickness", self.corona.thickness),
        ];
        let mut any = vec![("frieze.reveal", self.frieze.reveal)];
        if let Some(panel) = &self.panel {
            positive.extend([
                ("panel.width", panel.width),
                ("panel.height", panel.height),
                ("panel.thickness", panel.thickness),
            ]);
            any.push(("panel.offset", panel.offset));
        }
        if let Some(cymatium) = &self.cymatium {
            positive.extend([
                ("cymatium.thickness", cymatium.thickness),
                ("cymatium.height", cymatium.height),
            ]);
        }
        match self.front {
            Front::Rise(rise) => positive.push(("rise", rise)),
            Front::Radius(radius) => positive.push(("radius", radius)),
            Front::Least => {}
        }
        let not_negative = [
            ("overhang.ends", self.overhang.ends),
            ("overhang.front", self.overhang.front),
            ("overhang.break", self.overhang.at_break),
        ];
        let mut found = Vec::new();
        let mut check = |key: &str, value: f64, good: bool, allowed: &str| {
            // A flat arc may have a radius far beyond the longest board.
            let limit = if key == "radius" { 1e4 * MAX_LENGTH } else { MAX_LENGTH };
            if !value.is_finite() || value.abs() > limit || !good {
                found.push(
                    wrong(key, format!("{value} mm cannot be"))
                        .help(format!("{allowed}, and at most {limit} mm")),
                );
            }
        };
        for (key, value) in positive {
            check(key, value, value > EPSILON, "more than 0");
        }
        for (key, value) in not_negative {
            check(key, value, value >= 0.0, "0 or more");
        }
        for (key, value) in any {
            check(key, value, true, "any length");
        }
        found
    }
}

/// An error at a key of the header.
pub(super) fn wrong(key: &str, message: String) -> Diagnostic {
    Diagnostic::error(message).key(format!("header.{key}"))
}
