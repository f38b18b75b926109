//! Ways into the work: plunge and ramp.

use super::{Case, at_most, governed};
use crate::shop::{Governed, MaterialClass};

/// Plunge feed as a share of the feed: a third to a half (common practice).
const PLUNGE: f64 = 1.0 / 3.0;
/// Feed down a ramp as a share of the feed (common practice).
const RAMP: f64 = 0.5;

/// Feed straight down, mm/min; zero if the edges do not reach the axis.
pub(super) fn plunge(case: &Case<'_>, feed: &Governed, notes: &mut Vec<String>) -> Governed {
    if !case.cutter.centre_cutting {
        return governed(0.0, "not centre-cutting");
    }
    let most = case.machine.max_feed[2].0;
    let say = |value| crate::units::feed(value, case.shown.unit);
    let own = case.asked_within(|o| o.plunge.map(|f| f.0), most, "z axis limit", say, notes);
    own.unwrap_or_else(|| {
        at_most(governed(feed.value * PLUNGE, "a third of the feed"), most, "z axis limit")
    })
}

/// Steepest ramp, radians from level: 2 to 5 degrees, the gentler the harder the wood (common
/// practice).
pub(super) fn ramp_angle(case: &Case<'_>) -> Governed {
    case.asked(|o| o.ramp_angle.map(|a| a.0)).unwrap_or_else(|| {
        let (degrees, by) = match case.material.class {
            MaterialClass::SoftWood => (5.0f64, "soft wood"),
            MaterialClass::MediumWood => (3.5, "medium wood"),
            MaterialClass::HardWood => (2.5, "hard wood"),
            MaterialClass::Mdf | MaterialClass::Plywood => (3.5, "sheet"),
        };
        governed(degrees.to_radians(), by)
    })
}

/// Feed along a ramp, mm/min, so that z keeps up.
pub(super) fn ramp_feed(case: &Case<'_>, feed: &Governed, ramp_angle: f64) -> Governed {
    let steepest = case.machine.max_feed[2].0 / ramp_angle.sin();
    at_most(governed(feed.value * RAMP, "half the feed"), steepest, "z axis limit")
}
