//! What the setup sheet says of a moulding.

use super::{Shop, rows};
use crate::cuts::sweep::{Face, Leftover, Undercut};
use crate::part::{PassOrder, Pose};
use crate::shop::Cutter;

/// Remarks and cautions.
pub(super) fn of(shop: &Shop<'_>) -> (Vec<String>, Vec<String>) {
    let shown = shop.bench.job.shown;
    let moulding = shop.moulding;
    let mut remarks = vec![format!("The moulding lies {}.", moulding.pose.words())];
    let (rough, _, _) = &shop.cutters.rough;
    remarks.push(format!(
        "Roughed with {} to {} off the face.",
        rough.title(),
        shown.both(moulding.shape.cut.allowance.0)
    ));
    for (cutter, _, _, tips) in &shop.cutters.finish {
        let count = tips.len();
        let plural = if count == 1 { "pass" } else { "passes" };
        remarks.push(format!(
            "Finished with {} in {count} {plural} along the moulding, ridges of {} at most.",
            cutter.title(),
            shown.both(moulding.shape.cut.scallop.0)
        ));
    }
    if moulding.shape.cut.passes == PassOrder::Downhill {
        remarks.push("Each pass runs from the middle down to either end.".to_string());
    }
    remarks.extend(segments(shop));
    remarks.extend(ends(shop));
    (remarks, cautions(shop))
}

/// How many segments there are, and how they meet.
fn segments(shop: &Shop<'_>) -> Option<String> {
    let (moulding, shown) = (shop.moulding, shop.bench.job.shown);
    let count = moulding.segments.len();
    if count == 1 || rows::pieces(shop).is_some() {
        return None;
    }
    let joint = match moulding.key() {
        None => "butted square".to_string(),
        Some(key) => format!(
            "keyed: a tongue {} wide and {} long on the right end of each, a socket with {} of \
             room for it in the left end of the next",
            shown.both(key.width),
            shown.both(key.length),
            shown.both(key.gap)
        ),
    };
    let run_out = moulding.run_out.to_degrees();
    Some(format!("{count} segments, {joint}; the grain runs out by {run_out:.1} degrees at most."))
}

/// Which ends are not square.
fn ends(shop: &Shop<'_>) -> Vec<String> {
    let shape = &shop.moulding.shape;
    let sides = [
        ("left", shape.mitre_left, shape.return_left),
        ("right", shape.mitre_right, shape.return_right),
    ];
    let said = sides.iter().filter_map(|(name, mitre, turn)| match turn {
        Some(turn) => Some(format!(
            "The {name} end is returned in the solid, {:.1} degrees round the corner.",
            turn.0.to_degrees()
        )),
        None if mitre.0 != 0.0 => Some(format!(
            "The {name} end is mitred, {:.2} degrees off square.",
            mitre.0.to_degrees()
        )),
        None => None,
    });
    said.collect()
}

/// An element as a person calls it.
fn element(shop: &Shop<'_>, element: usize) -> Option<String> {
    let kind = shop.moulding.profile.elements.get(element)?.kind.name();
    Some(format!("the {kind} (element {})", element + 1))
}

/// A stretch of a traced face.
fn stretch(shop: &Shop<'_>, (low, high): (f64, f64)) -> String {
    let shown = shop.bench.job.shown;
    // Less than this is one place to a rule.
    if high - low < 0.5 {
        return format!("the face {} up", shown.both((low + high) / 2.0));
    }
    format!("the face from {} to {} up", shown.both(low), shown.both(high))
}

