//! The setup sheet of a job.

use super::{part_table, picture, surface_map, total};
use crate::cuts::PartPlan;
use crate::drawing::{
    CutterRow, ProgramRow, SectionPass, SectionPicture, SetupSheet, Touch, duration, extents_table,
    section_picture,
};
use crate::dry_run::{Interlock, Outcome, Standing};
use crate::job::{Bed, Job, Shape};
use crate::make::{MadePart, MadeProgram, zero_words};
use crate::shop::{Cutter, CutterChange, CuttingData, Shop};
use crate::units::{Shown, bound, feed};

/// The page, self-contained HTML; `order` as [`super::order_of_work`] gives it.
#[must_use]
pub fn setup_sheet(job: &Job, shop: &Shop, parts: &[MadePart], order: &[String]) -> String {
    let shown = job.shown;
    let programs: Vec<&MadeProgram> = parts.iter().flat_map(|p| &p.programs).collect();
    let worst = programs.iter().map(|p| p.verdict.outcome).max().unwrap_or(Outcome::Passed);
    let one = parts.len() == 1;
    // With several parts each line says which it is for.
    let named = |part: &MadePart, line: String| match one {
        true => line,
        false => format!("{}: {line}", part.plan.part.name),
    };
    // Two faces of a board have most lines in common.
    let each = |lines: &dyn Fn(&PartPlan) -> Vec<String>| -> Vec<String> {
        once(
            parts
                .iter()
                .flat_map(|p| lines(&p.plan).into_iter().map(|l| named(p, l)).collect::<Vec<_>>()),
        )
    };
    let seconds: f64 = programs.iter().map(|p| total(&p.read)).sum();
    // The page has the title above the pictures.
    let mut untitled = job.clone();
    untitled.file.title.clear();
    SetupSheet {
        title: job.file.title.clone(),
        order: order.to_vec(),
        pictures: parts.iter().map(|p| picture(&untitled, p)).collect(),
        stock: once(parts.iter().flat_map(|p| stock(&p.plan, shown, one))),
        holding: each(&|plan| holding(plan, shown)),
        zero: each(&|plan| vec![format!("{}.", capital(&zero_words(plan)))]),
        touch: parts.first().filter(|_| one).map(|p| touch(&p.plan)),
        cutters: parts.iter().flat_map(|p| cutters(p, shown)).collect(),
        time: duration(seconds),
        programs: parts.iter().flat_map(|p| p.programs.iter().map(|m| program(p, m))).collect(),
        passed: worst != Outcome::Refused,
        verdict: worst.words().to_string(),
        findings: programs
            .iter()
            .flat_map(|p| p.verdict.findings.iter().map(move |f| (p, f)))
            .map(|(p, f)| format!("{}, line {}: {}", p.file_name, f.line, f.message))
            .collect(),
        judged: programs.iter().flat_map(|p| judged(p, shown)).collect(),
        sections: once(parts.iter().filter_map(|p| section(&p.plan, shown))),
        maps: parts.iter().filter_map(|p| map(p, shown)).collect(),
        by_hand: by_hand(shop, parts),
        climb: each(&|plan| plan.remarks.clone()),
        extents: parts
            .iter()
            .flat_map(|p| &p.programs)
            .map(|p| {
                let table = extents_table(&p.read.events, &shop.cutters, &p.read.seconds, shown);
                format!("{}\n{table}\n", p.file_name)
            })
            .collect(),
        figures: once(parts.iter().map(|p| part_table(&p.plan.part, shown))),
        cautions: each(&|plan| {
            let notes = plan.cutters.iter().flat_map(|(_, data)| data.notes.clone());
            plan.cautions.iter().cloned().chain(notes).collect()
        }),
    }
    .html()
}

/// What the verdict on a program rests on: the cells, how true they are, and the surface.
fn judged(made: &MadeProgram, shown: Shown) -> Vec<String> {
    let cells = made.verdict.cells.map(|cells| {
        let mm = |value: f64| bound(value, shown.unit);
        format!(
            "the stock is cut in cells of {}: heights are true to {} at their middles, walls within {} in plan.",
            mm(cells.width),
            mm(cells.true_in_height),
            mm(cells.true_in_plan)
        )
    });
    let all = cells.into_iter().chain(made.verdict.judged(shown));
    all.map(|line| format!("{}: {line}", made.file_name)).collect()
}

