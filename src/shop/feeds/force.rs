//! Cutting force, power and bending. Force is a band: density alone predicts it poorly (Chuchala
//! et al., BioResources 9(3) 2014, 5349-5361; Eyma et al., Annals of Forest Science 62, 2005,
//! 441-447), so figures are halved and doubled.

use super::{at_most, speed};
use crate::shop::{Band, Cutter, CutterMaterial, Governed, Machine, Material};
use std::f64::consts::PI;

/// Young's modulus, MPa, solid carbide and high-speed steel (from memory).
const CARBIDE: f64 = 600_000.0;
const STEEL: f64 = 205_000.0;
/// Core of a two-flute cutter as a share of its diameter (common practice, 0.7 to 0.85).
const CORE: f64 = 0.8;

/// Force per section of chip, N/mm2, along the grain: 15 to 25 at gravity 0.4 and 30 to 50 at
/// 0.65 (P. Koch, Wood Machining Processes, 1964, from memory); straight through their middles.
fn specific_force(material: &Material) -> f64 {
    // Lighter than any wood in the table the line would fall to nothing.
    (20.0 + (material.specific_gravity - 0.4) * 80.0).max(10.0)
}

/// How far the tip bends under a force at it, mm: a cantilever of the stick-out's length,
/// F L^3 / (3 E I) with I = pi d^4 / 64 (closed form).
pub(super) fn deflection(cutter: &Cutter, force: f64) -> f64 {
    let modulus = match cutter.material {
        CutterMaterial::Carbide => CARBIDE,
        CutterMaterial::Hss => STEEL,
    };
    let core = CORE * super::working_diameter(cutter);
    let inertia = PI * core.powi(4) / 64.0;
    force * cutter.stick_out.0.powi(3) / (3.0 * modulus * inertia)
}

/// Force and power of a pass.
pub(super) struct Load {
    pub(super) force: Band,
    pub(super) power: Band,
}

/// Of a full-width pass: mm, mm/min, turns per minute in; N and W out.
pub(super) fn load(material: &Material, diameter: f64, depth: f64, feed: f64, rpm: f64) -> Load {
    let rate = diameter * depth * feed / 60.0;
    let watts = specific_force(material) * rate / 1000.0;
    let newtons = watts / speed::rim(diameter, rpm);
    let band = |middle: f64| Band { low: middle / 2.0, high: middle * 2.0 };
    Load { force: band(newtons), power: band(watts) }
}

/// The stepdown, limited by bending and by power at the upper end of the band. Overrides are
/// limited too: these limits are the cutter's and the machine's.
pub(super) fn limited(
    machine: &Machine,
    material: &Material,
    cutter: &Cutter,
    stepdown: Governed,
    feed: &Governed,
    rpm: f64,
    most_deflection: f64,
) -> Governed {
    let diameter = super::working_diameter(cutter);
    let one = load(material, diameter, 1.0, feed.value, rpm);
    // Both are in proportion to the depth.
    let by_bending = most_deflection / deflection(cutter, one.force.high);
    let by_power = machine.spindle.power / one.power.high;
    let stepdown = at_most(stepdown, by_bending, "bending of the cutter");
    at_most(stepdown, by_power, "spindle power")
}

#[cfg(test)]
mod tests {
    use super::{deflection, load};
    use crate::shop::{Cutter, Material, Shop};

    fn cutter(diameter: f64, stick_out: f64) -> Cutter {
        let shop = Shop::built_in().unwrap_or_else(|e| panic!("{e}"));
        let mut cutter = shop.cutters[0].clone();
        cutter.diameter.0 = diameter;
        cutter.stick_out.0 = stick_out;
        cutter
    }

    #[test]
    fn a_cutter_bends_as_a_cantilever() {
        // Closed form at E = 600 GPa, core 0.8 D.
        assert!((deflection(&cutter(6.0, 25.0), 50.0) - 0.01666).abs() < 5e-5);
        assert!((deflection(&cutter(6.35, 31.75), 50.0) - 0.0272).abs() < 5e-5);
        assert!((deflection(&cutter(12.7, 50.0), 100.0) - 0.01328).abs() < 5e-5);
    }

    #[test]
    fn force_and_power_are_those_of_the_worked_case() {
        // a_e 6, a_p 6 mm, F 3 m/min, k_s 40: 72 W; D 6 at 18,000 rpm: 12.7 N (closed form).
        let mut wood = Material::find("white-oak").unwrap_or_else(|e| panic!("{e}"));
        wood.specific_gravity = 0.65;
        let found = load(&wood, 6.0, 6.0, 3000.0, 18_000.0);
        assert!((found.power.low * 2.0 - 72.0).abs() < 1e-9);
        assert!((found.force.low * 2.0 - 12.73).abs() < 0.01);
        assert!((found.force.high - 4.0 * found.force.low).abs() < 1e-9);
    }
}
