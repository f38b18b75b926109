//! Short grain, and detail that the finest cutter can not enter, with their places.

#![allow(clippy::unwrap_used)]

use ovolo::cuts::relief::{Weakness, short_grain, too_narrow};
use ovolo::geometry::{HeightField, point};
use ovolo::units::{Shown, Unit};

/// Millimetres come first.
const SHOWN: Shown = Shown { unit: Unit::Mm, parts: 32 };

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
