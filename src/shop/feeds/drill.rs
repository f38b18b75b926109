//! Drills: straight down only.

use super::{Case, at_most, chart, force, governed, speed};
use crate::shop::CuttingData;
use std::f64::consts::PI;

/// Depth of one peck in diameters, then the chips are lifted out (common practice).
const PECK: f64 = 1.0;

/// Why a figure is zero.
const DOWN_ONLY: &str = "straight down only";

/// All figures of a drill. Its feed is the feed straight down, its stepdown that of one peck;
/// force and power are those of turning, thrust is not reckoned.
pub(super) fn cutting_data(case: &Case<'_>) -> CuttingData {
    let mut notes = Vec::new();
    let cutter = case.cutter;
    let chip = chart::chip_load(case, &mut notes);
    let limit = case.machine.max_feed[2].0;
    let useful = limit / (case.flutes() * chip.value);
    let (rpm, dial) = speed::choose(case, useful, &mut notes);
    let say = |value| crate::units::feed(value, case.shown.unit);
    let own = case.asked_within(|o| o.plunge.map(|f| f.0), limit, "z axis limit", say, &mut notes);
    let plunge = own.unwrap_or_else(|| {
        at_most(governed(rpm.value * case.flutes() * chip.value, &chip.by), limit, "z axis limit")
    });
    let flute_length = cutter.flute_length.0;
    let say = |mm| case.shown.both(mm);
    let stepdown = case
        .asked_within(|o| o.stepdown.map(|l| l.0), flute_length, "flute length", say, &mut notes)
        .unwrap_or_else(|| {
            let peck = governed(PECK * cutter.diameter.0, "a peck of 1 D");
            at_most(peck, flute_length, "flute length")
        });
    let section = PI * cutter.diameter.0.powi(2) / 4.0;
    // The force of an edge from axis to rim stands on average at half the radius.
    let arm = cutter.diameter.0 / 2.0;
    let load = force::of_section(case.material, section, plunge.value, speed::rim(arm, rpm.value));
    CuttingData {
        cutter: cutter.number,
        material: case.material.name.clone(),
        surface_speed: speed::rim(cutter.diameter.0, rpm.value),
        chip_load: governed(plunge.value / (rpm.value * case.flutes()), &plunge.by),
        feed: plunge.clone(),
        ramp_feed: governed(0.0, DOWN_ONLY),
        ramp_angle: governed(0.0, DOWN_ONLY),
        stepover: governed(0.0, DOWN_ONLY),
        deflection: 0.0,
        rpm,
        dial,
        plunge,
        stepdown,
        force: load.force,
        power: load.power,
        notes,
    }
}
