//! Holding tabs: where they stand and how the cutter rises over them.

use super::{Profile, Track};
use crate::geometry::Point;

/// A bridge of wood left between part and waste.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tab {
    /// Its middle, on the part's outline.
    pub at: Point,
    /// Unit vector across the slot there, into the waste.
    pub out: Point,
}

/// What tabs need room for, lengths along the outline.
#[derive(Clone, Copy, Debug)]
pub(super) struct TabRoom {
    /// How many.
    pub(super) count: usize,
    /// Half of what one takes up: half its width, the cutter's radius and its ramp.
    pub(super) half: f64,
    /// Arcs tighter than this carry none.
    pub(super) least_radius: f64,
}

/// Places for tabs along the part's outline: on lines and wide arcs, off the corners, off the
/// `kept_clear` stretches (place, half width), only where `bridges` says that wood stands on
/// both sides of the slot; as evenly spread as that allows. Fewer than asked if there is no room.
#[must_use]
pub(super) fn place(
    outline: &Track,
    room: TabRoom,
    kept_clear: &[(f64, f64)],
    bridges: &dyn Fn(f64) -> bool,
) -> Vec<f64> {
    let allowed: Vec<(f64, f64)> = allowed(outline, room, kept_clear)
        .into_iter()
        .flat_map(|stretch| bridged(stretch, bridges))
        .collect();
    let length = outline.length();
    let spacing = length / room.count as f64;
    // The turn of the even comb that fits the allowed stretches best, tried in small steps.
    const TURNS: usize = 64;
    let mut best: Option<(usize, f64, Vec<f64>)> = None;
    for turn in 0..TURNS {
        let phase = spacing * turn as f64 / TURNS as f64;
        let (places, moved) = fit(&allowed, phase, spacing, room, length);
        let better = best.as_ref().is_none_or(|(count, by, _)| {
            places.len() > *count || (places.len() == *count && moved < *by - 1e-9)
        });
        if better {
            best = Some((places.len(), moved, places));
        }
    }
    let even = best.map(|(_, _, places)| places).unwrap_or_default();
    // Where little of the outline may carry tabs, an even comb gathers them at its ends.
    let spread = spread(&allowed, room, length);
    let apart = |places: &[f64]| least_apart(places, length);
    let gathered = apart(&even) < GATHERED * apart(&spread);
    if even.len() < spread.len() || (even.len() == spread.len() && gathered) {
        spread
    } else {
        even
    }
}

/// Tabs closer than this share of what could be had are gathered, not spread.
const GATHERED: f64 = 0.6;

/// The least way between two neighbours round the outline.
fn least_apart(places: &[f64], length: f64) -> f64 {
    let round = places.first().map(|first| first + length);
    let next = places.iter().copied().skip(1).chain(round);
    places.iter().zip(next).map(|(a, b)| b - a).fold(f64::INFINITY, f64::min)
}

/// As many places as asked, or as there are, as far apart as the allowed stretches let them be.
fn spread(allowed: &[(f64, f64)], room: TabRoom, length: f64) -> Vec<f64> {
    /// Halvings of the search for the distance: metres to a thousandth of a millimetre.
    const HALVINGS: usize = 24;
    let mut low = 2.0 * room.half;
    let mut best = packed(allowed, low, length);
    if best.len() < room.count {
        return best;
    }
    let mut high = length;
    for _ in 0..HALVINGS {
        let apart = (low + high) / 2.0;
        let places = packed(allowed, apart, length);
        match places.len() >= room.count {
            true => (best, low) = (places, apart),
            false => high = apart,
        }
    }
    best.truncate(room.count);
    best
}

/// The most places that lie `apart` or more from each other, from the best stretch on.
fn packed(allowed: &[(f64, f64)], apart: f64, length: f64) -> Vec<f64> {
    let from = |first: usize| {
        let start = allowed[first].0;
        let mut places = vec![start];
        let (mut last, end) = (start, start + length - apart);
        let after = allowed[first..].iter().copied();
        let round = allowed[..first].iter().map(|(a, b)| (a + length, b + length));
        for (a, b) in after.chain(round) {
            while let Some(next) = Some((last + apart).max(a)).filter(|s| *s <= b.min(end)) {
                places.push(next);
                last = next;
            }
        }
        places
    };
    let mut best = Vec::new();
    for first in 0..allowed.len() {
        let places = from(first);
        if places.len() > best.len() {
            best = places;
        }
    }
    best.iter_mut().for_each(|s| *s = s.rem_euclid(length));
    best.sort_by(f64::total_cmp);
    best
}

