//! Mouldings along a path: roughed, finished and parted off, segment by segment.

mod cutters;
mod nest;
mod rows;
mod section_cut;
mod words;

use super::bench::Bench;
use super::{Operation, Surface, Work};
use crate::cuts::sweep::{Edge, Face, Section, Sweep};
use crate::cuts::{OutlinePlan, OutlineSpec, Tab};
use crate::diagnostic::Diagnostic;
use crate::geometry::{Band, Contour, Path, Piece, Point, TooTight, point};
use crate::job::{Hold, Tabs};
use crate::part::features::Features;
use crate::part::{Moulding, Pose, Segment};
use crate::shop::{Cutter, CuttingData};
use crate::toolpath::Toolpath;
use cutters::Cutters;
pub use section_cut::{SectionCut, SectionPasses};

/// How much rounder than its cutter a returned end's hollows are, mm.
const ROUNDER: f64 = 0.01;

/// Room beyond the ends for a cutter to turn in, mm.
const TURN: f64 = 1.0;

/// A segment on the board, in work coordinates.
struct Placed {
    /// Which of the moulding's.
    segment: usize,
    path: Path,
    outline: Contour,
}

/// Everything that the boards of one moulding share.
struct Shop<'a> {
    bench: &'a Bench<'a>,
    moulding: &'a Moulding,
    section: Section,
    cutters: Cutters<'a>,
    parting: (&'a Cutter, CuttingData),
}

/// One setup for each board that the segments need.
pub(super) fn plan(bench: &Bench<'_>, moulding: &Moulding) -> Result<Vec<Work>, Vec<Diagnostic>> {
    check(bench, moulding)?;
    let face = Face::of(&moulding.profile, moulding.pose);
    let top = bench.stock.size().z;
    let parting =
        bench.cutter(bench.outline_cutter(), "outline.cutter").map_err(|one| vec![one])?;
    let (section, cutters) = cutters::choose(bench, moulding, face, top)?;
    let shop = Shop { bench, moulding, section, cutters, parting };
    let boards = nest::boards(&shop).map_err(|one| vec![bench.placed(one)])?;
    shop.room(&boards)?;
    let several = boards.len() > 1;
    let wider = nest::wider(&shop, boards.len());
    let works = boards.iter().enumerate().map(|(i, board)| {
        let setup = if several { nest::BOARDS[i] } else { "top" };
        let mut work = shop.work(setup, board)?;
        work.remarks.extend(wider.clone());
        Ok(work)
    });
    all_or_wrong(works.collect())
}

/// All of them, or what is wrong with any, so that one look at the job is enough.
fn all_or_wrong<T>(all: Vec<Result<T, Vec<Diagnostic>>>) -> Result<Vec<T>, Vec<Diagnostic>> {
    let mut wrong: Vec<Diagnostic> = Vec::new();
    for one in all.iter().filter_map(|one| one.as_ref().err()).flatten() {
        if !wrong.contains(one) {
            wrong.push(one.clone());
        }
    }
    if wrong.is_empty() { Ok(all.into_iter().flatten().collect()) } else { Err(wrong) }
}

/// What can be said before anything is laid out.
fn check(bench: &Bench<'_>, moulding: &Moulding) -> Result<(), Vec<Diagnostic>> {
    let shown = bench.job.shown;
    let mut found = Vec::new();
    if bench.part.features != Features::default() {
        found.push(
            Diagnostic::error("holes, pockets, grooves and edges are not cut into a moulding")
                .key("")
                .help("leave them out; a moulding is cut from its profile alone"),
        );
    }
    let face = Face::of(&moulding.profile, moulding.pose);
    let stock = bench.stock.size().z;
    if face.height > stock + 1e-6 {
        found.push(
            Diagnostic::error(format!(
                "the moulding is {} high as it lies, the stock only {} thick",
                shown.both(face.height),
                shown.both(stock)
            ))
            .key("stock.thickness")
            .help(format!("a thickness of at least {}, or another pose", shown.both(face.height))),
        );
    }
    found.extend(joint_fits(bench, moulding));
    if let Some(tabs) = bench.part.placing.hold.tabs {
        let edge = face.z(held_edge(moulding));
        if edge < tabs.height.0 + LEAST_OVER_TAB {
            found.push(
                Diagnostic::error(format!(
                    "tabs {} high do not stay below the moulding's edge, which is {} high as it lies",
                    shown.both(tabs.height.0),
                    shown.both(edge)
                ))
                .key("hold.tabs.height")
                .help(format!(
                    "at most {}, or hold the part by a bed",
                    shown.both((edge - LEAST_OVER_TAB).max(0.0))
                )),
            );
        }
    }
    if found.is_empty() {
        Ok(())
    } else {
        Err(found.into_iter().map(|d| bench.placed(d)).collect())
    }
}

