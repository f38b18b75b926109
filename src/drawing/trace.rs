//! What each stroke of a program is for, found from the strokes alone.

use super::tabs::{Tab, distinct, flat_length, is_level, is_one_of, rises, sinks, tabs};
use crate::geometry::{Box3, Point, Stroke};
use crate::ngc::{Event, Motion, What};
use std::collections::BTreeMap;
use std::ops::Range;

/// What a stroke does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// A traverse.
    Travel,
    /// A feed stroke above the work.
    Above,
    /// Going down into the work, or rising out of it at feed.
    Entry,
    /// Joining or leaving a closed outline.
    Lead,
    /// Cutting.
    Cut,
    /// Over a holding tab.
    Tab,
}

/// One stroke and what it does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Traced {
    /// The stroke, work coordinates.
    pub stroke: Stroke,
    /// What it does.
    pub role: Role,
    /// Cutter in the spindle, if one was ever changed in.
    pub cutter: Option<u32>,
    /// Which of [`Trace::levels`] is nearest to its lowest point.
    pub level: usize,
    /// Line of the text.
    pub line: usize,
}

/// A program as strokes.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Trace {
    /// In order. Traverses from unknown places, moves in machine coordinates, and what lies ten
    /// kilometres off are left out.
    pub strokes: Vec<Traced>,
    /// Depths of the cutting, highest first: the passes' own heights if they are few, else the
    /// lower edges of bands.
    pub levels: Vec<f64>,
    /// Whether `levels` are bands.
    pub banded: bool,
    /// Holding tabs, each once.
    pub tabs: Vec<Tab>,
    /// Above this height a feed stroke does not cut.
    pub top: f64,
    /// The lowest height of a traverse across the table.
    pub travel_height: Option<f64>,
    /// The highest, over clamps say.
    pub highest: Option<f64>,
}

/// More distinct heights than this are drawn as bands.
const MOST_LEVELS: usize = 9;
/// Number of bands.
const BANDS: usize = 6;
/// Steps per millimetre in which heights and places are told apart.
const STEPS: f64 = 100.0;
/// A loop is at least this long, mm: shorter returns are a cutter standing still.
const LEAST_LOOP: f64 = 5.0;
/// What lies farther off than this is no place on a table, mm, and is not drawn.
pub(crate) const FARTHEST: f64 = 1e7;
/// Leads are no longer than this share of the loop that they join.
const LONGEST_LEAD: f64 = 0.25;
/// An outline goes down by a ramp or a few; what slopes up as often as this is carved.
const OFTEN: usize = 4;
/// How far above the stock's underside the deepest level may lie for rises to be holding tabs, mm.
const ONION_SKIN: f64 = 1.5;

/// The strokes that go over a tab, by their numbers, and the tab.
type Over = (Range<usize>, Tab);

/// Sorts the strokes of a program; `stock` tells where the work's top is.
#[must_use]
pub fn trace(events: &[Event], stock: Option<Box3>) -> Trace {
    let moves: Vec<(&Event, &Motion)> = events.iter().filter_map(drawable).collect();
    let (travel_height, highest) = travel_heights(&moves).unzip();
    let top = top(&moves, stock, travel_height);
    let mut strokes = Vec::with_capacity(moves.len());
    let mut found = Vec::new();
    let mut at = 0;
    while at < moves.len() {
        let end = run_end(&moves, at);
        if end > at {
            let run: Vec<Stroke> = moves[at..end].iter().map(|m| m.1.stroke).collect();
            let roles = roles(&run, top, at, &mut found);
            for (k, role) in roles.into_iter().enumerate() {
                strokes.push(traced(moves[at + k], role));
            }
            at = end;
        } else {
            strokes.push(traced(moves[at], Role::Travel));
            at += 1;
        }
    }
    let (levels, banded) = levels(&strokes);
    for s in &mut strokes {
        s.level = nearest(&levels, s.stroke.from.z.min(s.stroke.to.z));
    }
    let tabs = held(&found, &levels, stock);
    // Rises that hold nothing are part of the work.
    for (strokes_of, _) in found.iter().filter(|(_, tab)| !is_one_of(tab, &tabs)) {
        strokes[strokes_of.clone()].iter_mut().for_each(|s| s.role = Role::Cut);
    }
    Trace { strokes, levels, banded, tabs, top, travel_height, highest }
}

