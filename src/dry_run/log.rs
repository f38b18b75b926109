//! Collecting findings: many of one kind in a row become one with a count.

use super::interlock::Interlock;
use super::verdict::{Finding, Severity};
use crate::geometry::Point3;
use crate::units::{Unit, bound, decimal, feed};

/// Lines between two findings of one kind that still count as "in a row".
const ROW: usize = 20;

/// Findings listed; more are only counted, so that a hostile text can not fill the memory.
const MOST: usize = 1000;

/// Where a finding stands and what kind of fault it is. Findings of one kind are worded alike.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spot {
    pub(super) interlock: Interlock,
    /// Short name of the fault within the interlock: findings of one kind are grouped.
    pub(super) kind: &'static str,
    pub(super) line: usize,
    pub(super) at: Option<Point3>,
}

/// Short for a [`Spot`].
pub(super) fn spot(
    interlock: Interlock,
    kind: &'static str,
    line: usize,
    at: Option<Point3>,
) -> Spot {
    Spot { interlock, kind, line, at }
}

/// The findings so far.
pub(super) struct Log {
    unit: Unit,
    /// In the order they came.
    pub(super) findings: Vec<Finding>,
    /// Findings that were counted but not listed.
    pub(super) unlisted: usize,
    /// Why an interlock could not be judged, in part or at all.
    pub(super) not_judged: Vec<(Interlock, String)>,
    /// The last finding of each kind.
    open: Vec<(&'static str, Severity, Interlock, usize)>,
    /// Refusals and cautions per interlock, lines counted.
    pub(super) counts: [[usize; 2]; Interlock::ALL.len()],
}

impl Log {
    pub(super) fn new(unit: Unit) -> Log {
        Log {
            unit,
            findings: Vec::new(),
            unlisted: 0,
            not_judged: Vec::new(),
            open: Vec::new(),
            counts: [[0; 2]; Interlock::ALL.len()],
        }
    }

    /// A length as the reader wants it.
    pub(super) fn mm(&self, value: f64) -> String {
        decimal(value, self.unit)
    }

    /// A small distance that is held against another, as the reader wants it.
    pub(super) fn bound(&self, value: f64) -> String {
        bound(value, self.unit)
    }

    /// A section as the reader wants it.
    pub(super) fn mm2(&self, value: f64) -> String {
        match self.unit {
            Unit::Mm => format!("{value:.1} mm2"),
            // 645.16 mm2 are a square inch (25.4 squared).
            _ => format!("{:.4} sq in", value / 645.16),
        }
    }

    /// A feed as the reader wants it.
    pub(super) fn feed(&self, value: f64) -> String {
        feed(value, self.unit)
    }

    /// The program is refused for this. `say` gives message and help; it runs only if they
    /// will be shown.
    pub(super) fn refuse(&mut self, spot: Spot, say: impl FnOnce(&Log) -> (String, String)) {
        self.add(spot, Severity::Refusal, say);
    }

    /// The operator should know this.
    pub(super) fn caution(&mut self, spot: Spot, say: impl FnOnce(&Log) -> (String, String)) {
        self.add(spot, Severity::Caution, say);
    }

    /// An interlock could not be judged, for this reason; the same reason is kept once.
    pub(super) fn not_judged(&mut self, interlock: Interlock, why: &str) {
        if !self.not_judged.iter().any(|(i, w)| *i == interlock && w == why) {
            self.not_judged.push((interlock, why.to_string()));
        }
    }

    fn add(&mut self, spot: Spot, severity: Severity, say: impl FnOnce(&Log) -> (String, String)) {
        self.counts[spot.interlock as usize][severity as usize] += 1;
        let slot = self.open.iter().position(|(kind, s, interlock, _)| {
            *kind == spot.kind && *s == severity && *interlock == spot.interlock
        });
        if let Some(slot) = slot {
            let last = &mut self.findings[self.open[slot].3];
            if spot.line >= last.last_line && spot.line - last.last_line <= ROW {
                last.more += usize::from(spot.line > last.last_line);
                last.last_line = spot.line;
                return;
            }
        }
        if self.findings.len() >= MOST {
            self.unlisted += 1;
            return;
        }
        let (message, help) = say(self);
        let index = self.findings.len();
        self.findings.push(Finding {
            interlock: spot.interlock,
            severity,
            line: spot.line,
            text: String::new(),
            at: spot.at,
            message,
            help,
            more: 0,
            last_line: spot.line,
        });
        match slot {
            Some(slot) => self.open[slot].3 = index,
            None => self.open.push((spot.kind, severity, spot.interlock, index)),
        }
    }
}
