//! Reading quantities. Only plain ASCII decimals and fractions: what a tape measure says.

use super::{INCH, MAX_LENGTH, Unit};

/// Reads a length and gives millimetres. Accepts decimals, fractions (`41 5/8`, `41-5/8"`),
/// feet and inches (`3' 5 5/8"`, `3 ft 5 in`), and the units mm, cm, m, in, ft with their
/// marks; without a unit the number is in `bare`. A leading `-` makes all of it negative.
///
/// # Errors
/// A sentence that says what is wrong with the text and what would be right.
pub fn parse_length(text: &str, bare: Unit) -> Result<f64, String> {
    let mut scan = Scan::new(text);
    let sign = scan.sign();
    let mut total = 0.0;
    let mut last_mm = f64::INFINITY;
    let mut first = true;
    loop {
        if !first {
            // `3' - 5 5/8"` is how some people separate feet from inches.
            scan.eat('-');
        }
        let (value, whole) = scan.mixed(text)?;
        let unit = match scan.unit() {
            "" => None,
            "'" | "\u{2032}" | "ft" | "foot" | "feet" => Some(12.0 * INCH),
            "\"" | "\u{2033}" | "''" | "in" | "inch" | "inches" => Some(INCH),
            "mm" => Some(1.0),
            "cm" => Some(10.0),
            "m" => Some(1000.0),
            other => {
                return Err(format!(
                    "`{text}` has the unit `{other}`; lengths are in mm, cm, m, in (\") or ft (')"
                ));
            }
        };
        let feet_before = (last_mm - 12.0 * INCH).abs() < 1e-9;
        let mm = match unit {
            Some(mm) => mm,
            // After feet a bare number is inches.
            None if feet_before => INCH,
            None => bare.mm(),
        };
        let follows_feet = feet_before && (mm - INCH).abs() < 1e-9;
        if !first && !follows_feet {
            return Err(format!("`{text}` is not a length: only feet and inches may be joined"));
        }
        if !first && value >= 12.0 {
            return Err(format!(
                "`{text}` has 12 inches or more after the feet; write the feet in full"
            ));
        }
        total += value * mm;
        last_mm = mm;
        first = false;
        if scan.at_end() {
            break;
        }
        if !feet_before && (mm - 12.0 * INCH).abs() < 1e-9 && whole {
            continue;
        }
        return Err(format!("`{text}` is not a length: `{}` is left over", scan.rest()));
    }
    let value = if sign { -total } else { total };
    if !value.is_finite() || value.abs() > MAX_LENGTH {
        return Err(format!(
            "`{text}` is longer than the {} m this program works to",
            MAX_LENGTH / 1000.0
        ));
    }
    Ok(value)
}

/// Reads an angle and gives radians: degrees when bare or with `deg` or `°`, else `rad`.
///
/// # Errors
/// A sentence that says what is wrong with the text.
pub fn parse_angle(text: &str) -> Result<f64, String> {
    let mut scan = Scan::new(text);
    let sign = scan.sign();
    let (value, _) = scan.mixed(text)?;
    let radians = match scan.unit() {
        "" | "deg" | "degrees" | "\u{b0}" => value.to_radians(),
        "rad" => value,
        other => return Err(format!("`{text}` has the unit `{other}`; angles are in deg or rad")),
    };
    if !scan.at_end() {
        return Err(format!("`{text}` is not an angle: `{}` is left over", scan.rest()));
    }
    if radians > 2.0 * std::f64::consts::PI + 1e-9 {
        return Err(format!("`{text}` is more than a full turn"));
    }
    Ok(if sign { -radians } else { radians })
}

/// Reads a feed and gives mm/min; a bare number is in `bare` units per minute.
///
/// # Errors
/// A sentence that says what is wrong with the text.
pub fn parse_feed(text: &str, bare: Unit) -> Result<f64, String> {
    let mut scan = Scan::new(text);
    if scan.sign() {
        return Err(format!("`{text}` is negative; a feed is more than zero"));
    }
    let (value, _) = scan.mixed(text)?;
    let mut unit: String = scan.rest().to_string();
    unit.retain(|c| !c.is_whitespace());
    let mm_per_min = match unit.as_str() {
        "" => value * bare.mm(),
        "mm/min" => value,
        "mm/s" => value * 60.0,
        "m/min" => value * 1000.0,
        "in/min" | "\"/min" => value * INCH,
        "in/s" => value * INCH * 60.0,
        other => {
            return Err(format!(
                "`{text}` has the unit `{other}`; feeds are in mm/min, m/min, mm/s, in/min or in/s"
            ));
        }
    };
    if !mm_per_min.is_finite() || mm_per_min > 1e6 {
        return Err(format!("`{text}` is faster than 1000 m/min"));
    }
    Ok(mm_per_min)
}

