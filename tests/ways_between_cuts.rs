//! Ways between cuts past clamps, from the program's text: none strikes a clamp however a control
//! bends its traverses, and none takes longer than the one way above everything would.
#![allow(clippy::unwrap_used)]

use geo::{Distance, Euclidean, Line, Rect, coord};
use ovolo::dry_run::Outcome;
use ovolo::geometry::{Box3, Point3, Stroke};
use ovolo::job::Job;
use ovolo::make::{MadePart, make};
use ovolo::ngc::What;
use ovolo::post::Dialect;
use ovolo::shop::{Cutter, Shop};
use ovolo::toolpath::{Limits, Move, times};
use proptest::prelude::*;

/// Columns and rows of holes, and how far apart they are, mm.
const HOLES: (u32, u32) = (5, 4);
const PITCH: f64 = 70.0;
/// The last digit of a program in mm, twice, mm.
const ROUNDING: f64 = 0.002;

#[derive(Clone, Debug)]
struct Clamp {
    low: [f64; 2],
    high: [f64; 2],
    height: f64,
}

fn holes() -> Vec<[f64; 2]> {
    let at = |i: u32, j: u32| [45.0 + PITCH * f64::from(i), 45.0 + PITCH * f64::from(j)];
    (0..HOLES.1).flat_map(|j| (0..HOLES.0).map(move |i| at(i, j))).collect()
}

/// A board with holes in rows, as a job.
fn job(clamps: &[Clamp]) -> Job {
    // The part lies 15 mm within the stock.
    let at: Vec<String> =
        holes().iter().map(|[x, y]| format!("[{}, {}]", x - 15.0, y - 15.0)).collect();
    let clamps: Vec<String> = clamps
        .iter()
        .enumerate()
        .map(|(i, c)| {
            format!(
                "{{ name = \"clamp {i}\", from = {:?}, to = {:?}, height = {} }}",
                c.low, c.high, c.height
            )
        })
        .collect();
    let text = format!(
        "title = \"Reading-room press: shelf\"\nunits = \"mm\"\nspecies = \"yellow-poplar\"\n\
         [stock]\nlength = 370\nwidth = 300\nthickness = 18\n\
         [hold]\nbed = \"vacuum\"\nclamps = [{}]\n\
         [[part]]\nkind = \"board\"\nname = \"shelf\"\nlength = 340\nwidth = 270\nat = [15, 15]\n\
         [part.outline]\ncutter = 2\n\
         [[part.hole]]\nat = [{}]\ndiameter = 9\ndepth = 6\ncutter = 1\n",
        clamps.join(", "),
        at.join(", ")
    );
    Job::read("shelf.toml", &text).unwrap()
}

fn made(clamps: &[Clamp]) -> MadePart {
    let shop = Shop::built_in().unwrap();
    let dialect = Dialect::find("millimetres").unwrap();
    let parts = make(&job(clamps), &shop, &dialect).unwrap();
    parts.into_iter().next().unwrap()
}

/// Every traverse of the text, with the cutter that makes it.
fn traverses(part: &MadePart) -> Vec<(Stroke, Cutter)> {
    let mut turning = None;
    let mut all = Vec::new();
    for event in part.programs.iter().flat_map(|program| &program.read.events) {
        match &event.what {
            What::CutterChange { cutter } => {
                let cutters = part.plan.cutters.iter();
                turning = cutters.map(|(c, _)| c).find(|c| c.number == *cutter);
            }
            What::Motion(m) if m.feed.is_none() && m.known.iter().all(|k| *k) => {
                all.push((m.stroke, turning.unwrap().clone()));
            }
            _ => {}
        }
    }
    all
}

fn rect(space: &Box3) -> Rect {
    Rect::new(coord! { x: space.min.x, y: space.min.y }, coord! { x: space.max.x, y: space.max.y })
}

