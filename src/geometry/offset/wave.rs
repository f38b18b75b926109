//! The front that moves in from an outline at an even pace.
//!
//! A ring is kept as parts of the source's elements. Every point of a front came from one foot
//! on the source, and once a foot's ray has met another front it stays dead; so a ring needs to
//! look only at what lived at the ring before it, and only as far as the step between the two.
//! All coordinates come from the source each time, so nothing drifts from ring to ring.

use super::SLIVER;
use super::certificate::Certified;
use super::element::{Element, SHORT, Source};
use super::span::{Slack, Span, square};
use super::tree::Tree;
use crate::geometry::{Contour, Point, Vertex};
use rayon::prelude::*;
use std::ops::Range;

/// A crossing is part of the ring if nothing of the front before comes nearer than the step
/// less this, millimetres: well over rounding, far under the tolerance.
const CLOSE: f64 = 1e-8;
/// Ends that are no smooth joint reach on by this, millimetres, to meet their neighbour in
/// spite of rounding.
const REACH_ON: f64 = 1e-6;
/// Under this sine two fronts touch rather than cross.
const TOUCHING: f64 = 1e-9;
/// Loops shorter than this, millimetres, are dust: no point in them is farther inside than the
/// tolerance.
const DUST: f64 = 1e-3;
/// Sections from one to the next that is asked whether it is dead, while all live.
const ASK_EVERY: usize = 4;
/// Work on fewer items is not worth dividing.
const WORTH_DIVIDING: usize = 2048;

/// Part of an element that lives at some distance.
#[derive(Clone, Copy, Debug)]
pub(super) struct Section {
    pub(super) element: u32,
    /// The section of the ring before from which it came.
    pub(super) parent: u32,
    /// Place on the element where it starts.
    pub(super) a: Point,
    /// Place where it ends.
    pub(super) b: Point,
    /// Whether the next section follows without a corner.
    pub(super) joined: bool,
}

/// All loops at one distance.
#[derive(Clone, Debug, Default)]
pub(super) struct Wave {
    pub(super) distance: f64,
    /// What its certificate proved: nothing of the source is nearer to it.
    pub(super) clearance: f64,
    /// Its area, once certified.
    pub(super) area: f64,
    pub(super) sections: Vec<Section>,
    /// Sections of each closed loop.
    pub(super) loops: Vec<Range<usize>>,
    pub(super) spans: Vec<Span>,
    pub(super) tree: Tree,
}

/// The front can not be followed at just this distance: it touches itself, or several corners
/// meet in a point.
#[derive(Clone, Copy, Debug)]
pub(super) struct Degenerate;

/// Maps index ranges on all cores for much work, the results in order.
pub(super) fn in_chunks<T: Send>(n: usize, work: impl Fn(Range<usize>) -> Vec<T> + Sync) -> Vec<T> {
    if n < WORTH_DIVIDING {
        return work(0..n);
    }
    let size = WORTH_DIVIDING / 4;
    let parts: Vec<Vec<T>> = (0..n.div_ceil(size))
        .into_par_iter()
        .map(|i| work(i * size..((i + 1) * size).min(n)))
        .collect();
    parts.concat_all()
}

trait ConcatAll<T> {
    fn concat_all(self) -> Vec<T>;
}

impl<T> ConcatAll<T> for Vec<Vec<T>> {
    fn concat_all(self) -> Vec<T> {
        let mut all = Vec::with_capacity(self.iter().map(Vec::len).sum());
        self.into_iter().for_each(|part| all.extend(part));
        all
    }
}

impl Wave {
    pub(super) fn new(
        elements: &[Element],
        distance: f64,
        sections: Vec<Section>,
        loops: Vec<Range<usize>>,
    ) -> Wave {
        let (mut sections, mut loops) = (sections, loops);
        let mut spans = spans_of(elements, &sections, distance);
        let count = loops.len();
        let kept: Vec<Range<usize>> =
            loops.iter().filter(|range| !is_sliver(&spans[(*range).clone()])).cloned().collect();
        if kept.len() < count && distance > 0.0 {
            let all = std::mem::take(&mut sections);
            loops.clear();
            for range in kept {
                let start = sections.len();
                sections.extend_from_slice(&all[range]);
                loops.push(start..sections.len());
            }
            spans = spans_of(elements, &sections, distance);
        }
        let tree = Tree::new(&spans);
        Wave { distance, clearance: 0.0, area: 0.0, sections, loops, spans, tree }
    }

    /// The ring farther in, at `distance`.
    pub(super) fn step(&self, source: &Source, distance: f64) -> Result<Wave, Degenerate> {
        let front = Front::new(self, source, distance);
        let crossings = front.crossings(self, CLOSE, TOUCHING);
        let (sections, loops) = front.assemble(self, source, &crossings)?;
        Ok(Wave::new(&source.elements, distance, sections, loops))
    }