fn cautions(shop: &Shop<'_>) -> Vec<String> {
    let (moulding, shown) = (shop.moulding, shop.bench.job.shown);
    let hidden = shop.section.face.hidden.iter().map(|hidden| undercut(shop, hidden));
    let scallop = moulding.shape.cut.scallop.0;
    let left = shop.cutters.leftovers.iter().filter(|l| l.depth > scallop);
    let mut out: Vec<String> = hidden.chain(left.map(|l| leftover(shop, l))).collect();
    let hollow: usize = moulding.segments.iter().map(|s| s.path.hollow_mitres().len()).sum();
    if hollow > 0 {
        let round = shop.cutters.all().map(Cutter::radius).fold(0.0, f64::max);
        let (what, it) = if hollow == 1 { ("mitre", "it") } else { ("mitres", "them") };
        out.push(format!(
            "{hollow} hollow {what}: the cutters' roundness, of up to {}, stays in {it}, for a \
             chisel.",
            shown.both(round)
        ));
    }
    out.extend(rounded_return(shop));
    out
}

fn undercut(shop: &Shop<'_>, hidden: &Undercut) -> String {
    let shown = shop.bench.job.shown;
    let depth = shown.both(hidden.depth);
    let by = match hidden.by {
        None => "the wood over it".to_string(),
        Some(by) => {
            element(shop, by).unwrap_or_else(|| stretch(shop, (hidden.under, hidden.under)))
        }
    };
    let of = match element(shop, hidden.element) {
        _ if hidden.by == Some(hidden.element) && !shop.moulding.profile.elements.is_empty() => {
            "itself".to_string()
        }
        Some(of) => of,
        None => stretch(shop, hidden.up),
    };
    format!("{} hides {depth} of {of}: {}.", upper(&by), way_out(shop))
}

fn leftover(shop: &Shop<'_>, left: &Leftover) -> String {
    let shown = shop.bench.job.shown;
    let depth = shown.both(left.depth);
    let named: Vec<String> = left.elements.iter().filter_map(|e| element(shop, (*e)?)).collect();
    let place = match named.as_slice() {
        [a, b] if a == b => format!("in {a}"),
        [a, b] => format!("between {a} and {b}"),
        [a] if left.elements.contains(&None) => format!("between the back and {a}"),
        _ => format!("in {}", stretch(shop, left.up)),
    };
    if left.quirk {
        let width = shown.both(left.width);
        return format!(
            "The quirk {place}, {width} wide, is too narrow for the cutters used: up to {depth} \
             stays, for a scraper or a shaped cutter."
        );
    }
    format!(
        "No cutter used here gets into the corner {place}: up to {depth} stays, for a scraper or a \
         smaller cutter."
    )
}

/// What the parting cutter's roundness leaves on an end returned in plan.
fn rounded_return(shop: &Shop<'_>) -> Option<String> {
    let moulding = shop.moulding;
    if !moulding.has_return_in_plan() {
        return None;
    }
    let ends = [moulding.segments.first(), moulding.segments.last()];
    let more = ends.into_iter().flatten().any(|segment| {
        let cut = shop.outline(segment).map_or(0.0, |outline| outline.area());
        // A tenth of a square millimetre is a shaving.
        cut > segment.outline.area() + 0.1
    });
    more.then(|| {
        format!(
            "Hollows of the returned end keep the roundness of {}, a radius of {}, for a chisel.",
            shop.parting.0.title(),
            shop.bench.job.shown.both(shop.parting.0.radius())
        )
    })
}

/// Another pose that hides nothing, or hand work.
fn way_out(shop: &Shop<'_>) -> String {
    let shown = shop.bench.job.shown;
    let by_hand = "a scraper or a shaped cutter takes the rest";
    let faces = Pose::ALL.into_iter().filter(|pose| *pose != shop.moulding.pose);
    let free = faces
        .map(|pose| (pose, Face::of(&shop.moulding.profile, pose)))
        .find(|(_, face)| face.hidden.is_empty());
    match free {
        Some((pose, face)) => format!(
            "laid {}, in stock {} thick, it hides nothing; as it lies {by_hand}",
            pose.words(),
            shown.both(face.height)
        ),
        None => by_hand.to_string(),
    }
}

fn upper(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or(String::new(), |c| c.to_uppercase().chain(letters).collect())
}
