//! Carved panels: the relief roughed, finished and finished again where that leaves too much,
//! then incised; then the board is cut out.

mod incised;

use super::bench::Bench;
use super::{Operation, Stop, Surface, Work, board};
use crate::cuts::relief::{
    Course, Finish, Fragile, ReliefPlan, ReliefSpec, Rest, Rough, Tooling, Weakness, end_of,
    left_by, short_grain, too_narrow, undercut,
};
use crate::diagnostic::Diagnostic;
use crate::geometry::{Band, HeightField, Point, point};
use crate::part::{Carved, CourseShape, Panel};
use crate::relief::CushionMap;
use crate::shop::CutterShape;
use crate::toolpath::Toolpath;
use crate::units::Shown;
use incised::Incised;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

/// How far a pass may leave the cutter surface, mm: with the last digit of the text, less than the
/// 0.005 mm that may be gouged.
const TOLERANCE: f64 = 0.0035;

/// Detail that fills with less than this is no loss, mm: what paint hides (common practice).
const FILLED: f64 = 0.5;

/// Cells on which what a cutter leaves is looked for: 80 MB for each field.
const ENOUGH: f64 = 2e7;

/// Ridges between passes, in height on the steepest slopes, mm.
const RIDGE: f64 = 0.25;

/// A panel whose job names no cutters for the carving is cut out, and the sheet says so.
pub(super) fn plan(bench: &Bench<'_>, panel: &Panel) -> Result<Vec<Work>, Stop> {
    let mut works = board::plan(bench, &panel.contour())?;
    let Some(top) = works.last_mut() else { return Ok(works) };
    if panel.rough.is_none() && panel.finish.is_none() && panel.incise.is_empty() {
        top.cautions.push(
            "the carving is not in this program: the panel names no cutter for it, as `finish = { cutter = 4 }` would, or `incise = [{ cutter = 6 }]` for incised work"
                .to_string(),
        );
        return Ok(works);
    }
    let carved = panel.carved(bench.job.document.folder()).map_err(Stop::Input)?;
    top.cautions.extend(carved.warnings.iter().map(|left_out| match &left_out.place {
        Some(place) => format!("{}: {}", place.file, left_out.message),
        None => left_out.message.clone(),
    }));
    let field = sampled(bench, panel, &carved)?;
    let coarse = coarser(bench, panel, &carved, &field)?;
    let seen = coarse.as_ref().unwrap_or(&field);
    let (mut operations, reached) = modelled(bench, panel, &field, seen, top)?;
    let under = carved.undercuts(panel).into_iter();
    top.weak.extend(under.map(|(at, high)| undercut(at + bench.corner(), high)));
    top.cautions.extend(told(&top.weak, bench.job.shown));
    let ground = Ground { field: &field, cut: panel.rough.is_some() || panel.finish.is_some() };
    let incised = incised::plan(bench, panel, &carved.incised, &ground)?;
    let Incised { operations: mut more, remarks, cautions, cut } = incised;
    operations.append(&mut more);
    top.remarks.extend(remarks);
    top.cautions.extend(cautions);
    operations.append(&mut top.operations);
    top.operations = operations;
    top.surface = Some(surface(bench, field, reached, cut));
    Ok(works)
}

/// The surface on which incised work begins.
struct Ground<'a> {
    /// The relief without it, work coordinates.
    field: &'a HeightField,
    /// Whether the relief is cut at all.
    cut: bool,
}