/// The least gap between the cutter's rim, or its holder's, and what is taller than it travels, over
/// all bends that a traverse may have within the rectangle between its ends.
fn gap(part: &MadePart) -> f64 {
    let mut least = f64::INFINITY;
    for (stroke, cutter) in traverses(part) {
        let (a, b) = (stroke.from, stroke.to);
        let holder = a.z.min(b.z) + cutter.stick_out.0;
        for (_, space) in &part.plan.clamps {
            if a.z.min(b.z) >= space.max.z {
                continue;
            }
            let way = Box3::EMPTY.with(a).with(b);
            // A rectangle without width is a line.
            let thin = (way.max.x - way.min.x).min(way.max.y - way.min.y) < 1e-9;
            let apart = match thin {
                true => {
                    let line = Line::new(coord! { x: a.x, y: a.y }, coord! { x: b.x, y: b.y });
                    Euclidean.distance(&line, &rect(space).to_polygon())
                }
                false => Euclidean.distance(&rect(&way), &rect(space)),
            };
            let wide = match holder < space.max.z {
                true => cutter.radius().max(cutter.holder_diameter.0 / 2.0),
                false => cutter.radius(),
            };
            least = least.min(apart - wide);
        }
    }
    least
}

fn seconds(moves: &[Move]) -> f64 {
    let machine = Shop::built_in().unwrap().machine;
    times(Point3::default(), moves, &Limits::from(&machine)).iter().sum()
}

/// The same moves with every way between cuts straight and above everything.
fn above_everything(part: &MadePart, moves: &[Move]) -> Vec<Move> {
    let low = part.plan.stock.max.z + Shop::built_in().unwrap().machine.safe_height.0;
    let mut all: Vec<Move> = Vec::new();
    for one in moves {
        let Move::Traverse { to } = *one else {
            all.push(*one);
            continue;
        };
        let z = if to.z >= low - 1e-9 { part.plan.travel_height } else { to.z };
        let to = Point3 { z, ..to };
        // Of a way with corners only the end counts: after a lift and a corner comes another.
        if let [.., Move::Traverse { to: lift }, Move::Traverse { to: corner }] = all[..]
            && lift.z == z
            && corner.z == z
        {
            all.pop();
        }
        all.push(Move::Traverse { to });
    }
    all
}

fn moves(part: &MadePart) -> Vec<Move> {
    part.plan.toolpath.steps.iter().map(|step| step.action).collect()
}

/// Lengths of the level traverses below the top of the first clamp, and of those above it.
fn levels(part: &MadePart) -> (usize, usize) {
    let top = part.plan.clamps[0].1.max.z;
    let level = traverses(part)
        .into_iter()
        .map(|(stroke, _)| stroke)
        .filter(|s| (s.from.z - s.to.z).abs() < 1e-9 && s.from.xy().distance(s.to.xy()) > 1.0);
    level.fold((0, 0), |(below, over), s| match s.from.z < top {
        true => (below + 1, over),
        false => (below, over + 1),
    })
}

#[test]
fn a_small_clamp_between_two_holes_is_gone_round() {
    let part = made(&[Clamp { low: [145.0, 252.0], high: [155.0, 260.0], height: 42.0 }]);
    assert_eq!(part.programs[0].verdict.outcome, Outcome::Passed);
    assert!(gap(&part) >= 5.0 - ROUNDING, "{}", gap(&part));
    let (below, over) = levels(&part);
    let said = part.plan.remarks.iter().find(|r| r.starts_with("Between cuts")).unwrap();
    // Twenty holes and the outline: over the clamp go only the first way of either cutter.
    assert!(below >= 20 && over <= 2, "{below} below, {over} over: {said}");
    assert!(said.contains("once round") && !said.contains("over it"), "{said}");
}

