//! What an outline cut may not be asked for, each with what would work.

use super::{Layout, OutlineSpec};
use crate::diagnostic::Diagnostic;
use crate::geometry::{Contour, Piece};
use crate::job::{Entry, Side};
use crate::shop::{Cutter, CutterShape};

/// Room kept between the holder's face and the stock's top.
const HOLDER_ROOM: f64 = 2.0;
/// The least allowance: entry and leads need a shaving of waste to stand in.
const LEAST_ALLOWANCE: f64 = 0.1;

/// Wood left under a cut that still holds it, mm (common practice); less breaks away.
const LEAST_SKIN: f64 = 0.3;
/// Least width and height of a tab that holds, mm (common practice).
const LEAST_TAB: (f64, f64) = (3.0, 1.0);
/// More passes than this are a typing mistake in the stepdown.
const MOST_PASSES: f64 = 200.0;
/// Gentler ramps than this, radians, go round and round: a fifth of a degree.
const LEAST_RAMP: f64 = 0.0035;

/// All that can be said before any geometry is made.
pub(super) fn check(spec: &OutlineSpec<'_>) -> Result<(), Vec<Diagnostic>> {
    let mut found = Vec::new();
    cutter(spec, &mut found);
    depth(spec, &mut found);
    allowance(spec, &mut found);
    concave(spec, &mut found);
    narrow(spec, &mut found);
    steps(spec, &mut found);
    hold(spec, &mut found);
    if found.is_empty() { Ok(()) } else { Err(found) }
}

fn cutter(spec: &OutlineSpec<'_>, found: &mut Vec<Diagnostic>) {
    let c = spec.cutter;
    if !matches!(c.shape, CutterShape::Flat | CutterShape::BullNose) {
        found.push(
            Diagnostic::error(format!("{} has no straight side to cut an edge with", c.title()))
                .key("outline.cutter")
                .help("use a flat cutter"),
        );
    }
    if spec.cut.entry == Entry::Plunge && !c.centre_cutting {
        found.push(
            Diagnostic::error(format!(
                "{} can not go straight down: it is not centre-cutting",
                c.title()
            ))
            .key("outline.entry")
            .help("use `ramp` or `helix`"),
        );
    }
    let depth = spec.stock.max.z - spec.bottom();
    if depth > c.flute_length.0 {
        found.push(
            Diagnostic::error(format!(
                "the cut is {} deep, the flutes of {} only {} long",
                spec.shown.both(depth),
                c.title(),
                spec.shown.both(c.flute_length.0)
            ))
            .key("outline.cutter")
            .help(long_enough(spec, depth)),
        );
    } else if depth + HOLDER_ROOM > c.stick_out.0 {
        found.push(
            Diagnostic::error(format!(
                "the holder would come within {} of the stock: {} stands out only {}",
                spec.shown.both(c.stick_out.0 - depth),
                c.title(),
                spec.shown.both(c.stick_out.0)
            ))
            .key("outline.cutter")
            .help(format!("set it to stand out at least {}", spec.shown.both(depth + HOLDER_ROOM))),
        );
    }
}

/// The narrowest cutter that cuts an edge so deep.
pub(in crate::cuts) fn narrowest(cutters: &[Cutter], depth: f64) -> Option<&Cutter> {
    let diameter = |a: &&Cutter, b: &&Cutter| a.diameter.0.total_cmp(&b.diameter.0);
    cutters.iter().filter(|c| cuts_so_deep(c, depth)).min_by(diameter)
}

/// Whether a cutter cuts an edge so deep.
pub(in crate::cuts) fn cuts_so_deep(cutter: &Cutter, depth: f64) -> bool {
    matches!(cutter.shape, CutterShape::Flat | CutterShape::BullNose)
        && cutter.flute_length.0 >= depth
        && cutter.stick_out.0 >= depth + HOLDER_ROOM
}

/// The way out of a cut that is deeper than the flutes: the narrowest of the shop that would do.
fn long_enough(spec: &OutlineSpec<'_>, depth: f64) -> String {
    let wanted = format!("a cutter with flutes of at least {}", spec.shown.both(depth));
    match narrowest(spec.cutters, depth) {
        Some(c) => format!("use {wanted}, such as {} (`cutter = {}`)", c.title(), c.number),
        None => format!("use {wanted}; the shop has none, or cut in a thinner board"),
    }
}

