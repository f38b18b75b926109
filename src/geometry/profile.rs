//! Moulding profiles from the trade's elements, each constructed by its published rule.
//!
//! Frame: x out from the wall, y up, millimetres. The face starts at the origin, the lower inner
//! end, and goes up and out with the wood on its left. Roman forms, made of circles: W. R. Ware,
//! The American Vignola (the tangent rule of the two cymas); Building Trades Pocketbook, Roman
//! mouldings (quarters, half rounds, scotia); P. Nicholson, Mechanic's Companion (unequal ovolo
//! and cavetto; his unequal cyma of two sixths of a circle is from memory).

mod construct;
mod element;

pub use element::{Element, ElementKind, Moulding};

use super::{Contour, EPSILON, Piece, Point, Vertex, point};
use crate::diagnostic::Diagnostic;
use construct::Settled;

/// Profiles longer than this are a mistake, and slow to check.
const MOST_ELEMENTS: usize = 100;

/// How closely arcs are followed when the section is searched for a crossing of itself, mm.
const CROSSING_TOLERANCE: f64 = 0.005;

/// One element where it stands in a profile.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct PlacedElement {
    /// What it is.
    pub kind: ElementKind,
    /// Its lower end, after the shelf.
    pub from: Point,
    /// Its upper end.
    pub to: Point,
    /// Area between it and the upright through its own lower end, closed form; negative behind.
    pub own_area: f64,
    /// Direction of the face at its lower end, radians: 0 level and out, a quarter turn upright.
    pub lower_tangent: f64,
    /// The same at its upper end.
    pub upper_tangent: f64,
}

/// The face of a moulding, with true arcs.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Profile {
    /// The face, open, from the lower inner end up.
    pub face: Contour,
    /// The elements, the lowest first; none where the face was traced.
    pub elements: Vec<PlacedElement>,
    /// Wood behind the lower inner end.
    pub back: f64,
}

/// What is wrong with a profile, at a key within its table.
struct Wrong {
    key: &'static str,
    diagnostic: Diagnostic,
}

impl Wrong {
    fn under(self, key: &str) -> Diagnostic {
        self.diagnostic.key(format!("{key}.{}", self.key))
    }
}

impl Profile {
    /// Draws a moulding. `key` is where it stands in the file, such as `profile.bed-mold`.
    ///
    /// # Errors
    /// Every element that cannot be made; or, when all can, the section that crosses itself or
    /// the face that reaches the back, with the back that would do.
    pub fn build(moulding: &Moulding, key: &str) -> Result<Profile, Vec<Diagnostic>> {
        let count = moulding.element.len();
        if count == 0 || count > MOST_ELEMENTS {
            let message = format!("a profile of {count} elements cannot be drawn");
            return Err(vec![
                Diagnostic::error(message)
                    .key(format!("{key}.element"))
                    .help(format!("1 to {MOST_ELEMENTS} elements")),
            ]);
        }
        let mut wrong = Vec::new();
        let mut settled = Vec::new();
        for (i, element) in moulding.element.iter().enumerate() {
            match construct::settle(element, &format!("{key}.element[{}]", i + 1)) {
                Ok(one) => settled.push((element.kind, one)),
                Err(diagnostic) => wrong.push(diagnostic),
            }
        }
        if !wrong.is_empty() {
            return Err(wrong);
        }
        let profile = Profile::stack(&settled, moulding.back.0);
        profile.check().map_err(|one| vec![one.under(key)])?;
        Ok(profile)
    }

