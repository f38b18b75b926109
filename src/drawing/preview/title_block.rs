//! Which program this is: name, hash, scale, time, cutters, extents.

use super::facts::Facts;
use super::layout::Layout;
use super::{BODY, CAPTION, MARGIN, WIDTH, pens};
use crate::drawing::svg::rectangle;
use crate::drawing::{Extents, Lettering, LineStyle, Path, Sheet, duration, extents, shortened};
use crate::geometry::point;
use crate::shop::Cutter;

/// Height of a caption's and of a value's line, mm.
const CAPTION_LINE: f64 = 3.2;
const LINE: f64 = 3.6;
/// Air inside a cell, mm.
const PAD: f64 = 1.6;
/// Cutters listed at most; the rest are counted.
const MOST_CUTTERS: usize = 6;

/// Draws the title block from `y` down and tells where it ends.
pub(crate) fn draw(sheet: &mut Sheet, facts: &Facts, layout: &Layout, y: f64) -> f64 {
    let all = extents(facts.input.events, facts.input.seconds);
    let mut end = y;
    sheet.group("title-block", |sheet| {
        let hash = facts.input.sha256.get(..12).unwrap_or(facts.input.sha256);
        let scale = format!("{} printed {WIDTH} mm wide", layout.scale.ratio());
        let time = match facts.input.seconds {
            [] => String::from("-"),
            _ => duration(all.iter().map(Extents::time).sum()),
        };
        let first = [
            ("Program", facts.input.program_name, 0.40),
            ("SHA-256 begins", hash, 0.20),
            ("Scale", scale.as_str(), 0.24),
            ("Time", time.as_str(), 0.16),
        ];
        end = row(sheet, y, &first.map(|(c, v, w)| (c, vec![v.to_string()], w)));
        let second = [
            ("Cutters", cutters(facts, &all), 0.60),
            ("Cut, cutter's centre from work zero", cut_extents(facts), 0.40),
        ];
        end = row(sheet, end, &second);
    });
    end
}

fn row(sheet: &mut Sheet, y: f64, cells: &[(&str, Vec<String>, f64)]) -> f64 {
    let lines = cells.iter().map(|c| c.1.len()).max().unwrap_or(1);
    let height = CAPTION_LINE + LINE * lines as f64 + PAD;
    let whole = WIDTH - 2.0 * MARGIN;
    let mut x = MARGIN;
    for (caption, values, share) in cells {
        let width = whole * share;
        let room = width - 2.0 * PAD;
        let quiet = Lettering::new(CAPTION).coloured(pens::quiet());
        let caption = shortened(caption, CAPTION, quiet.weight, room);
        sheet.text(point(x + PAD, y + CAPTION_LINE), quiet, &caption);
        for (i, value) in values.iter().enumerate() {
            let at = point(x + PAD, y + CAPTION_LINE + LINE * (i as f64 + 1.0));
            let value = shortened(value, BODY, Default::default(), room);
            sheet.text(at, Lettering::new(BODY), &value);
        }
        if x > MARGIN {
            let mut wall = Path::new();
            wall.move_to(point(x, y));
            wall.line_to(point(x, y + height));
            sheet.path(wall, LineStyle::Thin);
        }
        x += width;
    }
    let (low, high) = (point(MARGIN, y), point(WIDTH - MARGIN, y + height));
    sheet.path(rectangle(low, high), LineStyle::Visible);
    y + height
}

fn cutters(facts: &Facts, all: &[Extents]) -> Vec<String> {
    let used: Vec<&Extents> = all.iter().filter(|e| !e.cutting.is_empty()).collect();
    let mut lines: Vec<String> =
        used.iter().take(MOST_CUTTERS).map(|e| cutter_line(facts, e)).collect();
    if used.len() > MOST_CUTTERS {
        lines.push(format!("and {} more", used.len() - MOST_CUTTERS));
    }
    if lines.is_empty() {
        lines.push("none cuts".to_string());
    }
    lines
}

fn cutter_line(facts: &Facts, e: &Extents) -> String {
    let known: Option<&Cutter> = facts.cutter(e.cutter);
    let name = match (known, e.cutter) {
        (Some(c), _) => {
            let diameter = facts.input.shown.both(c.diameter.0);
            format!("{}: {diameter}", c.title())
        }
        (None, Some(n)) => format!("cutter {n}, not in the shop's list"),
        (None, None) => "no cutter stated".to_string(),
    };
    match facts.input.seconds {
        [] => name,
        _ => format!("{name}, {}", duration(e.time())),
    }
}

fn cut_extents(facts: &Facts) -> Vec<String> {
    if facts.cut.is_empty() {
        return vec!["nothing is cut".to_string()];
    }
    let shown = facts.input.shown;
    let (a, b) = (facts.cut.min, facts.cut.max);
    [("x", a.x, b.x), ("y", a.y, b.y), ("z", a.z, b.z.min(facts.trace.top))]
        .iter()
        .map(|(axis, from, to)| format!("{axis}  {} to {}", shown.one(*from), shown.one(*to)))
        .collect()
}
