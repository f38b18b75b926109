//! The mouldings of a header that the table mills: the parts they become, and their programs.
#![allow(clippy::unwrap_used)]

use ovolo::diagnostic::Failure;
use ovolo::drawing::{Layer, Shape as Drawn};
use ovolo::dry_run::Outcome;
use ovolo::job::{Job, Part, Shape};
use ovolo::layout::Role;
use ovolo::make::{MadePart, make};
use ovolo::part::Moulding;
use ovolo::post::Dialect;
use ovolo::report::{drawings, header_report, order_of_work, setup_sheet};
use ovolo::shop::Shop;
use std::path::PathBuf;

const SAMPLE: &str = include_str!("../sample-parts/door-header.toml");

/// A header over a niche: everything small, so that its programs are.
const SMALL: &str = r#"
title   = "Niche: header"
units   = "mm"
species = "yellow-poplar"
[header]
cased-width = 200
rise        = 20
[header.frieze]
height    = 60
thickness = 10
[header.panel]
width     = 90
height    = 40
thickness = 8
[header.bed-mold]
back    = 3
element = [
  { kind = "fillet",  height = 3 },
  { kind = "cavetto", height = 8, projection = 8 },
  { kind = "fillet",  height = 3 },
]
straight = { scallop = 0.3, stock = { length = 240, width = 150, thickness = 14 }, hold = { bed = "tape" } }
[header.corona]
thickness = 10
stock = { length = 270, width = 90, thickness = 10 }
[header.cymatium]
back    = 3
element = [
  { kind = "fillet", height = 3 },
  { kind = "ovolo",  height = 6, projection = 6 },
  { kind = "fillet", height = 3, step = 1 },
]
make     = "mill"
front    = { scallop = 0.3, run-out = 30, stock = { length = 300, width = 90, thickness = 12 } }
straight = { scallop = 0.3, stock = { length = 150, width = 60, thickness = 12 }, pose = "bottom-down", hold = { bed = "tape" } }
[header.overhang]
ends  = 5
front = 4
break = 4
[hold]
tabs = { count = 3, width = 6, height = 2 }
"#;

fn near(a: f64, b: f64) {
    assert!((a - b).abs() < 1e-6, "{a} is not {b}");
}

fn job(text: &str) -> Job {
    Job::read("header.toml", text).unwrap_or_else(|e| panic!("{e}"))
}

fn part<'a>(job: &'a Job, name: &str) -> &'a Part {
    job.parts.iter().find(|part| part.name == name).unwrap()
}

fn moulding<'a>(job: &'a Job, name: &str) -> &'a Moulding {
    match &part(job, name).shape {
        Shape::Moulding(moulding) => moulding,
        other => panic!("{other:?}"),
    }
}

/// Lengths of the edges of a segment on its back and on its face, as it is cut out.
fn edges(moulding: &Moulding, segment: usize) -> (f64, f64) {
    let outline = &moulding.segments[segment].outline;
    // Back, end, face, end: each a single line or arc.
    let lengths: Vec<f64> = outline.pieces().map(|piece| piece.length()).collect();
    assert_eq!(lengths.len(), 4);
    (lengths[0], lengths[2])
}

/// Closed form, inches: front chord 44, rise 2 1/4, radius 489.0625 / 4.5 to the back; moulding
/// 3/4 out. The true joint leaves the corner and comes out at 22 + 3/4 on the circle of R + 3/4:
/// y = (s - R) + sqrt((R + p)² - (c/2 + p)²). The returns are 3 long at their backs, 3 + y at
/// their faces; the outer arc spans 45 1/2.
#[test]
fn the_samples_mouldings_end_where_the_joint_does() {
    const IN: f64 = 25.4;
    let job = job(SAMPLE);
    let front = moulding(&job, "cymatium-front");
    assert_eq!(front.segments.len(), 1);
    let (r, s, h, p) = (489.0625 / 4.5_f64, 2.25, 22.0, 0.75);
    let y = (s - r) + ((r + p).powi(2) - (h + p).powi(2)).sqrt();
    let (back, face) = edges(front, 0);
    near(back, 2.0 * r * (h / r).asin() * IN);
    near(face, 2.0 * (r + p) * ((h + p) / (r + p)).asin() * IN);
    let straight = moulding(&job, "cymatium-straight");
    assert_eq!(straight.segments.len(), 2);
    for i in 0..2 {
        let (back, face) = edges(straight, i);
        near(back, 3.0 * IN);
        near(face, (3.0 + y) * IN);
    }
}

