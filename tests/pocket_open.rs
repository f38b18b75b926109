//! Open pockets from the text alone: nothing that the cutter could reach is left, right up to the
//! open edges, and beyond the pocket wood is cut only over these. The judge is another library's
//! polygons.
#![allow(clippy::unwrap_used, unreachable_pub)]

#[path = "pocket_property/frame.rs"]
mod frame;

use frame::{AROUND, on_part};
use geo::algorithm::buffer::{BufferStyle, LineCap, LineJoin};
use geo::{Area, BooleanOps, Buffer, LineString, MultiLineString, MultiPolygon, Polygon};
use ovolo::cuts;
use ovolo::geometry::{Contour, Piece, Point, Region, Stroke, point};
use ovolo::job::Job;
use ovolo::make::make;
use ovolo::ngc::{self, What};
use ovolo::part::features::{Clearing, Corners, EdgeSide, Face, Open, Pocket, Start};
use ovolo::post::{self, Dialect, Heading};
use ovolo::shop::Shop;

const BOARD: f64 = 90.0;
/// Radii of the cutters 1 and 3 of the built-in shop: a quarter and an eighth of an inch wide.
const WIDE: f64 = 3.175;
const NARROW: f64 = 1.5875;
/// How far chords lie off their arcs, mm.
const FLAT: f64 = 0.002;
/// What may be cut into a wall or left on it: chords, and the program's last digit, mm.
const MARGIN: f64 = 0.006;
/// The share of a pocket that may be left or gouged beyond that.
const SHARE: f64 = 1e-6;
/// Random cases. For a longer hunt: `OPEN_POCKETS=2000 cargo test --test pocket_open`.
const CASES: u64 = 132;

/// Numbers from 0 to 1 that follow from a seed: the same in every run (the mixing steps of
/// SplitMix64: Steele, Lea and Flood, Fast splittable pseudorandom number generators, 2014).
struct Dice(u64);

