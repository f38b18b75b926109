//! Drawings at full size: one neutral model, and one file for each format that writes it.
//!
//! A drawing is a list of lines, arrowheads and texts on layers, in millimetres, x to the right,
//! y up, one to one. Lines after ISO 128-2, dimensions after ISO 129-1, lettering about 2.5 mm
//! high as in ISO 3098's series. Conventions from memory of the standards.

mod dxf;
mod elevation;
mod furniture;
mod gaps;
mod ink;
mod inset;
mod ladder;
mod mitre;
mod pdf;
mod plan;
mod section;
mod spread;
mod story_stick;
mod template;
mod tiles;

pub use dxf::dxf;
pub use pdf::{pages, pdf, pdf_and_pages};
pub use template::cap_template;
pub use tiles::{Paper, Tiling};

use super::{Colour, Lettering, LineStyle, Path, Sheet, View};
use crate::geometry::{Contour, Piece, Point, point};
use crate::layout::{Layout, Standing};
use crate::units::Shown;

/// Size (em) of names and figures, mm: capitals 2.55 mm high.
pub(super) const TEXT: f64 = 3.5;
/// Air about all that is drawn, mm.
const MARGIN: f64 = 12.0;

/// What a line or text belongs to, as the trade calls it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Layer {
    /// The wall's face.
    Wall,
    /// The frieze's board.
    Frieze,
    /// The panel.
    Panel,
    /// The bed mould.
    BedMold,
    /// The cap's board.
    Cap,
    /// The moulding round the cap.
    CapMolding,
    /// Mitre lines.
    Mitres,
    /// Centre lines.
    CentreLines,
    /// Stations and ordinates of the cap's front.
    Stations,
    /// The story stick's strips and marks.
    StoryStick,
    /// Hatching of cut wood.
    Hatching,
    /// Dimensions.
    Dimensions,
    /// Titles and notes.
    Lettering,
    /// Bars to check the print by.
    CheckBars,
}

impl Layer {
    /// All, in the order in which they are written.
    pub const ALL: [Layer; 14] = [
        Layer::Wall,
        Layer::Frieze,
        Layer::Panel,
        Layer::BedMold,
        Layer::Cap,
        Layer::CapMolding,
        Layer::Mitres,
        Layer::CentreLines,
        Layer::Stations,
        Layer::StoryStick,
        Layer::Hatching,
        Layer::Dimensions,
        Layer::Lettering,
        Layer::CheckBars,
    ];

    /// Its name in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Layer::Wall => "wall",
            Layer::Frieze => "frieze",
            Layer::Panel => "panel",
            Layer::BedMold => "bed-mould",
            Layer::Cap => "cap",
            Layer::CapMolding => "cap-moulding",
            Layer::Mitres => "mitres",
            Layer::CentreLines => "centre-lines",
            Layer::Stations => "stations",
            Layer::StoryStick => "story-stick",
            Layer::Hatching => "hatching",
            Layer::Dimensions => "dimensions",
            Layer::Lettering => "lettering",
            Layer::CheckBars => "check-bars",
        }
    }
}

/// What is drawn.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// Lines and true arcs.
    Line(LineStyle, Contour),
    /// A filled shape of three or four corners: an arrowhead, or a field of a check bar.
    Filled(Vec<Point>),
    /// A text whose place is that of its anchor; turned text reads upwards.
    Text(Point, Lettering, String),
}

/// Something on a layer.
#[derive(Clone, Debug, PartialEq)]
pub struct Entity {
    /// Where it belongs.
    pub layer: Layer,
    /// What it is.
    pub shape: Shape,
}

/// One drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    /// Its file's name, without ending.
    pub name: String,
    /// What it shows of what.
    pub title: String,
    /// All that is drawn, full size.
    pub entities: Vec<Entity>,
}

/// A header to be drawn.
#[derive(Clone, Copy, Debug)]
pub struct HeaderViews<'a> {
    /// The job's title.
    pub title: &'a str,
    /// The solved header.
    pub layout: &'a Layout,
    /// The bed mould's profile, if it is known.
    pub bed_mold: Option<Standing<'a>>,
    /// The cap moulding's.
    pub cymatium: Option<Standing<'a>>,
    /// The cap's ordinates: x along the chord from its left end, height over it.
    pub ordinates: &'a [Point],
    /// How lengths are told.
    pub shown: Shown,
}

/// Plan, elevation, section, the cap's template, the corner's mitre where there is one, and the
/// story stick.
#[must_use]
pub fn header_drawings(of: &HeaderViews<'_>) -> Vec<Drawing> {
    let mut all = vec![
        plan::plan(of),
        elevation::elevation(of),
        section::section(of),
        template::header_template(of),
    ];
    all.extend(mitre::mitre(of));
    all.push(story_stick::story_stick(of));
    all
}

