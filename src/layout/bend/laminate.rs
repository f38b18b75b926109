//! Thin plies glued over a form.

use super::{Wood, length, thickest_for};
use crate::diagnostic::Diagnostic;
use crate::layout::say::at_least;

/// Plies thinner than this are veneer, not sawn (common practice), mm.
const THINNEST_PLY: f64 = 1.0;

/// A lamination of equal plies. Millimetres.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Lamination {
    /// How many plies.
    pub plies: usize,
    /// Thickness of each, planed.
    pub ply: f64,
    /// Radius of the form's face, which the innermost ply lies on.
    pub form_radius: f64,
    /// Inner radius after it has sprung back.
    pub radius: f64,
}

/// The fewest plies that make up `thickness` and bend dry round the form for an inner `radius`.
///
/// n equal plies glued without creep spring back by 1/n² of their curvature (beam theory), so the
/// form is tighter than the work: R (1 - 1/n²) to the middle. The plies must bend round the form.
///
/// # Errors
/// If a value cannot be; or if the plies would be thinner than can be sawn, with the radius that
/// sawn plies bend to.
pub fn laminate(
    thickness: f64,
    radius: f64,
    wood: &Wood,
    share: f64,
) -> Result<Lamination, Diagnostic> {
    length("bend.thickness", thickness)?;
    thickest_for(wood, share, radius)?;
    let mut plies = 2_u32;
    loop {
        let n = f64::from(plies);
        let ply = thickness / n;
        if ply < THINNEST_PLY {
            break;
        }
        let form_radius = form_radius(thickness, radius, n);
        if form_radius > 0.0 && ply <= thickest_for(wood, share, form_radius)? {
            return Ok(Lamination { plies: plies as usize, ply, form_radius, radius });
        }
        plies += 1;
    }
    let n = (thickness / THINNEST_PLY).floor();
    let message = format!(
        "plies of {THINNEST_PLY} mm or more do not bend dry to a radius of {radius} mm in a \
         thickness of {thickness} mm"
    );
    let diagnostic = Diagnostic::error(message);
    Err(if n < 2.0 {
        diagnostic
            .key("bend.thickness")
            .help(format!("at least {}, which is two plies", at_least(2.0 * THINNEST_PLY)))
    } else {
        diagnostic.key("bend.radius").help(format!(
            "a radius of at least {}",
            at_least(radius_for(thickness, n, wood, share))
        ))
    })
}

/// Inner radius of the form: the middle's tightened by 1/n², less half the thickness.
fn form_radius(thickness: f64, radius: f64, n: f64) -> f64 {
    (radius + thickness / 2.0) * (1.0 - 1.0 / (n * n)) - thickness / 2.0
}

/// The least inner radius for n plies: the form's least radius, sprung back.
fn radius_for(thickness: f64, n: f64, wood: &Wood, share: f64) -> f64 {
    let allowed = share * wood.breaking_strain();
    let form = thickness / n * (1.0 - allowed) / (2.0 * allowed);
    (form + thickness / 2.0) / (1.0 - 1.0 / (n * n)) - thickness / 2.0
}
