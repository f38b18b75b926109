//! Depth and width of a pass.

use super::{Case, at_most, governed};
use crate::shop::{Governed, MaterialClass};

/// Share of a clearing pass's width in the cutter's diameter: 40 to 60 % (common practice).
const STEPOVER: f64 = 0.45;
/// Stick-out over so many diameters is long: the stepdown is halved (common practice).
const LONG_STICK_OUT: f64 = 4.0;

/// The table's stepdown for a full-width pass, mm, before force and power have their say.
pub(super) fn table(case: &Case<'_>) -> Governed {
    let cutter = case.cutter;
    // Full width, in diameters: soft wood and MDF one, hard wood half to three quarters (common
    // practice).
    let (share, by) = match case.material.class {
        MaterialClass::SoftWood => (1.0, "soft wood, 1 D"),
        MaterialClass::Mdf => (1.0, "sheet, 1 D"),
        MaterialClass::MediumWood => (0.75, "medium wood, 3/4 D"),
        MaterialClass::Plywood => (0.75, "sheet, 3/4 D"),
        MaterialClass::HardWood => (0.5, "hard wood, 1/2 D"),
    };
    let mut depth = governed(share * case.size(), by);
    if cutter.stick_out.0 > LONG_STICK_OUT * cutter.diameter.0 {
        depth = governed(depth.value / 2.0, "halved, stick-out over 4 D");
    }
    at_most(depth, cutter.flute_length.0, "flute length")
}

/// The stepdown that a file asks for, mm, within the flutes.
pub(super) fn overruled(case: &Case<'_>, notes: &mut Vec<String>) -> Option<Governed> {
    let (most, say) = (case.cutter.flute_length.0, |mm| case.shown.both(mm));
    case.asked_within(|o| o.stepdown.map(|l| l.0), most, "flute length", say, notes)
}

/// Width of a clearing pass, mm.
pub(super) fn stepover(case: &Case<'_>, notes: &mut Vec<String>) -> Governed {
    let (most, say) = (case.cutter.diameter.0, |mm| case.shown.both(mm));
    let own = case.asked_within(|o| o.stepover.map(|l| l.0), most, "diameter", say, notes);
    own.unwrap_or_else(|| governed(STEPOVER * case.size(), "45 % of D"))
}
