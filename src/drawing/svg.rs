//! A small, strict SVG writer: a sheet of paper in millimetres.

use super::html::escape;
use super::lettering::{ASCENT, DESCENT};
use super::path::number;
use super::{Colour, LineStyle, Path, Weight, text_width};
use crate::geometry::{Point, point};
use std::fmt::Write;

/// Blank air about a text that stands on a plate, mm.
const PLATE: f64 = 0.5;

/// A sheet of paper. Everything is placed in millimetres from its upper left corner, y down.
#[derive(Clone, Debug)]
pub struct Sheet {
    width: f64,
    height: f64,
    name: String,
    title: String,
    definitions: String,
    items: Vec<Item>,
    texts: Vec<TextBox>,
    marks: usize,
}

/// What stands on a sheet.
#[derive(Clone, Debug)]
pub(crate) enum Item {
    /// A stroked path, as path data.
    Stroke(String, Pen),
    /// A filled path.
    Fill(String, Colour),
    /// A text, its place that of its anchor.
    Text(Point, Lettering, String),
    /// A group of this class begins.
    Open(String),
    /// The innermost group ends.
    Close,
    /// What only SVG has: clips, kept paths, pictures.
    Markup(String),
}

/// Where a text stands on the sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct TextBox {
    /// The text.
    pub text: String,
    /// Upper left corner.
    pub low: Point,
    /// Lower right corner.
    pub high: Point,
}

impl TextBox {
    /// Whether two texts cover one another.
    #[must_use]
    pub fn overlaps(&self, other: &TextBox) -> bool {
        self.low.x < other.high.x
            && other.low.x < self.high.x
            && self.low.y < other.high.y
            && other.low.y < self.high.y
    }
}

/// Which point of a text its place names.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Anchor {
    /// The start of the baseline.
    #[default]
    Start,
    /// The middle of the baseline.
    Middle,
    /// The end of the baseline.
    End,
}

/// How a text is lettered.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lettering {
    /// Size (em), mm.
    pub size: f64,
    /// Weight.
    pub weight: Weight,
    /// Anchor.
    pub anchor: Anchor,
    /// Reads from the right-hand side of the sheet: turned a quarter turn counter-clockwise.
    pub turned: bool,
    /// Stands on a plate of paper that hides the lines behind it.
    pub plate: bool,
    /// Colour.
    pub colour: Colour,
}

impl Lettering {
    /// Regular black lettering.
    #[must_use]
    pub fn new(size: f64) -> Lettering {
        Lettering {
            size,
            weight: Weight::Regular,
            anchor: Anchor::Start,
            turned: false,
            plate: false,
            colour: Colour::BLACK,
        }
    }

    /// In bold.
    #[must_use]
    pub fn bold(mut self) -> Lettering {
        self.weight = Weight::Bold;
        self
    }

    /// With another anchor.
    #[must_use]
    pub fn anchored(mut self, anchor: Anchor) -> Lettering {
        self.anchor = anchor;
        self
    }

    /// Reading from the right.
    #[must_use]
    pub fn turned(mut self) -> Lettering {
        self.turned = true;
        self
    }

    /// On a plate of paper.
    #[must_use]
    pub fn plated(mut self) -> Lettering {
        self.plate = true;
        self
    }

    /// In another colour.
    #[must_use]
    pub fn coloured(mut self, colour: Colour) -> Lettering {
        self.colour = colour;
        self
    }

    /// Where a text starts along its baseline, from the point that its place names.
    pub(super) fn start(&self, text: &str) -> f64 {
        let width = text_width(text, self.size, self.weight);
        match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => -width / 2.0,
            Anchor::End => -width,
        }
    }

    /// The box that a text would fill.
    #[must_use]
    pub fn text_box(&self, at: Point, text: &str) -> TextBox {
        let width = text_width(text, self.size, self.weight);
        let start = self.start(text);
        let (up, down) = (ASCENT * self.size, DESCENT * self.size);
        let (low, high) = if self.turned {
            (point(at.x - up, at.y - start - width), point(at.x + down, at.y - start))
        } else {
            (point(at.x + start, at.y - up), point(at.x + start + width, at.y + down))
        };
        TextBox { text: text.to_string(), low, high }
    }
}

/// Colour and line of a stroke that is not one of the standard's.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Pen {
    pub(crate) colour: Colour,
    pub(crate) width: f64,
    pub(crate) dashes: Vec<f64>,
    /// Ends and corners are round, as a cutter leaves them.
    pub(crate) round: bool,
}

