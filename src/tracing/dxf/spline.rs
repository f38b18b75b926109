//! Splines: a rational B-spline cut at its knots into Bézier curves, exactly.

use super::groups::Record;
use crate::geometry::{Point, point};
use crate::tracing::curve::{Bezier, Curve};

/// Degrees that are read; drawing programs use 2 and 3.
const HIGHEST_DEGREE: usize = 9;

/// A spline's flag (group 70): closed.
const CLOSED: i64 = 1;

/// The Bézier curves of a SPLINE, and whether it closes.
///
/// # Errors
/// What is missing or does not fit together.
pub(super) fn read(record: &Record) -> Result<(Vec<Curve>, bool), String> {
    let degree = record.whole(71).unwrap_or(0);
    let degree = usize::try_from(degree).unwrap_or(0);
    if !(1..=HIGHEST_DEGREE).contains(&degree) {
        return Err(format!("SPLINE: a degree of {degree}; 1 to {HIGHEST_DEGREE} are read"));
    }
    let knots = record.numbers(40)?;
    let poles = poles(record)?;
    if poles.is_empty() {
        return Err("SPLINE: it has no control points, only points it passes through".to_string());
    }
    if poles.len() <= degree || knots.len() != poles.len() + degree + 1 {
        let (k, p) = (knots.len(), poles.len());
        return Err(format!(
            "SPLINE: {k} knots and {p} control points do not make degree {degree}"
        ));
    }
    if knots.windows(2).any(|w| w[0] > w[1]) {
        return Err("SPLINE: its knots do not grow".to_string());
    }
    let curves = (degree..poles.len())
        .filter(|&k| knots[k] < knots[k + 1])
        .map(|k| Curve::Bezier(bezier(&knots, &poles, degree, k)))
        .collect();
    Ok((curves, record.whole(70).unwrap_or(0) & CLOSED != 0))
}

/// Control points times their weights, and the weights.
fn poles(record: &Record) -> Result<Vec<(Point, f64)>, String> {
    let (x, y, w) = (record.numbers(10)?, record.numbers(20)?, record.numbers(41)?);
    if x.len() != y.len() || !(w.is_empty() || w.len() == x.len()) {
        return Err("SPLINE: its control points and weights do not pair".to_string());
    }
    if w.iter().any(|&w| w <= 0.0) {
        return Err("SPLINE: a weight that is not more than 0".to_string());
    }
    let weight = |i: usize| w.get(i).copied().unwrap_or(1.0);
    Ok((0..x.len()).map(|i| (point(x[i], y[i]) * weight(i), weight(i))).collect())
}

/// The span from knot `k` to the next: its control points are the blossom (polar form) of the
/// spline at so many of the one knot and the rest of the other (L. Ramshaw, Blossoms Are Polar
/// Forms, 1989).
fn bezier(knots: &[f64], poles: &[(Point, f64)], degree: usize, k: usize) -> Bezier {
    let (low, high) = (knots[k], knots[k + 1]);
    let blossom = |highs: usize| {
        let mut row: Vec<(Point, f64)> = poles[k - degree..=k].to_vec();
        for level in 1..=degree {
            let u = if level <= highs { high } else { low };
            for j in (level..=degree).rev() {
                let i = k - degree + j;
                // The span lies between the two knots: they differ.
                let share = (u - knots[i]) / (knots[i + degree + 1 - level] - knots[i]);
                let ((p, w), (q, x)) = (row[j - 1], row[j]);
                row[j] = (p * (1.0 - share) + q * share, w * (1.0 - share) + x * share);
            }
        }
        row[degree]
    };
    Bezier { poles: (0..=degree).map(blossom).collect() }
}
