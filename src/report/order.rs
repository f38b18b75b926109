//! The order of work of a whole set: which board, which program, what is done by hand between.

mod assembly;
mod bowed;
mod sawn;

use super::header::SOLID;
use super::{HeaderReport, total};
use crate::drawing::duration;
use crate::job::{Header, Job, Shape};
use crate::layout::cut_list::{CutPiece, Part as Piece};
use crate::make::MadePart;
use crate::part::features::FlipAxis;
use crate::units::Shown;

/// The steps in their order, for one numbered list; none for a job of a single setup, whose sheet
/// says everything already.
#[must_use]
pub fn order_of_work(
    job: &Job,
    parts: &[MadePart],
    header: Option<&HeaderReport<'_>>,
) -> Vec<String> {
    let shown = job.shown;
    if parts.len() < 2 && header.is_none() {
        return Vec::new();
    }
    let mut steps: Vec<String> = header.iter().map(|h| measured(h, shown)).collect();
    for (i, part) in parts.iter().enumerate() {
        let before = parts[..i].last().filter(|last| last.plan.part.name == part.plan.part.name);
        let mut step = milled(part, before, shown);
        if is_solid(job, &part.plan.part.key) {
            step.push_str(&format!(" The moulding: {SOLID}."));
        }
        steps.push(step);
    }
    if let Some(header) = header {
        steps.extend(boards_by_hand(job, header, shown));
        steps.extend(sawn::steps(header, shown));
        steps.extend(bowed::step(job, header, shown));
        steps.extend(assembly::steps(header, shown));
    }
    steps
}

/// Before any wood is cut.
fn measured(header: &HeaderReport<'_>, shown: Shown) -> String {
    format!(
        "Measure over the casings once more: everything here is for {}. Print the full-size \
         drawings that `ovolo layout` writes and check their bars with a rule.",
        shown.both(header.layout().header.cased_width)
    )
}

/// One board on the table; `before` is the same part as it was cut just before.
fn milled(part: &MadePart, before: Option<&MadePart>, shown: Shown) -> String {
    let plan = &part.plan;
    let stock = plan.part.placing.stock;
    let files: Vec<&str> = part.programs.iter().map(|p| p.file_name.as_str()).collect();
    let seconds: f64 = part.programs.iter().map(|p| total(&p.read)).sum();
    let runs = match files.as_slice() {
        [one] => format!("Run {one}"),
        all => format!("Run {}, in this order", all.join(", then ")),
    };
    let other_face = before.filter(|last| is_other_face(last.plan.setup, plan.setup));
    let board = match (&plan.part.features.flip, other_face) {
        (Some(flip), Some(_)) => {
            let line = match flip.axis {
                FlipAxis::X => "along X",
                FlipAxis::Y => "along Y",
            };
            let onto = if flip.pins.is_empty() { "" } else { ", onto the pins" };
            format!("{}: turn the board over about its middle line {line}{onto}. ", plan.part.name)
        }
        _ => format!(
            "{}{}: fix a board {} long, {} wide and {} thick, {}, grain along X{}. ",
            plan.part.name,
            plan.setup.strip_prefix("board-").map(|n| format!(", board {n}")).unwrap_or_default(),
            shown.one(stock.length.0),
            shown.one(stock.width.0),
            shown.one(stock.thickness.0),
            plan.material.name,
            if plan.setup == "bottom" { ", bottom up" } else { "" }
        ),
    };
    format!("{board}{runs} ({}).{}", duration(seconds), after(part))
}

/// Whether two setups of a part are the two faces of one board.
fn is_other_face(one: &str, other: &str) -> bool {
    matches!((one, other), ("bottom", "top") | ("top", "bottom"))
}

/// Whether a part of that key is a moulding that was drawn sprung.
fn is_solid(job: &Job, key: &str) -> bool {
    let spring = |header: &Header| match key {
        key if key.starts_with("header.cymatium.") => header.cap_spring,
        key if key.starts_with("header.bed-mold.") => header.bed_spring,
        _ => None,
    };
    job.header.as_ref().and_then(spring).is_some()
}

/// What is done to a part when it comes off the table.
fn after(part: &MadePart) -> String {
    let plan = &part.plan;
    let mut words = String::new();
    if !plan.tabs.is_empty() {
        words.push_str(" Saw through the tabs and pare them flush.");
    }
    match &plan.part.shape {
        Shape::Moulding(_) => words.push_str(" Sand the ridges out along the moulding."),
        Shape::Template(template) => words.push_str(&format!(
            " A pattern: fix it on the roughly sawn part and run the router along it, guide bush \
             {:.2} mm, bit {:.2} mm, against the cutter's turn.",
            template.guide.bush, template.guide.bit
        )),
        _ => {}
    }
    words
}

/// Boards of the header that the table does not cut.
fn boards_by_hand(job: &Job, header: &HeaderReport<'_>, shown: Shown) -> Vec<String> {
    let on_table = |key: &str| job.parts.iter().any(|part| part.key == key);
    let by_hand = |piece: &&CutPiece| match piece.part {
        Piece::FriezeBack => !on_table("header.frieze"),
        Piece::PanelBlank => !on_table("header.panel"),
        Piece::CapBlank => !on_table("header.corona"),
        Piece::Molding(_) => false,
    };
    let own = header.list().pieces.iter().filter(by_hand);
    own.map(|piece| {
        let bow = match piece.part {
            Piece::CapBlank => " Scribe its front from the full-size template and saw it.",
            _ => "",
        };
        format!(
            "{}: saw it to {} by {}, {} thick, grain along its length.{bow}",
            piece.name,
            shown.one(piece.long_point),
            shown.one(piece.width),
            shown.one(piece.thickness)
        )
    })
    .collect()
}