    /// With what its certificate found, and its loops.
    pub(super) fn passed(self, certified: Certified) -> (Wave, Vec<Contour>) {
        let Certified { loops, area, clearance } = certified;
        (Wave { area, clearance, ..self }, loops)
    }

    /// How often its loops turn about a point.
    pub(super) fn winding(&self, at: Point) -> i32 {
        let end = |i: usize| {
            let range = &self.loops[self.loops.partition_point(|range| range.end <= i)];
            self.spans[if i + 1 == range.end { range.start } else { i + 1 }].from
        };
        self.tree.winding(&self.spans, at, end, |_| false)
    }

    /// The loops as contours, and for each corner of each the section that starts there.
    pub(super) fn contours(&self) -> Vec<(Contour, Vec<u32>)> {
        self.loops
            .iter()
            .map(|range| self.contour(range))
            .filter(|(c, _)| c.vertices.len() > 1)
            .collect()
    }

    fn contour(&self, range: &Range<usize>) -> (Contour, Vec<u32>) {
        let mut vertices: Vec<Vertex> = Vec::with_capacity(range.len());
        let mut sections = Vec::with_capacity(range.len());
        for i in range.clone() {
            let next = if i + 1 == range.end { range.start } else { i + 1 };
            let (span, to) = (&self.spans[i], self.spans[next].from);
            // A piece too short to cut: the one before it goes on to its end.
            if square(span.from - to) < SHORT * SHORT {
                continue;
            }
            vertices.push(Vertex { at: span.from, bulge: span.bulge() });
            sections.push(i as u32);
        }
        (Contour { vertices, closed: true }, sections)
    }
}

fn spans_of(elements: &[Element], sections: &[Section], distance: f64) -> Vec<Span> {
    let span = |s: &Section| {
        let element = &elements[s.element as usize];
        // A section of a ring is never used up; a point stands in for it all the same.
        element
            .span(s.a, s.b, distance)
            .unwrap_or_else(|| Span::line(element.aside(s.a, distance), element.direction, 0.0))
    };
    sections.iter().map(span).collect()
}

/// Whether a loop is on average thinner than a tenth of the tolerance: nothing in it is farther
/// inside than the tolerance, and its tips would be cusps.
fn is_sliver(spans: &[Span]) -> bool {
    let Some(first) = spans.first() else { return true };
    let (mut area2, mut length) = (0.0, 0.0);
    for span in spans {
        area2 += span.area2(first.from);
        length += span.length();
    }
    // Of a long thin loop half the length runs either way.
    area2.abs() < SLIVER * length
}

/// A section moved to the new distance and not known to be dead.
pub(super) struct Moved {
    pub(super) span: Span,
    /// Its section in the ring before.
    parent: u32,
    slack: Slack,
    /// Whether the next moved section follows without a corner.
    joined: bool,
}

/// Everything that may live at the new distance.
pub(super) struct Front {
    pub(super) distance: f64,
    pub(super) step: f64,
    pub(super) moved: Vec<Moved>,
    loops: Vec<Range<usize>>,
    tree: Tree,
    pub(super) next: Vec<u32>,
}

/// Where one moved section ends and another begins.
#[derive(Clone, Copy)]
pub(super) struct Crossing {
    pub(super) at: Point,
    ends: u32,
    begins: u32,
}

/// A crossing as met along a moved section.
#[derive(Clone, Copy)]
pub(super) struct Event {
    pub(super) section: u32,
    pub(super) key: f64,
    pub(super) crossing: u32,
    begins: bool,
}

/// From a crossing that begins to one that ends, along sections that follow without corners.
struct Chain {
    first: u32,
    from: u32,
    last: u32,
    to: u32,
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
    fn assemble(
        &self,
        wave: &Wave,
        source: &Source,
        crossings: &[Crossing],
    ) -> Result<(Vec<Section>, Vec<Range<usize>>), Degenerate> {
        let events = self.events(crossings);
        let mut ring = Ring { sections: Vec::with_capacity(self.moved.len()), loops: Vec::new() };
        let mut chains = Vec::with_capacity(crossings.len());
        let mut at = 0;
        for range in &self.loops {
            let count = events[at..].partition_point(|e| (e.section as usize) < range.end);
            let own = &events[at..at + count];
            at += count;
            if !own.is_empty() {
                self.chains(range, own, &mut chains)?;
            } else if self.whole_loop_lives(range, wave) {
                let start = ring.sections.len();
                ring.sections.extend(range.clone().map(|i| self.section(wave, i)));
                ring.close(source, self.distance, start);
            }
        }
        self.trace(wave, source, crossings, &chains, &mut ring)?;
        Ok((ring.sections, ring.loops))
    }

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

