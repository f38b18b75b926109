//! Paths that a moulding follows, as the trade gives them.
//!
//! Frame: from the left end to the right, the chord along x; the moulding grows to the left of
//! the path, so that a path whose crown is up carries it on the outside.

use super::arcs::ellipse;
use crate::diagnostic::Diagnostic;
use crate::geometry::{CircularSegment, EPSILON, Piece, Point, SegmentError, point};
use crate::part::cap::segment_diagnostic;
use crate::units::{Angle, Length, Shown};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// On which side of a curved path the moulding stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Grows {
    /// Away from the centre: round a bowed front, over an arch.
    #[default]
    Outward,
    /// Toward the centre: within an arch or a niche.
    Inward,
}

/// What a moulding follows: the line of its back, or, of one that lies on its back, of its
/// lower edge.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "kebab-case", deny_unknown_fields)]
pub enum PathShape {
    /// Straight.
    Line {
        /// Length along the path.
        length: Length,
    },
    /// A circular arc by chord and rise or radius.
    Arc {
        /// Straight distance between its ends.
        chord: Length,
        /// How far it bows beyond the line between its ends.
        #[serde(default)]
        rise: Option<Length>,
        /// Its radius, instead of its rise.
        #[serde(default)]
        radius: Option<Length>,
        /// On which side the moulding stands.
        #[serde(default)]
        grows: Grows,
    },
    /// Half an ellipse, as arcs that stay within a tolerance of it.
    Ellipse {
        /// Straight distance between its ends.
        span: Length,
        /// Its height over the middle.
        rise: Length,
        /// How far the arcs may leave it; 0.01 mm without it.
        #[serde(default)]
        tolerance: Option<Length>,
        /// On which side the moulding stands.
        #[serde(default)]
        grows: Grows,
    },
    /// An arch of three centres, each of its arcs a sixth of a circle.
    ThreeCentred {
        /// Straight distance between the springings.
        span: Length,
        /// Its height over the middle.
        rise: Length,
        /// On which side the moulding stands.
        #[serde(default)]
        grows: Grows,
    },
    /// Several straight pieces, each with its own length and ends.
    Pieces {
        /// In the order in which they are laid on the board.
        #[schemars(length(min = 1, max = 24))]
        piece: Vec<StraightShape>,
    },
    /// Lines and arcs one after another, mitred where the direction breaks.
    Chain {
        /// From the left end on.
        #[schemars(length(min = 1, max = 40))]
        leg: Vec<LegShape>,
    },
}

/// One of several straight pieces.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct StraightShape {
    /// What the setup sheet calls it.
    #[serde(default)]
    pub name: Option<String>,
    /// Length along its back.
    pub length: Length,
    /// How far its left end leans from square, in the plane of the table: positive where it grows
    /// longer away from its back.
    #[serde(default)]
    pub mitre_left: Angle,
    /// The same of its right end.
    #[serde(default)]
    pub mitre_right: Angle,
}

/// One leg of a chain.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
pub struct LegShape {
    /// How far the direction turns before it, to the left; a moulding's outside corner turns to
    /// the right, which is negative.
    pub turn: Angle,
    /// A straight leg: its length.
    pub length: Option<Length>,
    /// An arc: its radius.
    pub radius: Option<Length>,
    /// An arc: the angle it turns by, to the left; to the right if negative.
    pub sweep: Option<Angle>,
}

/// Sharper breaks than this leave no mitre that a cutter could follow, radians: 150 degrees.
const SHARPEST: f64 = 2.618;