/// The section of a moulding with its passes.
fn section(plan: &PartPlan, shown: Shown) -> Option<String> {
    let section = plan.section.as_ref()?;
    let passes = section.passes.iter().zip(&section.after);
    let passes = passes.map(|(one, after)| SectionPass {
        cutter: &one.cutter,
        tips: &one.tips,
        end: &one.end,
        after,
    });
    Some(section_picture(&SectionPicture {
        name: &plan.part.name,
        wanted: &section.wanted,
        top: section.top,
        reach: section.reach,
        passes: passes.collect(),
        stays: section.stays,
        shown,
    }))
}

/// The map of a part whose face is cut, after its last program.
fn map(part: &MadePart, shown: Shown) -> Option<String> {
    let last = part.programs.last().filter(|_| part.plan.surface.is_some())?;
    let surface = last.verdict.surface.as_ref()?;
    Some(surface_map::svg(surface, &part.plan.picture, shown))
}

fn stock(plan: &PartPlan, shown: Shown, one: bool) -> Vec<(String, String)> {
    let s = plan.part.placing.stock;
    let lead = if one { String::new() } else { format!("{}: ", plan.part.name) };
    let row = |name: &str, value: String| (format!("{lead}{name}"), value);
    vec![
        row("length", shown.both(s.length.0)),
        row("width", shown.both(s.width.0)),
        row("thickness", shown.both(s.thickness.0)),
        row("wood", plan.material.name.clone()),
        row("grain", "along the length, X".to_string()),
    ]
}

fn holding(plan: &PartPlan, shown: Shown) -> Vec<String> {
    let hold = &plan.part.placing.hold;
    let mut lines = Vec::new();
    if let (Some(tabs), n @ 1..) = (hold.tabs, plan.tabs.len()) {
        let (count, each, they) = match n {
            1 => ("1 holding tab".to_string(), "", "it"),
            n => (format!("{n} holding tabs"), " each", "them"),
        };
        lines.push(format!(
            "{count}, {} long and {} high{each}, where the picture shows {they}.",
            shown.both(tabs.width.0),
            shown.both(tabs.height.0)
        ));
    }
    if let Some(skin) = hold.skin {
        lines.push(format!("A skin of {} stays under the whole cut.", shown.both(skin.0)));
    }
    let in_cut = lines.len();
    for (name, space) in &plan.clamps {
        let size = space.size();
        lines.push(format!(
            "{name}: {} by {} at X {} Y {}, its top {} above the table; the cutter keeps clear of it there and nowhere else.",
            shown.one(size.x), shown.one(size.y), shown.one(space.min.x), shown.one(space.min.y), shown.one(size.z)
        ));
    }
    // Screws that are alike share a line.
    let mut screws: Vec<(String, Vec<String>)> = Vec::new();
    for (at, screw) in plan.screws.iter().zip(&hold.screws) {
        let sunk = if screw.proud.0 > 0.0 { "" } else { ", sunk level with the stock" };
        let kind = format!("head {}{sunk}", shown.one(screw.diameter.0));
        let place = format!("X {} Y {}", shown.one(at.x), shown.one(at.y));
        match screws.iter_mut().find(|s| s.0 == kind) {
            Some((_, places)) => places.push(place),
            None => screws.push((kind, vec![place])),
        }
    }
    for (kind, places) in screws {
        lines.push(match places.as_slice() {
            [one] => format!("Screw at {one}, {kind}."),
            all => format!("{} screws, each {kind}, at {}.", all.len(), all.join("; ")),
        });
    }
    match hold.bed {
        Some(Bed::Tape) => {
            lines.push("Double-sided tape under the part and under the waste.".into())
        }
        Some(Bed::Vacuum) => lines.push("Vacuum under the part; try it by hand.".into()),
        None => {}
    }
    // Tabs and skin hold the part to the waste; something has to hold the waste.
    if lines.len() == in_cut {
        lines.push("No screws, clamps, tape or vacuum are named in the job: fix the waste to the spoilboard on all sides, clear of the picture's passes.".into());
    }
    lines
}

fn touch(plan: &PartPlan) -> Touch {
    let s = plan.part.placing.stock;
    let zero = plan.part.placing.zero_in_stock();
    Touch {
        stock: [s.length.0, s.width.0, s.thickness.0],
        zero: [zero.x, zero.y, zero.z + s.thickness.0],
    }
}

