//! The page, section by section.

use super::style::STYLE;
use super::touch_off::diagram;
use super::{CutterRow, FigureTable, SetupSheet};
use crate::drawing::escape;
use std::fmt::Write;

/// Cautions that every sheet carries (common practice).
const CAUTIONS: &[&str] = &[
    "The machine's manual, local codes and licensed practice come first, before this sheet.",
    "Eye and ear protection on. No loose gloves, sleeves or cords.",
    "Dust collector running; a mask for fine dust.",
    "Hands, and everyone, outside the table's travel while the spindle turns.",
    "Stock lies flat and can not move; no piece comes loose while the cutter can touch it.",
    "Collet clean; cutter sharp, at its stick-out, never above the speed marked on it.",
    "Power locked off while a cutter is changed or chips are cleared.",
    "First run above the work with the cutter turning in air.",
    "Stay by the machine, within reach of its stop: dust and a dull cutter smoulder.",
];

/// Texts to read, by name; not told again in other words.
const SAFETY_TEXTS: &[&str] = &[
    "ISO 19085-3:2021 (numerically controlled boring and routing machines), with ISO 19085-1:2021",
    "29 CFR 1910.213 (woodworking machinery)",
    "29 CFR 1910.1000 table Z-1 and the OSHA page on wood dust, with the NIOSH and ACGIH limits named there",
    "NFPA 660 (combustible dusts), in force since 6 December 2024",
];

pub(crate) fn html(sheet: &SetupSheet) -> String {
    let title = escape(&sheet.title);
    let mut out = format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width\">\n\
         <title>Setup sheet: {title}</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n\
         <h1>Setup sheet: {title}</h1>\n"
    );
    if !sheet.order.is_empty() {
        let steps = items(&sheet.order, "ol", "");
        let _ = writeln!(
            out,
            "<section class=\"long order\">\n<h2>Order of work</h2>\n{steps}</section>"
        );
    }
    for picture in &sheet.pictures {
        let _ = writeln!(out, "<section class=\"picture\">\n{picture}</section>");
    }
    // Two columns that even out by themselves.
    out.push_str("<div class=\"even\">\n");
    verdict(&mut out, sheet);
    list(&mut out, "How to hold it", &sheet.holding, "ol");
    stock(&mut out, sheet);
    touch_off(&mut out, sheet);
    out.push_str("</div>\n");
    cutters(&mut out, sheet);
    programs(&mut out, sheet);
    out.push_str("<div class=\"two\">\n");
    boxes(&mut out, sheet);
    list(&mut out, "How it is cut", &sheet.climb, "ul");
    out.push_str("</div>\n");
    if !sheet.extents.trim().is_empty() {
        section(&mut out, "Extents", &format!("<pre>{}</pre>\n", escape(&sheet.extents)));
    }
    for picture in &sheet.sections {
        section(&mut out, "Section and passes", picture);
    }
    for map in &sheet.maps {
        section(&mut out, "Gouge and leftover", map);
    }
    sheet.figures.iter().for_each(|table| figures(&mut out, table));
    cautions(&mut out, sheet);
    out.push_str("</body>\n</html>\n");
    out
}

fn section(out: &mut String, heading: &str, inner: &str) {
    let _ = writeln!(out, "<section>\n<h2>{}</h2>\n{inner}</section>", escape(heading));
}

fn items<T: AsRef<str>>(lines: &[T], tag: &str, class: &str) -> String {
    let class = if class.is_empty() { String::new() } else { format!(" class=\"{class}\"") };
    let inner: String =
        lines.iter().map(|l| format!("<li>{}</li>\n", escape(l.as_ref()))).collect();
    format!("<{tag}{class}>\n{inner}</{tag}>\n")
}

/// A section with a list, or nothing.
fn list(out: &mut String, heading: &str, lines: &[String], tag: &str) {
    match lines {
        [] => {}
        [one] => section(out, heading, &format!("<p>{}</p>\n", escape(one))),
        _ => section(out, heading, &items(lines, tag, "")),
    }
}

fn verdict(out: &mut String, sheet: &SetupSheet) {
    let class = if sheet.passed { "verdict" } else { "verdict refused" };
    let mut inner = format!("<p class=\"{class}\">{}</p>\n", escape(&sheet.verdict));
    if !sheet.findings.is_empty() {
        inner.push_str(&items(&sheet.findings, "ul", ""));
    }
    for line in &sheet.judged {
        let _ = writeln!(inner, "<p>{}</p>", escape(line));
    }
    section(out, "Dry run", &inner);
}

