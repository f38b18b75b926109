//! The load on the cutter's rim while pockets are cleared, measured from the planned moves alone:
//! the rim is looked at in directions against every disc that was cut before.
#![allow(clippy::unwrap_used)]

use ovolo::cuts::{self, PartPlan};
use ovolo::geometry::Point;
use ovolo::job::Job;
use ovolo::shop::Shop;
use ovolo::toolpath::Purpose;
use std::f64::consts::{FRAC_PI_2, PI};

const HEAD: &str = "title = \"pocket\"\nunits = \"mm\"\nspecies = \"yellow-poplar\"\n\
    stock = { length = 180, width = 130, thickness = 19 }\n\
    hold = { tabs = { count = 2, width = 12, height = 3 } }\n\
    [[part]]\nkind = \"board\"\nlength = 150\nwidth = 100\n\
    [[part.pocket]]\ndepth = 3\n";

/// The load is held where a pocket does not say otherwise.
fn plan(pocket: &str) -> PartPlan {
    let job = Job::read("pocket.toml", &format!("{HEAD}{pocket}\n")).unwrap();
    cuts::plan(&job, &Shop::built_in().unwrap()).unwrap().remove(0)
}

/// Half a degree.
const STEP: f64 = PI / 360.0;

/// The greatest engaged angle of the moves of the first cutter on the pocket's floor, after going
/// in. Wood thinner than a hundredth of the radius is none: less than a chip.
fn greatest(plan: &PartPlan, radius: f64, floor: f64) -> (f64, Point) {
    let mut cut: Vec<Point> = Vec::new();
    let mut greatest = (0.0_f64, Point::default());
    for (stroke, step) in plan.toolpath.strokes() {
        let level = |z: f64| (z - floor).abs() < 1e-6;
        if step.action.feed().is_none() || !level(stroke.to.z) {
            continue;
        }
        // A count of steps of a seventh of the radius.
        let count = (stroke.length() / (radius / 7.0)).ceil().max(1.0) as usize;
        for i in 1..=count {
            let share = i as f64 / count as f64;
            let p = stroke.at(share).xy();
            if step.purpose != Purpose::Entry && level(stroke.from.z) {
                let near: Vec<Point> =
                    cut.iter().copied().filter(|c| c.distance(p) < 2.02 * radius).collect();
                let along = stroke.direction(share).xy().angle();
                let wood = |i: &i32| {
                    let q =
                        p + Point::polar(radius, along - FRAC_PI_2 + STEP * (f64::from(*i) + 0.5));
                    near.iter().all(|c| c.distance(q) > 1.01 * radius)
                };
                let engaged = STEP * (0..360).filter(wood).count() as f64;
                if engaged > greatest.0 {
                    greatest = (engaged, p);
                }
            }
            cut.push(p);
        }
    }
    greatest
}

/// 1.2 times the angle of a straight pass, acos(1 - s / r) (closed form), and two degrees for the
/// steps looked at.
fn bound(plan: &PartPlan, radius: f64) -> f64 {
    let stepover = plan.cutters.iter().find(|(c, _)| (c.radius() - radius).abs() < 1e-9);
    let stepover = stepover.unwrap().1.stepover.value;
    1.2 * (1.0 - stepover / radius).acos() + 4.0 * STEP
}

const RADIUS: f64 = 6.35;

const POCKETS: [&str; 5] = [
    // Sharp corners.
    "area = { from = [20, 20], to = [80, 70] }\ncutters = [2]",
    // Round corners, tighter inside than the cutter bears.
    "area = { from = [20, 20], to = [120, 60], corner-radius = 12 }\ncutters = [2]",
    // Two ways past an island that stands off the middle.
    ISLAND,
    // Passes round an island, and dead ends beside another.
    "area = { from = [10, 10], to = [140, 90] }\n\
     island = [{ at = [60, 45], diameter = 18 }, { from = [100, 30], to = [128, 62] }]\ncutters = [2]",
    // One long chamber that is hardly wider than two passes.
    "area = { from = [10, 30], to = [140, 62] }\ncutters = [2]",
];

const ISLAND: &str = "area = { at = [70, 50], diameter = 80 }\n\
                      island = [{ at = [78, 50], diameter = 20 }]\ncutters = [2]";

#[test]
fn no_more_of_the_rim_is_in_the_wood_than_a_fifth_over_a_straight_pass() {
    for pocket in POCKETS {
        let plan = plan(pocket);
        let ((met, at), most) = (greatest(&plan, RADIUS, -3.0), bound(&plan, RADIUS));
        let told = &plan.pockets[0];
        assert!(met <= most, "{pocket}: {met} over {most} at {at:?}, told {told:?}");
        // What is told is what is there.
        let told = told.greatest;
        assert!((told - met).abs() < 0.08, "{pocket}: told {told}, measured {met}");
        assert!(plan.pockets[0].held && plan.pockets[0].above < 1e-9, "{:?}", plan.pockets[0]);
    }
}

