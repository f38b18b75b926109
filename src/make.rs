//! From a job to programs that have been read back and tried.

mod board;

pub use board::Board;

use crate::cuts::{self, PartPlan};
use crate::diagnostic::Failure;
use crate::dry_run::{
    self, Keepout, LengthOffsets, Outcome, PartKeep, Setup, TabKeep, Verdict, Wanted,
};
use crate::geometry::HeightField;
use crate::job::{Job, Side, ZeroCorner, ZeroHeight};
use crate::ngc::{self, Event, What};
use crate::post::{self, Dialect, Heading};
use crate::shop::{CuttingData, Overrides, Shop};
use crate::toolpath::{self, Limits, Move};
use crate::units::Shown;
use crate::watch::Watch;

/// A part with its programs.
#[derive(Debug)]
pub struct MadePart {
    /// What was planned.
    pub plan: PartPlan,
    /// What was written, in the order to run it.
    pub programs: Vec<MadeProgram>,
    /// What they leave of the stock, from their text, where a surface is wanted.
    pub left: Option<HeightField>,
}

/// A program and what reading it back found.
#[derive(Debug)]
pub struct MadeProgram {
    /// Its file's name.
    pub file_name: String,
    /// The cutter, where each cutter has its own program.
    pub cutter: Option<u32>,
    /// The text.
    pub text: String,
    /// What the text does.
    pub read: Reading,
    /// What the dry run says of the text.
    pub verdict: Verdict,
}

/// What a program's text does, and how long it takes.
#[derive(Debug)]
pub struct Reading {
    /// In order.
    pub events: Vec<Event>,
    /// Seconds that each event takes, waits for the operator apart.
    pub seconds: Vec<f64>,
}

impl MadePart {
    /// Whether the dry run refused any of its programs.
    #[must_use]
    pub fn refused(&self) -> bool {
        self.programs.iter().any(|p| p.verdict.outcome == Outcome::Refused)
    }
}

/// Makes every program of a job and dry-runs each from its text.
///
/// # Errors
/// [`Failure`] for wrong input and for what the trade refuses. A program that the dry run
/// refuses is not an error here: its verdict says so.
pub fn make(job: &Job, shop: &Shop, dialect: &Dialect) -> Result<Vec<MadePart>, Failure> {
    make_watched(job, shop, dialect, Watch::NOBODY)
}

/// As [`make`], and tells how far it has come.
///
/// # Errors
/// As [`make`].
pub fn make_watched(
    job: &Job,
    shop: &Shop,
    dialect: &Dialect,
    watch: Watch<'_>,
) -> Result<Vec<MadePart>, Failure> {
    let mut board = Board::default();
    cuts::plan_watched(job, shop, watch)?
        .into_iter()
        .map(|plan| make_part(job, shop, dialect, (plan, &mut board), watch))
        .collect()
}

fn make_part(
    job: &Job,
    shop: &Shop,
    dialect: &Dialect,
    (plan, board): (PartPlan, &mut Board),
    watch: Watch<'_>,
) -> Result<MadePart, Failure> {
    board.lay(&plan);
    let heading = heading(job, shop, &plan);
    let written = post::write(&plan.toolpath, dialect, &heading)?;
    let count = written.len();
    let several = count > 1;
    let programs = written
        .into_iter()
        .enumerate()
        .map(|(i, program)| {
            // Where the operator changes cutters at a stop, no word of the text names the first.
            let first = plan.cutters.first().map(|(c, _)| c.number);
            let only = program.cutter.or(first);
            let mut setup = board.in_setup(setup_in(dialect, setup(shop, &plan, only, job.shown)));
            setup.watch = watch;
            if let Some(wanted) = &mut setup.wanted {
                wanted.finished = i + 1 == count;
            }
            let trial = dry_run::try_out(&program.text, &setup);
            board.cut(trial.left);
            // Numbered in the order to run them: a cutter may be wanted more than once.
            let order = if several { format!("-{}", i + 1) } else { String::new() };
            let cutter = program.cutter.map(|c| format!("-cutter-{c}")).unwrap_or_default();
            MadeProgram {
                file_name: format!(
                    "{}-{}{order}{cutter}.{}",
                    plan.part.name, plan.setup, program.extension
                ),
                cutter: program.cutter,
                read: read(&program.text, shop),
                verdict: trial.verdict,
                text: program.text,
            }
        })
        .collect();
    let left = board.left().filter(|_| plan.surface.is_some()).cloned();
    Ok(MadePart { plan, programs, left })
}

/// Reads a program's text and times it on the shop's machine.
#[must_use]
pub fn read(text: &str, shop: &Shop) -> Reading {
    let (events, _) = ngc::interpret_all(text, &ngc::Options::default());
    let seconds = seconds(&events, shop);
    Reading { events, seconds }
}

/// Seconds that each event takes.
fn seconds(events: &[Event], shop: &Shop) -> Vec<f64> {
    let moves: Vec<Move> = events.iter().map(neutral).collect();
    let start = events.iter().find_map(|e| match e.what {
        What::Motion(m) => Some(m.stroke.from),
        _ => None,
    });
    toolpath::times(start.unwrap_or_default(), &moves, &Limits::from(&shop.machine))
}

