//! Paths of mouldings, their division into segments, and what a job may not ask for.
#![allow(clippy::unwrap_used)]

use approx::assert_relative_eq;
use ovolo::cuts;
use ovolo::geometry::{Piece, Point, point};
use ovolo::job::{Job, Shape};
use ovolo::part::Moulding;
use ovolo::shop::Shop;
use std::f64::consts::PI;

/// A job with one moulding: the path's table, and more keys of the part.
fn job(path: &str, more: &str, stock: &str) -> String {
    format!(
        "title = \"Reading-room niche\"\nspecies = \"yellow-poplar\"\n\
         [stock]\n{stock}\n[hold]\nbed = \"vacuum\"\n\
         [[part]]\nkind = \"moulding\"\n{more}\n\
         [part.profile]\nback = 9\nelement = [\n\
         {{ kind = \"fillet\", height = 5 }},\n\
         {{ kind = \"cavetto\", height = 8, projection = 8 }} ]\n\
         [part.path]\n{path}\n[part.outline]\ncutter = 2\n"
    )
}

const BOARD: &str = "length = 3000\nwidth = 2000\nthickness = 20";

fn moulding(path: &str, more: &str, stock: &str) -> Moulding {
    let job = Job::read("job.toml", &job(path, more, stock)).unwrap_or_else(|e| panic!("{e}"));
    match &job.parts[0].shape {
        Shape::Moulding(moulding) => (**moulding).clone(),
        other => panic!("{other:?}"),
    }
}

fn refusal(path: &str, more: &str, stock: &str) -> String {
    let text = job(path, more, stock);
    let shop = Shop::built_in().unwrap();
    match Job::read("job.toml", &text) {
        Err(failure) => failure.to_string(),
        Ok(job) => cuts::plan(&job, &shop).unwrap_err().to_string(),
    }
}

/// Directions where two pieces meet differ by no more than rounding.
fn smooth(pieces: &[Piece]) {
    for pair in pieces.windows(2) {
        assert!(pair[0].to.distance(pair[1].from) < 1e-9);
        assert!(pair[0].direction(1.0).distance(pair[1].direction(0.0)) < 1e-6);
    }
}

#[test]
fn an_ellipse_is_kept_within_its_tolerance_by_smooth_arcs() {
    for (a, b) in [(350.0, 220.0), (500.0, 60.0), (100.0, 300.0)] {
        let path = format!("kind = \"ellipse\"\nspan = {}\nrise = {b}", 2.0 * a);
        let whole = moulding(&path, "segments = 1", BOARD);
        smooth(&whole.path);
        // The nearest of many places of the true curve, between which it is straight to
        // s²/8R: less than a micrometre.
        let places = 20_000;
        let curve: Vec<Point> = (0..=places)
            .map(|i| {
                let t = PI * f64::from(i) / f64::from(places);
                point(a - a * t.cos(), b * t.sin())
            })
            .collect();
        for piece in &whole.path {
            for i in 0..=6 {
                let p = piece.at(f64::from(i) / 6.0);
                let off = curve
                    .windows(2)
                    .map(|w| {
                        let chord = Piece { from: w[0], to: w[1], bulge: 0.0 };
                        chord.at(chord.nearest_share(p)).distance(p)
                    })
                    .fold(f64::INFINITY, f64::min);
                assert!(off < 0.0101, "{a} {b}: {off}");
            }
        }
        assert!(whole.path.len() < 200, "{}", whole.path.len());
        assert!(whole.path.iter().all(Piece::is_arc));
    }
}

#[test]
fn three_centres_are_those_of_the_construction() {
    // Half span 350, rise 220: lesser radius (220 - (2 - sqrt 3) 350) / (sqrt 3 - 1), greater
    // 700 less that (closed form); three arcs of 60 degrees.
    let arch = moulding("kind = \"three-centred\"\nspan = 700\nrise = 220", "segments = 1", BOARD);
    let small = (220.0 - (2.0 - 3.0_f64.sqrt()) * 350.0) / (3.0_f64.sqrt() - 1.0);
    smooth(&arch.path);
    for (piece, radius) in arch.path.iter().zip([small, 700.0 - small, small]) {
        assert_relative_eq!(piece.radius(), radius, max_relative = 1e-9);
        assert_relative_eq!(piece.sweep(), -PI / 3.0, max_relative = 1e-9);
    }
    assert_relative_eq!(arch.path[1].at(0.5).y, 220.0, epsilon = 1e-9);
    assert_relative_eq!(arch.path[0].direction(0.0).x, 0.0, epsilon = 1e-9);
}

