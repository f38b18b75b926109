//! How far a program goes, and how long it takes: per axis, cutting and travelling, per cutter.

use super::duration;
use crate::geometry::{Box3, Point3};
use crate::ngc::{Event, Motion, What};
use crate::shop::Cutter;
use crate::units::Shown;
use std::fmt::Write;

/// How far one cutter goes.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Extents {
    /// Its number; `None` before the first change.
    pub cutter: Option<u32>,
    /// The box of the cutter's tip centre at feed, work coordinates.
    pub cutting: Box3,
    /// The box of its traverses.
    pub travelling: Box3,
    /// Length of the way at feed, mm.
    pub cutting_length: f64,
    /// Length of its traverses, mm.
    pub travelling_length: f64,
    /// Seconds at feed.
    pub cutting_time: f64,
    /// Seconds of traverses.
    pub travelling_time: f64,
    /// Seconds of all else: dwells, spindle.
    pub waiting_time: f64,
}

impl Extents {
    fn new(cutter: Option<u32>) -> Extents {
        Extents {
            cutter,
            cutting: Box3::EMPTY,
            travelling: Box3::EMPTY,
            cutting_length: 0.0,
            travelling_length: 0.0,
            cutting_time: 0.0,
            travelling_time: 0.0,
            waiting_time: 0.0,
        }
    }

    /// Seconds in all.
    #[must_use]
    pub fn time(&self) -> f64 {
        self.cutting_time + self.travelling_time + self.waiting_time
    }

    fn add(&mut self, motion: &Motion, after: [bool; 3], seconds: f64) {
        let stroke = &motion.stroke;
        let mut reached = Box3::EMPTY;
        let mut length = 0.0;
        if !motion.machine {
            reached = grown(partial(stroke.from, motion.known), partial(stroke.to, after));
            if motion.known == [true; 3] {
                reached = reached.union(stroke.bounds());
                length = stroke.length();
            }
        }
        if motion.feed.is_some() {
            self.cutting = grown(self.cutting, reached);
            self.cutting_length += length;
            self.cutting_time += seconds;
        } else {
            self.travelling = grown(self.travelling, reached);
            self.travelling_length += length;
            self.travelling_time += seconds;
        }
    }
}

/// A box that is empty along the axes that are not known.
fn partial(p: Point3, known: [bool; 3]) -> Box3 {
    let mut part = Box3::EMPTY;
    let axes = [p.x, p.y, p.z];
    let set = |v: &mut f64, axis: usize| {
        if known[axis] {
            *v = axes[axis];
        }
    };
    set(&mut part.min.x, 0);
    set(&mut part.max.x, 0);
    set(&mut part.min.y, 1);
    set(&mut part.max.y, 1);
    set(&mut part.min.z, 2);
    set(&mut part.max.z, 2);
    part
}

/// The union axis by axis; [`Box3::union`] takes a box without x for empty.
fn grown(a: Box3, b: Box3) -> Box3 {
    let low = |a: Point3, b: Point3| Point3 { x: a.x.min(b.x), y: a.y.min(b.y), z: a.z.min(b.z) };
    let high = |a: Point3, b: Point3| Point3 { x: a.x.max(b.x), y: a.y.max(b.y), z: a.z.max(b.z) };
    Box3 { min: low(a.min, b.min), max: high(a.max, b.max) }
}

/// Extents of each cutter, in the order of first use. `seconds` gives the time of each event, in
/// the order of `events`; what it lacks takes none.
///
/// Moves in machine coordinates count for time only, for where they end in the work is not
/// known; the same holds of axes that no word has set yet.
#[must_use]
pub fn extents(events: &[Event], seconds: &[f64]) -> Vec<Extents> {
    let mut all: Vec<Extents> = Vec::new();
    let motions: Vec<(usize, &Motion)> = events
        .iter()
        .enumerate()
        .filter_map(|(i, e)| match &e.what {
            What::Motion(m) => Some((i, m)),
            _ => None,
        })
        .collect();
    let mut next = 0;
    for (i, event) in events.iter().enumerate() {
        let time = seconds.get(i).copied().filter(|s| s.is_finite()).unwrap_or(0.0);
        let motion = motions.get(next).filter(|m| m.0 == i).map(|m| m.1);
        if motion.is_none() && time == 0.0 {
            continue;
        }
        let own = of_cutter(&mut all, event.state.cutter);
        match motion {
            Some(motion) => {
                next += 1;
                let following = motions.get(next).map(|m| m.1.known);
                own.add(motion, known_after(motion, following), time);
            }
            None => own.waiting_time += time,
        }
    }
    all.retain(|e| e.cutter.is_some() || e.cutting_length + e.travelling_length + e.time() > 0.0);
    all
}