/// Roughing and finishing, and the highest that they should leave anywhere, on the grid of `seen`.
fn modelled(
    bench: &Bench<'_>,
    panel: &Panel,
    field: &HeightField,
    seen: &HeightField,
    top: &mut Work,
) -> Result<(Vec<Operation>, Option<HeightField>), Vec<Diagnostic>> {
    let mut operations = Vec::new();
    let mut take = |made: Option<(Operation, Vec<String>)>, top: &mut Work| {
        if let Some((operation, remarks)) = made {
            operations.push(operation);
            top.remarks.extend(remarks);
        }
    };
    let mut stands = None;
    if let Some(rough) = &panel.rough {
        let allowance = match (rough.allowance, &panel.finish) {
            (Some(allowance), _) => allowance.0,
            (None, Some(finish)) => usual_allowance(&Tool::new(bench, finish.cutter, "finish")?),
            (None, None) => ALLOWANCE,
        };
        let cut = Rough { allowance };
        let tool = Tool::new(bench, rough.cutter, "rough")?;
        let made = tool.cut(field, |spec| cut.plan(spec), |spec| cut.takes(spec))?;
        if bench.paths {
            let nothing = Toolpath::default();
            let toolpath = made.as_ref().map_or(&nothing, |(operation, _)| &operation.toolpath);
            stands = Some(left_by(toolpath, &tool.spec(seen)).map_err(|d| tool.wrong(d))?);
        }
        take(made, top);
    }
    let Some(finish) = &panel.finish else { return Ok((operations, None)) };
    let stands = match stands {
        None if bench.paths => Some(whole(bench, seen)?),
        stands => stands,
    };
    let course = match finish.along {
        CourseShape::Lines => Course::Lines(finish.angle.0),
        CourseShape::Border => Course::Border,
        CourseShape::Spiral => Course::Spiral,
    };
    let cut = Finish {
        course,
        scallop: finish.scallop.0,
        arcs: true,
        stands: stands.as_ref(),
        rest: None,
    };
    let tool = Tool::new(bench, finish.cutter, "finish")?;
    if tool.cutter.shape == CutterShape::Flat {
        top.cautions.push(format!(
            "{} leaves steps on every slope: finish what is carved with a ball",
            tool.cutter.title()
        ));
    }
    take(tool.cut(field, |spec| cut.plan(spec), |spec| cut.takes(spec))?, top);
    let mut reached = tool.left(seen)?;
    let mut finest = &tool;
    let finer;
    if let Some(detail) = &panel.detail {
        finer = Tool::new(bench, detail.cutter, "detail")?;
        if finest_nose(&finer)? >= finest_nose(&tool)? {
            let names = [finer.cutter, tool.cutter].map(crate::shop::Cutter::title);
            let [second, first] = names;
            return Err(finer.wrong(
                Diagnostic::error(format!("{second} is no finer than the finish's {first}"))
                    .help("give a cutter with a smaller ball, or leave `detail` out"),
            ));
        }
        let rest = Some(Rest { relief: seen, left: &reached, amount: detail.over.0 });
        let course = Course::Lines(detail.angle.0);
        let cut =
            Finish { course, scallop: detail.scallop.0, arcs: true, stands: Some(&reached), rest };
        take(finer.cut(field, |spec| cut.plan(spec), |spec| cut.takes(spec))?, top);
        lower(&mut reached, &finer.left(seen)?, detail.over.0);
        finest = &finer;
    }
    top.weak.extend(short_grain(&reached, false));
    let narrow = too_narrow(seen, finest.tooling().cutter, FILLED).map_err(|d| vec![d])?;
    if !narrow.is_empty() {
        top.remarks.push(format!(
            "where {} is too wide, the surface is held against what it can leave there, not against the design",
            finest.cutter.title()
        ));
    }
    top.weak.extend(narrow);
    Ok((operations, Some(reached)))
}

/// Wood that roughing leaves, mm (common practice: 0.5 to 1 mm for the last pass).
const ALLOWANCE: f64 = 0.5;

/// So much, as a share of the finish's stepdown, is taken in one pass however it lies.
const ONE_PASS: f64 = 0.6;

/// Wood that roughing leaves for a finish of which nothing else is said: a fine cutter in hard
/// wood would go down to the usual amount in steps, all over the panel.
fn usual_allowance(finish: &Tool<'_>) -> f64 {
    ALLOWANCE.min(ONE_PASS * finish.tooling().data.stepdown.value)
}

/// The radius that a cutter cuts hollows with.
fn finest_nose(tool: &Tool<'_>) -> Result<f64, Vec<Diagnostic>> {
    let end = end_of(tool.cutter).map_err(|d| tool.wrong(d))?;
    Ok(end.nose().min(end.radius()))
}

