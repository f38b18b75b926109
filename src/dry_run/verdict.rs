//! What the dry run says in the end.

use super::interlock::Interlock;
use super::log::Log;
use super::progress::Progress;
use super::removal::CHORD_TOLERANCE;
use super::scene::Scene;
use super::surface::Surface;
use super::survey::Survey;
use crate::geometry::height_field::Limit;
use crate::geometry::{Box3, Point3};
use crate::ngc::{Source, each_line};
use schemars::JsonSchema;
use serde::Serialize;
use std::ops::ControlFlow;

/// How it ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Outcome {
    /// Nothing was found by what was checked.
    Passed,
    /// Nothing that refuses, something that the operator should know: cautions, or that no stock
    /// was given.
    PassedWithCautions,
    /// Not to be run.
    Refused,
}

impl Outcome {
    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Outcome::Passed => "passed",
            Outcome::PassedWithCautions => "passed with cautions",
            Outcome::Refused => "refused",
        }
    }
}

/// How grave a finding is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Severity {
    /// The operator should know.
    Caution,
    /// The program is refused.
    Refusal,
}

/// One thing found, or several of one kind in a row.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub struct Finding {
    /// Which interlock.
    pub interlock: Interlock,
    /// Refusal or caution.
    pub severity: Severity,
    /// Line of the text, from 1; the first of them.
    pub line: usize,
    /// That line of the program.
    pub text: String,
    /// Where, in work coordinates, mm, if it has a place.
    #[schemars(with = "Option<Place>")]
    pub at: Option<Point3>,
    /// What is wrong, with the value and what is allowed.
    pub message: String,
    /// A way out.
    pub help: String,
    /// How many more lines in a row have the same fault.
    pub more: usize,
    /// The last of them.
    pub last_line: usize,
}

/// A point in work coordinates, mm, as the JSON has it.
#[derive(JsonSchema)]
#[allow(dead_code, reason = "only its schema is used: it describes a point of the geometry")]
struct Place {
    x: f64,
    y: f64,
    z: f64,
}

/// How one interlock fared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Standing {
    /// Checked, and nothing found.
    Held,
    /// Cautions only.
    Cautions,
    /// Broken: the program is refused.
    Broken,
    /// Not checked; `why` says what was missing.
    NotJudged,
}

/// One interlock's line in the verdict.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub struct InterlockResult {
    /// `I01`.
    pub code: String,
    /// Its name.
    pub interlock: Interlock,
    /// How it fared.
    pub standing: Standing,
    /// What could not be judged, and why; present too where only a part was not.
    pub why: Option<String>,
    /// Times it was broken.
    pub refusals: usize,
    /// Times it was a caution.
    pub cautions: usize,
}

/// From where to where, x, y, z, mm in work coordinates.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub struct Span {
    /// Least x, y, z.
    pub from: [f64; 3],
    /// Greatest x, y, z.
    pub to: [f64; 3],
}

impl Span {
    /// Of a box; `None` if it is empty.
    #[must_use]
    pub fn of(space: &Box3) -> Option<Span> {
        let finite = |p: Point3| p.x.is_finite() && p.y.is_finite() && p.z.is_finite();
        (!space.is_empty() && finite(space.min) && finite(space.max)).then_some(Span {
            from: [space.min.x, space.min.y, space.min.z],
            to: [space.max.x, space.max.y, space.max.z],
        })
    }
}

/// Where the control point goes.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub struct Extents {
    /// All motion whose place is known.
    pub travelling: Option<Span>,
    /// Cutting feeds only.
    pub cutting: Option<Span>,
    /// Cutting feeds by cutter, in order of first use.
    pub cutters: Vec<CutterExtents>,
}

/// Where one cutter cuts.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub struct CutterExtents {
    /// Its number; `None` if no word and no setup says.
    pub cutter: Option<u32>,
    /// Its cutting feeds.
    pub cutting: Option<Span>,
}

/// The cells in which the stock was cut.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub struct Cells {
    /// Width of a cell, mm.
    pub width: f64,
    /// What set it: `cutter` or `memory`.
    pub set_by: Limit,
    /// Memory for the heights, bytes.
    pub bytes: f64,
    /// A wall is placed, and a narrow piece of wood seen, within this, mm.
    pub true_in_plan: f64,
    /// A height at a cell's middle is true within this, mm.
    pub true_in_height: f64,
}

/// What the dry run says: what was checked and what was found, never that a program is safe.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub struct Verdict {
    /// How it ended.
    pub outcome: Outcome,
    /// By line, refusals before cautions.
    pub findings: Vec<Finding>,
    /// Findings beyond those listed.
    pub unlisted: usize,
    /// Every interlock, by number.
    pub interlocks: Vec<InterlockResult>,
    /// Of the text's bytes, in lower-case hexadecimal.
    pub sha256: String,
    /// Lines of the text.
    pub lines: usize,
    /// Where it goes.
    pub extents: Extents,
    /// The cells in which the stock was cut, and how true they are; `None` without a stock.
    pub cells: Option<Cells>,
    /// What is left against what was wanted; `None` if nobody said what was.
    pub surface: Option<Surface>,
    /// What the figures rest on: assumed top, size of the grid, limits that were missing.
    pub notes: Vec<String>,
}

