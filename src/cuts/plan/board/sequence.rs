//! The order of work on one face: which cutter when, and where each goes next.
//!
//! Holes come first, then what lies inside, then edges, then the outline; what a cutter takes in a
//! pocket comes after what the wider one before it took. Within that the cutter is changed as
//! seldom as can be, and what one cutter does without a change is put in the order that is
//! travelled soonest: inner pockets before those around them.

use super::super::Operation;
use crate::cuts::order::{self, Stop};
use crate::geometry::{Point, Region};
use crate::shop::{Cutter, CuttingData};
use crate::toolpath::{Move, Toolpath};
use std::collections::BTreeSet;

/// Orders of cutters that are looked at, at most: then what has most work left is put in next.
const LOOKS: usize = 4000;

/// What comes before what on a face, whichever cutter does it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Phase {
    Holes,
    Inside,
    Edges,
    Outline,
}

/// What one cutter does at one feature.
pub(super) struct Task {
    pub phase: Phase,
    pub cutter: Cutter,
    pub data: CuttingData,
    /// Its places, in any order: each with the ways in which it can be done, from and to the
    /// height for travelling.
    pub places: Vec<Vec<Toolpath>>,
    /// Numbers of tasks that come before it.
    pub after: Vec<usize>,
    /// What it clears, if it is a pocket.
    pub area: Option<Region>,
}

impl Task {
    pub(super) fn new(
        phase: Phase,
        cutter: &Cutter,
        data: CuttingData,
        places: Vec<Vec<Toolpath>>,
    ) -> Task {
        let cutter = cutter.clone();
        Task { phase, cutter, data, places, after: Vec::new(), area: None }
    }
}

/// The tasks as operations in order. `start` is where the first cutter begins.
pub(super) fn sequence(mut tasks: Vec<Task>, start: Point) -> Vec<Operation> {
    inside_first(&mut tasks);
    let runs = runs(&tasks);
    let mut run_of = vec![0; tasks.len()];
    for (k, run) in runs.iter().enumerate() {
        run.iter().for_each(|i| run_of[*i] = k);
    }
    let mut stops: Vec<Stop> = Vec::new();
    let mut names: Vec<(usize, usize)> = Vec::new();
    let mut first: Vec<usize> = Vec::new();
    for (i, task) in tasks.iter().enumerate() {
        first.push(stops.len());
        // Cutter by cutter, and within that phase by phase; there are four.
        let phase = 4 * run_of[i] + task.phase as usize;
        for (k, ways) in task.places.iter().enumerate() {
            stops.push(Stop { phase, ways: ways.iter().map(ends).collect(), after: Vec::new() });
            names.push((i, k));
        }
    }
    for (i, task) in tasks.iter().enumerate() {
        for before in task.after.iter().filter(|k| run_of[**k] == run_of[i]) {
            let count = tasks[*before].places.len();
            for k in 0..task.places.len() {
                // A counterbore is made before its own hole, not before all of them.
                let own = task.phase == Phase::Holes && count == task.places.len();
                let which = if own { k..k + 1 } else { 0..count };
                stops[first[i] + k].after.extend(which.map(|k| first[*before] + k));
            }
        }
    }
    let visits = order::order(start, &stops);
    let put = |(stop, way): &(usize, usize)| {
        let (task, place) = names[*stop];
        let task = &tasks[task];
        Operation {
            cutter: task.cutter.clone(),
            data: task.data.clone(),
            toolpath: task.places[place][*way].clone(),
        }
    };
    visits.iter().map(put).collect()
}

/// Where a toolpath begins and ends in plan.
fn ends(path: &Toolpath) -> (Point, Point) {
    let first = path.steps.iter().find_map(|step| Move::target(&step.action));
    let (from, to) = (first.unwrap_or_default(), path.end().unwrap_or_default());
    (from.xy(), to.xy())
}

