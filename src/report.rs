//! What a made job looks like to people and to programs: summary, report, picture, setup sheet.

mod bend;
mod cut_list;
mod drawings;
mod header;
mod order;
mod page;
mod part_figures;
mod sheet;
mod surface_map;

pub use bend::bend_json;
pub use drawings::{DrawnFile, drawing_files, drawings};
pub use header::{HeaderReport, header_report};
pub use order::order_of_work;
pub use part_figures::{part_json, part_table, part_text};
pub use sheet::setup_sheet;

use crate::cuts::PartPlan;
use crate::drawing::{self, PreviewInput, duration, extents_table};
use crate::dry_run::film::Scene;
use crate::dry_run::{Setup, Verdict, with_changes_by_hand};
use crate::geometry::{Box3, Contour, Point};
use crate::job::Job;
use crate::make::{MadePart, MadeProgram, Reading};
use crate::shop::{Cutter, Shop};
use crate::units::Shown;
use serde_json::{Value, json};
use sha2::{Digest, Sha256};

/// The picture of a part's programs, all on one sheet.
#[must_use]
pub fn picture(job: &Job, part: &MadePart) -> String {
    let names: Vec<&str> = part.programs.iter().map(|p| p.file_name.as_str()).collect();
    let text: String = part.programs.iter().map(|p| p.text.as_str()).collect();
    let read = Reading {
        events: part.programs.iter().flat_map(|p| p.read.events.clone()).collect(),
        seconds: part.programs.iter().flat_map(|p| p.read.seconds.clone()).collect(),
    };
    picture_of(job, &part.plan, &names.join(", "), &text, &read)
}

/// The picture of a program with the part it is for.
#[must_use]
pub fn picture_of(job: &Job, plan: &PartPlan, name: &str, text: &str, read: &Reading) -> String {
    let cutters: Vec<Cutter> = plan.cutters.iter().map(|(c, _)| c.clone()).collect();
    drawing::preview(&PreviewInput {
        title: &job.file.title,
        program_name: name,
        sha256: &sha256(text),
        events: &read.events,
        stock: Some(plan.stock),
        part: std::slice::from_ref(&plan.outline),
        clamps: &plan.clamps,
        screws: &plan.screws,
        cutters: &cutters,
        seconds: &read.seconds,
        shown: job.shown,
        grain: Some(0.0),
    })
}

/// The picture of a program of which only the text is known, and maybe the stock.
#[must_use]
pub fn picture_alone(
    name: &str,
    text: &str,
    read: &Reading,
    setup: &Setup<'_>,
    shown: Shown,
) -> String {
    let none: (&[Contour], &[(String, Box3)], &[Point]) = (&[], &[], &[]);
    drawing::preview(&PreviewInput {
        title: name,
        program_name: name,
        sha256: &sha256(text),
        events: &read.events,
        stock: setup.stock,
        part: none.0,
        clamps: none.1,
        screws: none.2,
        cutters: setup.cutters,
        seconds: &read.seconds,
        shown,
        grain: None,
    })
}

/// A page that shows a program at work, for a browser; `None` if it cuts nothing at a known
/// place. `setup` is what the dry run was told; `relief` a PNG of a carving.
#[must_use]
pub fn page(
    title: &str,
    name: &str,
    text: &str,
    read: &Reading,
    verdict: &Verdict,
    setup: &Setup<'_>,
    relief: Option<&[u8]>,
) -> Option<String> {
    let stepdowns: Vec<(u32, f64)> =
        setup.limits.iter().map(|d| (d.cutter, d.stepdown.value)).collect();
    let (events, seconds) = with_changes_by_hand(&read.events, &read.seconds, setup.machine);
    let film = Scene {
        events: &events,
        seconds: &seconds,
        stock: setup.stock,
        before: setup.before,
        below: setup.below,
        cutters: setup.cutters,
        stepdowns: &stepdowns,
        first: setup.default_cutter,
        frames: page::FRAMES,
    }
    .film()?;
    let clamps: Vec<(String, Box3)> =
        setup.clamps.iter().map(|k| (k.name.clone(), k.space)).collect();
    let input = page::PageInput {
        title,
        program: name,
        text,
        events: &events,
        seconds: &seconds,
        film: &film,
        verdict,
        cutters: setup.cutters,
        clamps: &clamps,
        table: &extents_table(&read.events, setup.cutters, &read.seconds, setup.shown),
        shown: setup.shown,
        relief,
    };
    Some(input.html())
}

