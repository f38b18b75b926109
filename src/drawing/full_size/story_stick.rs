//! The story stick: strips of true lengths to lay against the work, marks named.

use super::furniture::furnish;
use super::spread::spread;
use super::{Drawing, HeaderViews, Layer, TEXT};
use crate::drawing::{Lettering, LineStyle};
use crate::geometry::{Contour, Piece, point};
use crate::layout::Layout;
use crate::units::Shown;

/// Height of a strip, mm.
const STRIP: f64 = 25.0;
/// From a mark's foot to its name, mm: the line between leans as the name is moved.
const LEAN: f64 = 10.0;
/// Least distance from name to name, mm.
const NAMES: f64 = 5.5;
/// From the longest name of one strip to the next strip, mm.
const APART: f64 = 14.0;

struct Mark {
    name: String,
    at: f64,
}

fn mark(name: &str, at: f64) -> Mark {
    Mark { name: name.to_string(), at }
}

pub(super) fn story_stick(of: &HeaderViews<'_>) -> Drawing {
    let mut d = Drawing::new("header-story-stick", "Story stick".to_string());
    let layout = of.layout;
    let strips = [
        ("along the wall, left to right", lengths(layout)),
        ("heights, up from the frieze's lower edge", heights(layout)),
        ("out from the wall, on the centre line", projections(layout)),
    ];
    let mut top = 0.0;
    for (name, marks) in strips {
        strip(&mut d, name, marks, top, of.shown);
        top = d.bounds().0.y - APART;
    }
    let notes = ["cut along the outlines; figures run from the strip's left end".to_string()];
    furnish(&mut d, of.title, &notes);
    d
}

/// One strip whose upper edge lies at `top`, its first mark at x = 0.
fn strip(d: &mut Drawing, name: &str, mut marks: Vec<Mark>, top: f64, shown: Shown) {
    marks.sort_by(|a, b| a.at.total_cmp(&b.at));
    let (Some(first), Some(last)) = (marks.first().map(|m| m.at), marks.last().map(|m| m.at))
    else {
        return;
    };
    let layer = Layer::StoryStick;
    let low = top - STRIP;
    let strip = Contour::rectangle(point(0.0, low), point(last - first, top));
    d.contour(layer, LineStyle::Visible, strip);
    d.text(layer, point(0.0, top + 2.0), Lettering::new(TEXT).bold(), name);
    let wanted: Vec<f64> = marks.iter().map(|m| m.at - first).collect();
    let places = spread(&wanted, NAMES);
    for (mark, (x, place)) in marks.iter().zip(wanted.iter().zip(&places)) {
        let knees = [point(*x, top), point(*x, low), point(*place, low - LEAN)];
        d.line(layer, LineStyle::Visible, knees[0], knees[1]);
        d.piece(layer, LineStyle::Thin, Piece { from: knees[1], to: knees[2], bulge: 0.0 });
        let text = words(mark, first, shown);
        // Turned text reads upwards and ends under the line.
        let at = point(place + TEXT * 0.36, low - LEAN - 1.5 - width(&text));
        d.text(layer, at, Lettering::new(TEXT).turned(), &text);
    }
}

fn width(text: &str) -> f64 {
    crate::drawing::text_width(text, TEXT, Default::default())
}

fn words(mark: &Mark, first: f64, shown: Shown) -> String {
    format!("{}  {}", mark.name, shown.both(mark.at - first))
}

fn lengths(layout: &Layout) -> Vec<Mark> {
    let header = &layout.header;
    let (frieze, p) = (header.frieze_length() / 2.0, header.bed_mold.projection);
    let (cap, cased) = (layout.cap.chord / 2.0, header.cased_width / 2.0);
    let mut marks = vec![mark("centre line", 0.0)];
    let mut both = |name: &str, middle: f64, half: f64| {
        marks.push(mark(&format!("{name}, left"), middle - half));
        marks.push(mark(&format!("{name}, right"), middle + half));
    };
    both("casing", 0.0, cased);
    both("frieze", 0.0, frieze);
    both("bed mould", 0.0, frieze + p);
    both("cap", 0.0, cap);
    if let Some(cymatium) = &header.cymatium {
        both("cap moulding", 0.0, cap + cymatium.thickness);
    }
    if let Some(panel) = &header.panel {
        both("panel", panel.offset, panel.width / 2.0);
        both("break", panel.offset, panel.width / 2.0 + p);
        if panel.offset != 0.0 {
            marks.push(mark("panel's middle", panel.offset));
        }
    }
    marks
}

fn heights(layout: &Layout) -> Vec<Mark> {
    let levels = &layout.levels;
    let mut marks = vec![
        mark("frieze, lower edge", 0.0),
        mark("bed mould, lower edge", levels.bed_bottom),
        mark("cap, underside", levels.cap_bottom),
        mark("cap, top", levels.top),
    ];
    marks.extend(levels.panel_bottom.map(|at| mark("panel, lower edge", at)));
    marks.extend(levels.cymatium_bottom.map(|at| mark("cap moulding, lower edge", at)));
    marks
}

fn projections(layout: &Layout) -> Vec<Mark> {
    let out = &layout.projections;
    let mut marks = vec![
        mark("wall", 0.0),
        mark("frieze, face", out.frieze),
        mark("bed mould over the frieze", out.bed_over_frieze),
        mark("cap, at its ends", out.cap_ends),
        mark("cap, in the middle", out.cap_centre),
    ];
    if layout.header.panel.is_some() {
        marks.push(mark("panel, face", out.panel));
        marks.push(mark("bed mould over the panel", out.bed_over_panel));
    }
    if layout.header.cymatium.is_some() {
        marks.push(mark("cap moulding, in the middle", out.whole));
    }
    marks
}
