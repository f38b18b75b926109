//! The incised work of a panel: for each carving the V cutter that fits, and a flat one where
//! strokes are wider than the V may go.

use super::{Ground, Tool};
use crate::cuts::incise::Incise;
use crate::cuts::plan::Operation;
use crate::cuts::plan::bench::Bench;
use crate::cuts::relief::Count;
use crate::diagnostic::Diagnostic;
use crate::geometry::{Contour, Point, Region, point};
use crate::part::{InciseShape, Incision, Panel, Strokes};
use crate::relief::CushionMap;
use crate::units::Shown;

/// The V's angle may be off by this much, radians: a hundredth of a degree.
const ALIKE: f64 = 2e-4;

/// Ground is level if it rises no more than this under a carving, mm.
const LEVEL: f64 = 0.02;

/// What incised work comes to.
#[derive(Default)]
pub(super) struct Incised {
    pub(super) operations: Vec<Operation>,
    pub(super) remarks: Vec<String>,
    pub(super) cautions: Vec<String>,
    /// How deep the cut ones go, in the part's frame.
    pub(super) cut: Vec<CushionMap>,
}

pub(super) fn plan(
    bench: &Bench<'_>,
    panel: &Panel,
    all: &[Incision],
    ground: &Ground<'_>,
) -> Result<Incised, Vec<Diagnostic>> {
    let mut out = Incised::default();
    if all.is_empty() {
        return Ok(out);
    }
    if panel.incise.is_empty() {
        out.cautions.push(
            "the incised work is not in this program: the panel names no V cutter for it, as `incise = [{ cutter = 6 }]` would"
                .to_string(),
        );
        return Ok(out);
    }
    let tools: Vec<(Tool<'_>, &InciseShape, String)> = panel
        .incise
        .iter()
        .enumerate()
        .map(|(i, shape)| {
            let table = format!("incise[{}]", i + 1);
            Ok((Tool::new(bench, shape.cutter, table.clone())?, shape, table))
        })
        .collect::<Result<_, Vec<Diagnostic>>>()?;
    // Flat cutters first, so that each V follows on a cleared floor; a cutter's work is gathered.
    let (mut clearing, mut cuts) = (Vec::new(), Vec::new());
    let mut found = Vec::new();
    for (tool, shape, table) in &tools {
        let mut counts = Vec::new();
        for one in all.iter().filter(|one| fits(tool, one)) {
            match Cut::of(bench, one, ground).and_then(|cut| cut.plan(tool, shape, table)) {
                Ok(Planned { flat, v, count, remarks, cautions }) => {
                    clearing.extend(flat);
                    cuts.push(v);
                    counts.push((one, count));
                    out.remarks.extend(remarks);
                    out.cautions.extend(cautions);
                    out.cut.push(CushionMap::new(one.cushion()));
                }
                Err(mut some) => found.append(&mut some),
            }
        }
        out.remarks.extend(told(&counts, bench.job.shown));
    }
    for one in all.iter().filter(|one| !tools.iter().any(|(tool, ..)| fits(tool, one))) {
        let named: Vec<String> = tools.iter().map(|(tool, ..)| tool.cutter.title()).collect();
        found.push(
            Diagnostic::error(format!(
                "no cutter of `incise` cuts a V of {:.1} degrees: it names {}",
                one.angle.to_degrees(),
                named.join(", ")
            ))
            .key(format!("{}.v-angle", one.key))
            .help("give the carving the cutter's angle, or add a cutter to `incise`"),
        );
    }
    clearing.sort_by_key(|operation: &Operation| operation.cutter.number);
    out.operations = clearing.into_iter().chain(cuts).collect();
    if found.is_empty() { Ok(out) } else { Err(found) }
}

/// More carvings than this of one cutter share a line of the sheet.
const EACH: usize = 3;

/// How deep the carvings of one cutter go, in words.
fn told(counts: &[(&Incision, Count)], shown: Shown) -> Vec<String> {
    let length = |mm| shown.measured(mm);
    let levels = |n: usize| match n {
        1 => "in one level".to_string(),
        many => format!("in {many} levels"),
    };
    if counts.len() <= EACH {
        let one = |(one, count): &(&Incision, Count)| {
            let (levels, deepest) = (levels(count.levels), length(count.deepest));
            let which = one.number();
            format!(
                "carving {which} incised {levels} down to {deepest} on the middle of each stroke"
            )
        };
        return counts.iter().map(one).collect();
    }
    let depths = || counts.iter().map(|(_, c)| c.deepest);
    let (least, most) = (depths().fold(f64::INFINITY, f64::min), depths().fold(0.0, f64::max));
    let levels = levels(counts.iter().map(|(_, c)| c.levels).max().unwrap_or(0));
    vec![format!(
        "{} carvings incised, each {levels} at most, on the middle of their strokes down to between {} and {}",
        counts.len(),
        length(least),
        length(most)
    )]
}

fn fits(tool: &Tool<'_>, one: &Incision) -> bool {
    // What is no V at all is told by its own plan.
    let cutter = tool.cutter;
    cutter.shape != crate::shop::CutterShape::V
        || (cutter.included_angle.0 - one.angle).abs() < ALIKE
}

/// One carving on its ground, in work coordinates.
struct Cut<'a> {
    one: &'a Incision,
    regions: Vec<Region>,
    lines: Vec<Contour>,
    half: f64,
    ground: f64,
}

