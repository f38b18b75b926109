//! Pockets from the text alone: all that the cutter can reach is cleared, and no wall is cut. The
//! walls are known in closed form, so nothing here leans on what planned the cut.
#![allow(clippy::unwrap_used)]

use ovolo::geometry::{Point, Stroke, point};
use ovolo::job::Job;
use ovolo::make::make;
use ovolo::ngc::What;
use ovolo::post::Dialect;
use ovolo::shop::Shop;
use proptest::prelude::*;

/// A rectangle with round corners, less round islands, in the part frame, mm.
#[derive(Clone, Debug)]
struct Shape {
    low: Point,
    high: Point,
    corner: f64,
    islands: Vec<(Point, f64)>,
}

impl Shape {
    /// Distance to the nearest wall, positive within the pocket.
    fn inside(&self, p: Point) -> f64 {
        let middle = (self.low + self.high) * 0.5;
        let half = (self.high - self.low) * 0.5;
        let q = p - middle;
        let (qx, qy) = (q.x.abs() - half.x + self.corner, q.y.abs() - half.y + self.corner);
        let beyond = point(qx.max(0.0), qy.max(0.0)).length();
        let outer = self.corner - beyond - qx.max(qy).min(0.0);
        self.islands.iter().map(|(at, r)| p.distance(*at) - r).fold(outer, f64::min)
    }
}

const PART: Point = Point { x: 200.0, y: 120.0 };
const MARGIN: f64 = 15.0;
const RADIUS: f64 = 3.175;

fn job(shape: &Shape, depth: f64) -> String {
    let islands: Vec<String> = shape
        .islands
        .iter()
        .map(|(at, r)| format!("{{ at = [{}, {}], diameter = {} }}", at.x, at.y, 2.0 * r))
        .collect();
    format!(
        "title = \"pocket\"\nunits = \"mm\"\nspecies = \"yellow-poplar\"\n\
         stock = {{ length = {}, width = {}, thickness = 19 }}\n\
         hold = {{ tabs = {{ count = 2, width = 12, height = 3 }} }}\n\
         [[part]]\nkind = \"board\"\nlength = {}\nwidth = {}\n\
         [[part.pocket]]\narea = {{ from = [{}, {}], to = [{}, {}], corner-radius = {} }}\n\
         island = [{}]\ndepth = {depth}\ncutters = [1]\n",
        PART.x + 2.0 * MARGIN,
        PART.y + 2.0 * MARGIN,
        PART.x,
        PART.y,
        shape.low.x,
        shape.low.y,
        shape.high.x,
        shape.high.y,
        shape.corner,
        islands.join(", "),
    )
}

/// The feed strokes of the program below the board's top, moved into the part frame.
fn strokes(text: &str) -> Result<Vec<Stroke>, String> {
    let shop = Shop::built_in().map_err(|e| e.to_string())?;
    let job = Job::read("pocket.toml", text).map_err(|e| e.to_string())?;
    let dialect = Dialect::find("millimetres").map_err(|e| e.to_string())?;
    let made = make(&job, &shop, &dialect).map_err(|e| e.to_string())?;
    let mut all = Vec::new();
    for event in made.iter().flat_map(|m| &m.programs).flat_map(|p| &p.read.events) {
        let What::Motion(m) = &event.what else { continue };
        if m.feed.is_none() || m.stroke.from.z.min(m.stroke.to.z) > -0.01 {
            continue;
        }
        // The zero is the stock's front left corner.
        let off = point(MARGIN, MARGIN).at(0.0);
        let mut stroke = m.stroke;
        stroke.from = stroke.from - off;
        stroke.to = stroke.to - off;
        if let Some(arc) = &mut stroke.arc {
            arc.center = arc.center - off.xy();
        }
        all.push(stroke);
    }
    Ok(all)
}

type Chord = (Point, Point);

