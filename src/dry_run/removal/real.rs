//! One arithmetic in two precisions: `f32` for the many, `f64` for the steep.

use std::ops::{Add, Mul, Sub};

/// What the envelopes ask of a number. Every operation is rounded once, in the order written,
/// so a result does not depend on how many cells are computed side by side.
pub(super) trait Real:
    Copy + PartialOrd + Add<Output = Self> + Sub<Output = Self> + Mul<Output = Self> + Send + Sync
{
    /// Halvings that a search is given: as many as leave nothing that the type could tell.
    const HALVINGS: usize;
    const ZERO: Self;
    fn of(value: f64) -> Self;
    fn from_index(value: i32) -> Self;
    fn single(self) -> f32;
    fn sqrt(self) -> Self;
    fn abs(self) -> Self;

    #[inline(always)]
    fn least(self, other: Self) -> Self {
        if self < other { self } else { other }
    }

    #[inline(always)]
    fn most(self, other: Self) -> Self {
        if self > other { self } else { other }
    }
}

impl Real for f32 {
    const HALVINGS: usize = 20;
    const ZERO: f32 = 0.0;
    #[inline(always)]
    fn of(value: f64) -> f32 {
        value as f32
    }
    #[inline(always)]
    fn from_index(value: i32) -> f32 {
        value as f32
    }
    #[inline(always)]
    fn single(self) -> f32 {
        self
    }
    #[inline(always)]
    fn sqrt(self) -> f32 {
        self.sqrt()
    }
    #[inline(always)]
    fn abs(self) -> f32 {
        self.abs()
    }
}

impl Real for f64 {
    const HALVINGS: usize = 44;
    const ZERO: f64 = 0.0;
    #[inline(always)]
    fn of(value: f64) -> f64 {
        value
    }
    #[inline(always)]
    fn from_index(value: i32) -> f64 {
        f64::from(value)
    }
    #[inline(always)]
    fn single(self) -> f32 {
        self as f32
    }
    #[inline(always)]
    fn sqrt(self) -> f64 {
        self.sqrt()
    }
    #[inline(always)]
    fn abs(self) -> f64 {
        self.abs()
    }
}
