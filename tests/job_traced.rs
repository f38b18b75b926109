//! A part of a drawn outline: the whole binary, all post-processors, and complaints.
#![allow(clippy::unwrap_used)]

use insta::assert_snapshot;
use std::path::Path;
use std::process::{Command, Output};
use tempfile::TempDir;

const SAMPLE: &str = include_str!("../sample-parts/bracket.toml");
const DRAWING: &str = include_str!("../sample-parts/bracket.svg");

fn folder(job: &str, drawing: &str) -> TempDir {
    let folder = TempDir::new().unwrap();
    std::fs::write(folder.path().join("job.toml"), job).unwrap();
    std::fs::write(folder.path().join("bracket.svg"), drawing).unwrap();
    folder
}

fn ovolo(folder: &TempDir, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_ovolo"))
        .current_dir(folder.path())
        .args(args)
        .output()
        .unwrap()
}

#[test]
fn it_is_cut_and_passes_the_dry_run_with_every_post_processor() {
    let folder = folder(SAMPLE, DRAWING);
    let posts = Path::new(env!("CARGO_MANIFEST_DIR")).join("post-processors");
    let mut count = 0;
    for post in std::fs::read_dir(posts).unwrap() {
        let post = post.unwrap().path();
        let name = post.file_stem().unwrap().to_str().unwrap().to_string();
        let done = ovolo(&folder, &["cut", "job.toml", "--post", &name, "--out", &name]);
        let said = String::from_utf8_lossy(&done.stderr).into_owned();
        assert_eq!(done.status.code(), Some(0), "{name}: {said}");
        assert!(!said.contains("warning"), "{said}");
        count += 1;
    }
    assert!(count >= 8, "{count} post-processors");
}

#[test]
fn its_figures_are_told() {
    let done = ovolo(&folder(SAMPLE, DRAWING), &["layout", "job.toml"]);
    let text = String::from_utf8(done.stdout).unwrap();
    // By hand: 6 3/4 by 5, the drawing's outermost lines.
    assert!(text.contains("length      6 3/4 in (171.45 mm)"), "{text}");
    assert!(text.contains("width       5 in (127 mm)"), "{text}");
}

#[test]
fn drawings_that_cannot_be_cut() {
    let said = |job: &str, drawing: &str| {
        let done = ovolo(&folder(job, drawing), &["cut", "job.toml"]);
        assert_eq!(done.status.code(), Some(2));
        String::from_utf8(done.stderr).unwrap()
    };
    assert_snapshot!(said(&SAMPLE.replace("\"bracket.svg\"", "\"braket.svg\""), DRAWING), @r#"
    error: job.toml:10:9: `part[1].file`: braket.svg: there is no such file
      10 | file  = "braket.svg"     # beside this file; SVG or DXF
         |         ^
    "#);
    assert_snapshot!(said(&SAMPLE.replace("\"outline\"", "\"part\""), DRAWING), @r#"
    error: job.toml:11:9: `part[1].layer`: bracket.svg: the drawing has no layer `part`
      11 | layer = "part"         # an SVG group's id or label, a DXF's layer; everything without it
         |         ^
      help: it has `outline`
    "#);
    assert_snapshot!(said(SAMPLE, &DRAWING.replace("</g>", "<circle cx=\"1\" cy=\"1\" r=\".2\"/></g>")), @r#"
    error: job.toml:10:9: `part[1].file`: a part has one outline, and 2 are drawn
      10 | file  = "bracket.svg"     # beside this file; SVG or DXF
         |         ^
      help: put the part's outline on a layer of its own, and name that as `layer`
    "#);
    assert_snapshot!(said(SAMPLE, &DRAWING.replace(" H0.5 Z", " H0.6")), @r#"
    error: bracket.svg:4:5: `part[1].file`: the outline is open: a gap of 127.025 mm between (12.700, 139.700) and (15.240, 12.700) mm
      4 |     <path d="M0.5 0.5 H7.25 V1.25 C5.5 1.25 5.25 2 4.25 2.25 S2.25 3 2 5.5 H0.6"/>
        |     ^
      help: close it in the drawing program; gaps up to 0.01 mm close by themselves
    "#);
    assert_snapshot!(said(&SAMPLE.replace("length    = 10", "length    = 6"), DRAWING), @"
    error: job.toml:14:13: `stock.length`: the part is 6 3/4 in (171.45 mm) long, the stock only 6 in (152.4 mm)
      14 | length    = 6
         |             ^
      help: a length of at least 6 3/4 in (171.45 mm) works, and more if a cutter must pass beside the part
    ");
}
