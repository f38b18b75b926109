//! The hard pockets kept as files in `tests/pockets`: made by hand, and random ones (`seed-`) that
//! an offset once failed. Each is offset, nested to its middle and opened; those made by hand are
//! also cut, written as text and read back.
//!
//! A file: lines that start with `#` say why it is kept, `distance` in millimetres, then blocks of
//! `ring N` and N corners `x y bulge`, the outline first.
#![allow(clippy::unwrap_used, unreachable_pub)]

#[path = "pocket_property/frame.rs"]
mod frame;
#[path = "pocket_property/judge.rs"]
#[allow(dead_code)]
mod judge;
mod offset_support;
#[path = "pocket_property/shapes.rs"]
#[allow(dead_code)]
mod shapes;
#[path = "pocket_property/text.rs"]
mod text;

use offset_support::hard::{Dice, judge_by_distance};
use ovolo::geometry::{Contour, Region, Vertex, outset_all, point};
use ovolo::part::features::Clearing;
use shapes::{Case, NARROW};
use text::Bench;

/// The narrow cutter's number; the pockets made by hand are hard at its radius.
const CUTTER: u32 = 3;

struct Kept {
    name: String,
    distance: f64,
    region: Region,
}

fn read(name: &str, text: &str) -> Kept {
    let mut distance = None;
    let mut rings: Vec<Contour> = Vec::new();
    for line in text.lines().filter(|line| !line.starts_with('#')) {
        let words: Vec<&str> = line.split_whitespace().collect();
        match words[..] {
            ["distance", d] => distance = Some(d.parse().unwrap()),
            ["ring", _] => rings.push(Contour { vertices: Vec::new(), closed: true }),
            [x, y, bulge] => rings.last_mut().unwrap().vertices.push(Vertex {
                at: point(x.parse().unwrap(), y.parse().unwrap()),
                bulge: bulge.parse().unwrap(),
            }),
            _ => panic!("{name}: {line}"),
        }
    }
    let outer = rings.remove(0);
    let region = Region::new(outer, rings).unwrap_or_else(|e| panic!("{name}: {e}"));
    Kept { name: name.to_string(), distance: distance.unwrap(), region }
}

fn kept(wanted: impl Fn(&str) -> bool) -> Vec<Kept> {
    let folder = format!("{}/tests/pockets", env!("CARGO_MANIFEST_DIR"));
    let mut files: Vec<_> = std::fs::read_dir(folder).unwrap().map(|f| f.unwrap().path()).collect();
    files.sort();
    let name = |f: &std::path::PathBuf| f.file_stem().unwrap().to_str().unwrap().to_string();
    files
        .iter()
        .filter(|f| wanted(&name(f)))
        .map(|f| read(&name(f), &std::fs::read_to_string(f).unwrap()))
        .collect()
}

fn area(of: &[Region]) -> f64 {
    of.iter().map(Region::area).sum()
}

#[test]
fn every_kept_pocket_is_offset_nested_and_opened() {
    let all = kept(|_| true);
    assert!(all.len() >= 17, "{}", all.len());
    for Kept { name, distance: d, region } in all {
        let fails = |what: &str, why| -> ! { panic!("{name}: {what}: {why}") };
        let inset = region.inset(d).unwrap_or_else(|e| fails("inset", e));
        judge_by_distance(&name, &region, &inset, d, &Dice::new(1));
        // A third of the distance apart to the middle: what the seeds failed at.
        let rings = region.rings(d / 3.0, d / 3.0, None).unwrap_or_else(|e| fails("rings", e));
        let length: f64 = region.contours().map(Contour::length).sum();
        let third = rings.get(2).map_or(0.0, |ring| area(ring));
        // Two rings within the tolerance of one distance, along the outline.
        assert!((third - area(&inset)).abs() < 2e-3 * length, "{name}: {third} at {d}");
        for pair in rings.windows(2) {
            assert!(area(&pair[1]) < area(&pair[0]), "{name}: a ring grows");
        }
        let opened = outset_all(&inset, d).unwrap_or_else(|e| fails("opening", e));
        assert!(area(&opened) < region.area() + 1e-3 * length, "{name}: opening grows");
    }
}

#[test]
fn every_kept_pocket_made_by_hand_is_cleared_and_its_walls_are_not_cut() {
    cleared_and_walls_not_cut(Clearing::Offset);
}

#[test]
fn so_it_is_with_the_load_held() {
    cleared_and_walls_not_cut(Clearing::HeldLoad);
}

fn cleared_and_walls_not_cut(clearing: Clearing) {
    let bench = Bench::new();
    let mut refused = Vec::new();
    for Kept { name, distance, region } in kept(|name| !name.starts_with("seed-")) {
        assert!((distance - NARROW).abs() < 1e-12, "{name} is made for another cutter");
        let (low, _) = region.outer().bounds().unwrap();
        // Clear of the board's edges.
        let shift = point(8.0, 8.0) - low;
        let islands = region.islands().iter().map(|c| c.moved(shift)).collect();
        let region = Region::new(region.outer().moved(shift), islands).unwrap();
        let case = Case {
            name: name.clone(),
            pockets: vec![(region, 3.0)],
            cutters: vec![CUTTER],
            exact: Vec::new(),
            hopeless: false,
            clearing,
        };
        match bench.cut(&case) {
            Ok(cut) => {
                judge::clear_of_walls(&case, &cut).unwrap_or_else(|why| panic!("{name}: {why}"));
                judge::judge(&case, &cut).unwrap_or_else(|why| panic!("{name}: {why}"));
            }
            Err(why) => {
                let said = why.to_string();
                assert!(said.contains("no cutter of the list goes into the pocket"), "{said}");
                refused.push(name);
            }
        }
    }
    // One that is just as wide as the cutter is cut; a micrometre narrower, it is refused.
    assert_eq!(refused, ["slot-round-narrower"]);
}
