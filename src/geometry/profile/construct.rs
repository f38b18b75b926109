//! How each element is drawn: lines and true arcs by the published rules.

use super::{Element, ElementKind};
use crate::diagnostic::Diagnostic;
use crate::geometry::{EPSILON, Piece, Point, point};
use crate::units::MAX_LENGTH;
use std::f64::consts::PI;

/// tan(90°/4), the bulge of a quarter circle.
const QUARTER: f64 = std::f64::consts::SQRT_2 - 1.0;

/// tan(60°/4), the bulge of a sixth of a circle: 2 - sqrt 3.
const SIXTH: f64 = 0.267_949_192_431_122_7;

/// An element with its numbers settled: what the rules need and nothing that they refuse.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Settled {
    kind: ElementKind,
    /// Height.
    pub(super) height: f64,
    /// Level shelf before it, outwards positive.
    pub(super) shelf: f64,
    /// Upper end beyond lower end, shelf not counted.
    pub(super) advance: f64,
}

/// Checks one element. `key` is its place in the file, such as `profile.bed-mold.element[1]`.
pub(super) fn settle(element: &Element, key: &str) -> Result<Settled, Diagnostic> {
    let kind = element.kind;
    let (height, step) = (element.height.0, element.step.0);
    let given = element.projection.map(|l| l.0);
    let wrong =
        |field: &str, message: String| Diagnostic::error(message).key(format!("{key}.{field}"));
    if !(height > EPSILON && height <= MAX_LENGTH) {
        let message = format!("a {} of height {height} mm cannot be made", kind.name());
        return Err(wrong("height", message).help("the height is more than 0"));
    }
    for (field, value) in [("step", step), ("projection", given.unwrap_or(0.0))] {
        if value.is_nan() || value.abs() > MAX_LENGTH {
            let message = format!("{value} mm is outside what this program works to");
            return Err(wrong(field, message).help(format!("at most {MAX_LENGTH} mm")));
        }
    }
    let (shelf, advance) = match kind {
        ElementKind::Fillet | ElementKind::Fascia => (step + given.unwrap_or(0.0), 0.0),
        ElementKind::Bead | ElementKind::Astragal | ElementKind::Torus => {
            (step + given.map_or(0.0, |p| p - height / 2.0), 0.0)
        }
        ElementKind::Scotia => (step, given.unwrap_or(0.0)),
        _ => match given {
            Some(p) => (step, p),
            None => {
                let message = format!("a {} needs a projection", kind.name());
                return Err(wrong("projection", message)
                    .help(format!("as much as its height is the usual form: {height} mm")));
            }
        },
    };
    match kind {
        ElementKind::Scotia if advance.abs() >= height - EPSILON => {
            let message = format!(
                "a scotia {height} mm high cannot project {advance} mm: one of its two arcs would \
                 have no radius"
            );
            Err(wrong("projection", message).help(format!(
                "less than {height} mm either way; a cavetto has height and projection equal"
            )))
        }
        ElementKind::Ovolo
        | ElementKind::Cavetto
        | ElementKind::CymaRecta
        | ElementKind::CymaReversa
            if advance <= EPSILON =>
        {
            let message = format!("a {} cannot project {advance} mm", kind.name());
            Err(wrong("projection", message)
                .help(format!("more than 0; as much as its height is usual: {height} mm")))
        }
        _ => Ok(Settled { kind, height, shelf, advance }),
    }
}

impl Settled {
    /// Height and projection the same: the forms made of quarter circles.
    fn is_equal(&self) -> bool {
        (self.height - self.advance).abs() <= EPSILON
    }

    /// Radius of an ovolo or cavetto. Equal form: the height. Unequal form: the height, by
    /// P. Nicholson, Mechanic's Companion; where the projection is the greater, the same rule
    /// with the two exchanged, since no arc of the height's radius spans more than 1.73 heights.
    fn quarter_radius(&self) -> f64 {
        self.height.max(self.advance)
    }

