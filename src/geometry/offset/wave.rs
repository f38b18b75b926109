//! The front that moves in from an outline at an even pace.
//!
//! A ring is kept as parts of the source's elements. Every point of a front came from one foot
//! on the source, and once a foot's ray has met another front it stays dead; so a ring needs to
//! look only at what lived at the ring before it, and only as far as the step between the two.
//! All coordinates come from the source each time, so nothing drifts from ring to ring.

use super::SLIVER;
use super::certificate::Certified;
use super::chains::Degenerate;
use super::element::{Element, SHORT, Source};
use super::front::{CLOSE, Front};
use super::span::{Span, square};
use super::tree::Tree;
use crate::geometry::{Contour, Point, Vertex};
use std::ops::Range;

/// Under this sine two fronts touch rather than cross.
const TOUCHING: f64 = 1e-9;
/// Loops shorter than this, millimetres, are dust: no point in them is farther inside than the
/// tolerance.
const DUST: f64 = 1e-3;

/// Part of an element that lives at some distance.
#[derive(Clone, Copy, Debug)]
pub(super) struct Section {
    pub(super) element: u32,
    /// The section of the ring before from which it came.
    pub(super) parent: u32,
    /// Place on the element where it starts.
    pub(super) a: Point,
    /// Place where it ends.
    pub(super) b: Point,
    /// Whether the next section follows without a corner.
    pub(super) joined: bool,
}

/// All loops at one distance.
#[derive(Clone, Debug, Default)]
pub(super) struct Wave {
    pub(super) distance: f64,
    /// What its certificate proved: nothing of the source is nearer to it.
    pub(super) clearance: f64,
    /// Its area, once certified.
    pub(super) area: f64,
    pub(super) sections: Vec<Section>,
    /// Sections of each closed loop.
    pub(super) loops: Vec<Range<usize>>,
    pub(super) spans: Vec<Span>,
    pub(super) tree: Tree,
}

impl Wave {
    pub(super) fn new(
        elements: &[Element],
        distance: f64,
        sections: Vec<Section>,
        loops: Vec<Range<usize>>,
    ) -> Wave {
        let (mut sections, mut loops) = (sections, loops);
        let mut spans = spans_of(elements, &sections, distance);
        let count = loops.len();
        let kept: Vec<Range<usize>> =
            loops.iter().filter(|range| !is_sliver(&spans[(*range).clone()])).cloned().collect();
        if kept.len() < count && distance > 0.0 {
            let all = std::mem::take(&mut sections);
            loops.clear();
            for range in kept {
                let start = sections.len();
                sections.extend_from_slice(&all[range]);
                loops.push(start..sections.len());
            }
            spans = spans_of(elements, &sections, distance);
        }
        let tree = Tree::new(&spans);
        Wave { distance, clearance: 0.0, area: 0.0, sections, loops, spans, tree }
    }

    /// The ring farther in, at `distance`.
    pub(super) fn step(&self, source: &Source, distance: f64) -> Result<Wave, Degenerate> {
        let front = Front::new(self, source, distance);
        let crossings = front.crossings(self, CLOSE, TOUCHING);
        let (sections, loops) = front.assemble(self, source, &crossings)?;
        Ok(Wave::new(&source.elements, distance, sections, loops))
    }

    /// With what its certificate found, and its loops.
    pub(super) fn passed(self, certified: Certified) -> (Wave, Vec<Contour>) {
        let Certified { loops, area, clearance } = certified;
        (Wave { area, clearance, ..self }, loops)
    }

    /// How often its loops turn about a point.
    pub(super) fn winding(&self, at: Point) -> i32 {
        let end = |i: usize| {
            let range = &self.loops[self.loops.partition_point(|range| range.end <= i)];
            self.spans[if i + 1 == range.end { range.start } else { i + 1 }].from
        };
        self.tree.winding(&self.spans, at, end, |_| false)
    }

    /// The loops as contours, and for each corner of each the section that starts there.
    pub(super) fn contours(&self) -> Vec<(Contour, Vec<u32>)> {
        self.loops
            .iter()
            .map(|range| self.contour(range))
            .filter(|(c, _)| c.vertices.len() > 1)
            .collect()
    }

    fn contour(&self, range: &Range<usize>) -> (Contour, Vec<u32>) {
        let mut vertices: Vec<Vertex> = Vec::with_capacity(range.len());
        let mut sections = Vec::with_capacity(range.len());
        for i in range.clone() {
            let next = if i + 1 == range.end { range.start } else { i + 1 };
            let (span, to) = (&self.spans[i], self.spans[next].from);
            // A piece too short to cut: the one before it goes on to its end.
            if square(span.from - to) < SHORT * SHORT {
                continue;
            }
            vertices.push(Vertex { at: span.from, bulge: span.bulge() });
            sections.push(i as u32);
        }
        (Contour { vertices, closed: true }, sections)
    }
}

fn spans_of(elements: &[Element], sections: &[Section], distance: f64) -> Vec<Span> {
    let span = |s: &Section| {
        let element = &elements[s.element as usize];
        // A section of a ring is never used up; a point stands in for it all the same.
        element
            .span(s.a, s.b, distance)
            .unwrap_or_else(|| Span::line(element.aside(s.a, distance), element.direction, 0.0))
    };
    sections.iter().map(span).collect()
}

/// Whether a loop is on average thinner than a tenth of the tolerance: nothing in it is farther
/// inside than the tolerance, and its tips would be cusps.
fn is_sliver(spans: &[Span]) -> bool {
    let Some(first) = spans.first() else { return true };
    let (mut area2, mut length) = (0.0, 0.0);
    for span in spans {
        area2 += span.area2(first.from);
        length += span.length();
    }
    // Of a long thin loop half the length runs either way.
    area2.abs() < SLIVER * length
}

#[derive(Default)]
pub(super) struct Ring {
    pub(super) sections: Vec<Section>,
    pub(super) loops: Vec<Range<usize>>,
}

impl Ring {
    /// Closes the loop of the sections since `start`, unless it is dust.
    pub(super) fn close(&mut self, source: &Source, distance: f64, start: usize) {
        let mut length = 0.0;
        let long = self.sections[start..].iter().any(|s| {
            let element = &source.elements[s.element as usize];
            let ends = [s.a, s.b].map(|place| element.aside(place, distance));
            length += ends[0].distance(ends[1]);
            length > DUST
        });
        if long {
            self.loops.push(start..self.sections.len());
        } else {
            self.sections.truncate(start);
        }
    }
}
