//! What sizes of a carving must be.

use crate::diagnostic::Diagnostic;
use crate::tracing::DrawingKeys;
use crate::units::Shown;

/// Collects what is wrong under one key.
pub(super) struct Checks<'a> {
    key: &'a str,
    shown: Shown,
    pub(super) found: Vec<Diagnostic>,
}

impl<'a> Checks<'a> {
    pub(super) fn new(key: &'a str, shown: Shown) -> Checks<'a> {
        Checks { key, shown, found: Vec::new() }
    }

    /// A length that must be more than zero.
    pub(super) fn positive(&mut self, name: &str, value: f64) {
        if !(value > 0.0 && value.is_finite()) {
            let message = format!("{} is no {name}", self.shown.one(value));
            self.push(name, message, "more than zero");
        }
    }

    /// A length from `low` to `high`, mm.
    pub(super) fn within(&mut self, name: &str, value: f64, low: f64, high: f64) {
        if !(low..=high).contains(&value) {
            // A fine grid is a hundredth: whole 32nds of an inch would call it nothing.
            let (low, high) = (self.shown.measured(low), self.shown.measured(high));
            let message = format!("{} is no {name} that can be worked", self.shown.measured(value));
            self.push(name, message, &format!("from {low} to {high}"));
        }
    }

    /// A bare number from `low` to `high`.
    pub(super) fn number(&mut self, name: &str, value: f64, low: f64, high: f64) {
        if !(low..=high).contains(&value) {
            self.push(name, format!("{value} is out of range"), &format!("from {low} to {high}"));
        }
    }

    /// Something wrong with two lengths, for which `{}` stand in the message, mm.
    pub(super) fn lengths(&mut self, name: &str, message: &str, values: [f64; 2], help: &str) {
        let mut parts = message.splitn(3, "{}");
        let mut next = || parts.next().unwrap_or_default().to_string();
        let (first, second) = (self.shown.both(values[0]), self.shown.both(values[1]));
        let message = [next(), first, next(), second, next()].concat();
        self.push(name, message, help);
    }

    /// Nothing says how a drawing is read where none is named.
    pub(super) fn no_file(&mut self, keys: &DrawingKeys) {
        self.found.extend(keys.no_file(self.key).err());
    }

    pub(super) fn push(&mut self, name: &str, message: String, help: &str) {
        let key = format!("{}.{name}", self.key);
        self.found.push(Diagnostic::error(message).key(key).help(help));
    }
}
