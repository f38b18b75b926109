//! A moulding that can be made, and what is asked of it.

use super::segments::{Division, End, MOST, Segment};
use super::{Key, MouldingShape, PathShape, Pose};
use crate::diagnostic::Diagnostic;
use crate::geometry::profile::Profile;
use crate::geometry::{Contour, Piece};
use serde::Serialize;

/// A moulding that can be made.
#[derive(Clone, Debug, PartialEq)]
pub struct Moulding {
    /// Its section.
    pub profile: Profile,
    /// How it lies.
    pub pose: Pose,
    /// What it follows, whole.
    pub path: Vec<Piece>,
    /// What it is divided into; one, if it stays whole.
    pub segments: Vec<Segment>,
    /// Least and greatest distance from the path.
    pub extent: (f64, f64),
    /// Length along the path.
    pub length: f64,
    /// Greatest angle off the grain, radians.
    pub run_out: f64,
    /// As written: scallop, allowance, cutters, order.
    pub shape: MouldingShape,
    /// What was left out of the section's drawing, and why.
    pub warnings: Vec<Diagnostic>,
    /// How it is divided, and how it ends.
    pub(super) division: Division,
}

/// What is asked of a moulding, millimetres and radians.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MouldingFigures {
    /// Height of the section.
    pub height: f64,
    /// From the back to its outermost point.
    pub thickness: f64,
    /// Area of the section, mm².
    pub area: f64,
    /// Length along the path.
    pub length: f64,
    /// Least radius of the path; none of a straight one.
    pub least_radius: Option<f64>,
    /// Segments.
    pub segments: usize,
    /// Greatest angle off the grain.
    pub run_out: f64,
}

impl Moulding {
    /// The same in as many segments as boards of this length ask for, where the file does not
    /// say how many.
    #[must_use]
    pub fn fitted(self, board: f64) -> Moulding {
        let whole = matches!(self.shape.path, PathShape::Chain { .. } | PathShape::Pieces { .. });
        if whole || self.shape.cut.segments.is_some() || self.size()[0] <= board {
            return self;
        }
        let more = (self.segments.len() + 1..=MOST).filter_map(|count| {
            let segments = self.division.divide(&self.path, count).ok()?;
            Some(self.clone().of(segments))
        });
        more.into_iter().find(|m| m.size()[0] <= board).unwrap_or(self)
    }

    /// Made up of these segments.
    pub(super) fn of(self, segments: Vec<Segment>) -> Moulding {
        let run_out = segments.iter().map(|s| s.run_out).fold(0.0, f64::max);
        Moulding { segments, run_out, ..self }
    }

    /// The key of its joints: with one segment there are none.
    #[must_use]
    pub fn key(&self) -> Option<Key> {
        let apart = matches!(self.shape.path, PathShape::Pieces { .. });
        self.division.key.filter(|_| self.segments.len() > 1 && !apart)
    }

    /// Whether an end is returned in the solid by its outline in plan.
    #[must_use]
    pub fn has_return_in_plan(&self) -> bool {
        self.division.ends.iter().any(|end| matches!(end, End::Shaped(_)))
    }

    /// The first segment's outline, its lower left corner at the origin.
    #[must_use]
    pub fn contour(&self) -> Contour {
        self.segments.first().map_or_else(Contour::default, |s| s.outline.moved(-s.corner()))
    }

    /// Extents of the largest segment, along and across the grain.
    #[must_use]
    pub fn size(&self) -> [f64; 2] {
        let bounds = self.segments.iter().filter_map(|s| s.outline.bounds());
        bounds.fold([0.0; 2], |most: [f64; 2], (low, high)| {
            [most[0].max(high.x - low.x), most[1].max(high.y - low.y)]
        })
    }

    /// What is asked of it.
    #[must_use]
    pub fn figures(&self) -> MouldingFigures {
        let least = self.path.iter().map(Piece::radius).fold(f64::INFINITY, f64::min);
        MouldingFigures {
            height: self.profile.height(),
            thickness: self.profile.thickness(),
            area: self.profile.section().area().abs(),
            length: self.length,
            least_radius: least.is_finite().then_some(least),
            segments: self.segments.len(),
            run_out: self.run_out,
        }
    }
}
