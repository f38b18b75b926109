//! The verdict as people and programs read it.

use super::bench::{Bench, GOOD, around, tried, tried_as};
use ovolo::dry_run::{Outcome, Setup, Verdict, check};
use ovolo::units::{Shown, Unit};
use proptest::prelude::*;

const MM: Shown = Shown { unit: Unit::Mm, parts: 32 };

#[test]
fn it_never_says_safe_of_a_program() {
    for (name, text) in GOOD {
        let shown = tried_as(name, text).render(MM);
        assert!(shown.contains("not that the program is safe"), "{name}");
        assert_eq!(
            shown.matches(" safe").count()
                - shown.matches("safe height").count()
                - shown.matches("safe-height").count(),
            1
        );
    }
}

#[test]
fn many_findings_in_a_row_become_one() {
    let mut body = String::from("G0 X50 Y50\nG1 Z-3 F600\nF2500");
    for i in 1..=60 {
        body.push_str(&format!("\nG1 X{}", 50 + i));
    }
    let verdict = tried(&around(&body));
    assert_eq!(verdict.findings.len(), 1);
    let finding = &verdict.findings[0];
    assert_eq!((finding.line, finding.more, finding.last_line), (10, 59, 69));
    assert!(verdict.render(MM).contains("and 59 more lines, up to line 69"));
}

#[test]
fn a_hostile_number_of_findings_is_bounded() {
    let mut text =
        String::from("G21 G90 G17 G94 G54\nT1 M6\nM3 S18000\nG4 P3\nG0 Z12\nG0 X50 Y50\n");
    for _ in 0..3000 {
        text.push_str("G0 Z-5\nG0 Z12\n");
        text.push_str(&"(x)\n".repeat(25));
    }
    let verdict = tried(&text);
    assert_eq!(verdict.findings.len(), 1000);
    assert!(verdict.unlisted >= 2000);
}

#[test]
fn json_has_a_schema_and_round_numbers() {
    let schema = serde_json::to_value(schemars::schema_for!(Verdict)).unwrap();
    let properties = schema["properties"].as_object().unwrap();
    let json = serde_json::to_value(tried(&around("G0 X50 Y50\nG0 Z-1"))).unwrap();
    for key in json.as_object().unwrap().keys() {
        assert!(properties.contains_key(key), "{key} is in the schema");
    }
    assert_eq!(json["outcome"], "refused");
    assert_eq!(json["findings"][0]["interlock"], "traverse-clear");
    assert_eq!(json["findings"][0]["at"]["z"], -1.0);
    assert_eq!(json["interlocks"].as_array().unwrap().len(), ovolo::dry_run::Interlock::ALL.len());
}

#[test]
fn the_digest_is_of_the_bytes() {
    // FIPS 180-4 example: SHA-256 of "abc".
    assert_eq!(
        tried("abc").sha256,
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    );
}

#[test]
fn extents_are_those_of_the_strokes() {
    let verdict = tried_as(GOOD[0].0, GOOD[0].1);
    let cutting = verdict.extents.cutting.unwrap();
    assert_eq!((cutting.from, cutting.to), ([40.0, 20.0, -6.2], [200.0, 80.0, 12.0]));
    let travelling = verdict.extents.travelling.unwrap();
    assert_eq!(travelling.to, [200.0, 80.0, 12.0]);
    assert_eq!(verdict.extents.cutters[0].cutter, Some(1));
}

