//! The sheet's parts: paths, lettering, scales, line styles, colours.
#![allow(clippy::unwrap_used)]

use ovolo::drawing::{
    Colour, LineStyle, Path, Scale, Sheet, Weight, duration, escape, mixed, shortened, text_width,
    wrapped,
};
use ovolo::geometry::{Point, point};
use proptest::prelude::*;
use std::f64::consts::{PI, TAU};

/// The points of path data made of `M` and `l` words.
fn points(data: &str) -> Vec<Point> {
    let spaced = data.replace('-', " -").replace('l', " l ").replace('M', " M ");
    let mut out: Vec<Point> = Vec::new();
    let mut relative = false;
    let mut pair = Vec::new();
    for word in spaced.split_whitespace() {
        match word {
            "M" => relative = false,
            "l" => relative = true,
            number => pair.push(number.parse::<f64>().unwrap()),
        }
        if let [x, y] = pair[..] {
            let base = if relative { *out.last().unwrap() } else { Point::default() };
            out.push(base + point(x, y));
            pair.clear();
        }
    }
    out
}

fn distance_to_line(p: Point, line: &[Point]) -> f64 {
    line.windows(2)
        .map(|w| {
            let d = w[1] - w[0];
            let l2 = d.dot(d);
            let t = if l2 == 0.0 { 0.0 } else { ((p - w[0]).dot(d) / l2).clamp(0.0, 1.0) };
            (w[0] + d * t).distance(p)
        })
        .fold(f64::MAX, f64::min)
}

proptest! {
    /// Left out detail is at most a hundredth of a millimetre, rounding another half of one in
    /// each direction.
    #[test]
    fn a_path_stays_where_it_was_drawn(
        steps in prop::collection::vec((-0.5f64..0.5, -0.05f64..0.05), 2..200)
    ) {
        let mut path = Path::new();
        let mut at = point(3.0, 4.0);
        let mut drawn = vec![at];
        path.move_to(at);
        for (dx, dy) in steps {
            at = at + point(dx, dy);
            drawn.push(at);
            path.line_to(at);
        }
        let written = points(&path.data());
        for p in &drawn {
            let away = distance_to_line(*p, &written);
            prop_assert!(away <= 0.01 + 0.0072, "{p:?} is {away} off");
        }
        prop_assert!(written.last().unwrap().distance(at) <= 0.0072);
    }

    #[test]
    fn shortened_text_fits(text in "\\PC{0,60}", room in 5.0f64..80.0) {
        let short = shortened(&text, 2.5, Weight::Regular, room);
        prop_assert!(text_width(&short, 2.5, Weight::Regular) <= room + 1e-9);
    }

    #[test]
    fn what_fits_fits(w in 0.1f64..1e5, h in 0.1f64..1e5) {
        let k = Scale::fitting(w, h, point(150.0, 100.0)).factor();
        prop_assert!(w * k <= 150.0 && h * k <= 100.0);
    }
}

#[test]
fn straight_runs_become_one_line() {
    let mut path = Path::new();
    path.move_to(point(0.0, 0.0));
    for k in 1..=1000 {
        path.line_to(point(f64::from(k) * 0.1, 0.0));
    }
    assert_eq!(path.data(), "M0 0l100 0");
}

#[test]
fn there_and_back_is_not_lost() {
    let mut path = Path::new();
    path.move_to(point(0.0, 0.0));
    path.line_to(point(10.0, 0.0));
    path.line_to(point(2.0, 0.0));
    assert_eq!(path.data(), "M0 0l10 0-8 0");
}

#[test]
fn a_full_circle_is_three_arcs_and_a_quarter_one() {
    let mut path = Path::new();
    path.move_to(point(5.0, 0.0));
    path.arc_to(point(0.0, 0.0), TAU, point(5.0, 0.0));
    assert_eq!(path.data(), "M5 0a5 5 0 0 0-7.5-4.33 5 5 0 0 0 0 8.66 5 5 0 0 0 7.5-4.33");
    // On paper y points down: counter-clockwise from the right goes up.
    let mut path = Path::new();
    path.move_to(point(5.0, 0.0));
    path.arc_to(point(0.0, 0.0), PI / 2.0, point(0.0, -5.0));
    assert_eq!(path.data(), "M5 0a5 5 0 0 0-5-5");
}

