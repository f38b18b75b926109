//! A router template beside a cap: the whole binary, all post-processors, and complaints.
#![allow(clippy::unwrap_used)]

use insta::assert_snapshot;
use ovolo::geometry::Piece;
use ovolo::job::{Job, Shape};
use std::path::Path;
use std::process::{Command, Output};
use tempfile::TempDir;

const SAMPLE: &str = include_str!("../sample-parts/cap-with-template.toml");

fn ovolo(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_ovolo")).current_dir(folder).args(args).output().unwrap()
}

fn refused(text: &str) -> String {
    Job::read("job.toml", text).unwrap_err().to_string()
}

#[test]
fn the_sample_has_a_template_beside_its_cap() {
    let job = Job::read("cap-with-template.toml", SAMPLE).unwrap();
    let names: Vec<&str> = job.parts.iter().map(|p| p.name.as_str()).collect();
    assert_eq!(names, ["cap", "cap-template"]);
    assert_eq!(job.parts[1].species.as_deref(), Some("mdf"));
    let (Shape::Cap(cap), Shape::Template(template)) = (&job.parts[0].shape, &job.parts[1].shape)
    else {
        panic!("not a cap and its template")
    };
    // 5/8 and 1/4: 3/16 of an inch, by hand.
    let guiding = template.contour.pieces().find(Piece::is_arc).unwrap();
    assert!((guiding.radius() - (cap.front.radius - 3.0 / 16.0 * 25.4)).abs() < 1e-9);
    let edge = template.edge.pieces().find(Piece::is_arc).unwrap();
    assert!(guiding.center().unwrap().distance(edge.center().unwrap()) < 1e-9);
    assert!((edge.length() - cap.front.arc_length()).abs() < 1e-9);
}

#[test]
fn both_are_cut_and_pass_the_dry_run_with_every_post_processor() {
    let folder = TempDir::new().unwrap();
    std::fs::write(folder.path().join("job.toml"), SAMPLE).unwrap();
    let posts = Path::new(env!("CARGO_MANIFEST_DIR")).join("post-processors");
    let mut count = 0;
    for post in std::fs::read_dir(posts).unwrap() {
        let post = post.unwrap().path();
        let name = post.file_stem().unwrap().to_str().unwrap().to_string();
        let done = ovolo(folder.path(), &["cut", "job.toml", "--post", &name, "--out", &name]);
        assert_eq!(
            done.status.code(),
            Some(0),
            "{name}: {}",
            String::from_utf8_lossy(&done.stderr)
        );
        let made: Vec<String> = std::fs::read_dir(folder.path().join(&name))
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        assert!(made.iter().any(|n| n.starts_with("cap-template-top")), "{made:?}");
        let report =
            std::fs::read_to_string(folder.path().join(&name).join("report.json")).unwrap();
        assert!(report.contains("\"cap-template\""));
        count += 1;
    }
    assert!(count >= 8, "{count} post-processors");
}

#[test]
fn its_figures_are_told() {
    let folder = TempDir::new().unwrap();
    std::fs::write(folder.path().join("job.toml"), SAMPLE).unwrap();
    let done = ovolo(folder.path(), &["layout", "job.toml"]);
    let text = String::from_utf8(done.stdout).unwrap();
    let own = text.split("\ncap-template: ").nth(1).unwrap();
    assert_snapshot!(own, @"
    a pattern for the hand-held router
      length                                23 5/16- in (592.02 mm)
      width                                 5 7/32+ in (132.57 mm)
      guide bush, outer diameter            5/8 in (15.88 mm)
      bit, diameter                         1/4 in (6.35 mm)
      its edge stands inside the part's by  3/16 in (4.76 mm)
      radius of the part's edge             33 15/16+ in (862.12 mm)
      radius of the template's edge         33 3/4+ in (857.36 mm)
      the part's edge begins at             22 25/32- in (578.59 mm) along, 3 17/32+ in (89.7 mm) up
      the part's edge ends at               17/32- in (13.44 mm) along, 3 17/32+ in (89.7 mm) up
    ");
}

#[test]
fn templates_that_cannot_be() {
    let with = |from: &str, to: &str| {
        assert!(SAMPLE.contains(from));
        refused(&SAMPLE.replace(from, to))
    };
    assert_snapshot!(with("bit   = \"1/4\" ", "bit = \"3/4\" "), @r#"
    error: job.toml:17:7: `part[1].template.bit`: the bit, 3/4 in (19.05 mm), does not pass through the bush, 5/8 in (15.88 mm)
      17 | bit = "3/4"       # the bit that runs through it
         |       ^
      help: a bit of less than 5/8 in (15.88 mm), or a larger bush
    "#);
    assert_snapshot!(with("bush  = \"5/8\" ", "bush = 0 "), @"
    error: job.toml:16:8: `part[1].template.bush`: 0 in is no diameter for a bush
      16 | bush = 0       # outer diameter of the router's guide bush
         |        ^
      help: more than 0, at most 2 3/8- in (60 mm)
    ");
    assert_snapshot!(with("length = 28", "length = 20"), @r#"
    error: job.toml:18:20: `part[1].template.stock.length`: the part is 23 5/16- in (592.02 mm) long, the stock only 20 in (508 mm)
      18 | stock = { length = 20, width = 8, thickness = "1/2" }   # MDF, unless `species` says otherwise
         |                    ^
      help: a length of at least 23 5/16- in (592.02 mm) works, and more if a cutter must pass beside the part
    "#);
    let job = Job::read(
        "job.toml",
        &SAMPLE.replace("stock = { length = 28", "species = \"cheese\"\nstock = { length = 28"),
    );
    let shop = ovolo::shop::Shop::built_in().unwrap();
    let said = ovolo::cuts::plan(&job.unwrap(), &shop).unwrap_err().to_string();
    assert_snapshot!(said, @r#"
    error: job.toml:18:11: `part[1].template.species`: the wood or sheet `cheese` is not known
      18 | species = "cheese"
         |           ^
      help: known: yellow-poplar, eastern-white-pine, ponderosa-pine, sugar-pine, douglas-fir, western-redcedar, redwood, redwood-young, sugar-maple, red-maple, northern-red-oak, white-oak, black-walnut, black-cherry, white-ash, basswood, american-beech, yellow-birch, mahogany, sapele, red-alder, baldcypress, mdf, birch-plywood
    "#);
    let board = "kind = \"board\"\nlength = 20\nwidth = 4\n";
    let (before, after) = SAMPLE.split_once("kind ").unwrap();
    let after = after.split_once("stock ").unwrap().1;
    assert_snapshot!(refused(&format!("{before}{board}stock {after}")), @"
    error: job.toml:14:7: `part[1].template`: the part has no curved edge to guide a router along
      14 | [part.template]
         |       ^
      help: leave the template out: a straight edge is cut along a straightedge
    ");
}