/// Past a clamp that is taller than the cutter sticks out, it is the holder that needs the room.
#[test]
fn past_a_tall_clamp_the_holder_keeps_clear() {
    let part = made(&[Clamp { low: [145.0, 252.0], high: [155.0, 260.0], height: 80.0 }]);
    assert_eq!(part.programs[0].verdict.outcome, Outcome::Passed);
    let top = part.plan.clamps[0].1.max.z;
    let ways = traverses(&part);
    let level = ways.iter().filter(|(s, _)| s.from.z == s.to.z && s.from.z < top);
    let dips = level.filter(|(s, cutter)| s.from.z + cutter.stick_out.0 < top).count();
    assert!(dips >= 20, "{dips} ways with the holder below the clamp's top");
    assert!(gap(&part) >= 5.0 - ROUNDING, "{}", gap(&part));
}

/// One in the midst of holes, four about one hole, and one where the outline is cut.
#[test]
fn clamps_at_an_edge_and_in_the_midst_of_holes_are_kept_clear_of() {
    let edge = Clamp { low: [0.0, 70.0], high: [12.0, 90.0], height: 42.0 };
    let midst = Clamp { low: [66.0, 66.0], high: [94.0, 94.0], height: 42.0 };
    let frame: Vec<Clamp> = [[66.0, 66.0], [66.0, 136.0], [136.0, 66.0], [136.0, 136.0]]
        .into_iter()
        .map(|[x, y]| Clamp { low: [x, y], high: [x + 28.0, y + 28.0], height: 42.0 })
        .collect();
    for clamps in [vec![midst], frame] {
        let part = made(&clamps);
        assert_ne!(part.programs[0].verdict.outcome, Outcome::Refused);
        assert!(gap(&part) > 0.9, "{clamps:?}: {}", gap(&part));
    }
    // What stands where the outline is cut is refused at its place.
    let shop = Shop::built_in().unwrap();
    let dialect = Dialect::find("millimetres").unwrap();
    let why = make(&job(&[edge]), &shop, &dialect).unwrap_err().to_string();
    assert!(why.contains("clamp 0") && why.contains("stands in the cutter's way"), "{why}");
}

#[test]
fn a_clamp_right_across_is_gone_over() {
    let part = made(&[Clamp { low: [20.0, 145.0], high: [350.0, 155.0], height: 42.0 }]);
    assert!(gap(&part) > 0.0);
    let said = part.plan.remarks.iter().find(|r| r.starts_with("Between cuts")).unwrap();
    assert!(said.contains("over it"), "{said}");
}

#[test]
fn without_clamps_nothing_is_said_of_ways() {
    let part = made(&[]);
    assert!(part.plan.remarks.iter().all(|r| !r.starts_with("Between cuts")));
}

fn clamp() -> impl Strategy<Value = Clamp> {
    let corner = (20.0..330.0, 20.0..260.0);
    (corner, 8.0..90.0, 8.0..90.0, 20.0..43.0).prop_map(
        |((x, y), wide, deep, height): ((f64, f64), f64, f64, f64)| Clamp {
            low: [x, y],
            high: [(x + wide).min(350.0), (y + deep).min(280.0)],
            height,
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn no_way_strikes_a_clamp_or_takes_longer(all in prop::collection::vec(clamp(), 1..7)) {
        // A hole's cutter, and the outline's, has room beside each.
        let clear = |c: &Clamp| {
            holes().iter().all(|[x, y]| {
                let beside = |v: f64, low: f64, high: f64| (low - v).max(v - high).max(0.0);
                beside(*x, c.low[0], c.high[0]).hypot(beside(*y, c.low[1], c.high[1])) > 8.0
            })
        };
        let all: Vec<Clamp> = all.into_iter().filter(clear).collect();
        let part = made(&all);
        prop_assert_ne!(part.programs[0].verdict.outcome, Outcome::Refused);
        prop_assert!(gap(&part) > 0.9, "{}", gap(&part));
        let own = moves(&part);
        let high = above_everything(&part, &own);
        prop_assert!(seconds(&own) <= seconds(&high) + 1e-6);
    }
}
