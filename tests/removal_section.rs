//! The section of every cutter of the table, and what makes no cutter.
#![allow(clippy::unwrap_used)]

use ovolo::dry_run::removal::Section;
use ovolo::shop::{Cutter, CutterMaterial, CutterShape};
use ovolo::units::{Angle, Length};

fn cutter(shape: CutterShape, diameter: f64) -> Cutter {
    Cutter {
        number: 7,
        name: "spare".into(),
        shape,
        diameter: Length(diameter),
        flutes: 2,
        flute_length: Length(20.0),
        stick_out: Length(40.0),
        holder_diameter: Length(30.0),
        corner_radius: Length(0.0),
        included_angle: Angle(0.0),
        tip_diameter: Length(0.0),
        centre_cutting: true,
        max_rpm: 24_000.0,
        material: CutterMaterial::Carbide,
    }
}

fn near(cutter: &Cutter, r: f64, height: f64) {
    let found = Section::of(cutter).unwrap().height(r).unwrap();
    assert!((found - height).abs() < 1e-9, "{found} at {r} for {height}");
}

#[test]
fn every_shape_rises_as_its_closed_form() {
    near(&cutter(CutterShape::Flat, 6.0), 3.0, 0.0);
    // 3-4-5: 4 from the axis of a ball of 5, the edge is 5 - 3 above the tip.
    near(&cutter(CutterShape::Ball, 10.0), 4.0, 2.0);
    let mut bull = cutter(CutterShape::BullNose, 14.0);
    bull.corner_radius = Length(5.0);
    near(&bull, 2.0, 0.0);
    near(&bull, 6.0, 2.0);
    let mut v = cutter(CutterShape::V, 12.0);
    (v.included_angle, v.tip_diameter) = (Angle(90_f64.to_radians()), Length(1.0));
    near(&v, 0.5, 0.0);
    near(&v, 6.0, 5.5);
    let mut drill = cutter(CutterShape::Drill, 8.0);
    drill.included_angle = Angle(118_f64.to_radians());
    near(&drill, 4.0, 4.0 / 59_f64.to_radians().tan());
    let mut taper = cutter(CutterShape::TaperBall, 6.0);
    (taper.included_angle, taper.tip_diameter) = (Angle(60_f64.to_radians()), Length(2.0));
    // Ball 1, half angle 30: they meet at cos 30, 1 - sin 30, and then it rises by cot 30.
    let meet = 3_f64.sqrt() / 2.0;
    near(&taper, meet, 0.5);
    near(&taper, meet + 1.0, 0.5 + 3_f64.sqrt());
    assert_eq!(Section::of(&taper).unwrap().height(3.1), None);
    assert_eq!(Section::of(&taper).unwrap().feature(), 2.0);
}

#[test]
fn what_makes_no_cutter_is_said_with_a_way_out() {
    let refuse = |cutter: &Cutter, part: &str| {
        let fault = Section::of(cutter).unwrap_err();
        assert!(fault.message.starts_with("cutter 7, spare: "), "{fault}");
        assert!(fault.message.contains(part) && fault.help.is_some(), "{fault}");
    };
    refuse(&cutter(CutterShape::Flat, 0.0), "diameter of 0.000 mm");
    refuse(&cutter(CutterShape::Ball, f64::NAN), "diameter of NaN mm");
    refuse(&cutter(CutterShape::V, 6.0), "included angle of 0.0 deg");
    refuse(&cutter(CutterShape::BullNose, 6.0), "corner radius of 0.000 mm");
    let mut taper = cutter(CutterShape::TaperBall, 6.0);
    (taper.included_angle, taper.tip_diameter) = (Angle(0.2), Length(6.5));
    refuse(&taper, "radius of the ball of 3.250 mm");
    let mut v = cutter(CutterShape::V, 6.0);
    (v.included_angle, v.tip_diameter) = (Angle(1.0), Length(6.0));
    refuse(&v, "radius of the flat tip of 3.000 mm");
}