/// Figures on the left, ordinates on the right.
fn figures(out: &mut String, table: &FigureTable) {
    let rows: String = table
        .figures
        .iter()
        .map(|(k, v)| {
            format!("<tr><td>{}</td><td class=\"whole\">{}</td></tr>\n", escape(k), escape(v))
        })
        .collect();
    let mut inner = format!("<div class=\"figures\">\n<table>\n{rows}</table>\n");
    if !table.ordinates.is_empty() {
        inner.push_str(
            "<table>\n<tr><th>along the chord</th><th>chord to arc</th><th>back to arc</th></tr>\n",
        );
        for [along, chord, back] in &table.ordinates {
            let _ = writeln!(
                inner,
                "<tr><td class=\"whole\">{}</td><td class=\"whole\">{}</td><td class=\"whole\">{}</td></tr>",
                escape(along),
                escape(chord),
                escape(back)
            );
        }
        inner.push_str("</table>\n");
    }
    inner.push_str("</div>\n");
    let ordinates = if table.ordinates.is_empty() {
        ""
    } else {
        ", and ordinates to scribe the arc with a batten"
    };
    section(out, &format!("Figures of {}{ordinates}", table.name), &inner);
}

fn stock(out: &mut String, sheet: &SetupSheet) {
    if sheet.stock.is_empty() {
        return;
    }
    let rows: String = sheet
        .stock
        .iter()
        .map(|(k, v)| format!("<dt>{}</dt><dd>{}</dd>\n", escape(k), escape(v)))
        .collect();
    section(out, "Stock", &format!("<dl>\n{rows}</dl>\n"));
}

fn touch_off(out: &mut String, sheet: &SetupSheet) {
    if sheet.zero.is_empty() && sheet.touch.is_none() {
        return;
    }
    let words = match sheet.zero.as_slice() {
        [one] => format!("<p>{}</p>\n", escape(one)),
        all => items(all, "ol", ""),
    };
    let picture = sheet.touch.as_ref().map(diagram).unwrap_or_default();
    section(out, "Where to touch off", &format!("{words}{picture}"));
}

/// Heading, its value, and the class of its cells: figures stand to the right, short texts are
/// kept whole.
type Column = (&'static str, fn(&CutterRow) -> &str, &'static str);

const COLUMNS: &[Column] = &[
    ("no.", |c| &c.number, "figure"),
    ("cutter", |c| &c.name, ""),
    ("diameter", |c| &c.diameter, ""),
    ("stick-out", |c| &c.stick_out, "whole"),
    ("flutes", |c| &c.flutes, "figure"),
    ("speed", |c| &c.speed, ""),
    ("feed", |c| &c.feed, "whole"),
    ("plunge", |c| &c.plunge, "whole"),
    ("stepdown", |c| &c.stepdown, "whole"),
    ("time", |c| &c.time, "whole"),
];

fn cutters(out: &mut String, sheet: &SetupSheet) {
    if sheet.cutters.is_empty() {
        return;
    }
    // A column that nobody filled is not printed.
    let used: Vec<&Column> = COLUMNS
        .iter()
        .filter(|(_, value, _)| sheet.cutters.iter().any(|c| !value(c).is_empty()))
        .collect();
    let class = |name: &str| match name {
        "" => String::new(),
        name => format!(" class=\"{name}\""),
    };
    let mut inner = "<table class=\"cutters\">\n<tr>".to_string();
    for (name, _, kind) in &used {
        let _ = write!(inner, "<th{}>{name}</th>", class(kind));
    }
    inner.push_str("</tr>\n");
    for cutter in &sheet.cutters {
        inner.push_str("<tr>");
        for (_, value, kind) in &used {
            let _ = write!(inner, "<td{}>{}</td>", class(kind), escape(value(cutter)));
        }
        inner.push_str("</tr>\n");
    }
    inner.push_str("</table>\n");
    if !sheet.time.is_empty() {
        let _ = writeln!(inner, "<p>Time in all: {}</p>", escape(&sheet.time));
    }
    section(out, "Cutters, in order", &inner);
}

fn programs(out: &mut String, sheet: &SetupSheet) {
    if sheet.programs.is_empty() {
        return;
    }
    let mut inner =
        "<table>\n<tr><th>file</th><th>SHA-256 begins</th><th>what it does</th></tr>\n".to_string();
    for p in &sheet.programs {
        let start: String = p.sha256.chars().take(12).collect();
        let _ = writeln!(
            inner,
            "<tr><td>{}</td><td><code>{}</code></td><td>{}</td></tr>",
            escape(&p.file),
            escape(&start),
            escape(&p.what)
        );
    }
    inner.push_str("</table>\n");
    section(out, "Programs, in order", &inner);
}

fn boxes(out: &mut String, sheet: &SetupSheet) {
    if !sheet.by_hand.is_empty() {
        section(out, "Check by hand before the start", &items(&sheet.by_hand, "ul", "boxes"));
    }
}

fn cautions(out: &mut String, sheet: &SetupSheet) {
    let own = sheet.cautions.iter().map(String::as_str);
    let all: Vec<&str> = own.chain(CAUTIONS.iter().copied()).collect();
    let mut inner = items(&all, "ul", "columns");
    let _ = writeln!(
        inner,
        "<p class=\"small\">The texts themselves: {}.</p>",
        escape(&SAFETY_TEXTS.join("; "))
    );
    inner.push_str(
        "<p class=\"small\">A dry run finds known mistakes in the text. It does not make a \
         program safe.</p>\n",
    );
    let _ = writeln!(out, "<section class=\"long\">\n<h2>Cautions</h2>\n{inner}</section>");
}
