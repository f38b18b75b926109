//! Chip loads as a cutter maker's published chart gives them.

use super::{Case, governed};
use crate::shop::{CutterShape, Governed, MaterialClass, Rigidity};
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

/// A drill takes half the chip load of a milling cutter (common practice).
const DRILL: f64 = 0.5;

/// What the chart says.
struct Read {
    /// Middle of the band, mm per tooth.
    middle: f64,
    /// Top of the band, mm per tooth.
    top: f64,
    /// Whether the diameter lay outside the chart and its end stands in.
    clamped: bool,
}

/// Reads the chart at a diameter in mm: straight between the chart's diameters.
fn read(class: MaterialClass, diameter: f64) -> Read {
    let column = match class {
        MaterialClass::SoftWood => SOFTWOOD,
        // Of two woods that the chart does not part, the harder's column is the safer.
        MaterialClass::MediumWood | MaterialClass::HardWood => HARDWOOD,
        MaterialClass::Mdf => MDF,
        MaterialClass::Plywood => PLYWOOD,
    };
    let inches = diameter / INCH;
    // A thousandth of an inch: a metric size beside an inch one is that size.
    let clamped = !(DIAMETERS[0] - 1e-3..=DIAMETERS[3] + 1e-3).contains(&inches);
    let at = inches.clamp(DIAMETERS[0], DIAMETERS[3]);
    let i = DIAMETERS.windows(2).position(|pair| at <= pair[1]).unwrap_or(2);
    let share = (at - DIAMETERS[i]) / (DIAMETERS[i + 1] - DIAMETERS[i]);
    let between = |of: fn((f64, f64)) -> f64| {
        let (low, high) = (of(column[i]), of(column[i + 1]));
        (low + (high - low) * share) * INCH
    };
    Read { middle: between(|(low, high)| (low + high) / 2.0), top: between(|b| b.1), clamped }
}

/// The chip load asked for, or the chart's, mm per tooth, for a pass one diameter deep.
pub(super) fn chip_load(case: &Case<'_>, notes: &mut Vec<String>) -> Governed {
    if let Some(own) = case.asked(|o| o.chip_load.map(|l| l.0)) {
        return own;
    }
    let found = read(case.material.class, case.size());
    if found.clamped {
        notes.push(format!(
            "cutter {}: the chart goes from 1/8 to 1/2 in; its end stands for {}",
            case.cutter.number,
            case.shown.both(case.size())
        ));
    }
    let (share, by) = match case.machine.rigidity {
        Rigidity::Stiff => (1.0, "chart"),
        // The chart is for a stiff machine; a light gantry takes half (common practice).
        Rigidity::Light => (0.5, "chart, halved for a light machine"),
    };
    match case.cutter.shape {
        CutterShape::Drill => {
            governed(found.middle * share * DRILL, &format!("{by}, half for a drill"))
        }
        _ => governed(found.middle * share, by),
    }
}

/// The chart's chip load holds for a pass one diameter deep; deeper takes less. What a file
/// asks for stays.
pub(super) fn eased(chip: Governed, depth_in_diameters: f64) -> Governed {
    let ease = depth_ease(depth_in_diameters);
    if ease < 1.0 && !chip.by.ends_with("file") {
        governed(chip.value * ease, "chart, eased for depth")
    } else {
        chip
    }
}

/// The same chart takes a quarter off at two diameters deep and half at three; straight between
/// them is ours (common practice).
fn depth_ease(depth_in_diameters: f64) -> f64 {
    (1.0 - 0.25 * (depth_in_diameters - 1.0)).clamp(0.5, 1.0)
}

