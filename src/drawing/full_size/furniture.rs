//! What every drawing carries: its title, notes, and bars to check a print by.

use super::{Drawing, Layer, TEXT};
use crate::drawing::{Lettering, LineStyle};
use crate::geometry::{Contour, Point, point};
use crate::units::INCH;

/// Size of the title, mm.
const TITLE: f64 = 5.0;
/// From line to line, mm.
const LINE: f64 = 6.0;
/// From the drawing down to the bars, mm.
const APART: f64 = 12.0;
/// Height of a bar, mm.
const BAR: f64 = 3.0;
/// The bars' lengths, mm.
pub(super) const BARS: [(f64, &str); 2] =
    [(100.0, "100 mm exactly, or the print is not full size"), (4.0 * INCH, "4 in exactly")];
/// From one bar to the next, mm.
const BAR_PITCH: f64 = 8.0;

/// Under all that is drawn, from the left: bars, title, notes.
pub(super) fn furnish(d: &mut Drawing, job: &str, notes: &[String]) {
    let (low, _) = d.bounds();
    let mut at = point(low.x, low.y - APART);
    for (length, text) in BARS {
        bar(d, at, length, text);
        at.y -= BAR_PITCH;
    }
    at.y -= LINE / 2.0;
    let title = format!("{}: full size, 1 : 1", d.title);
    d.text(Layer::Lettering, at, Lettering::new(TITLE).bold(), &title);
    at.y -= LINE * 1.2;
    d.text(Layer::Lettering, at, Lettering::new(TEXT).bold(), job);
    for note in notes {
        at.y -= LINE;
        d.text(Layer::Lettering, at, Lettering::new(TEXT), note);
    }
}

/// A bar in four fields, the first and third filled, its lower left corner at `at`.
pub(super) fn bar(d: &mut Drawing, at: Point, length: f64, text: &str) {
    let layer = Layer::CheckBars;
    let high = at + point(length, BAR);
    d.contour(layer, LineStyle::Thin, Contour::rectangle(at, high));
    for field in [0.0, 0.5] {
        let (x0, x1) = (at.x + length * field, at.x + length * (field + 0.25));
        let corners = [point(x0, at.y), point(x1, at.y), point(x1, high.y), point(x0, high.y)];
        d.filled(layer, &corners);
    }
    d.text(layer, at + point(length + 3.0, 0.2), Lettering::new(TEXT), text);
}