/// What is known once a move is done: what the next move knows, or what this one set.
fn known_after(motion: &Motion, following: Option<[bool; 3]>) -> [bool; 3] {
    following.unwrap_or_else(|| {
        let (a, b) = (motion.stroke.from, motion.stroke.to);
        let changed = [a.x != b.x, a.y != b.y, a.z != b.z];
        [0, 1, 2].map(|k| motion.known[k] || changed[k])
    })
}

fn of_cutter(all: &mut Vec<Extents>, cutter: Option<u32>) -> &mut Extents {
    let at = all.iter().position(|e| e.cutter == cutter).unwrap_or_else(|| {
        all.push(Extents::new(cutter));
        all.len() - 1
    });
    &mut all[at]
}

/// The extents as aligned text for a terminal or a sheet. `cutters` gives names to numbers.
#[must_use]
pub fn extents_table(
    events: &[Event],
    cutters: &[Cutter],
    seconds: &[f64],
    shown: Shown,
) -> String {
    let all = extents(events, seconds);
    if all.is_empty() {
        return "The program moves nothing.\n".to_string();
    }
    let timed = !seconds.is_empty();
    let rows: Vec<[Vec<[String; 3]>; 2]> =
        all.iter().map(|e| [rows(e.cutting, shown), rows(e.travelling, shown)]).collect();
    let widths = widths(&rows);
    let mut out = "Centre of the cutter's tip, from the work zero\n".to_string();
    for (e, [cutting, travelling]) in all.iter().zip(&rows) {
        let _ = writeln!(out, "\n{}", name(e.cutter, cutters));
        header(&mut out, widths);
        block(&mut out, "cutting", cutting, widths);
        block(&mut out, "travelling", travelling, widths);
        out.push_str(&summary(e, timed, shown));
    }
    if timed && all.len() > 1 {
        let total = all.iter().map(Extents::time).sum();
        let _ = writeln!(out, "\nall cutters: {}", duration(total));
    }
    out
}

fn name(cutter: Option<u32>, cutters: &[Cutter]) -> String {
    match cutter {
        None => "no cutter stated".to_string(),
        Some(n) => cutters
            .iter()
            .find(|c| c.number == n)
            .map_or_else(|| format!("cutter {n}"), Cutter::title),
    }
}

/// From, to and span of x, y, z; nothing for an axis that was never set.
fn rows(area: Box3, shown: Shown) -> Vec<[String; 3]> {
    let (a, b) = (area.min, area.max);
    [(a.x, b.x), (a.y, b.y), (a.z, b.z)]
        .iter()
        .map(|&(from, to)| {
            if from > to {
                return [String::from("-"), String::from("-"), String::from("-")];
            }
            [shown.both(from), shown.both(to), shown.both(to - from)]
        })
        .collect()
}

fn widths(rows: &[[Vec<[String; 3]>; 2]]) -> [usize; 3] {
    let all = || rows.iter().flatten().flatten();
    [0, 1, 2].map(|k| all().map(|r| r[k].chars().count()).max().unwrap_or(0).max(4))
}

fn header(out: &mut String, w: [usize; 3]) {
    let _ = writeln!(
        out,
        "  {:<10} {:<2} {:>a$}  {:>b$}  {:>c$}",
        "",
        "",
        "from",
        "to",
        "span",
        a = w[0],
        b = w[1],
        c = w[2]
    );
}

fn block(out: &mut String, what: &str, rows: &[[String; 3]], w: [usize; 3]) {
    if rows.iter().all(|r| r[0] == "-") {
        let _ = writeln!(out, "  {what:<10} none");
        return;
    }
    for (k, (axis, [from, to, span])) in ["x", "y", "z"].iter().zip(rows).enumerate() {
        let label = if k == 0 { what } else { "" };
        let _ = writeln!(
            out,
            "  {label:<10} {axis:<2} {from:>a$}  {to:>b$}  {span:>c$}",
            a = w[0],
            b = w[1],
            c = w[2]
        );
    }
}

fn summary(e: &Extents, timed: bool, shown: Shown) -> String {
    let (cut, travel) = (shown.one(e.cutting_length), shown.one(e.travelling_length));
    if !timed {
        return format!("  cutting {cut}, travelling {travel}\n");
    }
    let mut out = format!(
        "  cutting {cut} in {}, travelling {travel} in {}",
        duration(e.cutting_time),
        duration(e.travelling_time)
    );
    if e.waiting_time > 0.0 {
        let _ = write!(out, ", waiting {}", duration(e.waiting_time));
    }
    let _ = writeln!(out, "; in all {}", duration(e.time()));
    out
}
