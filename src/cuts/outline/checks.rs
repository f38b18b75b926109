//! What an outline cut may not be asked for, each with what would work.

use super::{Layout, OutlineSpec};
use crate::diagnostic::Diagnostic;
use crate::job::{Entry, Side};
use crate::shop::CutterShape;

/// Room kept between the holder's face and the stock's top.
const HOLDER_ROOM: f64 = 2.0;
/// The least allowance: entry and leads need a shaving of waste to stand in.
const LEAST_ALLOWANCE: f64 = 0.1;

/// All that can be said before any geometry is made.
pub(super) fn check(spec: &OutlineSpec<'_>) -> Result<(), Vec<Diagnostic>> {
    let mut found = Vec::new();
    cutter(spec, &mut found);
    depth(spec, &mut found);
    allowance(spec, &mut found);
    concave(spec, &mut found);
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
            .help(format!("use a cutter with flutes of at least {}", spec.shown.both(depth))),
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

fn depth(spec: &OutlineSpec<'_>, found: &mut Vec<Diagnostic>) {
    let thickness = spec.stock.max.z - spec.stock.min.z;
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

fn hold(spec: &OutlineSpec<'_>, found: &mut Vec<Diagnostic>) {
    let thickness = spec.stock.max.z - spec.stock.min.z;
    let through = spec.bottom() < spec.stock.min.z + 1e-9;
    if let Some(tabs) = spec.hold.tabs {
        if tabs.height.0 <= 0.0 || tabs.height.0 > thickness / 2.0 {
            found.push(
                Diagnostic::error(format!(
                    "tabs {} high do not suit this stock",
                    spec.shown.both(tabs.height.0)
                ))
                .key("hold.tabs.height")
                .help(format!("more than 0 and at most {}", spec.shown.both(thickness / 2.0))),
            );
        }
        if tabs.width.0 <= 0.0 {
            found.push(
                Diagnostic::error(format!("{} is no width", spec.shown.one(tabs.width.0)))
                    .key("hold.tabs.width")
                    .help("about twice the stock's tab height, and at least the cutter's diameter, is usual (common practice)"),
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
        remarks.push(format!(
            "{} tabs, {} long and {} high, hold the part; saw them through and pare them flush.",
            layout.tabs.len(),
            shown.both(tabs.width.0),
            shown.both(tabs.height.0)
        ));
        // Under the tabs' top the last pass takes a strip of the tab's own height.
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
