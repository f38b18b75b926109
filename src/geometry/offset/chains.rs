//! The ring followed along the front from crossing to crossing.

use super::element::Source;
use super::front::{CLOSE, Crossing, Event, Front};
use super::span::square;
use super::wave::{Ring, Section, Wave};
use std::ops::Range;

/// The front can not be followed at just this distance: it touches itself, or several corners
/// meet in a point.
#[derive(Clone, Copy, Debug)]
pub(super) struct Degenerate;

/// From a crossing that begins to one that ends, along sections that follow without corners.
struct Chain {
    first: u32,
    from: u32,
    last: u32,
    to: u32,
}

impl Front {
    /// Follows the ring from crossing to crossing.
    pub(super) fn assemble(
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
}
