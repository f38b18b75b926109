//! Whether a relief can be in its board.

use super::Panel;
use crate::diagnostic::Diagnostic;
use crate::geometry::HeightField;
use crate::units::Shown;

/// Heights this little over the face are rounding, mm.
const HAIR: f64 = 1e-3;

/// Least wood left below the deepest place, as a share of the thickness (common practice).
const LEAST_LEFT: f64 = 0.2;

impl Panel {
    /// What is wrong with the heights of the relief in a board `thickness` thick: something
    /// stands above its face, or it is nearly cut through. `key` is the panel's in the job file.
    #[must_use]
    pub fn height_problems(
        &self,
        field: &HeightField,
        thickness: f64,
        key: &str,
        shown: Shown,
    ) -> Vec<Diagnostic> {
        let (low, high) = extent(field);
        let mut found = Vec::new();
        if high > HAIR {
            found.push(
                Diagnostic::error(format!(
                    "the relief stands {} above the board's face",
                    shown.both(high)
                ))
                .key(format!("{key}.carving"))
                .help(format!(
                    "sink the field by {} more with a `step` in `border`, or give less `depth`",
                    shown.both(high)
                )),
            );
        }
        let left = thickness + low;
        if left < LEAST_LEFT * thickness {
            found.push(
                Diagnostic::error(format!(
                    "the relief is {} deep in a board of {}",
                    shown.both(-low),
                    shown.both(thickness)
                ))
                .key(format!("{key}.carving"))
                .help(format!(
                    "at most {} leaves a fifth of the wood",
                    shown.both((1.0 - LEAST_LEFT) * thickness)
                )),
            );
        }
        found
    }
}

/// Lowest and highest height.
fn extent(field: &HeightField) -> (f64, f64) {
    let rows = (0..field.rows()).flat_map(|j| field.row(j));
    let (low, high) =
        rows.fold((f32::INFINITY, f32::NEG_INFINITY), |(a, b), &z| (a.min(z), b.max(z)));
    (f64::from(low), f64::from(high))
}
