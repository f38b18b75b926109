//! The section of a moulding with its passes, as the setup sheet shows it.
#![allow(clippy::unwrap_used)]

use ovolo::cuts::{self, SectionCut};
use ovolo::drawing::{SectionPass, SectionPicture, section_picture};
use ovolo::job::Job;
use ovolo::shop::Shop;

/// A moulding along a line, of these elements from the lower edge on.
fn section(elements: &str, pose: &str) -> (SectionCut, String) {
    let text = format!(
        "title = \"moulding\"\nunits = \"mm\"\nspecies = \"yellow-poplar\"\n\
         stock = {{ length = 400, width = 120, thickness = 25 }}\n\
         hold = {{ tabs = {{ count = 2, width = 12, height = 3 }} }}\n\
         [[part]]\nkind = \"moulding\"\npose = \"{pose}\"\nscallop = 0.05\n\
         path = {{ kind = \"line\", length = 300 }}\n\
         profile = {{ back = 10, element = [{elements}] }}\n\
         outline = {{ cutter = 2 }}\n"
    );
    let job = Job::read("moulding.toml", &text).unwrap();
    let shop = Shop::built_in().unwrap();
    let section =
        cuts::plan(&job, &shop).unwrap_or_else(|e| panic!("{e}")).remove(0).section.unwrap();
    let each = section.passes.iter().zip(&section.after);
    let passes = each.map(|(one, after)| SectionPass {
        cutter: &one.cutter,
        tips: &one.tips,
        end: &one.end,
        after,
    });
    let svg = section_picture(&SectionPicture {
        name: "moulding",
        wanted: &section.wanted,
        top: section.top,
        reach: section.reach,
        passes: passes.collect(),
        stays: section.stays,
        shown: job.shown,
    });
    (section, svg)
}

const CYMA: &str = "{ kind = \"fillet\", height = 8 }, \
    { kind = \"cyma-reversa\", height = 20, projection = 10 }, \
    { kind = \"fillet\", height = 8 }";

/// A scotia goes behind its lower end: no cutter comes to it from above.
const HIDDEN: &str = "{ kind = \"fillet\", height = 5 }, \
    { kind = \"scotia\", height = 8, projection = 1 }, \
    { kind = \"fillet\", height = 5 }";

#[test]
fn what_stands_at_the_end_is_what_is_wanted_and_ridges() {
    let (section, svg) = section(CYMA, "back-down");
    let (low, high) = section.wanted.bounds().unwrap();
    let mut looked = 0;
    for p in section.after.last().unwrap() {
        // A wall's own column is left out.
        let walls = section.wanted.pieces().filter(|w| (w.from.x - w.to.x).abs() < 1e-9);
        if p.x <= low.x || p.x >= high.x || walls.into_iter().any(|w| (w.from.x - p.x).abs() < 0.1)
        {
            continue;
        }
        looked += 1;
        // A ridge of 0.05 mm at most, off the face, and 0.01 mm for the arcs' chords.
        let (gap, _) = section.wanted.nearest(*p).unwrap();
        assert!(gap < 0.06, "{p:?} stands {gap} off");
        assert!(gap < 0.01 || !section.wanted.contains(*p), "{p:?} is cut into");
    }
    assert!(looked > 400, "{looked}");
    assert!(!svg.contains("stays"), "{svg}");
}

#[test]
fn every_finishing_pass_has_its_mark_and_every_cutter_its_line() {
    let (section, svg) = section(CYMA, "back-down");
    for one in &section.passes {
        assert!(svg.contains(&one.cutter), "{} is not named", one.cutter);
    }
    // Marks and the cutter's end in colours of their own.
    let marks = |fill: &str| svg.matches(&format!("fill=\"{fill}\"")).count();
    for (pass, fill) in section.passes.iter().skip(1).zip(["#0072b2", "#d55e00"]) {
        let legend = 1;
        assert_eq!(marks(fill), pass.tips.len() + legend, "{}", pass.cutter);
    }
    // Each cutter takes off what the one before left, or leaves it.
    for pair in section.after.windows(2) {
        assert!(pair[0].iter().zip(&pair[1]).all(|(before, after)| after.y <= before.y));
    }
}

#[test]
fn what_no_cutter_reaches_is_drawn() {
    let (_, svg) = section(HIDDEN, "top-down");
    assert!(svg.contains("stays: none of these cutters reaches it"), "{svg}");
}
