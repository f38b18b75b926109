//! Parts that are cut round, all through: a cap, a plain board.

use super::bench::Bench;
use super::{Operation, Work};
use crate::cuts::{OutlinePlan, OutlineSpec};
use crate::diagnostic::Diagnostic;
use crate::geometry::{Contour, point};

/// The outline cut of a part whose contour is `contour` in the part's own frame, its lower left
/// corner at the origin.
pub(super) fn plan(bench: &Bench<'_>, contour: &Contour) -> Result<Work, Vec<Diagnostic>> {
    let part = bench.part;
    let (cutter, data) =
        bench.cutter(part.outline.cutter, "outline.cutter").map_err(|one| vec![one])?;
    let outline = contour.moved(bench.corner());
    let spec = OutlineSpec {
        part: &outline,
        cut: &part.outline,
        hold: &part.placing.hold,
        part_is_fixed: bench.fixed_within(&outline),
        cutter,
        data: &data,
        machine: &bench.shop.machine,
        stock: bench.stock,
        travel_height: bench.travel_height,
        grain: point(1.0, 0.0),
        shown: bench.job.shown,
    };
    let OutlinePlan { toolpath, tabs, remarks, cautions } = spec
        .plan()
        .map_err(|found| found.into_iter().map(|d| bench.placed(d)).collect::<Vec<_>>())?;
    let operations = vec![Operation { cutter: cutter.clone(), data, toolpath }];
    Ok(Work { setup: "top", outline, operations, tabs, remarks, cautions })
}