    /// The lines and arcs from `at`, the upper outer end of the element below.
    pub(super) fn pieces(&self, at: Point) -> Vec<Piece> {
        let start = at + point(self.shelf, 0.0);
        let end = start + point(self.advance, self.height);
        let middle = (start + end) * 0.5;
        let mut pieces = Vec::new();
        if self.shelf.abs() > EPSILON {
            pieces.push(Piece { from: at, to: start, bulge: 0.0 });
        }
        let mut go = |from: Point, to: Point, bulge: f64| pieces.push(Piece { from, to, bulge });
        let cyma = if self.is_equal() { QUARTER } else { SIXTH };
        match self.kind {
            ElementKind::Fillet | ElementKind::Fascia => go(start, end, 0.0),
            ElementKind::Bead | ElementKind::Astragal | ElementKind::Torus => go(start, end, 1.0),
            ElementKind::Ovolo => go(start, end, self.quarter_bulge()),
            ElementKind::Cavetto => go(start, end, -self.quarter_bulge()),
            ElementKind::CymaRecta => {
                go(start, middle, cyma);
                go(middle, end, -cyma);
            }
            ElementKind::CymaReversa => {
                go(start, middle, -cyma);
                go(middle, end, cyma);
            }
            ElementKind::Scotia => {
                let (low, _) = self.scotia_radii();
                let deepest = start + point(-low, low);
                go(start, deepest, -QUARTER);
                go(deepest, end, -QUARTER);
            }
        }
        pieces
    }

    /// Area between the element and the upright through its own lower end (after the shelf),
    /// in closed form; what lies behind that upright counts negative.
    pub(super) fn own_area(&self) -> f64 {
        let (h, p) = (self.height, self.advance);
        match self.kind {
            ElementKind::Fillet | ElementKind::Fascia => 0.0,
            ElementKind::Bead | ElementKind::Astragal | ElementKind::Torus => PI * h * h / 8.0,
            ElementKind::Ovolo => h * p / 2.0 + self.quarter_segment(),
            ElementKind::Cavetto => h * p / 2.0 - self.quarter_segment(),
            // The two arcs are the same turned by half a turn about the middle.
            ElementKind::CymaRecta | ElementKind::CymaReversa => h * p / 2.0,
            ElementKind::Scotia => {
                let (low, high) = self.scotia_radii();
                high * high * (1.0 - PI / 4.0) - low * high - PI * low * low / 4.0
            }
        }
    }

    /// Directions of the face at the element's two ends, radians from level outwards: 0 level
    /// and outwards, a quarter turn upright. Closed form from the rules, not from the pieces.
    pub(super) fn end_tangents(&self) -> (f64, f64) {
        let slope = self.height.atan2(self.advance);
        let half = self.quarter_half_sweep();
        // Half the sweep of a cyma's arcs: 45° in the equal form, else 30°.
        let cyma = if self.is_equal() { PI / 4.0 } else { PI / 6.0 };
        match self.kind {
            ElementKind::Fillet | ElementKind::Fascia => (PI / 2.0, PI / 2.0),
            ElementKind::Bead | ElementKind::Astragal | ElementKind::Torus => (0.0, PI),
            ElementKind::Ovolo => (slope - half, slope + half),
            ElementKind::Cavetto => (slope + half, slope - half),
            ElementKind::CymaRecta => (slope - cyma, slope - cyma),
            ElementKind::CymaReversa => (slope + cyma, slope + cyma),
            ElementKind::Scotia => (PI, 0.0),
        }
    }

    /// Radii of a scotia's lower and upper arc: two quarter circles whose centres lie on the
    /// level line through the deepest point, so that h = sum and p = difference.
    fn scotia_radii(&self) -> (f64, f64) {
        ((self.height - self.advance) / 2.0, (self.height + self.advance) / 2.0)
    }

    fn quarter_half_sweep(&self) -> f64 {
        let chord = self.height.hypot(self.advance);
        (chord / (2.0 * self.quarter_radius())).min(1.0).asin()
    }

    fn quarter_bulge(&self) -> f64 {
        (self.quarter_half_sweep() / 2.0).tan()
    }

    fn quarter_segment(&self) -> f64 {
        let sweep = 2.0 * self.quarter_half_sweep();
        self.quarter_radius().powi(2) * (sweep - sweep.sin()) / 2.0
    }
}