struct Planned {
    flat: Option<Operation>,
    v: Operation,
    count: Count,
    remarks: Vec<String>,
    cautions: Vec<String>,
}

impl<'a> Cut<'a> {
    fn of(
        bench: &Bench<'_>,
        one: &'a Incision,
        ground: &Ground<'_>,
    ) -> Result<Cut<'a>, Vec<Diagnostic>> {
        let corner = bench.corner();
        let moved = |c: &Contour| c.moved(corner);
        let (regions, lines, half) = match &one.strokes {
            Strokes::Regions(regions) => {
                let placed = regions.iter().map(|r| {
                    Region::new(moved(r.outer()), r.islands().iter().map(moved).collect())
                });
                let placed = placed.collect::<Result<Vec<_>, _>>().map_err(|e| {
                    vec![
                        Diagnostic::error(e.to_string())
                            .key(one.key.clone())
                            .help("mend the outline"),
                    ]
                })?;
                (placed, Vec::new(), 0.0)
            }
            Strokes::Lines { lines, half } => {
                (Vec::new(), lines.iter().map(moved).collect(), *half)
            }
        };
        let ground = level(bench, one, ground)?;
        Ok(Cut { one, regions, lines, half, ground })
    }

    fn plan(
        &self,
        tool: &Tool<'_>,
        shape: &InciseShape,
        table: &str,
    ) -> Result<Planned, Vec<Diagnostic>> {
        let incise = Incise {
            strokes: &self.regions,
            lines: &self.lines,
            half: self.half,
            ground: self.ground,
            deepest: Some(self.one.deepest),
        };
        let wrong = |d: Diagnostic| match d.key.as_deref() {
            // These are the carving's own; the cutter is the table's.
            Some(name @ ("depth" | "line-width")) => {
                let key = format!("{}.{name}", self.one.key);
                vec![d.key(key)]
            }
            Some(_) => tool.wrong(d),
            None => vec![d.key(self.one.key.clone())],
        };
        let plan = incise.plan(&tool.tooling()).map_err(wrong)?;
        let count = plan.count;
        let (v, mut remarks) = tool.operation(plan);
        let (mut flat, mut cautions) = (None, Vec::new());
        if let Some(clearing) = incise.clearing(&tool.tooling()).map_err(wrong)? {
            match shape.clearing_cutter {
                Some(number) => {
                    let key = format!("{table}.clearing-cutter");
                    let tool = Tool::named(tool.bench, number, &key, table.to_string())?;
                    let plan =
                        clearing.plan(&tool.tooling()).map_err(|d| tool.wrong(d))?;
                    let (operation, mut said) = tool.operation(plan);
                    flat = (!operation.toolpath.steps.is_empty()).then_some(operation);
                    remarks.append(&mut said);
                }
                None => cautions.push(format!(
                    "{}: strokes are wider than the V cuts {} deep, and their middle stays; name a flat cutter as `clearing-cutter` in `{table}`, or give more `depth`",
                    self.one.key, tool.bench.job.shown.both(self.one.deepest)
                )),
            }
        }
        Ok(Planned { flat, v, count, remarks, cautions })
    }
}

/// Height of the ground under a carving, which must be level, and cut by then.
fn level(bench: &Bench<'_>, one: &Incision, ground: &Ground<'_>) -> Result<f64, Vec<Diagnostic>> {
    let corner = bench.corner();
    let map = CushionMap::new(one.cushion());
    let (low, high) = one.bounds().unwrap_or_default();
    let field = ground.field;
    let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
    let mut outside = false;
    let count = |length: f64| (length / field.cell()).ceil() as usize;
    for j in 0..=count(high.y - low.y) {
        for i in 0..=count(high.x - low.x) {
            let p: Point = low + point(i as f64, j as f64) * field.cell();
            if map.height(p).is_none() {
                continue;
            }
            match field.at(p + corner) {
                Some(z) => (least, most) = (least.min(f64::from(z)), most.max(f64::from(z))),
                None => outside = true,
            }
        }
    }
    let top = bench.stock.max.z;
    let shown = bench.job.shown;
    let fault = |message: String, help: &str| {
        Err(vec![Diagnostic::error(message).key(one.key.clone()).help(help)])
    };
    if outside || least > most {
        return fault(
            "the incised work runs off the panel".to_string(),
            "move it with `at`, or make it smaller",
        );
    }
    if most - least > LEVEL {
        return fault(
            format!(
                "the ground under the incised work is not level: from {} to {} below the face",
                shown.both(top - most),
                shown.both(top - least)
            ),
            "move it off the border and off other carvings, or make it smaller",
        );
    }
    if !ground.cut && top - least > LEVEL {
        return fault(
            format!(
                "the incised work lies {} below the board's face, and nothing cuts that away",
                shown.both(top - least)
            ),
            "name cutters for the field: `rough = { cutter = 1 }` and `finish = { cutter = 4 }`",
        );
    }
    Ok(if ground.cut { f64::from(most as f32) } else { top })
}
