//! Which cutters finish a face: the fewest that leave no more than was asked.

use super::edge::Edge;
use super::passes::{Finisher, Sample};
use super::{FinishPasses, Section};
use crate::geometry::Point;
use serde::Serialize;

/// A cutter that may finish.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Candidate {
    /// Its outline.
    pub edge: Edge,
    /// Lowest that its tip may go, in the face's frame: flutes and holder.
    pub lowest: f64,
}

/// What the chosen cutters can not take out of an element.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Leftover {
    /// The element, from 0; none for what is no element.
    pub element: Option<usize>,
    /// Greatest thickness left, mm.
    pub depth: f64,
}

/// Cutters with their passes, in the order of work.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// Each cutter once.
    pub passes: Vec<FinishPasses>,
    /// What stays, by element.
    pub leftovers: Vec<Leftover>,
}

/// Wood that stays is looked for up to this, mm.
const MOST_LEFT: f64 = 20.0;

/// What one cutter leaves at every sample.
struct Judged<'a> {
    index: usize,
    finisher: Finisher<'a>,
    edge: Edge,
    leaves: Vec<f64>,
    /// In which direction that was measured.
    normals: Vec<Point>,
}

impl Choice {
    /// Chooses among candidates. With `fixed` all of them are used, in their order. Else one
    /// does if it leaves no more than asked; else the pair that leaves the least, a square end
    /// first for level and upright pieces; a pair must leave less by a fifth than the best one.
    #[must_use]
    pub fn of(section: &Section, candidates: &[Candidate], scallop: f64, fixed: bool) -> Choice {
        let samples = section.samples(scallop);
        let judged: Vec<Judged<'_>> = candidates
            .iter()
            .enumerate()
            .map(|(index, c)| {
                let finisher = Finisher::new(c.edge, &section.ground, section.reach);
                let leaves = samples.iter().map(|s| match s.at.y < c.lowest {
                    true => (MOST_LEFT, s.normal),
                    false => finisher.leaves(s, MOST_LEFT),
                });
                let (leaves, normals) = leaves.unzip();
                Judged { index, edge: c.edge, leaves, normals, finisher }
            })
            .collect();
        let chosen: Vec<usize> =
            if fixed { (0..judged.len()).collect() } else { fewest(&judged, &samples) };
        let set: Vec<&Judged<'_>> = chosen.iter().map(|i| &judged[*i]).collect();
        assign(&set, &samples, scallop)
    }
}

/// Sum over the samples of what a set leaves.
fn left(set: &[&Judged<'_>], samples: usize) -> f64 {
    (0..samples).map(|k| set.iter().map(|j| j.leaves[k]).fold(MOST_LEFT, f64::min)).sum()
}

fn fewest(judged: &[Judged<'_>], samples: &[Sample]) -> Vec<usize> {
    let one = |i: usize| left(&[&judged[i]], samples.len());
    // Fewest passes: of cutters that leave the same, the one with the greatest rounding.
    let width = |i: usize| judged[i].edge.corner;
    let Some(best) = (0..judged.len())
        .min_by(|a, b| one(*a).total_cmp(&one(*b)).then(width(*b).total_cmp(&width(*a))))
    else {
        return Vec::new();
    };
    // A square end alone makes steps of a curve: it needs many passes where a ball needs few.
    let curved = samples.iter().any(|s| !s.plain);
    if one(best) <= 0.0 && !(curved && judged[best].edge.corner == 0.0) {
        return vec![best];
    }
    let mut pair: Option<(f64, usize, usize)> = None;
    for a in (0..judged.len()).filter(|a| judged[*a].edge.corner == 0.0) {
        for b in (0..judged.len()).filter(|b| judged[*b].edge.corner > 0.0) {
            let sum = left(&[&judged[a], &judged[b]], samples.len());
            let wider = |p: &(f64, usize, usize)| {
                (width(p.2), judged[p.1].edge.radius) < (width(b), judged[a].edge.radius)
            };
            let better = pair
                .as_ref()
                .is_none_or(|p| sum < p.0 * 0.98 - 1e-9 || (sum <= p.0 * 1.02 + 1e-9 && wider(p)));
            if better {
                pair = Some((sum, a, b));
            }
        }
    }
    // A change of cutter must be worth it: a fifth less left.
    match pair {
        Some((sum, a, b)) if sum < 0.8 * one(best) || judged[best].edge.corner == 0.0 => vec![a, b],
        _ => vec![best],
    }
}

/// Gives every sample to the cutters that can clear it, and lays their passes.
fn assign(set: &[&Judged<'_>], samples: &[Sample], scallop: f64) -> Choice {
    let least: Vec<f64> = (0..samples.len())
        .map(|k| set.iter().map(|j| j.leaves[k]).fold(MOST_LEFT, f64::min))
        .collect();
    // Curves go to a round end, wherever one does as well as any.
    let round_serves = |k: usize| {
        let mut round = set.iter().filter(|j| j.edge.corner > 0.0);
        round.any(|j| j.leaves[k] <= least[k] + scallop / 2.0)
    };
    let mut done: Vec<(Edge, Point)> = Vec::new();
    let mut passes = Vec::new();
    for judged in set {
        let own: Vec<Sample> = (0..samples.len())
            .filter(|k| {
                let square = judged.edge.corner == 0.0;
                let suits = !square || samples[*k].plain || !round_serves(*k);
                // Within a scallop of the best that the set can do.
                suits && judged.leaves[*k] <= least[*k] + scallop / 2.0 && least[*k] < MOST_LEFT
            })
            .map(|k| {
                let tolerance = scallop.max(judged.leaves[k] + scallop / 2.0);
                Sample { tolerance, normal: judged.normals[k], ..samples[k] }
            })
            .collect();
        let tips = judged.finisher.even_passes(&own, &done);
        done.extend(tips.iter().map(|tip| (judged.edge, *tip)));
        if !tips.is_empty() {
            passes.push(FinishPasses { cutter: judged.index, tips });
        }
    }
    Choice { passes, leftovers: leftovers(samples, &least) }
}

fn leftovers(samples: &[Sample], least: &[f64]) -> Vec<Leftover> {
    let mut out: Vec<Leftover> = Vec::new();
    for (sample, depth) in samples.iter().zip(least) {
        if *depth <= 0.0 {
            continue;
        }
        match out.iter_mut().find(|l| l.element == sample.element) {
            Some(known) => known.depth = known.depth.max(*depth),
            None => out.push(Leftover { element: sample.element, depth: *depth }),
        }
    }
    out
}
