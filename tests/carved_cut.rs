//! A carved panel from job to program, by the binary, tried by the dry run.
#![allow(clippy::unwrap_used)]

use std::process::{Command, Output};
use tempfile::TempDir;

const JOB: &str = r#"
title = "Reading-room doorway: a rosette to try"
units = "mm"
species = "yellow-poplar"
stock = { length = 120, width = 100, thickness = 25 }
hold = { tabs = { count = 2, width = 12, height = 3 } }

[[part]]
kind = "panel"
length = 80
width = 60
grid = 0.2
border = [{ stage = "level", width = 6 }, { stage = "bevel", width = 5, drop = 5 }]
rough = { cutter = 1 }
finish = { cutter = 5, scallop = 0.03 }
outline = { cutter = 2 }

[[part.carving]]
carve = "rosette"
at = [40, 30]
diameter = 40
depth = 4
"#;

fn cut(job: &str, post: &str) -> (TempDir, Output) {
    let folder = TempDir::new().unwrap();
    std::fs::write(folder.path().join("job.toml"), job).unwrap();
    let done = Command::new(env!("CARGO_BIN_EXE_ovolo"))
        .current_dir(folder.path())
        .args(["cut", "job.toml", "--post", post])
        .output()
        .unwrap();
    (folder, done)
}

#[test]
fn a_rosette_is_roughed_finished_cut_out_and_held_against_its_relief() {
    for post in ["millimetres", "per-cutter", "hand-dial"] {
        let (folder, done) = cut(JOB, post);
        let told = String::from_utf8(done.stdout).unwrap();
        assert_eq!(
            done.status.code(),
            Some(0),
            "{post}: {}",
            String::from_utf8_lossy(&done.stderr)
        );
        assert!(
            told.contains(" passed,") && !told.contains("passed with cautions"),
            "{post}: {told}"
        );
        let report = std::fs::read_to_string(folder.path().join("out/report.json")).unwrap();
        let report: serde_json::Value = serde_json::from_str(&report).unwrap();
        let programs = report["parts"][0]["programs"].as_array().unwrap();
        let surface = &programs.last().unwrap()["verdict"]["surface"];
        assert!(surface["gouge"].is_null(), "{post}: {surface}");
        // All of the panel's face was judged, not a corner of it.
        assert!(surface["area"].as_f64().unwrap() > 0.9 * 80.0 * 60.0, "{post}");
    }
}

#[test]
fn a_scallop_no_cutter_can_leave_is_told_at_its_key() {
    let (_, done) = cut(&JOB.replace("scallop = 0.03", "scallop = 0"), "millimetres");
    let said = String::from_utf8(done.stderr).unwrap();
    assert_ne!(done.status.code(), Some(0));
    assert!(said.contains("part[1].finish.scallop"), "{said}");
}

#[test]
fn without_cutters_the_board_is_cut_out_and_the_user_is_told() {
    let plain = JOB
        .replace("rough = { cutter = 1 }\n", "")
        .replace("finish = { cutter = 5, scallop = 0.03 }\n", "");
    let (_, done) = cut(&plain, "millimetres");
    assert_eq!(done.status.code(), Some(0));
    assert!(String::from_utf8(done.stdout).unwrap().contains("the carving is not in this program"));
}