impl Pen {
    pub(crate) fn solid(colour: Colour, width: f64) -> Pen {
        Pen { colour, width, dashes: Vec::new(), round: true }
    }

    pub(crate) fn style(style: LineStyle, colour: Colour) -> Pen {
        Pen { colour, width: style.width(), dashes: style.dashes(), round: false }
    }

    fn attributes(&self) -> String {
        let mut out = format!(
            " fill=\"none\" stroke=\"{}\" stroke-width=\"{}\"",
            self.colour.hex(),
            number(self.width)
        );
        if !self.dashes.is_empty() {
            let list: Vec<String> = self.dashes.iter().map(|&d| number(d)).collect();
            let _ = write!(out, " stroke-dasharray=\"{}\"", list.join(" "));
        }
        if self.round {
            out.push_str(" stroke-linecap=\"round\" stroke-linejoin=\"round\"");
        }
        out
    }
}

impl Sheet {
    /// An empty sheet, millimetres. `name` sets the sheet's marks apart from those of other
    /// sheets on one page; only its letters and figures count.
    #[must_use]
    pub fn new(name: &str, title: &str, width: f64, height: f64) -> Sheet {
        Sheet {
            width,
            height,
            name: name.chars().filter(char::is_ascii_alphanumeric).collect(),
            title: title.to_string(),
            definitions: String::new(),
            items: Vec::new(),
            texts: Vec::new(),
            marks: 0,
        }
    }

    /// Width, mm.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.width
    }

    /// Height, mm.
    #[must_use]
    pub fn height(&self) -> f64 {
        self.height
    }

    /// Cuts the sheet to another height, mm.
    pub fn set_height(&mut self, height: f64) {
        self.height = height;
    }

    /// Where its texts stand.
    #[must_use]
    pub fn texts(&self) -> &[TextBox] {
        &self.texts
    }

    /// A line from point to point.
    pub fn line(&mut self, from: Point, to: Point, style: LineStyle) {
        let mut path = Path::new();
        path.move_to(from);
        path.line_to(to);
        self.path(path, style);
    }

    /// A path in one of the standard's lines, black.
    pub fn path(&mut self, path: Path, style: LineStyle) {
        self.stroke(path, &Pen::style(style, Colour::BLACK));
    }

    /// A path in any line.
    pub(crate) fn stroke(&mut self, path: Path, pen: &Pen) {
        if !path.is_empty() {
            self.items.push(Item::Stroke(path.data(), pen.clone()));
        }
    }

    /// A filled path.
    pub fn fill(&mut self, path: Path, colour: Colour) {
        if !path.is_empty() {
            self.items.push(Item::Fill(path.data(), colour));
        }
    }

    /// A filled rectangle.
    pub fn fill_box(&mut self, low: Point, high: Point, colour: Colour) {
        self.fill(rectangle(low, high), colour);
    }

    /// Keeps a path for several strokes; see [`Sheet::stroke_kept`].
    pub(crate) fn keep(&mut self, path: Path) -> String {
        let mark = self.mark();
        let _ = writeln!(self.definitions, "<path id=\"{mark}\" d=\"{}\"/>", path.data());
        mark
    }

    /// Strokes a kept path.
    pub(crate) fn stroke_kept(&mut self, mark: &str, pen: &Pen) {
        self.items.push(Item::Markup(format!("<use href=\"#{mark}\"{}/>\n", pen.attributes())));
    }

    /// A text. Line breaks and other control characters become blanks.
    pub fn text(&mut self, at: Point, lettering: Lettering, text: &str) {
        let text: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
        if text.trim().is_empty() {
            return;
        }
        let area = lettering.text_box(at, &text);
        if lettering.plate {
            let air = point(PLATE, PLATE / 2.0);
            self.fill_box(area.low - air, area.high + air, Colour::WHITE);
        }
        self.items.push(Item::Text(at, lettering, text));
        self.texts.push(area);
    }

    /// Writes the text at the first of the places where it covers no other text and lies inside
    /// `low`..`high`; tells whether there was one.
    pub fn text_where_free(
        &mut self,
        places: &[(Point, Lettering)],
        text: &str,
        low: Point,
        high: Point,
    ) -> bool {
        let free = places.iter().find(|(at, lettering)| {
            let area = lettering.text_box(*at, text);
            let inside = area.low.x >= low.x
                && area.low.y >= low.y
                && area.high.x <= high.x
                && area.high.y <= high.y;
            inside && !self.texts.iter().any(|t| t.overlaps(&area))
        });
        if let Some(&(at, lettering)) = free {
            self.text(at, lettering, text);
        }
        free.is_some()
    }

    /// What `draw` draws goes into a group of that class.
    pub fn group(&mut self, class: &str, draw: impl FnOnce(&mut Sheet)) {
        self.items.push(Item::Open(class.to_string()));
        draw(self);
        self.items.push(Item::Close);
    }

    /// What `draw` draws is cut off at a rectangle.
    pub fn clipped(&mut self, low: Point, high: Point, draw: impl FnOnce(&mut Sheet)) {
        let mark = self.mark();
        let data = rectangle(low, high).data();
        let _ =
            writeln!(self.definitions, "<clipPath id=\"{mark}\"><path d=\"{data}\"/></clipPath>");
        self.items.push(Item::Markup(format!("<g clip-path=\"url(#{mark})\">\n")));
        draw(self);
        self.items.push(Item::Close);
    }

    /// The whole as SVG text, the same bytes for the same drawing.
    #[must_use]
    pub fn svg(&self) -> String {
        let (w, h) = (number(self.width), number(self.height));
        let title: String =
            self.title.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
        let mut out = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" \
             viewBox=\"0 0 {w} {h}\" role=\"img\" \
             font-family=\"'DejaVu Sans', sans-serif\">\n<title>{}</title>\n",
            escape(&title)
        );
        if !self.definitions.is_empty() {
            let _ = writeln!(out, "<defs>\n{}</defs>", self.definitions);
        }
        let _ = writeln!(out, "<path d=\"M0 0h{w}v{h}h-{w}z\" fill=\"#ffffff\"/>");
        self.items.iter().for_each(|item| item.write(&mut out));
        out.push_str("</svg>\n");
        out
    }

    /// All that stands on it, in the order in which it was put there.
    pub(crate) fn items(&self) -> &[Item] {
        &self.items
    }

    fn mark(&mut self) -> String {
        self.marks += 1;
        format!("{}-{}", if self.name.is_empty() { "sheet" } else { &self.name }, self.marks)
    }
}

