//! The binary as people run it: exit codes, what is printed, what is written and what is not.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use tempfile::TempDir;

fn ovolo(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_ovolo"))
        .current_dir(folder)
        .args(args)
        .output()
        .expect("the binary starts")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("output is UTF-8")
}

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn sample() -> String {
    root().join("sample-parts/arched-cap.toml").display().to_string()
}

fn names(folder: &Path) -> Vec<String> {
    let mut all: Vec<String> = std::fs::read_dir(folder)
        .map(|d| {
            d.filter_map(Result::ok).map(|e| e.file_name().to_string_lossy().to_string()).collect()
        })
        .unwrap_or_default();
    all.sort();
    all
}

#[test]
fn the_main_job_writes_program_picture_sheet_and_report() {
    let here = TempDir::new().expect("folder");
    let done = ovolo(here.path(), &["cut", &sample()]);
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    let out = here.path().join("out");
    assert_eq!(
        names(&out),
        ["arched-cap-top.nc", "arched-cap.svg", "report.json", "setup-sheet.html"]
    );
    let program = std::fs::read(out.join("arched-cap-top.nc")).expect("program");
    let hash = {
        use sha2::Digest;
        sha2::Sha256::digest(&program).iter().map(|b| format!("{b:02x}")).collect::<String>()
    };
    // README shows the picture that is kept beside the sample.
    let [drawn, kept] = [out.join("arched-cap.svg"), root().join("sample-parts/arched-cap.svg")]
        .map(|path| std::fs::read(path).expect("picture"));
    assert!(drawn == kept, "sample-parts/arched-cap.svg is not what `ovolo cut` draws");
    let sheet = std::fs::read_to_string(out.join("setup-sheet.html")).expect("sheet");
    assert!(sheet.contains(&hash[..12]), "the sheet carries the start of the program's hash");
    assert!(text(&done.stdout).contains("passed"), "{}", text(&done.stdout));
    let report: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(out.join("report.json")).expect("report"))
            .expect("JSON");
    assert_eq!(report["parts"][0]["programs"][0]["sha256"], hash.as_str());
    // What was written is accepted when it is read again from its file.
    let again = ovolo(here.path(), &["dry-run", "out/arched-cap-top.nc", "--job", &sample()]);
    assert_eq!(again.status.code(), Some(0), "{}", text(&again.stdout));
}

#[test]
fn the_same_job_gives_the_same_bytes() {
    let here = TempDir::new().expect("folder");
    for out in ["a", "b"] {
        let done = ovolo(here.path(), &["cut", &sample(), "--out", out]);
        assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    }
    for name in names(&here.path().join("a")) {
        let [a, b] =
            ["a", "b"].map(|f| std::fs::read(here.path().join(f).join(&name)).expect("file"));
        assert!(a == b, "{name} differs");
    }
}

#[test]
fn every_broken_job_is_told_what_is_wrong_and_writes_no_program() {
    let folder = root().join("tests/job/bad");
    let files = names(&folder);
    assert!(files.len() >= 60, "{} broken job files", files.len());
    for name in files {
        let file = folder.join(&name);
        let content = std::fs::read_to_string(&file).expect("readable");
        let expected: Vec<&str> =
            content.lines().filter_map(|l| l.strip_prefix("# error: ")).collect();
        assert!(!expected.is_empty(), "{name} says no message");
        let here = TempDir::new().expect("folder");
        let done = ovolo(here.path(), &["cut", &file.display().to_string()]);
        // The excerpts quote the file, and so could quote the words that are asked for.
        let excerpt = |l: &str| {
            l.trim_start_matches([' ', '0', '1', '2', '3', '4', '5', '6', '7', '8', '9'])
                .starts_with('|')
        };
        let said = text(&done.stderr);
        let said: String = said.lines().filter(|l| !excerpt(l)).map(|l| format!("{l}\n")).collect();
        assert!(matches!(done.status.code(), Some(1 | 2)), "{name}: {:?}\n{said}", done.status);
        for words in expected {
            assert!(said.contains(words), "{name} must say `{words}`:\n{said}");
        }
        assert!(done.stdout.is_empty(), "{name}: {}", text(&done.stdout));
        let written = names(&here.path().join("out"));
        assert!(written.iter().all(|n| n.ends_with(".refused.txt")), "{name} wrote {written:?}");
    }
}

