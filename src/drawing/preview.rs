//! The picture of one program: plan, side view, legend and title block on one sheet.

mod facts;
mod layout;
mod legend;
mod part_size;
mod pens;
mod plan;
mod side;
mod title_block;

use super::{Sheet, Weight, svg::Lettering, wrapped};
use crate::geometry::{Box3, Contour, Point, point};
use crate::ngc::Event;
use crate::shop::Cutter;
use crate::units::Shown;
use facts::Facts;
pub(crate) use plan::{zero_axes, zero_shafts, zero_symbol};

/// Width of the sheet, mm: what A4 and letter hold upright between margins, so that a print at
/// full size is to scale.
pub(crate) const WIDTH: f64 = 190.0;
/// Blank edge, mm.
pub(crate) const MARGIN: f64 = 3.0;
/// Size of titles, of headings, of text, of captions, mm. At 1,000 pixels for 190 mm the
/// captions are 11 pixels.
pub(crate) const TITLE: f64 = 4.4;
pub(crate) const HEADING: f64 = 2.9;
pub(crate) const BODY: f64 = 2.4;
pub(crate) const CAPTION: f64 = 2.1;

/// What a picture is drawn from. Lengths mm, in work coordinates.
#[derive(Clone, Copy, Debug)]
pub struct PreviewInput<'a> {
    /// What is being made; empty where the page around the picture says it.
    pub title: &'a str,
    /// The program's file name.
    pub program_name: &'a str,
    /// The program's SHA-256 in hexadecimal; the first twelve figures are shown.
    pub sha256: &'a str,
    /// What the text does.
    pub events: &'a [Event],
    /// The stock, if known.
    pub stock: Option<Box3>,
    /// Outlines of the finished part, if known.
    pub part: &'a [Contour],
    /// Clamps and other things in the way, by name.
    pub clamps: &'a [(String, Box3)],
    /// Places of screws.
    pub screws: &'a [Point],
    /// The shop's cutters.
    pub cutters: &'a [Cutter],
    /// Seconds of each event, in the order of `events`; may be empty.
    pub seconds: &'a [f64],
    /// How lengths are shown.
    pub shown: Shown,
    /// Direction of the grain, radians from x, if there is one.
    pub grain: Option<f64>,
}

/// The picture as SVG text. The same input gives the same bytes.
#[must_use]
pub fn preview(input: &PreviewInput) -> String {
    preview_sheet(input).svg()
}

/// The picture as a sheet, 190 mm wide and as high as it needs.
#[must_use]
pub fn preview_sheet(input: &PreviewInput) -> Sheet {
    let facts = Facts::new(input);
    // The name keeps the marks of several pictures on one page apart.
    let name = format!("p{}", input.sha256.get(..12).unwrap_or(input.program_name));
    // Beside a title of its own the picture needs none; its reader still does.
    let untitled = input.title.is_empty();
    // Cut to what is used at the end.
    let mut sheet =
        Sheet::new(&name, [input.title, input.program_name][usize::from(untitled)], WIDTH, 1000.0);
    let mut y = MARGIN;
    for line in wrapped(input.title, TITLE, Weight::Bold, WIDTH - 2.0 * MARGIN, 2) {
        y += TITLE * 1.15;
        sheet.text(point(MARGIN, y), Lettering::new(TITLE).bold(), &line);
    }
    y += if untitled { 0.0 } else { 2.0 };
    let layout = layout::Layout::new(&facts);
    y = plan::draw(&mut sheet, &facts, &layout, y) + 3.0;
    y = side::draw(&mut sheet, &facts, &layout, y) + 3.0;
    y = legend::draw(&mut sheet, &facts, &layout, y) + 2.5;
    y = title_block::draw(&mut sheet, &facts, &layout, y);
    sheet.set_height(y + MARGIN);
    sheet
}