/// Whether the parting cutter goes round the joint's corners.
fn joint_fits(bench: &Bench<'_>, moulding: &Moulding) -> Option<Diagnostic> {
    let shown = bench.job.shown;
    let key = moulding.key()?;
    let cutter = bench.shop.cutter(bench.outline_cutter()).ok()?;
    let left_on = bench.part.outline.allowance.0.max(0.0);
    let least = cutter.radius() + left_on;
    if key.radius >= least {
        return None;
    }
    let message = format!(
        "{} with {} left on does not go round the key's corners of radius {}",
        cutter.title(),
        shown.both(left_on),
        shown.both(key.radius)
    );
    Some(Diagnostic::error(message).key("outline.cutter").help(format!(
        "a cutter of at most {}, or a key whose `radius` is {}",
        shown.both(2.0 * (key.radius - left_on).max(0.0)),
        shown.both(least)
    )))
}

/// Wood of the part above a tab, mm, so that paring it off does not touch the face.
const LEAST_OVER_TAB: f64 = 1.0;

/// The edge that tabs stand on: the back of a moulding on its top or bottom, which nobody sees;
/// the higher edge of one on its back.
fn held_edge(moulding: &Moulding) -> f64 {
    match moulding.pose {
        Pose::TopDown | Pose::BottomDown => moulding.extent.0,
        Pose::BackDown => {
            let face = Face::of(&moulding.profile, moulding.pose);
            let (low, high) = moulding.extent;
            if face.z(high) > face.z(low) + 1e-6 { high } else { low }
        }
    }
}

