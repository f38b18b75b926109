//! Joints between the segments of a moulding.
//!
//! A keyed joint is cut by the parting cutter as it goes round: a tongue on the right end of a
//! segment, as deep as the moulding, and a socket for it in the left end of the next. It lies
//! in plan, and so it needs no second setup; on the face it shows as a fine line.

use crate::diagnostic::Diagnostic;
use crate::geometry::{Piece, Point, point};
use crate::units::{Length, Shown};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Corners of a tongue without a stated radius, mm: a cutter of 1/2 in goes round them with 0.8 mm
/// left for its last pass.
const USUAL_RADIUS: f64 = 7.2;
/// Room all round a tongue without a stated gap, mm: glue needs it (common practice).
const USUAL_GAP: f64 = 0.1;
/// Least wood of a shoulder beside a tongue and its roundings, mm, so that the joint shuts on it.
const LEAST_SHOULDER: f64 = 0.5;
/// tan(90°/4): a quarter circle.
const QUARTER: f64 = std::f64::consts::SQRT_2 - 1.0;

/// How segments meet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "kebab-case", deny_unknown_fields)]
pub enum JointShape {
    /// Butted square.
    #[default]
    Plain,
    /// By a tongue and its socket, cut in plan with the outline.
    Keyed {
        /// Width of the tongue across the moulding; a third of it, or two radii, without it.
        #[serde(default)]
        width: Option<Length>,
        /// How far the tongue goes into the next segment; as far as it is wide without it.
        #[serde(default)]
        length: Option<Length>,
        /// Radius of its corners, within and without; 7.2 mm without it, for a cutter of 1/2 in.
        #[serde(default)]
        radius: Option<Length>,
        /// Room round the tongue in its socket; 0.1 mm without it.
        #[serde(default)]
        gap: Option<Length>,
    },
}

/// A tongue and its socket, mm.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Key {
    /// Width of the tongue.
    pub width: f64,
    /// How far it stands out.
    pub length: f64,
    /// Radius of its four corners.
    pub radius: f64,
    /// Room round it.
    pub gap: f64,
}

impl JointShape {
    /// The key of the joints of a moulding that is `wide` as it lies, if they have one. `key` is
    /// where this stands in the file.
    ///
    /// # Errors
    /// A figure that makes no tongue, with what would.
    pub(super) fn key(
        &self,
        key: &str,
        wide: f64,
        shown: Shown,
    ) -> Result<Option<Key>, Diagnostic> {
        let JointShape::Keyed { width, length, radius, gap } = *self else { return Ok(None) };
        let out = |word: &str, value: f64, low: f64, high: f64, why: &str| {
            Diagnostic::error(format!("a key's {word} of {} does not work{why}", shown.both(value)))
                .key(format!("{key}.{word}"))
                .help(match low < high {
                    true => format!("{} to {}", shown.both(low), shown.both(high)),
                    false => {
                        "give the key a smaller `radius`, and part with a cutter that fits it, \
                              or butt the segments: `kind = \"plain\"`"
                            .to_string()
                    }
                })
        };
        let within = |word: &str, value: f64, low: f64, high: f64, why: &str| {
            // Written fractions of an inch may miss a bound by a rounding.
            match value >= low - 1e-6 && value <= high + 1e-6 {
                true => Ok(value),
                false => Err(out(word, value, low, high, why)),
            }
        };
        let room = wide / 4.0 - LEAST_SHOULDER / 2.0;
        let why = format!(" on a moulding {} wide as it lies", shown.both(wide));
        // Two roundings of the tongue, two beside it and two shoulders lie across the moulding.
        let radius = radius.map_or(USUAL_RADIUS, |r| r.0);
        let radius = within("radius", radius, 1.0, room, &why)?;
        let gap = within("gap", gap.map_or(USUAL_GAP, |g| g.0), 0.0, radius / 2.0, "")?;
        let widest = wide - 2.0 * (radius + LEAST_SHOULDER);
        let width = width.map_or((wide / 3.0).clamp(2.0 * radius, widest), |w| w.0);
        let width = within("width", width, 2.0 * radius, widest, &why)?;
        // Ten times as long as wide it would break off.
        let length = length.map_or(width, |l| l.0);
        let length = within("length", length, 2.0 * radius, 10.0 * width, "")?;
        Ok(Some(Key { width, length, radius, gap }))
    }
}

