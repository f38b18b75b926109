//! Any text as a program for a small board: no panic, the same verdict each time, and what is left
//! of the board is never above it.
#![no_main]

use libfuzzer_sys::fuzz_target;
use ovolo::dry_run::{Setup, try_out};
use ovolo::geometry::{Box3, point3};
use ovolo::shop::Shop;
use std::sync::LazyLock;

static SHOP: LazyLock<Shop> = LazyLock::new(|| Shop::built_in().expect("the built-in shop"));

fuzz_target!(|bytes: &[u8]| {
    let text = String::from_utf8_lossy(bytes);
    let stock = Box3 { min: point3(0.0, 0.0, -20.0), max: point3(60.0, 40.0, 0.0) };
    let setup = Setup {
        stock: Some(stock),
        default_cutter: SHOP.cutters.first().map(|c| c.number),
        ..Setup::new(&SHOP.machine, &SHOP.cutters)
    };
    let first = try_out(&text, &setup);
    let second = try_out(&text, &setup);
    assert_eq!(first.verdict, second.verdict);
    assert_eq!(first.left, second.left);
    let left = first.left.expect("a stock was given");
    for j in 0..left.rows() {
        assert!(left.row(j).iter().all(|h| *h <= 0.0));
    }
});
