//! Holding tabs as the text makes them: feed moves that rise from a level, go over, and come
//! down to the same level again.

use crate::geometry::{Point, Stroke};

/// Heights closer than this are the same height, mm: two steps of a dialect's third decimal.
pub(crate) const SAME: f64 = 2e-3;
/// Two tabs whose middles lie this near are one tab passed twice, mm: less than any cutter that
/// could stand between them.
const SAME_PLACE: f64 = 3.0;
/// A rise over more than this share of a run is not a tab but the shape of the work.
const LONGEST_SHARE: f64 = 0.25;

/// One holding tab.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tab {
    /// The middle of the way over it, seen from above.
    pub at: Point,
    /// Height of the cutter's tip over it.
    pub top: f64,
    /// The level it rises from.
    pub level: f64,
    /// Length of the way from level to level, seen from above.
    pub length: f64,
}

/// The tabs in one run of feed strokes: the first stroke of each, the one after its last, and
/// the tab. Only rises that stay below `ceiling` count.
#[must_use]
pub fn tabs(run: &[Stroke], ceiling: f64) -> Vec<(usize, usize, Tab)> {
    let whole: f64 = run.iter().map(flat_length).sum();
    let mut found = Vec::new();
    let mut i = 1;
    while i < run.len() {
        match tab_from(run, i, ceiling) {
            Some((end, tab)) if tab.length <= whole * LONGEST_SHARE => {
                found.push((i, end, tab));
                i = end;
            }
            _ => i += 1,
        }
    }
    found
}

fn tab_from(run: &[Stroke], start: usize, ceiling: f64) -> Option<(usize, Tab)> {
    let level = run[start].from.z;
    let was_level = is_level(&run[start - 1]) && flat_length(&run[start - 1]) > 0.0;
    if !was_level || !rises(&run[start]) {
        return None;
    }
    let mut end = start;
    for test in [rises, is_level, sinks] {
        while end < run.len() && test(&run[end]) {
            end += 1;
        }
    }
    let last = run.get(end - 1)?;
    let top = run[start..end].iter().map(|s| s.to.z).fold(level, f64::max);
    let returned = sinks(last) && (last.to.z - level).abs() <= SAME;
    if !returned || top >= ceiling - SAME {
        return None;
    }
    let length = run[start..end].iter().map(flat_length).sum();
    Some((end, Tab { at: middle(&run[start..end], length), top, level, length }))
}

/// Keeps one of the tabs that were passed at several depths: the deepest.
pub(crate) fn distinct<'a>(all: impl Iterator<Item = &'a Tab>, deepest: f64) -> Vec<Tab> {
    let mut kept: Vec<Tab> = Vec::new();
    for tab in all.filter(|t| t.level <= deepest + SAME) {
        if !kept.iter().any(|k| k.at.distance(tab.at) <= SAME_PLACE) {
            kept.push(*tab);
        }
    }
    kept
}

/// Whether a rise goes over one of these tabs, at whatever depth: passes at every level rise to
/// the tab's top, and may stand off a tab by what they leave for the last one.
pub(crate) fn is_one_of(rise: &Tab, tabs: &[Tab]) -> bool {
    tabs.iter().any(|t| (t.top - rise.top).abs() <= SAME && t.at.distance(rise.at) <= t.length)
}

fn middle(strokes: &[Stroke], length: f64) -> Point {
    let mut left = length / 2.0;
    for stroke in strokes {
        let own = flat_length(stroke);
        if own >= left && own > 0.0 {
            return stroke.at(left / own).xy();
        }
        left -= own;
    }
    strokes.first().map_or(Point::default(), |s| s.from.xy())
}

/// Length seen from above.
pub(crate) fn flat_length(stroke: &Stroke) -> f64 {
    let length = stroke.length();
    let rise = stroke.to.z - stroke.from.z;
    (length * length - rise * rise).max(0.0).sqrt()
}

pub(crate) fn rises(s: &Stroke) -> bool {
    s.to.z > s.from.z + SAME
}

pub(crate) fn sinks(s: &Stroke) -> bool {
    s.to.z < s.from.z - SAME
}

pub(crate) fn is_level(s: &Stroke) -> bool {
    !rises(s) && !sinks(s)
}
