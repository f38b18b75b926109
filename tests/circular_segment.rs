//! The circular segment against worked figures and against itself.

use ovolo::geometry::{CircularSegment, SegmentError, point};
use proptest::prelude::*;

/// chord, rise, radius, half angle (deg), arc, area, bulge, mitre (deg). The first row is
/// R. G. Hatfield, The American House Carpenter, art. 518 (radius 75, chord 120, versed sine
/// 30); the rest are Pythagorean triples and closed form.
const KNOWN: [[f64; 8]; 7] = [
    [120.0, 30.0, 75.0, 53.130102, 139.094283, 2516.0356, 0.5, 18.434949],
    [12.0, 2.0, 10.0, 36.869898, 12.870022, 16.3501, 0.333333, 26.565051],
    [1000.0, 100.0, 1300.0, 22.619865, 1026.456911, 67196.9923, 0.2, 33.690068],
    [1200.0, 60.0, 3030.0, 11.421186, 1207.984068, 48095.8633, 0.1, 39.289407],
    [1219.2, 76.2, 2476.5, 14.250033, 1231.860576, 62128.4782, 0.125, 37.874984],
    [914.4, 101.6, 1079.5, 25.057615, 944.212508, 62542.8213, 0.222222, 32.471192],
    [2000.0, 1000.0, 1000.0, 90.0, 3141.592654, 1570796.3268, 1.0, 0.0],
];

#[test]
fn known_segments_come_out_of_any_two_of_their_figures() {
    for [chord, rise, radius, half, arc, area, bulge, mitre] in KNOWN {
        for segment in [
            CircularSegment::from_chord_and_rise(chord, rise),
            CircularSegment::from_chord_and_radius(chord, radius),
            CircularSegment::from_rise_and_radius(rise, radius),
            CircularSegment::from_three_points(
                point(-chord / 2.0, 0.0),
                point(0.0, rise),
                point(chord / 2.0, 0.0),
            ),
        ] {
            let s = segment.expect("a known segment");
            let near = |a: f64, b: f64, digits: f64| assert!((a - b).abs() < digits, "{a} {b}");
            near(s.chord, chord, 1e-9 * chord);
            near(s.rise, rise, 1e-9 * chord);
            near(s.radius, radius, 1e-9 * radius);
            near(s.half_angle().to_degrees(), half, 6e-7);
            near(s.arc_length(), arc, 6e-7 * arc.max(1.0));
            near(s.area(), area, 6e-5);
            near(s.bulge(), bulge, 5e-7);
            near(s.return_mitre().to_degrees(), mitre, 6e-7);
        }
    }
}

#[test]
fn a_segment_that_can_not_be_names_the_number_that_can() {
    assert_eq!(
        CircularSegment::from_chord_and_rise(100.0, 60.0),
        Err(SegmentError::RiseTooGreat { rise: 60.0, most: 50.0 })
    );
    assert_eq!(
        CircularSegment::from_chord_and_radius(100.0, 40.0),
        Err(SegmentError::RadiusTooSmall { radius: 40.0, least: 50.0 })
    );
    let line =
        CircularSegment::from_three_points(point(0.0, 0.0), point(1.0, 0.0), point(2.0, 0.0));
    assert_eq!(line, Err(SegmentError::PointsInLine));
    let greater =
        CircularSegment::from_three_points(point(-1.0, 0.0), point(0.0, 5.0), point(1.0, 0.0));
    assert!(matches!(greater, Err(SegmentError::MoreThanHalf { .. })));
    assert_eq!(CircularSegment::from_chord_and_rise(f64::NAN, 1.0), Err(SegmentError::Chord));
}

proptest! {
    #[test]
    fn stations_lie_on_the_circle(chord in 10.0..5000.0f64, share in 0.0001..0.5f64, n in 1usize..40) {
        let s = CircularSegment::from_chord_and_rise(chord, chord * share).expect("valid");
        let stations = s.stations(n);
        prop_assert_eq!(stations.len(), n + 1);
        let center = point(chord / 2.0, s.rise - s.radius);
        for station in stations {
            prop_assert!((station.distance(center) - s.radius).abs() < 1e-9 * s.radius.max(1.0));
        }
    }

    #[test]
    fn figures_go_round_without_loss(chord in 10.0..5000.0f64, share in 0.001..0.5f64) {
        let s = CircularSegment::from_chord_and_rise(chord, chord * share).expect("valid");
        let t = CircularSegment::from_chord_and_radius(s.chord, s.radius).expect("valid");
        // Near the half circle the rise answers a rounding of the radius by its square root.
        let loose = if share > 0.49 { 1e-4 } else { 1e-9 };
        prop_assert!((t.rise - s.rise).abs() < loose * chord, "{} {}", t.rise, s.rise);
        let u = CircularSegment::from_rise_and_radius(s.rise, s.radius).expect("valid");
        prop_assert!((u.chord - s.chord).abs() < 1e-9 * chord);
    }
}