impl Key {
    /// The end that carries the tongue, from the lower u to the higher: x out, y across.
    pub(super) fn tongue(&self, [low, high]: [f64; 2]) -> Vec<Piece> {
        self.line([low, high], self.width / 2.0, self.length, [self.radius, self.radius])
    }

    /// The end that takes it.
    pub(super) fn socket(&self, [low, high]: [f64; 2]) -> Vec<Piece> {
        let Key { width, length, radius, gap } = *self;
        let line =
            self.line([low, high], width / 2.0 + gap, length + gap, [radius - gap, radius + gap]);
        let inward = |p: Point| point(-p.x, p.y);
        line.iter().map(|p| p.mirrored(&inward)).collect()
    }

    /// Up the shoulder, out round the mouth's corner, along the flank, round the far corner, and
    /// the same back on the other side.
    fn line(
        &self,
        [low, high]: [f64; 2],
        half: f64,
        far: f64,
        [mouth, corner]: [f64; 2],
    ) -> Vec<Piece> {
        let middle = (low + high) / 2.0;
        let lower = [
            (point(0.0, low), 0.0),
            (point(0.0, middle - half - mouth), -QUARTER),
            (point(mouth, middle - half), 0.0),
            (point(far - corner, middle - half), QUARTER),
            (point(far, middle - half + corner), 0.0),
        ];
        // The upper half is the lower one seen in a mirror, and travelled the other way.
        let up = |p: Point| point(p.x, 2.0 * middle - p.y);
        let mut places: Vec<(Point, f64)> = lower.to_vec();
        for i in (0..lower.len()).rev() {
            // The piece that ends here is the one that starts before it on the lower half.
            let bulge = if i > 0 { lower[i - 1].1 } else { 0.0 };
            places.push((up(lower[i].0), bulge));
        }
        places
            .windows(2)
            .map(|w| Piece { from: w[0].0, to: w[1].0, bulge: w[0].1 })
            .filter(|p| p.length() > 1e-6)
            .collect()
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{Key, Piece};
    use crate::geometry::{Contour, point};
    use approx::assert_relative_eq;

    const KEY: Key = Key { width: 20.0, length: 24.0, radius: 4.0, gap: 0.1 };

    fn area(line: &[Piece]) -> f64 {
        let mut pieces = line.to_vec();
        let (from, to) = (line.last().unwrap().to, line.first().unwrap().from);
        pieces.push(Piece { from, to, bulge: 0.0 });
        Contour::from_pieces(&pieces, true).area().abs()
    }

    #[test]
    fn tongue_and_socket_have_the_areas_of_their_figures() {
        let corners = 4.0 - std::f64::consts::PI;
        // A rectangle, two corners less and two mouths more, each (1 - pi/4) r² (closed form).
        assert_relative_eq!(area(&KEY.tongue([-5.0, 45.0])), 20.0 * 24.0, epsilon = 1e-9);
        let socket = 20.2 * 24.1 + corners / 2.0 * (3.9_f64.powi(2) - 4.1_f64.powi(2));
        assert_relative_eq!(area(&KEY.socket([-5.0, 45.0])), socket, epsilon = 1e-9);
    }

    #[test]
    fn the_tongue_has_its_gap_on_flanks_and_end_and_touches_the_shoulders() {
        let inward = |p: crate::geometry::Point| point(-p.x, p.y);
        let socket: Vec<Piece> =
            KEY.socket([-5.0, 45.0]).iter().map(|p| p.mirrored(&inward)).collect();
        let line = Contour::from_pieces(&socket, false);
        for piece in KEY.tongue([-5.0, 45.0]) {
            for i in 0..=8 {
                let p = piece.at(f64::from(i) / 8.0);
                let (off, _) = line.nearest(p).unwrap();
                if p.x > 4.0 {
                    assert_relative_eq!(off, 0.1, epsilon = 1e-6);
                } else {
                    assert!(off < 0.1 + 1e-6, "{off}");
                }
            }
        }
    }
}
