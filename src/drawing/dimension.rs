//! Dimension lines after ISO 129: thin lines, closed filled arrowheads, the figure above the
//! line and read from below or from the right. Conventions from memory of the standard.

use super::{Anchor, Colour, Lettering, LineStyle, Path, Sheet, text_width};
use crate::geometry::{Point, point};

/// Size of figures, mm on paper.
pub(crate) const FIGURES: f64 = 2.4;
/// Length of an arrowhead, mm.
const ARROW: f64 = 2.2;
/// Half its width, mm: an angle of some 17 degrees.
const ARROW_HALF: f64 = 0.33;
/// Extension lines start this far off the edge that they belong to, mm.
const GAP: f64 = 0.8;
/// Extension lines go this far beyond the dimension line, mm.
const BEYOND: f64 = 1.2;
/// Arrowheads stand outside where the dimension line is shorter than this, mm.
pub(crate) const TIGHT: f64 = 2.7 * ARROW;
/// From the dimension line to the baseline of the figure above it, mm.
const LIFT: f64 = 0.9;
/// From the dimension line to a figure beside it, mm.
const ASIDE: f64 = 1.5;

/// One dimension. All places are on paper.
#[derive(Clone, Debug, PartialEq)]
pub struct Dimension<'a> {
    /// The coordinates between which it measures: x of a dimension across, y of one up.
    pub between: (f64, f64),
    /// Where the measured edges lie in the other coordinate: extension lines start there.
    pub edge: f64,
    /// Where the dimension line lies in the other coordinate.
    pub line: f64,
    /// What is measured, written before the figure where there is room; may be empty.
    pub name: &'a str,
    /// The figure, such as `1120 mm (44 3/32 + in)`.
    pub figure: &'a str,
}

impl Dimension<'_> {
    fn span(&self) -> f64 {
        (self.between.1 - self.between.0).abs()
    }

    fn text(&self) -> String {
        format!("{} {}", self.name, self.figure).trim().to_string()
    }

    /// Whether name and figure fit between the ends.
    #[must_use]
    pub fn fits(&self) -> bool {
        width(&self.text()) + 1.0 <= self.span()
    }
}

/// Draws a dimension along x. A figure wider than the dimension stands to the right of it if
/// `beside`, else over its middle; never outside the sheet.
pub fn dimension_across(sheet: &mut Sheet, d: &Dimension, beside: bool) {
    let (low, high) = ordered(d.between);
    lines(sheet, d, 0.0, point);
    let text = d.text();
    let width = width(&text);
    let room = sheet.width() - 2.0;
    let lettering = Lettering::new(FIGURES);
    if beside && !d.fits() {
        let x = (high + ARROW * 2.0 + 1.0).min(room - width);
        let at = point(x, d.line + FIGURES * 0.36);
        return sheet.text(at, lettering, &text);
    }
    let middle = ((low + high) / 2.0).min(room - width / 2.0).max(2.0 + width / 2.0);
    let at = point(middle, d.line - LIFT);
    sheet.text(at, lettering.anchored(Anchor::Middle), &text);
}

/// Room that [`dimension_up`] needs beside its line, on the side of the figure, mm.
pub(crate) fn room_up(d: &Dimension) -> f64 {
    if d.fits() { LIFT + FIGURES } else { stacked_width(d.figure) + ASIDE }
}

/// Draws a dimension along y. The figure stands left of the line, read from the right; where it
/// is longer than the dimension, level, in two lines, on the side away from the edges.
pub fn dimension_up(sheet: &mut Sheet, d: &Dimension) {
    let (low, high) = ordered(d.between);
    lines(sheet, d, 0.0, |along, off| point(off, along));
    let middle = (low + high) / 2.0;
    if d.fits() {
        let turned = Lettering::new(FIGURES).anchored(Anchor::Middle).turned();
        return sheet.text(point(d.line - LIFT, middle), turned, &d.text());
    }
    stacked(sheet, d, d.figure, middle);
}

/// Draws a dimension along y, too short for its figure, with the figure level at the height
/// `below`, at the end of the lengthened dimension line.
pub(crate) fn dimension_up_below(sheet: &mut Sheet, d: &Dimension, below: f64) {
    let (_, high) = ordered(d.between);
    lines(sheet, d, (below - high).max(0.0), |along, off| point(off, along));
    stacked(sheet, d, &d.text(), below);
}

/// Room that [`dimension_up_below`] needs beside its line, mm.
pub(crate) fn room_below(d: &Dimension) -> f64 {
    ASIDE + stacked_width(&d.text())
}

/// The figure in two lines about the height `middle`, beside the dimension line.
fn stacked(sheet: &mut Sheet, d: &Dimension, text: &str, middle: f64) {
    let (first, second) = halves(text);
    let (x, anchor) = if d.line > d.edge {
        (d.line + ASIDE, Anchor::Start)
    } else {
        (d.line - ASIDE, Anchor::End)
    };
    let lettering = Lettering::new(FIGURES).anchored(anchor);
    if second.is_empty() {
        return sheet.text(point(x, middle + FIGURES * 0.36), lettering, first);
    }
    sheet.text(point(x, middle - 0.3), lettering, first);
    sheet.text(point(x, middle - 0.3 + FIGURES * 1.2), lettering, second);
}

fn width(text: &str) -> f64 {
    text_width(text, FIGURES, Default::default())
}

fn stacked_width(text: &str) -> f64 {
    let (a, b) = halves(text);
    width(a).max(width(b))
}

/// `1120 mm` and `(44 3/32 + in)`.
fn halves(text: &str) -> (&str, &str) {
    match text.find(" (") {
        Some(at) => (&text[..at], &text[at + 1..]),
        None => (text, ""),
    }
}

fn ordered((a, b): (f64, f64)) -> (f64, f64) {
    if a <= b { (a, b) } else { (b, a) }
}

/// `longer`: how far the dimension line goes on past its far end, mm.
fn lines(sheet: &mut Sheet, d: &Dimension, longer: f64, place: impl Fn(f64, f64) -> Point) {
    let (low, high) = ordered(d.between);
    let away = (d.line - d.edge).signum();
    let mut path = Path::new();
    for along in [low, high] {
        path.move_to(place(along, d.edge + away * GAP));
        path.line_to(place(along, d.line + away * BEYOND));
    }
    let outside = d.span() < TIGHT;
    let reach = if outside { 2.0 * ARROW } else { 0.0 };
    path.move_to(place(low - reach, d.line));
    path.line_to(place(high + f64::max(reach, longer), d.line));
    sheet.path(path, LineStyle::Thin);
    let inward = if outside { -1.0 } else { 1.0 };
    let mut heads = Path::new();
    for (tip, way) in [(low, inward), (high, -inward)] {
        let back = tip + way * ARROW;
        heads.move_to(place(tip, d.line));
        heads.line_to(place(back, d.line - ARROW_HALF));
        heads.line_to(place(back, d.line + ARROW_HALF));
        heads.close();
    }
    sheet.fill(heads, Colour::BLACK);
}

/// A filled arrowhead with its tip at `tip`, pointing along `angle` (radians, counter-clockwise
/// as seen on paper), `length` mm long.
pub(crate) fn arrowhead(path: &mut Path, tip: Point, angle: f64, length: f64, half: f64) {
    // The paper's y points down.
    let way = Point::polar(1.0, -angle);
    let back = tip - way * length;
    path.move_to(tip);
    path.line_to(back + way.left() * half);
    path.line_to(back - way.left() * half);
    path.close();
}
