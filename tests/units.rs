//! Lengths, angles and feeds as people write them.

use ovolo::units::{Unit, area, bound, decimal, fraction, parse_angle, parse_feed, parse_length};
use proptest::prelude::*;

fn inches(text: &str) -> f64 {
    parse_length(text, Unit::In).unwrap_or_else(|e| panic!("{e}")) / 25.4
}

#[test]
fn lengths_are_read_as_people_write_them() {
    for (text, expected) in [
        ("41 5/8", 41.625),
        ("41-5/8\"", 41.625),
        ("41 - 5/8", 41.625),
        ("3' 5 5/8\"", 41.625),
        ("3'5-5/8\"", 41.625),
        ("3' - 5 5/8\"", 41.625),
        ("3 ft 5 5/8 in", 41.625),
        ("3'", 36.0),
        ("3 feet", 36.0),
        ("20 13/16 in", 20.8125),
        ("5/8", 0.625),
        (".5", 0.5),
        ("0.5\"", 0.5),
        ("1000 mm", 1000.0 / 25.4),
        ("2.5cm", 25.0 / 25.4),
        ("1 m", 1000.0 / 25.4),
        ("-1/2", -0.5),
        ("\u{2212}3-1/2", -3.5),
        ("+2", 2.0),
        ("  7  ", 7.0),
        ("3\u{2032} 5\u{2033}", 41.0),
        ("1''", 1.0),
    ] {
        assert!((inches(text) - expected).abs() < 1e-12, "{text} gave {}", inches(text));
    }
    assert_eq!(parse_length("12", Unit::Mm), Ok(12.0));
}

#[test]
fn nonsense_is_refused_with_a_reason() {
    for (text, reason) in [
        ("3/0", "divides by zero"),
        ("1/2/3", "left over"),
        ("-", "no number"),
        ("", "no number"),
        ("1e400", "unit `e`"),
        ("\u{661}\u{662}", "not one of the digits"),
        ("1/", "nothing below"),
        ("5 9/8", "not less than one"),
        ("1,5", "comma"),
        ("12 furlongs", "unit `furlongs`"),
        ("1 mm 2 mm", "left over"),
        ("5' 13\"", "12 inches or more"),
        ("5\" 3'", "left over"),
        ("200 m", "longer than"),
        ("1.2.3", "left over"),
        (".", "no digits"),
        ("nan", "does not start with a number"),
        ("1 2 3", "left over"),
        ("99999999999999999999999999", "too many digits"),
    ] {
        let message = parse_length(text, Unit::In).expect_err(text);
        assert!(message.contains(reason), "{text}: {message}");
    }
}

#[test]
fn angles_and_feeds_are_read_with_their_units() {
    assert!((parse_angle("30 deg").unwrap_or(0.0) - 30f64.to_radians()).abs() < 1e-15);
    assert!((parse_angle("22 1/2").unwrap_or(0.0) - 22.5f64.to_radians()).abs() < 1e-15);
    assert_eq!(parse_angle("0.5 rad"), Ok(0.5));
    assert!(parse_angle("400").is_err());
    assert_eq!(parse_feed("100 in/min", Unit::Mm), Ok(2540.0));
    assert_eq!(parse_feed("2.5 m/min", Unit::Mm), Ok(2500.0));
    assert_eq!(parse_feed("100", Unit::In), Ok(2540.0));
    assert!(parse_feed("-5", Unit::Mm).is_err());
    assert!(parse_feed("5 knots", Unit::Mm).is_err());
}

#[test]
fn a_fraction_that_is_not_exact_carries_its_sign() {
    let inch = 25.4;
    assert_eq!(fraction(41.625 * inch, 32), "41 5/8 in");
    assert_eq!(fraction(41.63 * inch, 32), "41 5/8+ in");
    assert_eq!(fraction(41.62 * inch, 32), "41 5/8- in");
    assert_eq!(fraction(0.5 * inch, 64), "1/2 in");
    assert_eq!(fraction(1000.0, 32), "39 3/8- in");
    assert_eq!(fraction(1000.0, 64), "39 3/8- in");
    assert_eq!(fraction(0.0, 32), "0 in");
    assert_eq!(fraction(-0.5 * inch, 32), "-1/2 in");
    assert_eq!(fraction(0.3, 32), "0.012 in");
    assert_eq!(decimal(1057.275, ovolo::units::Unit::Mm), "1057.28 mm");
    assert_eq!(decimal(25.4, ovolo::units::Unit::In), "1 in");
    assert_eq!(decimal(-0.0001, ovolo::units::Unit::Mm), "0 mm");
}

proptest! {
    #[test]
    fn a_fraction_shown_reads_back_within_half_a_part(mm in -50_000.0..50_000.0f64, fine in any::<bool>()) {
        let parts = if fine { 64 } else { 32 };
        let shown = fraction(mm, parts).replace(['+'], "").replace("- in", " in");
        let back = parse_length(&shown, Unit::Mm).map_err(TestCaseError::fail)?;
        prop_assert!((back - mm).abs() <= 25.4 / f64::from(parts) / 2.0 + 0.02, "{mm} {shown} {back}");
    }

    #[test]
    fn no_text_panics(text in "\\PC{0,24}") {
        for unit in [Unit::In, Unit::Mm] {
            if let Ok(mm) = parse_length(&text, unit) {
                prop_assert!(mm.is_finite() && mm.abs() <= 100_000.0);
            }
            let _ = parse_feed(&text, unit);
        }
        let _ = parse_angle(&text);
    }
}

#[test]
fn a_bound_is_never_told_closer_than_it_is() {
    assert_eq!(bound(0.001, Unit::Mm), "0.001 mm");
    assert_eq!(bound(0.05, Unit::Mm), "0.05 mm");
    assert_eq!(bound(0.3757, Unit::Mm), "0.376 mm");
    // 0.001 mm is 0.0000394 in; three decimals would say 0.
    assert_eq!(bound(0.001, Unit::In), "0.00004 in");
    assert_eq!(bound(0.05, Unit::In), "0.00197 in");
    assert_eq!(bound(0.0, Unit::In), "0 in");
    assert_eq!(bound(-0.0501, Unit::Mm), "-0.051 mm");
}

#[test]
fn an_area_is_told_in_the_readers_unit() {
    assert_eq!(area(12_345.0, Unit::Mm), "123 cm2");
    // 645.16 mm2 are a square inch (25.4 squared).
    assert_eq!(area(645.16 * 12.5, Unit::In), "12.5 sq in");
}
