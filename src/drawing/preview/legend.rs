//! What the lines mean, and the scale bar.

use super::facts::Facts;
use super::layout::Layout;
use super::plan::{clamp_letter, screw_symbol, zero_symbol};
use super::{CAPTION, MARGIN, WIDTH, pens};
use crate::drawing::svg::{Pen, rectangle};
use crate::drawing::{
    Anchor, Colour, Lettering, LineStyle, Path, Role, Sheet, Weight, shortened, text_width,
};
use crate::geometry::{Point, point};
use crate::units::{INCH, Unit};

/// Length of a sample, mm.
const SAMPLE: f64 = 11.0;
/// Height of a row, mm.
const ROW: f64 = 4.2;
/// Clamps named at most.
const MOST_CLAMPS: usize = 8;
/// Air between columns, mm.
const BETWEEN: f64 = 6.0;

enum Sample {
    Line(Pen),
    Plate(Colour, Option<LineStyle>),
    Levels,
    Tab,
    Arrow,
    Screw,
    Zero,
}

fn items(facts: &Facts) -> Vec<(Sample, String)> {
    let t = &facts.trace;
    let input = facts.input;
    let mut items = Vec::new();
    let mut add = |when: bool, sample: Sample, text: &str| {
        if when {
            items.push((sample, text.to_string()));
        }
    };
    let cuts = !facts.cut.is_empty();
    let black = |style| Sample::Line(Pen::style(style, Colour::BLACK));
    add(!input.part.is_empty(), black(LineStyle::Visible), "part");
    let stock = Sample::Plate(pens::stock_colour(), Some(LineStyle::Adjacent));
    add(facts.stock().is_some(), stock, "stock");
    let passes = if t.banded { "cuts by depth, deep is dark" } else { "passes, deep is dark" };
    add(!t.levels.is_empty(), Sample::Levels, passes);
    add(cuts && !t.banded && !t.deepest_cuts().is_empty(), Sample::Arrow, "way of the cutter");
    let swept = t.strokes.iter().any(|s| facts.cutter(s.cutter).is_some());
    let kerf = Sample::Plate(pens::kerf_colour(), None);
    add(cuts && swept, kerf, "cleared by the cutter");
    add(t.has(Role::Entry), Sample::Line(pens::role(Role::Entry)), "ramp or plunge");
    add(t.has(Role::Lead), Sample::Line(pens::role(Role::Lead)), "lead in, lead out");
    let tabs = match t.tabs.len() {
        1 => "1 holding tab".to_string(),
        n => format!("{n} holding tabs"),
    };
    add(t.has(Role::Tab), Sample::Tab, &tabs);
    add(t.has(Role::Above), Sample::Line(pens::role(Role::Above)), "at feed above the work");
    add(t.has(Role::Travel), Sample::Line(pens::role(Role::Travel)), "traverse");
    for (i, (name, _)) in facts.clamps.iter().enumerate().take(MOST_CLAMPS) {
        let clamp = Sample::Plate(pens::clamp_colour(), Some(LineStyle::Adjacent));
        let text =
            shortened(&format!("{} {name}", clamp_letter(i)), CAPTION, Weight::Regular, 40.0);
        add(true, clamp, &text);
    }
    add(!input.screws.is_empty(), Sample::Screw, "screw");
    add(facts.zero_shown(), Sample::Zero, "work zero");
    items
}

/// Draws the legend and the scale bar from `y` down and tells where they end.
pub(crate) fn draw(sheet: &mut Sheet, facts: &Facts, layout: &Layout, y: f64) -> f64 {
    let items = items(facts);
    // Room for the scale bars.
    let room = WIDTH - 2.0 * MARGIN - 54.0;
    let widths: Vec<f64> = items.iter().map(|i| sample_width(&i.1)).collect();
    let rows = rows(&widths, room);
    sheet.group("legend", |sheet| {
        let mut x = MARGIN;
        for (column, widths) in items.chunks(rows).zip(widths.chunks(rows)) {
            for (r, (sample, text)) in column.iter().enumerate() {
                let at = point(x, y + ROW * (r as f64 + 0.5));
                draw_sample(sheet, facts, sample, at);
                let text_at = at + point(SAMPLE + 2.0, CAPTION * 0.36);
                sheet.text(text_at, Lettering::new(CAPTION), text);
            }
            x += widths.iter().copied().fold(0.0, f64::max);
        }
    });
    let right = WIDTH - MARGIN - 4.0;
    sheet.group("scale-bar", |sheet| scale_bars(sheet, facts, layout, point(right, y)));
    y + (ROW * rows as f64).max(17.0)
}

