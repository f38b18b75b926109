//! The cap: the board on top of a header, its front bowed forward as an arc.

use crate::diagnostic::Diagnostic;
use crate::geometry::{CircularSegment, Contour, Point, SegmentError, Vertex, point};
use crate::units::{Length, Shown};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A cap: straight back, two square ends, a front that is a circular arc. Give any two of
/// chord, rise and radius, or three points of the arc.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(deny_unknown_fields)]
pub struct CapShape {
    /// Straight distance between the ends of the arc: the length of the cap.
    #[serde(default)]
    pub chord: Option<Length>,
    /// How far the arc bows beyond the line between its ends (the sagitta).
    #[serde(default)]
    pub rise: Option<Length>,
    /// Radius of the arc.
    #[serde(default)]
    pub radius: Option<Length>,
    /// Three measured points of the arc, each x and y: its left end, any point between, its
    /// right end; instead of chord, rise and radius.
    #[serde(default)]
    pub points: Option<[[Length; 2]; 3]>,
    /// Depth of the cap at its square ends, from the straight back to the arc.
    pub end_depth: Length,
    /// Number of even spaces along the chord at which the arc's height is given.
    #[serde(default = "default_stations")]
    #[schemars(range(min = 2, max = 200))]
    pub stations: u32,
}

fn default_stations() -> u32 {
    8
}

/// A cap that can be made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cap {
    /// The bowed front.
    pub front: CircularSegment,
    /// Depth at the square ends.
    pub end_depth: f64,
    /// Spaces along the chord for the ordinates.
    pub stations: u32,
}

impl CapShape {
    /// By chord, rise and depth at the ends, millimetres.
    #[must_use]
    pub fn new(chord: f64, rise: f64, end_depth: f64) -> CapShape {
        CapShape {
            chord: Some(Length(chord)),
            rise: Some(Length(rise)),
            radius: None,
            points: None,
            end_depth: Length(end_depth),
            stations: default_stations(),
        }
    }

    /// The cap, or why there is none. `key` is where the shape stands in the job file.
    ///
    /// # Errors
    /// Diagnostics with the number that would work.
    pub fn resolve(&self, key: &str, shown: Shown) -> Result<Cap, Vec<Diagnostic>> {
        let mut found = Vec::new();
        if self.end_depth.0 <= 0.0 {
            found.push(
                Diagnostic::error(format!("{} is no depth", shown.one(self.end_depth.0)))
                    .key(format!("{key}.end-depth"))
                    .help("the depth of the cap at its square ends is more than zero"),
            );
        }
        match self.front(key, shown) {
            Ok(front) if found.is_empty() => {
                Ok(Cap { front, end_depth: self.end_depth.0, stations: self.stations })
            }
            Ok(_) => Err(found),
            Err(one) => {
                found.push(one);
                Err(found)
            }
        }
    }

    fn front(&self, key: &str, shown: Shown) -> Result<CircularSegment, Diagnostic> {
        let given = (self.chord, self.rise, self.radius, self.points);
        let (named, result) = match given {
            (Some(c), Some(s), None, None) => {
                ("rise", CircularSegment::from_chord_and_rise(c.0, s.0))
            }
            (Some(c), None, Some(r), None) => {
                ("radius", CircularSegment::from_chord_and_radius(c.0, r.0))
            }
            (None, Some(s), Some(r), None) => {
                ("rise", CircularSegment::from_rise_and_radius(s.0, r.0))
            }
            (None, None, None, Some(p)) => {
                let [a, on, b] = p.map(|[x, y]| point(x.0, y.0));
                ("points", CircularSegment::from_three_points(a, on, b))
            }
            (Some(c), Some(s), Some(r), None) => return agreeing(c.0, s.0, r.0, key, shown),
            _ => {
                return Err(Diagnostic::error("the arc is not given by two figures")
                    .key(key)
                    .help("give two of `chord`, `rise` and `radius`, or `points` alone"));
            }
        };
        let front = result.map_err(|e| segment_diagnostic(e, key, named, shown))?;
        not_too_flat(front, key, shown)
    }
}

/// Radius beyond which an arc can not be told from a line on any board, and controllers lose
/// digits of its centre, millimetres.
const FLATTEST: f64 = 500_000.0;

fn not_too_flat(
    front: CircularSegment,
    key: &str,
    shown: Shown,
) -> Result<CircularSegment, Diagnostic> {
    if front.radius <= FLATTEST {
        return Ok(front);
    }
    let half = front.chord / 2.0;
    let least = half * half / (FLATTEST + (FLATTEST * FLATTEST - half * half).max(0.0).sqrt());
    Err(Diagnostic::error(format!(
        "a radius of {:.0} m is as good as straight",
        front.radius / 1000.0
    ))
    .key(format!("{key}.rise"))
    .help(format!(
        "over this chord the least rise that works is {}",
        shown.both((least * 100.0).ceil() / 100.0 + 0.01)
    )))
}

