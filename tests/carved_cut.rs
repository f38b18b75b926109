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
name = "panel"
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

#[test]
fn roughing_without_a_finish_is_refused_once_at_its_key() {
    let (_, done) =
        cut(&JOB.replace("finish = { cutter = 5, scallop = 0.03 }\n", ""), "millimetres");
    let said = String::from_utf8(done.stderr).unwrap();
    assert_ne!(done.status.code(), Some(0));
    assert_eq!(said.matches("error:").count(), 1, "{said}");
    assert!(said.contains("part[1].rough") && said.contains("finish = {"), "{said}");
}

/// A job with a mesh, whose numbers count as `unit`, for its carving.
fn with_mesh(unit: &str, mesh: &str) -> Output {
    let carving = format!("carve = \"mesh\"\nat = [40, 30]\nfile = \"m.obj\"\nunit = \"{unit}\"\n");
    let job =
        JOB.replace("carve = \"rosette\"\nat = [40, 30]\ndiameter = 40\ndepth = 4\n", &carving);
    let folder = TempDir::new().unwrap();
    std::fs::write(folder.path().join("job.toml"), job).unwrap();
    std::fs::write(folder.path().join("m.obj"), mesh).unwrap();
    Command::new(env!("CARGO_BIN_EXE_ovolo"))
        .current_dir(folder.path())
        .args(["cut", "job.toml"])
        .output()
        .unwrap()
}

/// A pyramid of so many units across the corners, a fifth as high.
fn pyramid(wide: f64) -> String {
    let (h, z) = (0.5 * wide, 0.2 * wide);
    format!(
        "v {h} 0 0\nv 0 {h} 0\nv -{h} 0 0\nv 0 -{h} 0\nv 0 0 {z}\nf 1 2 5\nf 2 3 5\nf 3 4 5\nf 4 1 5\n"
    )
}

#[test]
fn a_mesh_in_another_unit_than_is_said_is_told() {
    // Twelve millimetres, written in metres and read in millimetres.
    let done = with_mesh("mm", &pyramid(0.012));
    let said = String::from_utf8(done.stderr).unwrap();
    assert_eq!(done.status.code(), Some(2), "{said}");
    assert!(said.contains("`part[1].carving[1]`") && said.contains("less than 0.5 mm"), "{said}");
    assert!(said.contains("`unit = \"mm\"`"), "{said}");
    // A sixtieth of a millimetre each.
    let done = with_mesh("mm", &pyramid(720.0));
    let said = String::from_utf8(done.stderr).unwrap();
    assert_eq!(done.status.code(), Some(2), "{said}");
    assert!(said.contains("9 times as large as the panel"), "{said}");
    // As it is.
    let done = with_mesh("mm", &pyramid(12.0));
    let said = String::from_utf8(done.stderr).unwrap();
    assert_eq!(done.status.code(), Some(0), "{said}");
}

#[test]
fn a_file_that_is_wrong_is_wrong_input_and_a_limit_of_the_trade_is_a_refusal() {
    let done = with_mesh("mm", "v 0 0 0\nf 1 2 3\n");
    let said = String::from_utf8(done.stderr).unwrap();
    assert_eq!(done.status.code(), Some(2), "{said}");
    assert!(said.contains("m.obj"), "{said}");
    let (_, done) = cut(&JOB.replace("depth = 4", "depth = 40"), "millimetres");
    assert_eq!(done.status.code(), Some(1));
}

fn remark<'a>(told: &'a str, words: &str) -> &'a str {
    told.lines().find(|line| line.contains(words)).unwrap_or_else(|| panic!("{words}: {told}"))
}

/// The numbers of a remark.
fn numbers(line: &str) -> Vec<f64> {
    line.split(|c: char| !c.is_ascii_digit() && c != '.').filter_map(|w| w.parse().ok()).collect()
}

fn surface(folder: &TempDir) -> serde_json::Value {
    let report = std::fs::read_to_string(folder.path().join("out/report.json")).unwrap();
    let report: serde_json::Value = serde_json::from_str(&report).unwrap();
    let programs = report["parts"][0]["programs"].as_array().unwrap();
    programs.last().unwrap()["verdict"]["surface"].clone()
}

