//! Random pockets, cut, written as text and read back: all that the cutter can reach is cleared,
//! no wall is cut, and what stays out of reach is said. The judge is another library's polygons.
#![allow(clippy::unwrap_used, unreachable_pub)]

#[path = "pocket_property/frame.rs"]
mod frame;
#[path = "pocket_property/judge.rs"]
mod judge;
mod offset_support;
#[path = "pocket_property/shapes.rs"]
mod shapes;
#[path = "pocket_property/text.rs"]
mod text;

use shapes::{Case, FAMILIES, build};
use text::Bench;

/// Cases of each family: with eleven of them more than two thousand. For a longer hunt there is
/// `POCKETS=5000 cargo test --test pocket_property`.
const CASES: usize = 184;

fn cases() -> usize {
    std::env::var("POCKETS").ok().and_then(|n| n.parse().ok()).unwrap_or(CASES)
}

fn try_one(bench: &Bench, case: &Case) -> Result<bool, String> {
    match bench.cut(case) {
        Ok(cut) => {
            if case.hopeless {
                return Err("a slot too narrow for the cutter is cut".into());
            }
            judge::clear_of_walls(case, &cut)?;
            judge::judge(case, &cut).map(|()| true)
        }
        Err(why) => {
            let said = why.to_string().lines().take(1).collect::<String>();
            let narrow = said.contains("no cutter of the list goes into the pocket");
            if narrow && !judge::has_room(case) { Ok(false) } else { Err(said) }
        }
    }
}

/// The first `count` cases of a family; outlines that cross themselves are none.
fn family(family: usize, count: usize) {
    let bench = Bench::new();
    let mut cut = 0;
    let mut wrong = Vec::new();
    for case in (0..).filter_map(|seed| build(family, seed)).take(count) {
        match try_one(&bench, &case) {
            Ok(true) => cut += 1,
            Ok(false) => {}
            Err(why) => wrong.push(format!("{} with {:?}: {why}", case.name, case.cutters)),
        }
    }
    assert!(wrong.is_empty(), "{} of {count}:\n{}", wrong.len(), wrong.join("\n"));
    // A family of nothing but refusals would prove nothing; slots that are too narrow are that.
    let name = FAMILIES[family];
    assert!(cut * 3 > count || name == FAMILIES[6], "{name}: {cut} of {count} cut");
}

/// One test a family, so that they run side by side.
macro_rules! families {
    ($($name:ident: $family:literal,)*) => {
        $(#[test] fn $name() { family($family, cases()); })*
    };
}

families! {
    stars: 0,
    combs: 1,
    spirals: 2,
    islands_that_nearly_touch: 3,
    arcs_tangent_to_lines: 4,
    slots_just_as_wide_as_the_cutter: 5,
    slots_a_micrometre_narrower: 6,
    dumb_bells: 7,
    pockets_within_pockets: 8,
    bulged_polygons: 9,
    bands_of_arcs: 10,
}
