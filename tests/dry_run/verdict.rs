//! The verdict as people and programs read it.

use super::bench::{Bench, GOOD, around, tried, tried_as};
use ovolo::dry_run::{Outcome, Verdict, check};
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
    let mut text = String::from("G21 G90 G17 G94\nT1 M6\nM3 S18000\nG4 P3\nG0 Z12\nG0 X50 Y50\n");
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
    insta::assert_snapshot!(check(&text, &bench.setup()).render(MM));
}
