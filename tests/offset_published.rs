//! Published outlines: areas of their insets against another library's boolean operations.
#![allow(clippy::unwrap_used)]

mod offset_support;

use geo::Area;
use offset_support::bands::by_bands;
use ovolo::geometry::{Contour, Point, Region, point};

/// Name, outer ring and islands of each outline in `tests/outlines/published.txt`, which names
/// their sources and licences.
fn published() -> Vec<(String, Vec<Contour>)> {
    let path = format!("{}/tests/outlines/published.txt", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).unwrap();
    let mut all: Vec<(String, Vec<Contour>)> = Vec::new();
    let mut lines = text.lines().filter(|line| !line.starts_with('#'));
    while let Some(line) = lines.next() {
        if let Some(name) = line.strip_prefix("outline ") {
            all.push((name.to_string(), Vec::new()));
            continue;
        }
        let count: usize = line.strip_prefix("ring ").unwrap().parse().unwrap();
        let corners: Vec<Point> = (0..count)
            .map(|_| {
                let (x, y) = lines.next().unwrap().split_once(' ').unwrap();
                point(x.parse().unwrap(), y.parse().unwrap())
            })
            .collect();
        all.last_mut().unwrap().1.push(Contour::polygon(&corners));
    }
    all
}

#[test]
fn areas_of_published_outlines_agree_with_boolean_operations_within_a_millionth() {
    let (mut judged, mut refused) = (0, Vec::new());
    for (name, mut rings) in published() {
        let outer = rings.remove(0);
        let region = match Region::new(outer, rings) {
            Ok(region) => region,
            Err(why) => {
                refused.push(format!("{name}: {why}"));
                continue;
            }
        };
        let (low, high) = region.outer().bounds().unwrap();
        let length: f64 = region.contours().map(Contour::length).sum();
        // Once for an outline of thousands of corners, whose bands take long to unite.
        let shares: &[f64] = match region.outer().vertices.len() {
            0..1000 => &[0.001, 0.01, 0.04, 0.09, 0.17],
            _ => &[0.01],
        };
        for share in shares {
            let d = share * (high.x - low.x).min(high.y - low.y);
            let ours: f64 = region.inset(d).unwrap().iter().map(Region::area).sum();
            let wanted = by_bands(&region, d).unsigned_area();
            // A millionth, and the other library's grid along the outline: a billionth of its size.
            let slack = 1e-6 * wanted + 1e-8 * low.distance(high) * length;
            assert!((ours - wanted).abs() < slack, "{name} at {d}: {ours}, wanted {wanted}");
            judged += 1;
        }
    }
    // Outlines that touch or cross themselves are refused, never offset.
    assert!(judged >= 5 * 15, "{judged} judged, refused {refused:#?}");
}
