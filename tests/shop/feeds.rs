//! Feeds, speeds and depths from the table.

use crate::{built_in, cutter, figures, wood};
use approx::assert_relative_eq;
use ovolo::shop::{CutterMaterial, CutterShape, DialStop, Overrides, Rigidity, all_materials};
use ovolo::units::{Feed, Length};

/// Millimetres in an inch.
const INCH: f64 = 25.4;

#[test]
fn figures_obey_the_formulas() {
    // Closed form: v = pi D n; fz = F / (n z). D 6 at 18,000 rpm: 5.65 m/s.
    let (shop, six) = cutter(1, |c| c.diameter.0 = 6.0);
    let job = Overrides { rpm: Some(18_000.0), ..Overrides::default() };
    let data = shop.cutting_data(&wood("mdf"), &six, &job).unwrap();
    assert_relative_eq!(data.surface_speed, 5.65, epsilon = 0.005);
    for material in all_materials() {
        for cutter in &shop.cutters {
            let d = figures(&shop, &material.name, cutter);
            let flutes = f64::from(cutter.flutes);
            assert_relative_eq!(
                d.feed.value,
                d.rpm.value * flutes * d.chip_load.value,
                max_relative = 1e-12
            );
            let rim = std::f64::consts::PI * cutter.diameter.0 * d.rpm.value / 60_000.0;
            assert_relative_eq!(d.surface_speed, rim, max_relative = 1e-12);
            assert_relative_eq!(d.force.high, 4.0 * d.force.low, max_relative = 1e-12);
            assert_relative_eq!(d.power.high, 4.0 * d.power.low, max_relative = 1e-12);
        }
    }
}

#[test]
fn chip_loads_are_the_charts_middle_and_half_on_a_light_machine() {
    // Published cutter-maker chart, inches, one diameter deep: 1/4 hardwood .005-.007, softwood
    // .006-.008, MDF .012-.015, plywood .006-.009.
    let mut shop = built_in();
    let quarter = shop.cutter(1).unwrap().clone();
    for (species, inches) in [
        ("sugar-maple", 0.006),
        ("yellow-poplar", 0.007),
        ("mdf", 0.0135),
        ("birch-plywood", 0.0075),
    ] {
        // The axes would hold back the coarsest.
        shop.machine.max_feed = [Feed(50_000.0); 3];
        shop.machine.rigidity = Rigidity::Stiff;
        let stiff = figures(&shop, species, &quarter);
        assert_relative_eq!(stiff.chip_load.value, inches * INCH, max_relative = 1e-9);
        assert_eq!(stiff.chip_load.by, "chart");
        shop.machine.rigidity = Rigidity::Light;
        let light = figures(&shop, species, &quarter);
        assert_relative_eq!(light.chip_load.value, inches * INCH / 2.0, max_relative = 1e-9);
        assert_eq!(light.chip_load.by, "chart, halved for a light machine");
    }
}

#[test]
fn diameters_beyond_the_chart_get_a_note() {
    let (shop, wide) = cutter(2, |c| c.diameter.0 = 20.0);
    let data = figures(&shop, "mdf", &wide);
    assert!(data.notes.iter().any(|n| n.contains("the chart goes from 1/8 to 1/2 in")), "{data:?}");
    let inside = figures(&shop, "mdf", shop.cutter(2).unwrap());
    assert!(!inside.notes.iter().any(|n| n.contains("chart goes")), "{inside:?}");
}

#[test]
fn the_rim_turns_within_its_band() {
    // Common practice: 10 to 25 m/s at the rim in wood, half for high-speed steel.
    let (shop, mut half) = cutter(2, |_| {});
    for species in ["yellow-poplar", "sugar-maple", "mdf"] {
        let speed = figures(&shop, species, &half).surface_speed;
        assert!((10.0..=25.0).contains(&speed), "{species} {speed}");
    }
    half.material = CutterMaterial::Hss;
    let steel = figures(&shop, "sugar-maple", &half).surface_speed;
    assert!((5.0..=12.5).contains(&steel), "{steel}");
}

#[test]
fn a_small_cutter_turns_as_fast_as_it_may_and_is_no_error() {
    let (shop, eighth) = cutter(3, |_| {});
    let data = figures(&shop, "sugar-maple", &eighth);
    assert_eq!((data.rpm.value, data.rpm.by.as_str()), (24_000.0, "mark on the cutter"));
    let (_, slow) = cutter(3, |c| c.max_rpm = 18_000.0);
    assert_eq!(figures(&shop, "sugar-maple", &slow).rpm.value, 18_000.0);
}

