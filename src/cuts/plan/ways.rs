//! The ways between cuts: at the lowest height that is safe, round what stands higher or over it,
//! whichever is quicker.
//!
//! Cuts are planned with every way at one height above all that stands on the table. Here the ways
//! come down, one by one, as far as what lies on them allows. Some controls move each axis of a
//! traverse at its own speed, so that a slanting one is bent (common practice); whatever the bend,
//! it stays within the rectangle between its ends, and it is that rectangle that must be clear.

use super::bench::{Bench, OVER_CLAMPS};
use crate::geometry::{Box3, Point, Point3, point};
use crate::shop::{Cutter, CuttingData};
use crate::toolpath::{Limits, Move, Purpose, Step, Toolpath, times};
use pathfinding::directed::dijkstra::dijkstra;

/// Room kept in plan between what stands and a cutter that passes it, mm.
const BESIDE: f64 = 5.0;
/// Room kept where a cut begins or ends close by, mm: less must go over.
const CLOSE: f64 = 1.0;
/// What the reaches of boxes are taken in by, so that a way along them is clear, mm.
const SKIN: f64 = 1e-6;
/// Lengths are compared in so many steps to the millimetre.
const STEPS: f64 = 1000.0;

/// Lowers the ways of a setup's moves; what the setup sheet should say of it.
pub(super) fn lower(
    bench: &Bench<'_>,
    cutters: &[(Cutter, CuttingData)],
    toolpath: &mut Toolpath,
) -> Option<String> {
    let low = bench.stock.max.z + bench.shop.machine.safe_height.0;
    if bench.travel_height <= low {
        return None;
    }
    let boxes: Vec<Box3> = bench.keepouts.iter().map(|(_, space)| *space).collect();
    let targets = toolpath.steps.iter().filter_map(|step| step.action.target());
    // Where the cutter goes in any case: a way in there is within the machine's travel if the
    // cuts are.
    let room = targets.fold(Box3::EMPTY, Box3::with);
    let limits = Limits::from(&bench.shop.machine);
    let mut told = Told::default();
    let mut lowered = Toolpath::default();
    let starts = |step: &Step| matches!(step.action, Move::CutterChange { .. });
    for run in toolpath.steps.chunk_by(|_, next| !starts(next)) {
        let cutter = run.iter().find_map(|step| match step.action {
            Move::CutterChange { cutter } => cutters.iter().find(|(c, _)| c.number == cutter),
            _ => None,
        });
        let Some((cutter, _)) = cutter else {
            lowered.steps.extend_from_slice(run);
            continue;
        };
        let table = Table { boxes: &boxes, low, high: bench.travel_height, room, cutter };
        table.lower(run, &mut lowered, &limits, &mut told);
    }
    *toolpath = lowered;
    told.words()
}

/// How the ways fared.
#[derive(Clone, Copy, Debug, Default)]
struct Told {
    round: usize,
    over: usize,
    straight: usize,
    saved: f64,
}

impl Told {
    fn words(self) -> Option<String> {
        let ways = |count: usize, how: &str| match count {
            0 => None,
            1 => Some(format!("once {how}")),
            2 => Some(format!("twice {how}")),
            _ => Some(format!("{count} times {how}")),
        };
        let all = [ways(self.round, "round what stands on the table"), ways(self.over, "over it")];
        let all: Vec<String> = all.into_iter().flatten().collect();
        if self.straight + self.round == 0 || self.saved < 0.5 {
            return None;
        }
        let where_needed = match all.is_empty() {
            true => String::new(),
            false => format!(" and goes {}", all.join(" and ")),
        };
        Some(format!(
            "Between cuts the cutter stays below the tops of clamps where nothing stands in its \
             way{where_needed}: {:.0} s less.",
            self.saved
        ))
    }
}

/// What one cutter finds on the table.
struct Table<'a> {
    boxes: &'a [Box3],
    /// The lowest height for travelling over the stock.
    low: f64,
    /// The height above everything.
    high: f64,
    room: Box3,
    cutter: &'a Cutter,
}

