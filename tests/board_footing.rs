//! What holds a board: floors between both faces, wood under tabs, pins in wood; and what its cutters
//! can do there.
#![allow(clippy::unwrap_used)]

use ovolo::dry_run::{Interlock, check};
use ovolo::job::Job;
use ovolo::make;
use ovolo::post::Dialect;
use ovolo::report;
use ovolo::shop::Shop;

/// A board of 300 by 120 in stock of 400 by 200 by 20, with these parts of the file.
fn board(hold: &str, features: &str) -> String {
    format!(
        "title = \"rail\"\nunits = \"mm\"\nspecies = \"yellow-poplar\"\n\
         stock = {{ length = 400, width = 200, thickness = 20 }}\nhold = {{ {hold} }}\n\
         [[part]]\nkind = \"board\"\nname = \"rail\"\nlength = 300\nwidth = 120\n{features}"
    )
}

const GROOVE: &str = "[[part.groove]]\nface = \"bottom\"\nfrom = [40, 60]\nto = [200, 60]\n\
                      width = 6.35\ndepth = 3\ncutter = 1\n";

const TABS: &str = "tabs = { count = 4, width = 10, height = 3 }";

/// The remarks of all programs, and whether the dry run lets all pass; or what was wrong.
fn told(hold: &str, features: &str) -> Result<(Vec<String>, bool), String> {
    let job = Job::read("rail.toml", &board(hold, features)).map_err(|e| e.to_string())?;
    let dialect = Dialect::find("millimetres").unwrap();
    let made = make::make(&job, &Shop::built_in().unwrap(), &dialect).map_err(|e| e.to_string())?;
    let said = made.iter().flat_map(|part| part.plan.remarks.clone()).collect();
    Ok((said, made.iter().all(|part| !part.refused())))
}

fn pins(list: &str, axis: &str) -> Result<(Vec<String>, bool), String> {
    let flip = format!("[part.flip]\naxis = \"{axis}\"\npins = {list}\npin-diameter = 5\n");
    told(TABS, &format!("{GROOVE}{flip}"))
}

#[test]
fn pins_stand_in_wood_apart_and_out_of_the_way() {
    assert!(pins("[12, 388]", "x").unwrap().1);
    for (list, which, why) in [
        ("[-10, 388]", 1, "the pin stands beside the stock"),
        ("[12, 500]", 2, "the pin stands beside the stock"),
        ("[12, 396]", 2, "4 mm"),
        ("[12, 18]", 2, "the pin stands where another does"),
        ("[12, 200]", 2, "the pin goes through the part"),
        // The part ends 50 before the stock does, and cutter 1 goes round it.
        ("[12, 354]", 2, "in the way of the outline's cut"),
    ] {
        let said = pins(list, "x").unwrap_err();
        assert!(
            said.contains(&format!("flip.pins[{which}]")) && said.contains(why),
            "{list}: {said}"
        );
    }
}

fn rebate(face: &str, side: &str, width: f64, depth: f64) -> String {
    format!(
        "[[part.rebate]]\nface = \"{face}\"\nside = \"{side}\"\nwidth = {width}\ndepth = {depth}\ncutter = 2\n"
    )
}

/// A pin's hole in the wrong place spoils what is cut after turning over: the first face's verdict
/// knows where it should be.
#[test]
fn a_pin_hole_in_the_wrong_place_is_found() {
    let text = board(
        TABS,
        &(GROOVE.to_string() + "[part.flip]\naxis = \"x\"\npins = [12, 388]\npin-diameter = 5\n"),
    );
    let job = Job::read("rail.toml", &text).unwrap();
    let (shop, dialect) = (Shop::built_in().unwrap(), Dialect::find("millimetres").unwrap());
    let made = make::make(&job, &shop, &dialect).unwrap();
    let (plan, good) = (&made[0].plan, &made[0].programs[0].text);
    let setup = make::setup_in(&dialect, make::setup(&shop, plan, None, job.shown));
    let left = |text: &str| {
        let found = check(text, &setup).findings;
        found.into_iter().find(|f| f.interlock == Interlock::SurfaceKept).map(|f| f.message)
    };
    assert_eq!(left(good), None);
    let moved = good.replace("X12 Y100", "X15 Y100");
    assert_ne!(moved, *good, "{good}");
    let told = left(&moved).unwrap();
    assert!(told.contains("wood is left") && told.contains("20 mm"), "{told}");
}

const FLIP: &str = "[part.flip]\naxis = \"x\"\n";

