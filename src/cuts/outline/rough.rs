//! Roughing: round after round, each a step deeper, joined without lifting.

use super::Layout;
use crate::cuts::Profile;
use crate::cuts::levels::levels;
use crate::cuts::pen::Pen;
use crate::job::{Entry, Side};
use crate::toolpath::Purpose;

/// All roughing passes, from and to travel height.
pub(super) fn cut(layout: &Layout<'_>, pen: &mut Pen<'_>) {
    let spec = &layout.spec;
    let track = &layout.rough;
    let top = spec.stock.max.z;
    let mut place = start(layout);
    pen.approach(track.at(place));
    pen.plunge(top);
    let mut above = top;
    for z in levels(top, layout.bottom, spec.data.stepdown.value) {
        let slope = match spec.cut.entry {
            Entry::Ramp => (above - z) / spec.data.ramp_angle.value.tan(),
            Entry::Helix => {
                // Never steeper than the ramp, also on an outline shorter than that ramp.
                let least = (above - z) / spec.data.ramp_angle.value.tan();
                let laps = (least / track.length()).ceil().max(1.0);
                laps * track.length()
            }
            Entry::Plunge => 0.0,
        };
        let ramp_end = place + slope;
        // Down a helix each round clears what the one before left sloping; only the last needs a
        // level round after it.
        let level = spec.cut.entry != Entry::Helix || z <= layout.bottom + 1e-9;
        let end = ramp_end + if level { track.length() } else { 0.0 };
        let profile = heights(layout, place, ramp_end, end, above, z);
        if spec.cut.entry == Entry::Plunge {
            pen.plunge(profile.at(place));
        }
        let purpose = |s: f64| match (s < ramp_end, profile.at(s) > z + 1e-6) {
            (true, _) => Purpose::Entry,
            (false, true) => Purpose::Tab,
            // On the line there is no finishing pass: the last round is what shows.
            (false, false) if spec.cut.side == Side::On && z <= layout.bottom + 1e-9 => {
                Purpose::Finish
            }
            (false, false) => Purpose::Rough,
        };
        pen.follow(track, (place, end), &profile, &purpose);
        place = end.rem_euclid(track.length());
        above = z;
    }
    pen.retract();
}

/// Heights of one round: down the slope, level, up over the tabs.
fn heights(layout: &Layout<'_>, from: f64, ramp_end: f64, to: f64, above: f64, z: f64) -> Profile {
    let pass = Profile::through(vec![(from, above), (ramp_end, z)]);
    if layout.tabs.is_empty() || z >= layout.tab_top {
        return pass;
    }
    pass.max(&layout.over_tabs(&layout.rough, from, to))
}

/// Where roughing starts: a little into the longest piece, off its corner.
fn start(layout: &Layout<'_>) -> f64 {
    let longest = layout
        .rough
        .pieces()
        .filter(|(_, piece)| !piece.is_arc())
        .max_by(|a, b| a.1.length().total_cmp(&b.1.length()))
        .or_else(|| layout.rough.pieces().max_by(|a, b| a.1.length().total_cmp(&b.1.length())));
    longest.map_or(0.0, |(s, piece)| {
        s + (2.0 * layout.spec.cutter.diameter.0).min(piece.length() / 2.0)
    })
}
