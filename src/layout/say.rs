//! Lengths in messages, rounded so that the number shown works when it is typed.

use crate::units::INCH;

/// Not below `mm`: rounded up to 0.01 mm and 0.001 in.
pub(super) fn at_least(mm: f64) -> String {
    let up = |value: f64, parts: f64| (value * parts - 1e-6).ceil() / parts;
    format!("{:.2} mm ({:.3} in)", up(mm, 100.0), up(mm / INCH, 1000.0))
}

/// Not above `mm`: rounded down to 0.01 mm and 0.001 in.
pub(super) fn at_most(mm: f64) -> String {
    let down = |value: f64, parts: f64| (value * parts + 1e-6).floor() / parts;
    format!("{:.2} mm ({:.3} in)", down(mm, 100.0), down(mm / INCH, 1000.0))
}

/// As near as 0.01 mm.
pub(super) fn about(mm: f64) -> String {
    format!("{mm:.2} mm ({:.3} in)", mm / INCH)
}
