//! Incised work: what a V cutter cuts into the panel, as outlines and lines.

use super::checks::Checks;
use super::drawing::{DrawingShape, read_drawing};
use super::{CarveShape, CarvingShape, LetteringShape};
use crate::diagnostic::Diagnostic;
use crate::geometry::{Contour, Point, Region, check_disjoint, point};
use crate::ornament::{self, Frame};
use crate::relief::source::lettering;
use crate::relief::{Cushion, CushionProfile};
use crate::units::{Angle, Length};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::path::Path;

/// With what incised work is cut.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct InciseShape {
    /// Number of the V cutter; it cuts every carving whose `v-angle` is its included angle.
    pub cutter: u32,
    /// Number of a flat cutter that clears where strokes are wider than the V may go.
    #[serde(default)]
    pub clearing_cutter: Option<u32>,
}

/// Incised work from a drawing: closed outlines as letters are, or lines of one width.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(deny_unknown_fields)]
pub struct IncisedShape {
    /// The drawing, its middle at the carving's origin.
    #[serde(flatten)]
    pub drawing: DrawingShape,
    /// Width of the strokes that follow the drawn lines; without it outlines are closed, and
    /// what they enclose is cut.
    #[serde(default)]
    pub line_width: Option<Length>,
    /// How deep the V may go; as deep as the line is wide, without it and with `line-width`.
    #[serde(default)]
    pub depth: Option<Length>,
    /// Included angle of the V cutter.
    #[serde(default = "sixty")]
    pub v_angle: Angle,
}

pub(super) fn sixty() -> Angle {
    Angle(60.0_f64.to_radians())
}

impl IncisedShape {
    pub(super) fn check(&self, c: &mut Checks<'_>) {
        self.drawing.check(c);
        super::carving::v_angle(c, self.v_angle);
        for (name, length) in [("depth", self.depth), ("line-width", self.line_width)] {
            if let Some(length) = length {
                c.positive(name, length.0);
            }
        }
        match (self.line_width, self.depth) {
            (None, None) => c.push(
                "depth",
                "how deep the V may go is not said".to_string(),
                "give `depth`, or `line-width` for lines of one width",
            ),
            (Some(width), Some(depth)) => {
                let deep = 0.5 * width.0 / (0.5 * self.v_angle.0).tan();
                if deep > depth.0 + 1e-9 {
                    c.lengths(
                        "line-width",
                        "a line of {} is cut {} deep",
                        [width.0, deep],
                        "give it less width, or more `depth`",
                    );
                }
            }
            _ => {}
        }
    }
}

/// What a V cutter follows.
#[derive(Clone, Debug, PartialEq)]
pub enum Strokes {
    /// Outlines with their islands.
    Regions(Vec<Region>),
    /// Middle lines of strokes of one width.
    Lines {
        /// The lines, open or closed.
        lines: Vec<Contour>,
        /// Half their width, mm.
        half: f64,
    },
}

/// One incised carving with its repeats, in the part's frame.
#[derive(Clone, Debug, PartialEq)]
pub struct Incision {
    /// Its key in the job file.
    pub key: String,
    /// What is cut.
    pub strokes: Strokes,
    /// No deeper than this below the ground, mm.
    pub deepest: f64,
    /// Included angle of the V, radians.
    pub angle: f64,
}

impl Incision {
    /// Which of the panel's carvings it is, counted from one.
    #[must_use]
    pub fn number(&self) -> &str {
        self.key.rsplit_once('[').map_or(self.key.as_str(), |(_, last)| last.trim_end_matches(']'))
    }

    /// As a V cutter of no tip leaves it: depth = distance to the outline over the tangent of
    /// half the angle, and no deeper than `deepest`.
    #[must_use]
    pub fn cushion(&self) -> Cushion {
        let width = self.deepest * (self.angle / 2.0).tan();
        match &self.strokes {
            Strokes::Regions(regions) => {
                let outlines: Vec<Contour> =
                    regions.iter().flat_map(Region::contours).cloned().collect();
                Cushion::new(&outlines, -self.deepest, width, CushionProfile::Bevel)
            }
            Strokes::Lines { lines, half } => Cushion::lines(lines, -self.deepest, *half),
        }
    }

