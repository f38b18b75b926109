//! Arcs: section 3.5.3, and the arcs of the sample program of appendix C.1.

use super::common::{HEAD, after_head, breaks, clean, motions, refused, warnings};
use approx::assert_abs_diff_eq;
use ovolo::geometry::{Arc, Plane};
use ovolo::ngc::{Motion, Options, Rule, interpret_all};
use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// The last move of lines behind the head.
fn last(lines: &str) -> Motion {
    *motions(&after_head(lines)).last().unwrap()
}

fn arc(lines: &str) -> Arc {
    last(lines).stroke.arc.unwrap()
}

#[test]
fn the_example_of_the_report() {
    // 3.5.3.2: centre (10, 11), radius 5; sweep and length worked in closed form
    let m = last("G0 X7 Y7 Z9\nG17 G2 X10 Y16 I3 J4 Z9");
    let a = m.stroke.arc.unwrap();
    assert_eq!((a.center.x, a.center.y), (10.0, 11.0));
    assert_abs_diff_eq!(a.sweep.to_degrees(), -143.1301, epsilon = 1e-4);
    assert_abs_diff_eq!(m.stroke.length(), 12.4905, epsilon = 1e-4);
}

#[test]
fn the_arcs_of_the_sample_program_of_appendix_c_1() {
    // Centre, radius, sweep and length worked in closed form on the published listing's ends.
    for (start, line, center, sweep, length) in [
        ("X16 Y2.5", "G3 X13.5 Y0 I-2.5 J0", (13.5, 2.5), 270.0, 11.7810),
        ("X35 Y2.5", "G2 X35 Y2.5 I-2.5", (32.5, 2.5), 360.0, 15.7080),
        ("X79.5 Y0", "G3 X79.5 Y5 J2.5", (79.5, 2.5), 180.0, 7.8540),
        ("X64 Y4", "G2 X69 Y4 R4", (66.5, 0.8775), 77.3644, 5.4011),
    ] {
        let m = last(&format!("G0 {start}\n{line}"));
        let a = m.stroke.arc.unwrap();
        assert_abs_diff_eq!(a.center.x, center.0, epsilon = 1e-4);
        assert_abs_diff_eq!(a.center.y, center.1, epsilon = 1e-4);
        assert_abs_diff_eq!(a.sweep.abs().to_degrees(), sweep, epsilon = 1e-4);
        assert_abs_diff_eq!(m.stroke.length(), length, epsilon = 1e-4);
    }
}

#[test]
fn clockwise_is_seen_from_the_positive_end_of_the_axis() {
    // 3.5.3: quarter turns about the first axis's positive side
    for (plane, start, end, offset) in [
        ("G17", "X10", "X0 Y10", "I-10"),
        ("G18", "Z10", "Z0 X10", "K-10"),
        ("G19", "Y10", "Y0 Z10", "J-10"),
    ] {
        let lines = format!("G0 X0 Y0 Z0\nG0 {start}\n{plane} G3 {end} {offset}");
        assert_abs_diff_eq!(arc(&lines).sweep, FRAC_PI_2, epsilon = 1e-12);
        let lines = format!("G0 X0 Y0 Z0\nG0 {start}\n{plane} G2 {end} {offset}");
        assert_abs_diff_eq!(arc(&lines).sweep, -1.5 * PI, epsilon = 1e-12);
    }
    assert_eq!(arc("G0 X10\nG18 G2 X0 Z40 K-10\nG17").plane, Plane::Zx);
}

#[test]
fn a_third_axis_word_makes_a_helix() {
    // 3.5.3; F is along the helix, 2.1.2.6
    let m = last("G0 X10\nG3 X-10 Z40 I-10");
    assert_eq!(m.stroke.to.z, 40.0);
    assert_abs_diff_eq!(m.stroke.length(), (10.0 * PI).hypot(10.0), epsilon = 1e-9);
}

#[test]
fn an_arc_that_ends_where_it_starts_is_a_whole_turn() {
    // 3.5.3.2
    assert_eq!(arc("G2 X0 I5").sweep, -TAU);
    assert_eq!(arc("G3 X0 Y0 I5").sweep, TAU);
    assert_eq!(arc("G91 G3 X0 I5").sweep, TAU);
    assert_eq!(arc("G3 X0 Z40 J5").sweep, TAU);
    // Incremental sums that come back by rounding only are whole turns too.
    assert_eq!(arc("G91 G1 X0.1\nX0.2\nG90 G3 X0.3 J5").sweep, TAU);
}

#[test]
fn a_full_circle_still_has_an_end_word() {
    // 3.5.3.2
    breaks("G2 I5", Rule::AxisWordsMissing);
    breaks("G2 Z40 I5", Rule::ArcWords);
    breaks("G2 Z40 R5", Rule::ArcWords);
    breaks("G18 G2 Y5 I5", Rule::ArcWords);
}

#[test]
fn arcs_have_a_radius_or_an_offset_of_their_plane() {
    // 3.5.3
    breaks("G2 X5", Rule::ArcWords);
    breaks("G2 X5 R5 I2", Rule::ArcWords);
    breaks("G2 X10 K5", Rule::ArcWords);
    breaks("G2 X10 I5 K5", Rule::ArcWords);
    breaks("G18 G2 X10 J5", Rule::ArcWords);
    breaks("G19 G2 Y10 I5", Rule::ArcWords);
    breaks("G2 X0 I0 J0", Rule::ArcRadii);
}

