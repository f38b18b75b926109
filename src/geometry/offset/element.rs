//! What an outline is made of as seen by an offset: its lines, its arcs, and the corners about
//! which an offset turns.

use super::span::{Span, middle_of, round_key, sweep_of, unit};
use super::tree::Tree;
use super::wave::{Section, Wave};
use crate::geometry::{Contour, Piece, Point, point};

/// Corners closer than this are one corner, millimetres: a hundredth of the tolerance.
pub(super) const SHORT: f64 = 1e-5;
/// A turn under this sine is no corner: the offset's two sides part by less than this share of
/// the distance.
pub(super) const SMOOTH: f64 = 1e-6;
/// A turn back of less than this sine is a cusp: its sides may cross within the length that a
/// valid outline's neighbours share, and which lies left is seen beyond it.
const CUSP: f64 = 1e-3;
/// Where the sides of a cusp are held against each other, millimetres from its corner: ten times
/// what neighbours may share.
const BEYOND: f64 = 2e-3;
/// An arc this near to its chord, millimetres, is a line.
const FLAT: f64 = 1e-8;
/// Arcs of more than this radius, millimetres, are taken as chords: their centres lie so far away
/// that the last digits of a double are missing here.
const STRAIGHT: f64 = 1e6;
/// How far such chords may lie from the arc, millimetres: a ten thousandth of the tolerance.
const CHORD_RISE: f64 = 1e-7;
/// An inner arc whose offset is smaller than this, millimetres, is used up.
const USED_UP: f64 = 1e-7;

/// A whole line, arc or corner of the source, without its ends.
///
/// A place on it is a `Point` of its own kind: for a line x is the length from its start, for
/// an arc or a corner the unit vector from the centre.
#[derive(Clone, Copy, Debug)]
pub(super) struct Element {
    /// Start of a line, centre of an arc, the corner.
    pub(super) at: Point,
    /// Unit direction of a line.
    pub(super) direction: Point,
    /// Radius of an arc; zero for a corner.
    pub(super) radius: f64,
    /// 0 a line, 1 an arc that turns left, -1 one that turns right, or a corner.
    pub(super) turn: f64,
}

impl Element {
    pub(super) fn is_line(&self) -> bool {
        self.turn == 0.0
    }

    /// Radius at a distance to the left; below zero where an inner arc is used up.
    pub(super) fn radius_at(&self, distance: f64) -> f64 {
        self.radius - self.turn * distance
    }

    /// The part from `a` to `b`, moved to the left; `None` for an inner arc that is used up.
    pub(super) fn span(&self, a: Point, b: Point, distance: f64) -> Option<Span> {
        if self.is_line() {
            let from = self.at + self.direction * a.x + self.direction.left() * distance;
            return Some(Span::line(from, self.direction, b.x - a.x));
        }
        let radius = self.radius_at(distance);
        (self.turn < 0.0 || radius > USED_UP).then(|| Span::round(self.at, radius, self.turn, a, b))
    }

    /// Whether an inner arc is just used up: its neighbours meet in its centre.
    pub(super) fn is_point(&self, distance: f64) -> bool {
        self.turn > 0.0 && self.radius_at(distance).abs() <= USED_UP
    }

    /// The place on the element from which `p` lies straight aside.
    pub(super) fn place(&self, p: Point) -> Point {
        let v = p - self.at;
        if self.is_line() { point(v.dot(self.direction), 0.0) } else { unit(v) }
    }

    /// The point straight aside of a place.
    pub(super) fn aside(&self, place: Point, distance: f64) -> Point {
        if self.is_line() {
            self.at + self.direction * place.x + self.direction.left() * distance
        } else {
            self.at + place * self.radius_at(distance)
        }
    }

    /// Half way between two places.
    pub(super) fn between(&self, a: Point, b: Point) -> Point {
        if self.is_line() { point((a.x + b.x) / 2.0, 0.0) } else { middle_of(a, b, self.turn) }
    }

    /// A number that grows along the element from place `a`.
    pub(super) fn key(&self, a: Point, place: Point) -> f64 {
        if self.is_line() { place.x - a.x } else { round_key(a, place, self.turn) }
    }

    /// Length of the part from `a` to `b` at a distance, none where it is used up.
    pub(super) fn length(&self, a: Point, b: Point, distance: f64) -> f64 {
        if self.is_line() { b.x - a.x } else { sweep_of(a, b) * self.radius_at(distance).max(0.0) }
    }

    /// Area that the part from `a` to `b` sweeps between two distances.
    pub(super) fn swept(&self, a: Point, b: Point, d0: f64, d1: f64) -> f64 {
        if self.is_line() {
            return (b.x - a.x) * (d1 - d0);
        }
        let (r0, r1) = (self.radius_at(d0).max(0.0), self.radius_at(d1).max(0.0));
        sweep_of(a, b) * (r0 * r0 - r1 * r1).abs() / 2.0
    }
}

/// Closed outlines with the side to offset on their left.
#[derive(Clone, Debug)]
pub(super) struct Source {
    pub(super) elements: Vec<Element>,
    /// The outline itself as the ring at distance zero: one section an element.
    pub(super) outline: Wave,
    /// How often the outlines turn about a point on the side to offset: 1, or 0 if that side is
    /// the endless outside.
    pub(super) winding: i32,
}