/// The extents table of one program.
#[must_use]
pub fn extents(name: &str, read: &Reading, shop: &Shop, shown: Shown) -> String {
    format!("{name}\n{}", extents_table(&read.events, &shop.cutters, &read.seconds, shown))
}

/// Seconds of a program in all.
#[must_use]
pub fn total(read: &Reading) -> f64 {
    read.seconds.iter().sum()
}

/// A few lines for the terminal: what was made and how it fared.
#[must_use]
pub fn summary(job: &Job, parts: &[MadePart]) -> String {
    let mut text = format!("{}\n", job.file.title);
    // Boards of one part have most lines in common.
    let mut said: Vec<(&str, &str)> = Vec::new();
    for part in parts {
        for program in &part.programs {
            text.push_str(&format!(
                "  {}  {}, {}, sha256 {}\n",
                program.file_name,
                program.verdict.outcome.words(),
                duration(total(&program.read)),
                &program.verdict.sha256[..12]
            ));
            for finding in &program.verdict.findings {
                text.push_str(&format!("    line {}: {}\n", finding.line, finding.message));
            }
        }
        let notes = part.plan.cutters.iter().flat_map(|(_, data)| &data.notes);
        for line in part.plan.remarks.iter().chain(&part.plan.cautions).chain(notes) {
            if !said.contains(&(&part.plan.part.name, line)) {
                said.push((&part.plan.part.name, line));
                text.push_str(&format!("    {line}\n"));
            }
        }
    }
    text
}

/// The whole job for other programs: millimetres, radians, seconds, mm/min; `order` as
/// [`order_of_work`] gives it.
#[must_use]
pub fn report(job: &Job, parts: &[MadePart], order: &[String]) -> Value {
    json!({
        "title": job.file.title,
        "units": "mm, radians, seconds, mm/min",
        "species": job.file.species,
        "parts": parts.iter().map(part_report).collect::<Vec<_>>(),
        "order_of_work": order,
    })
}

fn part_report(part: &MadePart) -> Value {
    let plan = &part.plan;
    let mut all = part_json(&plan.part);
    let made = json!({
        "setup": plan.setup,
        "stock": plan.stock,
        "cutting": plan.cutters.iter().map(|(_, data)| data).collect::<Vec<_>>(),
        "tabs": plan.tabs.iter().map(|t| t.at).collect::<Vec<_>>(),
        "remarks": plan.remarks,
        "cautions": plan.cautions,
        "pockets": plan.pockets,
        "programs": part.programs.iter().map(program_report).collect::<Vec<_>>(),
    });
    if let (Some(all), Value::Object(made)) = (all.as_object_mut(), made) {
        all.extend(made);
    }
    all
}

fn program_report(program: &MadeProgram) -> Value {
    json!({
        "file": program.file_name,
        "sha256": program.verdict.sha256,
        "seconds": total(&program.read),
        "verdict": program.verdict,
    })
}

/// The refusals among a verdict's findings, in the order of the text.
pub fn refusals(verdict: &Verdict) -> impl Iterator<Item = &crate::dry_run::Finding> {
    verdict.findings.iter().filter(|f| f.severity == crate::dry_run::Severity::Refusal)
}

fn sha256(text: &str) -> String {
    Sha256::digest(text.as_bytes()).iter().map(|b| format!("{b:02x}")).collect()
}
