//! Any text as a program for a small board, as it stands and behind a head that brings a turning
//! cutter over the wood: no panic, the same verdict each time, and what is left of the board is
//! never above it nor lower than a program that stops earlier leaves it.
#![no_main]

use libfuzzer_sys::fuzz_target;
use ovolo::dry_run::{Keepout, Setup, Trial, try_out};
use ovolo::geometry::{Box3, HeightField, point3};
use ovolo::shop::{CuttingData, Material, Overrides, Shop};
use std::sync::LazyLock;

static SHOP: LazyLock<Shop> = LazyLock::new(|| Shop::built_in().expect("the built-in shop"));

/// Figures for oak, so that what judges the wood that is taken has something to judge by.
static LIMITS: LazyLock<Vec<CuttingData>> = LazyLock::new(|| {
    let oak = Material::find("white-oak").expect("a built-in wood");
    let one = |cutter| SHOP.cutting_data(&oak, cutter, &Overrides::default()).ok();
    SHOP.cutters.iter().filter_map(one).collect()
});

const HEAD: &str = "G21 G90 G17 G94 G54\nM3 S18000\nG4 P9\nG0 Z12\nG0 X30 Y20\nG1 Z-1 F300\n";

/// Tries a text twice, and gives the second trial.
fn tried(text: &str) -> Trial {
    let stock = Box3 { min: point3(0.0, 0.0, -20.0), max: point3(60.0, 40.0, 0.0) };
    let clamp = Box3 { min: point3(50.0, 15.0, -20.0), max: point3(70.0, 25.0, 15.0) };
    let setup = Setup {
        stock: Some(stock),
        clamps: vec![Keepout { name: "the clamp".to_string(), space: clamp }],
        limits: LIMITS.clone(),
        default_cutter: SHOP.cutters.first().map(|c| c.number),
        ..Setup::new(&SHOP.machine, &SHOP.cutters)
    };
    let first = try_out(text, &setup);
    let second = try_out(text, &setup);
    assert_eq!(first.verdict, second.verdict);
    assert_eq!(first.left, second.left);
    let left = second.left.as_ref().expect("a stock was given");
    for j in 0..left.rows() {
        assert!(left.row(j).iter().all(|h| *h <= 0.0));
    }
    second
}

/// Whether no cell of `late` stands higher than in `early`; not if cells differ, which are as
/// wide as the finest cutter that a text uses wants.
fn no_higher(late: &HeightField, early: &HeightField) -> bool {
    let alike = late.rows() == early.rows() && late.row(0).len() == early.row(0).len();
    let rows = 0..late.rows();
    !alike || rows.into_iter().all(|j| late.row(j).iter().zip(early.row(j)).all(|(l, e)| l <= e))
}

fuzz_target!(|bytes: &[u8]| {
    let text = String::from_utf8_lossy(bytes);
    tried(&text);
    // The head alone is what every text behind it goes on from, unless its first words change how
    // the text is read.
    let (head, whole) = (tried(HEAD), tried(&format!("{HEAD}{text}")));
    let (head, whole) = (head.left.expect("a stock"), whole.left.expect("a stock"));
    assert!(no_higher(&whole, &head));
});