impl Source {
    /// The outlines must be valid: closed, simple, apart from one another. Corners nearer to each
    /// other than `short`, millimetres, are one.
    pub(super) fn new(contours: &[Contour], short: f64) -> Source {
        let mut elements = Vec::new();
        let mut sections: Vec<Section> = Vec::new();
        let mut loops = Vec::new();
        for contour in contours {
            let start = sections.len();
            add_contour(&clean_pieces(contour, short), &mut elements, &mut sections);
            loops.push(start..sections.len());
        }
        let area: f64 = contours.iter().map(Contour::area).sum();
        let mut outline = Wave::new(&elements, 0.0, sections, loops);
        outline.area = area;
        Source { elements, outline, winding: i32::from(area > 0.0) }
    }

    /// The source's own spans.
    pub(super) fn spans(&self) -> &[Span] {
        &self.outline.spans
    }

    /// The tree over them.
    pub(super) fn tree(&self) -> &Tree {
        &self.outline.tree
    }
}

/// A contour's pieces, joined end to end; corners nearer to each other than `short` are one.
pub(super) fn clean_pieces(contour: &Contour, short: f64) -> Vec<Piece> {
    let mut kept: Vec<crate::geometry::Vertex> = Vec::with_capacity(contour.vertices.len());
    for &vertex in &contour.vertices {
        match kept.last_mut() {
            Some(last) if last.at.distance(vertex.at) < short => last.bulge = vertex.bulge,
            _ => kept.push(vertex),
        }
    }
    while kept.len() > 1 && kept[0].at.distance(kept[kept.len() - 1].at) < short {
        kept.pop();
    }
    let n = kept.len();
    let mut pieces = Vec::with_capacity(n);
    for i in 0..n {
        let (from, to) = (kept[i].at, kept[(i + 1) % n].at);
        let bulge = kept[i].bulge.clamp(-1.0, 1.0);
        let rise = bulge.abs() * from.distance(to) / 2.0;
        let piece = Piece { from, to, bulge };
        if rise < FLAT {
            pieces.push(Piece { bulge: 0.0, ..piece });
        } else if piece.radius() < STRAIGHT {
            pieces.push(piece);
        } else {
            // The rise of a part goes as the square of its length.
            let parts = (rise / CHORD_RISE).sqrt().ceil();
            let chord = |k: usize| piece.part(k as f64 / parts, (k + 1) as f64 / parts);
            pieces.extend((0..parts as usize).map(|k| Piece { bulge: 0.0, ..chord(k) }));
        }
    }
    pieces
}

fn add_contour(pieces: &[Piece], elements: &mut Vec<Element>, sections: &mut Vec<Section>) {
    let spans: Vec<Span> = pieces.iter().map(Span::of).collect();
    for (i, span) in spans.iter().enumerate() {
        let next = &spans[(i + 1) % spans.len()];
        let corner = Corner::between(span, next);
        let (element, a, b) = element_of(span);
        let index = elements.len() as u32;
        let joined = !matches!(corner, Corner::Left);
        elements.push(element);
        sections.push(Section { element: index, parent: index, a, b, joined });
        if let Corner::Right { a, b } = corner {
            let at = span.to;
            elements.push(Element { at, direction: a, radius: 0.0, turn: -1.0 });
            let index = index + 1;
            sections.push(Section { element: index, parent: index, a, b, joined: true });
        }
    }
}

fn element_of(span: &Span) -> (Element, Point, Point) {
    if span.is_line() {
        let line = Element { at: span.from, direction: span.a, radius: 0.0, turn: 0.0 };
        (line, point(0.0, 0.0), point(span.size, 0.0))
    } else {
        let arc =
            Element { at: span.center, direction: span.a, radius: span.size, turn: span.turn };
        (arc, span.a, span.b)
    }
}

enum Corner {
    Smooth,
    Left,
    /// The offset turns about the corner from one unit vector to the other.
    Right {
        a: Point,
        b: Point,
    },
}

impl Corner {
    fn between(one: &Span, two: &Span) -> Corner {
        let (d1, d2) = (one.direction(one.to), two.direction(two.from));
        let (sine, cosine) = (d1.cross(d2), d1.dot(d2));
        let right = if cosine < 0.0 && sine.abs() < CUSP {
            !closes(one, two, sine)
        } else if sine.abs() > SMOOTH {
            sine < 0.0
        } else {
            return Corner::Smooth;
        };
        if right { Corner::Right { a: d1.left(), b: d2.left() } } else { Corner::Left }
    }
}

/// Whether the left side of a cusp, where one span turns back into the next at a turn of this
/// sine, is the wedge between the two: then the way back lies to the left of the way out.
fn closes(one: &Span, two: &Span, sine: f64) -> bool {
    let curvature = |s: &Span| if s.is_line() { 0.0 } else { s.turn / s.size };
    let beyond = BEYOND.min(one.size / 2.0).min(two.size / 2.0);
    // By how much the reversed first lies to the left of the second, this far from the corner.
    sine + (-curvature(one) - curvature(two)) * beyond / 2.0 > 0.0
}
