//! Pieces that come free: refused while a cutter passes by, named when they drop out.

use super::bench::{Bench, around, cautions, limits, refusals};
use ovolo::dry_run::{Interlock, Setup, Standing, Verdict, check};

/// A quarter-inch cutter that reaches through the board of 20 mm in one pass.
fn long_bench() -> Bench {
    let mut bench = Bench::new();
    bench.cutters[0].flute_length.0 = 25.0;
    bench.cutters[0].stick_out.0 = 30.0;
    bench
}

fn tried_with(body: &str, change: impl FnOnce(&mut Setup)) -> Verdict {
    let bench = long_bench();
    let mut limits = limits();
    limits[0].stepdown.value = 25.0;
    let mut setup = Setup { limits, ..bench.setup() };
    change(&mut setup);
    check(&around(body), &setup)
}

fn tried(body: &str) -> Verdict {
    tried_with(body, |_| {})
}

/// Around a piece of about 54 by 34, cut through on lines 10 to 13.
const AROUND: &str = "G0 X50 Y20\nG0 Z1\nG1 Z-20.3 F600\nG1 X110 F2000\nG1 Y60\nG1 X50\nG1 Y20";

#[test]
fn a_piece_that_drops_out_at_the_end_is_named_where_it_comes_free() {
    let verdict = tried(AROUND);
    assert_eq!(refusals(&verdict), [], "{:#?}", verdict.findings);
    assert_eq!(cautions(&verdict), [(Interlock::NothingLoose, 13)]);
    let message = &verdict.findings[0].message;
    assert!(message.contains("drops out"), "{message}");
    let at = verdict.findings[0].at.unwrap();
    assert!((at.x - 80.0).abs() < 2.0 && (at.y - 40.0).abs() < 2.0, "{at:?}");
}

#[test]
fn a_cutter_that_passes_by_a_free_piece_is_refused() {
    // A second time round, in the same pass and after a retract.
    for again in ["\nG1 X110\nG1 Y60", "\nG0 Z12\nG0 X56 Y20\nG1 Z-20.3 F600\nG1 X110 F2000"] {
        let verdict = tried(&format!("{AROUND}{again}"));
        assert_eq!(refusals(&verdict), [(Interlock::NothingLoose, 13)], "{again}");
    }
    // Work elsewhere is no danger to it; nor is the end of the cut, a cutter's width long.
    let elsewhere = format!("{AROUND}\nG1 X55\nG0 Z12\nG0 X200 Y50\nG1 Z-3 F600\nG1 X230 F2000");
    assert_eq!(refusals(&tried(&elsewhere)), []);
}

#[test]
fn tabs_skins_and_beds_hold() {
    let again = "\nG1 X110\nG1 Y60";
    let skin = format!("{AROUND}{again}").replace("Z-20.3", "Z-19.7");
    assert_eq!(tried(&skin).findings, []);
    let tab = "G1 X80 F2000\nG1 Z-18 F600\nG1 X88 F2000\nG1 Z-20.3 F600\nG1 X110 F2000";
    let tabs = AROUND.replace("G1 X110 F2000", tab);
    assert_eq!(tried(&tabs).findings, []);
    // The same tab taken away afterwards frees the piece on that line.
    let taken = format!("{tabs}\nG1 X90\nG0 Z12");
    assert_eq!(cautions(&tried(&taken)), [(Interlock::NothingLoose, 18)]);
    let bed = tried_with(&format!("{AROUND}{again}"), |setup| setup.held_below = true);
    assert_eq!(refusals(&bed), []);
    assert_eq!(bed.interlocks[Interlock::NothingLoose.number() - 1].standing, Standing::NotJudged);
}

#[test]
fn what_a_clamp_touches_is_held_and_the_rest_falls() {
    // Cut across the board: the clamp stands at the right end, so the left falls.
    let across = "G0 X200 Y-10\nG1 Z-20.3 F600\nG1 Y110 F2000";
    let verdict = tried(across);
    assert_eq!(cautions(&verdict), [(Interlock::NothingLoose, 9)]);
    assert!(verdict.findings[0].at.unwrap().x < 200.0);
    // Without a clamp the greater piece is taken as held.
    let unclamped = tried_with(across, |setup| setup.clamps.clear());
    assert!(unclamped.findings[0].at.unwrap().x > 200.0);
}

#[test]
fn holes_free_nothing() {
    let holes = "M5\nT3 M6\nM3 S9000\nG4 P3\nG0 X50 Y50\nG98 G83 Z-20.4 R2 Q4 F400\nX70\nX90\nG80";
    assert_eq!(tried(holes).findings, []);
}