/// The parts of a stretch along which `bridges` holds, looked at every two millimetres.
fn bridged((from, to): (f64, f64), bridges: &dyn Fn(f64) -> bool) -> Vec<(f64, f64)> {
    const STEP: f64 = 2.0;
    // A count of steps along an outline of metres at most.
    let count = ((to - from) / STEP).ceil().max(1.0) as usize;
    let mut runs: Vec<(f64, f64)> = Vec::new();
    let mut open = false;
    for i in 0..=count {
        let s = from + (to - from) * i as f64 / count as f64;
        match (bridges(s), open) {
            (true, true) => {
                if let Some(last) = runs.last_mut() {
                    last.1 = s;
                }
            }
            (true, false) => runs.push((s, s)),
            (false, _) => {}
        }
        open = bridges(s);
    }
    runs
}

/// The stretches on which a tab's middle may stand, in order.
fn allowed(outline: &Track, room: TabRoom, kept_clear: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let length = outline.length();
    let mut stretches: Vec<(f64, f64)> = smooth(outline, room.least_radius)
        .into_iter()
        .map(|(a, b)| (a + room.half, b - room.half))
        .filter(|(a, b)| b > a)
        .collect();
    for (place, half) in kept_clear {
        // A stretch kept clear near the seam is kept clear on both sides of it.
        for lap in [-1.0, 0.0, 1.0] {
            let (low, high) =
                (place + lap * length - half - room.half, place + lap * length + half + room.half);
            stretches = stretches
                .into_iter()
                .flat_map(|(a, b)| [(a, b.min(low)), (a.max(high), b)])
                .filter(|(a, b)| b > a)
                .collect();
            stretches.dedup();
        }
    }
    stretches.sort_by(|a, b| a.0.total_cmp(&b.0));
    stretches
}

/// Stretches of lines and wide arcs that run on into each other without a corner: an ellipse is
/// made of many.
fn smooth(outline: &Track, least_radius: f64) -> Vec<(f64, f64)> {
    /// Pieces whose directions differ by less, radians, have no corner between them.
    const CORNER: f64 = 1e-4;
    let mut runs: Vec<(f64, f64)> = Vec::new();
    let mut before: Option<Point> = None;
    for (start, piece) in outline.pieces() {
        if piece.radius() < least_radius {
            before = None;
            continue;
        }
        let joins = before.is_some_and(|d| d.distance(piece.direction(0.0)) < CORNER);
        match runs.last_mut().filter(|_| joins) {
            Some(run) => run.1 = start + piece.length(),
            None => runs.push((start, start + piece.length())),
        }
        before = Some(piece.direction(1.0));
    }
    runs
}

/// Moves each tooth of an even comb to the nearest allowed place; says how far in all.
fn fit(
    allowed: &[(f64, f64)],
    phase: f64,
    spacing: f64,
    room: TabRoom,
    length: f64,
) -> (Vec<f64>, f64) {
    let mut places: Vec<f64> = Vec::new();
    let mut moved = 0.0;
    for i in 0..room.count {
        let wanted = phase + spacing * i as f64;
        let free = allowed.iter().map(|(a, b)| wanted.clamp(*a, *b)).filter(|s| {
            places.iter().all(|p| {
                let apart = (p - s).abs();
                apart.min(length - apart) >= 2.0 * room.half
            })
        });
        if let Some(s) = free.min_by(|a, b| (a - wanted).abs().total_cmp(&(b - wanted).abs())) {
            moved += (s - wanted).powi(2);
            places.push(s);
        }
    }
    places.sort_by(f64::total_cmp);
    (places, moved)
}

/// The least heights over tabs along the cutter's track, from `from` to `to`: up a slope of
/// `slope` (rise over run), level at `top` for `2 half`, down again to `bottom`.
#[must_use]
pub(super) fn profile(
    track: &Track,
    tabs: &[Tab],
    (from, to): (f64, f64),
    (bottom, top): (f64, f64),
    half: f64,
    slope: f64,
) -> Profile {
    let run = (top - bottom) / slope;
    let mut over = Profile::level(bottom);
    for tab in tabs {
        let place = track.nearest(tab.at);
        let mut middle = place + ((from - place) / track.length()).floor() * track.length();
        while middle - half - run <= to {
            let one = Profile::through(vec![
                (middle - half - run, bottom),
                (middle - half, top),
                (middle + half, top),
                (middle + half + run, bottom),
            ]);
            over = over.max(&one);
            middle += track.length();
        }
    }
    over
}
