//! What the setup sheet says of a moulding.

use super::Shop;
use crate::cuts::sweep::Face;
use crate::part::{PassOrder, Pose};

/// Remarks and cautions.
pub(super) fn of(shop: &Shop<'_>) -> (Vec<String>, Vec<String>) {
    let shown = shop.bench.job.shown;
    let moulding = shop.moulding;
    let mut remarks = vec![format!("The moulding lies {}.", moulding.pose.words())];
    let (rough, _, _) = &shop.cutters.rough;
    remarks.push(format!(
        "Roughed with {} to {} off the face.",
        rough.title(),
        shown.both(moulding.shape.allowance.0)
    ));
    for (cutter, _, _, tips) in &shop.cutters.finish {
        let count = tips.len();
        let plural = if count == 1 { "pass" } else { "passes" };
        remarks.push(format!(
            "Finished with {} in {count} {plural} along the moulding, ridges of {} at most.",
            cutter.title(),
            shown.both(moulding.shape.scallop.0)
        ));
    }
    if moulding.shape.passes == PassOrder::Downhill {
        remarks.push("Each pass runs from the middle down to either end.".to_string());
    }
    if moulding.segments.len() > 1 && super::rows::pieces(shop).is_none() {
        remarks.push(format!(
            "{} segments, butted square; the grain runs out by {:.1} degrees at most.",
            moulding.segments.len(),
            moulding.run_out.to_degrees()
        ));
    }
    (remarks, cautions(shop))
}

fn name(shop: &Shop<'_>, element: usize) -> String {
    let kind = shop.moulding.profile.elements.get(element).map_or("face", |e| e.kind.name());
    format!("the {} (element {})", kind, element + 1)
}

fn cautions(shop: &Shop<'_>) -> Vec<String> {
    let shown = shop.bench.job.shown;
    let mut out = Vec::new();
    for hidden in &shop.section.face.hidden {
        let of = match hidden.by {
            Some(by) if by == hidden.element => "itself".to_string(),
            _ => name(shop, hidden.element),
        };
        let by = hidden.by.map_or("the wood over it".to_string(), |by| name(shop, by));
        out.push(format!(
            "{} hides {} of {of}: {}.",
            upper(&by),
            shown.both(hidden.depth),
            way_out(shop)
        ));
    }
    for left in &shop.cutters.leftovers {
        if left.depth <= shop.moulding.shape.scallop.0 {
            continue;
        }
        let place = left.element.map_or("the back".to_string(), |e| name(shop, e));
        out.push(format!(
            "No cutter used here gets into a corner of {place}: up to {} stays, for a scraper or a smaller cutter.",
            shown.both(left.depth)
        ));
    }
    out
}

/// Another pose that hides nothing, or hand work.
fn way_out(shop: &Shop<'_>) -> String {
    let free = Pose::ALL.into_iter().find(|pose| {
        *pose != shop.moulding.pose && Face::of(&shop.moulding.profile, *pose).hidden.is_empty()
    });
    match free {
        Some(pose) => format!(
            "laid {} it hides nothing; else a scraper or a shaped cutter takes the rest",
            pose.words()
        ),
        None => "a scraper or a shaped cutter takes the rest".to_string(),
    }
}

fn upper(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or(String::new(), |c| c.to_uppercase().chain(letters).collect())
}
