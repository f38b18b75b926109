//! Cutting force, power and bending. Force is a band: density alone predicts it poorly (Chuchala
//! et al., BioResources 9(3) 2014, 5349-5361; Eyma et al., Annals of Forest Science 62, 2005,
//! 441-447), so figures are halved and doubled.

use super::{Case, at_most, governed, speed};
use crate::shop::{Band, Cutter, CutterMaterial, CutterShape, Governed, Material};
use std::f64::consts::PI;

/// Young's modulus, MPa, solid carbide and high-speed steel (from memory).
const CARBIDE: f64 = 600_000.0;
const STEEL: f64 = 205_000.0;
/// Core of a two-flute cutter as a share of its width (common practice, 0.7 to 0.85).
const CORE: f64 = 0.8;
/// Most bending of the tip in roughing, mm: a fifth of the usual finishing allowance (common
/// practice).
const MOST_BENDING: f64 = 0.1;

/// Force per section of chip, N/mm2, along the grain: 15 to 25 at gravity 0.4 and 30 to 50 at
/// 0.65 (P. Koch, Wood Machining Processes, 1964, from memory); straight through their middles.
fn specific_force(material: &Material) -> f64 {
    // Lighter than any wood in the table the line would fall to nothing.
    (20.0 + (material.specific_gravity - 0.4) * 80.0).max(10.0)
}

/// How far the tip bends, mm, under a force of a pass so deep: a cantilever of the stick-out's
/// length, F L^3 / (3 E I) with I = pi d^4 / 64 (closed form).
///
/// On a cone the force stands at half the depth, and the cone from there up bends by
/// F l^3 / (3 E I) with d^4 = d0 d1^3 of its two ends (closed form); the rest above it is straight.
pub(super) fn deflection(cutter: &Cutter, depth: f64, force: f64) -> f64 {
    let modulus = match cutter.material {
        CutterMaterial::Carbide => CARBIDE,
        CutterMaterial::Hss => STEEL,
    };
    let bend =
        |length_cubed: f64, d4: f64| length_cubed / (3.0 * modulus * PI * CORE.powi(4) * d4 / 64.0);
    let (length, whole) = (cutter.stick_out.0, cutter.diameter.0);
    let pointed = matches!(cutter.shape, CutterShape::V | CutterShape::TaperBall);
    if !pointed {
        return force * bend(length.powi(3), whole.powi(4));
    }
    let at = depth.min(cutter.flute_length.0) / 2.0;
    let cone = cutter.flute_length.0 - at;
    let thin = cutter.width_at(at).max(cutter.tip_diameter.0);
    let thick = cutter.width_at(cutter.flute_length.0).max(thin);
    let straight = (length - at).powi(3) - cone.powi(3);
    force * (bend(cone.powi(3), thin * thick.powi(3)) + bend(straight, whole.powi(4)))
}

/// Force and power of a pass.
pub(super) struct Load {
    pub(super) force: Band,
    pub(super) power: Band,
}

/// Of a full-width pass: depth mm, feed mm/min, turns per minute in; N and W out. The rim is
/// that of the width at the pass's depth.
pub(super) fn load(case: &Case<'_>, depth: f64, feed: f64, rpm: f64) -> Load {
    let rim = speed::rim(case.cutter.width_at(depth), rpm);
    of_section(case.material, case.cutter.groove_section(depth), feed, rim)
}

/// Of a section in mm2 that moves at a feed in mm/min, cut at a rim speed in m/s.
pub(super) fn of_section(material: &Material, section: f64, feed: f64, rim: f64) -> Load {
    let watts = specific_force(material) * section * feed / 60.0 / 1000.0;
    // No depth, no width: nothing is cut.
    let newtons = if rim > 0.0 { watts / rim } else { 0.0 };
    let band = |middle: f64| Band { low: middle / 2.0, high: middle * 2.0 };
    Load { force: band(newtons), power: band(watts) }
}

/// What the worst of the band does to cutter and spindle at a depth: bending, mm, and W.
fn worst(case: &Case<'_>, depth: f64, feed: f64, rpm: f64) -> (f64, f64) {
    let load = load(case, depth, feed, rpm);
    (deflection(case.cutter, depth, load.force.high), load.power.high)
}

/// The stepdown, mm, held back by bending and by power at the upper end of the band.
pub(super) fn limited(case: &Case<'_>, wanted: Governed, feed: f64, rpm: f64) -> Governed {
    let bears = deepest(wanted.value, |a| worst(case, a, feed, rpm).0 <= MOST_BENDING);
    let power = case.machine.spindle.power;
    let drives = deepest(wanted.value, |a| worst(case, a, feed, rpm).1 <= power);
    let stepdown = at_most(wanted, bears, "bending of the cutter");
    at_most(stepdown, drives, "spindle power")
}

