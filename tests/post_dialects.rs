//! Dialect files: wrong ones and their messages, and finding one.

#![allow(clippy::unwrap_used)]

use ovolo::geometry::point3;
use ovolo::ngc::{Options, interpret_all};
use ovolo::post::{Dialect, Heading, built_in, write};
use ovolo::toolpath::{Move, Purpose, Toolpath};
use proptest::prelude::*;

/// Each file of `tests/post/bad` says in its first lines what it must be told: `# says: ...`.
#[test]
fn each_wrong_file_gets_its_message_with_a_place() {
    let mut files: Vec<_> = std::fs::read_dir("tests/post/bad")
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "toml"))
        .collect();
    files.sort();
    assert!(files.len() >= 12, "{} files", files.len());
    for file in files {
        let name = file.to_str().unwrap();
        let text = std::fs::read_to_string(&file).unwrap();
        let wanted: Vec<&str> = text.lines().filter_map(|l| l.strip_prefix("# says: ")).collect();
        assert!(!wanted.is_empty(), "{name} says nothing");
        let failure = Dialect::find(name).expect_err(name);
        assert_eq!(failure.exit_code(), 2, "{name}");
        let found: Vec<String> = failure
            .diagnostics()
            .iter()
            .map(|d| {
                let place = d.place.as_ref().unwrap();
                assert_eq!(place.file, name);
                let key = d.key.as_ref().map_or(String::new(), |k| format!("`{k}`: "));
                format!("{}:{}: {key}{}", place.line, place.column, d.message)
            })
            .collect();
        assert_eq!(found, wanted, "{name}");
    }
}

#[test]
fn a_name_that_is_none_gets_the_nearest() {
    let failure = Dialect::find("milimeters").unwrap_err().to_string();
    assert!(failure.contains("there is no post-processor `milimeters`"), "{failure}");
    assert!(failure.contains("did you mean `millimetres`?"), "{failure}");
    let failure = Dialect::find("nowhere/at-all.toml").unwrap_err().to_string();
    assert!(failure.contains("nowhere/at-all.toml: there is no such file"), "{failure}");
}

#[test]
fn the_chord_tolerance_is_the_users() {
    let dialect = Dialect::find("chords-only").unwrap();
    assert_eq!(dialect.clone().with_chord_tolerance(0.05).unwrap().chord_tolerance.0, 0.05);
    for wrong in [0.0, -0.1, 0.0019, 1.01, f64::NAN, f64::INFINITY] {
        let failure = dialect.clone().with_chord_tolerance(wrong).unwrap_err();
        assert!(failure.to_string().contains("`chord-tolerance`"), "{failure}");
    }
}

/// Only what the list of allowed words names can come in through a block.
#[test]
fn blocks_take_allowed_words_only() {
    let try_line = |line: &str| {
        let quoted = line.replace('\\', "\\\\").replace('"', "\\\"");
        let text = format!(
            "description = \"\"\nunits = \"mm\"\ndecimals = 4\narcs = \"centre\"\ncutter-change = \"m6\"\nstart = [\"{quoted}\"]\n"
        );
        Dialect::read("try", &text)
    };
    for good in [
        "G53 G0 Z0",
        "g53g0z-1.5x2",
        "G28",
        "G28 Z5",
        "G4 P0.5",
        "M8",
        "M9 G64",
        "G61.1",
        "M1",
        "(cutter {cutter}, {title})",
        "G64 (smooth)",
        "M48",
    ] {
        assert!(try_line(good).is_ok(), "{good}: {:?}", try_line(good));
    }
    for bad in [
        "",
        " ",
        "G0 Z5",
        "G1 X1",
        "G91",
        "G20",
        "M3 S100",
        "S100",
        "M30",
        "M2",
        "%",
        "T1 M6",
        "G53 Z1",
        "G53 G0",
        "G53 G0 X1 X2",
        "G4",
        "P1",
        "G4 P-1",
        "G92 X0",
        "X1",
        "G28 G53 G0 Z0",
        "M7 M9",
        "(open",
        "(a(b))",
        "; hello",
        "O100",
        "#1=2",
        "G53 G0 Z[1]",
        "/M8",
        "{title}",
        "M{cutter}",
        "(what {is} this)",
        "(\u{e9})",
        "G",
        "G5e1",
        "G28.1",
        "N10 M8",
        "G53 G0 Z1e5",
    ] {
        assert!(try_line(bad).is_err(), "{bad:?} was taken");
    }
}

/// A line of a block from pieces that may or may not go together.
fn any_line() -> impl Strategy<Value = String> {
    let pieces = prop::sample::select(vec![
        "G53",
        "G0",
        "Z0",
        "X1.5",
        "Y-2",
        "G28",
        "G30",
        "G4",
        "P1",
        "P0.25",
        "M8",
        "M9",
        "M7",
        "G64",
        "G61",
        "G61.1",
        "M0",
        "M1",
        "M48",
        "M49",
        "(a)",
        "({title})",
        "(cutter {cutter})",
    ]);
    (prop::collection::vec(pieces, 1..5), prop::sample::select(vec!["", " "]))
        .prop_map(|(words, blank)| words.join(blank))
}

fn with_blocks(line: &str) -> String {
    let (_, good) = built_in().iter().find(|(name, _)| *name == "millimetres").unwrap();
    let quoted = line.replace('\\', "\\\\").replace('"', "\\\"");
    format!("{good}\nstart = [\"{quoted}\"]\nend = [\"{quoted}\"]\n")
}

/// Writes with the dialect and reads the text back: no rule is broken.
fn check_readable(dialect: &Dialect) -> Result<(), TestCaseError> {
    let mut path = Toolpath::default();
    path.push(Purpose::Travel, Move::Traverse { to: point3(1.0, 2.0, 20.0) });
    path.push(Purpose::Rough, Move::Line { to: point3(1.0, 2.0, 10.0), feed: 300.0 });
    let heading = Heading { title: "a (title) \u{bd}".repeat(40), ..Heading::default() };
    let text = write(&path, dialect, &heading).unwrap().remove(0).text;
    let options = Options { homes: [Some(point3(0.0, 0.0, 0.0)); 2], ..Options::default() };
    let (_, problems) = interpret_all(&text, &options);
    let grave: Vec<_> = problems.iter().filter(|p| p.grave).collect();
    prop_assert!(grave.is_empty(), "{:?}\n{}", grave, text);
    Ok(())
}

proptest! {
    /// No text makes the reader panic, and what it takes can be written and read.
    #[test]
    fn any_text_is_read_or_refused(text in any::<String>(), line in "[ -~]{0,40}") {
        for text in [text, with_blocks(&line)] {
            if let Ok(dialect) = Dialect::read("any", &text) {
                check_readable(&dialect)?;
            }
        }
    }

    #[test]
    fn blocks_that_are_taken_break_no_rule(line in any_line()) {
        if let Ok(dialect) = Dialect::read("any", &with_blocks(&line)) {
            check_readable(&dialect)?;
        }
    }
}