impl Shop<'_> {
    /// Whether every cutter fits into the hollow side of the path.
    fn room(&self, boards: &[Vec<Placed>]) -> Result<(), Vec<Diagnostic>> {
        let shown = self.bench.job.shown;
        let paths = boards.iter().flatten().map(|placed| &placed.path);
        let (low, high) = self.section.reach;
        let hollow = paths
            .map(|p| p.least_hollow(low).min(p.least_hollow(high)))
            .fold(f64::INFINITY, f64::min);
        let all = self.cutters.all().chain([self.parting.0]);
        let tight =
            all.filter(|c| c.radius() > hollow).max_by(|a, b| a.radius().total_cmp(&b.radius()));
        let Some(cutter) = tight else { return Ok(()) };
        Err(vec![self.bench.placed(
            Diagnostic::error(format!(
                "{} does not fit the hollow side of the path, whose lanes narrow to a radius of {}",
                cutter.title(),
                shown.both(hollow.max(0.0))
            ))
            .key("path")
            .help("name smaller cutters under `rough` and `finish`, or give the path a greater radius"),
        )])
    }

    fn work(&self, setup: &'static str, board: &[Placed]) -> Result<Work, Vec<Diagnostic>> {
        let mut operations = Vec::new();
        self.sweeps(board, &mut operations).map_err(|one| vec![self.bench.placed(one)])?;
        let mut tabs: Vec<Tab> = Vec::new();
        let (mut remarks, mut cautions) = words::of(self);
        remarks.extend(rows::remark(self, board));
        remarks.extend(self.bench.outline_remark());
        let mut parting = Toolpath::default();
        let parts = all_or_wrong(board.iter().map(|placed| self.part(placed)).collect())?;
        for (i, part) in parts.into_iter().enumerate() {
            parting.steps.extend(part.toolpath.steps);
            tabs.extend(part.tabs);
            if i == 0 {
                remarks.extend(part.remarks);
                cautions.extend(part.cautions);
            }
        }
        let (cutter, data) = &self.parting;
        operations.push(Operation {
            cutter: (*cutter).clone(),
            data: data.clone(),
            toolpath: parting,
        });
        let surface = Some(self.surface(board));
        let outline = board.first().map(|p| p.outline.clone()).unwrap_or_default();
        Ok(Work {
            setup,
            outline,
            surface,
            operations,
            tabs,
            remarks,
            cautions,
            weak: Vec::new(),
            pockets: Vec::new(),
            section: Some(section_cut::of(self)),
        })
    }

    /// What the sweeps of a board should leave within the segments' outlines.
    fn surface(&self, board: &[Placed]) -> Surface {
        let left = self.cutters.left.clone();
        let (bottom, top) = (self.bench.stock.min.z, self.bench.stock.max.z);
        let round = self.cutters.all().map(Cutter::radius).fold(0.0, f64::max);
        let each = board.iter();
        let segments: Vec<_> = each
            .map(|p| {
                let bounds = p.outline.bounds().unwrap_or_default();
                (p.path.clone(), p.outline.clone(), p.path.hollow_mitres(), bounds)
            })
            .collect();
        Surface::new(move |p| {
            let within = |(low, high): (Point, Point)| {
                (low.x..=high.x).contains(&p.x) && (low.y..=high.y).contains(&p.y)
            };
            let (path, _, hollow, _) =
                segments.iter().find(|(_, line, _, bounds)| within(*bounds) && line.contains(p))?;
            let (low, high) = left.at(path.aside(p))?;
            // No round cutter clears a hollow mitre; what it leaves lies by its radius at most.
            let rounded = hollow.iter().any(|(at, along)| {
                let from = p - *at;
                from.dot(*along) > 0.0 && from.cross(*along).abs() < round
            });
            let high = if rounded { f64::INFINITY } else { high };
            Some(Band { low: (bottom + low).min(top), high: (bottom + high).min(top) })
        })
    }

    /// Roughing and finishing of every segment, cutter by cutter.
    fn sweeps(&self, board: &[Placed], operations: &mut Vec<Operation>) -> Result<(), Diagnostic> {
        let (past, inward) = self.past_ends();
        let order = self.moulding.shape.cut.passes;
        let allowance = self.moulding.shape.cut.allowance.0;
        let mut each =
            |cutter: &Cutter,
             data: &CuttingData,
             beyond: f64,
             cut: &dyn Fn(&Sweep<'_>) -> Result<Toolpath, TooTight>| {
                let mut toolpath = Toolpath::default();
                for placed in board {
                    let sweep = Sweep {
                        section: &self.section,
                        path: &placed.path,
                        bottom: self.bench.stock.min.z,
                        beyond,
                        cutter,
                        data,
                        machine: &self.bench.shop.machine,
                        travel_height: self.bench.travel_height,
                    };
                    let made = cut(&sweep).map_err(|tight| self.tight(tight))?;
                    toolpath.steps.extend(made.steps);
                }
                if !toolpath.steps.is_empty() {
                    operations.push(Operation {
                        cutter: cutter.clone(),
                        data: data.clone(),
                        toolpath,
                    });
                }
                Ok::<(), Diagnostic>(())
            };
        let (cutter, data, edge) = &self.cutters.rough;
        let roughing = &self.cutters.roughing;
        each(cutter, data, past + inward, &|sweep| sweep.rough(*edge, allowance, roughing))?;
        for (cutter, data, edge, tips) in &self.cutters.finish {
            each(cutter, data, past, &|sweep| sweep.finish(*edge, tips, order))?;
        }
        Ok(())
    }

    /// A segment's outline as its parting cutter can leave it: the hollows of a return in the
    /// solid are rounded by the cutter.
    fn outline(&self, segment: &Segment) -> Result<Contour, Diagnostic> {
        if !self.moulding.has_return_in_plan() {
            return Ok(segment.outline.clone());
        }
        let (cutter, shown) = (self.parting.0, self.bench.job.shown);
        // More by a hair than what the outline's cut asks of a hollow.
        let round = cutter.radius() + self.bench.part.outline.allowance.0.max(0.0) + ROUNDER;
        let grown = segment.outline.offset(-round).ok();
        let closed = grown.and_then(|grown| match grown.as_slice() {
            [only] => only.offset(round).ok(),
            _ => None,
        });
        match closed.as_deref() {
            Some([only]) => Ok(only.clone()),
            _ => Err(Diagnostic::error(format!(
                "{} can not go round the returned end: {} of hollow closes before it",
                cutter.title(),
                shown.both(2.0 * round)
            ))
            .key("outline.cutter")
            .help("a smaller cutter, or a moulding on its top or bottom")),
        }
    }

    fn tight(&self, tight: TooTight) -> Diagnostic {
        let shown = self.bench.job.shown;
        Diagnostic::error(format!("a cutter {}", tight.words(shown))).key("path").help(
            "let the moulding grow outward, or give the path there a greater radius or length",
        )
    }

    /// Round one segment, all through.
    fn part(&self, placed: &Placed) -> Result<OutlinePlan, Vec<Diagnostic>> {
        let bench = self.bench;
        let edge = held_edge(self.moulding);
        let lane = placed.path.lane(edge, 0.0).map_err(|t| vec![bench.placed(self.tight(t))])?;
        let hold = self.hold(lane.iter().map(Piece::length).sum());
        let spec = OutlineSpec {
            part: &placed.outline,
            cut: &bench.part.outline,
            hold: &hold,
            part_is_fixed: bench.fixed_within(&placed.outline),
            cutter: self.parting.0,
            cutters: &bench.shop.cutters,
            data: &self.parting.1,
            machine: &bench.shop.machine,
            stock: bench.stock,
            travel_height: bench.travel_height,
            grain: point(1.0, 0.0),
            shown: bench.job.shown,
        };
        let on_edge = |p: Point| nearest(&lane, p) < 0.01;
        spec.plan_held(&on_edge)
            .map_err(|found| found.into_iter().map(|d| bench.placed(d)).collect())
    }
}

