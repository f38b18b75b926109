//! Figures that overrule the table's.

use crate::{built_in, figures, wood};
use ovolo::shop::{Overrides, STARTER, Shop, all_materials};
use ovolo::units::{Angle, Feed, Length};

/// The built-in shop with one line more at its head, and one more for cutter 1.
fn with(line: &str, cutter: &str) -> Shop {
    let text = STARTER.replacen("[machine]", &format!("{line}\n[machine]"), 1).replacen(
        "centre-cutting  = true",
        &format!("centre-cutting = true\n{cutter}\n"),
        1,
    );
    Shop::read("shop.toml", &text).unwrap_or_else(|e| panic!("{e}"))
}

#[test]
fn a_stepdown_for_one_species_is_one_line() {
    let shop = with("species.sugar-maple.stepdown = \"1/8 in\"", "");
    let quarter = shop.cutter(1).unwrap();
    let maple = figures(&shop, "sugar-maple", quarter).stepdown;
    assert_eq!((maple.value, maple.by.as_str()), (3.175, "shop file"));
    let oak = figures(&shop, "white-oak", quarter);
    assert_eq!(oak, figures(&built_in(), "white-oak", quarter));
}

#[test]
fn the_job_goes_before_the_cutter_and_the_cutter_before_the_species() {
    let shop = with(
        "species.mdf = { stepdown = 3, stepover = 2, rpm = 16000 }",
        "feeds = { stepdown = 2, stepover = 1 }",
    );
    let job = Overrides { stepdown: Some(Length(1.0)), ..Overrides::default() };
    let data = shop.cutting_data(&wood("mdf"), shop.cutter(1).unwrap(), &job).unwrap();
    assert_eq!((data.stepdown.value, data.stepdown.by.as_str()), (1.0, "job file"));
    assert_eq!((data.stepover.value, data.stepover.by.as_str()), (1.0, "shop file"));
    assert_eq!((data.rpm.value, data.rpm.by.as_str()), (16_000.0, "shop file"));
    let other = figures(&shop, "mdf", shop.cutter(2).unwrap());
    assert_eq!((other.stepdown.value, other.stepover.value), (3.0, 2.0));
}

#[test]
fn every_figure_can_be_asked_for() {
    let shop = built_in();
    let cutter = shop.cutter(1).unwrap();
    let job = Overrides {
        stepdown: Some(Length(2.0)),
        stepover: Some(Length(1.5)),
        rpm: Some(18_000.0),
        chip_load: Some(Length(0.05)),
        feed: None,
        plunge: Some(Feed(400.0)),
        ramp_angle: Some(Angle(0.05)),
    };
    let data = shop.cutting_data(&wood("mdf"), cutter, &job).unwrap();
    // F = n z fz (closed form).
    for (figure, value) in [
        (&data.stepdown, 2.0),
        (&data.stepover, 1.5),
        (&data.rpm, 18_000.0),
        (&data.chip_load, 0.05),
        (&data.feed, 18_000.0 * 2.0 * 0.05),
        (&data.plunge, 400.0),
        (&data.ramp_angle, 0.05),
    ] {
        assert!((figure.value - value).abs() < 1e-9, "{figure:?} {value}");
        assert_eq!(figure.by, "job file");
    }
    let feed = Overrides { feed: Some(Feed(3000.0)), ..Overrides::default() };
    let data = shop.cutting_data(&wood("mdf"), cutter, &feed).unwrap();
    assert_eq!((data.feed.value, data.feed.by.as_str()), (3000.0, "job file"));
    assert_eq!(data.chip_load.by, "job file");
}

#[test]
fn or_fills_what_is_left_out() {
    let job = Overrides { stepdown: Some(Length(1.0)), ..Overrides::default() };
    let shop = Overrides { stepdown: Some(Length(2.0)), rpm: Some(9000.0), ..Overrides::default() };
    let both = job.or(&shop);
    assert_eq!((both.stepdown, both.rpm, both.feed), (Some(Length(1.0)), Some(9000.0), None));
}

#[test]
fn a_deep_pass_takes_a_thinner_chip() {
    // Published chart: 25 % off at two diameters deep, 50 % at three.
    let shop = built_in();
    let cutter = shop.cutter(1).unwrap();
    let chip = |diameters: f64| {
        let stepdown = Some(Length(diameters * 6.35));
        let job = Overrides { stepdown, ..Overrides::default() };
        let data = shop.cutting_data(&wood("sugar-maple"), cutter, &job).unwrap();
        (data.chip_load.value, data.chip_load.by)
    };
    let (one, by) = chip(1.0);
    assert_eq!(by, "chart, halved for a light machine");
    let (two, by) = chip(2.0);
    assert_eq!(by, "chart, eased for depth");
    assert!((two - 0.75 * one).abs() < 1e-12 && (chip(3.0).0 - 0.5 * one).abs() < 1e-12);
}