#[test]
fn a_flat_arc_is_a_line() {
    let mut path = Path::new();
    path.move_to(point(0.0, 0.0));
    // Sagitta 1^2 / 8000.
    path.arc_to(point(0.5, 1000.0), 0.001, point(1.0, 0.0));
    assert_eq!(path.data(), "M0 0l1 0");
}

#[test]
fn widths_are_the_fonts() {
    // DejaVu Sans 2.37, hmtx: figures 1303 of 2048 units, space 651; bold figures 1425.
    assert!((text_width("0123", 2.048, Weight::Regular) - 4.0 * 1.303).abs() < 1e-12);
    assert!((text_width(" ", 2.048, Weight::Regular) - 0.651).abs() < 1e-12);
    assert!((text_width("7", 2.048, Weight::Bold) - 1.425).abs() < 1e-12);
}

#[test]
fn long_titles_are_wrapped_and_cut() {
    let lines = wrapped("one two three four five six", 3.0, Weight::Regular, 18.0, 2);
    assert_eq!(lines.len(), 2);
    assert_eq!(lines[0], "one two");
    assert!(lines[1].starts_with("three") && lines[1].ends_with('…'));
    assert!(lines.iter().all(|l| text_width(l, 3.0, Weight::Regular) <= 18.0));
    assert!(wrapped("", 3.0, Weight::Regular, 22.0, 2).is_empty());
}

#[test]
fn scales_read_as_ratios() {
    let room = point(140.0, 100.0);
    assert_eq!(Scale::fitting(1120.0, 230.0, room).ratio(), "1 : 8");
    assert_eq!(Scale::fitting(40.0, 30.0, room).ratio(), "3 : 1");
    assert_eq!(Scale::fitting(140.0, 100.0, room), Scale::FULL);
}

#[test]
fn lines_follow_the_standards_series() {
    assert!((LineStyle::Visible.width() / LineStyle::Thin.width() - 2.0).abs() < 1e-12);
    assert!(LineStyle::Visible.dashes().is_empty());
    let kinds = [LineStyle::Hidden, LineStyle::Centre, LineStyle::Adjacent];
    assert_eq!(kinds.map(|k| k.dashes().len()), [2, 4, 6]);
}

#[test]
fn colours_are_okabe_and_itos() {
    // Okabe and Ito, Color Universal Design, 2008: blue 0, 114, 178; vermilion 213, 94, 0.
    assert_eq!(Colour::BLUE.hex(), "#0072b2");
    assert_eq!(Colour::VERMILION.hex(), "#d55e00");
    assert_eq!(mixed(Colour::BLACK, Colour::WHITE, 0.5).hex(), "#808080");
    assert!(Colour::SKY_BLUE.grey() > Colour::BLUE.grey());
}

#[test]
fn times_are_said_as_people_say_them() {
    assert_eq!(duration(0.4), "0 s");
    assert_eq!(duration(59.6), "1 min 00 s");
    assert_eq!(duration(3725.0), "1 h 02 min");
    assert_eq!(duration(f64::NAN), "unknown");
}

#[test]
fn markup_and_control_characters_are_escaped() {
    assert_eq!(escape("a<b>&\"'\u{1}\u{fffe}"), "a&lt;b&gt;&amp;&quot;&#39;");
}

#[test]
fn a_sheet_is_in_millimetres() {
    let mut sheet = Sheet::new("s", "T", 841.0, 594.0);
    sheet.line(point(0.0, 0.0), point(1.0, 1.0), LineStyle::Centre);
    let svg = sheet.svg();
    assert!(svg.contains("width=\"841mm\" height=\"594mm\" viewBox=\"0 0 841 594\""));
    assert!(svg.contains("stroke-dasharray=\"4.32 .54 .18 .54\""));
}

/// SVG 1.1 section 8.3.2: a pair of numbers after the one of an M is a line to it.
#[test]
fn places_without_lines_do_not_become_lines() {
    let mut path = Path::new();
    for (x, y) in [(1.0, 1.0), (5.0, 2.0), (9.0, 9.0)] {
        path.move_to(point(x, y));
        path.line_to(point(x, y));
    }
    assert_eq!(path.data().matches('M').count(), 3);
}
