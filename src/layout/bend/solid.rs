//! A curved moulding sawn or milled from flat boards, in one or more segments.

use super::kerf::check_sweep;
use super::length;
use crate::diagnostic::Diagnostic;
use crate::layout::say::at_least;

/// More segments than this is a wheel, not a moulding.
const MOST_SEGMENTS: f64 = 1000.0;

/// A board on hand. Millimetres.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Board {
    /// Along the grain.
    pub length: f64,
    /// Across the grain.
    pub width: f64,
    /// Thickness: must hold the moulding's height, the board lying flat in the curve's plane.
    pub thickness: f64,
}

/// Equal segments that make up a curve. Millimetres and radians.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct SolidPlan {
    /// How many.
    pub segments: usize,
    /// Width of board that one takes.
    pub width: f64,
    /// Length of board that one takes.
    pub length: f64,
    /// Angle between grain and curve at a segment's ends: half of what it spans.
    pub run_out: f64,
}

/// The fewest equal segments of a moulding `thickness` thick and `height` high round an inner
/// `radius` through `sweep` that fit a board.
///
/// A segment that spans b takes (R + t) - R cos(b/2) of the width and 2 (R + t) sin(b/2) of the
/// length; its ends are cut along the radius.
///
/// # Errors
/// If a value cannot be, or the board is too thin or narrow for any segment, with what would do.
pub fn from_solid(
    thickness: f64,
    height: f64,
    radius: f64,
    sweep: f64,
    board: &Board,
) -> Result<SolidPlan, Diagnostic> {
    length("bend.thickness", thickness)?;
    length("bend.height", height)?;
    length("bend.radius", radius)?;
    length("bend.board.length", board.length)?;
    length("bend.board.width", board.width)?;
    length("bend.board.thickness", board.thickness)?;
    check_sweep(sweep)?;
    if board.thickness < height {
        return Err(Diagnostic::error(format!(
            "a board {} mm thick does not hold a moulding {height} mm high",
            board.thickness
        ))
        .key("bend.board.thickness")
        .help(format!("at least {}", at_least(height))));
    }
    let outer = radius + thickness;
    let by_width = half_span_for_width(radius, outer, board.width);
    // A segment may span a half turn at most: its ends would hook round.
    let by_length = (board.length / (2.0 * outer)).min(1.0).asin();
    let half_span = by_width.min(by_length);
    let count = (sweep / (2.0 * half_span) - 1e-9).ceil().max(1.0);
    if half_span <= 0.0 || !count.is_finite() || count > MOST_SEGMENTS {
        let half = sweep / 2.0 / MOST_SEGMENTS;
        return Err(Diagnostic::error(format!(
            "a board {} mm wide does not hold a moulding {thickness} mm thick on this curve",
            board.width
        ))
        .key("bend.board.width")
        .help(format!("wider than {}", at_least(outer - radius * half.cos()))));
    }
    let half = sweep / (2.0 * count);
    Ok(SolidPlan {
        // At most MOST_SEGMENTS.
        segments: count as usize,
        width: outer - radius * half.cos(),
        length: 2.0 * outer * half.sin(),
        run_out: half,
    })
}

/// Half of the greatest span whose width fits; at most a quarter turn, 0 when none does.
fn half_span_for_width(radius: f64, outer: f64, width: f64) -> f64 {
    let cosine = (outer - width) / radius;
    if cosine >= 1.0 { 0.0 } else { cosine.max(0.0).acos() }
}