impl Table<'_> {
    fn lower(&self, steps: &[Step], lowered: &mut Toolpath, limits: &Limits, told: &mut Told) {
        let mut at: Option<Point3> = None;
        let mut i = 0;
        while i < steps.len() {
            let target = |k: usize| steps.get(k).and_then(|step| step.action.target());
            let is_way = |k: usize| {
                steps.get(k).is_some_and(|step| matches!(step.action, Move::Traverse { .. }))
            };
            let way = at.filter(|_| is_way(i) && is_way(i + 1)).and_then(|from| {
                let (up, over, down) = (target(i)?, target(i + 1)?, target(i + 2)?);
                let lifts = same(from.xy(), up.xy()) && from.z < self.low && up.z == self.high;
                let goes = over.z == self.high && !same(up.xy(), over.xy());
                let lowers = same(over.xy(), down.xy()) && down.z < self.low;
                (lifts && goes && lowers).then_some((from, over.xy(), steps[i + 2].action))
            });
            let Some((from, to, down)) = way else {
                // The spindle stops and starts above everything.
                let stays = matches!(steps[i].purpose, Purpose::Machine);
                at = if stays { None } else { target(i).or(at) };
                lowered.steps.push(steps[i].clone());
                i += 1;
                continue;
            };
            for p in self.quickest(from, to, down, limits, told) {
                lowered.push(steps[i].purpose, Move::Traverse { to: p });
            }
            at = Some(to.at(self.high));
            i += 2;
        }
    }

    /// The way from a place in the wood to above another, of which the move `down` leads on.
    fn quickest(
        &self,
        from: Point3,
        to: Point,
        down: Move,
        limits: &Limits,
        told: &mut Told,
    ) -> Vec<Point3> {
        let seconds = |way: &[Point3]| -> f64 {
            let ways = way.iter().map(|to| Move::Traverse { to: *to });
            let moves: Vec<Move> = ways.chain([down]).collect();
            times(from, &moves, limits).iter().sum()
        };
        let at = from.xy();
        let raised = |z: f64| vec![at.at(z), to.at(z)];
        let before = seconds(&raised(self.high));
        let height = self.height_over(at, to);
        let over = raised(height);
        if height <= self.low {
            told.straight += 1;
            told.saved += before - seconds(&over);
            return over;
        }
        let over_takes = seconds(&over);
        let round = self.round(at, to).map(|way| {
            let lifted = std::iter::once(at).chain(way).map(|p| p.at(self.low));
            let way: Vec<Point3> = lifted.collect();
            (seconds(&way), way)
        });
        match round.filter(|(takes, _)| *takes < over_takes) {
            Some((takes, way)) => {
                told.round += 1;
                told.saved += before - takes;
                way
            }
            None => {
                told.over += 1;
                told.saved += before - over_takes;
                over
            }
        }
    }

    /// How far from its axis the cutter, and its holder where it comes down so far, may strike a
    /// box while the tip travels at `z`.
    fn reach(&self, space: &Box3, z: f64) -> f64 {
        let holder = space.max.z + OVER_CLAMPS > z + self.cutter.stick_out.0;
        let round = self.cutter.radius();
        if holder { round.max(self.cutter.holder_diameter.0 / 2.0) } else { round }
    }

    /// What a tip that travels at `z` from `a` to `b` must keep out of: boxes in plan, widened.
    /// Where the ends themselves are close by, no more is asked than their own distance.
    fn walls(&self, a: Point, b: Point, z: f64) -> Vec<Wall> {
        let tall = self.boxes.iter().filter(|space| space.max.z + OVER_CLAMPS > z);
        tall.map(|space| {
            let reach = self.reach(space, z);
            let near = aside(space, a).min(aside(space, b));
            let by = (near - SKIN).clamp(reach + CLOSE, reach + BESIDE);
            let widen = point(by, by);
            Wall { low: space.min.xy() - widen, high: space.max.xy() + widen }
        })
        .collect()
    }

    /// The least height at which nothing stands between two places.
    fn height_over(&self, a: Point, b: Point) -> f64 {
        let mut heights: Vec<f64> = self.boxes.iter().map(|s| s.max.z + OVER_CLAMPS).collect();
        heights.retain(|z| *z > self.low && *z < self.high);
        heights.sort_by(f64::total_cmp);
        let all = std::iter::once(self.low).chain(heights);
        let clear = |z: &f64| self.walls(a, b, *z).iter().all(|wall| !wall.blocks(a, b));
        all.into_iter().find(clear).unwrap_or(self.high)
    }

    /// The shortest way at the lowest height, without its start; along the axes, but slanting
    /// where the rectangle between its ends is clear.
    fn round(&self, a: Point, b: Point) -> Option<Vec<Point>> {
        let walls = self.walls(a, b, self.low);
        let clear = |p: Point, q: Point| walls.iter().all(|wall| !wall.blocks(p, q));
        let lines = |at: &dyn Fn(Point) -> f64, low: f64, high: f64| {
            let edges = walls.iter().flat_map(|wall| [at(wall.low), at(wall.high)]);
            let mut all: Vec<f64> = edges.filter(|v| (low..=high).contains(v)).collect();
            all.extend([at(a), at(b)]);
            all.sort_by(f64::total_cmp);
            all.dedup();
            all
        };
        let xs = lines(&|p| p.x, self.room.min.x, self.room.max.x);
        let ys = lines(&|p| p.y, self.room.min.y, self.room.max.y);
        let at = |&(i, j): &(usize, usize)| point(xs[i], ys[j]);
        let index = |all: &[f64], v: f64| all.iter().position(|one| *one == v);
        let start = (index(&xs, a.x)?, index(&ys, a.y)?);
        let end = (index(&xs, b.x)?, index(&ys, b.y)?);
        let beside = |&(i, j): &(usize, usize)| {
            let (west, south) = (i.wrapping_sub(1), j.wrapping_sub(1));
            let all = [(i + 1, j), (west, j), (i, j + 1), (i, south)];
            let inside = all.into_iter().filter(|(i, j)| *i < xs.len() && *j < ys.len());
            let free = inside.filter(|next| clear(at(&(i, j)), at(next)));
            // Lengths of a table: far within what an integer holds.
            free.map(|next| (next, (at(&(i, j)).distance(at(&next)) * STEPS).round() as u64))
                .collect::<Vec<_>>()
        };
        let (nodes, _) = dijkstra(&start, beside, |node| *node == end)?;
        let corners: Vec<Point> = nodes.iter().map(at).collect();
        // From each corner on to the farthest that is clear of it.
        let mut way = Vec::new();
        let mut k = 0;
        while k + 1 < corners.len() {
            let next = (k + 1..corners.len()).rev().find(|n| clear(corners[k], corners[*n]));
            k = next.unwrap_or(k + 1);
            way.push(corners[k]);
        }
        Some(way)
    }
}

/// A rectangle in plan that the cutter's axis keeps out of.
#[derive(Clone, Copy, Debug)]
struct Wall {
    low: Point,
    high: Point,
}

impl Wall {
    /// Whether it reaches into the rectangle between two places, more than along its edge.
    fn blocks(&self, a: Point, b: Point) -> bool {
        let apart =
            |a: f64, b: f64, low: f64, high: f64| a.max(b) <= low + SKIN || a.min(b) >= high - SKIN;
        !apart(a.x, b.x, self.low.x, self.high.x) && !apart(a.y, b.y, self.low.y, self.high.y)
    }
}

/// How far along x or y, whichever is more, a place lies beside a box; none within it.
fn aside(space: &Box3, p: Point) -> f64 {
    let off = |v: f64, low: f64, high: f64| (low - v).max(v - high).max(0.0);
    off(p.x, space.min.x, space.max.x).max(off(p.y, space.min.y, space.max.y))
}

fn same(a: Point, b: Point) -> bool {
    a.distance(b) < 1e-9
}