impl PathShape {
    /// The path as lines and arcs. `key` is where it stands in the file.
    ///
    /// # Errors
    /// Figures that make no such path, each with what would.
    pub(super) fn pieces(&self, key: &str, shown: Shown) -> Result<Vec<Piece>, Diagnostic> {
        match self {
            PathShape::Line { length } => {
                positive(length.0, &format!("{key}.length"), "length", shown)?;
                Ok(vec![line(point(0.0, 0.0), point(length.0, 0.0))])
            }
            PathShape::Arc { chord, rise, radius, grows } => {
                let (named, made) = match (rise, radius) {
                    (Some(s), None) => ("rise", CircularSegment::from_chord_and_rise(chord.0, s.0)),
                    (None, Some(r)) => {
                        ("radius", CircularSegment::from_chord_and_radius(chord.0, r.0))
                    }
                    _ => {
                        return Err(Diagnostic::error("the arc is not given by two figures")
                            .key(key)
                            .help("give `chord` and either `rise` or `radius`"));
                    }
                };
                let arc = made.map_err(|e| match (e, segment_diagnostic(e, key, named, shown)) {
                    (SegmentError::Rise, told) => told.help(
                        "for the hollow side give `grows = \"inward\"`; a straight one is `kind = \"line\"`",
                    ),
                    (_, told) => told,
                })?;
                let piece =
                    Piece { from: point(0.0, 0.0), to: point(arc.chord, 0.0), bulge: -arc.bulge() };
                Ok(standing(vec![piece], *grows))
            }
            PathShape::Ellipse { span, rise, tolerance, grows } => {
                positive(span.0, &format!("{key}.span"), "span", shown)?;
                positive(rise.0, &format!("{key}.rise"), "rise", shown)?;
                // A hundredth: what a router table resolves.
                let tolerance = tolerance.map_or(0.01, |t| t.0);
                if !(LEAST_TOLERANCE..=1.0).contains(&tolerance) {
                    return Err(Diagnostic::error(format!(
                        "arcs can not stay within {} of an ellipse",
                        shown.both(tolerance)
                    ))
                    .key(format!("{key}.tolerance"))
                    .help(format!("{LEAST_TOLERANCE} mm to 1 mm")));
                }
                Ok(standing(ellipse(span.0 / 2.0, rise.0, tolerance), *grows))
            }
            PathShape::ThreeCentred { span, rise, grows } => {
                Ok(standing(three_centred(span.0, rise.0, key, shown)?, *grows))
            }
            PathShape::Pieces { piece } => in_a_row(piece, key, shown),
            PathShape::Chain { leg } => chain(leg, key, shown),
        }
    }
}

/// The finest that arcs are laid to an ellipse, mm.
const LEAST_TOLERANCE: f64 = 0.001;

fn positive(value: f64, key: &str, what: &str, shown: Shown) -> Result<(), Diagnostic> {
    if value > EPSILON && value.is_finite() {
        return Ok(());
    }
    Err(Diagnostic::error(format!("{} is no {what}", shown.one(value)))
        .key(key)
        .help("more than zero"))
}

fn line(from: Point, to: Point) -> Piece {
    Piece { from, to, bulge: 0.0 }
}

/// With the crown up for a moulding on the outside, down for one on the inside.
fn standing(pieces: Vec<Piece>, grows: Grows) -> Vec<Piece> {
    let down = |p: Point| point(p.x, -p.y);
    match grows {
        Grows::Outward => pieces,
        Grows::Inward => pieces
            .iter()
            .map(|p| Piece { from: down(p.from), to: down(p.to), bulge: -p.bulge })
            .collect(),
    }
}

/// Three arcs of 60 degrees each, tangent to each other and upright at the springings. With half
/// span a and rise b the lesser radius is (b - (2 - sqrt 3) a) / (sqrt 3 - 1), the greater
/// 2 a less the lesser (closed form, from the two centres' triangle of 60 degrees).
fn three_centred(span: f64, rise: f64, key: &str, shown: Shown) -> Result<Vec<Piece>, Diagnostic> {
    positive(span, &format!("{key}.span"), "span", shown)?;
    let (a, root) = (span / 2.0, 3.0_f64.sqrt());
    let least = (2.0 - root) * a;
    let small = (rise - least) / (root - 1.0);
    if !(small > EPSILON && rise <= a + EPSILON) {
        return Err(Diagnostic::error(format!(
            "no arch of three sixths of circles spans {} and rises {}",
            shown.both(span),
            shown.both(rise)
        ))
        .key(format!("{key}.rise"))
        .help(format!("more than {} and at most {}", shown.both(least), shown.both(a))));
    }
    // The joint lies on the line through both centres, 60 degrees over level.
    let joint = point(a - small + small / 2.0, small * root / 2.0);
    // tan(60°/4), to the right.
    let bulge = -(std::f64::consts::PI / 12.0).tan();
    let at = |x: f64, y: f64| point(a + x, y);
    let ends = [at(-a, 0.0), at(-joint.x, joint.y), at(joint.x, joint.y), at(a, 0.0)];
    Ok(ends.windows(2).map(|w| Piece { from: w[0], to: w[1], bulge }).collect())
}

