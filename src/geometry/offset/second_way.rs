//! What is tried for a ring that can not be followed or certified at just its distance.

use super::OffsetError;
use super::certificate::certify;
use super::element::Source;
use super::wave::Wave;
use crate::geometry::Contour;

/// Distances beside the asked one, millimetres, all within the tolerance: where corners meet in
/// one point or fronts lie on each other, they do not a little farther on.
const NUDGES: [f64; 10] =
    [0.0, 1.3e-7, -1.7e-7, 3.1e-6, -2.3e-6, 4.7e-5, -3.9e-5, 2.1e-4, -1.9e-4, 4.3e-4];

/// The ring near `distance`, from the ring before, else afresh from the source.
pub(super) fn seek(
    source: &Source,
    before: &Wave,
    distance: f64,
) -> Result<(Wave, Vec<Contour>), OffsetError> {
    let mut failed = OffsetError::Distance(distance);
    for base in [before, &source.outline] {
        for nudge in NUDGES {
            match base.step(source, distance + nudge) {
                Ok(wave) => match certify(source, base, &wave, distance) {
                    Ok(passed) => return Ok(wave.passed(passed)),
                    Err(why) => failed = why,
                },
                Err(degenerate) => {
                    let at = degenerate.at;
                    let nearest = source.tree().nearest(source.spans(), at);
                    let found = nearest.map_or(f64::INFINITY, |(_, d)| d);
                    failed = OffsetError::NotCertified { at, distance: found, wanted: distance };
                }
            }
        }
    }
    Err(failed)
}
