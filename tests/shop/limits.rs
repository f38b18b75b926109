//! What must hold for any machine, cutter and wood.

use crate::{built_in, figures};
use ovolo::shop::{Cutter, CuttingData, Rigidity, Shop, all_materials};
use proptest::prelude::*;

/// Rounding of the search for the deepest pass.
const EQUAL: f64 = 1.0 + 1e-9;

fn case() -> impl Strategy<Value = (Shop, Cutter, String)> {
    let names: Vec<String> = all_materials().into_iter().map(|m| m.name).collect();
    let cutters = built_in().cutters.len();
    let numbers = (0.2f64..3.0, 1.0f64..3.0, 50.0f64..4000.0, 100.0f64..40_000.0, any::<bool>());
    (0..cutters, 0..names.len(), numbers).prop_map(
        move |(c, m, (wide, long, power, feed, stiff))| {
            let mut shop = built_in();
            shop.machine.spindle.power = power;
            for limit in &mut shop.machine.max_feed {
                limit.0 = feed;
            }
            shop.machine.rigidity = if stiff { Rigidity::Stiff } else { Rigidity::Light };
            let mut cutter = shop.cutters[c].clone();
            for length in
                [&mut cutter.diameter, &mut cutter.tip_diameter, &mut cutter.corner_radius]
            {
                length.0 *= wide;
            }
            cutter.stick_out.0 *= long;
            (shop, cutter, names[m].clone())
        },
    )
}

fn within(shop: &Shop, cutter: &Cutter, d: &CuttingData) {
    let machine = &shop.machine;
    let all = [&d.rpm, &d.chip_load, &d.feed, &d.plunge, &d.ramp_feed, &d.ramp_angle, &d.stepdown];
    for figure in all {
        assert!(figure.value.is_finite() && figure.value >= 0.0 && !figure.by.is_empty(), "{d:?}");
    }
    assert!(d.rpm.value <= cutter.max_rpm.min(machine.spindle.max_rpm), "{d:?}");
    assert!(d.rpm.value >= machine.spindle.min_rpm, "{d:?}");
    assert!(d.stepdown.value > 0.0 && d.stepdown.value <= cutter.flute_length.0 * EQUAL, "{d:?}");
    assert!(d.feed.value > 0.0 && d.feed.value <= machine.plane_feed() * EQUAL, "{d:?}");
    assert!(d.plunge.value <= machine.max_feed[2].0 * EQUAL, "{d:?}");
    assert!(d.stepover.value <= cutter.diameter.0 * EQUAL, "{d:?}");
    assert!(d.force.low > 0.0 && d.force.low < d.force.high, "{d:?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn no_limit_is_broken((shop, cutter, wood) in case()) {
        let d = figures(&shop, &wood, &cutter);
        within(&shop, &cutter, &d);
        if cutter.shape != ovolo::shop::CutterShape::Drill {
            // 0.1 mm: the bending allowed in roughing.
            prop_assert!(d.deflection <= 0.1 * EQUAL, "{:?}", d);
            prop_assert!(d.power.high <= shop.machine.spindle.power * EQUAL, "{:?}", d);
        }
    }

    #[test]
    fn a_longer_stick_out_never_goes_deeper((shop, cutter, wood) in case(), more in 1.0f64..3.0) {
        let mut longer = cutter.clone();
        longer.stick_out.0 *= more;
        let (short, long) = (figures(&shop, &wood, &cutter), figures(&shop, &wood, &longer));
        prop_assert!(long.stepdown.value <= short.stepdown.value * EQUAL);
    }

    #[test]
    fn more_power_never_gives_less((shop, cutter, wood) in case(), more in 1.0f64..3.0) {
        let mut stronger = shop.clone();
        stronger.machine.spindle.power *= more;
        let (weak, strong) = (figures(&shop, &wood, &cutter), figures(&stronger, &wood, &cutter));
        prop_assert!(strong.feed.value >= weak.feed.value);
        prop_assert!(strong.stepdown.value * EQUAL >= weak.stepdown.value);
    }

    #[test]
    fn a_faster_machine_never_feeds_slower((shop, cutter, wood) in case(), more in 1.0f64..3.0) {
        let mut faster = shop.clone();
        for limit in &mut faster.machine.max_feed {
            limit.0 *= more;
        }
        let (slow, fast) = (figures(&shop, &wood, &cutter), figures(&faster, &wood, &cutter));
        // A speed is a whole hundred: up to one in the slowest eighty is lost.
        prop_assert!(fast.feed.value * 1.0125 >= slow.feed.value, "{:?} {:?}", slow, fast);
    }
}

#[test]
fn harder_wood_never_goes_deeper() {
    let shop = built_in();
    let mut woods: Vec<_> = all_materials().into_iter().filter(|m| m.hardness.is_some()).collect();
    woods.sort_by(|a, b| a.hardness.partial_cmp(&b.hardness).unwrap());
    for cutter in &shop.cutters {
        let depths: Vec<f64> =
            woods.iter().map(|m| figures(&shop, &m.name, cutter).stepdown.value).collect();
        for (pair, names) in depths.windows(2).zip(woods.windows(2)) {
            assert!(pair[1] <= pair[0] * EQUAL, "{} {}", names[0].name, names[1].name);
        }
    }
}

/// Force is known as a band only, so this holds order and units, not digits.
#[test]
fn denser_wood_never_cuts_easier() {
    let shop = built_in();
    let mut woods: Vec<_> = all_materials().into_iter().filter(|m| m.hardness.is_some()).collect();
    woods.sort_by(|a, b| a.specific_gravity.total_cmp(&b.specific_gravity));
    let job = ovolo::shop::Overrides {
        stepdown: Some(ovolo::units::Length(2.0)),
        chip_load: Some(ovolo::units::Length(0.05)),
        ..Default::default()
    };
    let cutter = shop.cutter(1).unwrap();
    let forces: Vec<f64> =
        woods.iter().map(|m| shop.cutting_data(m, cutter, &job).unwrap().force.low).collect();
    assert!(forces.windows(2).all(|pair| pair[0] <= pair[1]), "{forces:?}");
}
