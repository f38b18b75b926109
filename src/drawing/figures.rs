//! A part's figures as a person reads them, for the terminal and the setup sheet.

use crate::geometry::Point;
use crate::part::{BoardFigures, CapFigures, TemplateFigures, TracedFigures};
use crate::units::{INCH, Shown, Unit};

/// One figure: what it is, and its value in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Figure {
    /// What it is.
    pub name: &'static str,
    /// Its value, both units.
    pub value: String,
}

/// The figures of a cap.
#[must_use]
pub fn cap_figures(cap: &CapFigures, shown: Shown) -> Vec<Figure> {
    let length = |name, mm| Figure { name, value: shown.both(mm) };
    let angle =
        |name, radians: f64| Figure { name, value: format!("{:.2}°", radians.to_degrees()) };
    vec![
        length("chord", cap.chord),
        length("rise", cap.rise),
        length("radius", cap.radius),
        length("arc length", cap.arc_length),
        angle("arc angle at the centre", cap.arc_angle),
        length("depth at the square ends", cap.end_depth),
        length("depth at the middle", cap.centre_depth),
        Figure { name: "area", value: area(cap.area, shown.unit) },
        angle("arc's tangent to the chord, at the corner", cap.corner_tangent),
        angle("mitre of a straight return with the arc, each piece", cap.return_mitre),
    ]
}

/// The figures of a board.
#[must_use]
pub fn board_figures(board: &BoardFigures, shown: Shown) -> Vec<Figure> {
    let length = |name, mm| Figure { name, value: shown.both(mm) };
    vec![
        length("length", board.length),
        length("width", board.width),
        length("corner to opposite corner", board.diagonal),
        Figure { name: "area", value: area(board.area, shown.unit) },
    ]
}

/// The figures of a router template.
#[must_use]
pub fn template_figures(template: &TemplateFigures, shown: Shown) -> Vec<Figure> {
    let length = |name, mm| Figure { name, value: shown.both(mm) };
    let place = |at: Point| format!("{} along, {} up", shown.both(at.x), shown.both(at.y));
    vec![
        length("length", template.length),
        length("width", template.width),
        length("guide bush, outer diameter", template.bush),
        length("bit, diameter", template.bit),
        length("its edge stands inside the part's by", template.offset),
        length("radius of the part's edge", template.part_radius),
        length("radius of the template's edge", template.pattern_radius),
        Figure { name: "the part's edge begins at", value: place(template.edge_from) },
        Figure { name: "the part's edge ends at", value: place(template.edge_to) },
    ]
}

/// The figures of a traced part.
#[must_use]
pub fn traced_figures(traced: &TracedFigures, shown: Shown) -> Vec<Figure> {
    let length = |name, mm| Figure { name, value: shown.both(mm) };
    vec![
        length("length", traced.length),
        length("width", traced.width),
        length("once round", traced.girth),
        Figure { name: "area", value: area(traced.area, shown.unit) },
        Figure {
            name: "outline",
            value: format!("{} lines and {} arcs", traced.lines, traced.arcs),
        },
    ]
}

/// The ordinates of a cap: along the chord from the left end, over the chord, from the back.
#[must_use]
pub fn ordinates(cap: &CapFigures, shown: Shown) -> Vec<[String; 3]> {
    cap.ordinates
        .iter()
        .map(|p| [shown.both(p.x), shown.both(p.y), shown.both(cap.end_depth + p.y)])
        .collect()
}

/// Figures as aligned text.
#[must_use]
pub fn figures_text(figures: &[Figure]) -> String {
    let width = figures.iter().map(|f| f.name.chars().count()).max().unwrap_or(0);
    figures.iter().map(|f| format!("  {:<width$}  {}\n", f.name, f.value)).collect()
}

/// A cap's figures and ordinates as aligned text.
#[must_use]
pub fn cap_text(cap: &CapFigures, shown: Shown) -> String {
    let mut text = figures_text(&cap_figures(cap, shown));
    text.push_str("\n  Ordinates, to scribe the arc with a batten:\n");
    let heads = ["along the chord", "chord to arc", "back to arc"].map(String::from);
    let rows: Vec<[String; 3]> = std::iter::once(heads).chain(ordinates(cap, shown)).collect();
    let widths = [0, 1, 2].map(|i| rows.iter().map(|r| r[i].chars().count()).max().unwrap_or(0));
    for row in &rows {
        let [a, b, c] = row;
        let line = format!(
            "  {a:>w0$}  {b:>w1$}  {c:>w2$}",
            w0 = widths[0],
            w1 = widths[1],
            w2 = widths[2]
        );
        text.push_str(&line);
        text.push('\n');
    }
    text
}

fn area(mm2: f64, unit: Unit) -> String {
    let metric = format!("{:.0} cm²", mm2 / 100.0);
    let inches = format!("{:.1} in²", mm2 / (INCH * INCH));
    match unit {
        Unit::Mm => format!("{metric} ({inches})"),
        Unit::In => format!("{inches} ({metric})"),
    }
}
