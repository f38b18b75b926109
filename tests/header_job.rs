//! A header's job file: from text to layout, and the cap as a part of the job.
#![allow(clippy::unwrap_used)]

use ovolo::job::{CAP_STARTER, Job, Shape, StickOf};
use ovolo::layout::nest::Stick;
use ovolo::units::INCH;

const INCHES: &str = include_str!("../sample-parts/door-header.toml");
const METRIC: &str = include_str!("../sample-parts/door-header-metric.toml");

fn near(a: f64, b: f64) {
    assert!((a - b).abs() < 1e-6, "{a} is not {b}");
}

/// Inches. Bed mould: bead 3/8, fillet 1/8, ovolo 1 and fillet 1/4 high make 1 3/4; back 3/8,
/// shelf 1/8, ovolo 1 and fillet 1/4 out make 1 3/4 out. Frieze 39 1/2 - 2 * 1/4 = 39: half chord
/// 19 1/2 + 1 3/4 + 3/4 = 22. End depth 3/4 + 1 3/4 + 1/2 = 3. Radius (22² + 2.25²) / 4.5 =
/// 489.0625 / 4.5. Break corner at x = 12 1/2 + 1 3/4 = 14 1/4, y = 3/4 + 1 + 1 3/4 = 3 1/2, so 1/2
/// over the chord, and 1/2 is asked: least rise 2 * 1/2 * 22² / (22² - 14.25²) = 484 / 280.9375.
#[test]
fn the_inch_sample_is_as_worked_by_hand() {
    let header = Job::read("door-header.toml", INCHES).unwrap().header.unwrap();
    let layout = &header.layout;
    near(layout.header.bed_mold.height, 1.75 * INCH);
    near(layout.header.bed_mold.projection, 1.75 * INCH);
    // Fillet 1/8, cyma 3/4, fillet 1/4 high; back 1/8 and cyma 5/8 out.
    let cymatium = layout.header.cymatium.unwrap();
    near(cymatium.height, 1.125 * INCH);
    near(cymatium.thickness, 0.75 * INCH);
    near(layout.cap.chord, 44.0 * INCH);
    near(layout.cap.end_depth, 3.0 * INCH);
    near(layout.cap.rise, 2.25 * INCH);
    near(layout.cap.radius, 489.0625 / 4.5 * INCH);
    near(layout.least_rise, 484.0 / 280.9375 * INCH);
    assert_eq!(header.bed_mold.as_ref().unwrap().elements.len(), 4);
    assert_eq!(header.cymatium.as_ref().unwrap().elements.len(), 3);
    let sticks = [(StickOf::BedMold, 1, Stick { length: 48.0 * INCH, count: None })];
    assert_eq!(header.sticks, sticks);
    near(header.sawing.kerf, INCH / 8.0);
    near(header.sawing.trim, INCH / 2.0);
}

/// Frieze 980: half chord 490 + 40 + 20 = 550; end depth 20 + 40 + 10 = 70. Panel 20 off: corners
/// at -290 and 330, 16 over the chord, 16 asked: 32 * 550² / (550² - 330²) = 50, and the radius
/// (550² + 50²) / 100 = 3050.
#[test]
fn the_least_rise_may_be_asked_for_by_its_word() {
    let asked = INCHES.replace("rise        = \"2 1/4\"", "rise        = \"least\"");
    assert_ne!(asked, INCHES);
    let layout = Job::read("door-header.toml", &asked).unwrap().header.unwrap().layout;
    near(layout.cap.rise, 484.0 / 280.9375 * INCH);
    near(layout.cap.rise, layout.least_rise);
}

#[test]
fn the_metric_sample_takes_the_least_rise() {
    let header = Job::read("door-header-metric.toml", METRIC).unwrap().header.unwrap();
    let cap = &header.layout.cap;
    near(cap.chord, 1100.0);
    near(cap.end_depth, 70.0);
    near(cap.rise, 50.0);
    near(cap.radius, 3050.0);
    near(header.layout.cover_at_break.unwrap(), 16.0);
    assert!(header.bed_mold.is_none() && header.cymatium.is_none());
}

#[test]
fn the_cap_is_the_part_that_a_user_could_have_written_alone() {
    let job = Job::read("door-header.toml", INCHES).unwrap();
    let [part, ..] = job.parts.as_slice() else { panic!("{:?}", job.parts) };
    assert_eq!((part.name.as_str(), part.key.as_str()), ("cap", "header.corona"));
    // The board, hold and zero of the sample; chord, rise and end depth worked above.
    let from = INCHES.find("# The cap's board on the table").unwrap();
    let head = INCHES.find("[header]").unwrap();
    let alone = format!(
        "{}{}\n[[part]]\nkind = \"cap\"\nchord = \"44\"\nrise = \"2 1/4\"\nend-depth = \"3\"\n",
        &INCHES[..head],
        &INCHES[from..]
    );
    let written = Job::read("alone.toml", &alone).unwrap();
    let other = &written.parts[0];
    assert_eq!(other.name, part.name);
    assert_eq!(other.placing, part.placing);
    assert_eq!(other.outline, part.outline);
    assert_eq!(other.feeds, part.feeds);
    let (Shape::Cap(a), Shape::Cap(b)) = (&part.shape, &other.shape) else {
        panic!("{:?} and {:?}", part.shape, other.shape)
    };
    near(a.front.radius, b.front.radius);
    near(a.front.chord, b.front.chord);
    near(a.end_depth, b.end_depth);
    for (a, b) in part.at.into_iter().zip(other.at) {
        near(a, b);
    }
}

