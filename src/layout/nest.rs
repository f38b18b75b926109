//! Which piece comes out of which stick: the least stock, by branch and bound.

use crate::diagnostic::Diagnostic;
use crate::layout::say::{about, at_least};
use std::cmp::Ordering;

/// Branches tried before the best found so far is taken as it is: part of a second's work, and far
/// more than any header's list needs.
const MOST_BRANCHES: usize = 300_000;

/// Lengths closer than this are one length, mm: below what a saw can tell.
const SAME: f64 = 1e-6;

/// More kinds of stick or pieces than this are not one job; each piece is one step down the search.
const MOST: usize = 1000;

/// Sticks of one length. Millimetres.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Stick {
    /// Length.
    pub length: f64,
    /// How many; `None` for as many as are wanted.
    pub count: Option<usize>,
}

/// How the sticks are sawn. Millimetres.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Sawing {
    /// Width of the saw's cut, lost between two pieces.
    pub kerf: f64,
    /// Cut off each stick altogether before it counts: rough ends.
    pub trim: f64,
}

/// One stick and what is cut from it, the longest first.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Nested {
    /// The stick's length.
    pub length: f64,
    /// Index of each piece in the list that was given.
    pub pieces: Vec<usize>,
    /// What is left in one length after the last cut.
    pub offcut: f64,
}

/// A whole nesting.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Nesting {
    /// The sticks that are used.
    pub sticks: Vec<Nested>,
    /// Their lengths together.
    pub used: f64,
    /// No nesting uses less than this.
    pub bound: f64,
    /// Whether no nesting uses less than this one does.
    pub exact: bool,
    /// Length that is no piece: kerfs, trim and offcuts.
    pub waste: f64,
}

/// Nests pieces (name and length) in sticks, using the least total length of stick.
///
/// Branch and bound over where each piece goes, the longest first; the bound is what the rest
/// needs beyond the room left in the sticks begun, in whole sticks where all are of one length.
///
/// # Errors
/// A value that cannot be; the piece that no stick holds, with the length that would; or the
/// length that is missing when all sticks together do not do.
pub fn nest(
    pieces: &[(String, f64)],
    sticks: &[Stick],
    sawing: &Sawing,
) -> Result<Nesting, Vec<Diagnostic>> {
    check(pieces, sticks, sawing)?;
    let mut search = Search::new(pieces, sticks, sawing);
    let bound = search.lower_bound(0, 0.0);
    search.branch(0, 0.0);
    let Some(best) = search.best.take() else {
        return Err(vec![search.not_enough()]);
    };
    let exact = search.branches < MOST_BRANCHES || best.used <= bound + SAME;
    Ok(search.finish(best, if exact { None } else { Some(bound) }))
}

fn check(
    pieces: &[(String, f64)],
    sticks: &[Stick],
    sawing: &Sawing,
) -> Result<(), Vec<Diagnostic>> {
    let mut wrong = Vec::new();
    let mut say = |key: &str, message: String, help: String| {
        wrong.push(Diagnostic::error(message).key(key).help(help));
    };
    for (key, value) in [("sawing.kerf", sawing.kerf), ("sawing.trim", sawing.trim)] {
        if !(value >= 0.0 && value.is_finite()) {
            say(key, format!("{value} mm cannot be"), "0 or more".to_string());
        }
    }
    for (i, stick) in sticks.iter().enumerate() {
        if !(stick.length > 0.0 && stick.length.is_finite()) {
            let key = format!("stick[{}].length", i + 1);
            say(&key, format!("{} mm cannot be", stick.length), "more than 0".to_string());
        }
    }
    if sticks.len() > MOST || pieces.len() > MOST {
        say("stick", "too many to nest".to_string(), format!("at most {MOST} of each"));
    }
    let longest = sticks
        .iter()
        .filter(|stick| stick.count != Some(0))
        .map(|stick| stick.length - sawing.trim)
        .fold(0.0, f64::max);
    for (i, (name, length)) in pieces.iter().enumerate() {
        let key = format!("piece[{}]", i + 1);
        if !(*length > 0.0 && length.is_finite()) {
            say(&key, format!("{name}: {length} mm cannot be"), "more than 0".to_string());
        } else if *length > longest + SAME {
            say(
                &key,
                format!("{name} is {} long; no stick holds it", about(*length)),
                format!("a stick of at least {}", at_least(length + sawing.trim)),
            );
        }
    }
    if wrong.is_empty() { Ok(()) } else { Err(wrong) }
}

#[derive(Clone, Debug)]
struct Open {
    kind: usize,
    room: f64,
    pieces: Vec<usize>,
}

struct Best {
    used: f64,
    open: Vec<Open>,
}

struct Search<'a> {
    lengths: &'a [(String, f64)],
    sticks: Vec<Stick>,
    kerf: f64,
    trim: f64,
    /// Pieces by falling length.
    order: Vec<usize>,
    /// What the pieces from each place in `order` on need, kerfs included.
    rest: Vec<f64>,
    open: Vec<Open>,
    taken: Vec<usize>,
    best: Option<Best>,
    branches: usize,
}