#[test]
fn every_dialect_cuts_the_sample_and_its_text_passes_again() {
    let here = TempDir::new().expect("folder");
    let dialects = names(&root().join("post-processors"));
    assert!(dialects.len() >= 7, "{dialects:?}");
    for file in dialects {
        let name = file.trim_end_matches(".toml");
        let done = ovolo(here.path(), &["cut", &sample(), "--post", name, "--out", name]);
        assert_eq!(done.status.code(), Some(0), "{name}: {}", text(&done.stderr));
        let programs: Vec<String> = names(&here.path().join(name))
            .into_iter()
            .filter(|n| n.starts_with("arched-cap-top"))
            .collect();
        assert!(!programs.is_empty(), "{name} wrote no program");
        for program in programs {
            let path = format!("{name}/{program}");
            let again = ovolo(here.path(), &["dry-run", &path, "--job", &sample()]);
            assert_eq!(again.status.code(), Some(0), "{path}: {}", text(&again.stdout));
        }
    }
}

#[test]
fn starters_are_written_once_and_can_be_used_at_once() {
    let here = TempDir::new().expect("folder");
    let jobs = ["header", "cap", "board", "moulding", "panel"];
    for kind in ["shop"].iter().chain(&jobs) {
        let done = ovolo(here.path(), &["new", kind]);
        assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
        let again = ovolo(here.path(), &["new", kind]);
        assert_eq!(again.status.code(), Some(2));
        assert!(text(&again.stderr).contains("is there already"));
    }
    for kind in jobs {
        let done = ovolo(here.path(), &["layout", &format!("{kind}.toml"), "--shop", "shop.toml"]);
        assert_eq!(done.status.code(), Some(0), "{kind}: {}", text(&done.stderr));
    }
    let done = ovolo(here.path(), &["cut", "cap.toml", "--shop", "shop.toml"]);
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    let feeds = ovolo(here.path(), &["feeds", "--shop", "shop.toml", "--species", "white-oak"]);
    assert_eq!(feeds.status.code(), Some(0), "{}", text(&feeds.stderr));
    assert!(text(&feeds.stdout).contains("white-oak"));
}

#[test]
fn a_stepdown_for_one_species_is_one_line() {
    let here = TempDir::new().expect("folder");
    assert_eq!(ovolo(here.path(), &["new", "shop"]).status.code(), Some(0));
    let shop = std::fs::read_to_string(here.path().join("shop.toml")).expect("shop");
    let line = "species.yellow-poplar.stepdown = \"2 mm\"\n";
    // A dotted key stands before the first table of the file.
    let at = shop.find("\n[").map_or(0, |i| i + 1);
    let changed = format!("{}{line}{}", &shop[..at], &shop[at..]);
    std::fs::write(here.path().join("mine.toml"), changed).expect("written");
    let row = |species: &str, shop: &str| {
        let args = ["feeds", "--species", species, "--cutter", "1", "--json", "--shop", shop];
        let done = ovolo(here.path(), &args);
        assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
        serde_json::from_str::<serde_json::Value>(&text(&done.stdout)).expect("JSON")[0].clone()
    };
    let poplar = row("yellow-poplar", "mine.toml");
    assert_eq!(poplar["stepdown"]["value"], 2.0);
    assert!(poplar["stepdown"]["by"].as_str().expect("words").contains("shop"));
    assert_eq!(row("white-oak", "mine.toml"), row("white-oak", "shop.toml"));
}

#[test]
fn a_thick_board_is_gone_round_by_a_cutter_that_reaches_and_says_so() {
    let here = TempDir::new().expect("folder");
    let job = std::fs::read_to_string(sample()).expect("sample");
    let named = "cutter    = 1               # the shop's 1/4 in flat cutter\n";
    assert!(job.contains(named));
    // Clear of the thicker cutter too.
    let thick = job
        .replace("thickness = \"3/4\"", "thickness = \"1 1/16\"")
        .replace("[\"5/8\", \"1\"]", "[\"3/8\", \"1\"]")
        .replace("[\"43 3/8\", \"1\"]", "[\"43 5/8\", \"1\"]");
    std::fs::write(here.path().join("named.toml"), &thick).expect("written");
    std::fs::write(here.path().join("open.toml"), thick.replace(named, "")).expect("written");
    std::fs::write(here.path().join("thin.toml"), job.replace(named, "")).expect("written");

    // Cutter 1 has flutes of 1 in: asked for, it is refused.
    let done = ovolo(here.path(), &["cut", "named.toml", "--out", "named"]);
    assert_eq!(done.status.code(), Some(1), "{}", text(&done.stdout));
    assert!(text(&done.stderr).contains("the flutes of cutter 1"), "{}", text(&done.stderr));

    let done = ovolo(here.path(), &["cut", "open.toml", "--out", "open"]);
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    let told = "the narrowest that reaches 1 3/32- in (27.38 mm) down is cutter 2";
    assert!(text(&done.stdout).contains(told), "{}", text(&done.stdout));
    let program = std::fs::read_to_string(here.path().join("open/arched-cap-top.nc"));
    let program = program.expect("program");
    assert!(program.contains("T2 M6") || program.contains("T2\n"), "{program}");

    // Where the usual cutter reaches it stays, and nothing is said.
    let done = ovolo(here.path(), &["cut", "thin.toml", "--out", "thin"]);
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    assert!(!text(&done.stdout).contains("No cutter is named"), "{}", text(&done.stdout));
}

