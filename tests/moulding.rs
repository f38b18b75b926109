//! Mouldings along a path, from the job file to the text: what the text leaves on the wood is
//! worked out here from the text alone, by an own sweep, and held against the wanted profile.
#![allow(clippy::unwrap_used)]

mod moulding_support;

use moulding_support::{Cut, Wanted, cuts, left, made, passed};
use ovolo::geometry::{Point, point};
use ovolo::job::Job;
use ovolo::make::MadePart;
use ovolo::post::built_in;
use ovolo::units::INCH;
use std::sync::OnceLock;

const BED_MOULD: &str = include_str!("../sample-parts/bed-mold-arc.toml");
const BAND: &str = include_str!("../sample-parts/arched-band.toml");

/// The bed mould's sample, made once for all that look at it.
fn bed_mould() -> &'static MadePart {
    static MADE: OnceLock<Vec<MadePart>> = OnceLock::new();
    &MADE.get_or_init(|| passed(BED_MOULD, "millimetres"))[0]
}

/// The bed mould's face top down, inches, from its drawing: fillet 1/8, ovolo 1/2 after a shelf of
/// 1/16, fillets 1/8 after shelves of 1/16 and 1/8; back 3/8. `u` from the back.
fn bed_mould_z(u: f64) -> f64 {
    let x = u - 0.375;
    let up = if x < 0.0 {
        0.0
    } else if x < 0.0625 {
        0.125
    } else if x < 0.5625 {
        // A quarter circle about the ovolo's inner upper corner.
        0.625 - (0.25_f64 - (x - 0.0625).powi(2)).sqrt()
    } else if x < 0.625 {
        0.625
    } else {
        0.75
    };
    0.875 - up
}

#[test]
fn the_text_leaves_the_bed_mould_within_its_scallop() {
    let part = bed_mould();
    let all = cuts(part);
    // The arc: chord 36, rise 1 7/8, so radius (18² + 1.875²) / 3.75.
    let radius = (18.0_f64.powi(2) + 1.875_f64.powi(2)) / 3.75 * INCH;
    let (low, high) = part.plan.outline.bounds().unwrap();
    // The outline's crown is the moulding's front, 1 1/8 out.
    let center = point((low.x + high.x) / 2.0, high.y - radius - 1.125 * INCH);
    let bottom = part.plan.stock.min.z;
    let wanted = Wanted::new(1.125 * INCH, |u| bed_mould_z(u / INCH) * INCH);
    for degrees in [-11.0, -4.0, 0.0, 7.5_f64] {
        let out = Point::polar(1.0, (90.0 - degrees).to_radians());
        let places = 1500;
        for i in 1..places {
            let u = wanted.width * f64::from(i) / f64::from(places);
            let z = left(&all, part.plan.stock.max.z, center + out * (radius + u)) - bottom;
            wanted.hold(u, z, 0.03, &format!("{degrees} degrees"));
        }
    }
}

#[test]
fn each_pass_is_one_true_arc() {
    let part = bed_mould();
    let text = &part.programs[0].text;
    let lines: Vec<&str> = text.lines().collect();
    let long = |c: &&Cut| c.stroke.arc.is_some() && c.stroke.length() > 800.0;
    let all = cuts(part);
    let first_ball = all.iter().position(|c| c.cutter == 4).unwrap();
    let last_ball = all.iter().rposition(|c| c.cutter == 4).unwrap();
    let ball = &all[first_ball..=last_ball];
    let passes = ball.iter().filter(long).count();
    assert!(passes > 10, "{passes}");
    // Every pass is one line of the text, and no two share one.
    let mut own: Vec<usize> = ball.iter().filter(long).map(|c| c.line).collect();
    own.dedup();
    assert_eq!(own.len(), passes);
    // A link is one line, or two or three where it goes down beside a wall.
    let (from, to) = (ball[0].line, ball[ball.len() - 1].line);
    let words = lines[from - 1..to].iter().filter(|l| l.starts_with(['G', 'X', 'Y', 'Z'])).count();
    assert!(words <= 3 * passes, "{words} lines for {passes} passes and their links");
}

