//! The order of passes: from one to its neighbour without lifting, where that can be.

use crate::geometry::Point3;

/// A pass, and the row of passes to which it belongs.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Pass {
    pub(super) row: usize,
    pub(super) points: Vec<Point3>,
}

/// So many of the nearest ends are tried.
const TRIED: usize = 4;

/// Chains of passes, each travelled against the one before. From the end of a pass the chain
/// goes on to the nearest end of a pass of the same or the next row for which `link` finds a
/// way; else it begins anew at the first pass that is left. The passes come sorted by rows.
pub(super) fn chains(
    passes: Vec<Pass>,
    link: impl Fn(Point3, Point3) -> Option<Vec<Point3>>,
) -> Vec<Vec<Vec<Point3>>> {
    let rows = passes.last().map_or(0, |p| p.row + 1);
    let mut starts = vec![passes.len(); rows + 2];
    for (k, pass) in passes.iter().enumerate().rev() {
        starts[pass.row] = k;
    }
    for row in (0..rows).rev() {
        starts[row] = starts[row].min(starts[row + 1]);
    }
    let mut left: Vec<Option<Pass>> = passes.into_iter().map(Some).collect();
    let mut out = Vec::new();
    for first in 0..left.len() {
        let Some(pass) = left[first].take() else { continue };
        let mut row = pass.row;
        let mut chain = vec![pass.points];
        while let Some(&at) = chain.last().and_then(|p| p.last()) {
            let candidates = starts[row.min(rows)]..starts[(row + 2).min(rows)];
            let mut ends: Vec<(f64, usize, bool, Point3)> = candidates
                .filter_map(|k| Some((k, &left[k].as_ref()?.points)))
                .filter_map(|(k, points)| {
                    let ends = [(*points.first()?, false), (*points.last()?, true)];
                    let away = |end: Point3| at.xy().distance(end.xy());
                    let (end, turned) =
                        ends.into_iter().min_by(|a, b| away(a.0).total_cmp(&away(b.0)))?;
                    Some((away(end), k, turned, end))
                })
                .collect();
            ends.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
            let found = ends
                .into_iter()
                .take(TRIED)
                .find_map(|(_, k, turned, end)| link(at, end).map(|way| (k, turned, way)));
            let Some((k, turned, way)) = found else { break };
            let Some(next) = left[k].take() else { break };
            row = next.row;
            let mut points = next.points;
            if turned {
                points.reverse();
            }
            chain.push(way);
            chain.push(points);
        }
        out.push(chain);
    }
    out
}
