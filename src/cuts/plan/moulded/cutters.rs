//! Which cutters of the shop rough and finish a moulding.

use super::Ready;
use crate::cuts::plan::bench::Bench;
use crate::cuts::sweep::{
    Choice, Chooser, Edge, Face, FinishPasses, Left, Leftover, Roughing, Section, Spread, Standing,
};
use crate::diagnostic::Diagnostic;
use crate::geometry::Point;
use crate::part::Moulding;
use crate::shop::{Cutter, CutterShape, CuttingData};
use rayon::prelude::*;

/// Room kept between the holder's face and the stock's top, mm.
const HOLDER_ROOM: f64 = 2.0;

/// What was chosen.
pub(super) struct Cutters<'a> {
    pub(super) rough: Ready<'a>,
    pub(super) roughing: Roughing,
    /// Each with its passes.
    pub(super) finish: Vec<(&'a Cutter, CuttingData, Edge, Vec<Point>)>,
    pub(super) leftovers: Vec<Leftover>,
    /// What the passes leave.
    pub(super) left: Left,
}

impl<'a> Cutters<'a> {
    /// All of them.
    pub(super) fn all(&self) -> impl Iterator<Item = &'a Cutter> + '_ {
        std::iter::once(self.rough.0).chain(self.finish.iter().map(|f| f.0))
    }
}

/// The cutters, and the section with the waste beside it that they need.
pub(super) fn choose<'a>(
    bench: &'a Bench<'a>,
    moulding: &Moulding,
    face: Face,
    top: f64,
) -> Result<(Section, Cutters<'a>), Vec<Diagnostic>> {
    let lowest = face.spans.iter().map(|s| s.from.y.min(s.to.y)).fold(top, f64::min);
    let depth = top - lowest;
    let shape = &moulding.shape;
    let one = |d: Diagnostic| vec![d];
    let rough = match shape.cut.rough {
        Some(number) => named(bench, number, "rough", depth).map_err(one)?,
        None => widest(bench, depth).map_err(|d| vec![bench.placed(d)])?,
    };
    let fixed = !shape.cut.finish.is_empty();
    let candidates: Vec<Ready<'a>> = if fixed {
        let all = shape.cut.finish.iter().enumerate();
        let all = all.map(|(i, n)| named(bench, *n, &format!("finish[{}]", i + 1), depth));
        all.collect::<Result<_, _>>().map_err(one)?
    } else {
        bench.shop.cutters.iter().filter_map(|c| suited(bench, c, depth)).collect()
    };
    let round = candidates.iter().map(|c| c.2.corner).fold(0.0, f64::max);
    let section = Section::new(face, round, rough.0.radius() + shape.cut.allowance.0, top);
    let tried: Vec<Edge> = candidates.iter().map(|c| c.2).collect();
    let chooser = Chooser::new(&section, &tried, shape.cut.scallop.0);
    let roughing = section.roughing(rough.2, shape.cut.allowance.0, &rough.1);
    let tips = roughing.tips(rough.1.stepover.value);
    let laid = |set: &[usize], spread: Spread| {
        Laid::new(chooser.lay(set, spread), &section, (rough.2, &tips), &candidates)
    };
    let all: Vec<usize> = (0..candidates.len()).collect();
    let mut set = if fixed { all.clone() } else { chooser.fewest() };
    if !fixed {
        let length = moulding.length;
        let mut best = laid(&set, Spread::Widest).time(length, &candidates);
        // Wider cutters go before as long as each saves more time than its change takes.
        while set.len() < MOST_CUTTERS && best > LONG {
            let others: Vec<usize> = all.iter().copied().filter(|i| !set.contains(i)).collect();
            let tried: Vec<(f64, Vec<usize>)> = others
                .into_par_iter()
                .map(|i| {
                    let set = chooser.with(&set, i);
                    (laid(&set, Spread::Widest).time(length, &candidates), set)
                })
                .collect();
            let quickest = tried.into_iter().min_by(|a, b| a.0.total_cmp(&b.0));
            match quickest.filter(|q| q.0 + CHANGE < best) {
                Some(quicker) => (best, set) = quicker,
                None => break,
            }
        }
    }
    let Laid { choice, stepped, standing } = laid(&set, Spread::Even);
    let left = standing.left(&section.face);
    let chosen = choice.passes.iter().map(|p| &candidates[p.cutter]);
    let finish = chosen.zip(stepped).map(|((c, data, edge), tips)| (*c, data.clone(), *edge, tips));
    let finish = finish.collect();
    Ok((section, Cutters { rough, roughing, finish, leftovers: choice.leftovers, left }))
}

