//! What the cutter must keep out of: clamps and screws.

use super::Operation;
use super::bench::Bench;
use crate::diagnostic::Diagnostic;
use crate::geometry::{Box3, Point3, point, point3};
use crate::job::{Placing, Screw};
use crate::shop::{Clamp, Shop};
use crate::toolpath::Toolpath;

/// Clamps as boxes in work coordinates.
pub(super) fn clamps(
    shop: &Shop,
    placing: &Placing,
    zero: Point3,
    stock: Box3,
) -> Vec<(String, Box3)> {
    let space = |c: &Clamp| {
        let (a, b) = (c.from.map(|l| l.0), c.to.map(|l| l.0));
        let low = point3(a[0].min(b[0]), a[1].min(b[1]), 0.0) - zero;
        let high = point3(a[0].max(b[0]), a[1].max(b[1]), 0.0) - zero;
        let bounds = Box3 {
            min: point3(low.x, low.y, stock.min.z),
            max: point3(high.x, high.y, stock.min.z + c.height.0),
        };
        (c.name.clone(), bounds)
    };
    shop.clamps.iter().chain(&placing.hold.clamps).map(space).collect()
}

/// Screws as boxes in work coordinates, through the whole stock.
pub(super) fn screws(placing: &Placing, zero: Point3, stock: Box3) -> Vec<(String, Box3)> {
    let space = |(i, s): (usize, &Screw)| {
        let (r, at) = (s.diameter.0 / 2.0, screw_at(s, zero));
        let bounds = Box3 {
            min: point3(at.x - r, at.y - r, stock.min.z),
            max: point3(at.x + r, at.y + r, stock.max.z + s.proud.0),
        };
        (format!("screw {}", i + 1), bounds)
    };
    placing.hold.screws.iter().enumerate().map(space).collect()
}

pub(super) fn screw_at(screw: &Screw, zero: Point3) -> Point3 {
    point3(screw.at[0].0, screw.at[1].0, 0.0) - zero
}

/// A keepout that the cutter's rim meets.
struct Met {
    /// Its number.
    number: usize,
    /// Least distance in plan from the path of the cutter's centre; zero if the path runs over it.
    gap: f64,
    /// How far it must be moved to be out of the way, to the side where that is least.
    away: f64,
}

/// Keepouts that the cutter's rim meets while it cuts. Strokes are looked at every millimetre, so a
/// gap is known to half one at most; the dry run measures exactly.
fn in_the_way(toolpath: &Toolpath, radius: f64, keepouts: &[(String, Box3)]) -> Vec<Met> {
    let mut gaps = vec![f64::INFINITY; keepouts.len()];
    // Toward less x, more x, less y, more y.
    let mut moves = vec![[0.0_f64; 4]; keepouts.len()];
    for (stroke, step) in toolpath.strokes() {
        if step.action.feed().is_none() || keepouts.is_empty() {
            continue;
        }
        // A count of millimetres along one stroke.
        let count = stroke.length().ceil().clamp(1.0, 1e6) as usize;
        for i in 0..=count {
            let p = stroke.at(i as f64 / count as f64);
            for (k, (_, b)) in keepouts.iter().enumerate().filter(|(_, (_, b))| p.z < b.max.z) {
                let beside =
                    point(p.x - p.x.clamp(b.min.x, b.max.x), p.y - p.y.clamp(b.min.y, b.max.y));
                let gap = beside.length();
                gaps[k] = gaps[k].min(gap);
                if gap < radius {
                    let off = [b.max.x - p.x, p.x - b.min.x, b.max.y - p.y, p.y - b.min.y];
                    for (away, off) in moves[k].iter_mut().zip(off) {
                        *away = away.max(off + radius);
                    }
                }
            }
        }
    }
    let met = gaps.into_iter().zip(moves).enumerate();
    met.filter(|(_, (gap, _))| *gap < radius)
        .map(|(number, (gap, moves))| {
            let away = moves.into_iter().fold(f64::INFINITY, f64::min);
            Met { number, gap, away }
        })
        .collect()
}

/// Screws that do not go through the stock.
pub(super) fn outside_stock(placing: &Placing) -> Vec<Diagnostic> {
    let (l, w) = (placing.stock.length.0, placing.stock.width.0);
    let screws = placing.hold.screws.iter().enumerate();
    screws
        .filter(|(_, s)| !((0.0..=l).contains(&s.at[0].0) && (0.0..=w).contains(&s.at[1].0)))
        .map(|(i, _)| {
            Diagnostic::error(format!("screw {} stands beside the stock", i + 1))
                .key(format!("hold.screws[{}].at", i + 1))
                .help("measure from the stock's front left corner, x and y")
        })
        .collect()
}

/// Every keepout that an operation's cutter meets, each at its place in the job file.
pub(super) fn struck(bench: &Bench<'_>, operations: &[Operation]) -> Vec<Diagnostic> {
    let mut found: Vec<Diagnostic> = Vec::new();
    let mut told = vec![false; bench.keepouts.len()];
    for operation in operations {
        let radius = operation.cutter.radius();
        for met in in_the_way(&operation.toolpath, radius, &bench.keepouts) {
            if !std::mem::replace(&mut told[met.number], true) {
                found.push(in_way(bench, &met, radius));
            }
        }
    }
    found
}

fn in_way(bench: &Bench<'_>, met: &Met, radius: f64) -> Diagnostic {
    let i = met.number;
    let screws = bench.keepouts.len() - bench.part.placing.hold.screws.len();
    let (own, shared) = match i.checked_sub(screws) {
        Some(screw) => ("hold.screws", screw),
        None => ("hold.clamps", i.saturating_sub(bench.shop.clamps.len())),
    };
    let shown = bench.job.shown;
    let name = &bench.keepouts[i].0;
    let d = Diagnostic::error(match met.gap > 0.0 {
        true => format!(
            "{name} stands in the cutter's way: its edge is {} from the path of the cutter's centre",
            shown.both(met.gap)
        ),
        false => format!("{name} stands in the cutter's way: the cutter's centre runs over it"),
    })
    .key(format!("{own}[{}]", shared + 1))
    .help(format!(
        "move it at least {} to the side where that is least; the cutter's radius is {}",
        shown.both(met.away + 0.01),
        shown.both(radius)
    ));
    bench.placed(d)
}