#[test]
fn a_hand_dial_is_set_to_a_mark_not_above_the_speed() {
    let (mut shop, quarter) = cutter(1, |_| {});
    let stop = |mark: &str, rpm: f64| DialStop { mark: mark.to_string(), rpm };
    shop.machine.spindle.dial =
        vec![stop("1", 10_000.0), stop("2", 16_000.0), stop("3", 22_000.0), stop("4", 26_000.0)];
    let data = figures(&shop, "sugar-maple", &quarter);
    assert_eq!(data.rpm.value, 22_000.0);
    assert_eq!(data.dial.as_deref(), Some("3"));
    assert_eq!(data.rpm.by, "dial mark 3, mark on the cutter");
    // An asked speed between marks goes down to the mark below.
    let job = Overrides { rpm: Some(20_000.0), ..Overrides::default() };
    let data = shop.cutting_data(&wood("mdf"), &quarter, &job).unwrap();
    assert_eq!((data.rpm.value, data.rpm.by.as_str()), (16_000.0, "dial mark 2, job file"));
    assert_relative_eq!(
        data.feed.value,
        data.rpm.value * 2.0 * data.chip_load.value,
        max_relative = 1e-12
    );
}

#[test]
fn no_dial_mark_is_faster_than_a_cutter_may_turn() {
    let (mut shop, slow) = cutter(1, |c| c.max_rpm = 9_000.0);
    shop.machine.spindle.dial = vec![DialStop { mark: "1".into(), rpm: 10_000.0 }];
    let problem = shop.cutting_data(&wood("mdf"), &slow, &Overrides::default()).unwrap_err();
    assert!(problem.message.contains("may turn at 9000 rpm at most"), "{problem}");
}

#[test]
fn depth_falls_with_hardness() {
    // Common practice, full width: soft wood and MDF one diameter, medium three quarters, hard
    // half. Cutter 2 stands out less than four diameters.
    let (shop, half) = cutter(2, |_| {});
    for (species, share, by) in [
        ("yellow-poplar", 1.0, "soft wood, 1 D"),
        ("mdf", 1.0, "sheet, 1 D"),
        ("black-cherry", 0.75, "medium wood, 3/4 D"),
        ("sugar-maple", 0.5, "hard wood, 1/2 D"),
    ] {
        let stepdown = figures(&shop, species, &half).stepdown;
        assert_relative_eq!(stepdown.value, share * 12.7, max_relative = 1e-12);
        assert_eq!(stepdown.by, by);
    }
}

#[test]
fn a_long_stick_out_halves_the_depth() {
    let (shop, long) = cutter(2, |c| c.stick_out.0 = 4.5 * c.diameter.0);
    let stepdown = figures(&shop, "sugar-maple", &long).stepdown;
    assert_relative_eq!(stepdown.value, 12.7 / 4.0, max_relative = 1e-12);
    assert_eq!(stepdown.by, "halved, stick-out over 4 D");
}

#[test]
fn flutes_limit_the_depth() {
    let (shop, short) = cutter(2, |c| c.flute_length.0 = 3.0);
    let stepdown = figures(&shop, "mdf", &short).stepdown;
    assert_eq!((stepdown.value, stepdown.by.as_str()), (3.0, "flute length"));
}

#[test]
fn a_weak_spindle_limits_the_depth() {
    let (mut shop, half) = cutter(2, |_| {});
    shop.machine.spindle.power = 150.0;
    let data = figures(&shop, "mdf", &half);
    assert_eq!(data.stepdown.by, "spindle power");
    assert_relative_eq!(data.power.high, 150.0, max_relative = 1e-6);
}

#[test]
fn a_cutter_that_would_bend_goes_less_deep() {
    let (mut shop, slender) = cutter(3, |c| {
        c.stick_out.0 = 50.0;
        c.flute_length.0 = 30.0;
    });
    shop.machine.rigidity = Rigidity::Stiff;
    let data = figures(&shop, "mdf", &slender);
    assert_eq!(data.stepdown.by, "bending of the cutter");
    assert_relative_eq!(data.deflection, 0.1, max_relative = 1e-6);
    assert!(data.stepdown.value > 0.05, "{}", data.stepdown.value);
}

