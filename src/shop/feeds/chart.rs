//! Chip loads as a cutter maker's published chart gives them.

use crate::shop::{MaterialClass, Rigidity};
use crate::units::INCH;

/// Diameters of the chart, inches.
const DIAMETERS: [f64; 4] = [0.125, 0.25, 0.375, 0.5];

/// Chip load per tooth, inches, least and most, for a cut one diameter deep. Published
/// cutter-maker chart; the jump from 1/4 to 3/8 in is in the source.
const SOFTWOOD: [(f64, f64); 4] = [(0.003, 0.005), (0.006, 0.008), (0.015, 0.017), (0.019, 0.021)];
const HARDWOOD: [(f64, f64); 4] = [(0.002, 0.004), (0.005, 0.007), (0.013, 0.015), (0.017, 0.019)];
const MDF: [(f64, f64); 4] = [(0.004, 0.007), (0.012, 0.015), (0.017, 0.019), (0.020, 0.025)];
const PLYWOOD: [(f64, f64); 4] = [(0.003, 0.005), (0.006, 0.009), (0.015, 0.018), (0.018, 0.021)];

/// A chip thinner than this rubs rather than cuts, mm (common practice).
const THIN: f64 = 0.03;

/// What the chart says.
pub(super) struct Read {
    /// Middle of the band, mm per tooth.
    pub(super) chip_load: f64,
    /// Whether the diameter lay outside the chart and its end stands in.
    pub(super) clamped: bool,
}

/// Chip load, mm per tooth, for a diameter in mm: straight between the chart's diameters.
pub(super) fn chip_load(class: MaterialClass, diameter: f64) -> Read {
    let column = match class {
        MaterialClass::SoftWood => SOFTWOOD,
        // Of two woods that the chart does not part, the harder's column is the safer.
        MaterialClass::MediumWood | MaterialClass::HardWood => HARDWOOD,
        MaterialClass::Mdf => MDF,
        MaterialClass::Plywood => PLYWOOD,
    };
    let middle = |i: usize| (column[i].0 + column[i].1) / 2.0 * INCH;
    let inches = diameter / INCH;
    let clamped = !(DIAMETERS[0] - 1e-3..=DIAMETERS[3] + 1e-3).contains(&inches);
    let at = inches.clamp(DIAMETERS[0], DIAMETERS[3]);
    let i = DIAMETERS.windows(2).position(|pair| at <= pair[1]).unwrap_or(2);
    let share = (at - DIAMETERS[i]) / (DIAMETERS[i + 1] - DIAMETERS[i]);
    Read { chip_load: middle(i) + (middle(i + 1) - middle(i)) * share, clamped }
}

/// The same chart takes a quarter off at two diameters deep and half at three; straight between
/// them is ours (common practice).
pub(super) fn depth_ease(depth_in_diameters: f64) -> f64 {
    (1.0 - 0.25 * (depth_in_diameters - 1.0)).clamp(0.5, 1.0)
}

/// The chart is for a stiff machine; a light gantry takes half (common practice).
pub(super) fn rigidity_share(rigidity: Rigidity) -> (f64, &'static str) {
    match rigidity {
        Rigidity::Stiff => (1.0, "chart"),
        Rigidity::Light => (0.5, "chart, halved for a light machine"),
    }
}

/// Whether a chip is too thin to cut clean.
pub(super) fn thin(chip_load: f64) -> bool {
    chip_load < THIN
}

#[cfg(test)]
mod tests {
    use super::{chip_load, depth_ease};
    use crate::shop::MaterialClass::{HardWood, Mdf, SoftWood};

    #[test]
    fn the_chart_is_read_at_and_between_its_diameters() {
        // Published chart: 1/4 in softwood .006-.008, hardwood .005-.007; 1/2 in MDF .020-.025.
        let near =
            |found: f64, inches: f64| assert!((found - inches * 25.4).abs() < 1e-9, "{found}");
        near(chip_load(SoftWood, 6.35).chip_load, 0.007);
        near(chip_load(HardWood, 6.35).chip_load, 0.006);
        near(chip_load(Mdf, 12.7).chip_load, 0.0225);
        near(chip_load(SoftWood, 7.9375).chip_load, (0.007 + 0.016) / 2.0);
        assert!(chip_load(SoftWood, 1.5).clamped && !chip_load(SoftWood, 3.175).clamped);
    }

    #[test]
    fn deep_passes_take_thinner_chips() {
        assert_eq!([0.5, 1.0, 2.0, 3.0, 4.0].map(depth_ease), [1.0, 1.0, 0.75, 0.5, 0.5]);
    }
}
