//! What is tried for a ring that can not be followed or certified at just its distance.

use super::OffsetError;
use super::certificate::certify;
use super::element::Source;
use super::slices;
use super::wave::Wave;
use crate::geometry::Contour;

/// Distances beside the asked one, millimetres, all within the tolerance: where corners meet in
/// one point or fronts lie on each other, they do not a little farther on.
const NUDGES: [f64; 10] =
    [0.0, 1.3e-7, -1.7e-7, 3.1e-6, -2.3e-6, 4.7e-5, -3.9e-5, 2.1e-4, -1.9e-4, 4.3e-4];

/// How much nearer than the ring a slice may lie, millimetres: little, so that few dead slices
/// are taken for living; then more, so that rounding at shallow crossings takes no living slice
/// for dead. All far under the tolerance.
const LENIENT: [f64; 3] = [1e-9, 1e-7, 1e-5];

/// The ring near `distance`: put together from slices of the ring before, else of the source.
pub(super) fn seek(
    source: &Source,
    before: &Wave,
    distance: f64,
) -> Result<(Wave, Vec<Contour>), OffsetError> {
    let mut failed = OffsetError::Distance(distance);
    for nudge in NUDGES {
        for base in [before, &source.outline] {
            for lenient in LENIENT {
                let wave = slices::step(base, source, distance + nudge, lenient);
                match certify(source, base, &wave, distance) {
                    Ok(passed) => return Ok(wave.passed(passed)),
                    Err(why) => failed = why,
                }
            }
        }
    }
    Err(failed)
}
