//! Incised panels from job to program, by the binary, held against what is wanted by the dry run.
#![allow(clippy::unwrap_used)]

use std::process::{Command, Output};
use tempfile::TempDir;

/// Lettering and a fret by two V cutters, lines and outlines from a drawing, on a plain board.
const JOB: &str = r#"
title = "Reading-room doorway: an incised board to try"
units = "mm"
species = "yellow-poplar"
stock = { length = 200, width = 110, thickness = 20 }
hold = { tabs = { count = 2, width = 12, height = 3 } }

[[part]]
kind = "panel"
name = "board"
length = 160
width = 70
grid = 0.2
outline = { cutter = 2 }
incise = [{ cutter = 6, clearing-cutter = 3 }, { cutter = 7 }]

[[part.carving]]
carve = "lettering"
text = "A8"
at = [40, 30]
height = 24
depth = 2.5

[[part.carving]]
carve = "key-fret"
at = [80, 15]
length = 90
height = 12
depth = 4
v-angle = 90

[[part.carving]]
carve = "incised"
file = "lines.svg"
at = [110, 45]
line-width = 2

[[part.carving]]
carve = "incised"
file = "leaf.svg"
at = [140, 45]
width = 20
depth = 3
turn = "30 deg"
mirrored = true
"#;

const LINES: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="20mm" viewBox="0 0 30 20">
<path d="M0 10 C 8 -6 22 26 30 10" fill="none" stroke="black"/>
<path d="M2 2 L28 2" fill="none" stroke="black"/>
<path d="M2 2 L28 2" fill="none" stroke="black"/>
</svg>"#;

const LEAF: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="20mm" viewBox="0 0 40 20">
<path d="M0 10 C 10 0 30 0 40 10 C 30 20 10 20 0 10 Z" fill="black"/>
</svg>"#;

fn run(job: &str, args: &[&str]) -> (TempDir, Output) {
    let folder = TempDir::new().unwrap();
    for (name, text) in [("job.toml", job), ("lines.svg", LINES), ("leaf.svg", LEAF)] {
        std::fs::write(folder.path().join(name), text).unwrap();
    }
    let done = Command::new(env!("CARGO_BIN_EXE_ovolo"))
        .current_dir(folder.path())
        .args(args)
        .output()
        .unwrap();
    (folder, done)
}

fn surface(folder: &TempDir) -> serde_json::Value {
    let report = std::fs::read_to_string(folder.path().join("out/report.json")).unwrap();
    let report: serde_json::Value = serde_json::from_str(&report).unwrap();
    let programs = report["parts"][0]["programs"].as_array().unwrap();
    programs.last().unwrap()["verdict"]["surface"].clone()
}

#[test]
fn letters_frets_and_drawings_are_incised_and_held_against_their_outlines() {
    for post in ["millimetres", "inches", "per-cutter"] {
        let (folder, done) = run(JOB, &["cut", "job.toml", "--post", post]);
        let told = String::from_utf8(done.stdout).unwrap();
        let error = String::from_utf8_lossy(&done.stderr);
        assert_eq!(done.status.code(), Some(0), "{post}: {error}");
        assert!(told.contains(" passed,"), "{post}: {told}");
        // The 8 and the A are wider than 2.5 mm of a 60-degree V, 2.89 mm, but by less than the
        // flat cutter; the leaf is wider by more.
        assert!(told.contains("level floors are narrower than cutter 3"), "{told}");
        assert!(told.contains("level floors cleared to 3 mm"), "{told}");
        assert!(told.contains("down to 2.5 mm on the middle of each stroke"), "{told}");
        // A bar of the fret is w = a fifth of 12 mm wide. Deepest by 90 degrees is it where a
        // hook rises from the rail: the circle on the rail's lower edge through both inner
        // corners has r² = (w/2)² + (w - r)², r = 5/8 w = 1.5 (closed form).
        assert!(told.contains("down to 1.5 mm"), "{told}");
        // Lines 2 mm wide by 60 degrees: 1 / tan 30 = 1.732 (closed form).
        assert!(told.contains("down to 1.732 mm"), "{told}");
        // What was left out of a drawing is told, with the drawing's name.
        assert!(told.contains("lines.svg: drawn twice and read once: 1"), "{told}");
        let surface = surface(&folder);
        assert!(surface["gouge"].is_null(), "{post}: {surface}");
        assert!(surface["area"].as_f64().unwrap() > 0.9 * 160.0 * 70.0, "{post}");
    }
}