/// Of two pockets that one cutter clears the inner comes first.
fn inside_first(tasks: &mut [Task]) {
    for outer in 0..tasks.len() {
        for inner in 0..tasks.len() {
            let (one, around) = (&tasks[inner], &tasks[outer]);
            let within = inner != outer
                && one.cutter.number == around.cutter.number
                && one.phase == around.phase
                && one.area.as_ref().zip(around.area.as_ref()).is_some_and(|(a, b)| lies_in(a, b));
            // What comes before for a better reason stays before.
            if within && !waits(tasks, inner, outer) {
                tasks[outer].after.push(inner);
            }
        }
    }
}

/// Whether an area lies in another.
pub(super) fn lies_in(inner: &Region, outer: &Region) -> bool {
    inner.area() < outer.area() && inner.outer().vertices.iter().all(|v| outer.contains(v.at))
}

/// Whether a task waits for another, through others or not.
fn waits(tasks: &[Task], one: usize, other: usize) -> bool {
    let mut seen = vec![false; tasks.len()];
    let mut look = vec![one];
    while let Some(i) = look.pop() {
        if i == other {
            return true;
        }
        if !std::mem::replace(&mut seen[i], true) {
            look.extend(tasks[i].after.iter().copied());
        }
    }
    false
}

/// What has been done, and with which cutter last: its number, and the tasks run by run.
#[derive(Clone, Default)]
struct Progress {
    done: Vec<bool>,
    cutter: Option<u32>,
    runs: Vec<Vec<usize>>,
}

impl Progress {
    /// Tasks that may be done now.
    fn ready(&self, tasks: &[Task]) -> Vec<usize> {
        let left = || (0..tasks.len()).filter(|i| !self.done[*i]);
        let phase = left().map(|i| tasks[i].phase).min();
        let free = |i: &usize| {
            Some(tasks[*i].phase) == phase && tasks[*i].after.iter().all(|k| self.done[*k])
        };
        left().filter(free).collect()
    }

    /// All that a cutter may do now, and what it may do after that.
    fn with(&self, tasks: &[Task], cutter: u32) -> Progress {
        let mut next = self.clone();
        let mut run = Vec::new();
        loop {
            let ready = next.ready(tasks).into_iter();
            let own: Vec<usize> = ready.filter(|i| tasks[*i].cutter.number == cutter).collect();
            if own.is_empty() {
                break;
            }
            own.iter().for_each(|i| next.done[*i] = true);
            run.extend(own);
        }
        next.runs.push(run);
        next.cutter = Some(cutter);
        next
    }

    /// Cutters that have something to do now, in the order in which they are named.
    fn cutters(&self, tasks: &[Task]) -> Vec<u32> {
        let mut all = Vec::new();
        for i in self.ready(tasks) {
            if !all.contains(&tasks[i].cutter.number) {
                all.push(tasks[i].cutter.number);
            }
        }
        all
    }
}

/// The tasks in the fewest runs of one cutter each: of all orders of cutters the first of the
/// shortest.
fn runs(tasks: &[Task]) -> Vec<Vec<usize>> {
    let begin = Progress { done: vec![false; tasks.len()], ..Progress::default() };
    let mut level = vec![begin];
    let mut seen: BTreeSet<(Vec<bool>, Option<u32>)> = BTreeSet::new();
    loop {
        if let Some(all) = level.iter().find(|one| one.done.iter().all(|d| *d)) {
            return all.runs.clone();
        }
        let mut next = Vec::new();
        for one in &level {
            for cutter in one.cutters(tasks) {
                let after = one.with(tasks, cutter);
                if seen.insert((after.done.clone(), after.cutter)) {
                    next.push(after);
                }
            }
        }
        if next.is_empty() {
            // Tasks that wait for one another: in the order given, each by itself.
            return (0..tasks.len()).map(|i| vec![i]).collect();
        }
        if seen.len() > LOOKS {
            let count = |one: &Progress| one.done.iter().filter(|d| **d).count();
            next.sort_by_key(|one| std::cmp::Reverse(count(one)));
            next.truncate(1);
        }
        level = next;
    }
}
