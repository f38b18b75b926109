//! How far the true mitre leaves the straight cut, enlarged: along the joint a little, across it
//! so much that it can be seen.

use super::{Drawing, Layer, TEXT};
use crate::drawing::{Anchor, Lettering, LineStyle};
use crate::geometry::{Contour, Piece, Point, point};
use crate::layout::mitre::{CornerMitre, CurvedMitre};
use crate::units::INCH;

/// The joint is drawn this many times as long, mm to the mm.
const ALONG: f64 = 4.0;
/// The greatest departure is drawn at most so far from the straight cut, mm.
const HIGHEST: f64 = 15.0;
/// Round scales, of which the largest that fits is taken.
const SCALES: [f64; 11] = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0];
/// Departures below this are nothing that wood knows, mm.
const NOTHING: f64 = 1e-4;
/// Lines that draw the curve: at this size no corner shows.
const LINES: usize = 64;
/// Length that the words at both ends of the joint need, mm.
const ROOM: f64 = 75.0;
/// Air under the inset, mm.
const AIR: f64 = 14.0;

/// Draws the inset over what is drawn already; nothing where the joint is straight.
pub(super) fn inset(d: &mut Drawing, corner: &CornerMitre, line: &CurvedMitre) {
    let Some(scale) = scale(corner.departure) else { return };
    let (low, high) = d.bounds();
    let origin = point(low.x, high.y + AIR + TEXT);
    let ends = line.points(1);
    let [start, end] = ends.as_slice() else { return };
    let (start, chord) = (*start, *end - *start);
    let Some(way) = chord.unit() else { return };
    // Along the straight cut and off it, enlarged.
    let at = |p: Point| {
        let off = (p - start).cross(way);
        origin + point((p - start).dot(way) * ALONG, off.abs() * scale)
    };
    let curve: Vec<Point> = line.points(LINES).into_iter().map(at).collect();
    let pieces: Vec<Piece> =
        curve.windows(2).map(|w| Piece { from: w[0], to: w[1], bulge: 0.0 }).collect();
    d.contour(Layer::Mitres, LineStyle::Visible, Contour::from_pieces(&pieces, false));
    d.line(Layer::Mitres, LineStyle::Thin, origin, at(*end));
    let Some(peak) = curve.iter().copied().max_by(|a, b| a.y.total_cmp(&b.y)) else { return };
    let foot = point(peak.x, origin.y);
    d.line(Layer::Dimensions, LineStyle::Thin, foot, peak);
    let small = Lettering::new(TEXT);
    let far = at(*end);
    d.text(Layer::Lettering, origin - point(0.0, 1.4 * TEXT), small, "at the cap's corner");
    let outer = small.anchored(Anchor::End);
    // On a short joint the two would meet: the second goes a line lower.
    let lower = if far.distance(origin) < ROOM { 1.5 * TEXT } else { 0.0 };
    d.text(Layer::Lettering, far - point(0.0, 1.4 * TEXT + lower), outer, "at the outer edge");
    let words = [
        format!("between: {:.3} mm ({:.4} in)", corner.departure, corner.departure / INCH),
        format!(
            "off the straight cut {scale} : 1, along it {ALONG} : 1; the rest of the sheet 1 : 1"
        ),
        "Inset: the true joint over the straight cut".to_string(),
    ];
    let top = origin.y + corner.departure * scale + TEXT;
    for (i, text) in words.iter().enumerate() {
        let place = point(origin.x, top + 1.5 * TEXT * i as f64);
        let lettering = if i + 1 == words.len() { small.bold() } else { small };
        d.text(Layer::Lettering, place, lettering, text);
    }
}

/// The largest round scale at which a departure still fits.
fn scale(departure: f64) -> Option<f64> {
    if departure < NOTHING {
        return None;
    }
    SCALES.into_iter().filter(|s| s * departure <= HIGHEST).max_by(f64::total_cmp)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_scale_shows_what_can_be_seen_and_fits() {
        // 0.0092 mm on the sample's corner: 1000 : 1 is 9.2 mm high.
        assert_eq!(scale(0.0092), Some(1000.0));
        // 0.3584 mm: a cap 1000 by 100 mm with 100 mm of projection.
        assert_eq!(scale(0.3584), Some(20.0));
        assert_eq!((scale(0.0), scale(20.0)), (None, None));
    }
}
