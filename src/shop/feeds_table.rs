//! The table of feeds, speeds and depths as people read it.

use super::{CuttingData, Governed};
use crate::units::{INCH, Shown, Unit};
use std::fmt::Write;

/// Widest line, characters.
const WIDEST: usize = 110;

/// A table per material, one row per cutter. A letter beside a figure stands for the limit that
/// set it, named below the rows; notes come last.
#[must_use]
pub fn feeds_table(rows: &[CuttingData], shown: Shown) -> String {
    let tables = rows.chunk_by(|a, b| a.material == b.material);
    tables.map(|rows| material_table(rows, shown.unit)).collect::<Vec<_>>().join("\n")
}

fn material_table(rows: &[CuttingData], unit: Unit) -> String {
    let mut reasons = Reasons::default();
    let mut lines = heads(unit);
    lines.extend(rows.iter().map(|row| cells(row, unit, &mut reasons)));
    let mut text = format!("{}\n", rows.first().map_or("", |row| row.material.as_str()));
    text.push_str(&aligned(&lines));
    for (i, reason) in reasons.0.iter().enumerate() {
        text.push_str(&wrapped(&format!("  {:<3}", letter(i)), reason));
    }
    for note in rows.iter().flat_map(|row| &row.notes) {
        text.push_str(&wrapped("  note: ", note));
    }
    text
}

/// The reasons that letters stand for, in the order in which they come.
#[derive(Default)]
struct Reasons(Vec<String>);

impl Reasons {
    /// A figure's text with the letter of its reason.
    fn marked(&mut self, text: String, figure: &Governed) -> String {
        let known = self.0.iter().position(|reason| *reason == figure.by);
        let i = known.unwrap_or_else(|| {
            self.0.push(figure.by.clone());
            self.0.len() - 1
        });
        format!("{text} {}", letter(i))
    }
}

/// a to z, then a2, b2 and on.
fn letter(i: usize) -> String {
    // 26 letters, so the remainder is one of them.
    let letter = char::from(b'a' + (i % 26) as u8);
    if i < 26 { letter.to_string() } else { format!("{letter}{}", i / 26 + 1) }
}

fn heads(unit: Unit) -> Vec<Vec<String>> {
    let (length, feed) = (unit.name(), format!("{}/min", unit.name()));
    let heads = [
        ("cutter", ""),
        ("rpm", ""),
        ("rim", "m/s"),
        ("chip", length),
        ("feed", feed.as_str()),
        ("plunge", feed.as_str()),
        ("ramp", feed.as_str()),
        ("ramp", "deg"),
        ("stepdown", length),
        ("stepover", length),
        ("force", "N"),
        ("power", "W"),
    ];
    vec![
        heads.iter().map(|head| head.0.to_string()).collect(),
        heads.iter().map(|head| head.1.to_string()).collect(),
    ]
}

fn cells(row: &CuttingData, unit: Unit, reasons: &mut Reasons) -> Vec<String> {
    let number = |mm: f64, metric: usize, imperial: usize| {
        // 3.175 lies a hair below itself in binary; it rounds as it reads.
        let mm = mm + 1e-9;
        match unit {
            Unit::Mm => format!("{mm:.metric$}"),
            Unit::In => format!("{:.imperial$}", mm / INCH),
        }
    };
    let feed = |value: f64| if value > 0.0 { number(value, 0, 1) } else { "never".to_string() };
    let degrees = format!("{:.1}", row.ramp_angle.value.to_degrees());
    vec![
        row.cutter.to_string(),
        reasons.marked(format!("{:.0}", row.rpm.value), &row.rpm),
        format!("{:.1}", row.surface_speed),
        reasons.marked(number(row.chip_load.value, 3, 4), &row.chip_load),
        reasons.marked(feed(row.feed.value), &row.feed),
        reasons.marked(feed(row.plunge.value), &row.plunge),
        reasons.marked(feed(row.ramp_feed.value), &row.ramp_feed),
        reasons.marked(degrees, &row.ramp_angle),
        reasons.marked(number(row.stepdown.value, 2, 3), &row.stepdown),
        reasons.marked(number(row.stepover.value, 2, 3), &row.stepover),
        band(row.force.low, row.force.high),
        band(row.power.low, row.power.high),
    ]
}

/// Whole numbers, or one decimal where the upper end is below ten.
fn band(low: f64, high: f64) -> String {
    let places = if high < 10.0 { 1 } else { 0 };
    format!("{low:.places$}-{high:.places$}")
}

/// Columns as wide as their widest cell, figures to the right, their letters below each other.
fn aligned(lines: &[Vec<String>]) -> String {
    let columns = lines.first().map_or(0, Vec::len);
    let width = |c: usize| lines.iter().map(|l| l[c].chars().count()).max().unwrap_or(0);
    let widths: Vec<usize> = (0..columns).map(width).collect();
    let mut text = String::new();
    for line in lines {
        let row: String = line.iter().zip(&widths).fold(String::new(), |mut row, (cell, width)| {
            // Writing to a text does not fail.
            let _ = write!(row, "  {cell:>width$}");
            row
        });
        text.push_str(row.trim_end());
        text.push('\n');
    }
    text
}

/// `text` after `lead`, broken at blanks, further lines set in below it.
fn wrapped(lead: &str, text: &str) -> String {
    let indent = " ".repeat(lead.chars().count());
    let mut out = String::new();
    let mut line = lead.to_string();
    let mut fresh = true;
    for word in text.split_whitespace() {
        if !fresh && line.chars().count() + 1 + word.chars().count() > WIDEST {
            out.push_str(line.trim_end());
            out.push('\n');
            line.clone_from(&indent);
            fresh = true;
        }
        if !fresh {
            line.push(' ');
        }
        line.push_str(word);
        fresh = false;
    }
    out.push_str(line.trim_end());
    out.push('\n');
    out
}