/// By the cut list, which comes from the plan and not from the parts.
#[test]
fn every_milled_piece_is_as_long_as_the_cut_list_has_it() {
    let job = job(SMALL);
    let layout = &job.header.as_ref().unwrap().layout;
    let list = layout.cut_list(&[]);
    let of = |role: Role| list.pieces.iter().find(|piece| piece.name == role.name()).unwrap();
    let check = |moulding: &Moulding, segment: usize, role: Role| {
        let (back, face) = edges(moulding, segment);
        near(back.max(face), of(role).long_point);
        near(back.min(face), of(role).short_point);
    };
    let bed = moulding(&job, "bed-mold");
    let roles = [
        Role::BedLeftEndReturn,
        Role::BedLeftRun,
        Role::BedLeftBreakReturn,
        Role::BedFront,
        Role::BedRightBreakReturn,
        Role::BedRightRun,
        Role::BedRightEndReturn,
    ];
    assert_eq!(bed.segments.len(), roles.len());
    for (i, role) in roles.into_iter().enumerate() {
        check(bed, i, role);
    }
    check(moulding(&job, "cymatium-front"), 0, Role::CapFront);
    let returns = moulding(&job, "cymatium-straight");
    check(returns, 0, Role::CapLeftReturn);
    check(returns, 1, Role::CapRightReturn);
}

/// A left return meets the wall with its left end, seen by one who faces the wall. On its top with
/// its back to the operator its left end stays on the left; upright it is turned round.
#[test]
fn the_square_end_of_a_return_lies_where_the_pose_puts_it() {
    for (pose, left_is_square) in [("top-down", true), ("bottom-down", false)] {
        let job = job(&SMALL.replace("bottom-down", pose));
        let moulding = moulding(&job, "cymatium-straight");
        let outline = &moulding.segments[0].outline;
        let (low, high) = outline.bounds().unwrap();
        let upright = |x: f64| {
            outline
                .pieces()
                .any(|piece| (piece.from.x - x).abs() < 1e-9 && (piece.to.x - x).abs() < 1e-9)
        };
        assert_eq!((upright(low.x), upright(high.x)), (left_is_square, !left_is_square), "{pose}");
    }
}

#[test]
fn every_program_passes_the_dry_run_with_every_post_processor() {
    let (job, shop) = (job(SMALL), Shop::built_in().unwrap());
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("post-processors");
    let mut posts: Vec<PathBuf> =
        std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    posts.sort();
    assert!(posts.len() >= 8, "{} post-processors", posts.len());
    for post in posts {
        let dialect = Dialect::find(&post.display().to_string()).unwrap();
        let made = make(&job, &shop, &dialect).unwrap_or_else(|e| panic!("{e}"));
        let names: Vec<&str> = made.iter().map(|part| part.plan.part.name.as_str()).collect();
        assert_eq!(names, ["cap", "cymatium-front", "cymatium-straight", "bed-mold"]);
        for program in made.iter().flat_map(|part| &part.programs) {
            let findings = &program.verdict.findings;
            assert_eq!(
                program.verdict.outcome,
                Outcome::Passed,
                "{} of {}: {findings:?}",
                program.file_name,
                post.display()
            );
        }
    }
}

/// A job that says nothing of how its front is made.
fn advised_alone(text: &str) -> String {
    let (head, rest) = text.split_once("[header.cymatium.front]").unwrap();
    let (_, tail) = rest.split_once("[header.cymatium.straight]").unwrap();
    let text = format!("{head}[header.cymatium.straight]{tail}");
    text.replace("make    = \"mill\" ", "")
}

#[test]
fn make_says_who_makes_the_front() {
    let milled = |text: &str| job(text).parts.iter().any(|part| part.name == "cymatium-front");
    assert!(milled(SAMPLE));
    for make in ["bend", "buy"] {
        assert!(!milled(&SAMPLE.replace("make    = \"mill\" ", &format!("make = \"{make}\" "))));
    }
    // Without a word and a table of its own: as bending advises, from the board on hand.
    let advised = job(&advised_alone(SAMPLE));
    let board = &part(&advised, "cymatium-front").placing.stock;
    // 48 by 5 1/2 by 1 1/4, planed to the moulding's height.
    near(board.length.0, 48.0 * 25.4);
    near(board.thickness.0, 1.125 * 25.4);
    // Poplar 3/4 thick bends dry round a radius of 128 3/4 and more.
    let flat = advised_alone(SAMPLE).replace("rise        = \"2 1/4\"", "rise = \"1 3/4\"");
    assert!(!milled(&flat));
}

