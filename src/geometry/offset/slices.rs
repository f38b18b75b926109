//! The front put together without trusting any single crossing: a second way for rings at which
//! the first meets corners that fall together, joints that are nearly smooth, or edges of a few
//! hundredths of a micrometre.
//!
//! Each moved section is cut where it meets others; a slice lives if its middle does. Slices
//! and the places where they meet are a directed graph: what leads nowhere is pruned, and the
//! rest falls into closed loops, at each place by the leftmost turn, which parts loops that
//! touch. Crossings that only rounding tells apart give parallel paths rather than a
//! contradiction, and either path serves.
//!
//! Cutting and testing slices is the method of X.-Z. Liu, J.-H. Yong, G.-Q. Zheng, J.-G. Sun,
//! "An offset algorithm for polyline curves", Computers in Industry 58 (2007), from memory; the
//! graph takes the place of their joining by nearest ends. Cost: n log n and what is found.

use super::element::Source;
use super::front::{Crossing, Front};
use super::span::{Span, square};
use super::wave::{Ring, Section, Wave};
use crate::geometry::Point;

/// Meeting places along a section nearer to each other than this, millimetres, are one.
const ONE_PLACE: f64 = 1e-7;

/// Sections that follow one another may go on without a crossing if their ends are nearer to
/// each other than this, millimetres: at a corner of a few millionths of a radian rounding moves
/// the crossing of two arcs by more than they overlap.
const JOINT: f64 = 1e-4;

/// The ring farther in, at `distance`. A slice is dead if something of the base is nearer to its
/// middle than the step less `lenient`, millimetres.
pub(super) fn step(base: &Wave, source: &Source, distance: f64, lenient: f64) -> Wave {
    let front = Front::new(base, source, distance);
    let crossings = front.crossings(base, lenient, 0.0);
    let mut graph = Graph::new(&front, base, source, &crossings, lenient);
    let mut ring = Ring::default();
    while let Some(path) = graph.take_loop(&front) {
        let start = ring.sections.len();
        for (k, &index) in path.iter().enumerate() {
            let slice = &graph.slices[index as usize];
            let after = &graph.slices[path[(k + 1) % path.len()] as usize];
            let joined =
                slice.to_end && after.from_start && after.moved == front.next[slice.moved as usize];
            let section = Section { joined, ..slice.section };
            let before = ring.sections[start..].last_mut();
            match before.filter(|s| s.parent == section.parent && s.b == section.a) {
                Some(before) => (before.b, before.joined) = (section.b, joined),
                None => ring.sections.push(section),
            }
        }
        ring.close(source, distance, start);
    }
    Wave::new(&source.elements, distance, ring.sections, ring.loops)
}

/// From one meeting place to the next along a moved section.
struct Slice {
    section: Section,
    /// Of the moved section.
    moved: u32,
    ends: [Point; 2],
    from: u32,
    to: u32,
    /// Whether it starts where its section starts, and whether it ends where its section ends
    /// and another follows smoothly.
    from_start: bool,
    to_end: bool,
    lives: bool,
}

struct Graph {
    slices: Vec<Slice>,
    /// Slices by the place where they start, and where each place's begin in that list.
    leaving: Vec<u32>,
    first: Vec<u32>,
    /// Living slices that arrive at and leave each place.
    arrive: Vec<u32>,
    leave: Vec<u32>,
    /// Slices by where they end, likewise.
    arriving: Vec<u32>,
    first_arriving: Vec<u32>,
    /// For each place, the step of the path that left it.
    step_from: Vec<u32>,
    next: usize,
}

impl Graph {
    fn new(
        front: &Front,
        base: &Wave,
        source: &Source,
        crossings: &[Crossing],
        lenient: f64,
    ) -> Graph {
        let mut places = Places::new(crossings.len() + 2 * front.moved.len());
        let mut slices = cut(front, base, source, crossings, &mut places);
        let reach = front.step - lenient;
        let mut hint = usize::MAX;
        for slice in &mut slices {
            (slice.from, slice.to) = (places.find(slice.from), places.find(slice.to));
            let element = &source.elements[slice.section.element as usize];
            let middle = element.between(slice.section.a, slice.section.b);
            let at = element.aside(middle, front.distance);
            let point = slice.from == slice.to
                && square(slice.ends[0] - slice.ends[1]) < ONE_PLACE * ONE_PLACE;
            slice.lives = !point && !base.tree.any_within(&base.spans, at, reach, &mut hint);
        }
        slices.retain(|slice| slice.lives);
        let count = places.parent.len();
        let (leaving, first) = by_place(&slices, count, |slice| slice.from);
        let (arriving, first_arriving) = by_place(&slices, count, |slice| slice.to);
        let number = |first: &[u32]| first.windows(2).map(|w| w[1] - w[0]).collect();
        let mut graph = Graph {
            leave: number(&first),
            arrive: number(&first_arriving),
            slices,
            leaving,
            first,
            arriving,
            first_arriving,
            step_from: vec![u32::MAX; count],
            next: 0,
        };
        let all = (0..count as u32).collect();
        graph.prune(all);
        graph
    }

    /// Takes out all slices that lead nowhere or come from nowhere, beginning at some places.
    fn prune(&mut self, mut places: Vec<u32>) {
        while let Some(place) = places.pop() {
            let p = place as usize;
            let (dead_end, source) = (self.leave[p] == 0, self.arrive[p] == 0);
            if dead_end && !source {
                let range = self.first_arriving[p] as usize..self.first_arriving[p + 1] as usize;
                for k in range {
                    places.extend(self.kill(self.arriving[k]));
                }
            } else if source && !dead_end {
                for k in self.first[p] as usize..self.first[p + 1] as usize {
                    places.extend(self.kill(self.leaving[k]));
                }
            }
        }
    }

