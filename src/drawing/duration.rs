//! Times as people say them.

/// `1 h 02 min`, `12 min 05 s`, `45 s`; what is not a time gives `unknown`.
#[must_use]
pub fn duration(seconds: f64) -> String {
    // A year of cutting is no time that a program takes.
    if !(0.0..=3.2e7).contains(&seconds) {
        return "unknown".to_string();
    }
    // Checked above to be small.
    let whole = seconds.round() as u64;
    let (hours, minutes, rest) = (whole / 3600, whole / 60 % 60, whole % 60);
    match (hours, minutes) {
        (0, 0) => format!("{rest} s"),
        (0, m) => format!("{m} min {rest:02} s"),
        (h, m) => format!("{h} h {m:02} min"),
    }
}
