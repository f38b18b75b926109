//! A moulding's section as it stands on its wall: upright, or turned to its spring angle.
//!
//! A sprung moulding's profile is given as it lies flat on its back, its lower edge to one side and
//! its upper edge to the other, both with whatever bevels they bear on wall and cap with. Turned
//! by the spring angle S about its lower back edge, a point X in front of the back and y up along
//! it comes to X cos S + y sin S from the wall and y cos S - X sin S up (closed form). Wall and cap
//! touch what then stands outermost.

use crate::diagnostic::Diagnostic;
use crate::geometry::profile::Profile;
use crate::geometry::{Contour, EPSILON, Piece, Point, Vertex, point};

/// A profile, and its back's angle from the wall where it is sprung.
#[derive(Clone, Copy, Debug)]
pub struct Standing<'a> {
    /// As it lies flat, or stands upright.
    pub profile: &'a Profile,
    /// Between its back and the wall, radians.
    pub spring: Option<f64>,
}

impl Standing<'_> {
    /// Height, and how far it stands out from the wall, mm.
    #[must_use]
    pub fn size(&self) -> (f64, f64) {
        if self.spring.is_none() {
            return (self.profile.height(), self.profile.thickness());
        }
        let (low, high) = self.turned(&self.profile.section()).bounds().unwrap_or_default();
        (high.y - low.y, high.x - low.x)
    }

    /// The section: the wall at x = 0, the lowest point at y = 0.
    #[must_use]
    pub fn section(&self) -> Contour {
        self.placed(&self.profile.section())
    }

    /// The outer side from the bottom up, in the same frame.
    #[must_use]
    pub fn face(&self) -> Contour {
        self.placed(&self.profile.face)
    }

    /// What is seen of it from the front: the face, and of a sprung one the bevel under the cap,
    /// which rises from the face's end to the back.
    #[must_use]
    pub fn seen(&self) -> Contour {
        let face = self.face();
        let Some(back) = self.upper_back() else { return face };
        let mut pieces: Vec<Piece> = face.pieces().collect();
        if let Some(end) = pieces.last().map(|p| p.to).filter(|end| back.y > end.y + EPSILON) {
            pieces.push(Piece { from: end, to: back, bulge: 0.0 });
        }
        Contour::from_pieces(&pieces, false)
    }

    /// The back's upper edge of a sprung one.
    fn upper_back(&self) -> Option<Point> {
        self.spring?;
        let corner = point(-self.profile.back, self.profile.height());
        Some(self.turn(corner) - self.origin())
    }

    /// Where edges run along the moulding. A shelf has two edges at one height; seen from the
    /// front they are one line, as long as the outer one.
    #[must_use]
    pub fn edges(&self) -> Vec<Point> {
        let ends = self.profile.elements.iter().flat_map(|e| [e.from, e.to]);
        let corners = std::iter::once(point(0.0, 0.0)).chain(ends);
        let mut edges: Vec<Point> = Vec::new();
        let placed = corners.map(|p| self.turn(p) - self.origin());
        for p in placed.chain(self.upper_back()) {
            match edges.iter_mut().find(|e| (e.y - p.y).abs() < EPSILON) {
                Some(known) => known.x = known.x.max(p.x),
                None => edges.push(p),
            }
        }
        edges
    }

    /// As it is milled from the solid: the same face, standing; behind it wood up to wall and cap,
    /// level below and above, so that it needs no spring. What is not sprung is milled as it is.
    ///
    /// # Errors
    /// A face that, turned so, crosses itself or reaches the wall; with the keys of
    /// [`Profile::traced`].
    pub fn solid(&self) -> Result<Profile, Diagnostic> {
        if self.spring.is_none() {
            return Ok(self.profile.clone());
        }
        let (face, top) = (self.face(), self.size().0);
        let mut pieces: Vec<Piece> = face.pieces().collect();
        // Bevels that lie on the wall or the cap are no part of the face.
        let lowest = |y: f64, piece: &Piece| y.min(piece.from.y);
        let low = pieces.iter().fold(f64::INFINITY, lowest);
        let first = pieces.iter().rposition(|piece| piece.from.y < low + EPSILON).unwrap_or(0);
        let full = |piece: &Piece| piece.to.y > top - EPSILON;
        let last = pieces.iter().position(full).map_or(pieces.len(), |i| i + 1);
        pieces = pieces.get(first..last).unwrap_or_default().to_vec();
        let line = |from: Point, to: Point| Piece { from, to, bulge: 0.0 };
        if let Some(start) = pieces.first().map(|piece| piece.from).filter(|p| p.y > EPSILON) {
            pieces.insert(0, line(point(start.x, 0.0), start));
        }
        if let Some(end) = pieces.last().map(|piece| piece.to).filter(|p| p.y < top - EPSILON) {
            pieces.push(line(end, point(end.x, top)));
        }
        let back = pieces.first().map_or(0.0, |piece| piece.from.x);
        Profile::traced(Contour::from_pieces(&pieces, false), back)
    }

    fn placed(&self, contour: &Contour) -> Contour {
        self.turned(contour).moved(-self.origin())
    }

    /// Where the wall and the lowest level meet, before it is moved there.
    fn origin(&self) -> Point {
        match self.spring {
            None => point(0.0, 0.0),
            Some(_) => {
                self.turned(&self.profile.section()).bounds().map_or(Point::default(), |b| b.0)
            }
        }
    }

    fn turned(&self, contour: &Contour) -> Contour {
        let vertices = contour.vertices.iter();
        let vertices = vertices.map(|v| Vertex { at: self.turn(v.at), bulge: v.bulge }).collect();
        Contour { vertices, closed: contour.closed }
    }

    fn turn(&self, p: Point) -> Point {
        (p + point(self.profile.back, 0.0)).rotated(-self.spring.unwrap_or(0.0))
    }
}
