//! Two different headers worked by hand, and what is refused.
#![allow(clippy::unwrap_used)]

use ovolo::layout::bend::Wood;
use ovolo::layout::cut_list::{CutPiece, Part, Stock};
use ovolo::layout::nest::{Sawing, Stick, nest};
use ovolo::layout::*;

fn near(a: f64, b: f64) {
    assert!((a - b).abs() < 1e-6, "{a} is not {b}");
}

/// Frieze 860 long and 20 thick; bed mould 40; ends 30 and front 12: half chord
/// 430 + 40 + 30 = 500, end depth 20 + 40 + 12 = 72. Panel 720 x 30: its break's outer corners
/// stand at x = 360 + 40 = 400, y = 20 + 30 + 40 = 90, that is 18 over the chord; 18 is asked.
/// The 5-12-13 circle of radius 1300 over chord 1000 rises 100, its centre at y = 72 + 100 - 1300 =
/// -1128; from there the corner is sqrt(400² + 1218²) = sqrt(1643524) = 1282 = 1300 - 18 away. So
/// the least rise is 100 exactly.
fn first() -> Header {
    Header {
        cased_width: 860.0,
        frieze: Frieze { height: 230.0, thickness: 20.0, reveal: 0.0 },
        panel: Some(Panel { width: 720.0, height: 200.0, thickness: 30.0, offset: 0.0 }),
        bed_mold: BedMold { height: 45.0, projection: 40.0 },
        corona: Corona { thickness: 32.0 },
        cymatium: Some(Cymatium { thickness: 25.0, height: 50.0 }),
        overhang: Overhang { ends: 30.0, front: 12.0, at_break: 18.0 },
        front: Front::Least,
    }
}

/// Cased 1060 with a reveal of 5: frieze 1050, 22 thick. Bed mould 50, ends 25: half chord
/// 525 + 50 + 25 = 600. Front 12.8: end depth 22 + 50 + 12.8 = 84.8. Panel 540 x 32, 40 to the
/// right: outer corners at x = 40 - 270 - 50 = -280 and 40 + 270 + 50 = 360, y = 104, 19.2 over
/// the chord; 19.2 is asked. With o = q the least rise is h (q + o) / B, B = (h² - x²)/h =
/// (360000 - 129600)/600 = 384: 600 * 38.4 / 384 = 60, and the radius
/// (600² + 60²)/120 = 3030. The right corner governs; the left has room.
fn second() -> Header {
    Header {
        cased_width: 1060.0,
        frieze: Frieze { height: 260.0, thickness: 22.0, reveal: 5.0 },
        panel: Some(Panel { width: 540.0, height: 260.0, thickness: 32.0, offset: 40.0 }),
        bed_mold: BedMold { height: 60.0, projection: 50.0 },
        corona: Corona { thickness: 25.0 },
        cymatium: Some(Cymatium { thickness: 40.0, height: 70.0 }),
        overhang: Overhang { ends: 25.0, front: 12.8, at_break: 19.2 },
        front: Front::Radius(3030.0),
    }
}

#[test]
fn the_first_header_is_as_worked_by_hand() {
    let layout = first().layout().unwrap();
    near(layout.least_rise, 100.0);
    near(layout.cap.chord, 1000.0);
    near(layout.cap.end_depth, 72.0);
    near(layout.cap.rise, 100.0);
    near(layout.cap.radius, 1300.0);
    near(layout.cap.arc_length, 1026.456911);
    near(layout.cover_at_break.unwrap(), 18.0);
    let p = layout.projections;
    let all =
        [p.frieze, p.panel, p.bed_over_frieze, p.bed_over_panel, p.cap_ends, p.cap_centre, p.whole];
    for (got, want) in all.into_iter().zip([20.0, 50.0, 60.0, 90.0, 72.0, 172.0, 197.0]) {
        near(got, want);
    }
    let l = layout.levels;
    near(l.panel_bottom.unwrap(), 30.0);
    near(l.bed_bottom, 185.0);
    near(l.cap_bottom, 230.0);
    near(l.top, 262.0);
    near(l.cymatium_bottom.unwrap(), 212.0);
    // Half angle atan(5/12); the mitre starts with slope 2/3 and is 16.5525 deep at 25 out.
    let corner = layout.corner.unwrap();
    near(corner.half_angle.to_degrees(), 22.619864948);
    near(corner.each.to_degrees(), 33.690067526);
    assert!((corner.depth - 16.5525).abs() < 5e-5);
}

