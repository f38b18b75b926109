//! Every ring of three hard outlines against a second library.
#![allow(clippy::unwrap_used)]

mod offset_support;

use offset_support::{clipper_inset, region, summary};
use ovolo::geometry::Contour;

/// Loops smaller than this, square millimetres, are not counted: the second library works on a
/// grid and with chords.
const LEAST: f64 = 0.01;

fn compare(name: &str, step: f64, which: impl Fn(usize) -> bool) -> usize {
    let region = region(name);
    let contours: Vec<Contour> = region.contours().cloned().collect();
    let rings = region.rings(step, step, None).unwrap();
    for (index, ring) in rings.iter().enumerate().filter(|(i, _)| which(*i)) {
        let distance = step * (index + 1) as f64;
        let (loops, area) = summary(ring, LEAST);
        let (wanted_loops, wanted_area) = clipper_inset(&contours, distance, LEAST);
        assert!(
            loops == wanted_loops || loops_within_its_arcs(&contours, distance, loops),
            "{loops} loops {distance} mm inside {name}, wanted {wanted_loops}"
        );
        let off = (area - wanted_area).abs() / wanted_area;
        assert!(off < 1e-3, "area {distance} mm inside {name}: {area}, wanted {wanted_area}");
    }
    // Nothing is left beyond the last ring.
    let last = step * (rings.len() + 1) as f64;
    assert_eq!(clipper_inset(&contours, last, LEAST).0, 0);
    rings.len()
}

/// The second library's arcs are chords that cut in by up to 1/500 of the distance, so that it
/// stands where the true ring stood up to that much before. Where the loops part or vanish just
/// there, it must show the same number of them within that much more distance.
fn loops_within_its_arcs(contours: &[Contour], distance: f64, loops: usize) -> bool {
    [0.25, 0.5, 0.75, 1.0]
        .iter()
        .any(|share| clipper_inset(contours, distance * (1.0 + share / 500.0), LEAST).0 == loops)
}

#[test]
fn the_arched_cap_agrees_with_a_second_library_on_every_ring() {
    compare("arched-cap.rings", 2.0, |_| true);
}

#[test]
fn the_leaf_agrees_with_a_second_library_on_every_ring() {
    compare("leaf-13k.rings", 1.5, |_| true);
}
