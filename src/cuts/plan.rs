//! From a job and a shop to planned cuts, one per part.

mod bench;
mod board;
mod carved;
mod keepouts;
mod moulded;
mod surface;
mod ways;

use super::Tab;
use super::pocket::PocketFigures;
use super::relief::Fragile;
use crate::diagnostic::{Diagnostic, Failure};
use crate::geometry::{Box3, Contour, Point};
use crate::job::{Job, Part, Shape};
use crate::shop::{Cutter, CuttingData, Material, Shop};
use crate::toolpath::{Direction, Move, Purpose, Toolpath};
use crate::watch::Watch;
use bench::Bench;
pub use moulded::{SectionCut, SectionPasses};
pub use surface::Surface;

/// One cutter's work without a stop.
#[derive(Clone, Debug)]
pub(in crate::cuts) struct Operation {
    /// The cutter.
    pub cutter: Cutter,
    /// What it may do in this wood.
    pub data: CuttingData,
    /// From and to the height for travelling; without spindle and cutter change.
    pub toolpath: Toolpath,
}

/// What one setup of a part comes to, before machine words are added.
pub(in crate::cuts) struct Work {
    /// Which way up the board lies: it names the program.
    pub setup: &'static str,
    /// What stays whole, in work coordinates.
    pub outline: Contour,
    /// What its cuts should leave, if its face is cut.
    pub surface: Option<Surface>,
    /// In the order of work.
    pub operations: Vec<Operation>,
    /// The tabs left standing.
    pub tabs: Vec<Tab>,
    /// What the setup sheet should say.
    pub remarks: Vec<String>,
    /// What the user should know before cutting.
    pub cautions: Vec<String>,
    /// Where a carving is weak, in work coordinates.
    pub weak: Vec<Fragile>,
    /// How each pocket is cleared.
    pub pockets: Vec<PocketFigures>,
    /// A moulding's section and its passes.
    pub section: Option<SectionCut>,
}

/// One setup of a part with its cuts planned, in work coordinates.
#[derive(Clone, Debug)]
pub struct PartPlan {
    /// The part.
    pub part: Part,
    /// Which way up the board lies: `top`.
    pub setup: &'static str,
    /// Names its picture: the part, and the setup where there are several.
    pub picture: String,
    /// The wood.
    pub material: Material,
    /// The board.
    pub stock: Box3,
    /// The line that is cut.
    pub outline: Contour,
    /// What the cuts should leave within that line, if the face is cut.
    pub surface: Option<Surface>,
    /// Clamps, by name.
    pub clamps: Vec<(String, Box3)>,
    /// Middles of the screws.
    pub screws: Vec<Point>,
    /// What the cutter must keep out of: clamps and screws.
    pub keepouts: Vec<(String, Box3)>,
    /// The cutters in order, each with what it may do.
    pub cutters: Vec<(Cutter, CuttingData)>,
    /// Height for travelling freely.
    pub travel_height: f64,
    /// The whole program's moves.
    pub toolpath: Toolpath,
    /// The tabs left standing.
    pub tabs: Vec<Tab>,
    /// What the setup sheet should say.
    pub remarks: Vec<String>,
    /// What the user should know before cutting.
    pub cautions: Vec<String>,
    /// Where a carving is weak, in work coordinates.
    pub weak: Vec<Fragile>,
    /// How each pocket is cleared.
    pub pockets: Vec<PocketFigures>,
    /// A moulding's section and its passes.
    pub section: Option<SectionCut>,
}

/// Plans every part of a job, one plan for each setup.
///
/// # Errors
/// [`Failure::Refused`] with every limit of the trade that is broken, each at its place in the
/// job file; [`Failure::Input`] for names that do not exist, files that can not be read, and a header
/// without a board.
pub fn plan(job: &Job, shop: &Shop) -> Result<Vec<PartPlan>, Failure> {
    plan_watched(job, shop, Watch::NOBODY)
}

