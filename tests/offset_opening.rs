//! What a cutter reaches, and rings with their parents.
#![allow(clippy::unwrap_used)]

use ovolo::geometry::{Contour, Point, Region, outset_all, point};
use proptest::prelude::*;
use std::f64::consts::PI;

fn alone(contour: Contour) -> Region {
    Region::new(contour, Vec::new()).unwrap()
}

fn area(regions: &[Region]) -> f64 {
    regions.iter().map(Region::area).sum()
}

#[test]
fn a_rectangle_opens_to_one_with_round_corners() {
    let opened =
        alone(Contour::rectangle(point(0.0, 0.0), point(200.0, 100.0))).opening(6.35).unwrap();
    // Closed form: at each corner a square of the radius less a quarter circle is missing.
    let wanted = 20_000.0 - (4.0 - PI) * 6.35 * 6.35;
    assert_eq!(opened.len(), 1);
    assert!((area(&opened) - wanted).abs() < 1e-6 * wanted);
}

#[test]
fn rooms_whose_discs_meet_in_the_slot_open_to_one() {
    // Two rooms of 40 x 40 and a slot between them, 20 long and 4 wide: a disc of 3 does not
    // pass, and from the left and right it reaches into the slot's mouth by less than 10.
    let corners = [
        (0.0, 0.0),
        (40.0, 0.0),
        (40.0, 18.0),
        (60.0, 18.0),
        (60.0, 0.0),
        (100.0, 0.0),
        (100.0, 40.0),
        (60.0, 40.0),
        (60.0, 22.0),
        (40.0, 22.0),
        (40.0, 40.0),
        (0.0, 40.0),
    ];
    let rooms = alone(Contour::polygon(&corners.map(|(x, y)| point(x, y))));
    let opened = rooms.opening(3.0).unwrap();
    assert_eq!(opened.len(), 2);
    assert!(area(&opened) < 2.0 * 1600.0 && area(&opened) > 2.0 * (1600.0 - 4.0 * 9.0));
    // Grown by more than half of the 20 between them they are one.
    assert_eq!(outset_all(&opened, 10.1).unwrap().len(), 1);
}

#[test]
fn each_ring_lies_in_its_parent() {
    let corners = [
        (0.0, 0.0),
        (40.0, 0.0),
        (40.0, 15.0),
        (60.0, 15.0),
        (60.0, 0.0),
        (100.0, 0.0),
        (100.0, 40.0),
        (60.0, 40.0),
        (60.0, 25.0),
        (40.0, 25.0),
        (40.0, 40.0),
        (0.0, 40.0),
    ];
    let rooms = alone(Contour::polygon(&corners.map(|(x, y)| point(x, y))));
    let levels = rooms.nest(1.0, 2.0, None).unwrap();
    let counts: Vec<usize> = levels.iter().map(Vec::len).collect();
    // The slot of 10 is closed from 5 on; the rooms of 40 from 20 on: rings at 1, 3, 5 .. 19.
    assert_eq!(counts, [1, 1, 2, 2, 2, 2, 2, 2, 2, 2]);
    assert!(levels[0].iter().all(|n| n.parent.is_none()));
    for pair in levels.windows(2) {
        for child in &pair[1] {
            let parent = &pair[0][child.parent.unwrap()].region;
            assert!(child.region.outer().vertices.iter().all(|v| parent.contains(v.at)));
        }
    }
    assert_ne!(levels[2][0].region, levels[2][1].region);
    assert_eq!((levels[3][0].parent, levels[3][1].parent), (Some(0), Some(1)));
}

#[test]
fn regions_that_overlap_are_refused() {
    let circle = |x: f64| alone(Contour::circle(point(x, 0.0), 10.0));
    assert!(outset_all(&[circle(0.0), circle(15.0)], 1.0).is_err());
    assert!(outset_all(&[circle(0.0)], -1.0).is_err());
    assert!(outset_all(&[], 1.0).unwrap().is_empty());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(100))]

    #[test]
    fn opening_keeps_inside_and_opening_again_changes_nothing(
        radii in proptest::collection::vec(10.0..60.0f64, 3..24),
        radius in 0.5..8.0f64,
    ) {
        let n = radii.len();
        let corners: Vec<Point> = radii
            .iter()
            .enumerate()
            .map(|(i, &r)| Point::polar(r, 2.0 * PI * i as f64 / n as f64))
            .collect();
        let whole = alone(Contour::polygon(&corners));
        let opened = whole.opening(radius).unwrap();
        prop_assert!(area(&opened) <= whole.area() + 1e-6);
        for region in &opened {
            for v in region.contours().flat_map(|c| &c.vertices) {
                let away = whole.outer().nearest(v.at).unwrap().0;
                prop_assert!(whole.contains(v.at) || away < 1e-3, "{away} mm outside");
            }
            let again = region.opening(radius * 0.999).unwrap();
            // Within the tolerance along the outline.
            let slack = 1e-3 * region.contours().map(Contour::length).sum::<f64>();
            prop_assert!((area(&again) - region.area()).abs() < slack);
        }
    }
}