/// All three figures are allowed if they agree within what a tape measure reads.
fn agreeing(
    c: f64,
    s: f64,
    r: f64,
    key: &str,
    shown: Shown,
) -> Result<CircularSegment, Diagnostic> {
    let segment = CircularSegment::from_chord_and_rise(c, s)
        .map_err(|e| segment_diagnostic(e, key, "rise", shown))?;
    // A thirty-second of an inch of rise is what a tape reads; the radius answers in proportion.
    let slack = segment.radius * (0.8 / s).min(0.1);
    if (segment.radius - r).abs() <= slack {
        return not_too_flat(segment, key, shown);
    }
    Err(Diagnostic::error(format!(
        "chord {} with rise {} has the radius {}, not {}",
        shown.one(c),
        shown.one(s),
        shown.both(segment.radius),
        shown.one(r)
    ))
    .key(format!("{key}.radius"))
    .help("leave one of the three out"))
}

fn segment_diagnostic(error: SegmentError, key: &str, named: &str, shown: Shown) -> Diagnostic {
    let at = |name: &str| format!("{key}.{name}");
    match error {
        SegmentError::Chord if named == "points" => {
            Diagnostic::error("the first and the last point are the same").key(at("points"))
        }
        SegmentError::Chord => {
            Diagnostic::error("the chord is not more than zero").key(at("chord"))
        }
        SegmentError::Rise => Diagnostic::error("the rise is not more than zero")
            .key(at("rise"))
            .help("a cap with a straight front is a board, not a cap"),
        SegmentError::Radius => {
            Diagnostic::error("the radius is not more than zero").key(at("radius"))
        }
        SegmentError::RiseTooGreat { rise, most } => Diagnostic::error(format!(
            "a rise of {} is more than a half circle has: the arc would undercut its ends",
            shown.both(rise)
        ))
        .key(at("rise"))
        .help(format!("the greatest rise that works here is {}", shown.both(most))),
        SegmentError::RadiusTooSmall { radius, least } => Diagnostic::error(format!(
            "no circle of radius {} reaches both ends of the chord",
            shown.both(radius)
        ))
        .key(at("radius"))
        .help(format!("the least radius that works is half the chord, {}", shown.both(least))),
        SegmentError::PointsInLine => Diagnostic::error("the three points lie on a line")
            .key(at("points"))
            .help("give the arc's left end, a point between, its right end, in this order, each as [x, y]"),
        SegmentError::MoreThanHalf { chord, radius } => Diagnostic::error(format!(
            "the three points lie on more than a half circle (chord {}, radius {})",
            shown.one(chord),
            shown.one(radius)
        ))
        .key(at("points"))
        .help(format!(
            "the middle point may stand at most {} off the chord",
            shown.both(chord / 2.0)
        )),
    }
}

/// The figures that a carpenter asks of a cap, millimetres and radians.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CapFigures {
    /// Straight distance between the ends of the arc.
    pub chord: f64,
    /// Greatest height of the arc over its chord.
    pub rise: f64,
    /// Radius of the arc.
    pub radius: f64,
    /// Length along the arc.
    pub arc_length: f64,
    /// Angle at the centre.
    pub arc_angle: f64,
    /// Area of the whole cap.
    pub area: f64,
    /// Depth at the square ends.
    pub end_depth: f64,
    /// Depth at the middle.
    pub centre_depth: f64,
    /// Angle of the arc's tangent against the chord at the corner.
    pub corner_tangent: f64,
    /// Saw setting off square for each piece where a straight return meets the arc.
    pub return_mitre: f64,
    /// x along the chord from the left end, and height over the chord.
    pub ordinates: Vec<Point>,
}

impl Cap {
    /// The outline, counter-clockwise: back along x from the origin, arc towards greater y.
    #[must_use]
    pub fn contour(&self) -> Contour {
        let (chord, end) = (self.front.chord, self.end_depth);
        let v = |x, y, bulge| Vertex { at: point(x, y), bulge };
        Contour {
            vertices: vec![
                v(0.0, 0.0, 0.0),
                v(chord, 0.0, 0.0),
                v(chord, end, self.front.bulge()),
                v(0.0, end, 0.0),
            ],
            closed: true,
        }
    }

    /// Depth at the middle.
    #[must_use]
    pub fn centre_depth(&self) -> f64 {
        self.end_depth + self.front.rise
    }

    /// All that is asked of it.
    #[must_use]
    pub fn figures(&self) -> CapFigures {
        let f = &self.front;
        CapFigures {
            chord: f.chord,
            rise: f.rise,
            radius: f.radius,
            arc_length: f.arc_length(),
            arc_angle: 2.0 * f.half_angle(),
            area: f.area() + f.chord * self.end_depth,
            end_depth: self.end_depth,
            centre_depth: self.centre_depth(),
            corner_tangent: f.half_angle(),
            return_mitre: f.return_mitre(),
            ordinates: f.stations(self.stations as usize),
        }
    }
}
