//! An independent look at the text: what its moves sweep, as polygons of another library.

use geo::algorithm::buffer::{BufferStyle, LineJoin};
use geo::{Area, BooleanOps, Buffer, Contains, LineString, MultiPolygon, Polygon, unary_union};
use ovolo::geometry::{Contour, Point, Stroke};
use ovolo::job::Job;
use ovolo::make;
use ovolo::ngc::What;
use ovolo::post::Dialect;
use ovolo::shop::Shop;

/// How far flattened arcs may lie off: a tenth of the tolerance that is tested.
const FLAT: f64 = 0.001;

fn polygon(points: &[Point]) -> Polygon<f64> {
    let ring: LineString<f64> = points.iter().map(|p| (p.x, p.y)).collect();
    Polygon::new(ring, vec![])
}

/// The area swept by a disc of `radius` along strokes that follow one another.
fn swept(strokes: &[Stroke], radius: f64) -> MultiPolygon<f64> {
    let step = 2.0 * (1.0 - FLAT / radius).acos();
    let style = BufferStyle::new(radius).line_join(LineJoin::Round(step));
    let pieces: Vec<Polygon<f64>> = strokes
        .iter()
        .flat_map(|s| {
            let mut line: Vec<(f64, f64)> = s.flattened(FLAT).iter().map(|p| (p.x, p.y)).collect();
            line.dedup();
            // A plunge sweeps a disc: a line too short to see.
            if line.len() == 1 {
                line.push((line[0].0 + 1e-6, line[0].1));
            }
            LineString::from(line).buffer_with_style(style.clone()).0
        })
        .collect();
    unary_union(&pieces)
}

/// Cuts the sample with a dialect and checks what stays at the underside.
fn check(job: &Job, dialect: &str) {
    let shop = Shop::built_in().unwrap_or_else(|e| panic!("{e}"));
    let dialect = Dialect::find(dialect).unwrap_or_else(|e| panic!("{e}"));
    let parts = make::make(job, &shop, &dialect).unwrap_or_else(|e| panic!("{e}"));
    let part = &parts[0];
    let stock = part.plan.stock;
    let cap = &part.plan.outline;
    let tab = job.parts[0].placing.hold.tabs.map_or(0.0, |t| t.height.0);
    let mut strokes = Vec::new();
    for event in &part.programs[0].read.events {
        // Over a tab the cutter rises: for the outline it counts as cut.
        if let What::Motion(m) = event.what
            && m.feed.is_some()
            && m.stroke.from.z.min(m.stroke.to.z) < stock.min.z + tab + 0.01
        {
            strokes.push(m.stroke);
        }
    }
    assert!(strokes.len() > 8, "{} strokes at the underside", strokes.len());
    let board = Contour::rectangle(stock.min.xy(), stock.max.xy());
    let board = MultiPolygon::from(polygon(&board.flattened(FLAT)));
    let radius = part.plan.cutters[0].0.radius();
    let left = board.difference(&swept(&strokes, radius));
    let middle = {
        let (low, high) = cap.bounds().expect("a cap");
        (low + high) * 0.5
    };
    let piece = left
        .iter()
        .find(|p| p.contains(&geo::Point::new(middle.x, middle.y)))
        .expect("the cap is still there");
    // Nothing is left on the cap and nothing is taken off it.
    for c in piece.exterior().coords() {
        let (distance, _) = cap.nearest(ovolo::geometry::point(c.x, c.y)).expect("an outline");
        assert!(distance < 0.01, "{distance} off the outline at {c:?}");
    }
    let meant = cap.area().abs();
    let found = piece.unsigned_area();
    assert!((found - meant).abs() < 0.01 * cap.length(), "{found} for {meant}");
    let shrunk = cap.offset(0.01).expect("offset");
    let within = polygon(&shrunk[0].flattened(FLAT));
    let lost = MultiPolygon::from(within).difference(&MultiPolygon::from(piece.clone()));
    assert!(lost.unsigned_area() < 1e-6, "{} mm2 cut out of the cap", lost.unsigned_area());
}

fn sample() -> String {
    std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/sample-parts/arched-cap.toml"))
        .expect("the sample")
}

#[test]
fn the_finishing_pass_leaves_the_cap_and_nothing_else() {
    let job = Job::read("arched-cap.toml", &sample()).unwrap_or_else(|e| panic!("{e}"));
    for dialect in ["millimetres", "inches", "radius-arcs", "chords-only"] {
        check(&job, dialect);
    }
}

#[test]
fn so_does_a_deep_and_a_flat_cap_in_either_direction() {
    for (rise, milling, finish) in [
        ("6", "climb", "around"),
        ("1/4", "conventional", "downhill"),
        ("2 3/8", "conventional", "around"),
    ] {
        let text = sample()
            .replace("rise      = \"2 3/8\"", &format!("rise = \"{rise}\""))
            .replace("width     = \"8 3/4\"", "width = \"12 1/2\"")
            .replace("\"8\"]", "\"11 3/4\"]")
            .replace("\"climb\"", &format!("\"{milling}\""))
            .replace("\"downhill\"", &format!("\"{finish}\""));
        let job = Job::read("cap.toml", &text).unwrap_or_else(|e| panic!("{e}"));
        check(&job, "millimetres");
    }
}
