//! Which cutters finish a face: the fewest that leave no more than was asked, or some more where they
//! are quicker.

use super::edge::Edge;
use super::face::Face;
use super::passes::{Finisher, Sample};
use super::{FinishPasses, Section};
use crate::geometry::Point;
use rayon::prelude::*;
use serde::Serialize;

/// What the chosen cutters can not take out of a stretch of the face.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Leftover {
    /// The elements at its two ends, from 0; none for what is no element.
    pub elements: [Option<usize>; 2],
    /// Greatest thickness left, mm.
    pub depth: f64,
    /// From how far up the moulding to how far up, mm.
    pub up: (f64, f64),
    /// How wide it is across, as the moulding lies, mm.
    pub width: f64,
    /// Whether the face rises on both sides of it: a quirk, not a corner.
    pub quirk: bool,
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

/// How passes lie within what a scallop allows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spread {
    /// As far apart as they may, which is soon found: as many as in the end, to compare cutters by.
    Widest,
    /// Evenly, to be cut.
    Even,
}

/// What candidates leave of a face, and who should finish it.
pub struct Chooser<'a> {
    section: &'a Section,
    samples: Vec<Sample>,
    judged: Vec<Judged<'a>>,
    scallop: f64,
}

impl<'a> Chooser<'a> {
    /// For candidates in any order.
    #[must_use]
    pub fn new(section: &'a Section, candidates: &[Edge], scallop: f64) -> Chooser<'a> {
        let samples = section.samples(scallop);
        let judged: Vec<Judged<'_>> = candidates
            .par_iter()
            .enumerate()
            .map(|(index, edge)| {
                let finisher = Finisher::new(*edge, &section.ground, section.reach);
                let (leaves, normals) =
                    finisher.leaves_each(&samples, MOST_LEFT).into_iter().unzip();
                Judged { index, edge: *edge, leaves, normals, finisher }
            })
            .collect();
        Chooser { section, samples, judged, scallop }
    }

    /// The fewest: one if it leaves no more than asked; else the pair that leaves the least, a
    /// square end first for level and upright pieces; a pair must leave less by a fifth than the
    /// best one.
    #[must_use]
    pub fn fewest(&self) -> Vec<usize> {
        fewest(&self.judged, &self.samples)
    }

    /// The passes of these candidates, in this order.
    #[must_use]
    pub fn lay(&self, chosen: &[usize], spread: Spread) -> Choice {
        let set: Vec<&Judged<'_>> = chosen.iter().filter_map(|i| self.judged.get(*i)).collect();
        assign(&self.section.face, &set, &self.samples, self.scallop, spread)
    }

    /// These candidates and one more in the order of work: square ends, the widest first, then
    /// round ones, the greatest rounding first.
    #[must_use]
    pub fn with(&self, chosen: &[usize], extra: usize) -> Vec<usize> {
        let mut set = [chosen, &[extra]].concat();
        let key = |i: &usize| {
            let edge = self.judged.get(*i).map(|j| j.edge);
            edge.map_or([1.0, 0.0, 0.0], |edge| {
                [f64::from(u8::from(edge.corner > 0.0)), -edge.corner, -edge.radius]
            })
        };
        set.sort_by(|a, b| {
            let by = key(a).into_iter().zip(key(b)).map(|(a, b)| a.total_cmp(&b));
            by.fold(std::cmp::Ordering::Equal, std::cmp::Ordering::then)
        });
        set
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
fn assign(
    face: &Face,
    set: &[&Judged<'_>],
    samples: &[Sample],
    scallop: f64,
    spread: Spread,
) -> Choice {
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
        let tips = match spread {
            Spread::Widest => judged.finisher.passes(&own, &done),
            Spread::Even => judged.finisher.even_passes(&own, &done),
        };
        done.extend(tips.iter().map(|tip| (judged.edge, *tip)));
        if !tips.is_empty() {
            passes.push(FinishPasses { cutter: judged.index, tips });
        }
    }
    Choice { passes, leftovers: leftovers(face, samples, &least) }
}

/// Stretches of neighbouring samples on which something stays.
fn leftovers(face: &Face, samples: &[Sample], least: &[f64]) -> Vec<Leftover> {
    let mut out = Vec::new();
    let mut from = 0;
    while from < samples.len() {
        let stays = least[from..].iter().take_while(|depth| **depth > 0.0).count();
        if stays > 0 {
            out.push(leftover(face, &samples[from..from + stays], &least[from..from + stays]));
        }
        from += stays.max(1);
    }
    out
}

/// One such stretch, which is not empty.
fn leftover(face: &Face, samples: &[Sample], least: &[f64]) -> Leftover {
    let depth = least.iter().copied().fold(0.0, f64::max);
    let ups = samples.iter().map(|s| face.up(s.at));
    let up = ups.fold((f64::INFINITY, f64::NEG_INFINITY), |u, v| (u.0.min(v), u.1.max(v)));
    let (first, last) = (samples[0], samples[samples.len() - 1]);
    let lowest = samples.iter().map(|s| s.at.y).fold(f64::INFINITY, f64::min);
    Leftover {
        elements: [first.element, last.element],
        depth,
        up,
        width: last.at.x - first.at.x,
        // Both ends stand over the bottom by a good part of what stays.
        quirk: first.at.y.min(last.at.y) - lowest > 0.3 * depth,
    }
}