/// (name, back/face long point, short point, overall).
fn lengths(list: &[CutPiece]) -> Vec<(&str, f64, f64, f64)> {
    list.iter().map(|p| (p.name.as_str(), p.long_point, p.short_point, p.overall)).collect()
}

fn compare(got: &[CutPiece], want: &[(&str, f64, f64, f64)]) {
    let got = lengths(got);
    assert_eq!(got.len(), want.len());
    for (got, want) in got.iter().zip(want) {
        assert_eq!(got.0, want.0);
        // The references give four decimals.
        for (a, b) in [(got.1, want.1), (got.2, want.2), (got.3, want.3)] {
            assert!((a - b).abs() < 1e-4, "{}: {a} is not {b}", got.0);
        }
    }
}

#[test]
fn the_first_header_gives_the_lengths_worked_by_hand() {
    let layout = first().layout().unwrap();
    let list = layout.cut_list(&[]);
    // End returns: back 20, face 20 + 40. Runs (860 - 720)/2 = 70 on both edges, 70 + 40 over all.
    // Break returns 30, over all 70. Front 720, face 720 + 2 * 40. Cap returns 72 and
    // 72 + 16.5525. Bow: outer edge on R 1325, half angle asin(525/1325): 2 * 1325 * 0.407378.
    let outer = 2.0 * 1325.0 * (525.0_f64 / 1325.0).asin();
    compare(
        &list.pieces,
        &[
            ("frieze back", 860.0, 860.0, 860.0),
            ("panel blank", 720.0, 720.0, 720.0),
            ("cap blank", 1000.0, 1000.0, 1000.0),
            ("bed mould, left end return", 60.0, 20.0, 60.0),
            ("bed mould, left run", 70.0, 70.0, 110.0),
            ("bed mould, left break return", 30.0, 30.0, 70.0),
            ("bed mould, front", 800.0, 720.0, 800.0),
            ("bed mould, right break return", 30.0, 30.0, 70.0),
            ("bed mould, right run", 70.0, 70.0, 110.0),
            ("bed mould, right end return", 60.0, 20.0, 60.0),
            ("cap moulding, left return", 88.5525, 72.0, 88.5525),
            ("cap moulding, bowed front", outer, 1026.456911, 1050.0),
            ("cap moulding, right return", 88.5525, 72.0, 88.5525),
        ],
    );
    let cap = list.pieces.iter().find(|p| p.part == Part::CapBlank).unwrap();
    near(cap.width, 172.0);
    let run = &list.pieces[4];
    assert_eq!((run.start.joint, run.end.joint), (Joint::Outside, Joint::Inside));
    near(run.start.angle.to_degrees(), 45.0);
    near(run.end.angle.to_degrees(), 45.0);
    // A return of 30 mm is told how to be cut; the front of 800 mm is not.
    assert!(list.pieces[5].notes.iter().any(|n| n.contains("no fingers")));
    assert!(list.pieces[6].notes.is_empty());

    // Bed mould over all: 60 + 110 + 70 + 800 + 70 + 110 + 60 = 1280; six cuts of 3 between seven
    // pieces: 1298 mm. It fits a stick of 1300 and not one of 1297.
    let wanted = list.lengths(Stock::BedMold);
    let sawing = Sawing { kerf: 3.0, trim: 0.0 };
    let one = nest(&wanted, &[Stick { length: 1300.0, count: Some(1) }], &sawing).unwrap();
    assert!(one.exact && one.sticks.len() == 1);
    near(one.waste, 20.0);
    assert!(nest(&wanted, &[Stick { length: 1297.0, count: Some(1) }], &sawing).is_err());
}