#[test]
fn passes_may_follow_the_border_or_a_spiral() {
    for (along, words) in [("border", "along the border"), ("spiral", "in a spiral")] {
        let job = JOB.replace("scallop = 0.03", &format!("scallop = 0.1, along = \"{along}\""));
        let (folder, done) = cut(&job, "millimetres");
        let told = String::from_utf8(done.stdout).unwrap();
        assert_eq!(done.status.code(), Some(0), "{}", String::from_utf8_lossy(&done.stderr));
        assert!(told.contains(words) && told.contains(" passed,"), "{told}");
        // Nothing is gouged, and nothing that the cutter reaches is left.
        let surface = surface(&folder);
        assert!(surface["gouge"].is_null(), "{along}: {surface}");
        assert!(surface["leftover"].is_null(), "{along}: {}", surface["leftover"]);
    }
}

#[test]
fn upright_walls_are_not_cut_into() {
    // A step of 5 mm at 26 mm lies between two nodes of the grid, whatever the cutter's radius.
    for along in ["lines", "border"] {
        let wall = JOB
            .replace("{ stage = \"bevel\", width = 5, drop = 5 }", "{ stage = \"step\", drop = 5 }")
            .replace("scallop = 0.03", &format!("scallop = 0.03, along = \"{along}\""));
        let (folder, done) = cut(&wall, "millimetres");
        assert_eq!(
            done.status.code(),
            Some(0),
            "{along}: {}",
            String::from_utf8_lossy(&done.stderr)
        );
        let surface = surface(&folder);
        assert!(surface["gouge"].is_null(), "{along}: {surface}");
        // What stands too high stands in the corners: a ball of 3.2 mm leaves a fifth of its
        // radius squared in each, and the walls are met within a cell.
        let within = surface["within"].as_f64().unwrap();
        assert!(within > 0.998, "{along}: {within}");
    }
}

#[test]
fn without_roughing_the_finish_steps_down() {
    let job =
        JOB.replace("rough = { cutter = 1 }\n", "").replace("scallop = 0.03", "scallop = 0.1");
    let (folder, done) = cut(&job, "millimetres");
    let told = String::from_utf8(done.stdout).unwrap();
    assert_eq!(done.status.code(), Some(0), "{}", String::from_utf8_lossy(&done.stderr));
    assert!(told.contains(" passed,"), "{told}");
    assert!(surface(&folder)["gouge"].is_null());
}

/// A fine ball comes into hollows for which the wide cutter was too wide, and a bull-nose that can
/// not go straight down falls from forms into whole wood: neither takes more than it may.
#[test]
fn close_ornament_is_cut_by_cutters_of_any_kind() {
    let (before, _) = JOB.split_once("carve =").unwrap();
    let eggs = format!(
        "{before}carve = \"egg-and-dart\"\nat = [40, 30]\nlength = 56\nheight = 36\ndepth = 5\n"
    );
    let fine = eggs.replace("cutter = 5, scallop = 0.03", "cutter = 9, scallop = 0.2");
    let bull = JOB.replace("rough = { cutter = 1 }", "rough = { cutter = 8 }");
    for job in [fine, bull.replace("scallop = 0.03", "scallop = 0.1")] {
        let (folder, done) = cut(&job, "millimetres");
        let told = String::from_utf8(done.stdout).unwrap();
        assert_eq!(done.status.code(), Some(0), "{}", String::from_utf8_lossy(&done.stderr));
        assert!(told.contains(" passed"), "{told}");
        assert!(surface(&folder)["gouge"].is_null());
    }
}

#[test]
fn a_second_finish_no_finer_than_the_first_is_refused() {
    let two = "scallop = 0.1 }\ndetail = { cutter = 4, over = 0.3, scallop = 0.1 }";
    let (_folder, done) = cut(&JOB.replace("scallop = 0.03 }", two), "millimetres");
    let said = String::from_utf8(done.stderr).unwrap();
    assert_eq!(done.status.code(), Some(1), "{said}");
    assert!(said.contains("detail.cutter") && said.contains("no finer"), "{said}");
}