    /// A profile from its face as drawn: open, from the lower inner end, which is moved to the
    /// origin, up to the upper end; the wood on its left.
    ///
    /// # Errors
    /// A face that does not rise, that crosses itself or that reaches the back; with the keys
    /// `back` and `element`.
    pub fn traced(face: Contour, back: f64) -> Result<Profile, Diagnostic> {
        let start = face.vertices.first().map_or(point(0.0, 0.0), |v| v.at);
        let face = Contour { closed: false, ..face }.moved(-start);
        let profile = Profile { face, elements: Vec::new(), back };
        // A thousandth of what is worth cutting.
        if profile.height() < 1e-3 || profile.thickness() < 1e-3 {
            let (height, thickness) = (profile.height(), profile.thickness());
            return Err(Diagnostic::error(format!(
                "a face {height:.3} mm high on {thickness:.3} mm of wood is no moulding"
            ))
            .help("draw the face from its lower end up, with the wood on its left"));
        }
        profile.check().map_err(|one| one.diagnostic)?;
        Ok(profile)
    }

    /// The same face with more or less wood behind its lower inner end.
    ///
    /// # Errors
    /// A back that is not behind, or that the face reaches; with the key `back`.
    pub fn with_back(self, back: f64) -> Result<Profile, Diagnostic> {
        let profile = Profile { back, ..self };
        profile.check().map_err(|one| one.diagnostic)?;
        Ok(profile)
    }

    /// The deepest hollow under an overhang, for a cutter that comes from where the face looks
    /// out to: the place of the overhang's lower side, and how far it stands off what lies under
    /// it. `None` for a face that only rises.
    #[must_use]
    pub fn undercut(&self) -> Option<(Point, f64)> {
        let points = self.face.flattened(CROSSING_TOLERANCE);
        // Wood lies behind a face that rises, and before one that falls. Below the lower inner
        // end the upright through that end goes on.
        let under = |p: Point| {
            let rising = points.windows(2).filter(|w| w[0].y <= p.y && p.y <= w[1].y);
            let out = rising
                .filter(|w| w[1].y > w[0].y)
                .map(|w| w[0].x + (w[1].x - w[0].x) * (p.y - w[0].y) / (w[1].y - w[0].y));
            out.filter(|x| *x < p.x).fold(0.0, f64::max)
        };
        let mut deepest: Option<(Point, f64)> = None;
        let mut top = f64::NEG_INFINITY;
        for w in points.windows(2) {
            if w[1].y >= w[0].y {
                top = w[1].y;
                continue;
            }
            top = top.max(w[0].y);
            // A hair of falling is a scanner's, not a quirk.
            if top - w[1].y > CROSSING_TOLERANCE {
                let deep = w[1].x - under(w[1]);
                if deep > deepest.map_or(CROSSING_TOLERANCE, |(_, d)| d) {
                    deepest = Some((w[1], deep));
                }
            }
        }
        deepest
    }

    fn stack(settled: &[(ElementKind, Settled)], back: f64) -> Profile {
        let mut at = point(0.0, 0.0);
        let mut pieces: Vec<Piece> = Vec::new();
        let mut elements = Vec::new();
        for (kind, one) in settled {
            pieces.extend(one.pieces(at));
            let from = at + point(one.shelf, 0.0);
            at = from + point(one.advance, one.height);
            let (lower_tangent, upper_tangent) = one.end_tangents();
            elements.push(PlacedElement {
                kind: *kind,
                from,
                to: at,
                own_area: one.own_area(),
                lower_tangent,
                upper_tangent,
            });
        }
        Profile { face: Contour::from_pieces(&pieces, false), elements, back }
    }

    fn check(&self) -> Result<(), Wrong> {
        let wrong = |key, message: String, help: String| {
            Err(Wrong { key, diagnostic: Diagnostic::error(message).key(key).help(help) })
        };
        if !(self.back >= 0.0 && self.back.is_finite()) {
            let message = format!("a back of {} mm is not behind", self.back);
            return wrong("back", message, "0 or more".to_string());
        }
        if self.reaches_back() {
            // A millimetre is about what a fillet can keep behind it (common practice).
            let least = (self.behind() + 1.0).ceil();
            let message = format!(
                "the face reaches its own back: there is no wood behind it with a back of {} mm",
                self.back
            );
            return wrong("back", message, format!("{least} mm leaves wood behind every element"));
        }
        if let Some(at) = self.crossing() {
            let message =
                format!("the section crosses itself {:.2} mm out and {:.2} mm up", at.x, at.y);
            let help = if self.elements.is_empty() {
                "mend the drawing there"
            } else {
                "give the curved element there more height, or the one below less projection"
            };
            return wrong("element", message, help.to_string());
        }
        Ok(())
    }