#[test]
fn the_second_header_is_as_worked_by_hand() {
    let layout = second().layout().unwrap();
    near(layout.least_rise, 60.0);
    near(layout.cap.rise, 60.0);
    near(layout.cap.chord, 1200.0);
    near(layout.cap.end_depth, 84.8);
    near(layout.projections.cap_centre, 144.8);
    near(layout.cover_at_break.unwrap(), 19.2);
    near(layout.corner.unwrap().half_angle.to_degrees(), 11.421186275);
    near(layout.corner.unwrap().each.to_degrees(), 39.289406862);
    // Returns: y(40) = sqrt(3070² - 640²) - 2970.
    let depth = (3070.0_f64.powi(2) - 640.0_f64.powi(2)).sqrt() - 2970.0;
    let outer = 2.0 * 3070.0 * (640.0_f64 / 3070.0).asin();
    // Left run from -525 to 40 - 270 = -230: 295. Right run from 310 to 525: 215.
    compare(
        &layout.cut_list(&[]).pieces,
        &[
            ("frieze back", 1050.0, 1050.0, 1050.0),
            ("panel blank", 540.0, 540.0, 540.0),
            ("cap blank", 1200.0, 1200.0, 1200.0),
            ("bed mould, left end return", 72.0, 22.0, 72.0),
            ("bed mould, left run", 295.0, 295.0, 345.0),
            ("bed mould, left break return", 32.0, 32.0, 82.0),
            ("bed mould, front", 640.0, 540.0, 640.0),
            ("bed mould, right break return", 32.0, 32.0, 82.0),
            ("bed mould, right run", 215.0, 215.0, 265.0),
            ("bed mould, right end return", 72.0, 22.0, 72.0),
            ("cap moulding, left return", 84.8 + depth, 84.8, 84.8 + depth),
            ("cap moulding, bowed front", outer, 1207.984068, 1280.0),
            ("cap moulding, right return", 84.8 + depth, 84.8, 84.8 + depth),
        ],
    );
}

#[test]
fn a_header_without_panel_or_cymatium_has_a_plain_bed_mold() {
    let header = Header { panel: None, cymatium: None, front: Front::Rise(40.0), ..first() };
    let layout = header.layout().unwrap();
    assert_eq!(layout.bed_mold.len(), 3);
    assert_eq!(layout.least_rise, 0.0);
    assert!(layout.cover_at_break.is_none() && layout.cap_moldings.is_empty());
    near(layout.bed_mold[1].back, 860.0);
    near(layout.bed_mold[1].face, 940.0);
    // Nothing to cover: there is no least rise to ask for.
    let none = Header { front: Front::Least, ..header }.layout().unwrap_err();
    assert!(none[0].message.contains("no least rise"), "{none:?}");
}

