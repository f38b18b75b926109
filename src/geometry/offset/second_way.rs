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

/// Where to stop on the way, as a share of it: no round figure, so that what is regular in the
/// outline does not fall on it.
const STOP: f64 = 0.4142;

/// The ring near `distance`: from the ring before, else afresh from the source, else from a
/// stop on the way between the two rings.
pub(super) fn seek(
    source: &Source,
    before: &Wave,
    distance: f64,
) -> Result<(Wave, Vec<Contour>), OffsetError> {
    near(source, before, distance).or_else(|_| near(source, &source.outline, distance)).or_else(
        |failed| {
            let stop = before.distance + (distance - before.distance) * STOP;
            let (stop, _) = near(source, before, stop).map_err(|_| failed)?;
            near(source, &stop, distance)
        },
    )
}

/// From one ring to another, or to one that lies by less than the tolerance beside it.
fn near(source: &Source, base: &Wave, distance: f64) -> Result<(Wave, Vec<Contour>), OffsetError> {
    let mut failed = OffsetError::Distance(distance);
    for nudged in NUDGES.map(|nudge| distance + nudge).into_iter().filter(|d| *d > base.distance) {
        match base.step(source, nudged) {
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
    Err(failed)
}