/// The wood's grain: 12 degrees off at the ends of the one segment, 6 off with two.
#[test]
fn segments_are_as_many_as_board_and_grain_ask_for() {
    let count = |text: &str| moulding(&job(text), "cymatium-front").segments.len();
    assert_eq!(count(SAMPLE), 1);
    let short = SAMPLE.replace(
        "length = \"48\", width = \"5 1/2\", thickness = \"1 1/8\"",
        "length = \"26\", width = \"7\", thickness = \"1 1/8\"",
    );
    assert_eq!(count(&short), 2);
    let grain = SAMPLE.replace("[header.cymatium.front]", "[header.cymatium.front]\nrun-out = 7");
    assert_eq!(count(&grain), 2);
    let asked = SAMPLE.replace("[header.cymatium.front]", "[header.cymatium.front]\nsegments = 3");
    assert_eq!(count(&asked), 3);
}

#[test]
fn what_is_milled_needs_no_stick_and_no_saw() {
    let job = job(SAMPLE);
    let report = header_report(&job).unwrap().unwrap();
    let files = report.files(&job.file.title, job.shown);
    let (_, csv) = files.iter().find(|(name, _)| name.ends_with(".csv")).unwrap();
    let row = csv.lines().find(|line| line.contains("cap moulding, left return")).unwrap();
    assert!(row.contains("milled on the table") && !row.contains("short:"), "{row}");
    let sticks = |text: &str| text.matches("bed mould stick").count();
    assert!(sticks(csv) > 0);
}

