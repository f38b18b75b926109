//! Positions as a dialect can write them: whole steps of its last decimal.

use super::dialect::{Dialect, NumberForm};
use crate::geometry::{Plane, Point, Point3, point, point3};

/// A position in whole steps. Positions chain from what was written, so that rounding never
/// adds up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Spot {
    pub(super) x: i64,
    pub(super) y: i64,
    pub(super) z: i64,
}

impl Spot {
    /// In the plane's own axes, in steps, and along its axis.
    pub(super) fn split(self, plane: Plane) -> (Point, f64) {
        // Exact: a step count is far below 2^53.
        plane.split(point3(self.x as f64, self.y as f64, self.z as f64))
    }
}

/// The grid of a dialect's last decimal.
#[derive(Clone, Copy, Debug)]
pub(super) struct Grid {
    unit: f64,
    decimals: u32,
    form: NumberForm,
}

impl Grid {
    pub(super) fn of(dialect: &Dialect) -> Grid {
        Grid { unit: dialect.units.mm(), decimals: dialect.decimals, form: dialect.numbers }
    }

    fn power(&self) -> i64 {
        10_i64.pow(self.decimals)
    }

    /// Millimetres as steps, not rounded.
    pub(super) fn steps(&self, mm: f64) -> f64 {
        mm / self.unit * self.power() as f64
    }

    /// A plane vector as steps, not rounded.
    pub(super) fn steps2(&self, mm: Point) -> Point {
        point(self.steps(mm.x), self.steps(mm.y))
    }

    /// The nearest spot. The writer has checked that the point is finite and near.
    pub(super) fn spot(&self, p: Point3) -> Spot {
        let count = |mm: f64| self.steps(mm).round() as i64;
        Spot { x: count(p.x), y: count(p.y), z: count(p.z) }
    }

    /// A word such as `X-10.5`.
    pub(super) fn word(&self, letter: char, steps: i64) -> String {
        let sign = if steps < 0 { "-" } else { "" };
        let (whole, part) = (
            steps.unsigned_abs() / self.power().unsigned_abs(),
            steps.unsigned_abs() % self.power().unsigned_abs(),
        );
        let width = self.decimals as usize;
        let digits = format!("{part:0width$}");
        let digits = match self.form {
            NumberForm::Fixed => digits.as_str(),
            _ => digits.trim_end_matches('0'),
        };
        let point = if digits.is_empty() && self.form == NumberForm::Trimmed { "" } else { "." };
        format!("{letter}{sign}{whole}{point}{digits}")
    }
}

/// A number of few decimals without zeros at its end, rounded down; never zero.
pub(super) fn rounded_down(value: f64, decimals: u32) -> String {
    let power = 10_f64.powi(decimals.cast_signed());
    // A millionth of a step up first: 0.1 + 0.2 is meant to be 0.3.
    let steps = (value * power + 1e-6).floor().max(1.0);
    shortest(steps / power, decimals)
}

/// A number of few decimals without zeros at its end, rounded up.
pub(super) fn rounded_up(value: f64, decimals: u32) -> String {
    let power = 10_f64.powi(decimals.cast_signed());
    shortest((value * power - 1e-6).ceil().max(0.0) / power, decimals)
}

fn shortest(value: f64, decimals: u32) -> String {
    let text = format!("{value:.*}", decimals as usize);
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_string(),
        false => text,
    }
}
