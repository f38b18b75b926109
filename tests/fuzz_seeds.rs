//! The seeds of the fuzz target `dry_run` are good programs for its board, so that what is made of
//! them begins within the wood and not in a head that nobody understands.

#![allow(clippy::unwrap_used)]

use ovolo::dry_run::{Keepout, Outcome, Setup, try_out};
use ovolo::geometry::{Box3, point3};
use ovolo::ngc::{Options, interpret_all};
use ovolo::shop::{Material, Overrides, Shop};

fn seeds() -> Vec<(String, String)> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("fuzz/seeds/dry_run");
    let mut all: Vec<_> =
        std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    all.sort();
    let named = |path: std::path::PathBuf| {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        (name, std::fs::read_to_string(path).unwrap())
    };
    all.into_iter().map(named).collect()
}

#[test]
fn every_seed_is_a_good_program_for_the_board_of_its_target() {
    let shop = Shop::built_in().unwrap();
    let oak = Material::find("white-oak").unwrap();
    let one = |cutter| shop.cutting_data(&oak, cutter, &Overrides::default()).ok();
    // As in fuzz/fuzz_targets/dry_run.rs.
    let clamp = Box3 { min: point3(50.0, 15.0, -20.0), max: point3(70.0, 25.0, 15.0) };
    let setup = Setup {
        stock: Some(Box3 { min: point3(0.0, 0.0, -20.0), max: point3(60.0, 40.0, 0.0) }),
        clamps: vec![Keepout { name: "the clamp".to_string(), space: clamp }],
        limits: shop.cutters.iter().filter_map(one).collect(),
        default_cutter: shop.cutters.first().map(|c| c.number),
        ..Setup::new(&shop.machine, &shop.cutters)
    };
    let seeds = seeds();
    assert!(seeds.len() >= 6, "{} seeds", seeds.len());
    for (name, text) in seeds {
        assert!(text.len() < 500, "{name} is long for a seed");
        let (events, problems) = interpret_all(&text, &Options::default());
        assert!(problems.is_empty() && !events.is_empty(), "{name}: {problems:?}");
        let trial = try_out(&text, &setup);
        assert_eq!(trial.verdict.outcome, Outcome::Passed, "{name}: {:?}", trial.verdict.findings);
        let left = trial.left.unwrap();
        let deep = (0..left.rows()).any(|j| left.row(j).iter().any(|h| *h < -0.3));
        assert!(deep, "{name} cuts nothing");
    }
}