#[test]
fn offsets_are_increments_from_the_start_in_either_distance_mode() {
    // 3.5.17
    assert_eq!(arc("G0 X10\nG3 X20 I5").center.x, 15.0);
    assert_eq!(arc("G0 X10\nG91 G3 X10 I5").center.x, 15.0);
}

#[test]
fn radii_differ_by_no_more_than_two_thousandths_of_a_millimetre() {
    // 3.5.3.2
    arc("G2 X10.002 I5");
    breaks("G2 X10.0021 I5", Rule::ArcRadii);
    // Told in the program's own units.
    assert_eq!(
        refused("G20 G2 X0.99 I0.5").message,
        "the centre is 0.5 in from the start and 0.49 in from the end: they differ by 0.01 in, allowed are 0.0002 in"
    );
    assert_eq!(
        refused("G2 X9.99 I5").message,
        "the centre is 5 mm from the start and 4.99 mm from the end: they differ by 0.01 mm, allowed are 0.002 mm"
    );
}

#[test]
fn radii_differ_by_no_more_than_two_ten_thousandths_of_an_inch() {
    // 3.5.3.2: 0.0002 in are 0.00508 mm
    arc("G20 G2 X10.0002 I5");
    breaks("G20 G2 X10.00021 I5", Rule::ArcRadii);
    arc("G20 G2 X2 I1\nG21");
    breaks("G21 G2 X10.005 I5", Rule::ArcRadii);
}

#[test]
fn a_radius_gives_the_small_arc_and_a_negative_one_the_large() {
    // 3.5.3.1
    for (line, center, degrees) in [
        ("G2 X10 Y10 R10", (10.0, 0.0), -90.0),
        ("G3 X10 Y10 R10", (0.0, 10.0), 90.0),
        ("G2 X10 Y10 R-10", (0.0, 10.0), -270.0),
        ("G3 X10 Y10 R-10", (10.0, 0.0), 270.0),
    ] {
        let a = arc(line);
        assert_abs_diff_eq!(a.center.x, center.0, epsilon = 1e-9);
        assert_abs_diff_eq!(a.center.y, center.1, epsilon = 1e-9);
        assert_abs_diff_eq!(a.sweep.to_degrees(), degrees, epsilon = 1e-9);
    }
}

#[test]
fn a_radius_that_does_not_reach_or_has_no_chord_is_refused() {
    // 3.5.3.1; half chord above the radius from memory
    breaks("G2 X0 R5", Rule::ArcRadius);
    breaks("G2 X10 R4.9", Rule::ArcRadius);
    breaks("G2 X10 R0", Rule::ArcRadius);
    assert_eq!(warnings("G2 X10 R4.999"), [Rule::ArcIllConditioned]);
}

#[test]
fn the_report_warns_against_radii_near_a_half_and_a_whole_turn() {
    // 3.5.3.1: 165 to 195 degrees, and above 345
    let chord = |degrees: f64| 20.0 * (degrees.to_radians() / 2.0).sin();
    for (degrees, sign, warned) in [
        (160.0, "", false),
        (166.0, "", true),
        (180.0, "", true),
        (194.0, "-", true),
        (200.0, "-", false),
        (340.0, "-", false),
        (350.0, "-", true),
    ] {
        let line = format!("G2 X{:.9} R{sign}10", chord(degrees));
        let expected: &[Rule] = if warned { &[Rule::ArcIllConditioned] } else { &[] };
        assert_eq!(warnings(&line), expected, "{degrees}");
    }
}

#[test]
fn ends_that_nearly_meet_get_a_warning() {
    // 3.5.3.2: rounded to one point they would be a whole turn.
    assert_eq!(warnings("G2 X0.0005 Y0.0005 I50 J-50"), [Rule::ArcEndsClose]);
    assert_eq!(warnings("G2 X0.01 Y0.01 I50 J-50"), []);
}

#[test]
fn an_arc_starts_at_a_known_point() {
    let (_, problems) = interpret_all("G21 F5 G0 X1\nG2 X5 I2\nM2\n", &Options::default());
    assert_eq!(problems[0].rule, Rule::ArcStart);
    // The axis along may be unknown.
    clean("G21 F5 G0 X1 Y1\nG2 X5 I2\nM2\n");
}

#[test]
fn strokes_end_where_the_text_says() {
    let (events, _) = interpret_all(&format!("{HEAD}G3 X7 Y1 R20\nM2\n"), &Options::default());
    let m = *motions(&events).last().unwrap();
    let a = m.stroke.arc.unwrap();
    for p in [m.stroke.from, m.stroke.to] {
        assert_abs_diff_eq!(a.center.distance(p.xy()), 20.0, epsilon = 1e-9);
    }
    assert_abs_diff_eq!(m.stroke.at(0.5).xy().distance(a.center), 20.0, epsilon = 1e-9);
    let turned = (m.stroke.from.xy() - a.center).rotated(a.sweep) + a.center;
    assert_abs_diff_eq!(turned.distance(m.stroke.to.xy()), 0.0, epsilon = 1e-9);
}
