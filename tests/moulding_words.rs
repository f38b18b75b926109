//! What is told of a moulding before anything is cut: what no cutter reaches, what fits nowhere,
//! and which cutter does what.
#![allow(clippy::unwrap_used)]

use ovolo::cuts::{self, PartPlan};
use ovolo::diagnostic::Failure;
use ovolo::job::Job;
use ovolo::shop::Shop;
use ovolo::toolpath::{Move, Purpose};

fn job(profile: &str, path: &str, more: &str, stock: [f64; 3]) -> String {
    let [length, width, thickness] = stock;
    format!(
        "title = \"Reading-room niche\"\nspecies = \"yellow-poplar\"\n\
         [stock]\nlength = {length}\nwidth = {width}\nthickness = {thickness}\n\
         [hold]\nbed = \"vacuum\"\n[[part]]\nkind = \"moulding\"\n{more}\n\
         [part.profile]\n{profile}\n[part.path]\n{path}\n[part.outline]\ncutter = 2\n"
    )
}

fn try_plan(name: &str, text: &str) -> Result<Vec<PartPlan>, Failure> {
    cuts::plan(&Job::read(name, text)?, &Shop::built_in().unwrap())
}

fn plan(text: &str) -> PartPlan {
    try_plan("job.toml", text).unwrap_or_else(|e| panic!("{e}")).remove(0)
}

fn told(plan: &PartPlan, words: &[&str]) {
    let all = [plan.remarks.clone(), plan.cautions.clone()].concat();
    assert!(all.iter().any(|one| words.iter().all(|w| one.contains(w))), "{words:?} in {all:#?}");
}

/// A scotia under an astragal, and a quirk of 2 mm over that.
const QUIRKED: &str = "back = 14\nelement = [ { kind = \"fillet\", height = 5 },\n\
     { kind = \"scotia\", height = 8, projection = 1 },\n\
     { kind = \"astragal\", height = 6, step = 3 },\n\
     { kind = \"fillet\", height = 2, step = -2 }, { kind = \"fillet\", height = 2, step = 4 } ]";

const LINE: &str = "kind = \"line\"\nlength = 200";

#[test]
fn an_undercut_is_named_with_its_depth_and_a_pose_that_has_none() {
    let plan = plan(&job(QUIRKED, LINE, "pose = \"top-down\"", [260.0, 80.0, 24.0]));
    // The astragal is 3 out of its lower end, the fillet over it 2 behind that: 5 (drawing). On
    // its back the moulding is 14, 1 (scotia), 3 (shelf) and 3 (astragal) thick: 21.
    let words = ["The astragal (element 3) hides 5 mm", "of the fillet (element 4)"];
    told(&plan, &words);
    told(&plan, &["hides 5 mm", "laid back down, in stock 21 mm", "scraper or a shaped cutter"]);
    // The scotia's lower arc has a radius of (8 - 1) / 2 = 3.5: so far it goes behind its fillet.
    told(&plan, &["hides 3.5 mm", "of the scotia (element 2)"]);
}

#[test]
fn a_quirk_narrower_than_every_cutter_is_named_with_its_width() {
    let narrow = QUIRKED.replace("height = 2, step = -2", "height = 1.2, step = -3");
    let text = job(&narrow, LINE, "pose = \"back-down\"", [260.0, 80.0, 24.0]);
    let plan = plan(&text);
    // 1.2 mm, and the rounding that the finest ball leaves at its mouth.
    told(&plan, &["The quirk between the astragal (element 3)", "1.36 mm", "shaped cutter"]);
}

/// A fillet sunk between a fascia and an ovolo, as wide as the quarter-inch flat, or narrower.
fn sunk(narrower: f64) -> PartPlan {
    let profile = format!(
        "back = 9\nelement = [ {{ kind = \"fascia\", height = 8 }},\n\
         {{ kind = \"fillet\", height = {}, step = -4 }},\n\
         {{ kind = \"ovolo\", height = 9, projection = 6, step = 4 }},\n\
         {{ kind = \"fillet\", height = 4, step = 1.5 }} ]",
        6.35 - narrower
    );
    plan(&job(&profile, LINE, "pose = \"back-down\"", [260.0, 80.0, 22.0]))
}

#[test]
fn a_fillet_sunk_just_as_wide_as_its_cutter_is_cut_by_it() {
    let fits = sunk(0.0);
    assert!(fits.cutters.iter().any(|(cutter, _)| cutter.number == 1), "{:?}", fits.remarks);
    assert!(fits.remarks.iter().all(|one| !one.contains("stays")), "{:#?}", fits.remarks);
    // A micrometre narrower it does not go in.
    assert!(sunk(1e-3).cutters.iter().all(|(cutter, _)| cutter.number != 1));
}

#[test]
fn what_a_traced_face_hides_is_named_by_its_place() {
    let folder = tempfile::tempdir().unwrap();
    // Up 10, a lip of 6 by 4, up 8, and out again by 10 for 5: the lip's upper side lies under
    // the top one, 4 deep, from 14 up to 22.
    let svg = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"50mm\" height=\"50mm\" \
         viewBox=\"0 0 50 50\"><path fill=\"none\" stroke=\"black\" \
         d=\"M20 40 V30 H26 V26 H22 V18 H32 V13\"/></svg>";
    std::fs::write(folder.path().join("face.svg"), svg).unwrap();
    let name = folder.path().join("job.toml");
    let profile = "file = \"face.svg\"\nback = 8";
    let text = job(profile, LINE, "pose = \"top-down\"", [260.0, 80.0, 27.0]);
    let plan = try_plan(name.to_str().unwrap(), &text).unwrap_or_else(|e| panic!("{e}")).remove(0);
    told(&plan, &["The face 10 mm", "hides 4 mm", "of the face from 14 mm", "to 22 mm"]);
    told(&plan, &["laid back down, in stock 20 mm"]);
}

