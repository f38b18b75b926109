//! From model to paper: scale and place of a view.

use crate::geometry::{Arc, Contour, Plane, Point, Stroke, point};

use super::Path;

/// Sagitta that a flattened curve may leave out, mm on paper.
const FLAT: f64 = 0.02;

/// A drawing scale: millimetres on paper for one of the model.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scale {
    paper: f64,
    model: f64,
}

/// Reductions in use: whole numbers that a rule can be read by.
const REDUCTIONS: &[f64] = &[
    1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0, 12.0, 14.0, 16.0, 18.0, 20.0,
    25.0, 30.0, 40.0, 50.0, 60.0, 80.0, 100.0, 150.0, 200.0, 500.0, 1000.0, 10_000.0,
];
/// Enlargements in use.
const ENLARGEMENTS: &[f64] = &[20.0, 10.0, 5.0, 4.0, 3.0, 2.0, 1.5];

impl Scale {
    /// Full size.
    pub const FULL: Scale = Scale { paper: 1.0, model: 1.0 };

    /// The largest scale in use at which `width` x `height` of the model fit into `room`, both in
    /// millimetres; a size of zero fits anywhere.
    #[must_use]
    pub fn fitting(width: f64, height: f64, room: Point) -> Scale {
        let up = ENLARGEMENTS.iter().map(|&k| Scale { paper: k, model: 1.0 });
        let down = REDUCTIONS.iter().map(|&k| Scale { paper: 1.0, model: k });
        let fits = |s: &Scale| width * s.factor() <= room.x && height * s.factor() <= room.y;
        up.chain(down).find(fits).unwrap_or(Scale { paper: 1.0, model: 10_000_000.0 })
    }

    /// Millimetres on paper for one of the model.
    #[must_use]
    pub fn factor(self) -> f64 {
        self.paper / self.model
    }

    /// `1 : 7`, `2 : 1`.
    #[must_use]
    pub fn ratio(self) -> String {
        format!("{} : {}", self.paper, self.model)
    }
}

/// A view on paper: where the model's origin lies, and how large things are. The model's first
/// axis points right, its second up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// The model's origin on paper.
    pub origin: Point,
    /// Paper per model along the first axis.
    pub across: f64,
    /// Paper per model along the second axis.
    pub up: f64,
}

impl View {
    /// A model point on paper.
    #[must_use]
    pub fn at(&self, p: Point) -> Point {
        point(self.origin.x + p.x * self.across, self.origin.y - p.y * self.up)
    }

    /// Adds a stroke seen from above; arcs in the plane of the table stay arcs.
    pub fn plan_stroke(&self, path: &mut Path, stroke: &Stroke) {
        path.move_to(self.at(stroke.from.xy()));
        match stroke.arc {
            None => path.line_to(self.at(stroke.to.xy())),
            Some(Arc { plane: Plane::Xy, center, sweep }) => {
                path.arc_to(self.at(center), sweep, self.at(stroke.to.xy()));
            }
            Some(_) => {
                for p in self.flattened(stroke) {
                    path.line_to(self.at(p));
                }
            }
        }
    }

    fn flattened(&self, stroke: &Stroke) -> Vec<Point> {
        flat_points(stroke, self.across).iter().map(|p| p.xy()).collect()
    }

    /// Adds a contour; arcs stay arcs.
    pub fn contour(&self, path: &mut Path, contour: &Contour) {
        for piece in contour.pieces() {
            self.plan_stroke(path, &piece.stroke(0.0, 0.0));
        }
        if contour.closed && !path.is_empty() {
            path.close();
        }
    }

    /// Adds a stroke seen from the front: x across, z up.
    pub fn front_stroke(&self, path: &mut Path, stroke: &Stroke) {
        let front = |p: crate::geometry::Point3| self.at(point(p.x, p.z));
        path.move_to(front(stroke.from));
        if stroke.arc.is_none() {
            return path.line_to(front(stroke.to));
        }
        // Along an arc in the plane of the table the height changes evenly: only x is curved.
        let table = stroke.arc.is_some_and(|a| a.plane == Plane::Xy);
        let scale = if table { self.across } else { self.across.max(self.up) };
        for p in flat_points(stroke, scale) {
            path.line_to(front(p));
        }
    }
}

/// Points along a stroke, near enough at `scale` (paper per model) and never more than some
/// thousands.
fn flat_points(stroke: &Stroke, scale: f64) -> Vec<crate::geometry::Point3> {
    let radius = stroke.arc.map_or(0.0, |a| a.plane.split(stroke.from).0.distance(a.center));
    // A millionth of the radius: 2,200 chords to the turn.
    stroke.flattened((FLAT / scale.max(1e-9)).max(radius * 1e-6))
}