    /// Whether anything but the two ends of the face lies on the back or behind it.
    fn reaches_back(&self) -> bool {
        let limit = -self.back + EPSILON;
        let joints = self.face.vertices.len().saturating_sub(1);
        self.behind() > self.back + EPSILON
            || self.face.pieces().any(|p| p.at(0.5).x <= limit)
            || self.face.vertices[..joints].iter().skip(1).any(|v| v.at.x <= limit)
    }

    /// How far the face goes behind its lower inner end, 0 or more.
    fn behind(&self) -> f64 {
        self.face.bounds().map_or(0.0, |(low, _)| -low.x).max(0.0)
    }

    /// Total height: from the lower inner end to the upper end of the face.
    #[must_use]
    pub fn height(&self) -> f64 {
        self.top().y
    }

    /// The face's upper end.
    fn top(&self) -> Point {
        self.face.vertices.last().map_or(point(0.0, 0.0), |v| v.at)
    }

    /// How far its outermost point stands beyond the lower inner end.
    #[must_use]
    pub fn projection(&self) -> f64 {
        self.face.bounds().map_or(0.0, |(_, high)| high.x)
    }

    /// Thickness of the stock that it is cut from: projection and back.
    #[must_use]
    pub fn thickness(&self) -> f64 {
        self.projection() + self.back
    }

    /// Area between the face and the upright through its lower inner end, closed form.
    #[must_use]
    pub fn area(&self) -> f64 {
        if self.elements.is_empty() {
            let mut whole = self.face.clone();
            whole.vertices.push(Vertex { at: point(0.0, self.top().y), bulge: 0.0 });
            return Contour { closed: true, ..whole }.area();
        }
        self.elements.iter().map(|e| (e.to.y - e.from.y) * e.from.x + e.own_area).sum()
    }

    /// The whole section, closed and counter-clockwise: face, top, back and bottom.
    #[must_use]
    pub fn section(&self) -> Contour {
        let mut pieces: Vec<Piece> = self.face.pieces().collect();
        let top = self.top();
        let corners = [top, point(-self.back, top.y), point(-self.back, 0.0), point(0.0, 0.0)];
        for pair in corners.windows(2) {
            if pair[0].distance(pair[1]) > EPSILON {
                pieces.push(Piece { from: pair[0], to: pair[1], bulge: 0.0 });
            }
        }
        Contour::from_pieces(&pieces, true)
    }

    /// A point where the section crosses itself, if there is one.
    fn crossing(&self) -> Option<Point> {
        let mut points = self.section().flattened(CROSSING_TOLERANCE);
        points.extend(points.first().copied());
        let lines: Vec<(Point, Point)> = points.windows(2).map(|w| (w[0], w[1])).collect();
        for (i, &first) in lines.iter().enumerate() {
            // Neighbours share an end, and so do the first line and the last.
            let end = if i == 0 { lines.len() - 1 } else { lines.len() };
            for &second in lines.iter().take(end).skip(i + 2) {
                if let Some(at) = crossing_of(first, second) {
                    return Some(at);
                }
            }
        }
        None
    }
}

/// Where two lines cross, ends included; parallel lines do not.
fn crossing_of(first: (Point, Point), second: (Point, Point)) -> Option<Point> {
    let (a, b) = (first.1 - first.0, second.1 - second.0);
    let area = a.cross(b);
    if area == 0.0 {
        return None;
    }
    let between = second.0 - first.0;
    let (along_first, along_second) = (between.cross(b) / area, between.cross(a) / area);
    let inside = |share: f64| (0.0..=1.0).contains(&share);
    (inside(along_first) && inside(along_second)).then(|| first.0 + a * along_first)
}
