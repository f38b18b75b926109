//! Every ring of three hard outlines against a second library.
#![allow(clippy::unwrap_used)]

mod offset_support;

use offset_support::{clipper_inset, region, softened, summary};
use ovolo::geometry::{Contour, Region};
use rayon::prelude::*;

/// Loops smaller than this, square millimetres, are not counted: the second library works on a
/// grid and with chords.
const LEAST: f64 = 0.01;

/// Angle to which corners are softened for the second library, radians: its arcs then lie within
/// 1/5000 of the distance of the true ones.
const TURN: f64 = 0.04;

fn compare(name: &str, step: f64, most: Option<usize>, which: impl Fn(usize) -> bool) {
    let region = region(name);
    let contours: Vec<Contour> = region.contours().map(|c| softened(c, TURN)).collect();
    let rings = region.rings(step, step, most).unwrap();
    let chosen: Vec<usize> = (0..rings.len()).filter(|&i| which(i)).collect();
    chosen.par_iter().for_each(|&index| {
        let distance = step * (index + 1) as f64;
        let (loops, area) = summary(&rings[index], LEAST);
        let (wanted_loops, wanted_area) = clipper_inset(&contours, distance, LEAST);
        assert!(
            loops == wanted_loops || loops_within_its_arcs(&contours, distance, loops),
            "{loops} loops {distance} mm inside {name}, wanted {wanted_loops}"
        );
        // A thousandth, and for slivers what the second library's arcs leave along the ring.
        let length: f64 = rings[index].iter().flat_map(Region::contours).map(Contour::length).sum();
        let allowed = (1e-3 * area).max(distance * TURN * TURN / 8.0 * length);
        assert!(
            (area - wanted_area).abs() < allowed,
            "area {distance} mm inside {name}: {area}, wanted {wanted_area}"
        );
    });
    if most.is_none() {
        // Nothing is left beyond the last ring.
        let last = step * (rings.len() + 1) as f64;
        assert_eq!(clipper_inset(&contours, last, LEAST).0, 0);
    }
}

/// The second library's arcs are chords, so that it stands where the true ring stood a little
/// before. Where loops part or vanish just there, it must show the same number of them within
/// that much more distance.
fn loops_within_its_arcs(contours: &[Contour], distance: f64, loops: usize) -> bool {
    let arcs = TURN * TURN / 8.0;
    [0.5, 1.0]
        .iter()
        .any(|share| clipper_inset(contours, distance * (1.0 + share * arcs), LEAST).0 == loops)
}

#[test]
fn the_arched_cap_agrees_with_a_second_library_on_every_ring() {
    compare("arched-cap.rings", 2.0, None, |_| true);
}

#[test]
fn the_leaf_agrees_with_a_second_library_on_every_ring() {
    compare("leaf-13k.rings", 1.5, None, |_| true);
}

#[test]
fn the_fine_leaf_is_certified_on_every_ring_and_agrees_on_the_first() {
    compare("leaf-130k.rings.gz", 1.5, Some(1), |_| true);
    // Ten times as many corners on the same curves: the same loops all the way in.
    let counts = |name: &str| -> Vec<usize> {
        let rings = region(name).rings(1.5, 1.5, None).unwrap();
        rings.iter().map(|ring| summary(ring, 1.0).0).collect()
    };
    assert_eq!(counts("leaf-130k.rings.gz"), counts("leaf-13k.rings"));
}
