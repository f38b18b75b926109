//! Heights that a surface may have.

/// Heights that a finished surface may have at one place, work coordinates, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// Lower than this, less the tolerance, it is gouged.
    pub low: f64,
    /// Higher than this, plus the tolerance, wood is left over.
    pub high: f64,
}
