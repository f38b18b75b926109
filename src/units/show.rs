//! Writing quantities back for people.

use super::{INCH, Unit};

/// How lengths are shown to the user of one job.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shown {
    /// The unit that comes first.
    pub unit: Unit,
    /// Parts of an inch in fractions: 32 or 64.
    pub parts: u32,
}

impl Shown {
    /// `41 5/8 in (1057.28 mm)` in inches, `1057.28 mm (41 5/8 in)` in millimetres; a fraction
    /// that is not exact carries its sign, as [`fraction`] does.
    #[must_use]
    pub fn both(self, mm: f64) -> String {
        let metric = decimal(mm, Unit::Mm);
        let inches = fraction(mm, self.parts);
        match self.unit {
            Unit::Mm => format!("{metric} ({inches})"),
            Unit::In => format!("{inches} ({metric})"),
        }
    }

    /// In the job's own unit: a fraction of an inch, or decimal millimetres.
    #[must_use]
    pub fn one(self, mm: f64) -> String {
        match self.unit {
            Unit::Mm => decimal(mm, Unit::Mm),
            Unit::In => fraction(mm, self.parts),
        }
    }

    /// A small length, too fine for fractions: `0.002 in (0.05 mm)`, or `0.05 mm`.
    #[must_use]
    pub fn measured(self, mm: f64) -> String {
        let metric = format!("{} mm", trimmed(mm, FINE_MM));
        match self.unit {
            Unit::Mm => metric,
            Unit::In => format!("{} in ({metric})", trimmed(mm / INCH, FINE_IN)),
        }
    }
}

/// Decimals of small lengths: a micrometre, and a tenth of a thousandth of an inch.
const FINE_MM: usize = 3;
const FINE_IN: usize = 4;

/// Inches to the nearest `1/parts`, reduced: `41 5/8 in`. A `+` after the fraction says that
/// the true length is a little more than the fraction, a `-` that it is a little less.
#[must_use]
pub fn fraction(mm: f64, parts: u32) -> String {
    let parts = u64::from(parts.max(1));
    let exact = mm.abs() / INCH * parts as f64;
    let nearest = exact.round();
    // What rounds to nothing says more in decimals.
    let vanishes = nearest == 0.0 && exact * INCH / parts as f64 > 5e-4;
    if !nearest.is_finite() || nearest > 1e15 || vanishes {
        return decimal(mm, Unit::In);
    }
    // Half a micrometre: below what any of our figures mean.
    let off = (exact - nearest) * INCH / parts as f64;
    let mark = if off > 5e-4 {
        "+"
    } else if off < -5e-4 {
        "-"
    } else {
        ""
    };
    // A whole number of parts, checked above to be small enough to count exactly.
    let n = nearest as u64;
    let (whole, mut top, mut below) = (n / parts, n % parts, parts);
    while top > 0 && top % 2 == 0 && below % 2 == 0 {
        top /= 2;
        below /= 2;
    }
    let sign = if mm < 0.0 && n > 0 { "-" } else { "" };
    let number = match (whole, top) {
        (w, 0) => format!("{w}"),
        (0, t) => format!("{t}/{below}"),
        (w, t) => format!("{w} {t}/{below}"),
    };
    // The sign of what was cut off is that of the magnitude, so it reads the same either way.
    format!("{sign}{number}{mark} in")
}

/// Decimals: millimetres to 0.01, inches to 0.001, without trailing zeros.
#[must_use]
pub fn decimal(mm: f64, unit: Unit) -> String {
    let places = match unit {
        Unit::Mm => 2,
        Unit::In => 3,
    };
    format!("{} {}", trimmed(mm / unit.mm(), places), unit.name())
}

/// What a figure is true to, or how far something is off: to 0.001 mm or 0.00001 in, rounded away
/// from zero, so that no bound is told closer than it is.
#[must_use]
pub fn bound(mm: f64, unit: Unit) -> String {
    let places = match unit {
        Unit::Mm => 3,
        Unit::In => 5,
    };
    let scale = 10_f64.powi(places);
    // A bound of exactly 0.05 mm lies a hair beside it in binary, and stays 0.05 mm: a thousandth
    // of the last place is more than the rounding of a height in single precision.
    let up = ((mm / unit.mm()).abs() * scale - 1e-3).ceil().max(0.0) / scale;
    format!("{} {}", trimmed(up.copysign(mm), places.unsigned_abs() as usize), unit.name())
}

/// An area: whole square centimetres, or square inches to one decimal.
#[must_use]
pub fn area(mm2: f64, unit: Unit) -> String {
    match unit {
        // 100 mm2 to a square centimetre.
        Unit::Mm => format!("{} cm2", trimmed(mm2 / 100.0, 0)),
        Unit::In => format!("{} sq in", trimmed(mm2 / (INCH * INCH), 1)),
    }
}

/// A feed: whole mm/min, or in/min to one decimal.
#[must_use]
pub fn feed(mm_per_min: f64, unit: Unit) -> String {
    match unit {
        Unit::Mm => format!("{} mm/min", trimmed(mm_per_min, 0)),
        Unit::In => format!("{} in/min", trimmed(mm_per_min / INCH, 1)),
    }
}

fn trimmed(value: f64, places: usize) -> String {
    // A length typed as 1057.275 lies a hair below it in binary; it rounds as it was typed.
    let value = value + value.signum() * 1e-9;
    let text = format!("{value:.places$}");
    let text = match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.'),
        false => text.as_str(),
    };
    if text == "-0" { "0".to_string() } else { text.to_string() }
}