/// The board before anything is cut.
fn whole(bench: &Bench<'_>, seen: &HeightField) -> Result<HeightField, Vec<Diagnostic>> {
    let size = point(seen.columns() as f64, seen.rows() as f64) * seen.cell();
    HeightField::new(seen.min(), size, seen.cell(), bench.stock.max.z)
        .map_err(|e| vec![Diagnostic::error(e.to_string()).key(bench.part.key.clone())])
}

/// Takes a field down to another that is `over` higher.
fn lower(field: &mut HeightField, to: &HeightField, over: f64) {
    for j in 0..field.rows() {
        let both = field.row(j).iter().zip(to.row(j));
        let row: Vec<f32> = both.map(|(a, b)| a.min(b + over as f32)).collect();
        field.set_row(j, &row);
    }
}

/// Weak places in words: of each kind the worst, and how many more there are.
fn told(weak: &[Fragile], shown: Shown) -> Vec<String> {
    let one = |kind| {
        let mut of_kind = weak.iter().filter(|w| w.weakness == kind);
        let warning = of_kind.next()?.warning(shown);
        let help = warning.help.map(|help| format!("; {help}")).unwrap_or_default();
        let more = match of_kind.count() {
            0 => String::new(),
            1 => " (and one more place)".to_string(),
            many => format!(" (and {many} more places)"),
        };
        Some(format!("{}{more}{help}; `ovolo preview` shows where", warning.message))
    };
    Weakness::ALL.into_iter().filter_map(one).collect()
}

/// What may stand: the relief, less what is incised, up to what the cutters reach.
fn surface(
    bench: &Bench<'_>,
    field: HeightField,
    reached: Option<HeightField>,
    cut: Vec<CushionMap>,
) -> Surface {
    let (field, cut) = (Arc::new(field), Arc::new(cut));
    let (corner, top) = (bench.corner(), bench.stock.max.z);
    let carved = reached.is_some();
    Surface::new(move |p| {
        // Places beside the panel are nobody's; what the cutter is too wide for may stay.
        field.at(p)?;
        let ground = if carved { field.bilinear(p) } else { top };
        let deep = cut.iter().filter_map(|map| map.height(p - corner)).fold(0.0, f64::min);
        let high = match &reached {
            // Within incised work the V's own walls count; they are told by its depth alone.
            Some(reached) if deep == 0.0 => highest(reached, p) + RIDGE,
            _ => f64::INFINITY,
        };
        Some(Band { low: ground + deep, high })
    })
}

/// The highest of a field within two cells: beside walls the grid does not say where they stand to
/// a cell, and the passes along them lie an eighth of their distance apart.
fn highest(field: &HeightField, p: Point) -> f64 {
    let c = 2.0 * field.cell();
    let around = (-1..=1).flat_map(|i| (-1..=1).map(move |j| point(f64::from(i), f64::from(j))));
    around.map(|d| field.bilinear(p + d * c)).fold(f64::NEG_INFINITY, f64::max)
}

/// The relief without incised work, in work coordinates.
fn sampled(
    bench: &Bench<'_>,
    panel: &Panel,
    carved: &Carved,
) -> Result<HeightField, Vec<Diagnostic>> {
    let key = &bench.part.key;
    let done = AtomicUsize::new(0);
    let rows = (panel.board.width / panel.grid).max(1.0);
    let told = |more: usize| {
        let so_far = done.fetch_add(more, Ordering::Relaxed) + more;
        bench.watch.tell("working out the relief", so_far as f64 / rows);
    };
    let sample = |relief: &crate::relief::Relief| {
        done.store(0, Ordering::Relaxed);
        relief.sample(panel.grid, &told).map_err(|why| {
            vec![
                Diagnostic::error(why.to_string())
                    .key(format!("{key}.grid"))
                    .help("give a wider `grid`, such as 0.2 mm"),
            ]
        })
    };
    let problems = |field: &HeightField| {
        panel.height_problems(carved, field, bench.stock.size().z, key, bench.job.shown)
    };
    let field = sample(&carved.modelled)?;
    let mut found = problems(&field);
    if found.is_empty() && !carved.incised.is_empty() {
        found = problems(&sample(&carved.designed())?);
    }
    if !found.is_empty() {
        return Err(found);
    }
    Ok(field.moved(bench.corner(), bench.stock.max.z))
}

