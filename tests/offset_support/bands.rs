//! An inset by another library's boolean operations: the region less a band about each of its
//! pieces.

use geo::{BooleanOps, Coord, LineString, MultiPolygon, Polygon, unary_union};
use ovolo::geometry::{Contour, Point, Region};
use std::f64::consts::TAU;

fn polygon(mut points: Vec<Point>) -> Polygon<f64> {
    if Contour::polygon(&points).area() < 0.0 {
        points.reverse();
    }
    let ring = points.iter().map(|p| Coord { x: p.x, y: p.y }).collect();
    Polygon::new(LineString(ring), vec![])
}

/// Chords of an arc with the arc's own area: each a little outside it in the middle of two.
fn chords(center: Point, radius: f64, from: f64, sweep: f64) -> Vec<Point> {
    let count = (sweep.abs() / 0.01).ceil().max(1.0);
    let step = (sweep.abs() / count).max(1e-9);
    let radius = radius * (step / step.sin()).sqrt();
    let at = |k: usize| center + Point::polar(radius, from + sweep * k as f64 / count);
    (0..=count as usize).map(at).collect()
}

/// The region less a band about each of its pieces, by the other library.
pub fn by_bands(region: &Region, d: f64) -> MultiPolygon<f64> {
    let mut bands = Vec::new();
    for piece in region.contours().flat_map(Contour::pieces) {
        let (from, to) = (piece.from, piece.to);
        bands.push(polygon(chords(from, d, 0.0, TAU)));
        bands.push(polygon(match piece.center() {
            Some(center) => {
                let (radius, sweep) = (piece.radius(), piece.sweep());
                let start = (from - center).angle();
                let mut band = chords(center, radius + d, start, sweep);
                band.extend(chords(center, (radius - d).max(0.0), start + sweep, -sweep));
                band
            }
            None => {
                let aside = (to - from).unit().unwrap_or_default().left() * d;
                vec![from - aside, to - aside, to + aside, from + aside]
            }
        }));
    }
    let flat = |c: &Contour| polygon(c.flattened(d / 4.0));
    let mut body = MultiPolygon(vec![flat(region.outer())]);
    for island in region.islands() {
        body = body.difference(&flat(island));
    }
    body.difference(&unary_union(&bands))
}