#[test]
fn figures_and_schemas_are_printed() {
    let here = TempDir::new().expect("folder");
    let done = ovolo(here.path(), &["layout", &sample()]);
    assert_eq!(done.status.code(), Some(0));
    let said = text(&done.stdout);
    for words in ["radius", "mitre of a straight return", "back to arc", "41 5/8 in"] {
        assert!(said.contains(words), "{words}: {said}");
    }
    for kind in ["job", "shop", "post", "verdict"] {
        let done = ovolo(here.path(), &["schema", kind]);
        assert_eq!(done.status.code(), Some(0));
        let schema: serde_json::Value = serde_json::from_str(&text(&done.stdout)).expect("JSON");
        assert!(schema["properties"].is_object(), "{kind}");
    }
}

#[test]
fn a_preview_prints_extents_and_draws() {
    let here = TempDir::new().expect("folder");
    let done = ovolo(here.path(), &["preview", &sample()]);
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    let out = here.path().join("out");
    let png = std::fs::read(out.join("arched-cap.png")).expect("picture");
    assert_eq!(&png[1..4], b"PNG");
    let svg = std::fs::read_to_string(out.join("arched-cap.svg")).expect("picture");
    assert!(svg.starts_with("<?xml") || svg.starts_with("<svg"));
}

#[test]
fn a_missing_file_and_a_wrong_option_exit_with_two() {
    let here = TempDir::new().expect("folder");
    let done = ovolo(here.path(), &["cut", "nowhere.toml"]);
    assert_eq!(done.status.code(), Some(2));
    assert!(text(&done.stderr).contains("nowhere.toml: there is no such file"));
    assert_eq!(ovolo(here.path(), &["cut", "--sideways"]).status.code(), Some(2));
    let done = ovolo(here.path(), &["cut", &sample(), "--post", "milimetres"]);
    assert_eq!(done.status.code(), Some(2));
    assert!(text(&done.stderr).contains("millimetres"), "{}", text(&done.stderr));
}

#[cfg(unix)]
#[test]
fn a_disk_that_fails_exits_with_three_and_leaves_old_files_alone() {
    let here = TempDir::new().expect("folder");
    std::fs::write(here.path().join("out"), "a file, not a folder").expect("written");
    let done = ovolo(here.path(), &["cut", &sample()]);
    assert_eq!(done.status.code(), Some(3), "{}", text(&done.stderr));
    let kept = std::fs::read_to_string(here.path().join("out")).expect("still there");
    assert_eq!(kept, "a file, not a folder");
}

/// A program of one face under another file name is judged when its face is named.
#[test]
fn a_program_of_one_face_is_found_by_the_name_of_part_and_face() {
    let temp = TempDir::new().expect("a folder");
    let folder = temp.path();
    let job = "title = \"shelf\"\nunits = \"mm\"\nspecies = \"yellow-poplar\"\n\
        stock = { length = 220, width = 120, thickness = 19 }\n\
        hold = { tabs = { count = 2, width = 12, height = 3 } }\n\
        [[part]]\nkind = \"board\"\nname = \"shelf\"\nlength = 150\nwidth = 80\n\
        [[part.groove]]\nface = \"bottom\"\nfrom = [20, 60]\nto = [130, 60]\nwidth = 6.35\ndepth = 3\ncutter = 1\n\
        [part.flip]\naxis = \"x\"\n";
    std::fs::write(folder.join("shelf.toml"), job).expect("written");
    assert_eq!(ovolo(folder, &["cut", "shelf.toml", "--out", "out"]).status.code(), Some(0));
    std::fs::copy(folder.join("out/shelf-bottom.nc"), folder.join("copy.nc")).expect("copied");
    let judged = |more: &[&str]| {
        let args = [&["dry-run", "copy.nc", "--job", "shelf.toml"], more].concat();
        ovolo(folder, &args)
    };
    assert_eq!(judged(&["--part", "shelf-bottom"]).status.code(), Some(0));
    for more in [&[][..], &["--part", "shelf"]] {
        let unclear = judged(more);
        assert_eq!(unclear.status.code(), Some(2));
        assert!(text(&unclear.stderr).contains("shelf-bottom, shelf-top"), "{unclear:?}");
    }
    // Its own name says it.
    let own = ovolo(folder, &["dry-run", "out/shelf-bottom.nc", "--job", "shelf.toml"]);
    assert_eq!(own.status.code(), Some(0));
}