#[test]
fn an_empty_text_is_refused_and_not_a_panic() {
    for text in ["", "\n", "%", "%\n%", "(", "\u{feff}G21", "G1", "M30"] {
        let verdict = tried(text);
        assert!(verdict.outcome > Outcome::Passed, "{text:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn broken_text_never_panics_and_says_the_same_twice(
        index in 0..GOOD.len(),
        at in 0.0..1.0_f64,
        put in "[ -~\n]{0,12}",
        cut in 0usize..20,
    ) {
        let (name, text) = GOOD[index];
        let at = ((text.len() as f64) * at) as usize;
        let end = (at + cut).min(text.len());
        let broken = format!("{}{put}{}", &text[..at], &text[end..]);
        prop_assert_eq!(tried_as(name, &broken), tried_as(name, &broken));
    }

    #[test]
    fn case_and_blanks_change_nothing(index in 0..GOOD.len()) {
        let (name, text) = GOOD[index];
        let meant = |v: &Verdict| v.findings.iter().map(|f| (f.interlock, f.line, f.severity)).collect::<Vec<_>>();
        let plain = tried_as(name, text);
        prop_assert_eq!(meant(&plain), meant(&tried_as(name, &text.to_lowercase())));
        prop_assert_eq!(meant(&plain), meant(&tried_as(name, &text.to_uppercase())));
        prop_assert_eq!(meant(&plain), meant(&tried_as(name, &text.replace('\n', "\r\n"))));
    }
}

#[test]
fn a_refusal_reads_well() {
    let text = around("G0 X50 Y50\nG0 Z1\nG1 Z-3 F600\nG1 X90 F2500\nG0 X120");
    let bench = Bench::new();
    insta::assert_snapshot!(check(&text, &bench.setup()).render(MM), @"
    refused: 2 refusals, 0 cautions
    lines 14, SHA-256 d9872d0d0fc71261ad7e8193f055a9bf190162918c3f6dcdc4a8d2c60154569a

    FINDINGS
    line 10, refused, I18 feed-within-species: cutter 1 feeds at 2500 mm/min in white oak, and its limit there is 2000 mm/min (chart)
        | G1 X90 F2500
        at x 90 mm, y 50 mm, z -3 mm
        help: lower F, or overrule the feed in the shop or job file
    line 11, refused, I12 traverse-clear: it traverses at z -3 mm into wood that stands 3 mm above the tip
        | G0 X120
        at x 91.03 mm, y 50 mm, z -3 mm
        help: retract above the stock first, or feed

    INTERLOCKS
    I01 text-understood       held
    I02 units-stated          held
    I03 distance-mode-stated  held
    I04 plane-stated          held
    I05 feed-mode             held
    I06 work-offset           held
    I07 length-offset         held
    I08 axis-offset           held
    I09 travel                held
    I10 machine-moves         held
    I11 safe-height           held
    I12 traverse-clear        broken
    I13 spindle-running       held
    I14 spindle-direction     held
    I15 spindle-speed         held
    I16 feed-stated           held
    I17 feed-within-axes      held
    I18 feed-within-species   broken
    I19 bottom                held
    I20 stepdown              held
    I21 plunge                held
    I22 ramp                  held
    I23 flute-length          held
    I24 holder-clear          held
    I25 clamps-clear          held
    I26 cutter-known          held
    I27 cutter-change         held
    I28 ending                held
    I29 spindle-stop          held
    I30 reach                 held
    I31 part-untouched        not judged: the setup names no outline of the part
    I32 tabs-left             not judged: the setup names no tabs
    I33 nothing-loose         held
    I34 surface-kept          not judged: the setup gives no wanted surface
    I35 tabs-strong           not judged: the setup names no tabs
    I36 spindle-power         held

    EXTENTS (mm, work coordinates)
                                     x                   y                   z
    all motion               50 to 120            50 to 50            -3 to 12
    cutting                   50 to 90            50 to 50             -3 to 1
    cutter 1                  50 to 90            50 to 50             -3 to 1

    NOTES
    - the stock is cut as heights of cells of 0.532 mm (a twelfth of the finest cutter, 0.05 mm to 1 mm): heights are true to 0.001 mm at the cells' middles, walls and narrow wood to 0.376 mm in plan
    - this tells what was checked and found, not that the program is safe
    ");
}

#[test]
fn an_inch_reader_is_told_in_inches_what_figures_are_true_to() {
    let text = "%\nG20 G90 G17 G54\nT1 M6\nM3 S18000\nG4 P3\nG0 Z.5\nX1 Y1\nG1 Z-.1 F20\nX2 F70\nG0 Z.5\nM5\nM30\n%\n";
    let bench = Bench::new();
    let inches = Shown { unit: Unit::In, parts: 32 };
    let verdict = check(text, &Setup { shown: inches, ..bench.setup() });
    let note =
        verdict.notes.iter().find(|note| note.contains("cells of")).expect("a stock is given");
    insta::assert_snapshot!(note, @"the stock is cut as heights of cells of 0.02092 in (a twelfth of the finest cutter, 0.00197 in to 0.03938 in): heights are true to 0.00004 in at the cells' middles, walls and narrow wood to 0.01479 in in plan");
}

#[test]
fn what_was_not_judged_is_said_in_the_readers_units() {
    let text = "%\nG20 G90 G17 G54\nT1 M6\nM3 S18000\nG4 P3\nG0 Z.5\nX1 Y1\nG1 Z-.1 F20\nX2 F70\nG0 Z.2\nX3\nG0 Z.5\nM5\n%\n";
    let bench = Bench::new();
    let inches = Shown { unit: Unit::In, parts: 32 };
    let setup = Setup {
        stock: None,
        clamps: Vec::new(),
        limits: Vec::new(),
        machine_zero: None,
        shown: inches,
        ..bench.setup()
    };
    insta::assert_snapshot!(check(text, &setup).render(inches), @"
    passed with cautions: 2 cautions
    lines 14, SHA-256 5722efa40855f779d827240c7f8aff61effdc8d9e47d77270a7953c50eb6b4bc

    FINDINGS
    line 11, caution, I11 safe-height: it traverses across the stock at z 0.2 in, below safe height (0.394 in)
        | X3
        at x 3 in, y 1 in, z 0.2 in
        help: retract to safe height between cuts
    line 14, caution, I28 ending: only the closing % ends the program, and leaves the machine as it is
        | %
        help: write M30 before it

    INTERLOCKS
    I01 text-understood       held
    I02 units-stated          held
    I03 distance-mode-stated  held
    I04 plane-stated          held
    I05 feed-mode             held
    I06 work-offset           held
    I07 length-offset         held
    I08 axis-offset           held
    I09 travel                held
    I10 machine-moves         held
    I11 safe-height           cautions
    I12 traverse-clear        held
    I13 spindle-running       held
    I14 spindle-direction     held
    I15 spindle-speed         held
    I16 feed-stated           held
    I17 feed-within-axes      held
    I18 feed-within-species   not judged: no figures were given for cutter 1
    I19 bottom                not judged: no stock was given
    I20 stepdown              not judged: no figures were given for cutter 1; no stock was given
    I21 plunge                not judged: no figures were given for cutter 1
    I22 ramp                  not judged: no figures were given for cutter 1
    I23 flute-length          not judged: no stock was given
    I24 holder-clear          not judged: no stock was given
    I25 clamps-clear          not judged: the setup names no clamps
    I26 cutter-known          held
    I27 cutter-change         held
    I28 ending                cautions
    I29 spindle-stop          held
    I30 reach                 held
    I31 part-untouched        not judged: the setup names no outline of the part
    I32 tabs-left             not judged: the setup names no tabs
    I33 nothing-loose         not judged: no stock was given
    I34 surface-kept          not judged: no stock was given
    I35 tabs-strong           not judged: the setup names no tabs
    I36 spindle-power         not judged: no stock was given

    EXTENTS (in, work coordinates)
                                     x                   y                   z
    all motion                  1 to 3              1 to 1         -0.1 to 0.5
    cutting                     1 to 2              1 to 1         -0.1 to 0.5
    cutter 1                    1 to 2              1 to 1         -0.1 to 0.5

    NOTES
    - no stock was given: z = 0 is taken as its top, everywhere, and depth, stepdown, flute length and holder are not judged
    - the work zero is not known in machine coordinates: travel is judged by size only
    - no feeds, speeds and depths for a species were given
    - this tells what was checked and found, not that the program is safe
    ");
}