/// The relief on a wider grid, where its own has more cells than it takes to see what a cutter
/// leaves and where wood is weak; `None` where its own will do.
fn coarser(
    bench: &Bench<'_>,
    panel: &Panel,
    carved: &Carved,
    field: &HeightField,
) -> Result<Option<HeightField>, Vec<Diagnostic>> {
    let cells = field.columns() as f64 * field.rows() as f64;
    if cells <= ENOUGH {
        return Ok(None);
    }
    let cell = panel.grid * (cells / ENOUGH).sqrt();
    let coarse = carved.modelled.sample(cell, &|_| {});
    let coarse = coarse.map_err(|e| {
        vec![Diagnostic::error(e.to_string()).key(format!("{}.grid", bench.part.key))]
    })?;
    Ok(Some(coarse.moved(bench.corner(), bench.stock.max.z)))
}

/// A cutter at work on the panel, and the table of the part that names it.
struct Tool<'a> {
    bench: &'a Bench<'a>,
    cutter: &'a crate::shop::Cutter,
    data: crate::shop::CuttingData,
    table: String,
}

impl<'a> Tool<'a> {
    fn new(
        bench: &'a Bench<'a>,
        number: u32,
        table: impl Into<String>,
    ) -> Result<Tool<'a>, Vec<Diagnostic>> {
        let table = table.into();
        Tool::named(bench, number, &format!("{table}.cutter"), table.clone())
    }

    /// A cutter that another key than `cutter` names.
    fn named(
        bench: &'a Bench<'a>,
        number: u32,
        key: &str,
        table: String,
    ) -> Result<Tool<'a>, Vec<Diagnostic>> {
        let (cutter, data) = bench.cutter(number, key).map_err(|one| vec![one])?;
        Ok(Tool { bench, cutter, data, table })
    }

    fn tooling(&self) -> Tooling<'_> {
        Tooling {
            cutter: self.cutter,
            data: &self.data,
            machine: &self.bench.shop.machine,
            top: self.bench.stock.max.z,
            travel_height: self.bench.travel_height,
            shown: self.bench.job.shown,
        }
    }

    fn spec<'b>(&'b self, field: &'b HeightField) -> ReliefSpec<'b> {
        ReliefSpec {
            relief: field,
            tooling: self.tooling(),
            tolerance: TOLERANCE,
            watch: self.bench.watch,
        }
    }

    fn left(&self, field: &HeightField) -> Result<HeightField, Vec<Diagnostic>> {
        self.spec(field).left().map_err(|d| self.wrong(d))
    }

    /// The cut with what is said of it; `None` where all is at the board's face. `takes` tells
    /// that without the moves, where nobody wants them.
    fn cut(
        &self,
        field: &HeightField,
        plan: impl Fn(&ReliefSpec<'_>) -> Result<ReliefPlan, Diagnostic>,
        takes: impl Fn(&ReliefSpec<'_>) -> Result<bool, Diagnostic>,
    ) -> Result<Option<(Operation, Vec<String>)>, Vec<Diagnostic>> {
        let spec = self.spec(field);
        if !self.bench.paths {
            let any = takes(&spec).map_err(|d| self.wrong(d))?;
            return Ok(any.then(|| self.operation(ReliefPlan::default())));
        }
        let plan = plan(&spec).map_err(|d| self.wrong(d))?;
        Ok((!plan.toolpath.steps.is_empty()).then(|| self.operation(plan)))
    }

    fn operation(&self, plan: ReliefPlan) -> (Operation, Vec<String>) {
        let ReliefPlan { toolpath, remarks, .. } = plan;
        (Operation { cutter: self.cutter.clone(), data: self.data.clone(), toolpath }, remarks)
    }

    /// At a key of the table, or at the cutter.
    fn wrong(&self, d: Diagnostic) -> Vec<Diagnostic> {
        let key = d.key.clone().unwrap_or_else(|| "cutter".to_string());
        vec![d.key(format!("{}.{}.{key}", self.bench.part.key, self.table))]
    }
}
