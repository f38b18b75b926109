//! Outlines and moulding profiles drawn elsewhere, from SVG and from DXF.
//!
//! Lengths come out in millimetres with y up. Arcs stay arcs; every other curve becomes arcs that
//! follow it within a tolerance, which is proved and not sampled (see `arcs.rs`). What cannot be
//! read is told: nothing that is drawn is left out in silence.

mod arcs;
mod chain;
mod curve;
mod dxf;
mod entry;
mod page;
mod path_data;
mod profile;
mod svg;

pub use entry::{DrawingKeys, TracingEntry};
pub use profile::{DrawnProfile, profile, read_profile, read_profile_with_back};

use crate::diagnostic::{Diagnostic, Place};
use crate::geometry::{Contour, Point};
use crate::units::{MAX_LENGTH, Unit};
use curve::Curve;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// Largest drawing read, bytes.
pub const MAX_BYTES: u64 = 32 << 20;

/// Shapes of one drawing, those of repeated groups and blocks each time.
const MOST_SHAPES: usize = 200_000;

/// Lines and arcs of one drawing.
const MOST_PIECES: usize = 500_000;

/// Drawings smaller than this have the wrong units, mm.
const LEAST_SIZE: f64 = 0.1;

/// How a drawing is read.
#[derive(Clone, Debug, PartialEq)]
pub struct Options {
    /// Only what is on this layer: a layer of a DXF; a group's `id` or label of an SVG.
    pub layer: Option<String>,
    /// What one unit of the drawing is, whatever the file says of it.
    pub units: Option<Unit>,
    /// How closely arcs follow a curve, millimetres.
    pub tolerance: f64,
    /// Ends this near to each other are joined, millimetres.
    pub join: f64,
}

impl Default for Options {
    fn default() -> Options {
        // A twentieth of what sanding takes off; and what a hand-set snap leaves between ends.
        Options { layer: None, units: None, tolerance: 0.005, join: 0.01 }
    }
}

/// What a drawing holds.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Outlines {
    /// In the order of the file; closed ones run counter-clockwise.
    pub contours: Vec<Contour>,
    /// What was left out, and why.
    pub warnings: Vec<Diagnostic>,
}

/// What is drawn, open or closed, in an SVG or a DXF file.
///
/// # Errors
/// As [`read_outlines`], but lines may have ends and cross themselves.
pub fn read_lines(path: &Path, options: &Options) -> Result<Outlines, Diagnostic> {
    let (name, bytes) = bytes_of(path)?;
    let Found { chains, warnings } = contours(&name, &bytes, options)?;
    Ok(Outlines { contours: chains.into_iter().map(|chain| chain.contour).collect(), warnings })
}

/// Curves as a file draws them.
#[derive(Default)]
struct Drawing {
    layers: BTreeSet<String>,
    strokes: Vec<Stroke>,
    shapes: usize,
    /// What is left out: how often, and where first.
    skipped: BTreeMap<String, (usize, usize)>,
}

/// Curves that follow one another, and the byte where they stand in the file.
struct Stroke {
    curves: Vec<Curve>,
    closed: bool,
    offset: usize,
}

impl Drawing {
    fn skip(&mut self, what: String, offset: usize) {
        self.skipped.entry(what).or_insert((0, offset)).0 += 1;
    }
}

/// Reads closed outlines from an SVG or a DXF file, told apart by what is in it.
///
/// # Errors
/// A file that is not there or cannot be read; no such layer, with those there are; no units; an
/// outline with a gap, or that crosses itself, with the place; an absurd size; no outline at all.
pub fn read_outlines(path: &Path, options: &Options) -> Result<Outlines, Diagnostic> {
    let (name, bytes) = bytes_of(path)?;
    outlines(&name, &bytes, options)
}

/// As [`read_outlines`], from the bytes of a file; `name` stands in messages.
///
/// # Errors
/// As [`read_outlines`].
pub fn outlines(name: &str, bytes: &[u8], options: &Options) -> Result<Outlines, Diagnostic> {
    let mut found = contours(name, bytes, options)?;
    let text = text_of(bytes);
    if let Some(open) = found.chains.iter().find(|c| !c.contour.closed) {
        return Err(open.gap(name, &text, options));
    }
    let mut contours = Vec::new();
    for chain in found.chains.drain(..) {
        chain.contour.validate().map_err(|why| {
            fault(format!("{}", Sentence(&why.to_string())))
                .help("mend the outline there in the drawing program")
                .place(place(name, &text, chain.offset))
        })?;
        let left = chain.contour.area() > 0.0;
        contours.push(if left { chain.contour } else { chain.contour.reversed() });
    }
    Ok(Outlines { contours, warnings: found.warnings })
}

/// An error of the offsets without its first half: nobody asked for an offset.
struct Sentence<'a>(&'a str);

impl std::fmt::Display for Sentence<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let why = self.0.split_once(": ").map_or(self.0, |(_, why)| why);
        write!(f, "the outline cannot be used: {why}")
    }
}

/// Everything drawn on the layer, joined.
struct Found {
    chains: Vec<chain::Chain>,
    warnings: Vec<Diagnostic>,
}

