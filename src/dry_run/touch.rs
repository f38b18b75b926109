//! What a stroke met.

use crate::geometry::Point3;

/// Wood lower than this, mm, is no wood: rounding of text and of the field's single precision.
pub(super) const NOISE: f64 = 0.02;

/// A place where something stands too high above the tip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Standing {
    /// The tip when it happens.
    pub(super) at: Point3,
    /// How high it stands above the tip, mm.
    pub(super) height: f64,
}

/// More wood in the way than a full-width pass of one stepdown has.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Overload {
    /// The line where it began.
    pub(super) line: usize,
    /// The tip there.
    pub(super) at: Point3,
    /// Section taken, mm2.
    pub(super) section: f64,
    /// Section that a full-width pass of one stepdown has, mm2.
    pub(super) allowed: f64,
    /// How high the wood stood above the tip, mm.
    pub(super) depth: f64,
    /// How wide it was across the travel, mm.
    pub(super) width: f64,
}

/// What a stroke met.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Touch {
    /// Some of it runs below the stock's top, within reach of the stock.
    pub(super) inside: bool,
    /// Wood was lowered.
    pub(super) cut: bool,
    /// Steepest way down, radians from level, at which more than a skin was taken at the
    /// cutter's middle.
    pub(super) entry: Option<f64>,
    /// A traverse met wood.
    pub(super) collides: Option<Standing>,
    /// Section taken, mm2, over the whole stroke.
    pub(super) section: f64,
    /// Greatest section taken, mm2, over any way that a spindle feels; zero if none ended here.
    pub(super) heaviest: f64,
    /// More wood in the way than the cutter and the species bear.
    pub(super) overload: Option<Overload>,
    /// Wood above the flutes, beside the cutter or in its way.
    pub(super) wall: Option<Standing>,
    /// Wood in the holder's place.
    pub(super) holder: Option<Standing>,
}

/// Keeps the one that stands higher.
pub(super) fn keep_higher(kept: &mut Option<Standing>, new: Option<Standing>) {
    if new.is_some_and(|n| kept.is_none_or(|k| n.height > k.height)) {
        *kept = new;
    }
}