#[test]
fn one_list_orders_the_work() {
    let (job, shop) = (job(SMALL), Shop::built_in().unwrap());
    let dialect = Dialect::find("millimetres").unwrap();
    let made = make(&job, &shop, &dialect).unwrap();
    let report = header_report(&job).unwrap();
    let order = order_of_work(&job, &made, report.as_ref());
    insta::assert_snapshot!(order.join("\n"), @"
    Measure over the casings once more: everything here is for 200 mm (7 7/8- in). Print the full-size drawings that `ovolo layout` writes and check their bars with a rule.
    cap: fix a board 270 mm long, 90 mm wide and 10 mm thick, yellow-poplar, grain along X. Run cap-top.nc (1 min 01 s). Saw through the tabs and pare them flush.
    cymatium-front: fix a board 300 mm long, 90 mm wide and 12 mm thick, yellow-poplar, grain along X. Run cymatium-front-top.nc (1 min 58 s). Saw through the tabs and pare them flush. Sand the ridges out along the moulding.
    cymatium-straight: fix a board 150 mm long, 60 mm wide and 12 mm thick, yellow-poplar, grain along X. Run cymatium-straight-top.nc (41 s). Sand the ridges out along the moulding.
    bed-mold: fix a board 240 mm long, 150 mm wide and 14 mm thick, yellow-poplar, grain along X. Run bed-mold-top.nc (5 min 40 s). Sand the ridges out along the moulding.
    frieze back: saw it to 200 mm by 60 mm, 10 mm thick, grain along its length.
    panel blank: saw it to 90 mm by 40 mm, 8 mm thick, grain along its length.
    Dry fit all of it on the full-size plan and section; mend joints before any glue is opened.
    Panel on the frieze, its top level with the frieze's, on the frieze's middle: glue and screw it from behind along its middle only, so that its upper and lower edges can move.
    Bed mould, its top level with the frieze's, its lower edge 46 mm above the frieze's lower edge: the piece over the panel first, its two break returns glued to it, then the runs, the end returns last. Glue the mitres; pin runs to the frieze, never across a mitre.
    Cap on top, its back in line with the frieze's back, 16 mm over each end of the frieze: screw it down into the frieze.
    Cap moulding, its top level with the cap's, its lower edge 58 mm above the frieze's lower edge: the bowed front first, from its middle outward, then the returns.
    Let the glue cure, fill and sand; then the whole header on the casing, centre line to centre line, screwed to studs through the frieze where the bed mould hides it.
    ");
    let sheet = setup_sheet(&job, &shop, &made, &order);
    assert!(sheet.contains("Order of work") && sheet.contains("Run cymatium-front-top.nc"));
}

/// In a shop whose cutters are all too short for 1 1/8 in.
#[test]
fn refusals_of_a_moulding_nobody_asked_for_show_the_way_out() {
    let job = job(&advised_alone(SAMPLE));
    let mut shop = Shop::built_in().unwrap();
    for cutter in &mut shop.cutters {
        cutter.flute_length.0 = cutter.flute_length.0.min(25.0);
    }
    let Err(Failure::Refused(all)) = make(&job, &shop, &Dialect::find("inches").unwrap()) else {
        panic!("made")
    };
    let said: Vec<String> = all.iter().map(ToString::to_string).collect();
    assert!(said.iter().any(|one| one.contains("make = \"bend\"")), "{said:?}");
}

/// Both mouldings sprung: what lies flat on its back in the file is milled as it stands.
fn sprung() -> String {
    let text = SMALL.replace("[header.bed-mold]\n", "[header.bed-mold]\nspring = 40\n");
    let text = text.replace("[header.cymatium]\n", "[header.cymatium]\nspring = 35\n");
    text.replace(
        "length = 240, width = 150, thickness = 14",
        "length = 300, width = 200, thickness = 18",
    )
    .replace(
        "length = 300, width = 90, thickness = 12",
        "length = 300, width = 100, thickness = 14",
    )
    .replace("length = 150, width = 60, thickness = 12", "length = 180, width = 80, thickness = 14")
}

/// Of a back of 3, a face from (3, 0) and its end (x, y) before the lower back edge, turned by S:
/// the lowest point is 3 cos S off the wall, the top is that of the upper back edge, y cos S, over
/// -3 sin S; the face's end is x cos S + y sin S out.
#[test]
fn a_sprung_moulding_is_milled_as_it_stands_in_solid_wood() {
    let job = job(&sprung());
    for (name, spring, (x, y)) in
        [("bed-mold", 40.0_f64, (11.0, 14.0)), ("cymatium-straight", 35.0, (10.0, 12.0))]
    {
        let (sin, cos) = spring.to_radians().sin_cos();
        let profile = &moulding(&job, name).profile;
        near(profile.back, 3.0 * cos);
        near(profile.height(), y * cos + 3.0 * sin);
        near(profile.thickness(), x * cos + y * sin);
    }
    let front = moulding(&job, "cymatium-front");
    assert_eq!(front.profile, moulding(&job, "cymatium-straight").profile);
    let report = header_report(&job).unwrap().unwrap();
    // Nothing of it is left for the saw.
    let text = report.text(job.shown);
    assert!(!text.contains("compound") && text.contains("milled on the table"), "{text}");
}

/// Told and drawn as it comes off the table: solid behind its face.
#[test]
fn a_sprung_moulding_that_is_milled_is_told_and_drawn_solid() {
    let area = |text: &str, layer: Layer| {
        let all = drawings(&job(text));
        let section = all.into_iter().find(|d| d.name == "header-section").unwrap();
        let sections: Vec<f64> = section
            .entities
            .iter()
            .filter(|entity| entity.layer == layer)
            .filter_map(|entity| match &entity.shape {
                Drawn::Line(_, contour) if contour.closed => Some(contour.area().abs()),
                _ => None,
            })
            .collect();
        sections.into_iter().fold(0.0, f64::max)
    };
    let milled = sprung();
    for (layer, name) in [(Layer::CapMolding, "cymatium-front"), (Layer::BedMold, "bed-mold")] {
        let solid = moulding(&job(&milled), name).profile.section().area();
        near(area(&milled, layer), solid);
    }
    // From sticks, or bought, it is hollow behind.
    let bought = milled.replace("make     = \"mill\"", "make     = \"buy\"");
    assert!(area(&bought, Layer::CapMolding) < 0.95 * area(&milled, Layer::CapMolding));
    let told = |text: &str| {
        let job = job(text);
        let text = header_report(&job).unwrap().unwrap().text(job.shown);
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let said = told(&milled);
    assert!(
        said.contains("The table mills it: sprung as it is drawn, it is cut standing"),
        "{said}"
    );
    assert!(!said.contains("give its profile and a board"), "{said}");
    assert!(told(&bought).contains("does not bend flat on its back: give its profile and a board"));
}

#[test]
fn programs_of_sprung_mouldings_pass() {
    let (job, shop) = (job(&sprung()), Shop::built_in().unwrap());
    let made = make(&job, &shop, &Dialect::find("millimetres").unwrap());
    let made = made.unwrap_or_else(|e| panic!("{e}"));
    let header = header_report(&job).unwrap();
    let steps = order_of_work(&job, &made, header.as_ref());
    let solid = steps.iter().filter(|step| step.contains("with the same face and a flat back"));
    let mouldings = |part: &&MadePart| matches!(part.plan.part.shape, Shape::Moulding(_));
    assert_eq!(solid.count(), made.iter().filter(mouldings).count(), "{steps:#?}");
    for name in ["cap", "cymatium-front", "cymatium-straight", "bed-mold"] {
        assert!(made.iter().any(|part| part.plan.part.name == name), "{name} has no program");
    }
    for program in made.iter().flat_map(|part| &part.programs) {
        let findings = &program.verdict.findings;
        assert_eq!(program.verdict.outcome, Outcome::Passed, "{}: {findings:?}", program.file_name);
    }
}