#[test]
fn recesses_of_both_faces_do_not_meet() {
    let both = |top: f64, bottom: f64| {
        let features = rebate("top", "near", 10.0, top) + &rebate("bottom", "near", 10.0, bottom);
        told("tabs = { count = 2, width = 10, height = 3 }", &(features + FLIP))
    };
    let said = both(12.0, 12.0).unwrap_err();
    assert!(
        said.contains("rebate[1] and part[1].rebate[2] meet") || said.contains("meet in a board"),
        "{said}"
    );
    let (said, _) = both(12.0, 7.5).unwrap();
    assert!(said.iter().any(|r| r.contains("a floor of only 0.5 mm")), "{said:?}");
    let (said, _) = both(9.0, 9.0).unwrap();
    assert!(!said.iter().any(|r| r.contains("a floor of only")), "{said:?}");
}

/// Tabs under a rebated edge would bridge nothing: all stand on the sides that are whole.
#[test]
fn tabs_stand_where_the_underside_is_whole() {
    let job = |features: &str| {
        let job = Job::read("rail.toml", &board(TABS, features)).unwrap();
        make::make(&job, &Shop::built_in().unwrap(), &Dialect::find("millimetres").unwrap())
    };
    let low = |features: &str| {
        let made = job(features).unwrap();
        let top = made.last().unwrap();
        assert!(!top.refused(), "{features}");
        let near = top.plan.tabs.iter().map(|tab| tab.at.y).fold(f64::INFINITY, f64::min);
        (top.plan.tabs.len(), near)
    };
    let corner = low("").1;
    let (count, near) = low(&(rebate("bottom", "near", 10.0, 7.0) + FLIP));
    assert_eq!(count, 4);
    assert!(near > corner + 10.0, "{near} of {corner}");
    // The same from above, so deep that less than a tab's height stays.
    let (_, near) = low(&rebate("top", "near", 10.0, 18.0));
    assert!(near > corner + 10.0, "{near} of {corner}");
    let (_, near) = low(&rebate("top", "near", 10.0, 16.0));
    assert!(near < corner + 1.0, "{near} of {corner}");
}

/// A hole too deep for the flutes of all narrower cutters is bored by one as wide as it is.
#[test]
fn a_hole_is_bored_by_a_cutter_of_its_own_width_where_none_else_reaches() {
    let hole = |diameter: f64| {
        format!("[[part.hole]]\nat = [[60, 60]]\ndiameter = {diameter}\ndepth = 15\n")
    };
    let (_, passed) = told(TABS, &hole(6.35)).unwrap();
    assert!(passed);
}

#[test]
fn a_round_pocket_as_wide_as_its_cutter_is_called_a_hole() {
    let said = told(
        TABS,
        "[[part.pocket]]\narea = { at = [60, 60], diameter = 12.7 }\ndepth = 5\ncutters = [2]\n",
    )
    .unwrap_err();
    assert!(said.contains("the pocket is no wider than cutter 2"), "{said}");
    assert!(said.contains("[[part.hole]]"), "{said}");
}

/// Deeper than one pass may be, in hard wood: more passes, each lighter.
#[test]
fn a_chamfer_deeper_than_the_stepdown_is_cut_in_passes() {
    let features = "[[part.edge]]\nside = \"all\"\nform = \"chamfer\"\nsize = 3\ncutter = 6\n";
    let text = board(TABS, features).replace("yellow-poplar", "white-oak");
    let shop = Shop::built_in().unwrap();
    let number = shop.cutters.iter().find(|c| c.shape == ovolo::shop::CutterShape::V);
    let text = text.replace("cutter = 6", &format!("cutter = {}", number.unwrap().number));
    let job = Job::read("rail.toml", &text).unwrap();
    let made = make::make(&job, &shop, &Dialect::find("millimetres").unwrap()).unwrap();
    let verdict = &made[0].programs[0].verdict;
    assert!(!made[0].refused(), "{:?}", verdict.findings);
}

/// A clamp over the path is told how far it reaches in, and moving it by what is said is enough.
#[test]
fn a_clamp_in_the_way_is_told_how_far_to_go() {
    let hold = |y: f64| {
        format!(
            "{TABS}, clamps = [{{ name = \"c\", from = [180, 0], to = [220, {y}], height = 30 }}]"
        )
    };
    let said = told(&hold(60.0), "").unwrap_err();
    assert!(said.contains("the cutter's centre runs over it"), "{said}");
    // "move it at least 23.19 mm further off"
    let by = said.split("move it at least ").nth(1).unwrap().split_whitespace().next().unwrap();
    let by: f64 = by.parse().unwrap();
    assert!(told(&hold(60.0 - by - 0.05), "").is_ok(), "{said}");
    assert!(told(&hold(60.0 - by + 0.2), "").is_err(), "{said}");
}

/// What is told before cutting, and whether the dry run lets all pass.
fn warned(features: &str) -> (Vec<String>, bool) {
    let job = Job::read("rail.toml", &board(TABS, features)).unwrap();
    let dialect = Dialect::find("millimetres").unwrap();
    let made = make::make(&job, &Shop::built_in().unwrap(), &dialect).unwrap();
    let said = made.iter().flat_map(|part| part.plan.cautions.clone()).collect();
    (said, made.iter().all(|part| !part.refused()))
}

