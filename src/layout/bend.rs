//! Will it bend? A moulding round a curve: dry, kerfed, laminated or from the solid.
//!
//! Strain of the outer fibre is t / (2 R), R to the middle of the thickness. Wood breaks in
//! bending at a strain of about modulus of rupture over modulus of elasticity; both are printed for
//! many species in USDA Forest Products Laboratory, Wood Handbook, FPL-GTR-282 (2021), tables
//! 5-3b and 5-5b. Its footnote c: the modulus is from a short beam and is about 10 % low for shear.

mod advice;
mod kerf;
mod laminate;
mod material;
mod solid;

pub use advice::{Advice, BendJob, BendReport, Finish, MOST_RUN_OUT, assess};
pub use kerf::{KerfPlan, kerfs};
pub use laminate::{Lamination, laminate};
pub use material::is_hardwood;
pub use solid::{Board, SolidPlan, from_solid};

use crate::diagnostic::Diagnostic;

/// What the printed modulus of elasticity is multiplied by, for the shear of the test beam: Wood
/// Handbook, FPL-GTR-282, chapter 5, footnote c to table 5-3.
pub const SHEAR_CORRECTION: f64 = 1.1;

/// Share of the breaking strain that bending may use when nothing else is said: common practice,
/// for grain that is not straight, knots and the spread about the printed means.
pub const USUAL_SHARE: f64 = 0.5;

/// A wood's printed means for small clear pieces at 12 % moisture, MPa (N/mm²).
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Wood {
    /// Modulus of elasticity as printed, before the shear correction.
    pub moe: f64,
    /// Modulus of rupture.
    pub mor: f64,
}

impl Wood {
    /// Strain at which the outer fibre breaks, about: MOR / (1.1 MOE).
    #[must_use]
    pub fn breaking_strain(&self) -> f64 {
        self.mor / (SHEAR_CORRECTION * self.moe)
    }

    /// Least ratio of radius (to the middle) and thickness that bending may use.
    #[must_use]
    pub fn least_ratio(&self, share: f64) -> f64 {
        1.0 / (2.0 * share * self.breaking_strain())
    }

    fn check(&self) -> Result<(), Diagnostic> {
        // Woods lie between about 2 and 30 GPa, 10 and 300 MPa; this only catches wrong units.
        let good = (100.0..=100_000.0).contains(&self.moe) && (1.0..=1000.0).contains(&self.mor);
        if good {
            return Ok(());
        }
        Err(Diagnostic::error(format!(
            "a modulus of elasticity of {} MPa with one of rupture of {} MPa is no wood's",
            self.moe, self.mor
        ))
        .key("bend.wood")
        .help("both in MPa: yellow-poplar has 10890 and 69.6"))
    }
}

/// Strain of the outer fibre of a piece `thickness` thick on a curve of `radius` to its inner face.
#[must_use]
pub fn strain(thickness: f64, radius: f64) -> f64 {
    thickness / (2.0 * (radius + thickness / 2.0))
}

/// The thickest piece that still bends dry round an inner `radius`, by `share` of the breaking
/// strain e: t = 2 e R / (1 - e).
///
/// # Errors
/// If wood, share or radius are not what they can be.
pub fn thickest_for(wood: &Wood, share: f64, radius: f64) -> Result<f64, Diagnostic> {
    let allowed = allowed_strain(wood, share)?;
    length("bend.radius", radius)?;
    Ok(2.0 * allowed * radius / (1.0 - allowed))
}

/// The least inner radius round which a piece `thickness` thick still bends dry.
///
/// # Errors
/// If wood, share or thickness are not what they can be.
pub fn least_radius(wood: &Wood, share: f64, thickness: f64) -> Result<f64, Diagnostic> {
    let allowed = allowed_strain(wood, share)?;
    length("bend.thickness", thickness)?;
    Ok(thickness * (1.0 - allowed) / (2.0 * allowed))
}

fn allowed_strain(wood: &Wood, share: f64) -> Result<f64, Diagnostic> {
    wood.check()?;
    if share > 0.0 && share <= 1.0 {
        Ok(share * wood.breaking_strain())
    } else {
        Err(Diagnostic::error(format!("{share} of the breaking strain cannot be used"))
            .key("bend.share")
            .help(format!("more than 0 and at most 1; {USUAL_SHARE} is common practice")))
    }
}

/// A length that is more than 0, or the error that says so.
fn length(key: &str, value: f64) -> Result<(), Diagnostic> {
    if value > 0.0 && value.is_finite() {
        return Ok(());
    }
    Err(Diagnostic::error(format!("{value} mm cannot be")).key(key).help("more than 0"))
}
