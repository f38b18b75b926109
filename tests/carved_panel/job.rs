//! The panel in the job file: the samples, and what is said of wrong values.

use ovolo::diagnostic::Failure;
use ovolo::geometry::overlap;
use ovolo::job::{Job, Shape};
use ovolo::part::{Panel, Strokes};
use std::path::Path;

const CARVED: &str = include_str!("../../sample-parts/carved-panel.toml");
const INCISED: &str = include_str!("../../sample-parts/incised-panel.toml");

fn panel(text: &str) -> (Job, Panel) {
    let job = Job::read("panel.toml", text).unwrap_or_else(|e| panic!("{e}"));
    let Shape::Panel(panel) = job.parts[0].shape.clone() else { panic!("no panel") };
    (job, panel)
}

#[test]
fn the_sample_panels_can_be_in_their_boards() {
    for (text, deepest) in [(CARVED, 6.35), (INCISED, 3.175 + 4.7625)] {
        let (job, panel) = panel(text);
        let carved = panel.carved(Path::new("")).unwrap();
        let field = carved.designed().sample(1.0, &|_| {}).unwrap();
        let problems = panel.height_problems(&carved, &field, 25.4, "part[1]", job.shown);
        assert!(problems.is_empty(), "{problems:?}");
        let low = (0..field.rows()).flat_map(|j| field.row(j)).fold(0.0_f32, |a, b| a.min(*b));
        assert!(f64::from(low) < -2.5 && f64::from(low) >= -deepest - 1e-6, "{low}");
        // The field is carved: not one level.
        let middle = field.row(field.rows() / 2);
        assert!(middle.windows(2).filter(|w| w[0] != w[1]).count() > 50);
    }
}

fn wrong(text: &str) -> String {
    match Job::read("panel.toml", text) {
        Err(Failure::Input(all)) => all.iter().map(|d| format!("{d}\n")).collect(),
        other => panic!("{other:?}"),
    }
}

#[test]
fn wrong_values_are_answered_with_key_range_and_way_out() {
    let cases = [
        ("span  = \"15 1/2\"", "span = \"-1\"", ["part[1].carving[1].span", "more than zero"]),
        ("petals   = 8", "petals = 1", ["part[1].carving[2].petals", "at least 3"]),
        ("carve    = \"rosette\"", "carve = \"rosete\"", ["carve", "did you mean `rosette`"]),
        ("width = \"3/8\" }", "width = \"5\" }", ["part[1].border", "less than half"]),
        ("whorls   = 2", "set-in = 1\nblend = 1", ["part[1].carving[2].blend", "leave one out"]),
        (
            "whorls   = 2",
            "repeat = { along = \"line\", count = 0, step = [1, 1] }",
            ["count", "at least 1"],
        ),
        (
            "whorls   = 2",
            "repeat = { along = \"line\", count = 3, step = [0, 0] }",
            ["part[1].carving[2].repeat.step", "other than 0"],
        ),
        (
            "whorls   = 2",
            "repeat = { along = \"curve\", count = 3, through = [[1, 1], [1, 1], [2, 3]] }",
            ["part[1].carving[2].repeat.through", "points that differ"],
        ),
        (
            "[[part.carving]]",
            "[[part.carving]]\ncarve = \"cushion\"\nfile = \"a.svg\"\ndepth = 1\nover = 0\n[[part.carving]]",
            ["part[1].carving[1].over", "more than zero"],
        ),
        ("width  = \"8\"", "width = \"8\"\ngrid = 0.00001", ["part[1].grid", "0.01 mm"]),
        ("width  = \"8\"", "width = \"8\"\ngrid = 9", ["part[1].grid", "(0.01 mm) to"]),
    ];
    for (good, bad, said) in cases {
        assert!(CARVED.contains(good), "{good}");
        let answer = wrong(&CARVED.replacen(good, bad, 1));
        for word in said {
            assert!(answer.contains(word), "{bad}: {answer}");
        }
        assert!(answer.contains("panel.toml:"), "{answer}");
    }
}

#[test]
fn a_relief_above_the_face_or_through_the_board_is_refused() {
    let (job, high) = panel(&CARVED.replace("depth    = \"1/4\"", "depth = \"1\""));
    let carved = high.carved(Path::new("")).unwrap();
    let field = carved.designed().sample(1.0, &|_| {}).unwrap();
    let said = &high.height_problems(&carved, &field, 25.4, "part[1]", job.shown)[0];
    assert!(said.message.contains("above the board's face at X "), "{said}");
    // The rosette, of a festoon and a rosette, and nothing to do with the border.
    assert_eq!(said.key.as_deref(), Some("part[1].carving[2]"));
    assert!(said.help.as_deref().unwrap().contains("sink the field"), "{said}");
    let said = &high.height_problems(&carved, &field, 6.0, "part[1]", job.shown)[1];
    assert!(said.message.contains("deep in a board"), "{said}");
}

#[test]
fn a_carving_that_runs_over_the_border_is_named_with_the_way_out() {
    let (job, over) = panel(&CARVED.replace("[\"3 3/8\", \"4\"]", "[\"3 3/8\", \"2\"]"));
    let carved = over.carved(Path::new("")).unwrap();
    let field = carved.designed().sample(1.0, &|_| {}).unwrap();
    let said = over.height_problems(&carved, &field, 25.4, "part[1]", job.shown);
    assert_eq!(said.len(), 1);
    assert_eq!(said[0].key.as_deref(), Some("part[1].carving[2]"));
    assert!(said[0].help.as_deref().unwrap().contains("over the border"), "{}", said[0]);
}

