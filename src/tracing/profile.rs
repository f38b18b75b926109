//! A moulding's profile from its tracing: the whole section, or the face alone.

use super::{Options, bytes_of, contours, fault, place, text_of};
use crate::diagnostic::Diagnostic;
use crate::geometry::profile::Profile;
use crate::geometry::{Contour, Piece, Point, point};
use std::path::Path;

/// A line this far from upright or level over its length still counts as such, mm: a scanner's
/// or a hand's error, far below what a saw leaves.
const STRAIGHT: f64 = 0.01;

/// A profile as it was drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct DrawnProfile {
    /// The profile.
    pub profile: Profile,
    /// What was left out of the drawing, and why.
    pub warnings: Vec<Diagnostic>,
}

/// Reads a moulding's profile from an SVG or a DXF file.
///
/// A closed outline is the whole section: its back is the longer of its upright left or right
/// side, and a back on the right is turned to the left. An open one is the face alone, from its
/// lower end up, with the wall on the left; its back is 0 until [`Profile::with_back`] says more.
///
/// # Errors
/// As [`super::read_outlines`]; more than one outline; no upright back; a face that does not
/// rise; a section that crosses itself, with the place.
pub fn read_profile(path: &Path, options: &Options) -> Result<DrawnProfile, Diagnostic> {
    let (name, bytes) = bytes_of(path)?;
    profile(&name, &bytes, options)
}

/// As [`read_profile`], with the wood behind a face that is drawn alone.
///
/// # Errors
/// As [`read_profile`]; with the key `back`, a back that a drawn section has already or that the
/// face reaches.
pub fn read_profile_with_back(
    path: &Path,
    options: &Options,
    back: f64,
) -> Result<DrawnProfile, Diagnostic> {
    let (name, bytes) = bytes_of(path)?;
    drawn(&name, &bytes, options, Some(back))
}

/// As [`read_profile`], from the bytes of a file; `name` stands in messages.
///
/// # Errors
/// As [`read_profile`].
pub fn profile(name: &str, bytes: &[u8], options: &Options) -> Result<DrawnProfile, Diagnostic> {
    drawn(name, bytes, options, None)
}

fn drawn(
    name: &str,
    bytes: &[u8],
    options: &Options,
    stated: Option<f64>,
) -> Result<DrawnProfile, Diagnostic> {
    let found = contours(name, bytes, options)?;
    let text = text_of(bytes);
    let [only] = found.chains.as_slice() else {
        let second = found.chains.get(1).map_or(0, |c| c.offset);
        let count = found.chains.len();
        let longest = gap_of(&found.chains);
        return Err(fault(format!("a profile is one line, and {count} are drawn{longest}"))
            .help("leave one, put it on a layer of its own, or close the gaps")
            .place(place(name, &text, second)));
    };
    let at = |one: Diagnostic| one.place(place(name, &text, only.offset));
    let (face, own) = if only.contour.closed {
        let crossing = only
            .contour
            .validate()
            .map_err(|why| fault(format!("{}", super::Sentence(&why.to_string()))));
        crossing.and_then(|()| face_of_section(&only.contour)).map_err(at)?
    } else {
        (rising(&only.contour).map_err(at)?, 0.0)
    };
    let back = match stated {
        Some(_) if own > 0.0 => {
            return Err(Diagnostic::error(format!("the drawn section has a back of {own:.3} mm"))
                .key("back")
                .help("leave `back` out, or draw the face alone"));
        }
        Some(stated) => stated,
        None => own,
    };
    let profile = Profile::traced(face, back).map_err(|one| match (&one.key, stated) {
        // The number that is wrong stands in the job, not in the drawing.
        (Some(key), Some(_)) if key == "back" => one,
        _ => at(one),
    })?;
    Ok(DrawnProfile { profile, warnings: found.warnings })
}

/// The least gap between two of several open lines, for the message.
fn gap_of(chains: &[super::chain::Chain]) -> String {
    let ends: Vec<(usize, Point)> = chains
        .iter()
        .enumerate()
        .filter(|(_, c)| !c.contour.closed)
        // A hundred are enough for a hint.
        .take(100)
        .flat_map(|(i, c)| {
            let both = [c.contour.vertices.first(), c.contour.vertices.last()];
            both.into_iter().flatten().map(move |v| (i, v.at))
        })
        .collect();
    let pairs = ends.iter().flat_map(|a| ends.iter().map(move |b| (a, b)));
    let least = pairs
        .filter(|(a, b)| a.0 < b.0)
        .map(|(a, b)| (a.1.distance(b.1), a.1))
        .min_by(|a, b| a.0.total_cmp(&b.0));
    least.map_or(String::new(), |(gap, at)| {
        format!("; their nearest ends are {gap:.3} mm apart at ({:.3}, {:.3}) mm", at.x, at.y)
    })
}