fn drawable(event: &Event) -> Option<(&Event, &Motion)> {
    let What::Motion(motion) = &event.what else { return None };
    let known = motion.known.iter().all(|&k| k);
    let (a, b) = (motion.stroke.from, motion.stroke.to);
    let near = [a.x, a.y, a.z, b.x, b.y, b.z].iter().all(|v| v.abs() < FARTHEST);
    (!motion.machine && near && (known || motion.feed.is_some())).then_some((event, motion))
}

fn traced((event, motion): (&Event, &Motion), role: Role) -> Traced {
    Traced { stroke: motion.stroke, role, cutter: event.state.cutter, level: 0, line: event.line }
}

/// The end of the run of feed strokes that starts at `at`.
fn run_end(moves: &[(&Event, &Motion)], at: usize) -> usize {
    let cutter = moves[at].0.state.cutter;
    let same = |m: &&(&Event, &Motion)| m.1.feed.is_some() && m.0.state.cutter == cutter;
    at + moves[at..].iter().take_while(same).count()
}

/// The lowest and the highest height at which it travels across, or from which it comes down.
fn travel_heights(moves: &[(&Event, &Motion)]) -> Option<(f64, f64)> {
    let traverses = || moves.iter().filter(|m| m.1.feed.is_none()).map(|m| &m.1.stroke);
    let across = traverses().filter(|s| s.from.xy().distance(s.to.xy()) > LEAST_LOOP);
    let lowest = across.map(|s| s.from.z.min(s.to.z)).min_by(f64::total_cmp)?;
    let highest = traverses().map(|s| s.from.z.max(s.to.z)).fold(lowest, f64::max);
    Some((lowest, highest))
}

/// The stock's top; without a stock zero, unless nothing goes below zero: then the program
/// counts from the table, and what lies below its travelling height is taken as cutting.
fn top(moves: &[(&Event, &Motion)], stock: Option<Box3>, travel: Option<f64>) -> f64 {
    if let Some(stock) = stock {
        return stock.max.z;
    }
    let below = moves.iter().any(|m| m.1.feed.is_some() && m.1.stroke.to.z < 0.0);
    if below { 0.0 } else { travel.unwrap_or(f64::MAX) }
}

/// What the strokes of a run are for; `first` is the number of its first stroke, by which its
/// tabs are found again.
fn roles(run: &[Stroke], top: f64, first: usize, found: &mut Vec<Over>) -> Vec<Role> {
    let over = tabs(run, top);
    let mut roles: Vec<Role> = run.iter().map(|s| plain_role(s, top)).collect();
    for &(from, to, _) in &over {
        roles[from..to].fill(Role::Tab);
    }
    if is_relief(run, &roles) {
        for (stroke, role) in run.iter().zip(&mut roles) {
            let sloped = matches!(role, Role::Entry | Role::Tab) && flat_length(stroke) > 0.0;
            *role = if sloped { Role::Cut } else { plain_role(stroke, top) };
        }
        return roles;
    }
    found.extend(over.into_iter().map(|(from, to, tab)| (first + from..first + to, tab)));
    mark_leads(run, &mut roles);
    roles
}

fn plain_role(stroke: &Stroke, top: f64) -> Role {
    let low = stroke.from.z.min(stroke.to.z);
    if low >= top - 1e-6 {
        Role::Above
    } else if sinks(stroke) || rises(stroke) {
        Role::Entry
    } else {
        Role::Cut
    }
}

/// Whether the way goes both up and down, for much of it or time and again: a carved surface,
/// not a stack of passes.
fn is_relief(run: &[Stroke], roles: &[Role]) -> bool {
    let often = |test: fn(&Stroke) -> bool| {
        let own = run.iter().zip(roles).filter(|(s, r)| **r == Role::Entry && test(s));
        own.filter(|(s, _)| flat_length(s) > 0.0).count() >= OFTEN
    };
    if often(sinks) && often(rises) {
        return true;
    }
    let sloped = |test: fn(&Stroke) -> bool| -> f64 {
        let own = run.iter().zip(roles).filter(|(s, r)| **r == Role::Entry && test(s));
        own.map(|(s, _)| flat_length(s)).sum()
    };
    let (down, up) = (sloped(sinks), sloped(rises));
    let whole: f64 = run.iter().map(flat_length).sum();
    // A third: a carved ground may be level for most of a row.
    up > 0.0 && down > 0.0 && down + up > whole / 3.0
}

