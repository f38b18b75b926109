//! What one cutter may do in one wood on one machine.

use serde::Serialize;

/// A figure and the limit that governed it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Governed {
    /// The figure.
    pub value: f64,
    /// What set it, in a few words: `chart`, `flute length`, `spindle power`, `job file`.
    pub by: String,
}

/// A figure that is known only as a band.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Band {
    /// Least to be expected.
    pub low: f64,
    /// Most to be expected.
    pub high: f64,
}

/// Feeds, speeds and depths for one cutter in one material.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CuttingData {
    /// The cutter's number.
    pub cutter: u32,
    /// The species or sheet material.
    pub material: String,
    /// Spindle speed, turns per minute.
    pub rpm: Governed,
    /// The dial's mark for that speed, on a hand-dialled router.
    pub dial: Option<String>,
    /// Chip load, mm per tooth, at the stepdown below.
    pub chip_load: Governed,
    /// Feed along the path, mm/min.
    pub feed: Governed,
    /// Feed straight down, mm/min; zero if the cutter may not go straight down.
    pub plunge: Governed,
    /// Feed along a ramp or helix into the work, mm/min.
    pub ramp_feed: Governed,
    /// Steepest ramp into the work, radians from level.
    pub ramp_angle: Governed,
    /// Depth of one pass, mm, for cuts as wide as the cutter.
    pub stepdown: Governed,
    /// Width of one pass when clearing, mm.
    pub stepover: Governed,
    /// Rim speed, m/s.
    pub surface_speed: f64,
    /// Cutting force, N, in a full-width pass of one stepdown.
    pub force: Band,
    /// Power, W, in a full-width pass of one stepdown.
    pub power: Band,
    /// How far the tip bends under the greatest force, mm.
    pub deflection: f64,
    /// What the reader should know: clamped chart ends, a slow spindle, a long stick-out.
    pub notes: Vec<String>,
}
