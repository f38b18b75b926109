//! Saw kerfs across the back that let a piece close round a curve.

use super::{length, strain};
use crate::diagnostic::Diagnostic;
use crate::layout::say::{at_least, at_most};

/// Kerfs for one curve. Millimetres.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct KerfPlan {
    /// How many, over the whole curve.
    pub count: usize,
    /// From one to the next, along the skin.
    pub spacing: f64,
    /// Wood left uncut at the face.
    pub skin: f64,
    /// How deep each goes.
    pub depth: f64,
    /// Strain of the skin's outer fibre: the skin must itself bend.
    pub skin_strain: f64,
    /// How far the true curve rises over the flat between two kerfs.
    pub facet: f64,
}

/// Kerfs `saw_kerf` wide in a piece `thickness` thick on its hollow side, `skin` left, round an
/// inner `radius` through `sweep` radians.
///
/// Rule of an old trade course (Building Construction, vol. 2, "Bending Wood", art. 85-86): swing
/// the end of a piece as long as the radius until one kerf shuts; the swing is the spacing:
/// R k / (t - skin), R to the skin. So n = sweep (t - skin) / k, here rounded up, which leaves
/// the kerfs a little open rather than closed too soon.
///
/// # Errors
/// If a value cannot be, with what could.
pub fn kerfs(
    thickness: f64,
    radius: f64,
    sweep: f64,
    skin: f64,
    saw_kerf: f64,
) -> Result<KerfPlan, Diagnostic> {
    length("bend.thickness", thickness)?;
    length("bend.radius", radius)?;
    length("bend.saw-kerf", saw_kerf)?;
    length("bend.skin", skin)?;
    check_sweep(sweep)?;
    if skin >= thickness {
        return Err(Diagnostic::error(format!("a skin of {skin} mm leaves nothing to saw"))
            .key("bend.skin")
            .help(format!("less than {}; 1/8 to 1/4 in is usual", at_most(thickness))));
    }
    let depth = thickness - skin;
    let at_skin = radius + depth;
    let exact = sweep * depth / saw_kerf;
    // A billionth is rounding, not a kerf more.
    let count = (exact - 1e-9).ceil().max(1.0);
    let spacing = sweep * at_skin / count;
    if spacing <= saw_kerf {
        let least = count * saw_kerf / sweep - depth;
        return Err(Diagnostic::error(format!(
            "{count} kerfs on a radius of {radius} mm run into each other"
        ))
        .key("bend.radius")
        .help(format!("more than {}", at_least(least))));
    }
    Ok(KerfPlan {
        // Counted above from lengths that a saw can cut.
        count: count as usize,
        spacing,
        skin,
        depth,
        skin_strain: strain(skin, at_skin),
        facet: spacing * spacing / (8.0 * at_skin),
    })
}

/// A sweep of more than nothing and at most a full turn.
pub(super) fn check_sweep(sweep: f64) -> Result<(), Diagnostic> {
    if sweep > 0.0 && sweep <= std::f64::consts::TAU {
        return Ok(());
    }
    Err(Diagnostic::error(format!("a curve through {sweep} radians cannot be"))
        .key("bend.sweep")
        .help("more than 0 and at most a full turn"))
}