/// A pocket cleared from its walls inward: where a place leaves no way round, what is above the
/// bound is short, told, and eased.
#[test]
fn what_is_above_the_bound_is_short_and_told() {
    let plan =
        plan("area = { from = [20, 20], to = [80, 70] }\ncutters = [2]\nstart = \"outside\"");
    let ((met, _), told) = (greatest(&plan, RADIUS, -3.0), &plan.pockets[0]);
    assert!((told.greatest - met).abs() < 0.08, "measured {met}, told {told:?}");
    assert!(told.above <= 0.02 * told.length, "{told:?}");
}

/// What the rim is spared costs time, up to twice as much in narrow rings; plain offsets have up to all
/// of it in the wood meanwhile.
#[test]
fn the_load_is_held_in_a_time_that_can_be_borne() {
    for pocket in POCKETS {
        let plain = plan(&format!("{pocket}\nclearing = \"offset\""));
        let made = plan(pocket);
        let (plain, held) = (&plain.pockets[0], &made.pockets[0]);
        assert!(held.seconds < 2.2 * plain.seconds, "{pocket}: {plain:?} {held:?}");
        assert!(held.greatest < plain.greatest, "{pocket}");
        // Where the price is high it is named, with the time that would be had.
        let would = format!("would take {:.0} s", plain.seconds);
        let named = made.remarks.iter().any(|r| r.contains("\"offset\"") && r.contains(&would));
        assert_eq!(named, plain.seconds < 0.8 * held.seconds, "{pocket}: {:?}", made.remarks);
    }
    let dear = |pocket: &&&str| plan(pocket).remarks.iter().any(|r| r.contains("\"offset\""));
    let count = POCKETS.iter().filter(dear).count();
    assert!(count > 0 && count < POCKETS.len(), "all or none: {count}");
}

/// A slot just as wide as the cutter is all cut while going in: there is no load after it to tell.
#[test]
fn what_is_all_cut_while_going_in_tells_no_load_after_it() {
    let made =
        plan("area = { from = [20, 20], to = [100, 32.7], corner-radius = 6.35 }\ncutters = [2]");
    let takes = made.remarks.iter().find(|r| r.contains(" takes ")).unwrap();
    assert!(made.pockets[0].greatest < 1e-3 && !takes.contains("after going in"), "{takes}");
}

#[test]
fn plain_offsets_load_the_whole_rim_and_say_so() {
    let pocket = "area = { from = [20, 20], to = [80, 70] }\ncutters = [2]\nclearing = \"offset\"";
    let plan = plan(pocket);
    let (met, _) = greatest(&plan, RADIUS, -3.0);
    assert!(met > 1.3 * bound(&plan, RADIUS), "{met}");
    let told = &plan.pockets[0];
    assert!(!told.held && told.above > 10.0 && (told.greatest - met).abs() < 0.1, "{told:?}");
    assert!(plan.remarks.iter().any(|r| r.contains("the feed is eased")), "{:?}", plan.remarks);
}

/// A slot a fifth wider than the cutter leaves no room to peel: the feed is eased, and it is told.
#[test]
fn where_nothing_else_fits_the_feed_is_eased() {
    let plan = plan("area = { from = [20, 20], to = [100, 34] }\ncutters = [2]");
    let told = &plan.pockets[0];
    assert!(told.opened > 50.0, "{told:?}");
    let at_full = plan.cutters.iter().find(|(c, _)| c.number == 2).unwrap().1.feed.value;
    let eased = plan.toolpath.steps.iter().any(|step| {
        step.purpose == Purpose::Entry && step.action.feed().is_some_and(|f| f <= 0.6 * at_full)
    });
    assert!(eased);
}

/// Area of the square less its four corners, (4 - pi) r² (closed form), over stepover and feed.
#[test]
fn the_ideal_time_is_the_area_over_stepover_and_feed() {
    let plan = plan("area = { from = [20, 20], to = [80, 80] }\ncutters = [2]");
    let told = &plan.pockets[0];
    let area = 3600.0 - (4.0 - PI) * RADIUS * RADIUS;
    assert!((told.area - area).abs() < 0.1, "{told:?}");
    let data = &plan.cutters.iter().find(|(c, _)| c.number == 2).unwrap().1;
    let ideal = 60.0 * area / (data.stepover.value * data.feed.value);
    assert!((told.ideal_seconds - ideal).abs() < 1e-3 * ideal);
    assert!(told.seconds > told.ideal_seconds);
    assert_eq!(told.passes, 1);
}
