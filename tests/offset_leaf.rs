//! Every ring of three hard outlines against a second library.
#![allow(clippy::unwrap_used)]

mod offset_support;

use offset_support::{clipper_inset, clipper_loops, region, simplified, softened, summary};
use ovolo::geometry::{Contour, Region};

/// Loops smaller than this, square millimetres, are not counted: the second library works on a
/// grid and with chords.
const LEAST: f64 = 0.01;

/// Angle to which corners are softened for the second library, radians: its arcs then lie within
/// 1/5000 of the distance of the true ones.
const TURN: f64 = 0.04;

/// The second library doubles the corners from ring to ring; those within this of the outline,
/// millimetres, go.
const SIMPLER: f64 = 1e-4;

/// Each ring of the second library is taken from its own ring before, so that it does not choke on
/// deep offsets; its arcs leave the same share of the distance.
fn compare(name: &str, step: f64, most: Option<usize>, turn: f64) {
    let region = region(name);
    let arcs = (turn * turn / 8.0).min(1.0 / 500.0);
    let rings = region.rings(step, step, most).unwrap();
    let mut before: Vec<Contour> = region.contours().cloned().collect();
    for (index, ring) in rings.iter().enumerate() {
        let distance = step * (index + 1) as f64;
        let soft: Vec<Contour> = before.iter().map(|c| softened(c, turn)).collect();
        let (loops, area) = summary(ring, LEAST);
        // Its arcs are chords, so that it stands where the true ring stood a little before. Where
        // loops part or vanish just there, it must show as many within that much more distance.
        let found = clipper_loops(&soft, -step);
        let wanted = found.iter().filter(|c| c.area().abs() > LEAST).count();
        let agrees = loops == wanted
            || [0.5, 1.0]
                .iter()
                .any(|late| clipper_inset(&soft, step + late * distance * arcs, LEAST).0 == loops);
        before = simplified(&found, SIMPLER);
        assert!(agrees, "{loops} loops {distance} mm inside {name}, wanted {wanted}");
        let wanted_area: f64 = before.iter().map(Contour::area).sum();
        // A thousandth, and for slivers what the second library's arcs leave along the ring.
        let length: f64 = ring.iter().flat_map(Region::contours).map(Contour::length).sum();
        let allowed = (1e-3 * area).max((distance * arcs + SIMPLER * (index + 1) as f64) * length);
        assert!(
            (area - wanted_area).abs() < allowed,
            "area {distance} mm inside {name}: {area}, wanted {wanted_area}"
        );
    }
    if most.is_none() {
        // Nothing is left beyond the last ring.
        assert_eq!(clipper_inset(&before, step, LEAST).0, 0);
    }
}

#[test]
fn the_arched_cap_agrees_with_a_second_library_on_every_ring() {
    compare("arched-cap.rings", 2.0, None, TURN);
}

#[test]
fn the_leaf_agrees_with_a_second_library_on_every_ring() {
    compare("leaf-13k.rings", 1.5, None, TURN);
}

#[test]
fn the_fine_leaf_agrees_with_a_second_library_on_every_ring() {
    compare("leaf-130k.rings.gz", 1.5, None, TURN);
}
