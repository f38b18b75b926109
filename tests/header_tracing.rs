//! A header whose mouldings are traced or sprung, and its cut list as files.
#![allow(clippy::unwrap_used)]

use insta::assert_snapshot;
use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use tempfile::TempDir;

const MEASURED: &str =
    "height     = 42             # or, from its tracing: profile = { file = \"bed-mold.svg\" }
projection = 40
";

fn sample(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-parts").join(name)
}

/// The metric header with other words for its bed mould, beside the sample tracing.
fn folder(bed_mold: &str) -> TempDir {
    let folder = TempDir::new().unwrap();
    let text = std::fs::read_to_string(sample("door-header-metric.toml")).unwrap();
    assert!(text.contains(MEASURED));
    let text = text.replace(MEASURED, bed_mold);
    std::fs::write(folder.path().join("job.toml"), text).unwrap();
    std::fs::copy(sample("bed-mold.svg"), folder.path().join("bed-mold.svg")).unwrap();
    folder
}

fn layout(folder: &TempDir, more: &[&str]) -> Output {
    // Only where files are asked for are any written.
    let figures = if more.contains(&"--out") { None } else { Some("--figures-only") };
    Command::new(env!("CARGO_BIN_EXE_ovolo"))
        .current_dir(folder.path())
        .args(["layout", "job.toml"])
        .args(figures)
        .args(more)
        .output()
        .unwrap()
}

fn out(done: &Output) -> String {
    assert_eq!(done.status.code(), Some(0), "{}", String::from_utf8_lossy(&done.stderr));
    String::from_utf8(done.stdout.clone()).unwrap()
}

fn refused(bed_mold: &str) -> String {
    let done = layout(&folder(bed_mold), &[]);
    assert_eq!(done.status.code(), Some(2));
    String::from_utf8(done.stderr).unwrap()
}

/// A section's lines of the text, from its heading to the next blank line.
fn section(text: &str, heading: &str) -> String {
    text.lines()
        .skip_while(|line| !line.starts_with(heading))
        .take_while(|line| !line.is_empty())
        .collect::<Vec<_>>()
        .join("\n")
}

#[test]
fn a_traced_bed_mould_gives_the_header_of_its_measures() {
    let traced = layout(&folder("profile = { file = \"bed-mold.svg\" }\n"), &[]);
    let measured = layout(&folder(MEASURED), &[]);
    assert_eq!(out(&traced), out(&measured));
    assert!(traced.stderr.is_empty(), "{}", String::from_utf8_lossy(&traced.stderr));
    let traced = layout(&folder("profile = { file = \"bed-mold.svg\" }\n"), &["--json"]);
    let json: Value = serde_json::from_str(&out(&traced)).unwrap();
    let section = &json["header"]["profiles"]["bed_mold"]["section"]["vertices"];
    // The back's two corners, the bottom's end, and the arcs of the face.
    assert!(section.as_array().unwrap().len() > 8, "{section}");
}

