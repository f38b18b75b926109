//! Which way round a curve to take, why, and what a table of numbers cannot know.

use super::{
    Board, KerfPlan, Lamination, SolidPlan, Wood, from_solid, kerfs, laminate, least_radius,
    strain, thickest_for,
};
use crate::diagnostic::Diagnostic;
use crate::layout::say::{about, at_least, at_most};

/// Grain may leave a milled curve by this angle at a segment's ends before it looks and breaks
/// badly (common practice): 15 degrees.
pub const MOST_RUN_OUT: f64 = 15.0 * std::f64::consts::PI / 180.0;

/// Uncut wood over kerfs where nothing is said: an eighth of an inch (Building Construction,
/// vol. 2, "Bending Wood", art. 85: an eighth to a quarter).
const USUAL_SKIN: f64 = 3.175;

/// How the moulding will be finished.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Finish {
    /// Painted.
    Paint,
    /// Clear, oiled or stained: joints and glue lines show.
    Clear,
}

/// A moulding to go round a curve. Millimetres and radians.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct BendJob {
    /// Thickness, which is the moulding's projection.
    pub thickness: f64,
    /// Height of the moulding, across the bend.
    pub height: f64,
    /// Radius of its back: the cap's front.
    pub radius: f64,
    /// Angle of the curve.
    pub sweep: f64,
    /// The wood's numbers.
    pub wood: Wood,
    /// Share of the breaking strain that may be used; [`super::USUAL_SHARE`] is common.
    pub share: f64,
    /// Width of the saw's cut.
    pub saw_kerf: f64,
    /// Uncut wood over kerfs; an eighth of an inch when not given.
    pub skin: Option<f64>,
    /// The best board on hand to mill the curve from.
    pub board: Option<Board>,
    /// How it is finished.
    pub finish: Finish,
    /// Whether the wood is a hardwood.
    pub hardwood: bool,
}

/// The one way that is advised.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Advice {
    /// Bend it as it is.
    BendDry,
    /// Mill it from boards.
    FromSolid(SolidPlan),
    /// Glue it up of plies over a form.
    Laminate(Lamination),
    /// Kerf its back.
    Kerf(KerfPlan),
    /// None of these: choose a flatter curve or a wider board.
    Flatter,
}

/// What is known about a bend.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct BendReport {
    /// Strain of the outer fibre, bent whole.
    pub strain: f64,
    /// That strain as a share of the breaking strain: 1 breaks, by the printed means.
    pub of_breaking: f64,
    /// The thickest that bends dry on this radius: what to plane to.
    pub thickest: f64,
    /// The least radius of the back that this thickness bends to.
    pub least_radius: f64,
    /// Kerfs, or why not.
    pub kerfs: Result<KerfPlan, Diagnostic>,
    /// Plies, or why not.
    pub lamination: Result<Lamination, Diagnostic>,
    /// Segments from the board, or why not; `None` without a board.
    pub solid: Option<Result<SolidPlan, Diagnostic>>,
    /// The way that is advised.
    pub advice: Advice,
    /// Why.
    pub reasons: Vec<String>,
    /// What the numbers cannot know.
    pub unknown: Vec<String>,
    /// Notes on the other ways.
    pub notes: Vec<String>,
}

/// Weighs all ways round the curve.
///
/// # Errors
/// If the moulding, the wood or the share is not what it can be. A way that does not go is no
/// error: it stands in the report with its reason.
pub fn assess(job: &BendJob) -> Result<BendReport, Diagnostic> {
    let thickest = thickest_for(&job.wood, job.share, job.radius)?;
    let least_radius = least_radius(&job.wood, job.share, job.thickness)?;
    super::length("bend.height", job.height)?;
    super::kerf::check_sweep(job.sweep)?;
    let skin = job.skin.unwrap_or(USUAL_SKIN);
    let strain = strain(job.thickness, job.radius);
    let mut report = BendReport {
        strain,
        of_breaking: strain / job.wood.breaking_strain(),
        thickest,
        least_radius,
        kerfs: kerfs(job.thickness, job.radius, job.sweep, skin, job.saw_kerf)
            .and_then(|plan| skin_bends(job, plan)),
        lamination: laminate(job.thickness, job.radius, &job.wood, job.share),
        solid: job
            .board
            .map(|board| from_solid(job.thickness, job.height, job.radius, job.sweep, &board)),
        advice: Advice::Flatter,
        reasons: Vec::new(),
        unknown: unknown(),
        notes: Vec::new(),
    };
    choose(job, &mut report);
    report.notes = notes(job, &report);
    Ok(report)
}

/// Refuses kerfs whose skin is too thick to bend.
fn skin_bends(job: &BendJob, plan: KerfPlan) -> Result<KerfPlan, Diagnostic> {
    if plan.skin_strain <= job.share * job.wood.breaking_strain() {
        return Ok(plan);
    }
    let most = thickest_for(&job.wood, job.share, job.radius + plan.depth)?;
    Err(Diagnostic::error(format!("a skin of {} would itself break", about(plan.skin)))
        .key("bend.skin")
        .help(format!("at most {}", at_most(most))))
}