#[test]
fn a_long_arc_is_divided_for_the_board_and_the_grain() {
    let path = "kind = \"arc\"\nchord = 1500\nrise = 100";
    assert_eq!(moulding(path, "", BOARD).segments.len(), 1);
    let short = moulding(path, "", "length = 600\nwidth = 300\nthickness = 20");
    assert_eq!(short.segments.len(), 3);
    assert!(short.size()[0] <= 600.0);
    // 90 degrees at 10 off the grain: five segments of 18 degrees, 9 each way.
    let quarter = "kind = \"arc\"\nchord = 1000\nradius = 707.2";
    let fine = moulding(quarter, "run-out = \"10 deg\"", BOARD);
    assert_eq!(fine.segments.len(), 5);
    assert_relative_eq!(fine.run_out.to_degrees(), 9.0, epsilon = 0.01);
    let lengths: f64 = fine.segments.iter().flat_map(|s| s.path.pieces()).map(Piece::length).sum();
    assert_relative_eq!(lengths, fine.length, max_relative = 1e-9);
}

#[test]
fn lanes_of_a_broken_path_meet_on_the_mitre() {
    let leg = "leg = [ { length = 100 }, { turn = \"-90 deg\", length = 80 } ]";
    let corner = moulding(&format!("kind = \"chain\"\n{leg}"), "", BOARD);
    let lane = corner.segments[0].path.lane(10.0, 0.0).unwrap();
    // Turned to the right the outside corner lies 10 sqrt 2 from the inner one.
    let inner = corner.segments[0].path.lane(0.0, 0.0).unwrap()[0].to;
    assert_relative_eq!(lane[0].to.distance(inner), 10.0 * 2.0_f64.sqrt(), epsilon = 1e-9);
    assert_relative_eq!(lane[0].length(), 110.0, epsilon = 1e-9);
    assert_relative_eq!(lane[1].length(), 90.0, epsilon = 1e-9);
}

#[test]
fn leaning_ends_lie_on_one_line() {
    let path = "kind = \"arc\"\nchord = 600\nrise = 40";
    let leaning = moulding(path, "mitre-right = \"30 deg\"", BOARD);
    let ends: Vec<Point> = [0.0, 5.0, 13.0]
        .iter()
        .map(|u| leaning.segments[0].path.lane(*u, 0.0).unwrap()[0].to)
        .collect();
    let (a, b) = (ends[1] - ends[0], ends[2] - ends[0]);
    assert_relative_eq!(a.cross(b), 0.0, epsilon = 1e-6);
    let left = leaning.segments[0].path.pieces()[0].direction(1.0).left();
    let angle = a.cross(left).atan2(a.dot(left));
    assert_relative_eq!(angle.to_degrees(), 30.0, epsilon = 1e-6);
}

#[test]
fn what_cannot_be_made_is_refused_with_a_way_out() {
    let line = "kind = \"line\"\nlength = 400";
    let cases = [
        ("kind = \"line\"\nlength = 0", "", BOARD, "more than zero"),
        ("kind = \"arc\"\nchord = 400", "", BOARD, "either `rise` or `radius`"),
        ("kind = \"arc\"\nchord = 400\nrise = 300", "", BOARD, "200"),
        ("kind = \"three-centred\"\nspan = 400\nrise = 30", "", BOARD, "more than 53.59 mm"),
        ("kind = \"ellipse\"\nspan = 400\nrise = 90\ntolerance = 5", "", BOARD, "0.001 mm to 1 mm"),
        ("kind = \"arc\"\nchord = 20\nrise = 10\ngrows = \"inward\"", "", BOARD, "outward"),
        ("kind = \"chain\"\nleg = [ { turn = 10 } ]", "", BOARD, "`radius` and `sweep`"),
        (line, "scallop = 0", BOARD, "a scallop of"),
        (line, "allowance = 9", BOARD, "an allowance of"),
        (line, "mitre-left = \"80 deg\"", BOARD, "60 degrees at most"),
        (line, "run-out = \"1 deg\"", BOARD, "3 to 90 degrees"),
        (line, "rough = 77", BOARD, "77"),
        (line, "finish = [10]", BOARD, "does not mill"),
        (line, "finish = [8]", BOARD, "centre-cutting"),
        (line, "finish = [5]", "length = 450\nwidth = 90\nthickness = 30", "reaches 12 mm"),
        (line, "", "length = 450\nwidth = 90\nthickness = 9", "at least 17 mm"),
    ];
    for (path, more, stock, wanted) in cases {
        let told = refusal(path, more, stock);
        assert!(told.contains(wanted), "{path} {more}: {told}");
        assert!(told.contains("job.toml:"), "{told}");
    }
}
