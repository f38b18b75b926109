//! README says what is so: every command shown in it is run, and prints what stands there.

use std::path::PathBuf;
use std::process::Command;
use tempfile::TempDir;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn readme() -> String {
    std::fs::read_to_string(root().join("README.md")).expect("README")
}

/// The contents of the fenced blocks that start with ```` ```lang ````.
fn blocks(text: &str, lang: &str) -> Vec<String> {
    let mut all = Vec::new();
    let mut lines = text.lines();
    while let Some(line) = lines.next() {
        let Some(found) = line.strip_prefix("```") else { continue };
        let block: Vec<&str> = lines.by_ref().take_while(|l| *l != "```").collect();
        if found == lang {
            all.push(block.join("\n"));
        }
    }
    all
}

#[test]
fn the_job_in_it_is_the_sample() {
    let sample =
        std::fs::read_to_string(root().join("sample-parts/arched-cap.toml")).expect("sample");
    assert!(blocks(&readme(), "toml").iter().any(|b| b.trim() == sample.trim()));
}

#[test]
fn every_command_prints_what_it_shows() {
    let here = TempDir::new().expect("folder");
    let parts = here.path().join("sample-parts");
    std::fs::create_dir(&parts).expect("folder");
    for entry in std::fs::read_dir(root().join("sample-parts")).expect("samples") {
        let from = entry.expect("entry").path();
        std::fs::copy(&from, parts.join(from.file_name().expect("name"))).expect("copied");
    }
    // The job with two mistakes whose message is shown.
    let sample = std::fs::read_to_string(parts.join("arched-cap.toml")).expect("sample");
    let broken =
        sample.replace("chord     = \"41", "chrod     = \"41").replace("\"3/4\"", "\"3/0\"");
    std::fs::write(here.path().join("cap.toml"), broken).expect("written");
    let mut run = 0;
    for block in blocks(&readme(), "") {
        let Some((command, shown)) = block.split_once('\n') else { continue };
        let Some(args) = command.strip_prefix("$ ovolo ") else { continue };
        let done = Command::new(env!("CARGO_BIN_EXE_ovolo"))
            .current_dir(here.path())
            .args(args.split(' '))
            .output()
            .expect("the binary starts");
        let said = if done.stdout.is_empty() { &done.stderr } else { &done.stdout };
        let said = String::from_utf8(said.clone()).expect("UTF-8");
        assert_eq!(said.trim_end(), shown.trim_end(), "`ovolo {args}`");
        run += 1;
    }
    assert!(run >= 4, "{run} commands");
}