fn choose(job: &BendJob, report: &mut BendReport) {
    let dry = format!(
        "bent whole, the outer fibre is strained to {:.0} % of breaking; {:.0} % is allowed",
        report.of_breaking * 100.0,
        job.share * 100.0
    );
    report.reasons.push(dry);
    if job.thickness <= report.thickest {
        report.advice = Advice::BendDry;
        return;
    }
    report.reasons.push(format!(
        "whole it would have to be planed to {}, or the radius be at least {}",
        at_most(report.thickest),
        at_least(report.least_radius)
    ));
    let solid = match &report.solid {
        Some(Ok(plan)) => Some(*plan),
        _ => None,
    };
    let lamination = report.lamination.as_ref().ok().copied();
    match (solid, lamination) {
        (Some(plan), _) if plan.run_out <= MOST_RUN_OUT => {
            report.reasons.push(format!(
                "milled from the board on hand it needs no form and springs nowhere: {}, grain \
                 leaving the curve by {:.1}° at the ends",
                counted(plan.segments, "segment"),
                plan.run_out.to_degrees()
            ));
            report.advice = Advice::FromSolid(plan);
        }
        (_, Some(plan)) => {
            report.reasons.push(format!(
                "{} of {} bend dry over a form of radius {}",
                counted(plan.plies, "ply"),
                about(plan.ply),
                about(plan.form_radius)
            ));
            report.advice = Advice::Laminate(plan);
        }
        (Some(plan), None) => {
            report.reasons.push(format!(
                "plies do not bend so far; from the solid the grain leaves the curve by {:.1}° at \
                 the ends, which is much",
                plan.run_out.to_degrees()
            ));
            report.advice = Advice::FromSolid(plan);
        }
        (None, None) => kerf_or_flatter(job, report),
    }
}

fn kerf_or_flatter(job: &BendJob, report: &mut BendReport) {
    match &report.kerfs {
        Ok(plan) if job.finish == Finish::Paint && !job.hardwood => {
            report.reasons.push(format!(
                "neither plies nor a board fit; {} in a painted softwood are left",
                counted(plan.count, "kerf")
            ));
            report.advice = Advice::Kerf(*plan);
        }
        _ => report.reasons.push(
            "neither plies nor a board fit, and kerfs would show: choose a flatter curve or a wider \
             board"
                .to_string(),
        ),
    }
}

fn counted(count: usize, word: &str) -> String {
    match (count, word) {
        (1, _) => format!("1 {word}"),
        (_, "ply") => format!("{count} plies"),
        _ => format!("{count} {word}s"),
    }
}

fn unknown() -> Vec<String> {
    [
        "moisture: the printed means hold at 12 %; drier wood is stiffer and breaks sooner",
        "grain: run-out across the bend breaks first, whatever the mean says",
        "knots, pith and checks: none is in the means",
        "so test a scrap of the same board on the same radius before the moulding",
    ]
    .map(String::from)
    .to_vec()
}

fn notes(job: &BendJob, report: &BendReport) -> Vec<String> {
    let mut notes = Vec::new();
    let ratio = (job.radius + job.thickness / 2.0) / job.thickness;
    let mut steam = format!("steamed: radius over thickness is {ratio:.1} here; ");
    // C. Whinney, Wood and Steam.
    steam.push_str(if ratio < 2.0 {
        "below 2 not even straight-grained ash, oak, elm or yew goes round"
    } else if ratio < 5.0 {
        "below 5 only straight-grained ash, oak, elm or yew with good gear and a strap"
    } else if ratio < 10.0 {
        "below 10 a steel strap is wanted"
    } else {
        "above 10 no strap is wanted"
    });
    notes.push(steam);
    notes.push(
        "steam scalds: vent the box, open it from the side, wear gloves; steamed wood moves for days"
            .to_string(),
    );
    if let Ok(plan) = &report.lamination {
        notes.push(format!(
            "plies: glue of {} on a form of {} springs back to {} by beam theory; real glue and \
             creep differ",
            counted(plan.plies, "ply"),
            about(plan.form_radius),
            about(plan.radius)
        ));
        if job.finish == Finish::Clear {
            notes.push("plies: glue lines show on a moulded face under a clear finish".to_string());
        }
    }
    if let Ok(plan) = &report.kerfs {
        notes.push(format!(
            "kerfs: {} just close; the flats between them stand {} off the curve and can show, \
             through paint too. More kerfs stay open and run smoother; the joint is weak",
            plan.count,
            about(plan.facet)
        ));
        if job.hardwood {
            notes.push("kerfs: not advised in hardwood mouldings".to_string());
        }
    }
    notes
}