struct Scan<'a> {
    text: &'a str,
    at: usize,
}

impl<'a> Scan<'a> {
    fn new(text: &'a str) -> Scan<'a> {
        Scan { text: text.trim(), at: 0 }
    }

    fn rest(&self) -> &'a str {
        &self.text[self.at..]
    }

    fn at_end(&self) -> bool {
        self.rest().trim().is_empty()
    }

    fn blanks(&mut self) {
        self.at += self.rest().len() - self.rest().trim_start().len();
    }

    fn eat(&mut self, c: char) -> bool {
        self.blanks();
        let found = self.rest().starts_with(c);
        if found {
            self.at += c.len_utf8();
        }
        found
    }

    /// Takes a leading sign; true for minus.
    fn sign(&mut self) -> bool {
        let minus = self.eat('-') || self.eat('\u{2212}');
        if !minus {
            self.eat('+');
        }
        minus
    }

    fn digits(&mut self) -> &'a str {
        let rest = self.rest();
        let end = rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len());
        self.at += end;
        &rest[..end]
    }

    /// A number: `12`, `12.5`, `.5`, `5/8`, `41 5/8`, `41-5/8`. Says also whether it was whole.
    fn mixed(&mut self, all: &str) -> Result<(f64, bool), String> {
        self.blanks();
        let start = self.at;
        let whole = self.digits();
        if self.rest().starts_with('.') {
            self.at += 1;
            let decimals = self.digits();
            if whole.is_empty() && decimals.is_empty() {
                return Err(format!("`{all}` has no digits beside its decimal point"));
            }
            if self.rest().starts_with(['.', '/']) {
                return Err(format!("`{all}` is not a number: `{}` is left over", self.rest()));
            }
            return Ok((number(&self.text[start..self.at], all)?, false));
        }
        if whole.is_empty() {
            return Err(self.no_number(all));
        }
        if self.rest().starts_with('/') {
            return Ok((self.fraction_over(whole, all)?, false));
        }
        if self.rest().starts_with(',') {
            return Err(format!("`{all}` has a comma; write decimals with a point"));
        }
        let base = number(whole, all)?;
        // A fraction may follow after a blank or a hyphen; anything else is not ours.
        let mark = self.at;
        let joined =
            self.eat('-') || self.at > mark || self.rest().starts_with(char::is_whitespace);
        self.blanks();
        let numerator = self.digits();
        if joined && !numerator.is_empty() && self.rest().starts_with('/') {
            let part = self.fraction_over(numerator, all)?;
            if part >= 1.0 {
                return Err(format!("`{all}` has a fraction that is not less than one"));
            }
            return Ok((base + part, false));
        }
        self.at = mark;
        Ok((base, true))
    }

    fn fraction_over(&mut self, numerator: &str, all: &str) -> Result<f64, String> {
        self.at += 1;
        let denominator = self.digits();
        if denominator.is_empty() {
            return Err(format!("`{all}` has nothing below the fraction line"));
        }
        let below = number(denominator, all)?;
        if below == 0.0 {
            return Err(format!("`{all}` divides by zero"));
        }
        if self.rest().starts_with(['/', '.']) {
            return Err(format!("`{all}` is not a number: `{}` is left over", self.rest()));
        }
        Ok(number(numerator, all)? / below)
    }

    fn no_number(&self, all: &str) -> String {
        match self.rest().chars().next() {
            None => format!("`{all}` has no number; write a length such as 41 5/8 in or 1000 mm"),
            Some(c) if c.is_numeric() => {
                format!("`{all}`: `{c}` is not one of the digits 0 to 9")
            }
            Some(_) => {
                format!(
                    "`{all}` does not start with a number; write a length such as 41 5/8 in or 1000 mm"
                )
            }
        }
    }

    /// The letters or marks after a number.
    fn unit(&mut self) -> &'a str {
        self.blanks();
        let rest = self.rest();
        let end = if let Some(c) = rest.chars().next().filter(|c| !c.is_ascii_alphabetic()) {
            let double = rest.starts_with("''");
            let mark = "'\"\u{2032}\u{2033}\u{b0}".contains(c);
            match (double, mark) {
                (true, _) => 2,
                (false, true) => c.len_utf8(),
                (false, false) => 0,
            }
        } else {
            rest.find(|c: char| !c.is_ascii_alphabetic()).unwrap_or(rest.len())
        };
        self.at += end;
        &rest[..end]
    }
}

fn number(digits: &str, all: &str) -> Result<f64, String> {
    if digits.len() > 24 {
        return Err(format!("`{all}` has too many digits"));
    }
    digits.parse().map_err(|_| format!("`{all}` is not a number"))
}