#[test]
fn what_another_pocket_takes_is_not_cut_in_the_air_and_is_told() {
    let pocket = |from: (i32, i32), to: (i32, i32), depth: i32, cutter: i32| {
        let ((x, y), (u, v)) = (from, to);
        format!(
            "[[part.pocket]]\narea = {{ from = [{x}, {y}], to = [{u}, {v}] }}\ndepth = {depth}\ncutters = [{cutter}]\n"
        )
    };
    let wide = pocket((20, 20), (80, 80), 8, 2);
    let hole = |x: i32, depth: i32| {
        format!("[[part.hole]]\nat = [[{x}, 50]]\ndiameter = 5\ndepth = {depth}\n")
    };
    for (other, which) in [
        (pocket((30, 30), (70, 70), 4, 2), Some("pocket[2]")),
        // The same again: its corners are as far out of reach, and told once more.
        (wide.clone(), None),
        (hole(50, 6), Some("hole[1]")),
        // A narrower cutter goes farther into the corners.
        (pocket((20, 20), (80, 80), 8, 1), None),
        // Deeper, or partly beside it.
        (pocket((30, 30), (70, 70), 10, 2), None),
        (pocket((60, 30), (120, 70), 4, 2), None),
        (hole(50, 9), None),
        (hole(79, 6), None),
    ] {
        let (said, passes) = warned(&format!("{wide}{other}"));
        let told: Vec<&String> = said.iter().filter(|s| s.contains("is not cut")).collect();
        assert!(passes, "{other}: {said:?}");
        match which {
            Some(which) => {
                assert_eq!(told.len(), 1, "{other}: {said:?}");
                assert!(told[0].starts_with(&format!("{which} is not cut: pocket[1] takes")));
            }
            None => assert!(told.is_empty(), "{other}: {told:?}"),
        }
    }
}

/// A deeper pocket takes a tray's inset whole: the tray may not count on the inset.
#[test]
fn what_is_not_cut_is_as_if_it_were_not_in_the_file() {
    let pocket = |area: &str, depth: i32| {
        format!("[[part.pocket]]\narea = {{ {area} }}\ndepth = {depth}\ncutters = [2]\n")
    };
    let tray = pocket("from = [20, 20], to = [120, 90]", 4);
    let inset = pocket("from = [80, 25], to = [118, 85]", 6);
    let deep = pocket("from = [75, 15], to = [285, 110]", 9);
    let text = |features: &str| {
        let job = Job::read("rail.toml", &board(TABS, features)).unwrap();
        let dialect = Dialect::find("millimetres").unwrap();
        let made = make::make(&job, &Shop::built_in().unwrap(), &dialect).unwrap();
        assert!(made.iter().all(|part| !part.refused()));
        made[0].programs[0].text.clone()
    };
    let without = text(&format!("{tray}{deep}"));
    assert_eq!(text(&format!("{tray}{inset}{deep}")), without);
    assert_eq!(text(&format!("{inset}{tray}{deep}")), without);
    assert_ne!(text(&format!("{tray}{inset}")), text(&tray));
}

#[test]
fn the_sheet_names_the_programs_of_what_was_not_judged() {
    let flip = "[part.flip]\naxis = \"x\"\npins = [12, 388]\npin-diameter = 5\n";
    let text = board(TABS, &format!("{GROOVE}{flip}"));
    let job = Job::read("rail.toml", &text).unwrap();
    let shop = Shop::built_in().unwrap();
    let made = make::make(&job, &shop, &Dialect::find("millimetres").unwrap()).unwrap();
    let sheet = report::setup_sheet(&job, &shop, &made, &[]);
    // Tabs stand at the second program only, clamps nowhere.
    assert!(sheet.contains("rail-bottom.nc: I32 not judged"), "no file named");
    assert!(!sheet.contains("rail-top.nc: I32 not judged"));
    assert!(sheet.contains(">I25 not judged"), "a file named of what holds of all");
}

#[test]
fn a_helix_that_is_asked_for_goes_round_or_is_refused() {
    let hole = |diameter: f64, more: &str| {
        format!(
            "[[part.hole]]\nat = [[150, 60]]\ndiameter = {diameter}\ndepth = 6\nbore = \"helix\"\n{more}"
        )
    };
    let (_, passes) = told(TABS, &hole(12.0, "")).unwrap();
    assert!(passes);
    // Five millimetres: the shop's drill is as wide, its 1/8 in flat cutter goes round.
    let (_, passes) = told(TABS, &hole(5.0, "")).unwrap();
    assert!(passes);
    let said = told(TABS, &hole(5.0, "cutter = 10\n")).unwrap_err();
    assert!(said.contains("hole[1]") && said.contains("does not go round"), "{said}");
    let said = told(TABS, &hole(6.35, "cutter = 1\n")).unwrap_err();
    assert!(said.contains("no room to go round"), "{said}");
}