impl Dice {
    fn roll(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut x = self.0;
        x = (x ^ (x >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        x = (x ^ (x >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((x ^ (x >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    fn from(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.roll()
    }

    fn one_in(&mut self, n: f64) -> bool {
        self.roll() * n < 1.0
    }
}

struct Case {
    region: Region,
    sides: Vec<EdgeSide>,
    cutters: Vec<u32>,
    clearing: Clearing,
    start: Start,
    depth: f64,
}

fn case(seed: u64) -> Case {
    let mut dice = Dice(seed.wrapping_mul(7919));
    let (w, h) = (dice.from(9.0, 60.0), dice.from(9.0, 60.0));
    // At the board's edge, the stock's near beyond it, or in the middle of whole wood.
    let low = match dice.one_in(2.0) {
        true => point(0.0, 0.0),
        false => point(dice.from(12.0, 18.0), dice.from(12.0, 18.0)),
    };
    let corners = match seed % 3 {
        0 => vec![(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)],
        // Walls that slant: left and right are the sides that can be named.
        1 => {
            let (a, b) = (dice.from(0.0, 0.3), dice.from(0.0, 0.3));
            vec![(0.0, a * h), (w, 0.0), (w, h), (0.0, h - b * h)]
        }
        // A step: one corner stands in.
        _ => {
            let (x, y) = (dice.from(0.4, 0.6) * w, dice.from(0.4, 0.6) * h);
            vec![(0.0, 0.0), (w, 0.0), (w, h), (x, h), (x, y), (0.0, y)]
        }
    };
    let corners: Vec<Point> = corners.into_iter().map(|(x, y)| low + point(x, y)).collect();
    let outer = Contour::polygon(&corners);
    let mut islands: Vec<Contour> = Vec::new();
    for _ in 0..3 {
        let (at, r) = (low + point(dice.roll() * w, dice.roll() * h), dice.from(1.0, 5.0));
        let off = |c: &Contour| c.nearest(at).is_some_and(|(gap, _)| gap > r + 0.2);
        if outer.contains(at) && off(&outer) && islands.iter().all(|i| off(i) && !i.contains(at)) {
            islands.push(Contour::circle(at, r));
        }
    }
    let all = match seed % 3 {
        1 => vec![EdgeSide::Left, EdgeSide::Right],
        _ => vec![EdgeSide::Left, EdgeSide::Right, EdgeSide::Near, EdgeSide::Far],
    };
    let mut sides: Vec<EdgeSide> = all.iter().copied().filter(|_| dice.one_in(2.0)).collect();
    if sides.is_empty() {
        sides.push(all[seed as usize % all.len()]);
    }
    Case {
        region: Region::new(outer, islands).unwrap(),
        sides,
        cutters: if dice.one_in(3.0) { vec![1, 3] } else { vec![1] },
        clearing: if dice.one_in(4.0) { Clearing::HeldLoad } else { Clearing::Offset },
        start: if dice.one_in(4.0) { Start::Outside } else { Start::Inside },
        depth: dice.from(1.5, 7.0),
    }
}

/// Feed strokes on the pocket's floor and on the way there, with their cutter's radius, in the
/// part frame.
fn cut(
    case: &Case,
    (shop, job, dialect): (&Shop, &Job, &Dialect),
) -> Result<Vec<(Stroke, f64)>, String> {
    let mut job = job.clone();
    job.parts[0].features.pockets = vec![Pocket {
        key: "pocket[1]".into(),
        open: Open::sides(case.region.outer(), &case.sides),
        region: case.region.clone(),
        depth: case.depth,
        cutters: case.cutters.clone(),
        corners: Corners::AsCut,
        clearing: case.clearing,
        start: case.start,
        face: Face::Top,
    }];
    let plan = cuts::plan(&job, shop).map_err(|e| e.to_string())?.remove(0);
    let program = post::write(&plan.toolpath, dialect, &Heading::default()).unwrap().remove(0);
    let (events, problems) = ngc::interpret_all(&program.text, &ngc::Options::default());
    assert!(problems.is_empty(), "{problems:?}");
    let mut radius = 0.0;
    let mut all = Vec::new();
    for event in events {
        match event.what {
            What::CutterChange { cutter } => radius = if cutter == 3 { NARROW } else { WIDE },
            // The board's outline is cut 1 mm deep.
            What::Motion(m) if m.stroke.from.z.min(m.stroke.to.z) < -1.01 => {
                let upward = m.stroke.to.z > m.stroke.from.z;
                assert!(m.feed.is_some() || upward, "a traverse in the wood");
                if m.feed.is_some() {
                    all.push((on_part(m.stroke), radius));
                }
            }
            _ => {}
        }
    }
    Ok(all)
}

fn style(radius: f64) -> BufferStyle<f64> {
    let step = 2.0 * (1.0 - FLAT / radius.abs()).acos();
    BufferStyle::new(radius).line_join(LineJoin::Round(step)).line_cap(LineCap::Round(step))
}

fn line(points: impl Iterator<Item = Point>) -> LineString<f64> {
    points.map(|p| (p.x, p.y)).collect()
}

fn polygon(points: &[Point]) -> MultiPolygon<f64> {
    Polygon::new(line(points.iter().copied()), vec![]).into()
}

fn swept<'a>(strokes: impl Iterator<Item = &'a (Stroke, f64)>) -> MultiPolygon<f64> {
    let mut all = MultiPolygon::new(vec![]);
    let strokes: Vec<_> = strokes.collect();
    for radius in [WIDE, NARROW] {
        let own = strokes.iter().filter(|s| s.1 == radius);
        let ways: Vec<LineString<f64>> = own
            .map(|(stroke, _)| {
                let mut points: Vec<Point> =
                    stroke.flattened(FLAT).iter().map(|p| p.xy()).collect();
                points.dedup_by(|a, b| a.distance(*b) < 1e-9);
                // Straight down a disc is swept: a line too short to see.
                if points.len() == 1 {
                    points.push(points[0] + point(1e-6, 0.0));
                }
                line(points.into_iter())
            })
            .collect();
        if !ways.is_empty() {
            all = all.union(&MultiLineString::new(ways).buffer_with_style(style(radius)));
        }
    }
    all
}

fn open_edges(case: &Case) -> Vec<(Piece, Piece, Piece)> {
    let pieces: Vec<Piece> = case.region.outer().pieces().collect();
    let (low, high) = case.region.outer().bounds().unwrap();
    let count = pieces.len();
    let on = |p: &Piece, side: EdgeSide| match side {
        EdgeSide::Left => p.from.x == low.x && p.to.x == low.x,
        EdgeSide::Right => p.from.x == high.x && p.to.x == high.x,
        EdgeSide::Near => p.from.y == low.y && p.to.y == low.y,
        EdgeSide::Far => p.from.y == high.y && p.to.y == high.y,
        EdgeSide::All => true,
    };
    let open = |i: &usize| case.sides.iter().any(|side| on(&pieces[*i], *side));
    let beside = |i: usize| (pieces[(i + count - 1) % count], pieces[i], pieces[(i + 1) % count]);
    (0..count).filter(open).map(beside).collect()
}

/// What lies over the open edges, `far` out: between the walls beside each going on straight, and
/// as wide as the edge itself. Two open edges that meet share the corner between them.
fn over(case: &Case, far: f64, slanting: bool) -> MultiPolygon<f64> {
    let edges = open_edges(case);
    let is_open = |p: &Piece| edges.iter().any(|(_, e, _)| e == p);
    let mut all = MultiPolygon::new(vec![]);
    for (before, edge, after) in &edges {
        let out = -edge.direction(0.0).left();
        // How far along the edge's line its end moves while it moves out by one.
        let slant = |wall: Point| {
            let along = wall.dot(out);
            if along.abs() > 0.2 { wall * (1.0 / along) } else { out }
        };
        let (mut a, mut b) = (edge.from + out * far, edge.to + out * far);
        if slanting {
            a = edge.from + slant(before.direction(1.0)) * far;
            b = edge.to + slant(after.direction(0.0)) * far;
        }
        if is_open(before) && before.direction(1.0).cross(edge.direction(0.0)) > 0.0 {
            a = a - edge.direction(0.0) * far;
        }
        if is_open(after) && edge.direction(1.0).cross(after.direction(0.0)) > 0.0 {
            b = b + edge.direction(0.0) * far;
        }
        all = all.union(&polygon(&[edge.from, a, b, edge.to]));
    }
    all
}

fn pocket(case: &Case) -> MultiPolygon<f64> {
    let islands = case.region.islands().iter();
    let islands = islands.map(|c| line(c.flattened(FLAT).into_iter())).collect();
    Polygon::new(line(case.region.outer().flattened(FLAT).into_iter()), islands).into()
}

fn radius(case: &Case) -> f64 {
    if case.cutters.len() > 1 { NARROW } else { WIDE }
}

/// Where the middle of a cutter a hair wider than the narrowest may go, with room over open edges.
fn middle(case: &Case) -> MultiPolygon<f64> {
    let room = pocket(case).union(&over(case, 40.0, true));
    let mut middle = room.buffer_with_style(style(-(radius(case) + 0.002)));
    // The library leaves dust of some 1e-8 mm2 on bisectors, which would grow to whole discs.
    middle.0.retain(|p| p.unsigned_area() > 1e-5);
    middle
}

fn judge(case: &Case, strokes: &[(Stroke, f64)]) -> Result<(), String> {
    let pocket = pocket(case);
    let area = pocket.unsigned_area();
    let room = pocket.union(&over(case, 40.0, true));
    let wanted =
        middle(case).buffer_with_style(style(radius(case) + 0.002 - MARGIN)).intersection(&pocket);
    let on_floor = |s: &&(Stroke, f64)| s.0.from.z.max(s.0.to.z) < -case.depth + 1e-3;
    let floor = swept(strokes.iter().filter(on_floor));
    let left = wanted.difference(&floor).unsigned_area();
    if left > SHARE * area {
        return Err(format!("{left} of {area} mm2 left"));
    }
    // A slot in from the air is straight out from its edge.
    let may = room.union(&over(case, 40.0, false)).buffer_with_style(style(MARGIN));
    let gouged = swept(strokes.iter()).difference(&may).unsigned_area();
    if gouged > SHARE * area {
        return Err(format!("{gouged} of {area} mm2 gouged"));
    }
    Ok(())
}

/// Every fourth case from `first` on, so that they run side by side.
fn all_is_cleared_up_to_the_open_edges_and_only_over_these_more(first: u64) {
    let text = format!(
        "title = \"pocket\"\nunits = \"mm\"\nspecies = \"yellow-poplar\"\n\
         stock = {{ length = {0}, width = {0}, thickness = 19 }}\n\
         hold = {{ bed = \"tape\" }}\n\
         [[part]]\nkind = \"board\"\nlength = {BOARD}\nwidth = {BOARD}\n\
         outline = {{ depth = 1 }}\n",
        BOARD + 2.0 * AROUND
    );
    let shop = Shop::built_in().unwrap();
    let job = Job::read("pocket.toml", &text).unwrap();
    let dialect = Dialect::find("millimetres").unwrap();
    let count = std::env::var("OPEN_POCKETS").ok().and_then(|n| n.parse().ok()).unwrap_or(CASES);
    let mut wrong = Vec::new();
    let (mut in_the_air, mut cut_all, mut tried) = (0, 0, 0);
    for seed in (first..count).step_by(4) {
        let case = case(seed);
        tried += 1;
        let strokes = match cut(&case, (&shop, &job, &dialect)) {
            Ok(strokes) => strokes,
            Err(why) => {
                let narrow = why.contains("no cutter of the list goes into the pocket");
                if !narrow || !middle(&case).0.is_empty() {
                    wrong.push(format!("{seed}, {:?} open: {why}", case.sides));
                }
                continue;
            }
        };
        cut_all += 1;
        if let Err(why) = judge(&case, &strokes) {
            wrong.push(format!("{seed}, {:?} open: {why}", case.sides));
        }
        // Off the stock by more than its radius: the cutter went down in the air.
        let out = |p: Point| p.x.min(p.y) + AROUND < -WIDE;
        in_the_air += usize::from(strokes.iter().any(|(s, _)| out(s.from.xy())));
    }
    assert!(wrong.is_empty(), "{} of {tried}:\n{}", wrong.len(), wrong.join("\n"));
    assert!(cut_all * 10 > tried * 8, "{cut_all} of {tried} are cut");
    // Half the pockets lie at the board's corner, and most of these are open there.
    assert!(in_the_air * 5 > tried, "{in_the_air} of {tried} are entered in the air");
}

#[test]
fn first_quarter_of_random_pockets() {
    all_is_cleared_up_to_the_open_edges_and_only_over_these_more(0);
}

#[test]
fn second_quarter_of_random_pockets() {
    all_is_cleared_up_to_the_open_edges_and_only_over_these_more(1);
}

#[test]
fn third_quarter_of_random_pockets() {
    all_is_cleared_up_to_the_open_edges_and_only_over_these_more(2);
}

#[test]
fn last_quarter_of_random_pockets() {
    all_is_cleared_up_to_the_open_edges_and_only_over_these_more(3);
}

/// What a job's first pocket is told of by the whole program, dry run and all.
fn told(pocket: &str) -> Result<(Vec<String>, bool), String> {
    let text = format!(
        "title = \"open\"\nunits = \"mm\"\nspecies = \"yellow-poplar\"\n\
         stock = {{ length = 260, width = 150, thickness = 19 }}\n\
         hold = {{ tabs = {{ count = 2, width = 12, height = 3 }} }}\n\
         [[part]]\nkind = \"board\"\nlength = 230\nwidth = 120\n{pocket}"
    );
    let job = Job::read("open.toml", &text).map_err(|e| e.to_string())?;
    let dialect = Dialect::find("millimetres").unwrap();
    let made = make(&job, &Shop::built_in().unwrap(), &dialect).map_err(|e| e.to_string())?;
    let passed = made.iter().all(|part| !part.refused());
    Ok((made[0].plan.remarks.clone(), passed))
}

#[test]
fn an_edge_on_the_boards_edge_is_open_without_being_named() {
    let pocket = |x: f64| {
        format!(
            "[[part.pocket]]\narea = {{ from = [{x}, 30], to = [60, 80] }}\ndepth = 5\ncutters = [2]\n"
        )
    };
    // Four corners in whole wood, two where the board's edge is open.
    let (inside, passed) = told(&pocket(10.0)).unwrap();
    assert!(passed && inside.iter().any(|r| r.contains("4 places of its walls")), "{inside:?}");
    for x in [0.0, -4.0, -20.0] {
        let (open, passed) = told(&pocket(x)).unwrap();
        assert!(
            passed && open.iter().any(|r| r.contains("2 places of its walls")),
            "{x}: {open:?}"
        );
    }
}

#[test]
fn from_a_deeper_pocket_the_next_is_entered_in_the_air_and_the_dry_run_agrees() {
    let (said, passed) = told(
        "[[part.pocket]]\narea = { from = [60, 30], to = [130, 80] }\ndepth = 8\ncutters = [2]\n\
         [[part.pocket]]\narea = { from = [130, 40], to = [170, 70] }\ndepth = 4\ncutters = [2]\nopen = [\"left\"]\n",
    )
    .unwrap();
    assert!(passed);
    assert!(said.iter().any(|r| r.starts_with("pocket[2]: 2 places")), "{said:?}");
}

#[test]
fn a_side_without_a_straight_edge_is_answered() {
    let said = told("[[part.pocket]]\narea = { at = [60, 60], diameter = 40 }\ndepth = 5\ncutters = [2]\nopen = [\"left\"]\n").unwrap_err();
    assert!(said.contains("part[1].pocket[1].open[1]"), "{said}");
    assert!(said.contains("no straight edge on this side"), "{said}");
}
