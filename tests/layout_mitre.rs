//! Compound settings and the curved truth of a cap's corner.
#![allow(clippy::unwrap_used)]

use ovolo::geometry::{CircularSegment, point};
use ovolo::layout::mitre::*;
use proptest::prelude::*;

#[test]
fn compound_settings_are_those_of_the_tables() {
    // (spring from the wall, corner, mitre, bevel). 38/90 is printed in saw guides as 31.62 and
    // 33.86, 45/90 as 35.3 and 30 (from memory); the rest closed form.
    let table = [
        (38.0, 90.0, 31.619, 33.863),
        (45.0, 90.0, 35.264, 30.000),
        (52.0, 90.0, 38.238, 25.807),
        (30.0, 90.0, 26.565, 37.761),
        (38.0, 120.0, 19.568, 23.204),
        (38.0, 135.0, 14.306, 17.551),
        (45.0, 120.0, 22.208, 20.705),
        (45.0, 60.0, 50.768, 37.761),
    ];
    for (spring, corner, mitre, bevel) in table {
        let (s, w) = (f64::to_radians(spring), f64::to_radians(corner));
        let got = compound(s, SpringFrom::Wall, w).unwrap();
        assert!((got.mitre.to_degrees() - mitre).abs() < 5.1e-4, "{spring}/{corner}: {got:?}");
        assert!((got.bevel.to_degrees() - bevel).abs() < 5.1e-4, "{spring}/{corner}: {got:?}");
        // The same moulding, its angle named from the ceiling.
        let other = compound((90.0 - spring).to_radians(), SpringFrom::Ceiling, w).unwrap();
        assert!((other.mitre - got.mitre).abs() < 1e-12 && (other.bevel - got.bevel).abs() < 1e-12);
    }
    assert!(compound(1.6, SpringFrom::Wall, 1.0).is_err());
    assert!(compound(f64::NAN, SpringFrom::Wall, 1.0).is_err());
    assert!(compound(0.6, SpringFrom::Wall, 0.0).is_err());
}

/// c 1000, s 100, R 1300: y(p) = sqrt((R + p)² - (c/2 + p)²) - 1200.
#[test]
fn the_true_mitre_of_the_bowed_cap_departs_by_a_third_of_a_millimetre() {
    let front = CircularSegment::from_chord_and_rise(1000.0, 100.0).unwrap();
    let mitre = CurvedMitre::new(front, 100.0);
    for (p, y) in [(0.0, 0.0), (25.0, 16.5525), (50.0, 32.8828), (75.0, 48.9996), (100.0, 64.9111)]
    {
        assert!((mitre.depth_at(p) - y).abs() < 5e-5);
    }
    let report = mitre.report();
    assert!((report.each.tan() - 2.0 / 3.0).abs() < 1e-12);
    assert!((report.straight_on_return.to_degrees() - 32.988).abs() < 5e-4);
    assert!((report.departure - 0.3584).abs() < 5e-5);
    assert!((report.departure_at - 49.3).abs() < 0.05);
    // The two straight cuts together make the turn.
    assert!((report.straight_on_return + report.straight_on_arc - report.turn).abs() < 1e-12);
}

#[test]
fn a_half_circle_meets_its_returns_in_a_straight_butt() {
    let front = CircularSegment::from_chord_and_rise(1000.0, 500.0).unwrap();
    let report = CurvedMitre::new(front, 40.0).report();
    assert!(report.turn.abs() < 1e-12 && report.depth == 0.0 && report.departure == 0.0);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// The plane that halves a corner, cut by the moulding's own planes: vectors against formulas.
    #[test]
    fn compound_settings_cut_along_the_halving_plane(s in 0.05..1.5_f64, w in 0.2..3.0_f64) {
        let got = compound(s, SpringFrom::Wall, w).unwrap();
        // Run along x on a wall in the plane y = 0, z up; the back leans out by s from the wall.
        let across = [0.0, s.sin(), s.cos()];
        let out_of_face = [0.0, s.cos(), -s.sin()];
        // The halving plane stands upright and makes w/2 with the wall: its normal is level.
        let normal = [(w / 2.0).sin(), -(w / 2.0).cos(), 0.0];
        let dot = |a: [f64; 3], b: [f64; 3]| a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
        // In the moulding's flat: the cut's line has slope -(n.across)/(n.run) off square.
        let mitre = (-dot(normal, across) / normal[0]).atan();
        let bevel = dot(normal, out_of_face).abs().asin();
        prop_assert!((got.mitre - mitre.abs()).abs() < 1e-9);
        prop_assert!((got.bevel - bevel).abs() < 1e-9);
    }

    /// Every point of the drawn mitre is equally far from the return's back and from the front.
    #[test]
    fn the_drawn_mitre_halves_the_two_mouldings(
        c in 200.0..3000.0_f64, part in 0.01..0.99_f64, p in 5.0..200.0_f64,
    ) {
        let front = CircularSegment::from_chord_and_rise(c, part * c / 2.0).unwrap();
        let mitre = CurvedMitre::new(front, p);
        let drawn = mitre.contour(0.001);
        let center = point(0.0, front.rise - front.radius);
        for at in drawn.flattened(1e-4) {
            let from_return = -at.x - c / 2.0;
            let from_front = at.distance(center) - front.radius;
            prop_assert!((from_return - from_front).abs() < 0.0025, "{from_return} {from_front}");
        }
        // The reported departure is what sampling finds.
        let points = mitre.points(2000);
        let (a, b) = (points[0], points[2000]);
        let most = points.iter()
            .map(|q| ((b - a).cross(*q - a) / a.distance(b)).abs()).fold(0.0, f64::max);
        prop_assert!((most - mitre.report().departure).abs() < 1e-4 * (1.0 + most));
    }
}