impl Shop<'_> {
    /// How far the cutter's middle runs past the ends, and how much farther in roughing. A wide
    /// cutter's lanes lie farther out than the wood that they clear; where an end leans inward
    /// they start later by that much, and would leave a narrower cutter wood in full depth.
    fn past_ends(&self) -> (f64, f64) {
        let widest = self.cutters.all().map(Cutter::radius).fold(0.0, f64::max);
        let shape = &self.moulding.shape;
        let own = [shape.mitre_left.0, shape.mitre_right.0];
        let pieces = rows::pieces(self).unwrap_or_default();
        let all = pieces.iter().flat_map(|piece| [piece.mitre_left.0, piece.mitre_right.0]);
        let lean = |angle: f64| match self.moulding.pose {
            Pose::BackDown => angle.abs(),
            Pose::TopDown | Pose::BottomDown => -angle,
        };
        let inward = own.into_iter().chain(all).map(lean).fold(0.0, f64::max);
        (widest + TURN, inward.tan() * (2.0 * widest + shape.cut.allowance.0))
    }
}

/// Tabs have this many of their own widths of back to stand on (common practice).
const BACK_PER_TAB: f64 = 5.0;

impl Shop<'_> {
    /// What holds one segment: a short piece among straight ones gets fewer tabs.
    fn hold(&self, back: f64) -> Hold {
        let hold = self.bench.part.placing.hold.clone();
        let Some(tabs) = hold.tabs.filter(|_| rows::pieces(self).is_some()) else { return hold };
        // A count of tabs along a back of metres.
        let most = (back / (BACK_PER_TAB * tabs.width.0.max(1.0))).floor().max(1.0) as u32;
        Hold { tabs: Some(Tabs { count: tabs.count.min(most), ..tabs }), ..hold }
    }
}

fn nearest(lane: &[Piece], p: Point) -> f64 {
    lane.iter()
        .map(|piece| piece.at(piece.nearest_share(p)).distance(p))
        .fold(f64::INFINITY, f64::min)
}

/// A cutter with its figures and outline.
type Ready<'a> = (&'a Cutter, CuttingData, Edge);