#[test]
fn a_height_map_raster_needs_fifty_times_the_text() {
    use ovolo::cuts::sweep::{Edge, Face, Ground, Section};
    let job = Job::read("job.toml", BED_MOULD).unwrap();
    let ovolo::job::Shape::Moulding(moulding) = &job.parts[0].shape else { panic!() };
    let ours = {
        let all = cuts(bed_mould());
        let finish: Vec<&Cut> = all.iter().filter(|c| c.cutter == 4).collect();
        finish.len()
    };
    // The same ball, the same scallop: rows along the board, each as near to the surface as the
    // sweep's own rounding.
    let r = INCH / 8.0;
    let edge = Edge { radius: r, flat: 0.0, corner: r, side: None };
    let face = Face::of(&moulding.profile, moulding.pose);
    let section = Section::new(face, r, INCH / 4.0, 0.875 * INCH);
    let ground: &Ground = &section.ground;
    let radius = (18.0_f64.powi(2) + 1.875_f64.powi(2)) / 3.75 * INCH;
    let half = 18.0 * INCH;
    let step = 2.0 * (r * r - (r - 0.03_f64).powi(2)).sqrt();
    let (mut y, top) = (radius - 1.875 * INCH, radius + 1.125 * INCH);
    let mut points = 0_usize;
    while y < top {
        // A row, kept to 0.01 mm by as few chords as that takes.
        let height = |x: f64| {
            let u = point(x, y).length() - radius;
            let (low, high) = section.reach;
            if u < low || u > high { 0.875 * INCH } else { ground.tip(&edge, u).min(0.875 * INCH) }
        };
        let (mut x, fine) = (-half, 0.25);
        while x < half {
            let mut reach = fine;
            let straight = |reach: f64| {
                let (a, b) = (height(x), height(x + reach));
                (1..8).all(|i| {
                    let share = f64::from(i) / 8.0;
                    (height(x + reach * share) - (a + (b - a) * share)).abs() <= 0.01
                })
            };
            while x + reach < half && reach < 400.0 && straight(reach * 1.5) {
                reach *= 1.5;
            }
            points += 1;
            x += reach;
        }
        y += step;
    }
    println!("raster {points} lines, sweep {ours}: {:.0} times", points as f64 / ours as f64);
    assert!(points >= 50 * ours, "raster {points} lines, sweep {ours}");
}

#[test]
fn finishing_takes_hardly_longer_than_its_passes() {
    let all = cuts(bed_mould());
    let first = all.iter().position(|c| c.cutter == 4).unwrap();
    let ball: Vec<Cut> = all[first..].iter().take_while(|c| c.cutter == 4).copied().collect();
    // The first stroke goes down from the travel height, and belongs to no pass.
    let spent: f64 = ball.iter().skip(1).map(|c| c.seconds).sum();
    let passes: Vec<&Cut> = ball.iter().filter(|c| c.stroke.length() > 800.0).collect();
    // Profile length over mean stepover is the number of passes; each as long as the moulding,
    // 36 in of chord, on its own lane.
    let radius = (18.0_f64.powi(2) + 1.875_f64.powi(2)) / 3.75;
    let angle = 2.0 * (18.0_f64 / radius).asin();
    let bound: f64 = passes
        .iter()
        .map(|c| {
            let own = c.stroke.from.xy().distance(c.stroke.arc.unwrap().center);
            own * angle / c.feed * 60.0
        })
        .sum();
    println!("finishing {spent:.1} s, bound {bound:.1} s: {:.3}", spent / bound);
    assert!(spent < 1.10 * bound, "{spent} s against {bound} s");
}

/// Every dialect, on a smaller part of the same kind: the dry run holds every program against the
/// wanted surface too. The samples themselves are tried so in `dry_run_samples`.
fn passes_in_every_dialect(text: &str) {
    for (name, _) in built_in() {
        passed(text, name);
    }
}

#[test]
fn every_controller_gets_the_bed_mould() {
    let short = BED_MOULD
        .replace("chord = \"36\"", "chord = \"4\"")
        .replace("rise  = \"1 7/8\"", "rise = \"1/4\"")
        .replace("\"43\"", "\"10\"")
        .replace("\"42 1/2\"", "\"9 1/2\"")
        .replace("count = 3, width = \"1/2\"", "count = 1, width = \"1/2\"");
    passes_in_every_dialect(&short);
}

#[test]
fn every_controller_gets_the_band() {
    let small = BAND
        .replace("chord = \"30\"", "chord = \"4\"")
        .replace("rise  = \"15\"", "rise = \"1/2\"")
        .replace("count = 3", "count = 1")
        .replace("\"21\"", "\"9\"")
        .replace("\"10 3/4\"", "\"6\"");
    passes_in_every_dialect(&small);
}

#[test]
fn the_band_is_three_segments_on_two_boards() {
    let parts = made(BAND, "millimetres");
    assert_eq!(parts.len(), 2);
    let tabs: Vec<usize> = parts.iter().map(|p| p.plan.tabs.len()).collect();
    assert_eq!(tabs, [6, 3], "three for each segment");
    // A half circle in three segments: 60 degrees each, 30 off the grain at its ends. Their
    // inner edges together are the half circle, 15 pi inches long.
    let job = Job::read("job.toml", BAND).unwrap();
    let ovolo::job::Shape::Moulding(moulding) = &job.parts[0].shape else { panic!() };
    assert!((moulding.run_out.to_degrees() - 30.0).abs() < 1e-6);
    assert!((moulding.length - 15.0 * std::f64::consts::PI * INCH).abs() < 1e-6);
}
