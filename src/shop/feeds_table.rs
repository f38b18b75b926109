//! The table of feeds, speeds and depths as people read it.

use super::CuttingData;
use crate::units::{INCH, Shown, Unit};

/// One row per cutter and material: each figure, and below it the limit that governed it.
#[must_use]
pub fn feeds_table(rows: &[CuttingData], shown: Shown) -> String {
    let mut text = String::new();
    let mut material = None;
    for row in rows {
        if material != Some(&row.material) {
            if material.is_some() {
                text.push('\n');
            }
            text.push_str(&format!("{}\n", row.material));
            text.push_str(&heads(shown.unit));
            material = Some(&row.material);
        }
        text.push_str(&lines(row, shown.unit));
    }
    text
}

const WIDTHS: [usize; 8] = [6, 16, 12, 14, 14, 10, 18, 12];

fn line(cells: [String; 8]) -> String {
    let mut text = String::new();
    for (cell, width) in cells.iter().zip(WIDTHS) {
        text.push_str(&format!("  {cell:<width$}"));
    }
    format!("{}\n", text.trim_end())
}

fn heads(unit: Unit) -> String {
    let u = unit.name();
    let first = ["cutter", "rpm", "chip load", "feed", "plunge", "ramp", "stepdown", "force"];
    let second = [
        String::new(),
        "rim speed".into(),
        format!("{u}/tooth"),
        format!("{u}/min"),
        format!("{u}/min"),
        "degrees".into(),
        u.to_string(),
        "N, W".into(),
    ];
    format!("{}{}", line(first.map(String::from)), line(second))
}

fn lines(row: &CuttingData, unit: Unit) -> String {
    let length = |mm: f64, metric: usize, imperial: usize| match unit {
        Unit::Mm => format!("{mm:.metric$}"),
        Unit::In => format!("{:.imperial$}", mm / INCH),
    };
    let feed = |value: f64| if value > 0.0 { length(value, 0, 1) } else { "never".to_string() };
    let dial = row.dial.as_ref().map(|m| format!(" dial {m}")).unwrap_or_default();
    let figures = line([
        row.cutter.to_string(),
        format!("{:.0}{dial}", row.rpm.value),
        length(row.chip_load.value, 3, 4),
        feed(row.feed.value),
        feed(row.plunge.value),
        format!("{:.1}", row.ramp_angle.value.to_degrees()),
        length(row.stepdown.value, 2, 3),
        format!("{:.0}-{:.0} N", row.force.low, row.force.high),
    ]);
    let second = line([
        String::new(),
        format!("{:.1} m/s", row.surface_speed),
        String::new(),
        String::new(),
        String::new(),
        String::new(),
        String::new(),
        format!("{:.0}-{:.0} W", row.power.low, row.power.high),
    ]);
    let mut text = figures + &second;
    text.push_str(&format!(
        "          limited by: rpm: {}; chip load: {}; feed: {}; plunge: {};\n                      stepdown: {}\n",
        row.rpm.by, row.chip_load.by, row.feed.by, row.plunge.by, row.stepdown.by
    ));
    for note in &row.notes {
        text.push_str(&format!("          note: {note}\n"));
    }
    text
}