    /// The box around it; `None` if there is nothing.
    #[must_use]
    pub fn bounds(&self) -> Option<(Point, Point)> {
        self.cushion().bounds()
    }
}

type Wrong = (&'static str, Diagnostic);

/// The incised carving that a shape asks for; `None` if it asks for another kind.
pub(super) fn incision(
    key: &str,
    shape: &CarvingShape,
    (folder, size): (&Path, Point),
    warnings: &mut Vec<Diagnostic>,
) -> Result<Option<Incision>, Wrong> {
    let (drawn, half, deepest, angle) = match &shape.what {
        CarveShape::KeyFret(s) => {
            let Some(angle) = s.v_angle else { return Ok(None) };
            let outline = ornament::key_fret_outline(s.length.0, s.height.0);
            (vec![outline], None, s.depth.0, angle.0)
        }
        CarveShape::Lettering(s) => (letters(s, folder)?, None, s.depth.0, s.v_angle.0),
        CarveShape::Incised(s) => {
            let closed = s.line_width.is_none();
            let drawn =
                read_drawing(&s.drawing, folder, closed, warnings).map_err(|d| ("file", d))?;
            let half = s.line_width.map(|w| 0.5 * w.0);
            let full = half.unwrap_or(0.0) / (0.5 * s.v_angle.0).tan();
            let deepest = if closed { s.depth.map_or(0.0, |d| d.0) } else { full };
            (drawn, half, deepest, s.v_angle.0)
        }
        _ => return Ok(None),
    };
    let frames = shape.place.frames(size);
    let placed: Vec<Vec<Contour>> =
        frames.iter().map(|f| drawn.iter().map(|c| f.contour(c)).collect()).collect();
    let strokes = match half {
        // The drawing is enlarged, its lines with it.
        Some(half) => Strokes::Lines { lines: placed.concat(), half: half * scale(&frames) },
        None => {
            let mut all = Vec::new();
            for one in placed {
                all.append(&mut regions(one).map_err(|d| (shape.what.source(), d))?);
            }
            Strokes::Regions(all)
        }
    };
    let deepest = if half.is_some() { deepest * scale(&frames) } else { deepest };
    Ok(Some(Incision { key: key.to_string(), strokes, deepest, angle }))
}

fn scale(frames: &[Frame]) -> f64 {
    frames.first().map_or(1.0, Frame::scale)
}

fn letters(s: &LetteringShape, folder: &Path) -> Result<Vec<Contour>, Wrong> {
    let file = match &s.font {
        Some(name) => {
            Some((name.as_str(), super::build::read(folder, name).map_err(|d| ("font", d))?))
        }
        None => None,
    };
    let font = file.as_ref().map(|(name, bytes)| (*name, bytes.as_slice()));
    let lettering = lettering(&s.text, s.height.0, s.spacing.0, font)
        .map_err(|d| if d.key.as_deref() == Some("font") { ("font", d) } else { ("text", d) })?;
    Ok(lettering.outlines)
}

/// Outlines put together: what an odd number of them encloses is inside.
pub(super) fn regions(outlines: Vec<Contour>) -> Result<Vec<Region>, Diagnostic> {
    let wrong = |why: String| {
        Diagnostic::error(format!("the outlines can not be cut: {why}"))
            .help("mend them: outlines are closed, and neither cross nor touch")
    };
    let start = |c: &Contour| c.vertices.first().map_or(point(0.0, 0.0), |v| v.at);
    let around: Vec<Vec<usize>> = outlines
        .iter()
        .enumerate()
        .map(|(k, c)| {
            let holds = |o: &usize| *o != k && outlines[*o].contains(start(c));
            (0..outlines.len()).filter(holds).collect()
        })
        .collect();
    let mut out = Vec::new();
    for (k, outer) in
        outlines.iter().enumerate().filter(|(k, _)| around[*k].len().is_multiple_of(2))
    {
        let depth = around[k].len() + 1;
        let islands = (0..outlines.len())
            .filter(|&i| around[i].len() == depth && around[i].contains(&k))
            .map(|i| outlines[i].clone())
            .collect();
        out.push(Region::new(outer.clone(), islands).map_err(|e| wrong(e.to_string()))?);
    }
    // Each is good by itself; where two cross, one would cut into the other.
    check_disjoint(&outlines).map_err(|e| wrong(e.to_string()))?;
    Ok(out)
}
