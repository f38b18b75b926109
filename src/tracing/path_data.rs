//! The path data and the numbers of SVG 1.1 (W3C, sections 8.3 and 8.3.9: the grammar).

use super::curve::Curve;
use crate::geometry::{Point, point};
use kurbo::{Arc, SvgArc};

/// The curves of one run of a path, without a gap.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Run {
    /// In order.
    pub(super) curves: Vec<Curve>,
    /// Whether the file closes it.
    pub(super) closed: bool,
}

/// Numbers and letters of an attribute, read from the left.
pub(super) struct Scanner<'a> {
    text: &'a str,
    at: usize,
}

impl<'a> Scanner<'a> {
    pub(super) fn new(text: &'a str) -> Scanner<'a> {
        Scanner { text, at: 0 }
    }

    fn byte(&self) -> Option<u8> {
        self.text.as_bytes().get(self.at).copied()
    }

    /// Passes blanks and at most one comma.
    pub(super) fn skip(&mut self) {
        let blank = |b: Option<u8>| b.is_some_and(|b| b.is_ascii_whitespace());
        let mut comma = false;
        while blank(self.byte()) || (!comma && self.byte() == Some(b',')) {
            comma |= self.byte() == Some(b',');
            self.at += 1;
        }
    }

    /// Whether nothing is left.
    pub(super) fn done(&mut self) -> bool {
        self.skip();
        self.byte().is_none()
    }

    /// What is left, for a message.
    pub(super) fn rest(&self) -> String {
        self.text.get(self.at..).unwrap_or("").chars().take(20).collect()
    }

    /// The next byte, if it is a letter.
    fn letter(&mut self) -> Option<u8> {
        self.skip();
        let letter = self.byte().filter(u8::is_ascii_alphabetic)?;
        self.at += 1;
        Some(letter)
    }

    /// A word of letters.
    pub(super) fn word(&mut self) -> &'a str {
        self.skip();
        let start = self.at;
        while self.byte().is_some_and(|b| b.is_ascii_alphabetic()) {
            self.at += 1;
        }
        &self.text[start..self.at]
    }

    /// Passes one given byte.
    pub(super) fn take(&mut self, wanted: u8) -> bool {
        self.skip();
        let there = self.byte() == Some(wanted);
        self.at += usize::from(there);
        there
    }

    /// The next number.
    pub(super) fn number(&mut self) -> Option<f64> {
        self.skip();
        let bytes = self.text.as_bytes();
        let start = self.at;
        let mut at = start;
        let digits = |at: &mut usize| {
            let from = *at;
            while bytes.get(*at).is_some_and(u8::is_ascii_digit) {
                *at += 1;
            }
            *at - from
        };
        if matches!(bytes.get(at), Some(b'+' | b'-')) {
            at += 1;
        }
        let mut count = digits(&mut at);
        if bytes.get(at) == Some(&b'.') {
            at += 1;
            count += digits(&mut at);
        }
        if count == 0 {
            return None;
        }
        if matches!(bytes.get(at), Some(b'e' | b'E')) {
            let mut after = at + 1;
            if matches!(bytes.get(after), Some(b'+' | b'-')) {
                after += 1;
            }
            // `2em` is a 2 with a unit, no power.
            if digits(&mut after) > 0 {
                at = after;
            }
        }
        let value: f64 = self.text[start..at].parse().ok()?;
        self.at = at;
        value.is_finite().then_some(value)
    }

    /// A flag of an arc, which needs no blank after it.
    fn flag(&mut self) -> Option<bool> {
        self.skip();
        let flag = match self.byte()? {
            b'0' => false,
            b'1' => true,
            _ => return None,
        };
        self.at += 1;
        Some(flag)
    }
}

/// Where the pen stands while a path is read.
#[derive(Default)]
struct Pen {
    at: Point,
    start: Point,
    /// The last control point of a cubic or a quadratic, for the smooth commands.
    cubic: Option<Point>,
    quadratic: Option<Point>,
    run: Run,
    runs: Vec<Run>,
}

impl Pen {
    fn end_run(&mut self, closed: bool) {
        if !self.run.curves.is_empty() {
            let mut run = std::mem::take(&mut self.run);
            run.closed = closed;
            self.runs.push(run);
        }
    }

    fn line(&mut self, to: Point) {
        if to != self.at {
            self.run.curves.push(Curve::Line(self.at, to));
        }
        self.at = to;
    }

    fn curve(&mut self, points: &[Point]) {
        self.run.curves.push(Curve::polynomial(points));
        self.at = points.last().copied().unwrap_or(self.at);
    }
}

