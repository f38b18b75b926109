//! A moulding's section and the passes that make it, for people to look at.

use super::Shop;
use crate::cuts::sweep::Edge;
use crate::geometry::{Contour, Point, point};
use crate::shop::Cutter;

/// Places across the section at which heights are told.
const PLACES: u32 = 1500;
/// Points of a cutter's end on each side of its axis.
const END: u32 = 24;

/// A moulding's section as it lies, and the passes of each cutter. u runs across the sweep, away
/// from the path, z up from the table; mm.
#[derive(Clone, Debug)]
pub struct SectionCut {
    /// What is wanted, closed.
    pub wanted: Contour,
    /// The stock's top.
    pub top: f64,
    /// Least and greatest u that roughing reaches.
    pub reach: (f64, f64),
    /// Whether more than ridges stays over what is wanted: undercut, or too narrow for the cutters.
    pub stays: bool,
    /// What stands after each cutter, in the order of `passes`; from left to right.
    pub after: Vec<Vec<Point>>,
    /// Roughing, then each finishing cutter.
    pub passes: Vec<SectionPasses>,
}

/// The passes of one cutter.
#[derive(Clone, Debug)]
pub struct SectionPasses {
    /// The cutter's title.
    pub cutter: String,
    /// Where its tip runs.
    pub tips: Vec<Point>,
    /// Its end about its tip, from left to right.
    pub end: Vec<Point>,
}

/// The section of what a shop makes.
pub(super) fn of(shop: &Shop<'_>) -> SectionCut {
    let section = &shop.section;
    let (low, high) = section.reach;
    let places = (0..=PLACES).map(|i| low + (high - low) * f64::from(i) / f64::from(PLACES));
    let mut standing: Vec<Point> = places.map(|u| point(u, section.top)).collect();
    let (rough, data, edge) = &shop.cutters.rough;
    let tips = shop.cutters.roughing.tips(data.stepover.value);
    let mut passes = vec![passes_of(rough, edge, tips)];
    let finish = shop.cutters.finish.iter();
    passes.extend(finish.map(|(cutter, _, edge, tips)| passes_of(cutter, edge, tips.clone())));
    let edges = std::iter::once(edge).chain(shop.cutters.finish.iter().map(|f| &f.2));
    let after = edges
        .zip(&passes)
        .map(|(edge, one)| {
            lower(&mut standing, edge, &one.tips);
            standing.clone()
        })
        .collect();
    let wanted = section.face.outline(&shop.moulding.profile);
    let scallop = shop.moulding.shape.cut.scallop.0;
    let narrow = shop.cutters.leftovers.iter().any(|left| left.depth > scallop);
    let stays = narrow || !section.face.hidden.is_empty();
    SectionCut { wanted, stays, top: section.top, reach: section.reach, after, passes }
}

fn passes_of(cutter: &Cutter, edge: &Edge, tips: Vec<Point>) -> SectionPasses {
    let n = f64::from(END);
    // Evenly about a ball.
    let out = |i: u32| edge.radius * (std::f64::consts::FRAC_PI_2 * f64::from(i) / n).sin();
    let left = (1..=END).rev().map(|i| point(-out(i), edge.rise(out(i).min(edge.radius))));
    let right = (0..=END).map(|i| point(out(i), edge.rise(out(i).min(edge.radius))));
    SectionPasses { cutter: cutter.title(), tips, end: left.chain(right).collect() }
}

fn lower(standing: &mut [Point], edge: &Edge, tips: &[Point]) {
    for p in standing {
        let cut = tips.iter().map(|tip| tip.y + edge.rise((p.x - tip.x).abs()));
        p.y = cut.fold(p.y, f64::min);
    }
}