/// All pieces end to end: their length is that of the moulding.
fn in_a_row(all: &[StraightShape], key: &str, shown: Shown) -> Result<Vec<Piece>, Diagnostic> {
    let mut at = 0.0;
    let mut pieces = Vec::new();
    for (i, piece) in all.iter().enumerate() {
        let key = format!("{key}.piece[{}]", i + 1);
        positive(piece.length.0, &format!("{key}.length"), "length", shown)?;
        for (word, angle) in [("left", piece.mitre_left), ("right", piece.mitre_right)] {
            check_mitre(angle, &format!("{key}.mitre-{word}"))?;
        }
        pieces.push(line(point(at, 0.0), point(at + piece.length.0, 0.0)));
        at += piece.length.0;
    }
    Ok(pieces)
}

/// Steepest mitre of an end, radians: 60 degrees.
const STEEPEST: f64 = std::f64::consts::FRAC_PI_3 + 1e-9;

/// Refuses what is no mitre; `key` is where it stands.
pub(super) fn check_mitre(angle: Angle, key: &str) -> Result<(), Diagnostic> {
    if angle.0.abs() <= STEEPEST {
        return Ok(());
    }
    let degrees = angle.0.to_degrees();
    Err(Diagnostic::error(format!("a mitre of {degrees:.1} degrees off square is none"))
        .key(key)
        .help("60 degrees at most, either way"))
}

fn chain(legs: &[LegShape], key: &str, shown: Shown) -> Result<Vec<Piece>, Diagnostic> {
    let mut at = point(0.0, 0.0);
    let mut heading = 0.0;
    let mut pieces = Vec::new();
    for (i, leg) in legs.iter().enumerate() {
        let key = format!("{key}.leg[{}]", i + 1);
        if leg.turn.0.abs() > SHARPEST {
            return Err(Diagnostic::error(format!(
                "a turn of {:.1} degrees folds the moulding on itself",
                leg.turn.0.to_degrees()
            ))
            .key(format!("{key}.turn"))
            .help("150 degrees at most, either way"));
        }
        heading += leg.turn.0;
        let along = Point::polar(1.0, heading);
        match (leg.length, leg.radius, leg.sweep) {
            (Some(length), None, None) => {
                positive(length.0, &format!("{key}.length"), "length", shown)?;
                pieces.push(line(at, at + along * length.0));
            }
            (None, Some(radius), Some(sweep)) => {
                positive(radius.0, &format!("{key}.radius"), "radius", shown)?;
                // A bulge tells arcs up to a full turn apart; half a turn is a leg of an arch.
                if !(1e-3..=std::f64::consts::PI + 1e-9).contains(&sweep.0.abs()) {
                    return Err(Diagnostic::error(format!(
                        "an arc of {:.2} degrees is no leg",
                        sweep.0.to_degrees()
                    ))
                    .key(format!("{key}.sweep"))
                    .help("up to 180 degrees, either way; divide it into two legs"));
                }
                let center = at + along.left() * (radius.0 * sweep.0.signum());
                let to = center + (at - center).rotated(sweep.0);
                pieces.push(Piece { from: at, to, bulge: (sweep.0 / 4.0).tan() });
                heading += sweep.0;
            }
            _ => {
                return Err(Diagnostic::error("the leg is neither a line nor an arc")
                    .key(key)
                    .help("give `length`, or `radius` and `sweep`"));
            }
        }
        at = pieces.last().map_or(at, |p: &Piece| p.to);
    }
    Ok(pieces)
}
