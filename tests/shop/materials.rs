//! Woods and sheets against their sources.

use crate::wood;
use approx::assert_relative_eq;
use ovolo::shop::{Material, MaterialClass, all_materials};

/// Pounds-force per square inch and pounds-force, in MPa and N.
const PSI: f64 = 0.006_894_757;
const LBF: f64 = 4.448_222;

#[test]
fn strength_and_hardness_are_the_handbooks() {
    // Wood Handbook FPL-GTR-282 (2021), Tables 5-3b and 5-5b, 12 % moisture: gravity, million
    // psi, psi, lbf.
    for (name, gravity, moe, mor, janka) in [
        ("yellow-poplar", 0.42, 1.58, 10_100.0, 540.0),
        ("eastern-white-pine", 0.35, 1.24, 8_600.0, 380.0),
        ("douglas-fir", 0.48, 1.95, 12_400.0, 710.0),
        ("sugar-maple", 0.63, 1.83, 15_800.0, 1_450.0),
        ("red-maple", 0.54, 1.64, 13_400.0, 950.0),
        ("northern-red-oak", 0.63, 1.82, 14_300.0, 1_290.0),
        ("white-oak", 0.68, 1.78, 15_200.0, 1_360.0),
        ("white-ash", 0.60, 1.74, 15_400.0, 1_320.0),
        ("black-walnut", 0.55, 1.68, 14_600.0, 1_010.0),
        ("black-cherry", 0.50, 1.49, 12_300.0, 950.0),
        ("basswood", 0.37, 1.46, 8_700.0, 410.0),
        ("sapele", 0.603, 1.82, 15_300.0, 1_510.0),
    ] {
        let found = wood(name);
        assert_relative_eq!(found.specific_gravity, gravity);
        assert_relative_eq!(found.moe, moe * 1e6 * PSI, max_relative = 1e-3);
        assert_relative_eq!(found.mor, mor * PSI, max_relative = 1e-3);
        assert_relative_eq!(found.hardness.unwrap(), janka * LBF, max_relative = 1e-3);
        assert!(found.source.contains("Wood Handbook FPL-GTR-282 (2021)"), "{}", found.source);
    }
}

#[test]
fn imported_gravities_are_reckoned_from_green_volume() {
    // G12 = Gb / (1 - 0.265 x 0.6 x Gb) (Wood Handbook chapter 4, from memory), Gb of Table 5-5b.
    for (name, green) in [("mahogany", 0.45), ("sapele", 0.55)] {
        let twelve = green / (1.0 - 0.265 * 0.6 * green);
        assert_relative_eq!(wood(name).specific_gravity, twelve, epsilon = 1e-3);
        assert_eq!(wood(name).trust, "mixed");
    }
}

#[test]
fn shrinkage_gives_the_handbooks_coefficients_of_movement() {
    // C = 1 / (3000/S - 20); FPL-GTR-190 (2010) Table 13-5, radial and tangential.
    for (name, radial, tangential) in [
        ("red-alder", 0.001_51, 0.002_56),
        ("white-ash", 0.001_69, 0.002_74),
        ("basswood", 0.002_30, 0.003_30),
        ("american-beech", 0.001_90, 0.004_31),
        ("yellow-birch", 0.002_56, 0.003_38),
        ("black-cherry", 0.001_26, 0.002_48),
        ("red-maple", 0.001_37, 0.002_89),
        ("sugar-maple", 0.001_65, 0.003_53),
        ("black-walnut", 0.001_90, 0.002_74),
    ] {
        let (r, t) = wood(name).shrinkage.unwrap();
        let coefficient = |shrinkage: f64| 1.0 / (3000.0 / shrinkage - 20.0);
        // One unit of the last digit printed.
        assert_relative_eq!(coefficient(r), radial, epsilon = 1.5e-5);
        assert_relative_eq!(coefficient(t), tangential, epsilon = 1.5e-5);
    }
}

#[test]
fn every_row_of_the_table_is_read() {
    let rows = include_str!("../../src/shop/species.csv").lines().count() - 1;
    let all = all_materials();
    assert_eq!(all.len(), rows + 2);
    for material in &all {
        assert!((0.2..1.0).contains(&material.specific_gravity), "{}", material.name);
        assert!(!material.source.is_empty() && !material.trust.is_empty());
        assert_eq!(material.hardness.is_none(), material.botanical.is_empty());
    }
}

#[test]
fn hardness_decides_how_a_wood_is_cut() {
    use MaterialClass::{HardWood, Mdf, MediumWood, Plywood, SoftWood};
    for (class, names) in [
        (SoftWood, &["eastern-white-pine", "yellow-poplar", "basswood", "red-alder"][..]),
        (MediumWood, &["black-cherry", "black-walnut", "red-maple", "mahogany"][..]),
        (HardWood, &["sugar-maple", "white-oak", "white-ash", "american-beech"][..]),
        (Mdf, &["mdf"][..]),
        (Plywood, &["birch-plywood"][..]),
    ] {
        for name in names {
            assert_eq!(wood(name).class, class, "{name}");
        }
    }
}

#[test]
fn names_are_found_however_they_are_typed() {
    for typed in ["sugar-maple", "Sugar Maple", " sugar_maple ", "SUGAR-MAPLE"] {
        assert_eq!(wood(typed).name, "sugar-maple");
    }
    assert_eq!(wood("MDF").name, "mdf");
    // As the trade calls them (common practice).
    for (trade, full) in [("Hard Maple", "sugar-maple"), ("soft-maple", "red-maple")] {
        assert_eq!(wood(trade).name, full);
    }
    for (trade, full) in [("poplar", "yellow-poplar"), ("red oak", "northern-red-oak")] {
        assert_eq!(wood(trade).name, full);
    }
}

#[test]
fn unknown_names_are_answered_with_the_nearest() {
    let help = |name: &str| Material::find(name).unwrap_err().help.unwrap();
    assert!(help("sugar-mapel").starts_with("did you mean `sugar-maple`? known: yellow-poplar"));
    assert!(help("yelow poplar").starts_with("did you mean `yellow-poplar`?"));
    assert!(help("maple").starts_with("which of sugar-maple, red-maple?"), "{}", help("maple"));
    assert!(help("alder").starts_with("did you mean `red-alder`?"), "{}", help("alder"));
    assert!(help("granite").starts_with("known: "), "{}", help("granite"));
    assert!(help("").starts_with("known: "), "{}", help(""));
}
