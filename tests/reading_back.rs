//! The sample, cut by every post-processor, reads back to the moves that were planned.

use ovolo::geometry::{Piece, Point3, Stroke};
use ovolo::job::Job;
use ovolo::make;
use ovolo::ngc::What;
use ovolo::post::{Dialect, built_in};
use ovolo::shop::Shop;

/// Distance of a point from a stroke whose plane is level; heights go evenly along it.
fn distance(stroke: &Stroke, p: Point3) -> f64 {
    let bulge = stroke.arc.map_or(0.0, |a| (a.sweep / 4.0).tan());
    let (from, to) = (stroke.from.xy(), stroke.to.xy());
    let share = if from.distance(to) > 1e-9 {
        Piece { from, to, bulge }.nearest_share(p.xy())
    } else {
        ((p.z - stroke.from.z) / (stroke.to.z - stroke.from.z)).clamp(0.0, 1.0)
    };
    stroke.at(share).distance(p)
}

/// The farthest that any of five points of each stroke of `some` lies from all of `others`.
fn farthest(some: &[Stroke], others: &[Stroke]) -> f64 {
    some.iter()
        .flat_map(|s| (0..5).map(|i| s.at(f64::from(i) / 4.0)))
        .map(|p| others.iter().map(|o| distance(o, p)).fold(f64::INFINITY, f64::min))
        .fold(0.0, f64::max)
}

#[test]
fn every_dialect_says_what_was_planned() {
    let text = include_str!("../sample-parts/arched-cap.toml");
    let job = Job::read("arched-cap.toml", text).unwrap_or_else(|e| panic!("{e}"));
    let shop = Shop::built_in().unwrap_or_else(|e| panic!("{e}"));
    assert!(built_in().len() >= 7);
    for (name, _) in built_in() {
        let dialect = Dialect::find(name).unwrap_or_else(|e| panic!("{e}"));
        let parts = make::make(&job, &shop, &dialect).unwrap_or_else(|e| panic!("{e}"));
        let planned: Vec<Stroke> = parts[0]
            .plan
            .toolpath
            .strokes()
            .filter(|(_, step)| step.action.feed().is_some())
            .map(|(stroke, _)| stroke)
            .collect();
        let read: Vec<Stroke> = parts[0].programs[0]
            .read
            .events
            .iter()
            .filter_map(|e| match e.what {
                What::Motion(m) if m.feed.is_some() => Some(m.stroke),
                _ => None,
            })
            .collect();
        // A split or a dropped word of rounding may stand between neighbours; the path may not move.
        let within = dialect.reads_back_within() + 1e-6;
        let (there, back) = (farthest(&read, &planned), farthest(&planned, &read));
        assert!(there <= within, "{name}: read {there} off the plan, {within} allowed");
        assert!(back <= within, "{name}: planned {back} off what is read, {within} allowed");
        let lengths = [&planned, &read].map(|s| s.iter().map(Stroke::length).sum::<f64>());
        // Chords are shorter than their arcs by about tolerance times angle: far below this.
        assert!((lengths[0] - lengths[1]).abs() < 1e-4 * lengths[0], "{name}: {lengths:?}");
    }
}