/// The deepest pass up to `most` that is `fit`, which holds for shallow and fails for deep.
fn deepest(most: f64, fit: impl Fn(f64) -> bool) -> f64 {
    if fit(most) {
        return most;
    }
    let (mut low, mut high) = (0.0, most);
    // Halved so often, the gap is below a thousandth of a micrometre.
    for _ in 0..40 {
        let middle = (low + high) / 2.0;
        if fit(middle) { low = middle } else { high = middle }
    }
    low
}

/// What to say of a stepdown that a file asked for, when the worst of the band is too much.
pub(super) fn warnings(case: &Case<'_>, depth: f64, feed: f64, rpm: f64) -> Vec<String> {
    let (bending, watts) = worst(case, depth, feed, rpm);
    let number = case.cutter.number;
    let within = limited(case, governed(depth, ""), feed, rpm).value;
    let way_out = format!("{} is within the estimate", case.shown.both(within));
    let mut notes = Vec::new();
    if bending > MOST_BENDING {
        notes.push(format!(
            "cutter {number}: a pass of {} may bend it by {bending:.2} mm; {way_out}",
            case.shown.both(depth)
        ));
    }
    let power = case.machine.spindle.power;
    if watts > power {
        notes.push(format!(
            "cutter {number}: a pass of {} may take {watts:.0} W of the spindle's {power:.0}; {way_out}",
            case.shown.both(depth)
        ));
    }
    notes
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::{deflection, load};
    use crate::shop::feeds::Case;
    use crate::shop::{Cutter, CutterShape, Material, Overrides, Shop};
    use crate::units::{Angle, Shown, Unit};

    fn cutter(diameter: f64, stick_out: f64) -> Cutter {
        let mut cutter = Shop::built_in().unwrap().cutters[0].clone();
        cutter.diameter.0 = diameter;
        cutter.stick_out.0 = stick_out;
        cutter
    }

    #[test]
    fn a_cutter_bends_as_a_cantilever() {
        // Closed form F L^3 / (3 E I) at E = 600 GPa, core 0.8 D.
        let near = |d, l, f, mm: f64| {
            let found = deflection(&cutter(d, l), 3.0, f);
            assert!((found - mm).abs() < 6e-6, "{found}");
        };
        near(6.0, 25.0, 50.0, 0.016_66);
        near(12.7, 50.0, 100.0, 0.013_28);
        let found = deflection(&cutter(6.35, 31.75), 3.0, 50.0);
        assert!((found - 0.0272).abs() < 6e-5, "{found}");
        // Twice the stick-out is eight times the bend.
        let twice = deflection(&cutter(6.0, 50.0), 3.0, 50.0);
        assert!((twice / deflection(&cutter(6.0, 25.0), 3.0, 50.0) - 8.0).abs() < 1e-9);
    }

    #[test]
    fn a_cone_bends_as_its_slices_do() {
        // A second way to the closed form: the integral of F x^2 / (E I) over thin slices.
        let mut v = cutter(12.7, 30.0);
        v.shape = CutterShape::V;
        v.included_angle = Angle(60f64.to_radians());
        v.flute_length.0 = 9.0;
        let (depth, force, slices) = (4.0, 20.0, 200_000);
        let at = depth / 2.0;
        let step = (v.stick_out.0 - at) / f64::from(slices);
        let summed: f64 = (0..slices)
            .map(|i| {
                let x = (f64::from(i) + 0.5) * step;
                let width = if at + x < 9.0 { v.width_at(at + x) } else { 12.7 };
                let inertia = std::f64::consts::PI * (0.8 * width).powi(4) / 64.0;
                force * x * x / (600_000.0 * inertia) * step
            })
            .sum();
        let found = deflection(&v, depth, force);
        assert!((found / summed - 1.0).abs() < 1e-4, "{found} {summed}");
    }

    #[test]
    fn force_and_power_are_those_of_the_worked_case() {
        // a_e 6, a_p 6 mm, F 3 m/min, k_s 40: 72 W; D 6 at 18,000 rpm: 12.7 N (closed form).
        let shop = Shop::built_in().unwrap();
        let mut wood = Material::find("white-oak").unwrap();
        wood.specific_gravity = 0.65;
        let six = cutter(6.0, 25.0);
        let case = Case {
            machine: &shop.machine,
            material: &wood,
            cutter: &six,
            job: Overrides::default(),
            own: Overrides::default(),
            species: Overrides::default(),
            shown: Shown { unit: Unit::Mm, parts: 64 },
        };
        let found = load(&case, 6.0, 3000.0, 18_000.0);
        assert!((found.power.low * 2.0 - 72.0).abs() < 1e-9);
        assert!((found.force.low * 2.0 - 12.73).abs() < 0.01);
        assert!((found.force.high - 4.0 * found.force.low).abs() < 1e-9);
        assert!((found.power.high - 4.0 * found.power.low).abs() < 1e-9);
    }
}
