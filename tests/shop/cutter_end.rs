//! Widths and sections of cutters' ends against closed forms.

use crate::cutter;
use approx::assert_relative_eq;
use ovolo::shop::{Cutter, CutterShape};
use std::f64::consts::PI;

fn of(shape: CutterShape, diameter: f64, angle: f64, tip: f64, corner: f64) -> Cutter {
    cutter(1, |c| {
        c.shape = shape;
        c.diameter.0 = diameter;
        c.included_angle.0 = angle.to_radians();
        c.tip_diameter.0 = tip;
        c.corner_radius.0 = corner;
    })
    .1
}

#[test]
fn a_ball_is_as_wide_as_its_chord() {
    // Closed form: touching diameter 2 sqrt(a (2r - a)); r 3, a 0.5: 3.3166.
    let ball = of(CutterShape::Ball, 6.0, 0.0, 0.0, 0.0);
    assert_relative_eq!(ball.width_at(0.5), 3.3166, epsilon = 5e-5);
    assert_eq!([ball.width_at(0.0), ball.width_at(3.0), ball.width_at(9.0)], [0.0, 6.0, 6.0]);
    // Half a disc, then a slot: pi r^2 / 2 + D (a - r).
    let section = PI * 9.0 / 2.0 + 6.0 * 2.0;
    assert_relative_eq!(ball.groove_section(5.0), section, max_relative = 1e-3);
}

#[test]
fn a_v_opens_as_its_angle_says() {
    // Closed form: depth (w/2) / tan(g/2); w 10: 30 deg 18.6603, 60 deg 8.6603, 90 deg 5,
    // 120 deg 2.8868.
    for (angle, depth) in [(30.0, 18.6603), (60.0, 8.6603), (90.0, 5.0), (120.0, 2.8868)] {
        let v = of(CutterShape::V, 20.0, angle, 0.0, 0.0);
        assert_relative_eq!(v.width_at(depth), 10.0, epsilon = 1e-3);
        // A triangle.
        assert_relative_eq!(v.groove_section(depth), 10.0 * depth / 2.0, max_relative = 1e-4);
    }
    // With a flat tip d: (w - d)/2 over the tangent.
    let v = of(CutterShape::V, 20.0, 90.0, 2.0, 0.0);
    assert_relative_eq!(v.width_at(4.0), 10.0, epsilon = 1e-9);
    assert_eq!(v.width_at(100.0), 20.0);
}

#[test]
fn a_taper_ball_is_a_ball_and_then_a_cone() {
    // Ball of radius 1, half angle 10 deg: they touch at radius cos 10 deg and height
    // 1 - sin 10 deg (closed form), without a step.
    let taper = of(CutterShape::TaperBall, 6.0, 20.0, 2.0, 0.0);
    let touch = 1.0 - 10f64.to_radians().sin();
    let wide = 2.0 * 10f64.to_radians().cos();
    assert_relative_eq!(taper.width_at(touch - 1e-9), wide, epsilon = 1e-6);
    assert_relative_eq!(taper.width_at(touch + 1e-9), wide, epsilon = 1e-6);
    let up = taper.width_at(touch + 1.0) - wide;
    assert_relative_eq!(up, 2.0 * 10f64.to_radians().tan(), epsilon = 1e-9);
    assert_eq!(taper.width_at(100.0), 6.0);
}

#[test]
fn a_bull_nose_is_flat_with_round_corners() {
    let bull = of(CutterShape::BullNose, 12.0, 0.0, 0.0, 2.0);
    assert_eq!([bull.width_at(0.0), bull.width_at(2.0), bull.width_at(5.0)], [8.0, 12.0, 12.0]);
    // A slot less the two corners: D a - 2 (1 - pi/4) r^2.
    let section = 12.0 * 5.0 - 2.0 * (1.0 - PI / 4.0) * 4.0;
    assert_relative_eq!(bull.groove_section(5.0), section, max_relative = 1e-3);
    assert_eq!(of(CutterShape::Flat, 6.0, 0.0, 0.0, 0.0).groove_section(2.5), 15.0);
}
