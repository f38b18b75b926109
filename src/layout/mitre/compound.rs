//! Saw settings for a moulding that leans between wall and ceiling, cut lying flat.

use crate::diagnostic::Diagnostic;
use std::f64::consts::{FRAC_PI_2, PI};

/// What a spring angle is measured from. Guides differ: 38° from the wall is 52° from the ceiling.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum SpringFrom {
    /// Between the moulding's back and the wall.
    Wall,
    /// Between the moulding's back and the ceiling (or the cap's underside).
    Ceiling,
}

/// Settings of a compound mitre saw, the moulding flat on its back. Radians.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Compound {
    /// The table's turn, off square.
    pub mitre: f64,
    /// The blade's tilt, off upright.
    pub bevel: f64,
}

/// Settings for a moulding sprung by `spring` (radians, measured from `from`), turning a corner
/// whose two walls stand `corner` (radians) apart.
///
/// From the plane that halves the corner: with S from the wall and W between the walls,
/// mitre = atan(sin S / tan(W/2)), bevel = asin(cos S cos(W/2)). Closed form; saw guides print
/// 31.62° and 33.86° for S 38°, W 90°.
///
/// # Errors
/// If the spring is not between level and upright, or the corner not between 0 and a half turn.
pub fn compound(spring: f64, from: SpringFrom, corner: f64) -> Result<Compound, Diagnostic> {
    if !(0.0..=FRAC_PI_2).contains(&spring) {
        return Err(Diagnostic::error(format!(
            "a spring angle of {:.3}° does not lie between wall and ceiling",
            spring.to_degrees()
        ))
        .key("spring")
        .help("0° to 90°; 38° and 45° from the wall are usual"));
    }
    if !(corner > 0.0 && corner <= PI) {
        return Err(Diagnostic::error(format!(
            "a corner of {:.3}° cannot be halved",
            corner.to_degrees()
        ))
        .key("corner")
        .help("the lesser angle between the walls, more than 0° and at most 180°"));
    }
    let from_wall = match from {
        SpringFrom::Wall => spring,
        SpringFrom::Ceiling => FRAC_PI_2 - spring,
    };
    let half = corner / 2.0;
    Ok(Compound {
        // sin/cos rather than tan, which has no value for walls in one line.
        mitre: (from_wall.sin() * half.cos()).atan2(half.sin()),
        bevel: (from_wall.cos() * half.cos()).asin(),
    })
}