fn bytes_of(path: &Path) -> Result<(String, Vec<u8>), Diagnostic> {
    // A device or a pipe may never end.
    if std::fs::metadata(path).is_ok_and(|meta| !meta.is_file() && !meta.is_dir()) {
        return Err(fault(format!("{}: this is no plain file", path.display()))
            .help("name the drawing's own file"));
    }
    let bytes = crate::files::read_bytes(path, MAX_BYTES);
    let bytes = bytes.map_err(|failure| {
        let first = failure.diagnostics().first().cloned();
        first.unwrap_or_else(|| fault("the file cannot be read"))
    })?;
    Ok((path.display().to_string(), bytes))
}

/// A drawing's text: old ones name their layers in other code pages, which read as `�`.
fn text_of(bytes: &[u8]) -> std::borrow::Cow<'_, str> {
    String::from_utf8_lossy(bytes)
}

fn contours(name: &str, bytes: &[u8], options: &Options) -> Result<Found, Diagnostic> {
    check(options)?;
    // The sentinel of a binary DXF holds these words within its first bytes.
    if bytes.get(..40.min(bytes.len())).is_some_and(|b| b.windows(10).any(|w| w == b"Binary DXF")) {
        return Err(
            fault(format!("{name}: a binary DXF is not read")).help("save it as a text DXF")
        );
    }
    let text = text_of(bytes);
    let is_xml = text.trim_start_matches('\u{feff}').trim_start().starts_with('<');
    let drawing = if is_xml {
        svg::read(name, &text, options)?
    } else if text.lines().any(|line| line.trim() == "SECTION") {
        dxf::read(name, &text, options)?
    } else {
        return Err(fault(format!("{name}: this is neither an SVG nor a DXF drawing"))
            .help("save the tracing as SVG, or as DXF"));
    };
    if let Some(layer) = options.layer.as_ref().filter(|l| !drawing.layers.contains(*l)) {
        return Err(no_layer(name, layer, &drawing.layers));
    }
    let mut warnings: Vec<Diagnostic> = drawing
        .skipped
        .iter()
        .map(|(what, &(count, offset))| {
            let times = if count == 1 { String::new() } else { format!(", {count} times") };
            Diagnostic::warning(format!("left out of the drawing: {what}{times}"))
                .place(place(name, &text, offset))
        })
        .collect();
    if drawing.strokes.is_empty() {
        let left = warnings.first().map(|w| format!("; {}", w.message)).unwrap_or_default();
        let on = options.layer.as_ref().map(|l| format!(" on layer `{l}`")).unwrap_or_default();
        return Err(fault(format!("{name}: there is no outline{on}{left}"))
            .help("draw it with lines, arcs, circles, splines, polylines or paths"));
    }
    let runs = chain::runs(name, &text, &drawing.strokes, options)?;
    let (chains, doubled) = chain::join(name, &text, runs, options)?;
    warnings.extend(doubled);
    check_size(name, &chains)?;
    Ok(Found { chains, warnings })
}

fn check(options: &Options) -> Result<(), Diagnostic> {
    // Finer than this the digits of a kilometre do not go; coarser, no profile is left.
    for (what, value, low, high) in
        [("tolerance", options.tolerance, 1e-5, 1.0), ("join", options.join, 1e-6, 1.0)]
    {
        if !(low..=high).contains(&value) {
            return Err(fault(format!("a {what} of {value} mm is of no use"))
                .key(what)
                .help(format!("{low} to {high} mm")));
        }
    }
    Ok(())
}

fn no_layer(name: &str, layer: &str, known: &BTreeSet<String>) -> Diagnostic {
    // A drawing can have thousands.
    let some: Vec<String> = known.iter().take(20).map(|l| format!("`{l}`")).collect();
    let rest = known.len().saturating_sub(some.len());
    let help = match (some.is_empty(), rest) {
        (true, _) => "it has none: leave the layer out".to_string(),
        (false, 0) => format!("it has {}", some.join(", ")),
        (false, rest) => format!("it has {} and {rest} more", some.join(", ")),
    };
    fault(format!("{name}: the drawing has no layer `{layer}`")).key("layer").help(help)
}

fn check_size(name: &str, chains: &[chain::Chain]) -> Result<(), Diagnostic> {
    let mut low = Point { x: f64::INFINITY, y: f64::INFINITY };
    let mut high = Point { x: f64::NEG_INFINITY, y: f64::NEG_INFINITY };
    for (a, b) in chains.iter().filter_map(|c| c.contour.bounds()) {
        low = Point { x: low.x.min(a.x), y: low.y.min(a.y) };
        high = Point { x: high.x.max(b.x), y: high.y.max(b.y) };
    }
    let size = high - low;
    let greatest = size.x.max(size.y);
    if (LEAST_SIZE..=MAX_LENGTH).contains(&greatest) {
        return Ok(());
    }
    let message =
        format!("{name}: the drawing is {:.4} by {:.4} mm, which no board is", size.x, size.y);
    Err(fault(message).help(format!(
        "from {LEAST_SIZE} to {MAX_LENGTH} mm; say the drawing's units if it has the wrong ones"
    )))
}

fn fault(message: impl Into<String>) -> Diagnostic {
    Diagnostic::error(message)
}

/// The place of a byte. A line of path data can be a megabyte long: only its start is shown.
fn place(name: &str, text: &str, offset: usize) -> Place {
    let mut place = Place::of_offset(name, text, offset);
    place.excerpt = place.excerpt.chars().take(161).collect();
    place
}