impl<'a> Search<'a> {
    fn new(lengths: &'a [(String, f64)], sticks: &[Stick], sawing: &Sawing) -> Search<'a> {
        let mut order: Vec<usize> = (0..lengths.len()).collect();
        order.sort_by(|&a, &b| lengths[b].1.total_cmp(&lengths[a].1).then(a.cmp(&b)));
        let mut rest = vec![0.0; order.len() + 1];
        for i in (0..order.len()).rev() {
            rest[i] = rest[i + 1] + lengths[order[i]].1 + sawing.kerf;
        }
        let mut sticks = sticks.to_vec();
        sticks.sort_by(|a, b| a.length.total_cmp(&b.length));
        Search {
            lengths,
            taken: vec![0; sticks.len()],
            sticks,
            kerf: sawing.kerf,
            trim: sawing.trim,
            order,
            rest,
            open: Vec::new(),
            best: None,
            branches: 0,
        }
    }

    /// Room of a new stick. The last cut may fall beyond its end, hence a kerf more.
    fn room(&self, kind: usize) -> f64 {
        self.sticks[kind].length - self.trim + self.kerf
    }

    /// Length of stick that no way of placing the pieces from `next` on can go below.
    fn lower_bound(&self, next: usize, used: f64) -> f64 {
        let free: f64 = self.open.iter().map(|o| o.room).sum();
        let need = self.rest[next] - free;
        if need <= SAME {
            return used;
        }
        // A stick gives its room for its length: the best rate of any, and where all are of one
        // length only whole ones can be had.
        match self.sticks.as_slice() {
            [only] => used + (need / self.room(0) - SAME).ceil() * only.length,
            many => {
                let rate = (0..many.len())
                    .filter(|&kind| self.room(kind) > 0.0)
                    .map(|kind| many[kind].length / self.room(kind))
                    .fold(f64::INFINITY, f64::min);
                used + need * rate
            }
        }
    }

    fn branch(&mut self, next: usize, used: f64) {
        if self.branches >= MOST_BRANCHES {
            return;
        }
        self.branches += 1;
        if self.best.as_ref().is_some_and(|b| self.lower_bound(next, used) >= b.used - SAME) {
            return;
        }
        let Some(&piece) = self.order.get(next) else {
            self.best = Some(Best { used, open: self.open.clone() });
            return;
        };
        let takes = self.lengths[piece].1 + self.kerf;
        for slot in self.slots(takes) {
            self.open[slot].room -= takes;
            self.open[slot].pieces.push(piece);
            self.branch(next + 1, used);
            self.open[slot].pieces.pop();
            self.open[slot].room += takes;
        }
        for kind in 0..self.sticks.len() {
            let Stick { length, count } = self.sticks[kind];
            let room = self.room(kind) - takes;
            if room < -SAME || count.is_some_and(|count| self.taken[kind] >= count) {
                continue;
            }
            self.taken[kind] += 1;
            self.open.push(Open { kind, room, pieces: vec![piece] });
            self.branch(next + 1, used + length);
            self.open.pop();
            self.taken[kind] -= 1;
        }
    }

    /// Sticks begun that still hold `takes`, the tightest first; of equal rooms only one.
    fn slots(&self, takes: f64) -> Vec<usize> {
        let mut slots: Vec<usize> =
            (0..self.open.len()).filter(|&i| self.open[i].room >= takes - SAME).collect();
        slots.sort_by(|&a, &b| self.open[a].room.total_cmp(&self.open[b].room).then(a.cmp(&b)));
        slots.dedup_by(|&mut a, &mut b| (self.open[a].room - self.open[b].room).abs() <= SAME);
        slots
    }

    fn not_enough(&self) -> Diagnostic {
        let have: f64 = (0..self.sticks.len())
            .map(|kind| self.room(kind).max(0.0) * self.sticks[kind].count.unwrap_or(0) as f64)
            .sum();
        let longest = self.order.first().map_or(0.0, |&piece| self.lengths[piece].1);
        let short = (self.rest[0] - have).max(longest);
        let how =
            if self.branches < MOST_BRANCHES { "do not hold" } else { "were not found to hold" };
        Diagnostic::error(format!("the sticks on hand {how} all {} pieces", self.order.len()))
            .key("stick")
            .help(format!(
                "at least {} more; sticks of {} without a count always do",
                about(short),
                at_least(longest + self.trim)
            ))
    }

    fn finish(&self, best: Best, bound: Option<f64>) -> Nesting {
        let mut sticks: Vec<Nested> = best
            .open
            .iter()
            .map(|open| {
                // The room counts one kerf that the last cut may lose beyond the end.
                let offcut = (open.room - self.kerf).max(0.0);
                Nested {
                    length: self.sticks[open.kind].length,
                    pieces: open.pieces.clone(),
                    offcut,
                }
            })
            .collect();
        sticks.sort_by(|a, b| {
            b.length.partial_cmp(&a.length).unwrap_or(Ordering::Equal).then(a.pieces.cmp(&b.pieces))
        });
        let cut: f64 = self.lengths.iter().map(|(_, length)| length).sum();
        Nesting {
            sticks,
            used: best.used,
            bound: bound.unwrap_or(best.used),
            exact: bound.is_none(),
            waste: best.used - cut,
        }
    }
}
