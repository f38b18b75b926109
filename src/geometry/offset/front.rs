//! What may live at the next distance: the sections of a ring moved there, and where they cross.

use super::cores::in_chunks;
use super::element::Source;
use super::span::{Slack, Span, square};
use super::tree::Tree;
use super::wave::{Section, Wave};
use crate::geometry::Point;
use std::ops::Range;

/// A crossing is part of the ring if nothing of the front before comes nearer than the step
/// less this, millimetres: well over rounding, far under the tolerance.
pub(super) const CLOSE: f64 = 1e-8;
/// Ends that are no smooth joint reach on by this, millimetres, to meet their neighbour in
/// spite of rounding.
const REACH_ON: f64 = 1e-6;
/// Sections from one to the next that is asked whether it is dead, while all live.
const ASK_EVERY: usize = 4;

/// A section moved to the new distance and not known to be dead.
pub(super) struct Moved {
    pub(super) span: Span,
    /// Its section in the ring before.
    parent: u32,
    slack: Slack,
    /// Whether the next moved section follows without a corner.
    pub(super) joined: bool,
}

/// Everything that may live at the new distance.
pub(super) struct Front {
    pub(super) distance: f64,
    pub(super) step: f64,
    pub(super) moved: Vec<Moved>,
    pub(super) loops: Vec<Range<usize>>,
    tree: Tree,
    pub(super) next: Vec<u32>,
}

/// Where one moved section ends and another begins.
#[derive(Clone, Copy)]
pub(super) struct Crossing {
    pub(super) at: Point,
    pub(super) ends: u32,
    pub(super) begins: u32,
}

/// A crossing as met along a moved section.
#[derive(Clone, Copy)]
pub(super) struct Event {
    pub(super) section: u32,
    pub(super) key: f64,
    pub(super) crossing: u32,
    pub(super) begins: bool,
}

impl Front {
    pub(super) fn new(wave: &Wave, source: &Source, distance: f64) -> Front {
        let step = distance - wave.distance;
        let spans = in_chunks(wave.sections.len(), |range| {
            let (mut hint, mut last_dead) = (usize::MAX, false);
            range
                .map(|i| {
                    let s = &wave.sections[i];
                    let span = source.elements[s.element as usize].span(s.a, s.b, distance)?;
                    // Where all lives, asking now and then is enough: what is dead and not
                    // found here falls to its crossings.
                    if last_dead || i % ASK_EVERY == 0 {
                        last_dead = is_dead(wave, &span, step, &mut hint);
                    }
                    (!last_dead).then_some(span)
                })
                .collect()
        });
        let mut moved: Vec<Moved> = Vec::with_capacity(spans.len());
        let mut loops = Vec::with_capacity(wave.loops.len());
        for range in &wave.loops {
            let start = moved.len();
            // Whether what lives before runs on smoothly to here.
            let mut joins = false;
            for i in range.clone() {
                let joined = wave.sections[i].joined;
                if let Some(span) = spans[i] {
                    if let (true, Some(before)) =
                        (joins, moved.get_mut(start..).and_then(|m| m.last_mut()))
                    {
                        before.joined = true;
                    }
                    let slack = Slack { from: 0.0, to: 0.0 };
                    moved.push(Moved { span, parent: i as u32, slack, joined: false });
                    joins = joined;
                } else {
                    let s = &wave.sections[i];
                    joins &= joined && source.elements[s.element as usize].is_point(distance);
                }
            }
            if moved.len() > start {
                // Around the loop's end: what is gone before its first living section.
                let first = moved[start].parent as usize;
                let around = |i: usize| {
                    let s = &wave.sections[i];
                    s.joined && source.elements[s.element as usize].is_point(distance)
                };
                let end = moved.len() - 1;
                moved[end].joined = joins && (range.start..first).all(around);
                let reach = |smooth: bool| if smooth { 0.0 } else { REACH_ON };
                let mut joined_before = moved[end].joined;
                for m in &mut moved[start..] {
                    m.slack = Slack { from: reach(joined_before), to: reach(m.joined) };
                    joined_before = m.joined;
                }
                loops.push(start..moved.len());
            }
        }
        let mut next: Vec<u32> = (1..=moved.len() as u32).collect();
        for range in &loops {
            next[range.end - 1] = range.start as u32;
        }
        let bare: Vec<Span> = moved.iter().map(|m| m.span).collect();
        Front { distance, step, moved, loops, tree: Tree::new(&bare), next }
    }

    fn follows(&self, one: usize, two: usize) -> bool {
        self.moved[one].joined && self.next[one] as usize == two
    }

    /// Crossings of the front with itself, at a sine of more than `touching`, that lie on the
    /// ring, or at most `close` outside it.
    pub(super) fn crossings(&self, wave: &Wave, close: f64, touching: f64) -> Vec<Crossing> {
        in_chunks(self.moved.len(), |range| {
            let mut found = Vec::new();
            let mut hint = usize::MAX;
            for group in Tree::groups(range) {
                self.tree.later_pairs(group, 2.0 * REACH_ON, |i, j| {
                    if self.follows(i, j) || self.follows(j, i) {
                        return;
                    }
                    let (one, two) = (&self.moved[i], &self.moved[j]);
                    for &at in one.span.cross(one.slack, &two.span, two.slack).as_slice() {
                        let sine = one.span.direction(at).cross(two.span.direction(at));
                        if sine.abs() <= touching
                            || wave.tree.any_within(&wave.spans, at, self.step - close, &mut hint)
                        {
                            continue;
                        }
                        // On a ring with the living side to its left, every corner turns left.
                        let (ends, begins) = if sine > 0.0 { (i, j) } else { (j, i) };
                        found.push(Crossing { at, ends: ends as u32, begins: begins as u32 });
                    }
                });
            }
            found
        })
    }

    /// Follows the ring from crossing to crossing.
    pub(super) fn events(&self, crossings: &[Crossing]) -> Vec<Event> {
        let mut events = Vec::with_capacity(2 * crossings.len());
        for (index, c) in crossings.iter().enumerate() {
            for (section, begins) in [(c.ends, false), (c.begins, true)] {
                let key = self.moved[section as usize].span.key(c.at);
                events.push(Event { section, key, crossing: index as u32, begins });
            }
        }
        events.sort_by(|a, b| a.section.cmp(&b.section).then(a.key.total_cmp(&b.key)));
        events
    }

    pub(super) fn section(&self, wave: &Wave, index: usize) -> Section {
        let moved = &self.moved[index];
        let parent = &wave.sections[moved.parent as usize];
        Section { parent: moved.parent, joined: moved.joined, ..*parent }
    }
}

/// Whether all of a moved span lies nearer to the front before than the step: its middle does
/// so by more than its own reach. Spans that are long for the step are not asked: they would
/// seldom say yes.
fn is_dead(wave: &Wave, span: &Span, step: f64, hint: &mut usize) -> bool {
    let middle = span.middle();
    let half = square(middle - span.from).max(square(middle - span.to)).sqrt();
    let reach = step - half - CLOSE;
    reach > half && wave.tree.any_within(&wave.spans, middle, reach, hint)
}