#[test]
fn a_file_that_is_not_there_is_named_at_its_key() {
    let mesh = "\n[[part.carving]]\ncarve = \"mesh\"\nfile = \"lion.stl\"\n";
    let (_, panel) = panel(&format!("{CARVED}{mesh}"));
    let wrong = panel.relief(Path::new("no-such-folder")).unwrap_err();
    assert_eq!(wrong[0].key.as_deref(), Some("part[1].carving[3].file"));
    assert!(wrong[0].message.contains("lion.stl"), "{}", wrong[0].message);
}

/// What is said of one more carving, with these files beside the job.
fn said_of(carving: &str, files: &[(&str, &str)]) -> String {
    let folder = tempfile::TempDir::new().unwrap();
    for (name, text) in files {
        std::fs::write(folder.path().join(name), text).unwrap();
    }
    let (_, panel) = panel(&format!("{CARVED}\n[[part.carving]]\n{carving}\n"));
    let wrong = panel.carved(folder.path()).unwrap_err();
    wrong.iter().map(|d| format!("{d}\n")).collect()
}

#[test]
fn broken_files_and_empty_places_are_answered_with_key_and_way_out() {
    let triangle = |a: &str, b: &str, c: &str| {
        let corners = [a, b, c].map(|p| format!("vertex {p}\n")).concat();
        format!("solid x\nfacet normal 0 0 1\nouter loop\n{corners}endloop\nendfacet\nendsolid x\n")
    };
    let mesh = "carve = \"mesh\"\nfile = \"a.stl\"\nfit = [2, 2]";
    let good = triangle("0 0 0", "10 0 2", "0 10 1");
    let cases = [
        (
            mesh.to_string(),
            vec![("a.stl", triangle("0 0 0", "0 NaN 1", "0 1 1"))],
            ["carving[3].file", "line 5: `NaN`", "mend the mesh"],
        ),
        (
            mesh.to_string(),
            vec![("a.stl", triangle("1 1 1", "1 1 1", "1 1 1"))],
            ["carving[3].file", "in one place", "save it again"],
        ),
        (
            format!("{mesh}\ncrop = [0.5, 0, 0.5, 0]"),
            vec![("a.stl", good.clone())],
            ["carving[3].crop", "nothing is left", "less than 1"],
        ),
        (
            format!("{mesh}\nat = [40, 4]"),
            vec![("a.stl", good)],
            ["carving[3].at", "off the panel", "give a place on the panel"],
        ),
        (
            "carve = \"lettering\"\ntext = \"A\"\nheight = 1\ndepth = 0.1\nfont = \"a.ttf\""
                .to_string(),
            vec![("a.ttf", "no font".to_string())],
            ["carving[3].font", "no font that can be read", "leave `font` out"],
        ),
    ];
    for (carving, files, words) in cases {
        let files: Vec<(&str, &str)> = files.iter().map(|(n, t)| (*n, t.as_str())).collect();
        let said = said_of(&carving, &files);
        for word in words {
            assert!(said.contains(word), "{carving}: {said}");
        }
    }
}

#[test]
fn repeats_that_fall_off_the_panel_are_told() {
    let repeat = "repeat = { along = \"line\", count = 4, step = [10, 0] }";
    let (_, panel) = panel(&CARVED.replace("pair     = true", "").replace("whorls   = 2", repeat));
    let carved = panel.carved(Path::new("")).unwrap();
    // At 3 3/8, 13 3/8 and 23 3/8 in they stand on 30 in of wood; at 33 3/8 in one does not.
    let words: Vec<_> = carved.warnings.iter().map(|w| w.message.as_str()).collect();
    assert_eq!(
        words,
        ["1 of 4 repeats of `part[1].carving[2]` lie off the panel and are not carved"]
    );
}

#[test]
fn repeats_stand_where_they_should() {
    let repeat = "repeat = { along = \"circle\", count = 4, middle = [\"15\", \"4\"] }";
    let (_, panel) = panel(&CARVED.replace("whorls   = 2", repeat));
    let (_, shape) = &panel.carvings[1];
    let size = ovolo::geometry::point(762.0, 203.2);
    let frames = shape.place.frames(size);
    // Four round the middle, and their mirror images.
    assert_eq!(frames.len(), 8);
    let home = ovolo::geometry::point(0.0, 0.0);
    let middle = ovolo::geometry::point(381.0, 101.6);
    for frame in &frames {
        assert!((frame.place(home).distance(middle) - 11.625 * 25.4).abs() < 1e-9);
    }
    assert!((frames[4].place(home).x - (762.0 - frames[0].place(home).x)).abs() < 1e-9);
}

#[test]
fn letters_with_a_tail_can_be_incised_and_outlines_that_cross_can_not() {
    let letters = "\n[[part.carving]]\ncarve = \"lettering\"\ntext = \"ÇçŞşŢţĄąĘę\"\nheight = 1\ndepth = 0.1\nat = [15, 4]\n";
    let (_, panel) = panel(&format!("{CARVED}{letters}"));
    let carved = panel.carved(Path::new("")).unwrap();
    let Strokes::Regions(regions) = &carved.incised[0].strokes else { panic!("no outlines") };
    assert_eq!(regions.len(), 10, "one for each letter");
    let outlines: Vec<_> = regions.iter().flat_map(|r| r.contours().cloned()).collect();
    assert!(!overlap(&outlines));
    let crossed = r#"<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40"><path d="M5 5 H35 V25 H5 Z"/><path d="M25 15 H55 V35 H25 Z"/></svg>"#;
    let carving = "carve = \"incised\"\nfile = \"a.svg\"\ndepth = 0.1\nat = [15, 4]\n";
    let said = said_of(carving, &[("a.svg", crossed)]);
    for word in ["carving[3].file", "crosses or touches itself near", "mend them"] {
        assert!(said.contains(word), "{said}");
    }
}
