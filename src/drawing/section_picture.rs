//! A moulding's section as it lies, with the passes that make it: what is wanted, what each
//! cutter leaves, and what no cutter reaches.

use super::hatch::hatch;
use super::svg::{Pen, circle};
use super::{
    Anchor, Colour, Dimension, Lettering, LineStyle, Path, Scale, Sheet, View, Weight,
    dimension_across, dimension_up, mixed, wrapped,
};
use crate::geometry::{Contour, Point, point};
use crate::units::Shown;
use std::f64::consts::FRAC_PI_4;

/// A section and its passes. u across the sweep to the right, z up from the table; mm.
#[derive(Debug)]
pub struct SectionPicture<'a> {
    /// The part's name.
    pub name: &'a str,
    /// What is wanted, closed.
    pub wanted: &'a Contour,
    /// The stock's top.
    pub top: f64,
    /// Least and greatest u that roughing reaches.
    pub reach: (f64, f64),
    /// Roughing, then each finishing cutter.
    pub passes: Vec<SectionPass<'a>>,
    /// Whether more than ridges stays over what is wanted.
    pub stays: bool,
    /// How lengths are written.
    pub shown: Shown,
}

/// The passes of one cutter.
#[derive(Debug)]
pub struct SectionPass<'a> {
    /// The cutter's title.
    pub cutter: &'a str,
    /// Where its tip runs.
    pub tips: &'a [Point],
    /// Its end about its tip, from left to right.
    pub end: &'a [Point],
    /// What stands after it, from left to right.
    pub after: &'a [Point],
}

/// Width of the sheet and its margin, mm of paper.
const WIDTH: f64 = 190.0;
const MARGIN: f64 = 3.0;
/// Room of the view, mm of paper.
const ROOM: Point = Point { x: 150.0, y: 85.0 };
/// What is drawn beside the section at most, mm of the model: passes along its edges run there.
const BESIDE: f64 = 8.0;
/// Room left of the view, for the height.
const LEFT: f64 = 24.0;
/// Rows of dimensions and of the legend, mm of paper.
const ROW: f64 = 5.0;
/// Size of lettering, mm of paper.
const BODY: f64 = 2.6;
/// Hatching lies this far apart, mm of paper.
const PITCH: f64 = 2.4;
/// A mark's radius, mm of paper.
const MARK: f64 = 0.55;
/// How far a cutter's outline is drawn up from its tip, mm of paper.
const SHANK: f64 = 14.0;

/// Roughing first; then finishing cutters in turn.
const COLOURS: [Colour; 4] = [Colour::BLACK, Colour::BLUE, Colour::VERMILION, Colour::BLUISH_GREEN];

/// The picture as SVG.
#[must_use]
pub fn section_picture(of: &SectionPicture<'_>) -> String {
    let mut sheet = Sheet::new(&format!("section{}", of.name), "Section and passes", WIDTH, 400.0);
    let (low, high) = of.sides();
    let scale = Scale::fitting(high - low, of.top, ROOM);
    let k = scale.factor();
    let caption =
        format!("{}, {}, seen along the moulding; the path lies left", of.name, scale.ratio());
    let mut y = MARGIN + BODY;
    for line in wrapped(&caption, BODY, Weight::Regular, WIDTH - 2.0 * MARGIN, 2) {
        sheet.text(point(MARGIN, y), Lettering::new(BODY), &line);
        y += BODY * 1.4;
    }
    let sky = y + ROW + 1.0;
    let view = View { origin: point(LEFT - low * k, sky + of.top * k), across: k, up: k };
    let floor = view.origin.y;
    let (from, to) = (view.at(point(low, of.top)), view.at(point(high, 0.0)));
    // Lines of the stock's edges are whole, and cutters stand out above.
    sheet.clipped(from - point(0.5, ROW), to + point(0.5, 1.0), |sheet| {
        wood(sheet, of, &view);
        cutters(sheet, of, &view);
    });
    sizes(&mut sheet, of, &view);
    let below = legend(&mut sheet, of, floor + ROW * 2.4);
    sheet.set_height(below + MARGIN);
    sheet.svg()
}

fn colour(index: usize) -> Colour {
    COLOURS[index % COLOURS.len()]
}

fn remainder() -> Colour {
    mixed(Colour::ORANGE, Colour::WHITE, 0.25)
}

fn polyline(view: &View, points: impl Iterator<Item = Point>) -> Path {
    let mut path = Path::new();
    for (i, p) in points.enumerate() {
        let at = view.at(p);
        if i == 0 { path.move_to(at) } else { path.line_to(at) }
    }
    path
}

