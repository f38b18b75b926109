//! Shop files, good and broken.

use crate::built_in;
use ovolo::diagnostic::Failure;
use ovolo::document::schema_of;
use ovolo::shop::{CutterChange, CutterShape, Rigidity, STARTER, Shop, ShopFile};
use std::path::Path;

const GOOD: &str = include_str!("good.toml");

/// Every file of `bad/` says in its first lines, after `# error: `, what must be said of it.
#[test]
fn every_broken_shop_file_is_told_its_fault() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/shop/bad");
    let mut seen = 0;
    let mut wrong = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().to_string();
        let text = std::fs::read_to_string(&path).unwrap();
        let wanted: Vec<&str> =
            text.lines().map_while(|line| line.strip_prefix("# error: ")).collect();
        assert!(!wanted.is_empty(), "{name} says nothing of its error");
        match Shop::read(&name, &text) {
            Ok(_) => wrong.push(format!("{name} was read")),
            Err(failure) => {
                let said = failure.to_string();
                assert!(matches!(failure, Failure::Input(_)), "{said}");
                let placed = failure.diagnostics().iter().all(|d| d.place.is_some());
                if !(placed && wanted.iter().all(|w| said.contains(w))) {
                    wrong.push(format!("{name}: {wanted:?} wanted, said:\n{said}"));
                }
            }
        }
        seen += 1;
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(seen >= 70, "only {seen} files");
}

#[test]
fn a_shop_in_inches_is_read_into_millimetres() {
    let shop = Shop::read("good.toml", GOOD).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(shop.machine.travel.map(|l| l.0), [49.0 * 25.4, 33.0 * 25.4, 127.0]);
    assert_eq!(shop.machine.max_feed.map(|f| f.0), [5080.0, 4572.0, 1524.0]);
    assert_eq!(shop.machine.plane_feed(), 4572.0);
    assert_eq!(shop.machine.rigidity, Rigidity::Light);
    assert_eq!(shop.machine.cutter_change, CutterChange::Manual);
    assert_eq!(shop.machine.spindle.spin_up, 3.0);
    let cutter = shop.cutter(1).unwrap();
    assert_eq!(cutter.diameter.0, 6.35);
    assert_eq!(cutter.stick_out.0, 31.75);
    assert_eq!(shop.clamps[0].from.map(|l| l.0), [-50.8, 0.0]);
    assert_eq!(shop.clamps[0].to[0].0, -6.35);
}

#[test]
fn mistakes_in_a_shop_are_told_together_in_the_order_of_the_file() {
    let text = GOOD
        .replace("travel = [49, 33, 5]", "travel = [49, 33, -5]")
        .replace("flute-length = 1\n", "flute-length = 2\n")
        .replace("included-angle = 60\n", "")
        .replace("height = 1\n", "height = 0\n");
    let Err(failure) = Shop::read("shop.toml", &text) else { panic!("it was read") };
    insta::assert_snapshot!(failure, @"
    error: shop.toml:6:19: `machine.travel[3]`: -127 is not more than zero
      6 | travel = [49, 33, -5]
        |                   ^
      help: the machine's manual gives it; the order is x, y, z
    error: shop.toml:25:16: `cutter[1].flute-length`: flutes of 2 in (50.8 mm) are longer than the cutter stands out, 1 1/4 in (31.75 mm)
      25 | flute-length = 2
         |                ^
      help: at most 1 1/4 in (31.75 mm); flutes must not go into the collet
    error: shop.toml:31:1: `cutter[2].included-angle`: 0.0 degrees is no cone
      31 | [[cutter]]
         | ^
      help: more than 0 and less than 180 degrees, measured over the whole cone
    error: shop.toml:42:1: `clamp[1]`: the clamp `fence` has no height
      42 | [[clamp]]
         | ^
      help: `from` and `to` are opposite corners, `height` is its top above the table
    ");
}

#[test]
fn the_built_in_shop_has_the_cutters_that_headers_need() {
    let shop = built_in();
    let shapes: Vec<CutterShape> = shop.cutters.iter().map(|c| c.shape).collect();
    for shape in [
        CutterShape::Flat,
        CutterShape::Ball,
        CutterShape::BullNose,
        CutterShape::V,
        CutterShape::TaperBall,
        CutterShape::Drill,
    ] {
        assert!(shapes.contains(&shape), "{shape:?}");
    }
    assert_eq!(shop.cutter(1).unwrap().diameter.0, 6.35);
    assert!(shop.cutter(1).unwrap().centre_cutting);
    assert_eq!(shop.machine.travel.map(|l| l.0), [1250.0, 850.0, 120.0]);
}

#[test]
fn the_starter_explains_itself() {
    let comments = STARTER.lines().filter(|l| l.contains('#')).count();
    assert!(comments > 20, "{comments}");
    // Its commented examples are right once they are no longer comments.
    let text = STARTER
        .replace("# species.sugar-maple", "species.sugar-maple")
        .replace("# dial = ", "dial = ")
        .replace("# feeds = ", "feeds = ")
        .replace("# [[clamp]]", "[[clamp]]")
        .replace("# name   =", "name =")
        .replace("# from   =", "from =")
        .replace("# to     =", "to =")
        .replace("# height =", "height =");
    let shop = Shop::read("starter", &text).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(shop.species["sugar-maple"].stepdown.unwrap().0, 3.175);
    assert_eq!(shop.machine.spindle.dial.len(), 2);
    assert_eq!(shop.cutter_feeds[&1].stepdown.unwrap().0, 1.5875);
    assert_eq!(shop.clamps[0].name, "fence");
}

#[test]
fn an_unknown_cutter_is_answered_with_those_there_are() {
    let shop = Shop::read("good.toml", GOOD).unwrap_or_else(|e| panic!("{e}"));
    let problem = shop.cutter(7).unwrap_err();
    insta::assert_snapshot!(problem, @"
    error: the shop has no cutter 7
      help: it has cutter 1, 1/4 in flat; cutter 2, 60 degree V
    ");
}

#[test]
fn a_drill_always_goes_straight_down() {
    let text = GOOD
        .replace("shape = \"flat\"", "shape = \"drill\"")
        .replace("centre-cutting = true\n", "");
    let shop = Shop::read("good.toml", &text).unwrap_or_else(|e| panic!("{e}"));
    assert!(shop.cutter(1).unwrap().centre_cutting);
    assert!(!shop.cutter(2).unwrap().centre_cutting);
}

#[test]
fn a_full_radius_bull_nose_is_allowed() {
    let text = GOOD.replace("shape = \"flat\"", "shape = \"bull-nose\"\ncorner-radius = \"1/8\"");
    Shop::read("good.toml", &text).unwrap_or_else(|e| panic!("{e}"));
}

#[test]
fn the_schema_names_every_key_of_a_cutter_and_its_meaning() {
    let schema = schema_of::<ShopFile>();
    let cutter = &schema["$defs"]["CutterEntry"]["properties"];
    for key in ["number", "shape", "diameter", "flutes", "flute-length", "stick-out", "feeds"] {
        let described = cutter[key]["description"].as_str().unwrap_or("");
        assert!(!described.is_empty(), "{key}: {cutter}");
    }
}