#[test]
fn a_second_finish_cuts_only_where_the_first_left_too_much() {
    let two = "scallop = 0.1 }\ndetail = { cutter = 9, over = 0.3, scallop = 0.1 }";
    let job = JOB.replace("cutter = 5, scallop = 0.03 }", &format!("cutter = 4, {two}"));
    let (folder, done) = cut(&job, "millimetres");
    let told = String::from_utf8(done.stdout).unwrap();
    assert_eq!(done.status.code(), Some(0), "{}", String::from_utf8_lossy(&done.stderr));
    assert!(told.contains(" passed,"), "{told}");
    let surface = surface(&folder);
    assert!(surface["gouge"].is_null(), "{surface}");
    // The first finish has the level field about the rosette; the second one cuts there nothing.
    let lengths: Vec<f64> = told
        .lines()
        .filter(|line| line.contains("stand for"))
        .map(|line| {
            let n = numbers(line);
            n[0] * n[n.len() - 1]
        })
        .collect();
    assert_eq!(lengths.len(), 2, "{told}");
    // Passes of the finer ball lie twice as close: all over they would be twice as long.
    assert!(lengths[1] < lengths[0], "{lengths:?}");
}

#[test]
fn strokes_are_a_fifth_of_the_grid_points_or_fewer() {
    // On the grid that a panel has without `grid`.
    let job = JOB.replace("grid = 0.2\n", "").replace("scallop = 0.03", "scallop = 0.1");
    let (folder, done) = cut(&job, "millimetres");
    let told = String::from_utf8(done.stdout).unwrap();
    let counts = numbers(remark(&told, "stand for"));
    let [strokes, arcs, points, ..] = counts[..] else { panic!("{told}") };
    assert!(points >= 5.0 * strokes, "{strokes} strokes for {points} points");
    assert!(arcs > 0.0, "arcs in the vertical planes are used");
    // What acceleration costs is told: some of the time, for passes turn round, and not all.
    let line = remark(&told, "this machine keeps the feed");
    let [feed, turn, side, corner, lost] = numbers(line)[..] else { panic!("{line}") };
    assert!(lost > 0.0 && lost < 100.0, "{lost} % of the time");
    // By hand, for the built-in machine: 200 mm/s² on z, its weakest axis, and 0.05 mm to round a
    // corner. cos(turn / 2) = k / (1 + k), k = v² / (a d); side = 2 v² / a tan(turn / 2).
    let radius = (feed / 60.0).powi(2) / 200.0;
    let half = (radius / (radius + corner)).acos();
    assert_eq!(corner, 0.05);
    assert!((turn - 2.0 * half.to_degrees()).abs() < 0.06, "{line}");
    assert!((side - 2.0 * radius * half.tan()).abs() < 0.01, "{line}");
    // The printed sheet says it too.
    let sheet = std::fs::read_to_string(folder.path().join("out/setup-sheet.html")).unwrap();
    assert!(sheet.contains("keeps the feed of"), "the sheet is silent");
}

#[test]
fn narrow_places_are_told_once_with_the_worst_of_them() {
    let job = JOB.replace("cutter = 5, scallop = 0.03", "cutter = 4, scallop = 0.1");
    let (_, done) = cut(&job, "millimetres");
    let told = String::from_utf8(done.stdout).unwrap();
    let line = remark(&told, "is narrower than the finest cutter");
    assert!(line.contains("near X") && line.contains("ovolo preview"), "{line}");
    assert_eq!(told.matches("is narrower than the finest cutter").count(), 1);
}

