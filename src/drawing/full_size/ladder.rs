//! Dimensions beside a view, the short ones near it: one above the other, so that no figure
//! covers another and no extension line goes through one where that can be had.

use super::{Drawing, Layer, TEXT};
use crate::drawing::{Anchor, Lettering, LineStyle, Weight, text_width};
use crate::geometry::{Point, point};
use crate::units::Shown;

/// From one dimension line to the next, mm.
const PITCH: f64 = 8.0;
/// From the view to the first, mm.
const FIRST: f64 = 10.0;
/// Length of an arrowhead and half its width, mm: about 17 degrees.
const ARROW: (f64, f64) = (3.2, 0.48);
/// Extension lines leave so much at the edge, and go so far beyond the dimension line, mm.
const GAP: f64 = 1.0;
const BEYOND: f64 = 1.5;
/// From the dimension line to the baseline of its figure, mm: its plate must not touch the line.
const LIFT: f64 = 1.4;
/// Least distance from a figure to an arrowhead, a line or another figure, mm.
const AIR: f64 = 1.5;
/// A dimension shorter than this says nothing, mm.
const LEAST: f64 = 0.05;

/// One dimension: what is measured, from where to where along the ladder's own direction, and
/// where the measured edges lie in the other.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Span {
    pub(super) name: String,
    pub(super) low: f64,
    pub(super) high: f64,
    pub(super) edges: (f64, f64),
}

impl Span {
    /// Between two edges at the same distance.
    pub(super) fn new(name: &str, from: f64, to: f64, edge: f64) -> Span {
        let (low, high) = if from <= to { (from, to) } else { (to, from) };
        Span { name: name.to_string(), low, high, edges: (edge, edge) }
    }
}

/// Which side of the view a ladder stands on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Beside {
    /// Under it: lengths across.
    Under,
    /// To its right: lengths up.
    Right,
    /// To its left: lengths up.
    Left,
}

struct Placed {
    span: Span,
    text: String,
    row: usize,
    /// The figure, and all that the row holds of this dimension.
    figure: (f64, f64),
    taken: (f64, f64),
}

/// Adds the dimensions on one side of all that is drawn so far.
pub(super) fn ladder(d: &mut Drawing, side: Beside, spans: Vec<Span>, shown: Shown) {
    let (low, high) = d.bounds();
    let (start, away) = match side {
        Beside::Under => (low.y - FIRST, -1.0),
        Beside::Right => (high.x + FIRST, 1.0),
        Beside::Left => (low.x - FIRST, -1.0),
    };
    for placed in arranged(spans, shown) {
        let line = start + away * PITCH * placed.row as f64;
        draw(d, side, &placed, line);
    }
}

fn arranged(mut spans: Vec<Span>, shown: Shown) -> Vec<Placed> {
    spans.retain(|s| s.high - s.low > LEAST);
    spans.sort_by(|a, b| (a.high - a.low).total_cmp(&(b.high - b.low)));
    let ends: Vec<f64> = spans.iter().flat_map(|s| [s.low, s.high]).collect();
    let least = ends.iter().copied().fold(f64::INFINITY, f64::min);
    let most = ends.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let mut done: Vec<Placed> = Vec::new();
    for span in spans {
        let text = format!("{} {}", span.name, shown.both(span.high - span.low));
        let width = text_width(&text, TEXT, Weight::Regular);
        let strict = |figure: (f64, f64)| {
            let apart = |end: &f64| *end < figure.0 - AIR / 2.0 || *end > figure.1 + AIR / 2.0;
            ends.iter().all(apart)
        };
        let places = figures(&span, width, &ends, (least, most));
        // Inside a row, then farther out; the last place lies beyond every end.
        let first_free = |figure: (f64, f64)| (0..).find(|&row| free(&done, row, &span, figure));
        let best = places
            .iter()
            .filter(|&&f| strict(f))
            .filter_map(|&f| Some((first_free(f)?, f)))
            .min_by_key(|&(row, _)| row);
        if let Some((row, figure)) = best {
            let taken = whole(&span, figure);
            done.push(Placed { span, text, row, figure, taken });
        }
    }
    done
}