fn depth(spec: &OutlineSpec<'_>, found: &mut Vec<Diagnostic>) {
    let thickness = spec.stock.max.z - spec.stock.min.z;
    let left = spec.bottom() - spec.stock.min.z;
    if left > 1e-9 && left < LEAST_SKIN {
        let key = if spec.cut.depth.is_some() { "outline.depth" } else { "hold.skin" };
        found.push(
            Diagnostic::error(format!(
                "{left:.3} mm would be left under the cut, which holds nothing"
            ))
            .key(key)
            .help(format!(
                "leave at least {}, or cut all through and hold the part otherwise",
                spec.shown.both(LEAST_SKIN)
            )),
        );
    }
    let twice = match (spec.cut.depth, spec.hold.skin, spec.hold.tabs) {
        (Some(_), Some(_), _) => Some(("hold.skin", "a skin and an outline depth")),
        (None, Some(_), Some(_)) => Some(("hold.tabs", "a skin and tabs")),
        _ => None,
    };
    if let Some((key, what)) = twice {
        found.push(
            Diagnostic::error(format!("{what} can not both be had")).key(key).help("leave one out"),
        );
    }
    if let Some(depth) = spec.cut.depth {
        if depth.0 <= 0.0 || depth.0 > thickness {
            found.push(
                Diagnostic::error(format!(
                    "a depth of {} does not lie within the stock",
                    spec.shown.both(depth.0)
                ))
                .key("outline.depth")
                .help(format!(
                    "more than 0 and at most {}; leave it out to cut all through",
                    spec.shown.both(thickness)
                )),
            );
        }
    } else if let Some(skin) = spec.hold.skin {
        if skin.0 <= 0.0 || skin.0 >= thickness {
            found.push(
                Diagnostic::error(format!("a skin of {} is none", spec.shown.both(skin.0)))
                    .key("hold.skin")
                    .help(format!("more than 0 and less than {}", spec.shown.both(thickness))),
            );
        }
    } else {
        let most = spec.machine.into_spoilboard.0;
        if spec.cut.overcut.0 < 0.0 || spec.cut.overcut.0 > most {
            found.push(
                Diagnostic::error(format!(
                    "an overcut of {} is not permitted",
                    spec.shown.both(spec.cut.overcut.0)
                ))
                .key("outline.overcut")
                .help(format!(
                    "0 to {}: the shop's `into-spoilboard` permits no more",
                    spec.shown.both(most)
                )),
            );
        }
    }
}

fn allowance(spec: &OutlineSpec<'_>, found: &mut Vec<Diagnostic>) {
    let (a, most) = (spec.cut.allowance.0, spec.cutter.radius());
    if spec.cut.side != Side::On && !(LEAST_ALLOWANCE..=most).contains(&a) {
        found.push(
            Diagnostic::error(format!("an allowance of {} does not work", spec.shown.both(a)))
                .key("outline.allowance")
                .help(format!(
                    "{} to {}: the cutter goes down in the waste, and its radius is the most",
                    spec.shown.both(LEAST_ALLOWANCE),
                    spec.shown.both(most)
                )),
        );
    }
}

/// A hollow of the line, seen from the cutter, must be wider than the cutter.
fn concave(spec: &OutlineSpec<'_>, found: &mut Vec<Diagnostic>) {
    let radius = spec.cutter.radius()
        + if spec.cut.side == Side::On { 0.0 } else { spec.cut.allowance.0.max(0.0) };
    let hollow = |bulge: f64| match spec.cut.side {
        Side::Outside => bulge < 0.0,
        Side::Inside => bulge > 0.0,
        Side::On => false,
    };
    let tightest = spec
        .part
        .pieces()
        .filter(|p| p.is_arc() && hollow(p.bulge))
        .map(|p| p.radius())
        .min_by(f64::total_cmp);
    if let Some(least) = tightest.filter(|r| *r < radius) {
        let most = 2.0 * (least - spec.cut.allowance.0).max(0.0);
        found.push(
            Diagnostic::error(format!(
                "{} does not fit a hollow of radius {} with the allowance left on",
                spec.cutter.title(),
                spec.shown.both(least)
            ))
            .key("outline.cutter")
            .help(format!("a cutter of at most {} fits", spec.shown.both(most))),
        );
    }
}

/// An opening must let the cutter into all of it but the roundings of its corners.
fn narrow(spec: &OutlineSpec<'_>, found: &mut Vec<Diagnostic>) {
    if spec.cut.side != Side::Inside || reaches(spec.part, spec.cutter.radius()) {
        return;
    }
    let (mut low, mut high) = (0.0, spec.cutter.radius());
    for _ in 0..40 {
        let middle = (low + high) / 2.0;
        if reaches(spec.part, middle) { low = middle } else { high = middle }
    }
    found.push(
        Diagnostic::error(format!(
            "{} does not reach all of the opening: somewhere it is narrower than the cutter",
            spec.cutter.title()
        ))
        .key("outline.cutter")
        .help(match low > 0.1 {
            true => format!("a cutter of at most {} does", spec.shown.both(2.0 * low)),
            false => "widen the opening's ends".to_string(),
        }),
    );
}