/// The strokes as fine chords, those on the floor and all others.
fn chords(strokes: &[Stroke], floor: f64) -> (Vec<Chord>, Vec<Chord>) {
    let (mut on, mut above) = (Vec::new(), Vec::new());
    for stroke in strokes {
        let level = (stroke.from.z - floor).abs() < 1e-3 && (stroke.to.z - floor).abs() < 1e-3;
        for pair in stroke.flattened(1e-4).windows(2) {
            let own = (pair[0].xy(), pair[1].xy());
            if level { on.push(own) } else { above.push(own) }
        }
    }
    (on, above)
}

fn distance(p: Point, (a, b): Chord) -> f64 {
    let d = b - a;
    let along = d.dot(d);
    let share = if along > 0.0 { ((p - a).dot(d) / along).clamp(0.0, 1.0) } else { 0.0 };
    p.distance(a + d * share)
}

fn any_shape() -> impl Strategy<Value = Shape> {
    let size = (8.0..150.0_f64, 8.0..90.0_f64, 0.0..1.0_f64);
    let islands = proptest::collection::vec((0.0..1.0_f64, 0.0..1.0_f64, 2.0..15.0_f64), 0..4);
    (size, islands).prop_map(|((w, h, share), wanted)| {
        let low = point(12.0, 12.0);
        let high = low + point(w, h);
        let corner = share * w.min(h) / 2.0;
        let mut shape = Shape { low, high, corner, islands: Vec::new() };
        for (x, y, r) in wanted {
            let at = point(low.x + x * w, low.y + y * h);
            // Islands stand clear of walls and of one another, if only by a tenth.
            if shape.inside(at) > r + 0.1 {
                shape.islands.push((at, r));
            }
        }
        shape
    })
}

/// A number from 0 to 1 that follows from two counts: the same in every run.
fn pick(i: u64, k: u64) -> f64 {
    let mut x = (i + 1).wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ k.wrapping_mul(0xbf58_476d_1ce4_e5b9);
    x = (x ^ (x >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    x = (x ^ (x >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    ((x ^ (x >> 31)) >> 11) as f64 / (1u64 << 53) as f64
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    #[test]
    fn all_that_is_in_reach_is_cleared_and_no_wall_is_cut(
        shape in any_shape(), depth in 1.0..9.0_f64,
    ) {
        let strokes = strokes(&job(&shape, depth)).map_err(TestCaseError::fail)?;
        let within = |p: Point| shape.inside(p) > -0.5;
        // Round the board runs the outline cut: far from any pocket here.
        let own: Vec<Stroke> =
            strokes.into_iter().filter(|s| within(s.from.xy()) && within(s.to.xy())).collect();
        let (floor, above) = chords(&own, -depth);
        for (a, b) in floor.iter().chain(&above) {
            let count = (a.distance(*b) / 0.3).ceil().max(1.0) as usize;
            for i in 0..=count {
                let p = *a + (*b - *a) * (i as f64 / count as f64);
                let wall = shape.inside(p);
                prop_assert!(wall > RADIUS - 2e-3, "the wall at {p:?} is cut by {}", RADIUS - wall);
            }
        }
        for i in 0..1500 {
            let centre = point(
                shape.low.x + (shape.high.x - shape.low.x) * pick(i, 1),
                shape.low.y + (shape.high.y - shape.low.y) * pick(i, 2),
            );
            // Where the cutter's middle may stand, its whole disc must be cleared, rim included.
            if shape.inside(centre) < RADIUS {
                continue;
            }
            let share = if i % 2 == 0 { 1.0 } else { pick(i, 3).sqrt() };
            let p = centre + Point::polar(RADIUS * share, std::f64::consts::TAU * pick(i, 4));
            let near = floor.iter().map(|c| distance(p, *c)).fold(f64::INFINITY, f64::min);
            prop_assert!(near <= RADIUS + 2e-3, "{p:?} is left standing: {near} from the path");
        }
    }
}