#[test]
fn what_the_corona_says_of_its_cut_goes_before_the_job() {
    let own = "[header.corona]\nname = \"bow\"\nat = [\"1/2\", \"1/2\"]\n\
               outline = { cutter = 2, milling = \"conventional\" }\n";
    let job = Job::read("own.toml", &INCHES.replace("[header.corona]", own)).unwrap();
    let part = &job.parts[0];
    assert_eq!((part.name.as_str(), part.outline.cutter), ("bow", Some(2)));
    near(part.at[0], INCH / 2.0);
}

/// Frieze 39 1/2 - 2 * 1/4 = 39 long and 7 1/2 high; panel 25 by 6, as given.
#[test]
fn frieze_and_panel_blank_are_boards_of_the_layouts_size() {
    let job = Job::read("door-header.toml", INCHES).unwrap();
    let sizes: Vec<(&str, [f64; 2])> =
        job.parts[1..3].iter().map(|p| (p.name.as_str(), p.shape.size())).collect();
    assert_eq!(
        sizes,
        [("frieze", [39.0 * INCH, 7.5 * INCH]), ("panel-blank", [25.0 * INCH, 6.0 * INCH])]
    );
}

#[test]
fn without_a_stock_a_header_has_a_layout_and_no_cap_to_cut() {
    let without = &INCHES[..INCHES.find("# The cap's board on the table").unwrap()];
    let job = Job::read("no-stock.toml", without).unwrap();
    let keys: Vec<&str> = job.parts.iter().map(|p| p.key.as_str()).collect();
    // Frieze and panel have boards of their own in the sample.
    assert_eq!(
        keys,
        ["header.frieze", "header.panel", "header.cymatium.front", "header.cymatium.straight"]
    );
    near(job.header.unwrap().layout.cap.chord, 44.0 * INCH);
}

#[test]
fn parts_and_a_header_may_stand_in_one_job() {
    let part = &CAP_STARTER[CAP_STARTER.find("[[part]]").unwrap()..];
    let both = format!("{}\n{part}", INCHES.replace("width     = \"7\"", "width = \"8 3/4\""));
    let job = Job::read("both.toml", &both).unwrap();
    let names: Vec<&str> = job.parts.iter().map(|p| p.name.as_str()).collect();
    assert_eq!(
        names,
        ["cap", "frieze", "panel-blank", "cymatium-front", "cymatium-straight", "arched-cap"]
    );
    let doubled = both.replace("name      = \"arched-cap\"", "name = \"cap\"");
    let said = Job::read("doubled.toml", &doubled).unwrap_err();
    assert_eq!(said.diagnostics()[0].key.as_deref(), Some("part[1].name"));
}

mod any_numbers {
    use super::METRIC;
    use ovolo::job::Job;
    use ovolo::report::header_report;
    use proptest::prelude::*;

    /// The metric sample with some of its numbers changed.
    fn changed(numbers: &[(&str, f64)]) -> String {
        let (mut table, mut text) = (String::new(), String::new());
        for line in METRIC.lines() {
            if let Some(name) = line.strip_prefix('[') {
                table = name.trim_start_matches('[').split(']').next().unwrap().to_string();
            }
            let key = line.split('=').next().unwrap_or("").trim();
            let full = format!("{table}.{key}");
            let new = numbers.iter().find(|(name, _)| *name == full);
            text.push_str(&new.map_or_else(|| line.to_string(), |(_, v)| format!("{key} = {v}")));
            text.push('\n');
        }
        text
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(300))]

        /// Whatever is typed, a header is either laid out whole or refused with places.
        #[test]
        fn a_header_is_laid_out_or_refused_with_a_place(
            cased in -10.0..3000.0_f64, frieze in -1.0..60.0_f64, panel in 0.0..1500.0_f64,
            offset in -300.0..300.0_f64, out in 0.0..80.0_f64, thick in -1.0..60.0_f64,
            ends in -1.0..80.0_f64, front in 0.0..60.0_f64, at_break in 0.0..90.0_f64,
            stick in 0.0..3000.0_f64,
        ) {
            let text = changed(&[
                ("header.cased-width", cased),
                ("header.frieze.thickness", frieze),
                ("header.panel.width", panel),
                ("header.panel.offset", offset),
                ("header.bed-mold.projection", out),
                ("header.cymatium.thickness", thick),
                ("header.overhang.ends", ends),
                ("header.overhang.front", front),
                ("header.overhang.break", at_break),
                ("header.stick.length", stick),
                ("stock.length", cased + 2.0 * (out + ends.abs() + 1.0)),
                ("stock.width", 3000.0),
            ]);
            let said = match Job::read("any.toml", &text) {
                Ok(job) => match header_report(&job) {
                    Ok(report) => {
                        let report = report.unwrap();
                        let layout = &job.header.as_ref().unwrap().layout;
                        prop_assert!(layout.cover_at_break.unwrap() + 1e-6 >= at_break);
                        prop_assert!((layout.cap.chord - (cased - 10.0 + 2.0 * (out + ends))).abs() < 1e-6);
                        let text = report.text(job.shown);
                        prop_assert!(!text.contains("NaN") && !text.contains("inf"), "{text}");
                        prop_assert!(text.contains("Advice"));
                        return Ok(());
                    }
                    Err(failure) => failure,
                },
                Err(failure) => failure,
            };
            for one in said.diagnostics() {
                prop_assert!(one.place.is_some() && one.key.is_some(), "{one}");
            }
        }
    }
}