fn cutters(part: &MadePart, shown: Shown) -> Vec<CutterRow> {
    let seconds: f64 = part.programs.iter().map(|p| total(&p.read)).sum();
    let alone = part.plan.cutters.len() == 1;
    let row = |(cutter, data): &(Cutter, CuttingData)| CutterRow {
        number: cutter.number.to_string(),
        name: cutter.name.clone(),
        diameter: shown.both(cutter.diameter.0),
        stick_out: shown.both(cutter.stick_out.0),
        flutes: cutter.flutes.to_string(),
        speed: match &data.dial {
            Some(mark) => format!("dial {mark} ({:.0} rpm)", data.rpm.value),
            None => format!("{:.0} rpm", data.rpm.value),
        },
        feed: feed(data.feed.value, shown.unit),
        plunge: match data.plunge.value > 0.0 {
            true => feed(data.plunge.value, shown.unit),
            false => format!("never; ramp {}", feed(data.ramp_feed.value, shown.unit)),
        },
        stepdown: shown.both(data.stepdown.value),
        time: if alone { duration(seconds) } else { String::new() },
    };
    part.plan.cutters.iter().map(row).collect()
}

fn program(part: &MadePart, made: &MadeProgram) -> ProgramRow {
    let cutter = match made.cutter {
        Some(number) => format!("cutter {number} alone"),
        None => {
            let all: Vec<String> =
                part.plan.cutters.iter().map(|(c, _)| c.number.to_string()).collect();
            format!("cutter {}", all.join(", "))
        }
    };
    ProgramRow {
        file: made.file_name.clone(),
        sha256: made.verdict.sha256.clone(),
        what: match &part.plan.part.shape {
            Shape::Moulding(_) => {
                format!("profile and outline of {}, {cutter}", part.plan.part.name)
            }
            _ => {
                let name = &part.plan.part.name;
                match (part.plan.setup, part.plan.surface.is_some()) {
                    ("bottom", _) => format!("bottom face of {name}, {cutter}"),
                    (_, true) => format!("face and outline of {name}, {cutter}"),
                    (_, false) => format!("outline of {name}, {cutter}"),
                }
            }
        },
    }
}

/// Each line once, in the order of their first places.
fn once<T: PartialEq>(lines: impl Iterator<Item = T>) -> Vec<T> {
    let mut all = Vec::new();
    for line in lines {
        if !all.contains(&line) {
            all.push(line);
        }
    }
    all
}

/// What stays the operator's: the setup, what the machine lacks, and what was not judged.
fn by_hand(shop: &Shop, parts: &[MadePart]) -> Vec<String> {
    let mut lines: Vec<String> = vec![
        "The stock measures what this sheet says, and lies flat and tight.".into(),
        "Work zero touched off as shown; Z touched off again after every cutter change.".into(),
        "Cutter number, diameter and stick-out as in the table; collet clean and tight.".into(),
        "The program's file name and the start of its SHA-256 are those of this sheet.".into(),
        "First run above the work, hand on the stop.".into(),
    ];
    if shop.machine.cutter_change != CutterChange::Automatic {
        lines.push("Spindle at rest before a hand comes near the cutter.".into());
    }
    if !shop.machine.spindle.dial.is_empty() {
        lines.push("Speed dial set to the mark in the table before starting.".into());
    }
    lines.extend(open_questions(parts));
    lines
}

/// What the dry run did not judge, and in which programs unless it is so in all.
fn open_questions(parts: &[MadePart]) -> Vec<String> {
    let programs: Vec<&MadeProgram> = parts.iter().flat_map(|p| &p.programs).collect();
    let mut open: Vec<(Interlock, &str, String, Vec<&str>)> = Vec::new();
    for program in &programs {
        for result in &program.verdict.interlocks {
            let (Standing::NotJudged, Some(why)) = (result.standing, &result.why) else { continue };
            let file = program.file_name.as_str();
            match open.iter_mut().find(|(i, w, ..)| *i == result.interlock && w == why) {
                Some((.., files)) => files.push(file),
                None => open.push((result.interlock, why, result.code.clone(), vec![file])),
            }
        }
    }
    let line = |(_, why, code, files): (_, &str, String, Vec<&str>)| {
        let whose = match files.len() == programs.len() {
            true => String::new(),
            false => format!("{}: ", files.join(", ")),
        };
        format!("{whose}{code} not judged by the dry run: {why}.")
    };
    open.into_iter().map(line).collect()
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map(|c| c.to_uppercase().chain(chars).collect()).unwrap_or_default()
}