#[test]
fn a_v_cut_too_deep_by_a_tenth_is_found_in_the_text() {
    let (folder, done) = run(JOB, &["cut", "job.toml", "--post", "millimetres"]);
    assert_eq!(done.status.code(), Some(0));
    let path = folder.path().join("out/board-top.nc");
    let text = std::fs::read_to_string(&path).unwrap();
    // The lines' depth, with a tenth of a millimetre more: the groove is 0.06 mm wider each side.
    assert!(text.contains("Z-1.732"), "the lines are cut at their depth");
    std::fs::write(&path, text.replace("Z-1.732", "Z-1.932")).unwrap();
    let again = Command::new(env!("CARGO_BIN_EXE_ovolo"))
        .current_dir(folder.path())
        .args(["dry-run", "out/board-top.nc", "--job", "job.toml"])
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&again.stdout);
    assert_eq!(again.status.code(), Some(1), "{said}");
    assert!(said.contains("surface-kept"), "{said}");
}

#[test]
fn without_a_v_cutter_the_user_is_told_that_nothing_is_incised() {
    let plain = JOB.replace("incise = [{ cutter = 6, clearing-cutter = 3 }, { cutter = 7 }]\n", "");
    let (_, done) = run(&plain, &["cut", "job.toml"]);
    assert_eq!(done.status.code(), Some(0));
    let told = String::from_utf8(done.stdout).unwrap();
    assert!(told.contains("incise = [{ cutter = 6 }]"), "{told}");
}

#[test]
fn without_a_flat_cutter_what_the_v_leaves_is_told() {
    let (_, done) = run(&JOB.replace(", clearing-cutter = 3", ""), &["cut", "job.toml"]);
    let told = String::from_utf8(done.stdout).unwrap();
    assert_eq!(done.status.code(), Some(0));
    assert!(told.contains("clearing-cutter"), "{told}");
}

#[test]
fn the_preview_shows_what_is_designed_what_is_cut_and_the_difference() {
    let (folder, done) = run(JOB, &["preview", "job.toml", "--width", "400"]);
    assert_eq!(done.status.code(), Some(0), "{}", String::from_utf8_lossy(&done.stderr));
    let svg = std::fs::read_to_string(folder.path().join("out/board-relief.svg")).unwrap();
    assert_eq!(svg.matches("<image ").count(), 3);
    for words in ["as designed", "text cuts it", "difference", "within 0.05", "over 1 mm stays"] {
        assert!(svg.contains(words), "{words}");
    }
}

#[test]
fn a_panels_program_alone_shows_them_too_and_its_page_holds_them() {
    let (folder, done) = run(JOB, &["cut", "job.toml", "--post", "millimetres"]);
    assert_eq!(done.status.code(), Some(0));
    let page = |more: &[&str], to: &str| {
        let done = Command::new(env!("CARGO_BIN_EXE_ovolo"))
            .current_dir(folder.path())
            .args(["preview", "out/board-top.nc", "--html", "--width", "400", "--out", to])
            .args(more)
            .output()
            .unwrap();
        assert_eq!(done.status.code(), Some(0), "{}", String::from_utf8_lossy(&done.stderr));
        let page = std::fs::read_dir(folder.path().join(to))
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .find(|path| path.extension().is_some_and(|e| e == "html"));
        std::fs::read_to_string(page.unwrap()).unwrap()
    };
    assert!(page(&["--job", "job.toml"], "shown").contains("id=\"relief\""));
    let svg = std::fs::read_to_string(folder.path().join("shown/board-relief.svg")).unwrap();
    assert_eq!(svg.matches("<image ").count(), 3);
    // Without its job nobody knows what was designed.
    assert!(!page(&[], "alone").contains("id=\"relief\""));
    assert!(!folder.path().join("alone/board-relief.svg").exists());
}

#[test]
fn many_carvings_of_one_cutter_share_a_line() {
    let more = "[[part.carving]]\ncarve = \"lettering\"\ntext = \"I\"\nat = [15, 50]\nheight = 10\ndepth = 0.5\n";
    let (_, done) = run(&format!("{JOB}\n{more}"), &["cut", "job.toml"]);
    let told = String::from_utf8(done.stdout).unwrap();
    assert_eq!(done.status.code(), Some(0), "{}", String::from_utf8_lossy(&done.stderr));
    // Lettering, lines, a leaf and the I by the 60-degree V; the I goes 0.5 mm deep, the leaf 3.
    let line = told.lines().find(|l| l.contains("carvings incised")).unwrap();
    assert!(line.contains("4 carvings incised, each in one level at most"), "{line}");
    assert!(line.contains("between 0.5 mm and "), "{line}");
    // The other cutter's fret has its own line, the only one left.
    assert_eq!(told.matches("on the middle of each stroke").count(), 1, "{told}");
}