/// Stock, what stands at the end over what is wanted, and what is wanted.
fn wood(sheet: &mut Sheet, of: &SectionPicture<'_>, view: &View) {
    let (low, high) = of.reach;
    let mut stock = Path::new();
    for (i, p) in [(low, of.top), (low, 0.0), (high, 0.0), (high, of.top)].into_iter().enumerate() {
        let at = view.at(point(p.0, p.1));
        if i == 0 { stock.move_to(at) } else { stock.line_to(at) }
    }
    let Some((least, most)) = of.wanted.bounds() else { return };
    if let Some(last) = of.passes.last() {
        let over = last.after.iter().filter(|p| (least.x..=most.x).contains(&p.x));
        let mut stands = polyline(view, over.copied());
        let end = stands.end();
        stands.line_to(point(end.x, view.origin.y));
        stands.line_to(view.at(point(least.x, 0.0)));
        stands.close();
        sheet.fill(stands, remainder());
    }
    let mut wanted = Path::new();
    view.contour(&mut wanted, of.wanted);
    sheet.fill(wanted, mixed(Colour::ORANGE, Colour::WHITE, 0.88));
    let mut lines = Path::new();
    for (a, b) in hatch(of.wanted, FRAC_PI_4, PITCH / view.across) {
        lines.move_to(view.at(a));
        lines.line_to(view.at(b));
    }
    sheet.stroke(lines, &Pen::style(LineStyle::Thin, mixed(Colour::BLACK, Colour::WHITE, 0.6)));
    sheet.path(stock, LineStyle::Adjacent);
    let board = [point(low, 0.0), point(high, 0.0)];
    sheet.path(polyline(view, board.into_iter()), LineStyle::Visible);
    let mut outline = Path::new();
    view.contour(&mut outline, of.wanted);
    sheet.path(outline, LineStyle::Visible);
}

/// The roughed line, marks of all passes, and the end of each cutter once.
fn cutters(sheet: &mut Sheet, of: &SectionPicture<'_>, view: &View) {
    if let Some(rough) = of.passes.first() {
        let line = polyline(view, rough.after.iter().copied());
        sheet.path(line, LineStyle::Hidden);
    }
    for (i, pass) in of.passes.iter().enumerate().skip(1) {
        let fill = colour(i);
        // The pass in the middle shows the cutter.
        if let Some(tip) = pass.tips.get(pass.tips.len() / 2) {
            let tall = SHANK / view.up;
            let mut end: Vec<Point> = pass.end.iter().filter(|p| p.y <= tall).copied().collect();
            if let (Some(first), Some(last)) = (end.first().copied(), end.last().copied()) {
                end.insert(0, point(first.x, tall.max(first.y)));
                end.push(point(last.x, tall.max(last.y)));
            }
            let shank = polyline(view, end.into_iter().map(|p| *tip + p));
            sheet.stroke(shank, &Pen::style(LineStyle::Thin, fill));
        }
        for tip in pass.tips {
            sheet.fill(circle(view.at(*tip), MARK), fill);
        }
    }
}

fn sizes(sheet: &mut Sheet, of: &SectionPicture<'_>, view: &View) {
    let Some((low, high)) = of.wanted.bounds() else { return };
    let figure = of.shown.both(high.y - low.y);
    let (bottom, top) = (view.at(low), view.at(high));
    let stock_left = view.at(point(of.sides().0, 0.0)).x;
    dimension_up(
        sheet,
        &Dimension {
            between: (top.y, bottom.y),
            edge: bottom.x,
            line: stock_left - ROW,
            name: "",
            figure: &figure,
        },
    );
    let figure = of.shown.both(high.x - low.x);
    dimension_across(
        sheet,
        &Dimension {
            between: (bottom.x, top.x),
            edge: bottom.y,
            line: bottom.y + ROW + 1.0,
            name: "",
            figure: &figure,
        },
        true,
    );
}

/// What is what; gives where it ends.
fn legend(sheet: &mut Sheet, of: &SectionPicture<'_>, y: f64) -> f64 {
    let mut row = y + ROW;
    let text_at = |row: f64| point(MARGIN + 14.0, row + BODY * 0.36);
    let sample = |row: f64| (point(MARGIN, row), point(MARGIN + 11.0, row));
    let say = |sheet: &mut Sheet, row: f64, text: &str| {
        let room = WIDTH - 2.0 * MARGIN - 14.0;
        let text = super::shortened(text, BODY, Weight::Regular, room);
        sheet.text(text_at(row), Lettering::new(BODY).anchored(Anchor::Start), &text);
    };
    let (from, to) = sample(row);
    sheet.line(from, to, LineStyle::Visible);
    say(sheet, row, "wanted");
    if let Some(rough) = of.passes.first() {
        row += ROW;
        let (from, to) = sample(row);
        sheet.line(from, to, LineStyle::Hidden);
        say(sheet, row, &format!("as {} roughs it", rough.cutter));
    }
    for (i, pass) in of.passes.iter().enumerate().skip(1) {
        row += ROW;
        sheet.fill(circle(point(MARGIN + 5.5, row), MARK), colour(i));
        let plural = if pass.tips.len() == 1 { "pass" } else { "passes" };
        let count = pass.tips.len();
        say(sheet, row, &format!("{count} {plural} of {}, its end drawn at one", pass.cutter));
    }
    if of.stays {
        row += ROW;
        let (from, to) = sample(row);
        sheet.fill_box(from - point(0.0, 1.3), to + point(0.0, 1.3), remainder());
        say(sheet, row, "stays: none of these cutters reaches it");
    }
    row + ROW * 0.6
}

impl SectionPicture<'_> {
    /// Least and greatest u that is drawn.
    fn sides(&self) -> (f64, f64) {
        let Some((low, high)) = self.wanted.bounds() else { return self.reach };
        (self.reach.0.max(low.x - BESIDE), self.reach.1.min(high.x + BESIDE))
    }
}