#[test]
fn the_axes_limit_the_feed_and_the_chip_that_results_is_told() {
    let (mut shop, half) = cutter(2, |_| {});
    shop.machine.max_feed = [Feed(800.0), Feed(600.0), Feed(300.0)];
    let data = figures(&shop, "sugar-maple", &half);
    assert_eq!((data.feed.value, data.feed.by.as_str()), (600.0, "axis limit"));
    assert_eq!(data.chip_load.by, "axis limit");
    assert_relative_eq!(data.chip_load.value, 600.0 / (2.0 * data.rpm.value), max_relative = 1e-12);
    // At 10,000 rpm the chip would be 600 / (2 x 10,000) = 0.03 mm.
    let note = data.notes.iter().find(|n| n.contains("rubs and burns")).unwrap();
    assert!(note.contains("10000 rpm or less would make it 0.03 mm"), "{note}");
}

#[test]
fn entries_are_gentler_than_the_cut() {
    let shop = built_in();
    for material in all_materials() {
        for cutter in &shop.cutters {
            let d = figures(&shop, &material.name, cutter);
            let z = shop.machine.max_feed[2].0;
            assert!(d.plunge.value <= z && d.feed.value <= shop.machine.plane_feed());
            if cutter.shape == CutterShape::Drill {
                continue;
            }
            assert!(d.plunge.value <= d.feed.value / 3.0 + 1e-9);
            assert!(d.ramp_feed.value <= d.feed.value / 2.0 + 1e-9);
            assert!(d.ramp_feed.value * d.ramp_angle.value.sin() <= z * (1.0 + 1e-12));
            // Common practice: ramps of 2 to 5 degrees; stepovers of 40 to 60 %.
            assert!((2.0..=5.0).contains(&d.ramp_angle.value.to_degrees()));
            assert_eq!(d.plunge.value == 0.0, !cutter.centre_cutting);
        }
    }
    let steps = figures(&shop, "mdf", shop.cutter(2).unwrap()).stepover.value / 12.7;
    assert!((0.4..=0.6).contains(&steps), "{steps}");
    let bull = figures(&shop, "mdf", shop.cutter(8).unwrap());
    assert_eq!((bull.plunge.value, bull.plunge.by.as_str()), (0.0, "not centre-cutting"));
}

#[test]
fn a_drill_only_goes_down() {
    let shop = built_in();
    let data = figures(&shop, "sugar-maple", shop.cutter(10).unwrap());
    assert!(data.plunge.value > 0.0);
    assert_eq!((data.ramp_feed.value, data.ramp_angle.value, data.stepover.value), (0.0, 0.0, 0.0));
    // Half of a milling cutter's chip load (common practice): 5 mm hardwood lies between .003
    // and .006 in of the published chart.
    let share = (5.0 / INCH - 0.125) / 0.125;
    let milling = (0.003 + share * 0.003) * INCH / 2.0;
    assert_relative_eq!(data.chip_load.value, milling / 2.0, max_relative = 1e-9);
    assert_eq!((data.stepdown.value, data.stepdown.by.as_str()), (5.0, "a peck of 1 D"));
}

#[test]
fn pointed_cutters_are_reckoned_by_the_wood_they_take() {
    let shop = built_in();
    // A V takes a triangle: at 60 degrees 6.35 mm deep, 7.33 mm wide (closed form).
    let v = figures(&shop, "mdf", shop.cutter(6).unwrap());
    assert_eq!(v.stepdown.value, 6.35);
    let flat = cutter(6, |c| {
        c.shape = CutterShape::Flat;
        c.included_angle.0 = 0.0;
        c.diameter = Length(2.0 * 6.35 * 30f64.to_radians().tan());
    })
    .1;
    let job = Overrides {
        stepdown: Some(Length(6.35)),
        rpm: Some(v.rpm.value),
        feed: Some(Feed(v.feed.value)),
        ..Overrides::default()
    };
    let slot = shop.cutting_data(&wood("mdf"), &flat, &job).unwrap();
    assert_relative_eq!(v.power.high * 2.0, slot.power.high, max_relative = 1e-4);
    // A taper-ball is stiffer than a straight cutter as thin as its ball.
    let taper = figures(&shop, "sugar-maple", shop.cutter(9).unwrap());
    assert_ne!(taper.stepdown.by, "bending of the cutter");
}