#[test]
fn a_cutter_too_wide_for_the_hollow_side_is_refused_by_name() {
    let stepped = "back = 10\nelement = [ { kind = \"fillet\", height = 4 },\n\
         { kind = \"ovolo\", height = 9, projection = 9, step = 1.5 } ]";
    let tight = "kind = \"arc\"\nchord = 74\nrise = 36\ngrows = \"inward\"";
    let text = job(stepped, tight, "pose = \"top-down\"\nsegments = 1", [200.0, 120.0, 13.0]);
    let refused = try_plan("job.toml", &text).unwrap_err().to_string();
    for words in ["cutter 2", "does not fit the hollow side of the path", "smaller cutters"] {
        assert!(refused.contains(words), "{refused}");
    }
}

#[test]
fn the_user_may_fix_the_cutters_and_they_come_in_that_order() {
    let stepped = "back = 10\nelement = [ { kind = \"fillet\", height = 4 },\n\
         { kind = \"ovolo\", height = 9, projection = 9, step = 1.5 },\n\
         { kind = \"fillet\", height = 4, step = 2 } ]";
    let more = "pose = \"top-down\"\nrough = 1\nfinish = [4, 1]";
    let plan = plan(&job(stepped, LINE, more, [260.0, 80.0, 17.0]));
    let mut changes: Vec<u32> = plan
        .toolpath
        .steps
        .iter()
        .filter_map(|s| match s.action {
            Move::CutterChange { cutter } => Some(cutter),
            _ => None,
        })
        .collect();
    changes.dedup();
    assert_eq!(changes, [1, 4, 1, 2]);
    told(&plan, &["Roughed with cutter 1"]);
}

#[test]
fn downhill_passes_run_from_the_crown_to_the_ends() {
    let stepped = "back = 10\nelement = [ { kind = \"fillet\", height = 4 },\n\
         { kind = \"ovolo\", height = 9, projection = 9, step = 1.5 } ]";
    let bow = "kind = \"arc\"\nchord = 300\nrise = 30";
    let text =
        job(stepped, bow, "pose = \"top-down\"\npasses = \"downhill\"", [400.0, 120.0, 13.0]);
    let plan = plan(&text);
    told(&plan, &["from the middle down to either end"]);
    let (low, high) = plan.outline.bounds().unwrap();
    let middle = (low.x + high.x) / 2.0;
    let mut at = None;
    let (mut left, mut right) = (0, 0);
    for step in &plan.toolpath.steps {
        let Some(to) = step.action.target() else { continue };
        let from = at.replace(to);
        // Those of the sweep are as long as half the moulding; the parting cut's last pass has
        // rules of its own.
        let swept = matches!(step.action, Move::Arc { .. }) && to.z > plan.stock.min.z;
        let Some(from) = from.filter(|_| step.purpose == Purpose::Finish && swept) else {
            continue;
        };
        let (before, after) = (from.x - middle, to.x - middle);
        assert!(before.abs() < 7.0 && after.abs() > 150.0, "{before} to {after}");
        if after < 0.0 { left += 1 } else { right += 1 }
    }
    assert!(left > 8 && left == right, "{left} {right}");
}

#[test]
fn segments_lie_apart_on_as_few_boards_as_hold_them() {
    let band = "back = 9\nelement = [ { kind = \"fillet\", height = 30 } ]";
    let ellipse = "kind = \"ellipse\"\nspan = 900\nrise = 300";
    let boards = |length: f64, width: f64| {
        let text = job(band, ellipse, "segments = 6", [length, width, 12.0]);
        try_plan("job.toml", &text).unwrap_or_else(|e| panic!("{e}")).len()
    };
    // Six of about 240 by 60: one pile of two to three on a short board, three side by side on a
    // long one.
    let (narrow, wide, long) = (boards(300.0, 90.0), boards(300.0, 900.0), boards(900.0, 90.0));
    assert_eq!((narrow, wide, long), (6, 1, 2));
}

#[test]
fn a_long_moulding_with_a_quirk_gets_a_wide_ball_before_the_fine_one() {
    let profile = "back = 14\nelement = [ { kind = \"fascia\", height = 20 },\n\
         { kind = \"astragal\", height = 9, step = 3 },\n\
         { kind = \"cyma-recta\", height = 20, projection = 12, step = 1.5 } ]";
    let path = "kind = \"line\"\nlength = 2000";
    let plan =
        plan(&job(profile, path, "pose = \"back-down\"\nscallop = 0.05", [2100.0, 120.0, 32.0]));
    let numbers: Vec<u32> = plan.cutters.iter().map(|(cutter, _)| cutter.number).collect();
    // The quarter-inch ball, then the fine one for what is left.
    let place = |n: u32| numbers.iter().position(|one| *one == n);
    assert!(place(4).is_some() && place(4) < place(9), "{numbers:?}");
}