/// Marks what comes before the first and after the last point of a closed outline.
fn mark_leads(run: &[Stroke], roles: &mut [Role]) {
    let mut seen: BTreeMap<(i64, i64), (usize, f64)> = BTreeMap::new();
    let mut gone = 0.0;
    let mut first: Option<usize> = None;
    let mut last = 0;
    let Some(start) = run.first() else { return };
    let points = std::iter::once(start.from.xy()).chain(run.iter().map(|s| s.to.xy()));
    for (k, p) in points.enumerate() {
        if k > 0 {
            gone += flat_length(&run[k - 1]);
        }
        let (index, length) = *seen.entry(key(p)).or_insert((k, gone));
        if gone - length > LEAST_LOOP {
            first = Some(first.map_or(index, |f| f.min(index)));
            last = k;
        }
    }
    let Some(first) = first else { return };
    let length = |part: &[Stroke]| part.iter().map(flat_length).sum::<f64>();
    let loops = length(&run[first..last]);
    for part in [0..first, last..run.len()] {
        if length(&run[part.clone()]) > loops * LONGEST_LEAD {
            continue;
        }
        for k in part {
            if roles[k] == Role::Cut {
                roles[k] = Role::Lead;
            }
        }
    }
}

fn key(p: Point) -> (i64, i64) {
    // Coordinates of a table: far below what an integer holds; wild ones saturate.
    ((p.x * STEPS).round() as i64, (p.y * STEPS).round() as i64)
}

fn levels(strokes: &[Traced]) -> (Vec<f64>, bool) {
    let cuts = || strokes.iter().filter(|s| s.role == Role::Cut);
    let mut heights: BTreeMap<i64, f64> = BTreeMap::new();
    for s in cuts() {
        let z = s.stroke.from.z.min(s.stroke.to.z);
        heights.insert((z * STEPS).round() as i64, z);
        // Each height may have come out as two by rounding.
        if heights.len() > 2 * MOST_LEVELS {
            break;
        }
    }
    let own = merged(heights.into_values().rev());
    if own.len() <= MOST_LEVELS {
        return (own, false);
    }
    let lows = || cuts().map(|s| s.stroke.from.z.min(s.stroke.to.z));
    let (low, high) = (lows().fold(f64::MAX, f64::min), lows().fold(f64::MIN, f64::max));
    let step = (high - low) / BANDS as f64;
    ((1..=BANDS).map(|k| high - step * k as f64).collect(), true)
}

/// Heights from the top down, those within two hundredths of one another as one, the lowest.
fn merged(heights: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut out: Vec<f64> = Vec::new();
    for z in heights {
        match out.last_mut() {
            Some(last) if *last - z <= 2.0 / STEPS => *last = z,
            _ => out.push(z),
        }
    }
    out
}

/// The last level, from the top, that is not below `z`; bands hold what lies above their edge.
fn nearest(levels: &[f64], z: f64) -> usize {
    levels.iter().position(|&l| l <= z + 1.0 / STEPS).unwrap_or(levels.len().saturating_sub(1))
}

fn held(found: &[Over], levels: &[f64], stock: Option<Box3>) -> Vec<Tab> {
    let deepest = levels.last().copied().unwrap_or(f64::MIN);
    if stock.is_some_and(|s| deepest > s.min.z + ONION_SKIN) {
        return Vec::new();
    }
    distinct(found.iter().map(|(_, tab)| tab), deepest)
}

impl Trace {
    /// The box of all strokes of these roles.
    #[must_use]
    pub fn bounds(&self, roles: &[Role]) -> Box3 {
        let own = self.strokes.iter().filter(|s| roles.contains(&s.role));
        own.fold(Box3::EMPTY, |all, s| all.union(s.stroke.bounds()))
    }

    /// Whether a stroke of that role is there.
    #[must_use]
    pub fn has(&self, role: Role) -> bool {
        self.strokes.iter().any(|s| s.role == role)
    }

    /// The longest level stroke at the deepest level, where it can be shown which way it goes.
    #[must_use]
    pub fn deepest_cuts(&self) -> Vec<&Traced> {
        let deepest = self.levels.len().saturating_sub(1);
        let own = |s: &&Traced| s.role == Role::Cut && s.level == deepest && is_level(&s.stroke);
        self.strokes.iter().filter(own).collect()
    }
}