/// What to say of the chip that results: too thin rubs and burns, too thick breaks the cutter.
pub(super) fn warnings(case: &Case<'_>, chip: &Governed, feed: &Governed) -> Vec<String> {
    let (number, value) = (case.cutter.number, chip.value);
    let mut notes = Vec::new();
    if value < THIN {
        let rpm = feed.value / (case.flutes() * THIN);
        let fixed = feed.by == "axis limit" || feed.by.ends_with("file");
        let cure = match fixed && rpm >= case.machine.spindle.slowest() {
            true => {
                format!("{:.0} rpm or less would make it {THIN} mm", (rpm / 100.0).floor() * 100.0)
            }
            false => "a greater chip load, more feed or fewer flutes would cure it".to_string(),
        };
        notes.push(format!("cutter {number}: a chip of {value:.3} mm rubs and burns; {cure}"));
    }
    let top = read(case.material.class, case.size()).top;
    // A hundredth over the top is what rounding makes.
    if value > top * 1.01 {
        let rpm = feed.value / (case.flutes() * top);
        notes.push(format!(
            "cutter {number}: a chip of {value:.3} mm is over the chart's {top:.3}; \
             {:.0} rpm or a feed of {} would bring it there",
            (rpm / 100.0).ceil() * 100.0,
            crate::units::feed(feed.value * top / value, case.shown.unit)
        ));
    }
    notes
}

#[cfg(test)]
mod tests {
    use super::{depth_ease, read};
    use crate::shop::MaterialClass::{self, HardWood, Mdf, MediumWood, Plywood, SoftWood};

    #[test]
    fn every_cell_of_the_chart_is_as_published() {
        // Cutter maker's published chart, converted to mm and rounded there: diameter, column,
        // least and most.
        const PUBLISHED: [(f64, MaterialClass, f64, f64); 16] = [
            (3.175, SoftWood, 0.08, 0.13),
            (6.35, SoftWood, 0.15, 0.20),
            (9.525, SoftWood, 0.38, 0.43),
            (12.7, SoftWood, 0.48, 0.53),
            (3.175, HardWood, 0.05, 0.10),
            (6.35, HardWood, 0.13, 0.18),
            (9.525, HardWood, 0.33, 0.38),
            (12.7, HardWood, 0.43, 0.48),
            (3.175, Mdf, 0.10, 0.18),
            (6.35, Mdf, 0.30, 0.38),
            (9.525, Mdf, 0.43, 0.48),
            (12.7, Mdf, 0.51, 0.64),
            (3.175, Plywood, 0.08, 0.13),
            (6.35, Plywood, 0.15, 0.23),
            (9.525, Plywood, 0.38, 0.46),
            (12.7, Plywood, 0.46, 0.53),
        ];
        for (diameter, class, least, most) in PUBLISHED {
            let found = read(class, diameter);
            // Two cells of the printed conversion are rounded the other way by 0.004.
            assert!((found.top - most).abs() < 0.0055, "{diameter} {class:?} {}", found.top);
            let middle = (least + most) / 2.0;
            assert!((found.middle - middle).abs() < 0.0055, "{diameter} {class:?}");
        }
    }

    #[test]
    fn the_chart_is_read_straight_between_its_diameters() {
        // In inches: 1/4 softwood .006-.008, 3/8 .015-.017; half way .0115.
        assert!((read(SoftWood, 7.9375).middle - 0.0115 * 25.4).abs() < 1e-9);
        assert!((read(MediumWood, 6.35).middle - 0.006 * 25.4).abs() < 1e-9);
    }

    #[test]
    fn beyond_its_ends_the_chart_stands_still_and_says_so() {
        assert!(read(SoftWood, 1.5).clamped && read(SoftWood, 20.0).clamped);
        assert!(!read(SoftWood, 3.175).clamped && !read(SoftWood, 12.7).clamped);
        assert_eq!(read(HardWood, 0.5).middle, read(HardWood, 3.175).middle);
        assert_eq!(read(HardWood, 50.0).middle, read(HardWood, 12.7).middle);
    }

    #[test]
    fn deep_passes_take_thinner_chips() {
        // The same chart: 25 % off at two diameters, 50 % at three.
        assert_eq!([0.5, 1.0, 2.0, 3.0, 4.0].map(depth_ease), [1.0, 1.0, 0.75, 0.5, 0.5]);
    }
}