/// A long carving is broken off, early and late: no file is there, not even half of one, and the
/// exit status is that of an interrupt.
#[cfg(unix)]
#[test]
fn an_interrupt_leaves_no_file() {
    // Seconds of work, however quick the computer.
    let long = JOB.replace("grid = 0.2", "grid = 0.02");
    for after in [250, 700, 1500] {
        let folder = TempDir::new().unwrap();
        std::fs::write(folder.path().join("job.toml"), &long).unwrap();
        let mut child = Command::new(env!("CARGO_BIN_EXE_ovolo"))
            .current_dir(folder.path())
            .args(["cut", "job.toml"])
            .stderr(std::process::Stdio::null())
            .stdout(std::process::Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(std::time::Duration::from_millis(after));
        assert!(child.try_wait().unwrap().is_none(), "it is still at work after {after} ms");
        let pid = child.id().to_string();
        let sent = Command::new("kill").args(["-INT", &pid]).status().unwrap();
        assert!(sent.success());
        assert_eq!(child.wait().unwrap().code(), Some(130), "after {after} ms");
        let names: Vec<_> = std::fs::read_dir(folder.path())
            .unwrap()
            .map(|entry| entry.unwrap().file_name().to_string_lossy().to_string())
            .collect();
        assert_eq!(names, ["job.toml"], "after {after} ms");
    }
}

#[test]
fn a_plan_to_judge_by_differs_from_one_to_cut_by_in_its_moves_alone() {
    let shop = ovolo::shop::Shop::built_in().unwrap();
    // The second panel's rough cutter has nothing to take, for it leaves more than there is.
    for (rough, cutters) in [("", vec![1, 5, 2]), (", allowance = 9", vec![5, 2])] {
        let text =
            JOB.replace("rough = { cutter = 1 }", &format!("rough = {{ cutter = 1{rough} }}"));
        let text =
            text.replace("grid = 0.2", "grid = 0.5").replace("scallop = 0.03", "scallop = 0.1");
        let job = ovolo::job::Job::read("boss.toml", &text).unwrap();
        let whole = ovolo::cuts::plan(&job, &shop).unwrap().remove(0);
        let judged = ovolo::cuts::plan_to_judge(&job, &shop).unwrap().remove(0);
        assert!(judged.toolpath.steps.is_empty() && !whole.toolpath.steps.is_empty());
        let numbers: Vec<u32> = judged.cutters.iter().map(|(c, _)| c.number).collect();
        assert_eq!(numbers, cutters);
        assert_eq!(judged.cutters, whole.cutters);
        assert_eq!((judged.stock, &judged.outline), (whole.stock, &whole.outline));
        let (own, wanted) = (judged.surface.unwrap(), whole.surface.unwrap());
        for k in 0..6400 {
            let p = ovolo::geometry::point(20.5 + f64::from(k % 80), 20.5 + f64::from(k / 80));
            assert_eq!(own.heights()(p), wanted.heights()(p));
        }
    }
}

#[test]
fn roughing_leaves_what_the_finish_takes_in_one_pass_if_nothing_is_said() {
    let shop = ovolo::shop::Shop::built_in().unwrap();
    let left = |species: &str, finish: u32, allowance: &str| {
        let text = JOB
            .replace("yellow-poplar", species)
            .replace("rough = { cutter = 1 }", &format!("rough = {{ cutter = 1{allowance} }}"))
            .replace("finish = { cutter = 5", &format!("finish = {{ cutter = {finish}"))
            .replace("grid = 0.2", "grid = 0.5")
            .replace("scallop = 0.03", "scallop = 0.1");
        let job = ovolo::job::Job::read("boss.toml", &text).unwrap();
        let work = ovolo::cuts::plan(&job, &shop).unwrap().remove(0);
        let rough = work.remarks.iter().find(|r| r.starts_with("roughing")).unwrap();
        numbers(rough)[1]
    };
    // A quarter of the 1/16 in ball's diameter is its stepdown in white oak; 0.6 of that.
    let fine = 0.6 * 25.4 / 16.0 / 4.0;
    assert!((left("white-oak", 9, "") - fine).abs() < 1e-3, "{}", left("white-oak", 9, ""));
    assert_eq!(left("white-oak", 9, ", allowance = 0.7"), 0.7);
    assert_eq!(left("yellow-poplar", 4, ""), 0.5);
}
