//! Drawings that a carving follows.

use super::checks::Checks;
use crate::diagnostic::Diagnostic;
use crate::geometry::{Contour, point};
use crate::ornament::Frame;
use crate::tracing::{self, Options, Outlines};
use crate::units::{Length, Unit};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::path::Path;

/// A drawing, as SVG or DXF.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub struct DrawingShape {
    /// An SVG or DXF beside the job.
    pub file: String,
    /// The layer of a DXF, or the group of an SVG by its id or label; everything without it.
    #[serde(default)]
    pub layer: Option<String>,
    /// What one unit of the drawing is, whatever it says itself.
    #[serde(default)]
    pub units: Option<Unit>,
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
///
/// # Errors
/// As [`tracing::read_outlines`] and [`tracing::read_lines`].
pub(super) fn read_drawing(
    shape: &DrawingShape,
    folder: &Path,
    closed: bool,
) -> Result<Vec<Contour>, Diagnostic> {
    let options = Options { layer: shape.layer.clone(), units: shape.units, ..Options::default() };
    let path = folder.join(&shape.file);
    let read = if closed { tracing::read_outlines } else { tracing::read_lines };
    let Outlines { contours, .. } = read(&path, &options)?;
    let bounds = contours.iter().filter_map(Contour::bounds);
    let around = bounds.reduce(|(a, b), (c, d)| {
        (point(a.x.min(c.x), a.y.min(c.y)), point(b.x.max(d.x), b.y.max(d.y)))
    });
    let Some((low, high)) = around else { return Ok(contours) };
    let scale = match shape.width {
        Some(width) if high.x > low.x => width.0 / (high.x - low.x),
        Some(_) => {
            return Err(Diagnostic::error(format!("{}: an upright line has no width", shape.file))
                .help("leave `width` out"));
        }
        None => 1.0,
    };
    let frame = Frame::new((low + high) * (-0.5 * scale), 0.0, scale, false);
    Ok(contours.iter().map(|c| frame.contour(c)).collect())
}
