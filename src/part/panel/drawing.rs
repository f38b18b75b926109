//! Drawings that a carving follows.

use super::checks::Checks;
use crate::diagnostic::Diagnostic;
use crate::geometry::{Contour, point};
use crate::ornament::Frame;
use crate::tracing::{self, Outlines, TracingEntry};
use crate::units::Length;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::path::Path;

/// A drawing, as SVG or DXF.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub struct DrawingShape {
    /// An SVG or DXF beside the job.
    #[serde(flatten)]
    pub drawing: TracingEntry,
    /// Its width on the panel, the height follows; its own size without it.
    #[serde(default)]
    pub width: Option<Length>,
}

impl DrawingShape {
    pub(super) fn check(&self, c: &mut Checks<'_>) {
        if let Some(width) = self.width {
            c.positive("width", width.0);
        }
    }
}

/// What is drawn, about the middle of its box; `closed` asks for outlines, else lines will do.
/// What was left out of it is added to `warnings`.
///
/// # Errors
/// As [`tracing::read_outlines`] and [`tracing::read_lines`].
pub(super) fn read_drawing(
    shape: &DrawingShape,
    folder: &Path,
    closed: bool,
    warnings: &mut Vec<Diagnostic>,
) -> Result<Vec<Contour>, Diagnostic> {
    let options = shape.drawing.keys.options();
    let path = folder.join(&shape.drawing.file);
    let read = if closed { tracing::read_outlines } else { tracing::read_lines };
    let Outlines { contours, warnings: left_out } = read(&path, &options)?;
    warnings.extend(left_out);
    let bounds = contours.iter().filter_map(Contour::bounds);
    let around = bounds.reduce(|(a, b), (c, d)| {
        (point(a.x.min(c.x), a.y.min(c.y)), point(b.x.max(d.x), b.y.max(d.y)))
    });
    let Some((low, high)) = around else { return Ok(contours) };
    let scale = match shape.width {
        Some(width) if high.x > low.x => width.0 / (high.x - low.x),
        Some(_) => {
            return Err(Diagnostic::error(format!(
                "{}: an upright line has no width",
                shape.drawing.file
            ))
            .help("leave `width` out"));
        }
        None => 1.0,
    };
    let frame = Frame::new((low + high) * (-0.5 * scale), 0.0, scale, false);
    Ok(contours.iter().map(|c| frame.contour(c)).collect())
}