fn sample_width(text: &str) -> f64 {
    SAMPLE + 2.0 + text_width(text, CAPTION, Weight::Regular) + BETWEEN
}

/// The fewest rows, four or more, in which the columns fit into the room; one column if none do.
fn rows(widths: &[f64], room: f64) -> usize {
    let fits = |rows: &usize| {
        let columns = widths.chunks(*rows).map(|c| c.iter().copied().fold(0.0, f64::max));
        columns.sum::<f64>() <= room
    };
    (4..widths.len()).find(fits).unwrap_or(widths.len().max(1))
}

fn draw_sample(sheet: &mut Sheet, facts: &Facts, sample: &Sample, at: Point) {
    let end = at + point(SAMPLE, 0.0);
    let middle = at + point(SAMPLE / 2.0, 0.0);
    let line = |from: Point, to: Point| {
        let mut path = Path::new();
        path.move_to(from);
        path.line_to(to);
        path
    };
    match sample {
        Sample::Line(pen) => sheet.stroke(line(at, end), pen),
        Sample::Plate(colour, edge) => {
            let (a, b) = (at - point(0.0, 1.3), end + point(0.0, 1.3));
            sheet.fill_box(a, b, *colour);
            if let Some(style) = edge {
                sheet.path(rectangle(a, b), *style);
            }
        }
        Sample::Levels => {
            let n = facts.trace.levels.len();
            let step = SAMPLE / n.max(1) as f64;
            for k in 0..n {
                let pen = Pen { round: false, ..pens::level(k, n, 1.3) };
                let from = at + point(step * k as f64, 0.0);
                sheet.stroke(line(from, from + point(step, 0.0)), &pen);
            }
        }
        Sample::Tab => {
            let (a, b) = (middle - point(2.0, 0.0), middle + point(2.0, 0.0));
            sheet.stroke(line(a - point(0.2, 0.0), b + point(0.2, 0.0)), &pens::tab_edge());
            sheet.stroke(line(a, b), &pens::role(Role::Tab));
        }
        Sample::Arrow => {
            let mut head = Path::new();
            let tip = middle + point(1.2, 0.0);
            crate::drawing::dimension::arrowhead(&mut head, tip, 0.0, 2.4, 0.75);
            sheet.fill(head, Colour::BLACK);
        }
        Sample::Screw => screw_symbol(sheet, middle),
        Sample::Zero => zero_symbol(sheet, middle, 1.4),
    }
}

/// Two bars, millimetres and inches, the job's own unit first, ending at `corner` (upper right).
fn scale_bars(sheet: &mut Sheet, facts: &Facts, layout: &Layout, corner: Point) {
    let k = layout.scale.factor();
    let mm = (1.0, "mm");
    let inch = (INCH, "in");
    let order = if facts.input.shown.unit == Unit::Mm { [mm, inch] } else { [inch, mm] };
    for (i, (unit, name)) in order.into_iter().enumerate() {
        let y = corner.y + 4.2 + 8.2 * i as f64;
        // The bar is at most 44 mm of paper.
        let most = 44.0 / k / unit;
        let length = round_length(most);
        let width = length * unit * k;
        let left = corner.x - 2.0 - width;
        bar(sheet, left, y, width, length, name);
    }
}

fn bar(sheet: &mut Sheet, left: f64, y: f64, width: f64, length: f64, name: &str) {
    let quarter = width / 4.0;
    for k in 0..4 {
        let low = point(left + quarter * f64::from(k), y);
        let high = low + point(quarter, 1.2);
        let colour = if k % 2 == 0 { Colour::BLACK } else { Colour::WHITE };
        sheet.fill_box(low, high, colour);
    }
    sheet.path(rectangle(point(left, y), point(left + width, y + 1.2)), LineStyle::Thin);
    let middle = Lettering::new(CAPTION).anchored(Anchor::Middle);
    let figure = |v: f64| format!("{}", (v * 1000.0).round() / 1000.0);
    sheet.text(point(left, y - 0.8), middle, "0");
    sheet.text(point(left + width / 2.0, y - 0.8), middle, &figure(length / 2.0));
    let end = format!("{} {name}", figure(length));
    sheet.text(point(left + width, y - 0.8), middle, &end);
}

/// The greatest of 1, 2, 4, 10, 20, 40... that is at most `most`.
fn round_length(most: f64) -> f64 {
    if !(most.is_finite() && most > 0.0) {
        return 1.0;
    }
    let ten = 10f64.powf(most.log10().floor());
    [4.0, 2.0, 1.0].into_iter().map(|m| m * ten).find(|&l| l <= most * 1.000_001).unwrap_or(ten)
}