impl Drawing {
    fn new(name: &str, title: String) -> Drawing {
        Drawing { name: name.to_string(), title, entities: Vec::new() }
    }

    fn contour(&mut self, layer: Layer, style: LineStyle, contour: Contour) {
        if !contour.vertices.is_empty() {
            self.entities.push(Entity { layer, shape: Shape::Line(style, contour) });
        }
    }

    fn piece(&mut self, layer: Layer, style: LineStyle, piece: Piece) {
        self.contour(layer, style, Contour::from_pieces(&[piece], false));
    }

    fn line(&mut self, layer: Layer, style: LineStyle, from: Point, to: Point) {
        self.piece(layer, style, Piece { from, to, bulge: 0.0 });
    }

    fn filled(&mut self, layer: Layer, corners: &[Point]) {
        self.entities.push(Entity { layer, shape: Shape::Filled(corners.to_vec()) });
    }

    fn text(&mut self, layer: Layer, at: Point, lettering: Lettering, text: &str) {
        let shape = Shape::Text(at, lettering, text.to_string());
        self.entities.push(Entity { layer, shape });
    }

    /// Lower left and upper right corner of everything, texts included.
    #[must_use]
    pub fn bounds(&self) -> (Point, Point) {
        let mut low = point(f64::INFINITY, f64::INFINITY);
        let mut high = point(f64::NEG_INFINITY, f64::NEG_INFINITY);
        let mut with = |p: Point| {
            low = point(low.x.min(p.x), low.y.min(p.y));
            high = point(high.x.max(p.x), high.y.max(p.y));
        };
        for entity in &self.entities {
            match &entity.shape {
                Shape::Line(_, contour) => {
                    if let Some((a, b)) = contour.bounds() {
                        with(a);
                        with(b);
                    }
                }
                Shape::Filled(corners) => corners.iter().for_each(|&p| with(p)),
                Shape::Text(at, lettering, text) => {
                    let (a, b) = text_corners(*at, lettering, text);
                    with(a);
                    with(b);
                }
            }
        }
        if low.x > high.x { (point(0.0, 0.0), point(0.0, 0.0)) } else { (low, high) }
    }

    /// Where the drawing's origin lies on its sheet, paper millimetres from the upper left corner.
    #[must_use]
    pub fn origin(&self) -> Point {
        let (low, high) = self.bounds();
        point(MARGIN - low.x, MARGIN + high.y)
    }

    /// The sheet, one to one.
    #[must_use]
    pub fn sheet(&self) -> Sheet {
        let (low, high) = self.bounds();
        let size = high - low + point(2.0 * MARGIN, 2.0 * MARGIN);
        let mut sheet = Sheet::new(&self.name, &self.title, size.x, size.y);
        let view = View { origin: self.origin(), across: 1.0, up: 1.0 };
        for layer in Layer::ALL {
            let own = || self.entities.iter().filter(|e| e.layer == layer);
            if own().next().is_none() {
                continue;
            }
            // Words last: their plates interrupt the lines that would go through them, those of
            // dimensions that were added later too.
            let (words, lines): (Vec<_>, Vec<_>) =
                own().partition(|e| matches!(e.shape, Shape::Text(..)));
            sheet.group(layer.name(), |sheet| {
                for entity in lines.into_iter().chain(words) {
                    draw(sheet, &view, &entity.shape);
                }
            });
        }
        sheet
    }
}

fn draw(sheet: &mut Sheet, view: &View, shape: &Shape) {
    match shape {
        Shape::Line(style, contour) => {
            let mut path = Path::new();
            view.contour(&mut path, contour);
            sheet.path(path, *style);
        }
        Shape::Filled(corners) => {
            let mut path = Path::new();
            for (i, corner) in corners.iter().map(|&p| view.at(p)).enumerate() {
                if i == 0 { path.move_to(corner) } else { path.line_to(corner) }
            }
            path.close();
            sheet.fill(path, Colour::BLACK);
        }
        Shape::Text(at, lettering, text) => sheet.text(view.at(*at), *lettering, text),
    }
}

/// Lower left and upper right corner of a text, y up.
fn text_corners(at: Point, lettering: &Lettering, text: &str) -> (Point, Point) {
    let area = lettering.text_box(point(at.x, -at.y), text);
    (point(area.low.x, -area.high.y), point(area.high.x, -area.low.y))
}

/// In plan a drawing has the wall at the top, as one sees it who faces the wall and looks down.
fn seen_from_above(contour: &Contour) -> Contour {
    contour.mirrored(&down)
}

fn down(p: Point) -> Point {
    point(p.x, -p.y)
}
