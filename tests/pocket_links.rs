//! From round to round of a pocket: on the floor wherever cleared ground leaves a way.
#![allow(clippy::unwrap_used)]

use ovolo::cuts::{self, PartPlan};
use ovolo::job::Job;
use ovolo::shop::Shop;
use ovolo::toolpath::Purpose;

/// Two round sides and a straight one: sharp corners, and an island beside the middle.
const WELL: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" width="130mm" height="170mm" viewBox="0 0 130 170">
<path d="M5 5H120C98 20 85 40 80 65S60 110 30 120Q10 130 5 160Z"/><circle cx="40" cy="40" r="9"/></svg>"#;

fn plan(pocket: &str) -> PartPlan {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("well.svg"), WELL).unwrap();
    let text = format!(
        "title = \"bracket\"\nunits = \"mm\"\nspecies = \"sugar-maple\"\n\
         stock = {{ length = 230, width = 260, thickness = 25 }}\n\
         hold = {{ tabs = {{ count = 4, width = 10, height = 3 }} }}\n\
         [[part]]\nkind = \"board\"\nlength = 180\nwidth = 210\n\
         [[part.pocket]]\ndepth = 6\n{pocket}\n"
    );
    let path = folder.path().join("bracket.toml");
    let job = Job::read(path.to_str().unwrap(), &text).unwrap();
    cuts::plan(&job, &Shop::built_in().unwrap()).unwrap().remove(0)
}

/// Ways down into the pocket: the first is the way in, others cost a lift each.
fn descents(plan: &PartPlan, floor: f64) -> usize {
    let strokes = plan.toolpath.strokes();
    let down = |from: f64, to: f64| from > -1e-9 && to < -1e-9 && to > floor - 1e-9;
    strokes.into_iter().filter(|(s, _)| down(s.from.z, s.to.z)).count()
}

/// Way on ramps that go down, mm.
fn ramps(plan: &PartPlan, floor: f64) -> f64 {
    let strokes = plan.toolpath.strokes();
    let ramp = strokes.filter(|(stroke, step)| {
        let (from, to) = (stroke.from, stroke.to);
        step.purpose == Purpose::Entry
            && to.z < from.z
            && to.z > floor - 1e-9
            && from.z < 1e-9
            && from.xy().distance(to.xy()) > 1e-6
    });
    ramp.map(|(stroke, _)| stroke.length()).sum()
}

const DRAWN: &str = "area = { file = \"well.svg\", at = [20, 20] }\ncutters = [2]";

const ISLANDS: &str = "area = { from = [20, 20], to = [160, 120] }\ncutters = [2]\n\
    island = [{ at = [60, 70], diameter = 20 }, { at = [120, 70], diameter = 20 }]";

/// Sharp corners ask for closer rings; those that are not so close are joined all the same. The helix
/// is four turns of 36 mm; a ramp along the next ring would be 140 mm more.
#[test]
fn only_the_first_round_is_gone_down_to_by_a_ramp() {
    for pocket in [DRAWN, ISLANDS] {
        let way = ramps(&plan(pocket), -6.0);
        assert!((100.0..200.0).contains(&way), "{pocket}: {way} mm");
    }
}

/// Where an island is in the straight way, or wood that still stands, it is gone round.
#[test]
fn lifts_are_few() {
    for (pocket, most) in [(DRAWN, 3), (ISLANDS, 5)] {
        let count = descents(&plan(pocket), -6.0);
        assert!((1..=most).contains(&count), "{pocket}: down {count} times");
    }
}
