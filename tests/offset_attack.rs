//! Outlines made to break an offset: slots of just twice the distance, fillets of just the
//! distance, tangent arcs, collinear corners, edges of a hundredth of a micrometre, corners moved
//! by rounding, far from zero, turned and mirrored. Judged by distances measured one by one, and
//! by areas from another library's boolean operations.
#![allow(clippy::unwrap_used)]

mod offset_support;

use geo::Area;
use offset_support::bands::by_bands;
use offset_support::hard::{Dice, FAMILIES, build, judge_by_distance};
use ovolo::geometry::{Contour, OffsetError, Region, outset_all};

/// Seeds of one family, each offset, judged, nested, and opened. Some cross themselves or hold
/// islands that do: those must be refused, never fail.
fn attack(family: usize, seeds: std::ops::Range<u64>) {
    let name = FAMILIES[family];
    let mut valid = 0;
    for seed in seeds.clone() {
        let (outer, islands, d) = build(family, seed);
        let name = format!("{name} {seed}");
        let region = match Region::new(outer, islands) {
            Ok(region) => region,
            Err(OffsetError::Source(_)) => continue,
            Err(other) => panic!("{name}: {other}"),
        };
        valid += 1;
        let inset = region.inset(d).unwrap_or_else(|e| panic!("{name}: {e}"));
        judge_by_distance(&name, &region, &inset, d, &Dice::new(seed));
        let rings =
            region.rings(d / 2.0, d / 2.0, Some(4)).unwrap_or_else(|e| panic!("{name}: {e}"));
        let area = |of: &[Region]| of.iter().map(Region::area).sum::<f64>();
        let length: f64 = region.contours().map(Contour::length).sum();
        let nested = rings.get(1).map_or(0.0, |ring| area(ring));
        assert!((nested - area(&inset)).abs() < 1e-4 * length, "{name}: {nested} at {d}");
        let opened = outset_all(&inset, d).unwrap_or_else(|e| panic!("{name}: opening, {e}"));
        assert!(area(&opened) < region.area() + 1e-4 * length, "{name}: opening grows");
    }
    // A family of nothing but refusals would prove nothing.
    assert!(valid * 4 > seeds.end - seeds.start, "{name}: {valid}");
}

/// One test a family, so that they run side by side.
macro_rules! families {
    ($($name:ident: $family:literal,)*) => {
        $(#[test] fn $name() { attack($family, 0..CASES); })*
    };
}

/// Cases a family: few, as all are judged piece by piece in a build without optimisation.
const CASES: u64 = 60;

families! {
    stars: 0,
    combs: 1,
    bands_of_arcs: 2,
    slots: 3,
    fillets: 4,
    right_angles_on_whole_millimetres: 5,
    regular_polygons: 6,
    plates: 7,
    bulged_polygons: 8,
    segments: 9,
}

#[test]
fn areas_agree_with_boolean_operations_within_a_millionth() {
    let mut judged = 0;
    for (family, name) in FAMILIES.iter().enumerate() {
        for seed in 5000..5002 {
            let (outer, islands, d) = build(family, seed);
            let Ok(region) = Region::new(outer, islands) else { continue };
            let (low, high) = region.outer().bounds().unwrap();
            // That library works on a grid of a billionth of the size about zero.
            if low.length() > 1e4 {
                continue;
            }
            let ours: f64 = region.inset(d).unwrap().iter().map(Region::area).sum();
            let wanted = by_bands(&region, d).unsigned_area();
            // A millionth, and that grid along the outline.
            let length: f64 = region.contours().map(Contour::length).sum();
            let slack = 1e-6 * wanted + 1e-8 * low.distance(high) * length;
            // Where a slot is just as wide as the ring, a sliver of it is there or not.
            let sliver = ours == 0.0 && wanted < 1e-4 * length;
            assert!(
                (ours - wanted).abs() < slack || sliver,
                "{name} {seed}: {ours}, wanted {wanted}, {slack} at {d}"
            );
            judged += 1;
        }
    }
    assert!(judged > 8, "{judged}");
}