impl Verdict {
    /// Whether the program must not be run.
    #[must_use]
    pub fn refused(&self) -> bool {
        self.outcome == Outcome::Refused
    }

    /// Takes in what was found with the lines that begin with `/` left out, as far as it is new.
    #[must_use]
    pub(super) fn and_skipping(mut self, other: Verdict) -> Verdict {
        for (result, other) in self.interlocks.iter_mut().zip(other.interlocks) {
            if result.why.is_none() && other.why.is_some() {
                result.why = other.why;
                result.standing = standing(result.refusals, result.cautions, true);
            }
        }
        let key = |f: &Finding| (f.interlock, f.severity, f.line);
        for mut finding in other.findings {
            if self.findings.iter().any(|known| key(known) == key(&finding)) {
                continue;
            }
            let result = &mut self.interlocks[finding.interlock as usize];
            match finding.severity {
                Severity::Refusal => result.refusals += 1 + finding.more,
                Severity::Caution => result.cautions += 1 + finding.more,
            }
            result.standing = standing(result.refusals, result.cautions, result.why.is_some());
            finding.message = format!("with / lines skipped: {}", finding.message);
            self.findings.push(finding);
        }
        sort(&mut self.findings);
        self.outcome = outcome(&self.interlocks);
        self.unlisted += other.unlisted;
        self.notes.push("judged with the lines that begin with / run, and skipped".to_string());
        self
    }
}

/// Puts the verdict together.
pub(super) fn conclude(
    survey: Survey,
    scene: &Scene,
    progress: &Progress,
    surface: Option<Surface>,
    log: Log,
) -> Verdict {
    let interlocks = results(&log);
    let mut outcome = outcome(&interlocks);
    let extents = progress.extents();
    // Half of the interlocks see nothing without the wood: that is no plain "passed".
    if scene.setup.stock.is_none() && extents.cutting.is_some() {
        outcome = outcome.max(Outcome::PassedWithCautions);
    }
    let mut findings = log.findings;
    sort(&mut findings);
    Verdict {
        outcome,
        findings,
        unlisted: log.unlisted,
        interlocks,
        sha256: survey.sha256,
        lines: survey.lines,
        extents,
        cells: scene.grid.as_ref().map(|grid| Cells {
            width: grid.cell,
            set_by: grid.limit,
            bytes: grid.bytes,
            true_in_plan: grid.plan_bound(),
            true_in_height: CHORD_TOLERANCE,
        }),
        surface,
        notes: scene.notes.clone(),
    }
}

fn outcome(interlocks: &[InterlockResult]) -> Outcome {
    match () {
        () if interlocks.iter().any(|r| r.refusals > 0) => Outcome::Refused,
        () if interlocks.iter().any(|r| r.cautions > 0) => Outcome::PassedWithCautions,
        () => Outcome::Passed,
    }
}

fn standing(refusals: usize, cautions: usize, blind: bool) -> Standing {
    match (refusals, cautions, blind) {
        (1.., _, _) => Standing::Broken,
        (0, 1.., _) => Standing::Cautions,
        (0, 0, true) => Standing::NotJudged,
        (0, 0, false) => Standing::Held,
    }
}

/// By line, refusals first.
fn sort(findings: &mut [Finding]) {
    findings
        .sort_by(|a, b| (a.line, b.severity, a.interlock).cmp(&(b.line, a.severity, b.interlock)));
}

fn results(log: &Log) -> Vec<InterlockResult> {
    let one = |interlock: Interlock| {
        let [cautions, refusals] = log.counts[interlock as usize];
        let why: Vec<&str> = log
            .not_judged
            .iter()
            .filter(|(i, _)| *i == interlock)
            .map(|(_, why)| why.as_str())
            .collect();
        let standing = standing(refusals, cautions, !why.is_empty());
        let why = (!why.is_empty()).then(|| why.join("; "));
        InterlockResult { code: interlock.code(), interlock, standing, why, refusals, cautions }
    };
    Interlock::ALL.iter().map(|page| one(page.interlock)).collect()
}

/// Longest piece of a program line that is shown.
const LONGEST_LINE: usize = 120;

/// Fills in the text of each finding's line. Findings are sorted by line.
///
/// # Errors
/// If the text can not be read.
pub(super) fn quote<S: Source + ?Sized>(
    source: &S,
    findings: &mut [Finding],
) -> Result<(), S::Error> {
    let mut waiting = findings.iter_mut().peekable();
    let mut number = 0;
    each_line(source, |line| {
        number += 1;
        while let Some(finding) = waiting.next_if(|finding| finding.line <= number) {
            if finding.line == number {
                let text = String::from_utf8_lossy(line);
                finding.text = text.trim().chars().take(LONGEST_LINE).collect();
            }
        }
        match waiting.peek() {
            Some(_) => ControlFlow::Continue(()),
            None => ControlFlow::Break(()),
        }
    })
}
