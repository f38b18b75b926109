//! The finishing pass: full depth, a shaving wide, with the grain where there is an arch.

use super::Layout;
use crate::cuts::Profile;
use crate::cuts::grain::{self, Arch};
use crate::cuts::lead::{lead_in, lead_out};
use crate::cuts::pen::Pen;
use crate::cuts::track::Track;
use crate::geometry::Point;
use crate::job::{Finish, Milling, Side};
use crate::toolpath::Purpose;

/// How far a pass runs on past where it, or the other half, began, so that no step shows.
pub(super) const OVERLAP: f64 = 2.0;

/// One sweep of the finishing pass.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Chain {
    /// In the direction of milling, or against it.
    pub(super) forward: bool,
    /// Place where it starts, on the track of its own direction.
    pub(super) from: f64,
    /// Place where it ends, greater than `from`.
    pub(super) to: f64,
}

/// The sweeps that the finishing pass is made of; none if there is no such pass.
pub(super) fn chains(layout: &Layout<'_>) -> Vec<Chain> {
    let cut = layout.spec.cut;
    if cut.side == Side::On || cut.finish == Finish::None {
        return Vec::new();
    }
    match arch(layout) {
        Some(arch) => downhill(layout, arch),
        None => around(&layout.finish),
    }
}

/// The arch to be finished from its crown, if the outline has exactly one.
fn arch(layout: &Layout<'_>) -> Option<Arch> {
    let spec = &layout.spec;
    if spec.cut.finish != Finish::Downhill || spec.cut.side != Side::Outside {
        return None;
    }
    // Arcs of less than four cutters are corners, not arches.
    let wide = 4.0 * spec.cutter.diameter.0;
    let convex = |a: &Arch| {
        let turn = layout.finish.direction(a.start + 1e-3).cross(layout.finish.direction(a.crown));
        (turn > 0.0) != layout.waste_left
    };
    let arches: Vec<Arch> =
        grain::arches(&layout.finish, spec.grain, wide).into_iter().filter(convex).collect();
    if let [one] = arches.as_slice() { Some(*one) } else { None }
}

/// Once round from the middle of the longest piece.
fn around(track: &Track) -> Vec<Chain> {
    let longest = track.pieces().max_by(|a, b| a.1.length().total_cmp(&b.1.length()));
    let from = longest.map_or(0.0, |(s, piece)| s + piece.length() / 2.0);
    vec![Chain { forward: true, from, to: from + track.length() + OVERLAP }]
}

/// First the half of the arch that lies against the direction of milling, from the crown down
/// and round the corner; then from the crown the other way, all round to where the first ended.
fn downhill(layout: &Layout<'_>, arch: Arch) -> Vec<Chain> {
    let track = &layout.finish;
    let back = track.reversed();
    let length = track.length();
    let from = length - arch.crown - OVERLAP / 2.0;
    let stop = next_rest(&back, length - arch.start, layout.spec.cutter.diameter.0);
    let first = Chain { forward: false, from, to: stop };
    let second = Chain {
        forward: true,
        from: arch.crown - OVERLAP / 2.0,
        to: 2.0 * length - stop + OVERLAP,
    };
    vec![first, second]
}

/// The middle of the next line or wide arc after place `s`.
fn next_rest(track: &Track, s: f64, diameter: f64) -> f64 {
    let ahead = |start: f64| (start - s + 1e-6).rem_euclid(track.length());
    let rest = track
        .pieces()
        .filter(|(_, piece)| piece.radius() > 4.0 * diameter)
        .min_by(|a, b| ahead(a.0).total_cmp(&ahead(b.0)));
    rest.map_or(s, |(start, piece)| s + ahead(start) + piece.length() / 2.0)
}

/// All sweeps, from and to travel height.
pub(super) fn cut(layout: &Layout<'_>, pen: &mut Pen<'_>) {
    for chain in &layout.chains {
        sweep(layout, chain, pen);
    }
}

fn sweep(layout: &Layout<'_>, chain: &Chain, pen: &mut Pen<'_>) {
    let track = layout.track_of(chain);
    let radius = layout.spec.cutter.diameter.0;
    let aside = layout.spec.cut.allowance.0;
    let waste = |direction: Point| layout.waste(direction, chain.forward);
    let (a, b) = (track.direction(chain.from), track.direction(chain.to));
    let off = |p: Point| track.at(track.nearest(p)).distance(p);
    let into = lead_in((track.at(chain.from), a, waste(a)), (aside, radius), &off);
    let out = lead_out((track.at(chain.to), b, waste(b)), (aside, radius), &off);
    let heights = match layout.tabs.is_empty() {
        true => Profile::level(layout.bottom),
        false => layout.over_tabs(&track, chain.from, chain.to),
    };
    let purpose = |s: f64| match heights.at(s) > layout.bottom + 1e-6 {
        true => Purpose::Tab,
        false => Purpose::Finish,
    };
    pen.approach(into.from);
    pen.plunge(layout.bottom);
    pen.piece(Purpose::Lead, &into, layout.bottom);
    pen.follow(&track, (chain.from, chain.to), &heights, &purpose);
    pen.piece(Purpose::Lead, &out, layout.bottom);
    pen.retract();
}

impl Layout<'_> {
    /// The finishing track in a sweep's own direction.
    pub(super) fn track_of(&self, chain: &Chain) -> Track {
        if chain.forward { self.finish.clone() } else { self.finish.reversed() }
    }
}

/// What the setup sheet says of the finishing pass.
pub(super) fn remarks(layout: &Layout<'_>) -> Vec<String> {
    let cut = layout.spec.cut;
    let (with, against) = match cut.milling {
        Milling::Climb => ("climb", "conventional"),
        Milling::Conventional => ("conventional", "climb"),
    };
    match (layout.chains.as_slice(), arch(layout)) {
        ([], _) if cut.side == Side::On => Vec::new(),
        ([], _) => vec![format!(
            "No finishing pass: {} stays on the edge, to be planed or sanded off.",
            layout.spec.shown.both(cut.allowance.0)
        )],
        ([_, _], Some(arch)) => {
            let towards_right = layout.finish.at(arch.end).x > layout.finish.at(arch.crown).x;
            let (forward, backward) =
                if towards_right { ("right", "left") } else { ("left", "right") };
            vec![
                format!(
                    "The arch is finished downhill, from the crown to each end, so that the cutter runs with the fibres: the {forward} half is {with}-milled, the {backward} half {}-milled.",
                    against
                ),
                format!("The rest of the outline is finished {with}-milled."),
            ]
        }
        _ => {
            let mut lines = vec![format!("The outline is finished in one round, {with}-milled.")];
            let arched = layout.spec.part.vertices.iter().any(|v| v.bulge != 0.0);
            if arched && cut.finish == Finish::Downhill {
                lines.push("It has no single arch, wider than four cutters and cut from outside, that could be finished downhill.".to_string());
            }
            lines
        }
    }
}
