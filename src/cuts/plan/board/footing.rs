//! What holds a board: wood between the recesses of both faces, wood where tabs stand, and pins that
//! stand in wood.

use super::{Side, open};
use crate::cuts::plan::bench::Bench;
use crate::diagnostic::Diagnostic;
use crate::geometry::{Contour, Ground, Point, Region};
use crate::job::Side as CutSide;
use crate::part::features::{Face, Flip, Pocket};

/// Floors thinner than this give way under a chisel, mm (common practice).
const THIN: f64 = 1.0;

/// Recesses that share less than this only touch, mm2.
const TOUCHING: f64 = 1.0;

/// How far a tab keeps from the edge of a recess, mm.
const APART: f64 = 1.0;

/// Between a pin's hole and the slot round the part, mm.
const CLEAR: f64 = 0.5;

/// Pockets and rebates of both faces, in the part frame.
fn recesses(bench: &Bench<'_>, contour: &Contour) -> Result<Vec<Pocket>, Diagnostic> {
    let features = &bench.part.features;
    let mut all = features.pockets.clone();
    for (key, rebate) in &features.rebates {
        all.push(open::rebate(&Side::new(bench, rebate.face), key, rebate, contour)?);
    }
    Ok(all)
}

/// Where the wood that a tab would stand on is cut away before the outline is.
pub(super) fn gone(bench: &Bench<'_>, contour: &Contour) -> Result<Vec<Region>, Diagnostic> {
    let Some(tabs) = bench.part.placing.hold.tabs else { return Ok(Vec::new()) };
    let stays = bench.stock.size().z - tabs.height.0;
    let all = recesses(bench, contour)?.into_iter();
    let takes = |pocket: &Pocket| pocket.face == Face::Bottom || pocket.depth > stays;
    Ok(all.filter(takes).map(|pocket| pocket.region).collect())
}

/// Whether a place of the outline is among those.
pub(super) fn is_gone(gone: &[Region], at: Point) -> bool {
    let near = |c: &Contour| c.nearest(at).is_some_and(|(gap, _)| gap < APART);
    gone.iter().any(|region| region.contains(at) || region.contours().any(near))
}

/// Recesses of the two faces that lie over one another: what should be said of thin floors.
///
/// # Errors
/// Recesses that meet.
pub(super) fn floors(bench: &Bench<'_>, contour: &Contour) -> Result<Vec<String>, Diagnostic> {
    let all = recesses(bench, contour)?;
    let thickness = bench.stock.size().z;
    let shown = bench.job.shown;
    let on = |face: Face| all.iter().filter(move |pocket| pocket.face == face);
    let mut said = Vec::new();
    for (top, bottom) in on(Face::Top).flat_map(|t| on(Face::Bottom).map(move |b| (t, b))) {
        let left = thickness - top.depth - bottom.depth;
        if left >= THIN || shared(&top.region, &bottom.region) < TOUCHING {
            continue;
        }
        let (one, other) = (&top.key, &bottom.key);
        if left <= 0.0 {
            return Err(Diagnostic::error(format!(
                "{one} and {other} meet in a board {} thick: nothing is left between them",
                shown.both(thickness)
            ))
            .key(format!("{}.{one}.depth", bench.part.key))
            .help("make one of them shallower, or leave one out and cut the other as an outline"));
        }
        said.push(format!(
            "{one} and {other}: a floor of only {} stays between them.",
            shown.both(left)
        ));
    }
    Ok(said)
}

/// Area that two regions share, mm2.
fn shared(a: &Region, b: &Region) -> f64 {
    let ground = |region: &Region| Ground::new(std::slice::from_ref(region));
    ground(a).and(&ground(b)).area()
}

/// Pins stand in wood, apart from one another, and out of the way of the outline's cut. `places` are
/// their middles in the part frame.
///
/// # Errors
/// One diagnostic for each pin that does not.
pub(super) fn pins(
    bench: &Bench<'_>,
    flip: &Flip,
    places: &[Point],
    contour: &Contour,
) -> Result<(), Vec<Diagnostic>> {
    let shown = bench.job.shown;
    let diameter = flip.pin_diameter.0;
    let low = bench.stock.min.xy() - bench.corner();
    let high = bench.stock.max.xy() - bench.corner();
    let slot = match (bench.part.outline.side, bench.shop.cutter(bench.outline_cutter())) {
        (CutSide::Inside, _) | (_, Err(_)) => 0.0,
        (CutSide::Outside, Ok(cutter)) => cutter.diameter.0 + bench.part.outline.allowance.0,
        (CutSide::On, Ok(cutter)) => cutter.radius() + bench.part.outline.allowance.0,
    };
    let mut found = Vec::new();
    for (i, at) in places.iter().enumerate() {
        let mut wrong = |what: String, help: String| {
            let key = format!("{}.flip.pins[{}]", bench.part.key, i + 1);
            found.push(Diagnostic::error(what).key(key).help(help));
        };
        let edge = (at.x - low.x).min(high.x - at.x).min(at.y - low.y).min(high.y - at.y);
        let gap = contour.nearest(*at).map_or(f64::INFINITY, |(gap, _)| gap);
        let least = diameter / 2.0 + slot + CLEAR;
        if edge < diameter {
            wrong(
                match edge < 0.0 {
                    true => "the pin stands beside the stock".to_string(),
                    false => {
                        format!("the pin's middle is {} from the stock's edge", shown.both(edge))
                    }
                },
                format!(
                    "a pin of {} wants its middle at least as far from every edge",
                    shown.both(diameter)
                ),
            );
        } else if places[..i].iter().any(|other| other.distance(*at) < 2.0 * diameter) {
            wrong(
                "the pin stands where another does".to_string(),
                "put the pins far apart: the board turns about two that are close".to_string(),
            );
        } else if contour.contains(*at) {
            wrong(
                "the pin goes through the part".to_string(),
                "put it in the waste beyond the part, or turn the board about its other middle line"
                    .to_string(),
            );
        } else if gap < least {
            wrong(
                format!(
                    "the pin stands in the way of the outline's cut: its middle is {} from the part",
                    shown.both(gap)
                ),
                format!("put it at least {} from the part, or use longer stock", shown.both(least)),
            );
        }
    }
    if found.is_empty() { Ok(()) } else { Err(found) }
}