/// A change of cutter, minutes: by hand, with Z touched off again (common practice).
const CHANGE: f64 = 3.0;
/// Finishing that takes less, minutes, is not worth a search for another cutter.
const LONG: f64 = 10.0 * CHANGE;
/// Lifting, travelling and going down between two passes, minutes.
const LINK: f64 = 0.05;
/// More finishing cutters than these are for the user to ask.
const MOST_CUTTERS: usize = 3;

/// Passes as chosen, as they are cut where too much stands, and what stands after them.
struct Laid {
    choice: Choice,
    stepped: Vec<Vec<Point>>,
    standing: Standing,
}

impl Laid {
    fn new(
        choice: Choice,
        section: &Section,
        rough: (Edge, &[Point]),
        candidates: &[Ready<'_>],
    ) -> Laid {
        let plain: Vec<(Edge, Vec<Point>, f64)> = choice
            .passes
            .iter()
            .map(|p| {
                (candidates[p.cutter].2, p.tips.clone(), candidates[p.cutter].1.stepdown.value)
            })
            .collect();
        let (stepped, standing) = section.stepped(rough, &plain);
        Laid { choice, stepped, standing }
    }

    /// About how long the passes take along so much moulding, minutes.
    fn time(&self, length: f64, candidates: &[Ready<'_>]) -> f64 {
        let each = self.choice.passes.iter().zip(&self.stepped);
        let one = |(p, tips): (&FinishPasses, &Vec<Point>)| {
            let along = length / candidates[p.cutter].1.feed.value.max(1.0);
            tips.len() as f64 * (along + LINK)
        };
        each.map(one).sum()
    }
}

/// How deep a cutter may go beside standing wood.
fn reach(cutter: &Cutter) -> f64 {
    cutter.flute_length.0.min(cutter.stick_out.0 - HOLDER_ROOM)
}

/// A cutter that the user named.
fn named<'a>(
    bench: &'a Bench<'a>,
    number: u32,
    key: &str,
    depth: f64,
) -> Result<Ready<'a>, Diagnostic> {
    let shown = bench.job.shown;
    let (cutter, data) = bench.cutter(number, key)?;
    let wrong = |message: String, help: String| {
        Err(bench.placed(Diagnostic::error(message).key(key).help(help)))
    };
    let Some(edge) = Edge::of(cutter) else {
        return wrong(
            format!("{} does not mill", cutter.title()),
            "use a flat, ball, bull-nose, V or taper-ball cutter".to_string(),
        );
    };
    if key == "rough" && edge.side.is_some() {
        return wrong(
            format!("{} has no end to rough with", cutter.title()),
            "use a flat, ball or bull-nose cutter".to_string(),
        );
    }
    if !cutter.centre_cutting {
        return wrong(
            format!("{} is not centre-cutting, and steps down from pass to pass", cutter.title()),
            "use a centre-cutting cutter".to_string(),
        );
    }
    if reach(cutter) < depth {
        return wrong(
            format!(
                "{} reaches {} deep, the moulding is cut {} deep",
                cutter.title(),
                shown.both(reach(cutter).max(0.0)),
                shown.both(depth)
            ),
            format!(
                "flutes of at least {}, and a stick-out of {}",
                shown.both(depth),
                shown.both(depth + HOLDER_ROOM)
            ),
        );
    }
    Ok((cutter, data, edge))
}

/// A cutter of the shop, if it can finish a moulding of this depth.
fn suited<'a>(bench: &'a Bench<'a>, cutter: &'a Cutter, depth: f64) -> Option<Ready<'a>> {
    let mills = matches!(
        cutter.shape,
        CutterShape::Flat | CutterShape::Ball | CutterShape::BullNose | CutterShape::TaperBall
    );
    if !mills || !cutter.centre_cutting || reach(cutter) < depth {
        return None;
    }
    let data = bench.shop.cutting_data(bench.material, cutter, &bench.part.feeds).ok()?;
    Some((cutter, data, Edge::of(cutter)?))
}

/// The widest square end that is long enough.
fn widest<'a>(bench: &'a Bench<'a>, depth: f64) -> Result<Ready<'a>, Diagnostic> {
    let suited = bench.shop.cutters.iter().filter_map(|c| suited(bench, c, depth));
    suited
        .filter(|(_, _, edge)| edge.corner == 0.0)
        .max_by(|a, b| a.0.radius().total_cmp(&b.0.radius()))
        .ok_or_else(|| {
            let shown = bench.job.shown;
            Diagnostic::error(format!(
                "no square centre-cutting cutter of the shop reaches {} deep",
                shown.both(depth)
            ))
            .key("")
            .help(format!(
                "one with flutes of {} and a stick-out of {}, or another pose",
                shown.both(depth),
                shown.both(depth + HOLDER_ROOM)
            ))
        })
}