/// An open line from its lower end up, that end at the origin.
fn rising(line: &Contour) -> Result<Contour, Diagnostic> {
    let ends = line.vertices.first().zip(line.vertices.last());
    let (first, last) = ends.map_or_else(Default::default, |(a, b)| (a.at, b.at));
    if (first.y - last.y).abs() <= STRAIGHT {
        return Err(fault(format!(
            "the face does not rise: its ends, ({:.3}, {:.3}) and ({:.3}, {:.3}) mm, are level",
            first.x, first.y, last.x, last.y
        ))
        .help("draw it upright, the wall on its left; or close it along its back"));
    }
    let up = if first.y < last.y { line.clone() } else { line.reversed() };
    let start = up.vertices.first().map_or_else(Point::default, |v| v.at);
    let face = up.moved(-start);
    if face.bounds().is_some_and(|(_, high)| high.x <= STRAIGHT) {
        return Err(fault("the face lies on the wall's side of its lower end")
            .help("draw it with the wall on its left: mirror it"));
    }
    Ok(face)
}

/// The face of a closed section, its lower inner end at the origin, and the wood behind that.
fn face_of_section(section: &Contour) -> Result<(Contour, f64), Diagnostic> {
    let (low, high) = section.bounds().unwrap_or_default();
    let (left, right) = (upright(section, low.x), upright(section, high.x));
    let mut section = section.clone();
    let mut wall = low.x;
    if right > left {
        let mirrored = |v: &crate::geometry::Vertex| crate::geometry::Vertex {
            at: point(-v.at.x, v.at.y),
            bulge: -v.bulge,
        };
        section.vertices = section.vertices.iter().map(mirrored).collect();
        wall = -high.x;
    }
    if left.max(right) <= STRAIGHT {
        return Err(fault("the section has no upright back")
            .help("turn it so that its back stands upright on the left; or draw the face alone"));
    }
    if section.area() < 0.0 {
        section = section.reversed();
    }
    let pieces: Vec<Piece> = section.pieces().collect();
    let on_back = |p: &Piece| is_upright_at(p, wall);
    // Counter-clockwise, the back comes down: what follows its last part is the bottom.
    let n = pieces.len();
    let ends = (0..n).filter(|&i| on_back(&pieces[i]) && !on_back(&pieces[(i + 1) % n]));
    let starts: Vec<usize> = ends.map(|i| (i + 1) % n).collect();
    let [start] = starts.as_slice() else {
        return Err(fault("the back is hollowed: the section touches the wall in several places")
            .help("draw the back as one upright line"));
    };
    let mut around: Vec<Piece> = (0..n).map(|i| pieces[(start + i) % n]).collect();
    around.retain(|p| !on_back(p));
    Ok(without_shelves(&around, wall))
}

/// The face without the level lines that join it to the back.
fn without_shelves(around: &[Piece], wall: f64) -> (Contour, f64) {
    let level = |p: &Piece| !p.is_arc() && (p.from.y - p.to.y).abs() <= STRAIGHT;
    let bottom = around.iter().take_while(|p| level(p) && p.to.x > p.from.x).count();
    let top = around.iter().rev().take_while(|p| level(p) && p.to.x < p.from.x).count();
    // A section that is all shelves has no face; the checks of a profile say so.
    let face = around.get(bottom..around.len() - top).unwrap_or(&[]);
    let start = face.first().map_or_else(Point::default, |p| p.from);
    (Contour::from_pieces(face, false).moved(-start), start.x - wall)
}

/// Length of the section's upright lines at `x`.
fn upright(section: &Contour, x: f64) -> f64 {
    section.pieces().filter(|p| is_upright_at(p, x)).map(|p| p.length()).sum()
}

fn is_upright_at(piece: &Piece, x: f64) -> bool {
    !piece.is_arc() && (piece.from.x - x).abs() <= STRAIGHT && (piece.to.x - x).abs() <= STRAIGHT
}