#[test]
fn what_a_drawing_holds_besides_is_told() {
    let folder = folder("profile = { file = \"bed-mold.svg\", layer = \"section\" }\n");
    let path = folder.path().join("bed-mold.svg");
    let text = std::fs::read_to_string(&path).unwrap();
    std::fs::write(&path, text.replace("</g>", "<text>a</text></g>")).unwrap();
    let done = layout(&folder, &[]);
    out(&done);
    assert_snapshot!(String::from_utf8(done.stderr).unwrap(), @"
    warning: bed-mold.svg:5:3: left out of the drawing: `text`
      5 |   <text>a</text></g>
        |   ^
    ");
}

#[test]
fn traced_mouldings_that_cannot_be() {
    assert_snapshot!(refused("profile = { file = \"bed.svg\" }\n"), @r#"
    error: job.toml:23:1: `header.bed-mold.profile`: bed.svg: there is no such file
      23 | profile = { file = "bed.svg" }
         | ^
    "#);
    assert_snapshot!(refused("profile = { file = \"bed-mold.svg\", layer = \"cap\" }\n"), @r#"
    error: job.toml:23:44: `header.bed-mold.profile.layer`: bed-mold.svg: the drawing has no layer `cap`
      23 | profile = { file = "bed-mold.svg", layer = "cap" }
         |                                            ^
      help: it has `section`
    "#);
    assert_snapshot!(refused("profile = { file = \"bed-mold.svg\" }\nback = 3\n"), @"
    error: job.toml:24:8: `header.bed-mold.back`: the drawn section has a back of 4.000 mm
      24 | back = 3
         |        ^
      help: leave `back` out, or draw the face alone
    ");
    assert_snapshot!(refused("profile = { file = \"bed-mold.svg\" }\nheight = 3\n"), @"
    error: job.toml:24:10: `header.bed-mold.height`: the tracing already says the height
      24 | height = 3
         |          ^
      help: leave `height` out, or the tracing
    ");
    assert_snapshot!(refused("profile = { file = \"bed-mold.svg\", units = \"in\" }\n"), @r#"
    error: job.toml:18:13: `header.panel.height`: 160.00 mm (6.299 in) leaves nothing to fix the bed mould to: it is 1066.80 mm (42.000 in) high
      18 | height    = 160
         |             ^
      help: at least 1066.80 mm (42.000 in)
    error: job.toml:23:1: `header.bed-mold.profile`: 1066.80 mm (42.000 in) is more than the frieze's height
      23 | profile = { file = "bed-mold.svg", units = "in" }
         | ^
      help: at most 210.00 mm (8.267 in)
    "#);
    assert_snapshot!(refused("profile = { file = \"bed-mold.svg\", tolerance = 0 }\n"), @r#"
    error: job.toml:23:48: `header.bed-mold.profile.tolerance`: a tolerance of 0 mm is of no use
      23 | profile = { file = "bed-mold.svg", tolerance = 0 }
         |                                                ^
      help: 0.00001 to 1 mm
    "#);
}

#[test]
fn sprung_mouldings_that_cannot_be() {
    assert_snapshot!(refused("height = 42\nspring = 0\n"), @"
    error: job.toml:24:10: `header.bed-mold.spring`: a spring angle of 0.00° is no spring
      24 | spring = 0
         |          ^
      help: 1° to 89° from the wall; 38° and 45° are usual
    ");
    assert_snapshot!(refused("height = 42\nprojection = 40\nspring = 38\n"), @"
    error: job.toml:25:10: `header.bed-mold.spring`: 38.00° does not fit: its height and projection make 43.60°
      25 | spring = 38
         |          ^
      help: the angle is from the wall, not the ceiling; or leave one of the three out
    ");
    assert_snapshot!(refused("profile = { file = \"bed-mold.svg\" }\nsprung = true\n"), @"
    error: job.toml:24:10: `header.bed-mold.sprung`: a profile that lies flat does not say its angle
      24 | sprung = true
         |          ^
      help: give the angle between its back and the wall as `spring`
    ");
    assert_snapshot!(refused("height = 42\nsprung = true\n"), @"
    error: job.toml:24:10: `header.bed-mold.sprung`: no angle without both of `height` and `projection`
      24 | sprung = true
         |          ^
      help: give them, or the angle as `spring`
    ");
}

fn measures(bed_mold: &str) -> (f64, f64, Value) {
    let text = out(&layout(&folder(bed_mold), &["--json"]));
    let all: Value = serde_json::from_str(&text).unwrap();
    let bed = &all["header"]["layout"]["header"]["bed_mold"];
    let number = |value: &Value| value.as_f64().unwrap();
    (number(&bed["height"]), number(&bed["projection"]), all["header"]["sprung"][0].clone())
}

/// Closed form: a flat board w wide and t thick leaning by S from the wall is w cos S + t sin S
/// high and w sin S + t cos S out.
#[test]
fn a_sprung_profile_lies_flat_and_its_height_and_projection_follow() {
    let (w, t, angle) = (50.0, 9.0, 38.0_f64);
    let (sin, cos) = angle.to_radians().sin_cos();
    let near = |got: f64, want: f64| assert!((got - want).abs() < 1e-9, "{got} is not {want}");
    let board = format!("element = [{{ kind = \"fascia\", height = {w} }}]\nback = {t}\n");
    let (height, out, sprung) = measures(&format!("{board}spring = {angle}\n"));
    near(height, w * cos + t * sin);
    near(out, w * sin + t * cos);
    near(sprung["width"].as_f64().unwrap(), w);
    let saw = &sprung["corners"][0]["saw"];
    // Printed in saw guides for 38 degrees: 31.62 and 33.86.
    assert!((saw["mitre"].as_f64().unwrap().to_degrees() - 31.62).abs() < 0.005);
    assert!((saw["bevel"].as_f64().unwrap().to_degrees() - 33.86).abs() < 0.005);
    // Two boards, one on the other, the upper 4 thicker: its front corner stands out the most.
    let two = format!(
        "element = [{{ kind = \"fascia\", height = 30 }}, \
         {{ kind = \"fascia\", height = 20, projection = 4 }}]\nback = {t}\nspring = {angle}\n"
    );
    let (height, out, _) = measures(&two);
    near(out, w * sin + (t + 4.0) * cos);
    near(height, w * cos + f64::max(t * sin, (t + 4.0) * sin - 30.0 * cos));
}

/// The sample section as drawn: 42 high, its back 4 behind. Its own outline, point by point, is
/// what turns.
#[test]
fn a_sprung_tracing_is_turned_whole() {
    let upright = measures("profile = { file = \"bed-mold.svg\" }\n");
    let (height, out, sprung) = measures("profile = { file = \"bed-mold.svg\" }\nspring = 45\n");
    assert!((sprung["width"].as_f64().unwrap() - upright.0).abs() < 1e-9);
    // At 45 degrees no section is higher or farther out than (w + t) / sqrt 2, nor less than w.
    let most = (upright.0 + upright.1) / 2.0_f64.sqrt();
    let least = upright.0 / 2.0_f64.sqrt();
    assert!(height <= most + 1e-9 && out <= most + 1e-9, "{height} {out} {most}");
    assert!(height >= least - 1e-9 && out >= least - 1e-9, "{height} {out} {least}");
}

#[test]
fn a_sprung_bed_mould_has_compound_mitres() {
    // 38 degrees round a corner of 90: saw guides print 31.62 and 33.86 (closed form
    // atan(sin S / tan(W/2)), asin(cos S cos(W/2))).
    let text = out(&layout(&folder("height = 42\nspring = 38\n"), &[]));
    assert_snapshot!(section(&text, "Compound mitres"), @"
    Compound mitres, bed mould
      spring angle           38.00° from the wall, 52.00° from the cap
      width across its back  53.3 mm (2 3/32+ in)
      corner   between the faces   mitre   bevel
      outside             90.00°  31.62°  33.86°
      inside              90.00°  31.62°  33.86°
      The saw's table turned by the mitre and its blade tilted by the bevel, off square, the moulding
      flat on its back. Try both on scrap: an error of half a degree shows.
    ");
    // 45 from height and projection alone: 35.26 and 30.00.
    let text = out(&layout(&folder("height = 40\nprojection = 40\nsprung = true\n"), &[]));
    assert_snapshot!(section(&text, "Compound mitres"), @"
    Compound mitres, bed mould
      spring angle           45.00° from the wall, 45.00° from the cap
      width across its back  56.57 mm (2 7/32+ in)
      corner   between the faces   mitre   bevel
      outside             90.00°  35.26°  30.00°
      inside              90.00°  35.26°  30.00°
      The saw's table turned by the mitre and its blade tilted by the bevel, off square, the moulding
      flat on its back. Try both on scrap: an error of half a degree shows.
    ");
}

/// Lines of cells; the table's own quoting undone.
fn cells(csv: &str) -> Vec<Vec<String>> {
    let mut rows = Vec::new();
    for line in csv.split_terminator("\r\n") {
        let (mut row, mut cell, mut quoted) = (Vec::new(), String::new(), false);
        let mut chars = line.chars().peekable();
        while let Some(c) = chars.next() {
            match c {
                '"' if quoted && chars.peek() == Some(&'"') => {
                    cell.push('"');
                    chars.next();
                }
                '"' => quoted = !quoted,
                ',' if !quoted => row.push(std::mem::take(&mut cell)),
                c => cell.push(c),
            }
        }
        row.push(cell);
        rows.push(row);
    }
    rows
}

#[test]
fn the_cut_list_as_files() {
    let folder = folder("height = 42\nspring = 38\n");
    out(&layout(&folder, &["--out", "lists"]));
    let read =
        |name: &str| std::fs::read_to_string(folder.path().join("lists").join(name)).unwrap();
    let rows = cells(&read("cut-list.csv"));
    assert!(rows.iter().all(|row| row.len() == rows[0].len()));
    let at = |row: &[String], column: &str| {
        row[rows[0].iter().position(|c| c == column).unwrap()].clone()
    };
    let named = |name: &str| rows.iter().find(|row| row[1] == name).unwrap().clone();
    // 990 between the casings less two reveals of 5; cut square, a little under 38 19/32 in.
    let frieze = named("frieze back");
    assert_eq!(at(&frieze, "long point mm"), "980");
    assert_eq!(at(&frieze, "long point in"), "38 19/32- in");
    assert_eq!(
        (at(&frieze, "left joint"), at(&frieze, "left mitre deg")),
        ("square".into(), "0".into())
    );
    // The end return: 20 mm of frieze along its back, the projection more along its face.
    let projection = 42.0 * 38f64.to_radians().tan();
    let back = named("bed mould, left end return");
    assert_eq!(at(&back, "short point mm"), "20");
    assert_eq!(
        at(&back, "long point mm"),
        format!("{}", (1e3 * (20.0 + projection)).round() / 1e3)
    );
    assert_eq!(at(&back, "right mitre deg"), "31.619");
    assert_eq!(at(&back, "right bevel deg"), "33.863");
    assert_eq!(at(&back, "short"), "yes");
    assert!(at(&back, "notes").contains("no fingers within"));
    assert_eq!(at(&back, "stick"), "1");
    // What the sticks lose: all that is not piece.
    let nesting = named("bed mould sticks");
    let pieces: f64 = rows
        .iter()
        .filter(|row| at(row, "from") == "bed mould stick")
        .map(|row| at(row, "stock mm").parse::<f64>().unwrap())
        .sum();
    let waste = at(&nesting, "stock mm").parse::<f64>().unwrap() - pieces;
    let notes = at(&nesting, "notes");
    let said: f64 = notes.split_whitespace().nth(1).unwrap().parse().unwrap();
    assert!((said - waste).abs() < 0.01, "{notes} {waste}");
    assert!(notes.ends_with("no nesting uses less"), "{notes}");

    let json: Value = serde_json::from_str(&read("cut-list.json")).unwrap();
    let pieces = json["pieces"].as_array().unwrap();
    assert_eq!(pieces.len(), rows.iter().filter(|row| row[0] == "piece").count());
    for piece in pieces {
        let row = named(piece["name"].as_str().unwrap());
        assert_eq!(piece["mm"]["stock"].to_string().trim_end_matches(".0"), at(&row, "stock mm"));
        assert_eq!(
            piece["right"]["bevel"].to_string().trim_end_matches(".0"),
            at(&row, "right bevel deg")
        );
    }
    assert_eq!(json["nesting"][0]["exact"], true);
    assert_eq!(json["sprung"][0]["corners"].as_array().unwrap().len(), 2);
}

#[test]
fn the_same_job_gives_the_same_lists() {
    let folder = folder(MEASURED);
    let lists = || {
        out(&layout(&folder, &["--out", "lists"]));
        ["cut-list.csv", "cut-list.json"]
            .map(|name| std::fs::read(folder.path().join("lists").join(name)).unwrap())
    };
    assert_eq!(lists(), lists());
}

#[test]
fn there_is_no_list_without_a_header() {
    let folder = TempDir::new().unwrap();
    std::fs::copy(sample("arched-cap.toml"), folder.path().join("job.toml")).unwrap();
    let done = layout(&folder, &["--out", "lists"]);
    assert_eq!(done.status.code(), Some(0));
    assert!(folder.path().join("lists").exists());
    assert!(!folder.path().join("lists/cut-list.csv").exists());
}