/// Whether a cutter of `radius` leaves of an opening nothing but what rounds its corners: in a
/// corner of angle g that is r² (1/tan(g/2) - (pi - g)/2) (closed form).
fn reaches(part: &Contour, radius: f64) -> bool {
    let opened = |r: f64| -> Option<f64> {
        let inner = part.offset(r).ok()?;
        let [one] = inner.as_slice() else { return None };
        let back = one.offset(-r).ok()?;
        let [one] = back.as_slice() else { return None };
        Some(one.area().abs())
    };
    let Some(area) = opened(radius) else { return false };
    let pieces: Vec<Piece> = part.pieces().collect();
    let corners: f64 = (0..pieces.len())
        .map(|i| {
            let (a, b) = (&pieces[i], &pieces[(i + 1) % pieces.len()]);
            let (into, out) = (a.direction(1.0), b.direction(0.0));
            let turn = into.cross(out).atan2(into.dot(out));
            // Counter-clockwise: a left turn is a corner that the cutter can not fill.
            let g = std::f64::consts::PI - turn.max(0.0);
            radius * radius * (1.0 / (g / 2.0).tan() - (std::f64::consts::PI - g) / 2.0)
        })
        .sum();
    part.area().abs() - area <= corners * 1.05 + 1e-3
}

fn steps(spec: &OutlineSpec<'_>, found: &mut Vec<Diagnostic>) {
    let depth = spec.stock.max.z - spec.bottom();
    let passes = depth / spec.data.stepdown.value;
    if passes > MOST_PASSES {
        found.push(
            Diagnostic::error(format!(
                "a stepdown of {:.4} mm makes {passes:.0} passes",
                spec.data.stepdown.value
            ))
            .key("feeds.stepdown")
            .help(format!("at least {} works here", spec.shown.both(depth / MOST_PASSES))),
        );
    }
    if spec.data.ramp_angle.value < LEAST_RAMP {
        found.push(
            Diagnostic::error(format!(
                "a ramp of {:.4} degrees goes round without end",
                spec.data.ramp_angle.value.to_degrees()
            ))
            .key("feeds.ramp-angle")
            .help("2 to 5 degrees are usual (common practice); at least 0.2 works"),
        );
    }
}

fn hold(spec: &OutlineSpec<'_>, found: &mut Vec<Diagnostic>) {
    let thickness = spec.stock.max.z - spec.stock.min.z;
    let through = spec.bottom() < spec.stock.min.z + 1e-9;
    if let Some(tabs) = spec.hold.tabs {
        if tabs.height.0 < LEAST_TAB.1 || tabs.height.0 > thickness / 2.0 {
            found.push(
                Diagnostic::error(format!(
                    "tabs {} high do not suit this stock",
                    spec.shown.both(tabs.height.0)
                ))
                .key("hold.tabs.height")
                .help(format!(
                    "{} to {}",
                    spec.shown.both(LEAST_TAB.1),
                    spec.shown.both(thickness / 2.0)
                )),
            );
        }
        if tabs.width.0 < LEAST_TAB.0 {
            found.push(
                Diagnostic::error(format!(
                    "tabs {} long hold nothing",
                    spec.shown.both(tabs.width.0)
                ))
                .key("hold.tabs.width")
                .help(format!(
                    "at least {}; the cutter's diameter or more is usual (common practice)",
                    spec.shown.both(LEAST_TAB.0)
                )),
            );
        }
    }
    let held = spec.hold.tabs.is_some() || spec.hold.bed.is_some() || spec.part_is_fixed;
    if through && !held {
        found.push(
            Diagnostic::error("nothing holds the part when the last pass cuts it free")
                .key("hold")
                .help("give [hold] a `tabs` table, a `skin`, a `bed` of tape or vacuum, or a screw that stands within the part"),
        );
    }
}

/// What the setup sheet says of depth and hold.
pub(super) fn describe(layout: &Layout<'_>, remarks: &mut Vec<String>, cautions: &mut Vec<String>) {
    let spec = &layout.spec;
    let shown = spec.shown;
    if !layout.tabs.is_empty()
        && let Some(tabs) = spec.hold.tabs
    {
        let count = layout.tabs.len();
        remarks.push(format!(
            "{count} {}, {} long and {} high, {} the part; saw through and pare flush.",
            if count == 1 { "tab" } else { "tabs" },
            shown.both(tabs.width.0),
            shown.both(tabs.height.0),
            if count == 1 { "holds" } else { "hold" },
        ));
    }
    if spec.cut.side == Side::Inside {
        remarks.push(format!(
            "Inner corners stay round at the cutter's radius, {}; square them by hand.",
            shown.both(spec.cutter.radius())
        ));
    }
    if let (Some(skin), None) = (spec.hold.skin, spec.cut.depth) {
        remarks.push(format!(
            "A skin of {} is left under the cut; cut it with a knife or a flush-trim bit.",
            shown.both(skin.0)
        ));
    }
    if spec.bottom() < spec.stock.min.z - 1e-9 {
        remarks.push(format!(
            "The last pass goes {} into the spoilboard.",
            shown.both(spec.stock.min.z - spec.bottom())
        ));
    }
    let tabbed = spec.hold.tabs.is_some();
    if layout.spec.cuts_through() && !tabbed {
        let by = if spec.hold.bed.is_some() { "the bed" } else { "its screw or clamp" };
        cautions.push(format!(
            "Only {by} holds the part after the last pass: try the hold by hand before starting."
        ));
    }
}