    fn whole_loop_lives(&self, range: &Range<usize>, wave: &Wave) -> bool {
        let size = |i: &usize| square(self.moved[*i].span.from - self.moved[*i].span.to);
        let longest = range.clone().max_by(|a, b| size(a).total_cmp(&size(b)));
        longest.is_some_and(|i| {
            let middle = self.moved[i].span.middle();
            let reach = self.step - CLOSE;
            range.clone().all(|i| self.moved[i].joined)
                && !wave.tree.any_within(&wave.spans, middle, reach, &mut usize::MAX.clone())
        })
    }

    /// The living chains of one loop of the front: begin and end must take turns, and an end
    /// must be reached from its begin without a corner.
    fn chains(
        &self,
        range: &Range<usize>,
        events: &[Event],
        chains: &mut Vec<Chain>,
    ) -> Result<(), Degenerate> {
        let count = events.len();
        let first = usize::from(!events[0].begins);
        for k in (first..count + first).step_by(2) {
            let (begin, end) = (&events[k % count], &events[(k + 1) % count]);
            if !begin.begins || end.begins {
                return Err(Degenerate);
            }
            // The chain that runs over the loop's start comes last.
            let wraps = k + 1 >= count;
            let (from, to) = (begin.section as usize, end.section as usize);
            let broken = if wraps {
                (from..range.end).chain(range.start..to).any(|i| !self.moved[i].joined)
            } else {
                (from..to).any(|i| !self.moved[i].joined)
            };
            if broken {
                return Err(Degenerate);
            }
            chains.push(Chain {
                first: begin.section,
                from: begin.crossing,
                last: end.section,
                to: end.crossing,
            });
        }
        Ok(())
    }

    fn trace(
        &self,
        wave: &Wave,
        source: &Source,
        crossings: &[Crossing],
        chains: &[Chain],
        ring: &mut Ring,
    ) -> Result<(), Degenerate> {
        let mut starting = vec![u32::MAX; crossings.len()];
        for (index, chain) in chains.iter().enumerate() {
            starting[chain.from as usize] = index as u32;
        }
        let mut done = vec![false; chains.len()];
        for first in 0..chains.len() {
            let start = ring.sections.len();
            let mut index = first;
            while !done[index] {
                done[index] = true;
                let chain = &chains[index];
                self.push_chain(wave, source, crossings, chain, &mut ring.sections);
                index = starting[chain.to as usize] as usize;
                if index >= chains.len() {
                    return Err(Degenerate);
                }
            }
            if ring.sections.len() > start {
                ring.close(source, self.distance, start);
            }
        }
        Ok(())
    }

    fn push_chain(
        &self,
        wave: &Wave,
        source: &Source,
        crossings: &[Crossing],
        chain: &Chain,
        sections: &mut Vec<Section>,
    ) {
        let start = sections.len();
        let mut at = chain.first;
        loop {
            sections.push(self.section(wave, at as usize));
            // A chain that ends before it begins on its own section runs round the loop.
            if at == chain.last
                && (sections.len() > start + 1 || !self.runs_round(crossings, chain))
            {
                break;
            }
            at = self.next[at as usize];
        }
        let end = sections.len() - 1;
        let place = |section: &Section, crossing: u32| {
            source.elements[section.element as usize].place(crossings[crossing as usize].at)
        };
        sections[start].a = place(&sections[start], chain.from);
        sections[end].b = place(&sections[end], chain.to);
        sections[end].joined = false;
    }

    fn runs_round(&self, crossings: &[Crossing], chain: &Chain) -> bool {
        let key = |c: u32| self.moved[chain.first as usize].span.key(crossings[c as usize].at);
        chain.first == chain.last && key(chain.from) > key(chain.to)
    }

    pub(super) fn section(&self, wave: &Wave, index: usize) -> Section {
        let moved = &self.moved[index];
        let parent = &wave.sections[moved.parent as usize];
        Section { parent: moved.parent, joined: moved.joined, ..*parent }
    }
}

#[derive(Default)]
pub(super) struct Ring {
    pub(super) sections: Vec<Section>,
    pub(super) loops: Vec<Range<usize>>,
}

impl Ring {
    /// Closes the loop of the sections since `start`, unless it is dust.
    pub(super) fn close(&mut self, source: &Source, distance: f64, start: usize) {
        let mut length = 0.0;
        let long = self.sections[start..].iter().any(|s| {
            let element = &source.elements[s.element as usize];
            let ends = [s.a, s.b].map(|place| element.aside(place, distance));
            length += ends[0].distance(ends[1]);
            length > DUST
        });
        if long {
            self.loops.push(start..self.sections.len());
        } else {
            self.sections.truncate(start);
        }
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