#[test]
fn a_job_beyond_a_hard_limit_is_refused_with_the_limit() {
    let shop = built_in();
    let cutter = shop.cutter(1).unwrap();
    let refused =
        |job: Overrides| shop.cutting_data(&wood("mdf"), cutter, &job).unwrap_err().to_string();
    let none = Overrides::default();
    let all = [
        refused(Overrides { stepdown: Some(Length(30.0)), ..none }),
        refused(Overrides { stepdown: Some(Length(0.0)), ..none }),
        refused(Overrides { stepover: Some(Length(7.0)), ..none }),
        refused(Overrides { rpm: Some(26_000.0), ..none }),
        refused(Overrides { rpm: Some(5_000.0), ..none }),
        refused(Overrides { rpm: Some(f64::NAN), ..none }),
        refused(Overrides { chip_load: Some(Length(3.0)), ..none }),
        refused(Overrides { feed: Some(Feed(6000.0)), ..none }),
        refused(Overrides { plunge: Some(Feed(2000.0)), ..none }),
        refused(Overrides { ramp_angle: Some(Angle(0.8)), ..none }),
    ];
    insta::assert_snapshot!(all.join("\n"), @"
    error: `stepdown`: 30 mm (1 3/16- in) is more than the flute length of cutter 1, 1/4 in flat, two flutes
      help: at most 25 mm (63/64- in); leave it out to take the table's
    error: `stepdown`: 0 mm (0 in) is not more than zero
      help: at most 25 mm (63/64- in); leave it out to take the table's
    error: `stepover`: 7 mm (9/32- in) is more than the diameter of cutter 1, 1/4 in flat, two flutes
      help: at most 6.35 mm (1/4 in); leave it out to take the table's
    error: `rpm`: 26000 rpm is not possible with cutter 1, 1/4 in flat, two flutes on this spindle
      help: 8000 to 24000 rpm
    error: `rpm`: 5000 rpm is not possible with cutter 1, 1/4 in flat, two flutes on this spindle
      help: 8000 to 24000 rpm
    error: `rpm`: NaN rpm is not possible with cutter 1, 1/4 in flat, two flutes on this spindle
      help: 8000 to 24000 rpm
    error: `chip-load`: 3 mm (1/8- in) is more than any published chip load
      help: at most 2 mm (5/64+ in); leave it out to take the table's
    error: `feed`: 6000 mm/min is more than the slower of the x and y axes can feed
      help: at most 5000 mm/min; leave it out to take the table's
    error: `plunge`: 2000 mm/min is more than the z axis can feed
      help: at most 1500 mm/min; leave it out to take the table's
    error: `ramp-angle`: 45.8 degrees is more than a ramp may be; that is a plunge
      help: at most 30.0 degrees; leave it out to take the table's
    ");
}

#[test]
fn a_species_figure_is_held_back_by_each_cutter_with_a_note() {
    let shop = with("species.mdf = { stepdown = 20, stepover = 8, rpm = 20000 }", "");
    let v = figures(&shop, "mdf", shop.cutter(6).unwrap());
    assert_eq!((v.stepdown.value, v.stepdown.by.as_str()), (11.0, "flute length"));
    let note = "cutter 6: the shop file asks for 20 mm (25/32+ in), the flute length allows 11 mm (7/16- in)";
    assert!(v.notes.iter().any(|n| n == note), "{:?}", v.notes);
    let quarter = figures(&shop, "mdf", shop.cutter(1).unwrap());
    assert_eq!((quarter.stepover.value, quarter.stepover.by.as_str()), (6.35, "diameter"));
    let drill = figures(&shop, "mdf", shop.cutter(10).unwrap());
    assert_eq!((drill.rpm.value, drill.rpm.by.as_str()), (12_000.0, "mark on the cutter"));
}

#[test]
fn a_shop_that_reads_has_an_answer_for_everything() {
    for line in [
        "",
        "species.mdf.stepdown = 38",
        "species.mdf = { feed = 5000, plunge = 1500, rpm = 24000, ramp-angle = 30 }",
        "species.mdf = { chip-load = 2, stepover = 12.7 }",
        "species.mdf = { chip-load = 0.001, stepdown = 0.01, rpm = 8000 }",
    ] {
        let shop = with(line, "");
        for material in all_materials() {
            for cutter in &shop.cutters {
                let data = figures(&shop, &material.name, cutter);
                assert!(data.stepdown.value <= cutter.flute_length.0, "{line} {data:?}");
                assert!(data.stepover.value <= cutter.diameter.0, "{line} {data:?}");
                assert!(data.rpm.value <= cutter.max_rpm, "{line} {data:?}");
                assert!(data.feed.value <= shop.machine.plane_feed(), "{line} {data:?}");
                assert!(data.plunge.value <= shop.machine.max_feed[2].0, "{line} {data:?}");
            }
        }
    }
}

#[test]
fn an_asked_depth_that_may_be_too_much_is_done_and_told() {
    let mut shop = built_in();
    shop.machine.spindle.power = 100.0;
    let job = Overrides { stepdown: Some(Length(25.0)), ..Overrides::default() };
    let data = shop.cutting_data(&wood("white-oak"), shop.cutter(1).unwrap(), &job).unwrap();
    assert_eq!((data.stepdown.value, data.stepdown.by.as_str()), (25.0, "job file"));
    let note = data.notes.iter().find(|n| n.contains("W of the spindle's 100")).unwrap();
    assert!(note.contains("is within the estimate"), "{note}");
}

#[test]
fn an_asked_chip_that_is_too_thick_or_thin_is_told() {
    let shop = built_in();
    let cutter = shop.cutter(1).unwrap();
    let notes = |feed: f64, rpm: f64| {
        let job = Overrides { feed: Some(Feed(feed)), rpm: Some(rpm), ..Overrides::default() };
        shop.cutting_data(&wood("sugar-maple"), cutter, &job).unwrap().notes.join("\n")
    };
    // Published chart, 1/4 in hardwood: .005-.007 in, so 0.178 mm at most; 5000 / (2 x 0.1778)
    // = 14,061 rpm.
    let thick = notes(5000.0, 10_000.0);
    assert!(thick.contains("a chip of 0.250 mm is over the chart's 0.178; 14100 rpm"), "{thick}");
    // 1000 / (2 x 0.03) = 16,667 rpm.
    let thin = notes(1000.0, 24_000.0);
    assert!(thin.contains("0.021 mm rubs and burns; 16600 rpm or less"), "{thin}");
    assert_eq!(notes(3000.0, 24_000.0), "");
}