#[test]
fn a_rise_or_radius_that_leaves_the_break_uncovered_is_refused_with_the_one_that_does() {
    let low = Header { front: Front::Rise(80.0), ..first() }.layout().unwrap_err();
    assert_eq!(low.len(), 1);
    insta::assert_snapshot!(low[0], @"
    error: `header.rise`: a rise of 80.00 mm (3.150 in) covers the break's corner by only 10.92 mm (0.430 in); 18.00 mm (0.709 in) is asked
      help: a rise of at least 100.00 mm (3.938 in) covers it
    ");

    let flat = Header { front: Front::Radius(4000.0), ..second() }.layout().unwrap_err();
    insta::assert_snapshot!(flat[0], @"
    error: `header.radius`: a radius of 4000.00 mm (157.480 in) covers the break's corner by only 9.78 mm (0.385 in); 19.20 mm (0.756 in) is asked
      help: a radius of at most 3030.00 mm (119.291 in), which is a rise of 60.00 mm (2.362 in), covers it
    ");

    // Flatter still and the corner stands out.
    let out = Header { front: Front::Rise(10.0), ..first() }.layout().unwrap_err();
    insta::assert_snapshot!(out[0], @"
    error: `header.rise`: a rise of 10.00 mm (0.394 in) lets the break's corner stand out by 14.39 mm (0.567 in); 18.00 mm (0.709 in) is asked
      help: a rise of at least 100.00 mm (3.938 in) covers it
    ");
    // More than a half circle.
    let much = Header { front: Front::Rise(501.0), ..first() }.layout().unwrap_err();
    insta::assert_snapshot!(much[0], @"
    error: `header.rise`: a rise of 501.00 mm (19.724 in) is more than a half circle has
      help: at most 500.00 mm (19.685 in), half of the cap's length
    ");
    let tight = Header { front: Front::Radius(499.0), ..first() }.layout().unwrap_err();
    insta::assert_snapshot!(tight[0], @"
    error: `header.radius`: a radius of 499.00 mm (19.646 in) does not reach the cap's corners
      help: at least 500.00 mm (19.686 in), half of the cap's length
    ");
}

#[test]
fn an_overhang_that_no_arc_gives_is_refused_with_numbers_that_work() {
    // Corner at (400, 18) in a half circle of 500: 500 - sqrt(400² + 18²) = 99.5952.
    let overhang = Overhang { at_break: 120.0, ..first().overhang };
    let refused = Header { overhang, ..first() }.layout().unwrap_err();
    insta::assert_snapshot!(refused[0], @"
    error: `header.overhang.break`: no rise leaves 120.00 mm (4.724 in) between the break's corner and the front: a half circle leaves 99.60 mm (3.921 in)
      help: at most 99.59 mm (3.921 in); or overhang at the ends of at least 50.41 mm (1.985 in) makes room for a half circle, more for a flatter front
    ");
    for good in [
        Overhang { at_break: 99.59, ..overhang },
        // 30 + 120 + 400.4048 - 500 = 50.4048, rounded up.
        Overhang { ends: 50.41, ..overhang },
    ] {
        Header { overhang: good, ..first() }.layout().unwrap();
    }
}

#[test]
fn every_impossible_number_is_told_with_its_key() {
    let mut header = first();
    header.cased_width = f64::NAN;
    header.bed_mold.projection = -1.0;
    header.overhang.front = -0.5;
    let keys: Vec<_> = header.layout().unwrap_err().into_iter().filter_map(|d| d.key).collect();
    assert_eq!(keys, ["header.cased-width", "header.bed-mold.projection", "header.overhang.front"]);

    let mut wide = first();
    wide.panel = Some(Panel { width: 860.0, height: 20.0, ..first().panel.unwrap() });
    wide.bed_mold.height = 231.0;
    let said: Vec<String> = wide.layout().unwrap_err().iter().map(ToString::to_string).collect();
    insta::assert_snapshot!(said.join("\n"), @"
    error: `header.bed-mold.height`: 231.00 mm (9.094 in) is more than the frieze's height
      help: at most 230.00 mm (9.055 in)
    error: `header.panel.width`: the panel reaches 430.00 mm (16.929 in) from the centre line and leaves no run of bed mould beside it
      help: at most 858.00 mm (33.779 in) with this offset
    error: `header.panel.height`: 20.00 mm (0.787 in) leaves nothing to fix the bed mould to: it is 231.00 mm (9.094 in) high
      help: at least 231.00 mm (9.095 in)
    ");
    let mut hanging = first();
    hanging.cymatium = Some(Cymatium { thickness: 25.0, height: 262.1 });
    let said = hanging.layout().unwrap_err();
    assert_eq!(said[0].key.as_deref(), Some("header.cymatium.height"));
    let mut narrow = first();
    narrow.frieze.reveal = 430.0;
    let said = narrow.layout().unwrap_err();
    assert_eq!(said[0].key.as_deref(), Some("header.frieze.reveal"));
}

#[test]
fn the_table_of_rises_starts_at_the_least_and_marks_what_covers() {
    let header = first();
    let choices = rise_choices(100.0, 500.0, 5.0, 3);
    assert_eq!(choices, [100.0, 105.0, 110.0, 115.0]);
    // Yellow-poplar, Wood Handbook FPL-GTR-282 table 5-3b: 1.58 Mpsi and 10100 psi.
    let poplar = Wood { moe: 10_890.0, mor: 69.6 };
    let rows = rise_table(&header, &[80.0, 100.0, 125.0], Some((poplar, 0.5))).unwrap();
    assert_eq!(rows.iter().map(|r| r.covers).collect::<Vec<_>>(), [false, true, true]);
    near(rows[1].radius, 1300.0);
    near(rows[1].centre_depth, 172.0);
    near(rows[1].cover_at_break.unwrap(), 18.0);
    near(rows[1].corner_mitre.to_degrees(), 33.690067526);
    // R to the middle over t is 1.1 * 10890 / 69.6 = 172.1121: t = 1300 / 171.6121.
    near(rows[1].thickest_that_bends.unwrap(), 1300.0 / (1.1 * 10_890.0 / 69.6 - 0.5));
    // 125: (250000 + 15625) / 250.
    near(rows[2].radius, 1062.5);
    assert!(rise_table(&header, &[600.0], None).is_err());
}

#[test]
fn proportions_are_offered_as_published() {
    let offers = proportion::offers(2400.0).unwrap();
    let numbers: Vec<_> =
        offers.iter().map(|o| [o.whole, o.architrave, o.frieze, o.cornice]).collect();
    for (got, want) in
        numbers.iter().flatten().zip([600.0, 180.0, 180.0, 240.0, 480.0, 144.0, 144.0, 192.0])
    {
        near(*got, want);
    }
    assert!(proportion::offers(0.0).is_err());
}
