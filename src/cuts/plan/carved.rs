//! Carved panels: the relief roughed and finished, then the board cut out.

use super::bench::Bench;
use super::{Operation, Surface, Work, board};
use crate::cuts::relief::{Finish, ReliefPlan, ReliefSpec, Rough, Tooling};
use crate::diagnostic::Diagnostic;
use crate::geometry::{Band, HeightField};
use crate::part::Panel;
use std::sync::Arc;

/// How far a pass may leave the cutter surface, mm: half of what may be gouged.
const TOLERANCE: f64 = 0.0025;

/// Wood that may stay where the cutter is too wide for the carving: it is told, never a fault.
const ANYTHING: f64 = f64::INFINITY;

/// A panel whose job names no cutters for the carving is cut out, and the sheet says so.
pub(super) fn plan(bench: &Bench<'_>, panel: &Panel) -> Result<Vec<Work>, Vec<Diagnostic>> {
    let mut works = board::plan(bench, &panel.contour())?;
    let Some(top) = works.last_mut() else { return Ok(works) };
    if panel.rough.is_none() && panel.finish.is_none() {
        top.cautions.push(
            "the carving is not in this program: the panel names no cutter for it, as `finish = { cutter = 4 }` would"
                .to_string(),
        );
        return Ok(works);
    }
    let field = relief(bench, panel)?;
    let mut operations = Vec::new();
    if let Some(rough) = &panel.rough {
        let cut = Rough { allowance: rough.allowance.0 };
        let (operation, said) = one(bench, &field, rough.cutter, "rough", |spec| cut.plan(spec))?;
        operations.push(operation);
        top.remarks.extend(said);
    }
    if let Some(finish) = &panel.finish {
        let cut =
            Finish { angle: finish.angle.0, scallop: finish.scallop.0, arcs: false, rest: None };
        let (operation, said) = one(bench, &field, finish.cutter, "finish", |spec| cut.plan(spec))?;
        operations.push(operation);
        top.remarks.extend(said);
    }
    operations.append(&mut top.operations);
    top.operations = operations;
    let field = Arc::new(field);
    top.surface = Some(Surface::new(move |p| {
        // Places beside the panel are nobody's; what the cutter is too wide for may stay.
        field.at(p)?;
        Some(Band { low: field.bilinear(p), high: ANYTHING })
    }));
    Ok(works)
}

/// The relief in work coordinates.
fn relief(bench: &Bench<'_>, panel: &Panel) -> Result<HeightField, Vec<Diagnostic>> {
    let relief = panel.relief(bench.job.document.folder())?;
    let key = &bench.part.key;
    let field = relief.sample(panel.grid, &|_| {}).map_err(|why| {
        vec![
            Diagnostic::error(why.to_string())
                .key(format!("{key}.grid"))
                .help("give a wider `grid`, such as 0.2 mm"),
        ]
    })?;
    let problems = panel.height_problems(&field, bench.stock.size().z, key, bench.job.shown);
    if problems.is_empty() {
        Ok(field.moved(bench.corner(), bench.stock.max.z))
    } else {
        Err(problems)
    }
}

fn one(
    bench: &Bench<'_>,
    field: &HeightField,
    number: u32,
    table: &str,
    cut: impl Fn(&ReliefSpec<'_>) -> Result<ReliefPlan, Diagnostic>,
) -> Result<(Operation, Vec<String>), Vec<Diagnostic>> {
    let (cutter, data) =
        bench.cutter(number, &format!("{table}.cutter")).map_err(|one| vec![one])?;
    let spec = ReliefSpec {
        relief: field,
        tooling: Tooling {
            cutter,
            data: &data,
            machine: &bench.shop.machine,
            top: bench.stock.max.z,
            travel_height: bench.travel_height,
        },
        tolerance: TOLERANCE,
    };
    let ReliefPlan { toolpath, remarks, .. } = cut(&spec).map_err(|d| {
        let key = d.key.clone().unwrap_or_else(|| "cutter".to_string());
        vec![d.key(format!("{}.{table}.{key}", bench.part.key))]
    })?;
    Ok((Operation { cutter: cutter.clone(), data, toolpath }, remarks))
}
