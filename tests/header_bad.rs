//! Broken header jobs: each is told what is wrong, where, and a way out.

use std::path::PathBuf;
use std::process::Command;

/// What was said, without the lines of the file that messages show: a file's own comments must
/// not answer for the message.
fn without_excerpts(said: &str) -> String {
    let excerpt = |line: &str| {
        let line = line.trim_start();
        let digits = line.trim_start_matches(|c: char| c.is_ascii_digit());
        digits.starts_with(" | ") || digits.starts_with("| ")
    };
    said.lines().filter(|line| !excerpt(line)).map(|line| format!("{line}\n")).collect()
}

#[test]
fn every_broken_header_is_told_what_is_wrong() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/header/bad");
    let mut files: Vec<PathBuf> = std::fs::read_dir(&folder)
        .expect("folder")
        .map(|entry| entry.expect("entry").path())
        .collect();
    files.sort();
    assert!(files.len() >= 40, "{} broken headers", files.len());
    let mut missing = Vec::new();
    for file in files {
        let content = std::fs::read_to_string(&file).expect("readable");
        let after = |mark: &str| -> Vec<String> {
            content.lines().filter_map(|l| l.strip_prefix(mark)).map(String::from).collect()
        };
        let (verbs, expected) = (after("# verb: "), after("# error: "));
        let [verb] = verbs.as_slice() else { panic!("{} names no verb", file.display()) };
        assert!(!expected.is_empty(), "{} says no message", file.display());
        let here = tempfile::TempDir::new().expect("folder");
        let done = Command::new(env!("CARGO_BIN_EXE_ovolo"))
            .current_dir(here.path())
            .arg(verb)
            .arg(&file)
            .output()
            .expect("the binary starts");
        let all = String::from_utf8(done.stderr).expect("UTF-8");
        let said = without_excerpts(&all);
        assert!(matches!(done.status.code(), Some(1 | 2)), "{}: {all}", file.display());
        assert!(done.stdout.is_empty(), "{}", file.display());
        assert!(said.contains(&format!("{}:", file.display())), "no place in the file:\n{said}");
        for words in expected {
            if !said.contains(&words) {
                missing.push(format!("{} must say `{words}`:\n{said}", file.display()));
            }
        }
        let programs = std::fs::read_dir(here.path().join("out")).map_or(0, Iterator::count);
        assert_eq!(programs, 0, "{} wrote something", file.display());
    }
    assert!(missing.is_empty(), "{}", missing.join("\n"));
}
