//! Parallel offsets that keep arcs, each one checked before it is believed.
//!
//! The offsetting itself is the work of the `cavalier_contours` library. That library answers
//! bad input in silence, so its input is validated here and its output carries a certificate:
//! every piece lies at the asked distance from the source, and the area is what Steiner's
//! formula allows.

use super::{Contour, EPSILON, Point, Vertex};
use cavalier_contours::polyline::{
    PlineOffsetOptions, PlineSource, PlineSourceMut, PlineVertex, Polyline,
};

/// How far an offset may stray from its distance, millimetres: a tenth of what a router
/// table resolves, and ten times what the library's own tolerances leave.
const TOLERANCE: f64 = 1e-3;

/// Why an offset can not be given.
#[derive(Clone, Debug, PartialEq)]
pub enum OffsetError {
    /// The source is not a valid outline; the sentence says why.
    Source(String),
    /// The result failed its certificate at this place.
    NotCertified {
        /// Where the result is wrong.
        at: Point,
        /// How far it is from the source.
        distance: f64,
        /// How far it should be.
        wanted: f64,
    },
}

impl std::fmt::Display for OffsetError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            OffsetError::Source(why) => write!(f, "the outline can not be offset: {why}"),
            OffsetError::NotCertified { at, distance, wanted } => write!(
                f,
                "the offset of the outline is wrong near ({:.3}, {:.3}): {distance:.4} mm from the outline where {wanted:.4} mm is wanted",
                at.x, at.y
            ),
        }
    }
}

impl Contour {
    /// The loops that run parallel to a closed contour, `distance` to the left of its travel
    /// (inward if counter-clockwise); negative to the right. Corners on the far side become
    /// arcs. Empty when nothing is that far inside.
    ///
    /// # Errors
    /// [`OffsetError`] if the contour is not a simple closed outline, or if the result does
    /// not pass its certificate.
    pub fn offset(&self, distance: f64) -> Result<Vec<Contour>, OffsetError> {
        self.validate()?;
        if distance.abs() < 10.0 * EPSILON {
            return Ok(vec![self.clone()]);
        }
        let source = self.to_polyline();
        let options = PlineOffsetOptions { handle_self_intersects: true, ..Default::default() };
        let loops: Vec<Contour> = source
            .parallel_offset_opt(distance, &options)
            .iter()
            .map(Contour::from_polyline)
            .filter(|c| c.vertices.len() > 1)
            .collect();
        for one in &loops {
            self.certify(one, distance)?;
        }
        Ok(loops)
    }

    /// Checks that a contour is closed, finite, free of crossings and of arcs over half a turn.
    ///
    /// # Errors
    /// [`OffsetError::Source`] with the reason.
    pub fn validate(&self) -> Result<(), OffsetError> {
        let bad = |why: String| Err(OffsetError::Source(why));
        if !self.closed || self.vertices.len() < 2 {
            return bad("it is not closed".to_string());
        }
        for v in &self.vertices {
            if !(v.at.x.is_finite() && v.at.y.is_finite() && v.bulge.is_finite()) {
                return bad("it has a corner that is no number".to_string());
            }
            if v.bulge.abs() > 1.0 + 1e-9 {
                return bad(format!(
                    "the arc from ({:.3}, {:.3}) is more than a half circle",
                    v.at.x, v.at.y
                ));
            }
        }
        if self.area().abs() < EPSILON {
            return bad("it encloses nothing".to_string());
        }
        let line = self.to_polyline();
        if line.scan_for_self_intersect() { bad("it crosses itself".to_string()) } else { Ok(()) }
    }

    /// Every corner and every middle of `result` must lie at the distance, on the right side.
    fn certify(&self, result: &Contour, distance: f64) -> Result<(), OffsetError> {
        let wanted = distance.abs();
        // Left of a counter-clockwise outline is inside.
        let inside = (distance > 0.0) == (self.area() > 0.0);
        for piece in result.pieces() {
            for share in [0.0, 0.25, 0.5, 0.75] {
                let at = piece.at(share);
                let found = self.nearest(at).map_or(f64::INFINITY, |(d, _)| d);
                let side_wrong = self.contains(at) != inside;
                if (found - wanted).abs() > TOLERANCE || side_wrong {
                    let distance = if side_wrong { -found } else { found };
                    return Err(OffsetError::NotCertified { at, distance, wanted });
                }
            }
        }
        Ok(())
    }

    fn to_polyline(&self) -> Polyline<f64> {
        let mut line = if self.closed { Polyline::new_closed() } else { Polyline::new() };
        let mut last: Option<Point> = None;
        for v in &self.vertices {
            if last.is_none_or(|l| l.distance(v.at) > EPSILON) {
                line.add_vertex(PlineVertex::new(v.at.x, v.at.y, v.bulge.clamp(-1.0, 1.0)));
                last = Some(v.at);
            }
        }
        line
    }

    fn from_polyline(line: &Polyline<f64>) -> Contour {
        let vertices = line
            .vertex_data
            .iter()
            .map(|v| Vertex { at: super::point(v.x, v.y), bulge: v.bulge })
            .collect();
        let mut contour = Contour { vertices, closed: line.is_closed() };
        contour.drop_repeats();
        contour
    }

    /// Drops corners that repeat the one before them.
    fn drop_repeats(&mut self) {
        let n = self.vertices.len();
        let keep: Vec<bool> = (0..n)
            .map(|i| {
                let next = self.vertices[(i + 1) % n].at;
                (i + 1 == n && !self.closed) || self.vertices[i].at.distance(next) > 1e-5
            })
            .collect();
        let mut index = 0;
        self.vertices.retain(|_| {
            index += 1;
            keep[index - 1]
        });
    }
}