/// As [`plan`], and tells how far it has come.
///
/// # Errors
/// As [`plan`].
pub fn plan_watched(job: &Job, shop: &Shop, watch: Watch<'_>) -> Result<Vec<PartPlan>, Failure> {
    plan_all(job, shop, (true, watch))
}

/// As [`plan`], but only for judging a text that was written before or elsewhere: board, cutters,
/// tabs and the wanted surface are the same, `toolpath` is empty, and the remarks on a carved
/// face's passes are left out. Planning those can take longer than the check itself.
///
/// # Errors
/// As [`plan`], but for a carved face's passes that would strike what is in the way: the text's
/// own are judged.
pub fn plan_to_judge(job: &Job, shop: &Shop) -> Result<Vec<PartPlan>, Failure> {
    plan_all(job, shop, (false, Watch::NOBODY))
}

/// Why a part can not be planned.
enum Stop {
    /// Limits of the trade.
    Limits(Vec<Diagnostic>),
    /// A file that it names is wrong.
    Input(Vec<Diagnostic>),
}

impl From<Vec<Diagnostic>> for Stop {
    fn from(all: Vec<Diagnostic>) -> Stop {
        Stop::Limits(all)
    }
}

/// Plans with or without the moves.
fn plan_all(job: &Job, shop: &Shop, how: (bool, Watch<'_>)) -> Result<Vec<PartPlan>, Failure> {
    if job.parts.is_empty() {
        let message = "there is nothing to cut: the header's cap has no stock";
        return Err(job
            .document
            .at("header.corona", message)
            .help(
                "give a [stock] table with the cap's board, and the cap's program is written; the \
                 header's other pieces are cut by the list that `ovolo layout` prints",
            )
            .into());
    }
    let materials = materials(job).map_err(|all| Failure::Input(job.document.locate(all)))?;
    let unknown: Vec<Diagnostic> = job
        .parts
        .iter()
        .filter_map(|part| {
            let key = format!("{}.outline.cutter", part.key);
            shop.cutter(part.outline.cutter?).err().map(|d| d.key(key))
        })
        .collect();
    if !unknown.is_empty() {
        return Err(Failure::Input(job.document.locate(unknown)));
    }
    let (mut plans, mut refused, mut wrong) = (Vec::new(), Vec::new(), Vec::new());
    for (part, material) in job.parts.iter().zip(&materials) {
        match plan_part(job, shop, material, part, how) {
            Ok(mut some) => plans.append(&mut some),
            Err(Stop::Limits(some)) => {
                refused.extend(some.into_iter().map(|d| unasked(job, part, d)));
            }
            Err(Stop::Input(some)) => wrong.extend(some),
        }
    }
    if !wrong.is_empty() {
        return Err(Failure::Input(job.document.locate(wrong)));
    }
    if refused.is_empty() { Ok(plans) } else { Err(Failure::Refused(job.document.locate(refused))) }
}

/// A header's moulding is milled because bending advises it: there is a way out.
fn unasked(job: &Job, part: &Part, d: Diagnostic) -> Diagnostic {
    let asked = ["header.cymatium.make", "header.cymatium.front"];
    if part.key != "header.cymatium.front" || asked.iter().any(|key| job.document.holds(key)) {
        return d;
    }
    let way = "say how to mill it in [header.cymatium.front], or `make = \"bend\"` or \"buy\" in \
               [header.cymatium]";
    let help = d.help.as_ref().map_or(way.to_string(), |help| format!("{help}; {way}"));
    d.help(help)
}

/// What each part is made of: the job's wood, or its own.
fn materials(job: &Job) -> Result<Vec<Material>, Vec<Diagnostic>> {
    let shared = Material::find(&job.file.species).map_err(|d| vec![d.key("species")])?;
    let (mut all, mut wrong) = (Vec::new(), Vec::new());
    for part in &job.parts {
        match &part.species {
            None => all.push(shared.clone()),
            Some(own) => match Material::find(own) {
                Ok(material) => all.push(material),
                Err(d) => wrong.push(d.key(format!("{}.species", part.key))),
            },
        }
    }
    if wrong.is_empty() { Ok(all) } else { Err(wrong) }
}

fn plan_part(
    job: &Job,
    shop: &Shop,
    material: &Material,
    part: &Part,
    how: (bool, Watch<'_>),
) -> Result<Vec<PartPlan>, Stop> {
    let bench = Bench::new(job, shop, material, part, how);
    let works = match &part.shape {
        Shape::Cap(cap) => board::plan(&bench, &cap.contour())?,
        Shape::Board(own) => board::plan(&bench, &own.contour())?,
        Shape::Moulding(moulding) => moulded::plan(&bench, moulding)?,
        Shape::Panel(panel) => carved::plan(&bench, panel)?,
        Shape::Template(own) => board::plan(&bench, &own.contour)?,
        Shape::Traced(own) => board::plan(&bench, &own.outline)?,
    };
    let struck: Vec<Diagnostic> = works
        .iter()
        .flat_map(|work| keepouts::struck(&bench, &work.operations))
        .chain(keepouts::outside_stock(&part.placing).into_iter().map(|d| bench.placed(d)))
        .collect();
    if !struck.is_empty() {
        return Err(struck.into());
    }
    let several = works.len() > 1;
    Ok(works.into_iter().map(|work| finished(&bench, work, several)).collect())
}

fn finished(bench: &Bench<'_>, work: Work, several: bool) -> PartPlan {
    let screws = bench.part.placing.hold.screws.iter();
    let mut cutters: Vec<(Cutter, CuttingData)> = Vec::new();
    for operation in &work.operations {
        if cutters.iter().all(|(c, _)| c.number != operation.cutter.number) {
            cutters.push((operation.cutter.clone(), operation.data.clone()));
        }
    }
    let (mut toolpath, mut remarks) = (Toolpath::default(), work.remarks);
    if bench.paths {
        toolpath = with_machine(bench.shop, work.operations);
        remarks.extend(ways::lower(bench, &cutters, &mut toolpath));
    }
    PartPlan {
        part: bench.part.clone(),
        setup: work.setup,
        picture: match several {
            true => format!("{}-{}", bench.part.name, work.setup),
            false => bench.part.name.clone(),
        },
        material: bench.material.clone(),
        stock: bench.stock,
        outline: work.outline,
        surface: work.surface,
        screws: screws.map(|s| keepouts::screw_at(s, bench.zero).xy()).collect(),
        clamps: bench.clamps.clone(),
        keepouts: bench.keepouts.clone(),
        cutters,
        travel_height: bench.travel_height,
        toolpath,
        tabs: work.tabs,
        remarks,
        cautions: work.cautions,
        weak: work.weak,
        pockets: work.pockets,
        section: work.section,
    }
}

/// For each cutter in turn: cutter in, spindle up, its cuts, spindle down.
fn with_machine(shop: &Shop, operations: Vec<Operation>) -> Toolpath {
    let mut all = Toolpath::default();
    let mut turning: Option<(u32, f64)> = None;
    for Operation { cutter, data, toolpath } in operations {
        if turning != Some((cutter.number, data.rpm.value)) {
            if turning.is_some() {
                all.push(Purpose::Machine, Move::SpindleStop);
            }
            if turning.is_none_or(|(number, _)| number != cutter.number) {
                all.push(Purpose::Machine, Move::CutterChange { cutter: cutter.number });
            }
            let direction = Direction::Clockwise;
            all.push(Purpose::Machine, Move::SpindleStart { direction, rpm: data.rpm.value });
            all.push(Purpose::Machine, Move::Dwell { seconds: shop.machine.spindle.spin_up });
            turning = Some((cutter.number, data.rpm.value));
        }
        all.steps.extend(toolpath.steps);
    }
    if turning.is_some() {
        all.push(Purpose::Machine, Move::SpindleStop);
    }
    all
}