/// The runs of a path's `d`, in its own units, y down.
///
/// # Errors
/// What stands where something else belongs.
pub(super) fn read(d: &str) -> Result<Vec<Run>, String> {
    let mut scan = Scanner::new(d);
    let mut pen = Pen::default();
    if !scan.done() && !matches!(scan.byte(), Some(b'M' | b'm')) {
        return Err(format!("a path begins with `M`, not with `{}`", scan.rest()));
    }
    let mut command = None;
    while !scan.done() {
        if let Some(letter) = scan.letter() {
            command = Some(letter);
        } else if matches!(command, None | Some(b'Z' | b'z')) {
            return Err(format!("`{}` stands where a path command belongs", scan.rest()));
        }
        let Some(letter) = command else { break };
        step(&mut scan, &mut pen, letter).ok_or_else(|| {
            format!("`{}` does not go on as `{}` asks", scan.rest(), letter as char)
        })?;
        // Further pairs after a move are lines.
        command = match letter {
            b'M' => Some(b'L'),
            b'm' => Some(b'l'),
            other => Some(other),
        };
    }
    pen.end_run(false);
    Ok(pen.runs)
}

/// One command with one set of its numbers.
fn step(scan: &mut Scanner, pen: &mut Pen, letter: u8) -> Option<()> {
    let base = if letter.is_ascii_lowercase() { pen.at } else { Point::default() };
    let pair = |scan: &mut Scanner| Some(base + point(scan.number()?, scan.number()?));
    let (cubic, quadratic) = (pen.cubic.take(), pen.quadratic.take());
    match letter.to_ascii_uppercase() {
        b'M' => {
            let to = pair(scan)?;
            pen.end_run(false);
            (pen.at, pen.start) = (to, to);
        }
        b'Z' => {
            pen.line(pen.start);
            pen.end_run(true);
        }
        b'L' => {
            let to = pair(scan)?;
            pen.line(to);
        }
        b'H' => {
            let x = base.x + scan.number()?;
            pen.line(point(x, pen.at.y));
        }
        b'V' => {
            let y = base.y + scan.number()?;
            pen.line(point(pen.at.x, y));
        }
        b'C' | b'S' => {
            let smooth = letter.eq_ignore_ascii_case(&b'S');
            let mirrored = cubic.map_or(pen.at, |c| pen.at * 2.0 - c);
            let first = if smooth { mirrored } else { pair(scan)? };
            let (second, to) = (pair(scan)?, pair(scan)?);
            pen.curve(&[pen.at, first, second, to]);
            pen.cubic = Some(second);
        }
        b'Q' | b'T' => {
            let smooth = letter.eq_ignore_ascii_case(&b'T');
            let mirrored = quadratic.map_or(pen.at, |c| pen.at * 2.0 - c);
            let middle = if smooth { mirrored } else { pair(scan)? };
            let to = pair(scan)?;
            pen.curve(&[pen.at, middle, to]);
            pen.quadratic = Some(middle);
        }
        b'A' => {
            let radii = (scan.number()?, scan.number()?);
            let turned = scan.number()?;
            let (large, left) = (scan.flag()?, scan.flag()?);
            let to = pair(scan)?;
            arc(pen, radii, turned, (large, left), to);
        }
        _ => return None,
    }
    Some(())
}

/// An arc of an ellipse; without a radius it is a line (section 8.3.8's out-of-range rules).
fn arc(pen: &mut Pen, radii: (f64, f64), turned: f64, flags: (bool, bool), to: Point) {
    let there = |p: Point| kurbo::Point::new(p.x, p.y);
    let asked = SvgArc {
        from: there(pen.at),
        to: there(to),
        radii: kurbo::Vec2::new(radii.0.abs(), radii.1.abs()),
        x_rotation: turned.to_radians(),
        large_arc: flags.0,
        sweep: flags.1,
    };
    // Too short to have a middle: kurbo divides by the square of it.
    let short = pen.at.distance(to) < 1e-12;
    let made = if short { None } else { Arc::from_svg_arc(&asked) };
    let Some(arc) = made else {
        pen.line(to);
        return;
    };
    let along = Point::polar(arc.radii.x, arc.x_rotation);
    let across = Point::polar(arc.radii.y, arc.x_rotation).left();
    pen.run.curves.push(Curve::Ellipse {
        center: point(arc.center.x, arc.center.y),
        u: along,
        v: across,
        start: arc.start_angle,
        sweep: arc.sweep_angle,
    });
    pen.at = to;
}