/// Places for a figure, the best first.
fn figures(span: &Span, width: f64, ends: &[f64], all: (f64, f64)) -> Vec<(f64, f64)> {
    let mut places = Vec::new();
    let room = (span.low + ARROW.0 + AIR, span.high - ARROW.0 - AIR);
    let middle = (span.low + span.high) / 2.0;
    if room.1 - room.0 >= width {
        places.push(middle - width / 2.0);
        // Beside each extension line that would go through the middle.
        let mut beside: Vec<f64> = ends.iter().flat_map(|e| [e + AIR, e - AIR - width]).collect();
        beside.retain(|&at| at >= room.0 && at + width <= room.1);
        beside.sort_by(|a, b| {
            (a + width / 2.0 - middle).abs().total_cmp(&(b + width / 2.0 - middle).abs())
        });
        places.extend(beside);
    }
    let outside = 2.0 * ARROW.0 + AIR;
    places.extend([span.high + outside, span.low - outside - width]);
    // Past the extension lines that come next, the near ones first.
    let mut past: Vec<f64> = ends
        .iter()
        .flat_map(|e| [e + AIR, e - AIR - width])
        .filter(|at| *at > span.high + outside || at + width < span.low - outside)
        .collect();
    let far = |at: &f64| (at + width / 2.0 - middle).abs();
    past.sort_by(|a, b| far(a).total_cmp(&far(b)));
    places.extend(past);
    places.extend([all.1 + outside, all.0 - outside - width]);
    places.into_iter().map(|at| (at, at + width)).collect()
}

fn whole(span: &Span, figure: (f64, f64)) -> (f64, f64) {
    let reach = if tight(span) { 2.0 * ARROW.0 } else { 0.0 };
    (figure.0.min(span.low - reach), figure.1.max(span.high + reach))
}

/// Whether the arrowheads stand outside.
fn tight(span: &Span) -> bool {
    span.high - span.low < 3.0 * ARROW.0
}

fn free(done: &[Placed], row: usize, span: &Span, figure: (f64, f64)) -> bool {
    let own = whole(span, figure);
    done.iter().filter(|p| p.row == row).all(|p| own.1 + AIR < p.taken.0 || own.0 - AIR > p.taken.1)
}

fn draw(d: &mut Drawing, side: Beside, placed: &Placed, line: f64) {
    let place = |along: f64, off: f64| match side {
        Beside::Under => point(along, off),
        Beside::Right | Beside::Left => point(off, along),
    };
    let span = &placed.span;
    let layer = Layer::Dimensions;
    for (along, edge) in [(span.low, span.edges.0), (span.high, span.edges.1)] {
        let away = (line - edge).signum();
        let (from, to) = (edge + away * GAP, line + away * BEYOND);
        d.line(layer, LineStyle::Thin, place(along, from), place(along, to));
    }
    let reach = if tight(span) { 2.0 * ARROW.0 } else { 0.0 };
    let from = (span.low - reach).min(placed.figure.0);
    let to = (span.high + reach).max(placed.figure.1);
    d.line(layer, LineStyle::Thin, place(from, line), place(to, line));
    let inward = if tight(span) { -1.0 } else { 1.0 };
    for (tip, way) in [(span.low, inward), (span.high, -inward)] {
        let back = tip + way * ARROW.0;
        let corners = [place(tip, line), place(back, line - ARROW.1), place(back, line + ARROW.1)];
        d.filled(layer, &corners);
    }
    let lettering = Lettering::new(TEXT).plated();
    match side {
        Beside::Under => {
            d.text(layer, point(placed.figure.0, line + LIFT), lettering, &placed.text);
        }
        Beside::Right | Beside::Left => {
            let at = point(line - LIFT, placed.figure.0);
            d.text(layer, at, lettering.turned(), &placed.text);
        }
    }
}

/// A leader: a text on a short line, whose arrow touches `tip` coming from `from`.
pub(super) fn leader(d: &mut Drawing, tip: Point, from: Point, text: &str) {
    let Some(way) = (tip - from).unit() else { return };
    let back = tip - way * ARROW.0;
    let layer = Layer::Dimensions;
    d.filled(layer, &[tip, back + way.left() * ARROW.1, back - way.left() * ARROW.1]);
    d.line(layer, LineStyle::Thin, from, tip);
    let width = text_width(text, TEXT, Weight::Regular);
    // The shelf that carries the text goes on to the side the arrow comes from.
    let side = if from.x >= tip.x { 1.0 } else { -1.0 };
    d.line(layer, LineStyle::Thin, from, from + point(side * (width + 2.0 * AIR), 0.0));
    let (x, anchor) = if side > 0.0 { (AIR, Anchor::Start) } else { (-AIR, Anchor::End) };
    let lettering = Lettering::new(TEXT).anchored(anchor).plated();
    d.text(layer, from + point(x, LIFT), lettering, text);
}