impl Item {
    fn write(&self, out: &mut String) {
        let _ = match self {
            Item::Stroke(data, pen) => {
                writeln!(out, "<path d=\"{data}\"{}/>", pen.attributes())
            }
            Item::Fill(data, colour) => {
                writeln!(out, "<path d=\"{data}\" fill=\"{}\"/>", colour.hex())
            }
            Item::Text(at, lettering, text) => {
                write_text(out, *at, lettering, text);
                Ok(())
            }
            Item::Open(class) => writeln!(out, "<g class=\"{}\">", escape(class)),
            Item::Close => writeln!(out, "</g>"),
            Item::Markup(markup) => write!(out, "{markup}"),
        };
    }
}

fn write_text(out: &mut String, at: Point, lettering: &Lettering, text: &str) {
    let _ = write!(out, "<text x=\"{}\" y=\"{}\"", number(at.x), number(at.y));
    let _ = write!(out, " font-size=\"{}\"", number(lettering.size));
    match lettering.anchor {
        Anchor::Start => {}
        Anchor::Middle => out.push_str(" text-anchor=\"middle\""),
        Anchor::End => out.push_str(" text-anchor=\"end\""),
    }
    if lettering.weight == Weight::Bold {
        out.push_str(" font-weight=\"bold\"");
    }
    if lettering.turned {
        let (x, y) = (number(at.x), number(at.y));
        let _ = write!(out, " transform=\"rotate(-90 {x} {y})\"");
    }
    if lettering.colour != Colour::BLACK {
        let _ = write!(out, " fill=\"{}\"", lettering.colour.hex());
    }
    let _ = writeln!(out, ">{}</text>", escape(text));
}

/// A closed rectangle.
pub(crate) fn rectangle(low: Point, high: Point) -> Path {
    let mut path = Path::new();
    path.move_to(low);
    path.line_to(point(high.x, low.y));
    path.line_to(high);
    path.line_to(point(low.x, high.y));
    path.close();
    path
}

/// A closed circle.
pub(crate) fn circle(centre: Point, radius: f64) -> Path {
    let mut path = Path::new();
    let start = centre + point(radius, 0.0);
    path.move_to(start);
    path.arc_to(centre, std::f64::consts::TAU, start);
    path.close();
    path
}
