//! Short grain, and detail that the finest cutter can not enter, with their places.

#![allow(clippy::unwrap_used)]

use ovolo::cuts::relief::{Weakness, short_grain, too_narrow};
use ovolo::geometry::{HeightField, point};
use ovolo::units::{Shown, Unit};

/// Millimetres come first.
const SHOWN: Shown = Shown { unit: Unit::Mm, parts: 32 };

#[path = "relief_support/ball.rs"]
mod ball;
#[path = "relief_support/shop.rs"]
mod shop;

fn relief(shape: &dyn Fn(f64, f64) -> f64) -> HeightField {
    let mut field = HeightField::new(point(100.0, 50.0), point(60.0, 40.0), 0.1, 0.0).unwrap();
    for j in 0..field.rows() {
        let row: Vec<f32> = (0..field.columns())
            .map(|i| {
                let p = field.middle(i, j);
                shape(p.x, p.y) as f32
            })
            .collect();
        field.set_row(j, &row);
    }
    field
}

#[test]
fn a_thin_rib_across_the_grain_is_short_grain_and_along_it_is_not() {
    // A rib 2 mm thick and 6 mm high, standing across x.
    let field = relief(&|x, _| if (x - 130.0).abs() < 1.0 { 6.0 } else { 0.0 });
    let found = short_grain(&field, false);
    assert!(!found.is_empty());
    for place in &found {
        assert_eq!(place.weakness, Weakness::ShortGrain);
        assert!((place.at.x - 130.0).abs() < 1.5, "{place:?}");
        assert!((place.size - 2.0).abs() < 0.6 && (place.height - 6.0).abs() < 1e-3, "{place:?}");
    }
    let text = found[0].warning(SHOWN).to_string();
    assert!(text.contains("short grain near X 1") && text.contains("help:"), "{text}");
    // With the grain along the rib it holds.
    assert!(short_grain(&field, true).is_empty());
}

#[test]
fn a_broad_boss_and_a_swell_are_no_short_grain() {
    let boss = relief(&|x, _| if (x - 130.0).abs() < 10.0 { 6.0 } else { 0.0 });
    assert!(short_grain(&boss, false).is_empty());
    let swell = relief(&|x, y| 3.0 * (x / 8.0).sin() * (y / 9.0).cos());
    assert!(short_grain(&swell, false).is_empty());
}

#[test]
fn a_groove_that_the_finest_ball_can_not_enter_is_told_with_its_place() {
    // 1 mm wide and 2 mm deep; the ball of 3 mm sinks r - sqrt(r² - w²/4), w = 1.2 between the
    // samples at its edges (closed form), and leaves the rest.
    let field = relief(&|x, _| if (x - 130.05).abs() < 0.55 { -2.0 } else { 0.0 });
    let found = too_narrow(&field, &shop::ball(3.0), 0.1).unwrap();
    assert!((1..=8).contains(&found.len()), "{found:?}");
    let place = &found[0];
    assert_eq!(place.weakness, Weakness::TooNarrow);
    assert!((place.at.x - 130.0).abs() < 1.0, "{place:?}");
    assert!(place.size > 1.8 && place.size < 2.0, "{place:?}");
    assert!(place.warning(SHOWN).to_string().contains("narrower than the finest cutter"));
    // A ball of 0.6 mm gets in: its radius stays at the foot of the walls.
    assert!(too_narrow(&field, &shop::ball(0.6), 0.35).unwrap().is_empty());
}

/// A ball that stands on the field, and a border with a cavetto that hangs over its own hollow.
const HANGING: &str = r#"
title = "Reading-room doorway: a ball to try"
units = "mm"
species = "yellow-poplar"
stock = { length = 120, width = 100, thickness = 25 }
hold = { tabs = { count = 2, width = 12, height = 3 } }

[[part]]
kind = "panel"
name = "panel"
length = 80
width = 60
grid = 0.2
border = [
  { stage = "level", width = 6 },
  { stage = "moulding", back = 5, element = [
    { kind = "cavetto", height = 3, projection = 8 },
    { kind = "fillet", height = 4 },
  ] },
]
rough = { cutter = 1 }
finish = { cutter = 5, scallop = 0.1 }
outline = { cutter = 2 }

[[part.carving]]
carve = "mesh"
file = "ball.stl"
at = [30, 30]
fit = [6, 6]
"#;

#[test]
fn the_underside_of_a_ball_and_of_a_border_are_told_with_place_and_height() {
    let folder = tempfile::TempDir::new().unwrap();
    let cautions = |job: &str| {
        std::fs::write(folder.path().join("ball.stl"), ball::whole_ball(10.0)).unwrap();
        std::fs::write(folder.path().join("job.toml"), job).unwrap();
        let done = std::process::Command::new(env!("CARGO_BIN_EXE_ovolo"))
            .current_dir(folder.path())
            .args(["cut", "job.toml"])
            .output()
            .unwrap();
        let told = String::from_utf8(done.stdout).unwrap();
        assert_eq!(done.status.code(), Some(0), "{}", String::from_utf8_lossy(&done.stderr));
        let lines = told.lines().filter(|l| l.contains("undercut near"));
        lines.map(|l| l.trim().to_string()).collect::<Vec<_>>()
    };
    // The panel's corner lies at 20, 20. The cavetto's end is 10 mm inside its edge, and hangs
    // 3.25 mm over its hollow, in closed form; the ball is less.
    let both = cautions(HANGING);
    assert_eq!(both.len(), 1, "{both:?}");
    assert!(both[0].starts_with("undercut near X 60 mm, Y 30 mm: "), "{both:?}");
    assert!(both[0].contains(" 3.2") && both[0].contains("(and one more place)"), "{both:?}");
    // The ball alone: its widest place, 3 mm from its middle at 50, 50, is 3 mm over the field.
    let plain = HANGING.replace(
        "{ kind = \"cavetto\", height = 3, projection = 8 }",
        "{ kind = \"cavetto\", height = 8, projection = 8 }",
    );
    let ball = cautions(&plain);
    assert_eq!(ball.len(), 1, "{ball:?}");
    let number = |before: &str| -> f64 {
        let rest = ball[0].split(before).nth(1).unwrap();
        rest.split([' ', ',']).next().unwrap().parse().unwrap()
    };
    let out = point(number("near X ") - 50.0, number(", Y ") - 50.0).length();
    let high = number("full of wood, ");
    assert!((2.7..3.1).contains(&out) && (2.3..3.0).contains(&high), "{ball:?}");
    // Sunk to its middle nothing hangs over.
    assert!(cautions(&plain.replace("fit = [6, 6]", "fit = [6, 6]\nfloor = 0.5")).is_empty());
}