    fn kill(&mut self, index: u32) -> Vec<u32> {
        let slice = &mut self.slices[index as usize];
        if !slice.lives {
            return Vec::new();
        }
        slice.lives = false;
        self.leave[slice.from as usize] -= 1;
        self.arrive[slice.to as usize] -= 1;
        vec![slice.from, slice.to]
    }

    /// A closed loop of living slices, which are used up by it.
    fn take_loop(&mut self, front: &Front) -> Option<Vec<u32>> {
        while !self.slices.get(self.next)?.lives {
            self.next += 1;
        }
        let mut path: Vec<u32> = Vec::new();
        let mut at = self.next as u32;
        let start = loop {
            let slice = &self.slices[at as usize];
            self.step_from[slice.from as usize] = path.len() as u32;
            let to = slice.to;
            path.push(at);
            if self.step_from[to as usize] != u32::MAX {
                break self.step_from[to as usize];
            }
            at = self.leftmost(front, at)?;
        };
        for &index in &path {
            self.step_from[self.slices[index as usize].from as usize] = u32::MAX;
        }
        let found = path.split_off(start as usize);
        let touched = found.iter().flat_map(|&index| self.kill(index)).collect();
        self.prune(touched);
        Some(found)
    }

    /// The slice that goes on from another by the leftmost turn.
    fn leftmost(&self, front: &Front, slice: u32) -> Option<u32> {
        let from = &self.slices[slice as usize];
        let p = from.to as usize;
        let leaving = &self.leaving[self.first[p] as usize..self.first[p + 1] as usize];
        let mut living = leaving.iter().copied().filter(|&i| self.slices[i as usize].lives);
        let one = living.next()?;
        let Some(two) = living.next() else { return Some(one) };
        let span = |s: &Slice| -> &Span { &front.moved[s.moved as usize].span };
        let before = span(from).direction(from.ends[1]);
        let turn = |&i: &u32| {
            let slice = &self.slices[i as usize];
            let after = span(slice).direction(slice.ends[0]);
            before.cross(after).atan2(before.dot(after))
        };
        [one, two].into_iter().chain(living).max_by(|a, b| turn(a).total_cmp(&turn(b)))
    }
}

/// All slices of the front, not yet asked whether they live.
fn cut(
    front: &Front,
    base: &Wave,
    source: &Source,
    crossings: &[Crossing],
    places: &mut Places,
) -> Vec<Slice> {
    let events = front.events(crossings);
    let (count, moved) = (crossings.len() as u32, front.moved.len() as u32);
    let mut slices = Vec::with_capacity(front.moved.len() + events.len());
    let mut at = 0;
    for index in 0..moved {
        let whole = front.section(base, index as usize);
        let element = &source.elements[whole.element as usize];
        let span = &front.moved[index as usize].span;
        let next = front.next[index as usize];
        let gap = front.moved[next as usize].span.from - span.to;
        let end = match whole.joined || square(gap) < JOINT * JOINT {
            true => count + next,
            false => count + moved + index,
        };
        // (key, place of meeting, place on the element), from end to end.
        let mut cuts = vec![
            (0.0, count + index, whole.a, span.from),
            (span.key(span.to), end, whole.b, span.to),
        ];
        while let Some(event) = events.get(at).filter(|e| e.section == index) {
            let p = crossings[event.crossing as usize].at;
            cuts.push((event.key, event.crossing, element.place(p), p));
            at += 1;
        }
        cuts.sort_by(|a, b| a.0.total_cmp(&b.0));
        for w in cuts.windows(2) {
            if square(w[0].3 - w[1].3) < ONE_PLACE * ONE_PLACE {
                places.join(w[0].1, w[1].1);
            }
            slices.push(Slice {
                section: Section { a: w[0].2, b: w[1].2, joined: false, ..whole },
                moved: index,
                ends: [w[0].3, w[1].3],
                from: w[0].1,
                to: w[1].1,
                from_start: w[0].1 == count + index,
                to_end: whole.joined && w[1].1 == end,
                lives: true,
            });
        }
    }
    slices
}

/// Slices sorted by a place, and where each place's begin.
fn by_place(slices: &[Slice], count: usize, place: impl Fn(&Slice) -> u32) -> (Vec<u32>, Vec<u32>) {
    let mut first = vec![0u32; count + 1];
    slices.iter().for_each(|slice| first[place(slice) as usize + 1] += 1);
    for i in 0..count {
        first[i + 1] += first[i];
    }
    let mut next = first.clone();
    let mut sorted = vec![0u32; slices.len()];
    for (index, slice) in slices.iter().enumerate() {
        let at = &mut next[place(slice) as usize];
        sorted[*at as usize] = index as u32;
        *at += 1;
    }
    (sorted, first)
}

/// Meeting places, some of which turn out to be the same.
struct Places {
    parent: Vec<u32>,
}

impl Places {
    fn new(count: usize) -> Places {
        Places { parent: (0..count as u32).collect() }
    }

    fn find(&mut self, mut place: u32) -> u32 {
        while self.parent[place as usize] != place {
            let up = self.parent[self.parent[place as usize] as usize];
            self.parent[place as usize] = up;
            place = up;
        }
        place
    }

    fn join(&mut self, one: u32, two: u32) {
        let (one, two) = (self.find(one), self.find(two));
        self.parent[one.max(two) as usize] = one.min(two);
    }
}
