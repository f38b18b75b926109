//! Areas of a board: rectangles, circles, and what was drawn.

use super::Board;
use crate::diagnostic::Diagnostic;
use crate::geometry::{Contour, Point, point};
use crate::tracing::{DrawingKeys, Outlines};
use crate::units::Length;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// An area: a rectangle by two corners, a circle, or the closed outlines of a drawing.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(deny_unknown_fields)]
pub struct AreaShape {
    /// One corner of a rectangle, x and y from the part's lower left corner.
    #[serde(default)]
    pub from: Option<[Length; 2]>,
    /// The corner across.
    #[serde(default)]
    pub to: Option<[Length; 2]>,
    /// Radius of a rectangle's corners.
    #[serde(default)]
    pub corner_radius: Length,
    /// Middle of a circle; or where the lower left corner of what is drawn comes to lie.
    #[serde(default)]
    pub at: Option<[Length; 2]>,
    /// Diameter of a circle.
    #[serde(default)]
    pub diameter: Option<Length>,
    /// A drawing beside the job file, SVG or DXF. Without `at` its own zero lies on the part's
    /// lower left corner; of the drawing that the part itself was traced from, all stays in place.
    #[serde(default)]
    pub file: Option<String>,
    /// How the drawing is read.
    #[serde(flatten)]
    pub keys: DrawingKeys,
}

/// An area and what was drawn within it.
pub(super) struct Area {
    pub(super) outer: Contour,
    pub(super) islands: Vec<Contour>,
    pub(super) warnings: Vec<Diagnostic>,
}

/// Contours that each stand by themselves.
pub(super) struct Islands {
    pub(super) contours: Vec<Contour>,
    pub(super) warnings: Vec<Diagnostic>,
}

impl AreaShape {
    /// The area. Of a drawing, the outline round all others; these are its islands.
    pub(super) fn area(&self, own: &str, board: &Board<'_>) -> Result<Area, Diagnostic> {
        let Islands { mut contours, warnings } = self.islands(own, board)?;
        // The outline round all others has the greatest area.
        contours.sort_by(|a, b| b.area().total_cmp(&a.area()));
        let mut contours = contours.into_iter();
        let outer = contours.next().unwrap_or_default();
        let islands: Vec<Contour> = contours.collect();
        let beside = |c: &Contour| c.vertices.first().is_some_and(|v| !outer.contains(v.at));
        if islands.iter().any(beside) {
            return Err(Diagnostic::error("the drawn outlines lie beside one another")
                .key(format!("{}.{own}.file", board.key))
                .help("a pocket has one outline round all others: put each on a layer of its own, and name that as `layer` of a pocket of its own"));
        }
        Ok(Area { outer, islands, warnings })
    }

    /// All contours, counter-clockwise: one of a rectangle or circle, any number of a drawing.
    pub(super) fn islands(&self, own: &str, board: &Board<'_>) -> Result<Islands, Diagnostic> {
        match &self.file {
            Some(file) => self.drawn(file, own, board),
            None => {
                self.keys.no_file(&format!("{}.{own}", board.key))?;
                let contours = vec![self.figure(own, board)?];
                Ok(Islands { contours, warnings: Vec::new() })
            }
        }
    }

    /// The closed outlines of a drawing, in their place on the board.
    fn drawn(&self, file: &str, own: &str, board: &Board<'_>) -> Result<Islands, Diagnostic> {
        let key = format!("{}.{own}", board.key);
        let figures = [
            ("from", self.from.is_some()),
            ("to", self.to.is_some()),
            ("diameter", self.diameter.is_some()),
            ("corner-radius", self.corner_radius.0 != 0.0),
        ];
        if let Some((word, _)) = figures.iter().find(|(_, said)| *said) {
            return Err(Diagnostic::error(format!("an area that is drawn has no `{word}`"))
                .key(format!("{key}.{word}"))
                .help("leave it out, or leave out `file`"));
        }
        let Outlines { contours, warnings } = self.keys.of(file).outlines(board.folder, &key)?;
        let by = match (self.at, board.traced) {
            (Some(at), _) => point(at[0].0, at[1].0) - lowest(&contours),
            (None, Some((traced, corner))) if traced == file => -corner,
            _ => Point::default(),
        };
        Ok(Islands { contours: contours.iter().map(|c| c.moved(by)).collect(), warnings })
    }

    /// A rectangle or a circle, counter-clockwise.
    fn figure(&self, own: &str, board: &Board<'_>) -> Result<Contour, Diagnostic> {
        let key = format!("{}.{own}", board.key);
        match (self.from, self.to, self.at, self.diameter) {
            (Some(a), Some(b), None, None) => {
                let low = point(a[0].0.min(b[0].0), a[1].0.min(b[1].0));
                let high = point(a[0].0.max(b[0].0), a[1].0.max(b[1].0));
                let least = (high.x - low.x).min(high.y - low.y);
                if least < 0.1 {
                    return Err(Diagnostic::error("the rectangle has no width")
                        .key(format!("{key}.to"))
                        .help("give two corners that lie across from one another"));
                }
                let radius = self.corner_radius.0;
                if radius < 0.0 || radius > least / 2.0 {
                    return Err(Diagnostic::error(format!(
                        "{} is no radius for these corners",
                        board.shown.both(radius)
                    ))
                    .key(format!("{key}.corner-radius"))
                    .help(format!("from 0 to {}", board.shown.both(least / 2.0))));
                }
                Ok(Contour::rounded_rectangle(low, high, radius))
            }
            (None, None, Some(at), Some(diameter)) if diameter.0 > 0.0 => {
                Ok(Contour::circle(point(at[0].0, at[1].0), diameter.0 / 2.0))
            }
            _ => Err(Diagnostic::error("the area is neither a rectangle nor a circle nor drawn")
                .key(key)
                .help("give `from` and `to`, or `at` and `diameter`, or the `file` of a drawing")),
        }
    }
}

/// The lower left corner of all.
fn lowest(contours: &[Contour]) -> Point {
    let corners = contours.iter().filter_map(Contour::bounds).map(|(low, _)| low);
    corners.reduce(|a, b| point(a.x.min(b.x), a.y.min(b.y))).unwrap_or_default()
}