/// The neutral move of an event; what is none of them takes no time.
fn neutral(event: &Event) -> Move {
    match event.what {
        What::Motion(motion) => motion.neutral(),
        What::Dwell { seconds } => Move::Dwell { seconds },
        What::SpindleStart { direction, rpm } => Move::SpindleStart { direction, rpm },
        What::CutterChange { cutter } => Move::CutterChange { cutter },
        _ => Move::SpindleStop,
    }
}

/// What the dry run is told of the setup: nothing that comes from the program itself.
#[must_use]
pub fn setup<'a>(
    shop: &'a Shop,
    plan: &'a PartPlan,
    only_cutter: Option<u32>,
    shown: Shown,
) -> Setup<'a> {
    Setup {
        stock: Some(plan.stock),
        clamps: plan
            .keepouts
            .iter()
            .map(|(name, space)| Keepout { name: name.clone(), space: *space })
            .collect(),
        held_below: plan.part.placing.hold.bed.is_some(),
        limits: limits(shop, plan),
        default_cutter: only_cutter,
        part: (plan.part.outline.side == Side::Outside && plan.surface.is_none())
            .then(|| PartKeep { outline: plan.outline.clone(), clearance: CLEARANCE }),
        tabs: tabs(plan),
        wanted: plan.surface.as_ref().map(|surface| Wanted {
            heights: surface.heights(),
            tolerance: CLEARANCE,
            finished: true,
            leftover: LEFTOVER,
        }),
        also: plan.cutters.iter().map(|(cutter, _)| cutter.number).collect(),
        rupture: Some(plan.material.mor),
        shown,
        ..Setup::new(&shop.machine, &shop.cutters)
    }
}

/// The setup as a dialect changes it: cutter lengths, and chords for arcs.
#[must_use]
pub fn setup_in<'a>(dialect: &Dialect, mut setup: Setup<'a>) -> Setup<'a> {
    if dialect.length_offset {
        setup.length_offsets = LengthOffsets::ByCutter;
    }
    if let Some(part) = &mut setup.part {
        // Chords may leave their arc by what the user allows them.
        part.clearance = part.clearance.max(2.0 * dialect.reads_back_within());
    }
    if let Some(wanted) = &mut setup.wanted {
        wanted.tolerance = wanted.tolerance.max(2.0 * dialect.reads_back_within());
    }
    setup
}

/// How far into the part a cut may go before it is a fault, mm: what sanding takes off.
const CLEARANCE: f64 = 0.05;

/// Wood left over higher than this is worth a word, mm: what takes more than sanding.
const LEFTOVER: f64 = 0.5;

/// The tabs that must be left standing.
fn tabs(plan: &PartPlan) -> Vec<TabKeep> {
    let Some(wanted) = plan.part.placing.hold.tabs else { return Vec::new() };
    let top = plan.stock.min.z + wanted.height.0;
    let half_width = wanted.width.0 / 2.0;
    plan.tabs.iter().map(|tab| TabKeep { at: tab.at, out: tab.out, top, half_width }).collect()
}

/// What every cutter of the shop may do in this wood: the text may name another than planned.
fn limits(shop: &Shop, plan: &PartPlan) -> Vec<CuttingData> {
    let planned = plan.cutters.iter().map(|(_, data)| data.clone());
    let others = shop
        .cutters
        .iter()
        .filter(|c| plan.cutters.iter().all(|(own, _)| own.number != c.number))
        // An override of the job that another cutter can not follow is no limit for it.
        .filter_map(|c| {
            let own = shop.cutting_data(&plan.material, c, &plan.part.feeds);
            own.or_else(|_| shop.cutting_data(&plan.material, c, &Overrides::default())).ok()
        });
    planned.chain(others).collect()
}

/// The remarks at the head of a program.
fn heading(job: &Job, shop: &Shop, plan: &PartPlan) -> Heading {
    let shown = job.shown;
    let stock = plan.part.placing.stock;
    let mut lines = vec![
        format!("part {}", plan.part.name),
        format!(
            "stock {} x {} x {}, {}, grain along X",
            shown.one(stock.length.0),
            shown.one(stock.width.0),
            shown.one(stock.thickness.0),
            plan.material.name
        ),
        format!("work zero G54: {}", zero_words(plan)),
    ];
    lines.extend(plan.cutters.iter().map(|(cutter, _)| cutter.title()));
    Heading {
        title: job.file.title.clone(),
        lines,
        work_offset: 54,
        cutters: plan.cutters.iter().map(|(c, _)| (c.number, c.name.clone())).collect(),
        dial: shop.machine.spindle.dial.clone(),
    }
}

/// Where the operator touches off, in words.
#[must_use]
pub fn zero_words(plan: &PartPlan) -> String {
    let zero = plan.part.placing.zero;
    let corner = match zero.corner {
        ZeroCorner::FrontLeft => "front left corner of the stock",
        ZeroCorner::FrontRight => "front right corner of the stock",
        ZeroCorner::BackLeft => "back left corner of the stock",
        ZeroCorner::BackRight => "back right corner of the stock",
        ZeroCorner::Middle => "middle of the stock",
    };
    let height = match zero.height {
        ZeroHeight::Top => "its top",
        ZeroHeight::Table => "the table under it",
    };
    format!("X and Y at the {corner}, Z at {height}")
}
