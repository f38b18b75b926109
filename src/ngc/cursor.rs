//! A place on a line, and the numbers found there (NISTIR 6556 section 3.3.2.1).

use super::problem::{Fault, Read, Rule, fault};

/// Where reading stands on one line.
pub(super) struct Cursor<'a> {
    /// The line without its ending.
    pub(super) line: &'a [u8],
    /// Byte of the next character.
    pub(super) at: usize,
    /// What deserves a word though it is legal.
    pub(super) warnings: &'a mut Vec<Fault>,
}

/// Powers of ten that are exact in an `f64`.
const POWERS: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16,
    1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
];

/// Whole numbers up to here are exact in an `f64`.
const EXACT: u64 = 1 << 53;

impl<'a> Cursor<'a> {
    /// The next character that is not a blank or a tab, capital if a letter; not consumed.
    #[inline]
    pub(super) fn peek(&mut self) -> Option<u8> {
        while let Some(&byte) = self.line.get(self.at) {
            if byte != b' ' && byte != b'\t' {
                return Some(byte.to_ascii_uppercase());
            }
            self.at += 1;
        }
        None
    }

    /// Consumes `byte` if it comes next.
    #[inline]
    pub(super) fn eat(&mut self, byte: u8) -> bool {
        let found = self.peek() == Some(byte);
        if found {
            self.at += 1;
        }
        found
    }

    /// Consumes `word`, with blanks anywhere in it, if it comes next.
    pub(super) fn eat_word(&mut self, word: &[u8]) -> bool {
        let back = self.at;
        let found = word.iter().all(|&letter| self.eat(letter));
        if !found {
            self.at = back;
        }
        found
    }

    /// The character at a byte, for showing.
    pub(super) fn shown(&self, at: usize) -> String {
        let rest = self.line.get(at..).unwrap_or_default();
        // A character of UTF-8 has at most four bytes.
        let head = &rest[..rest.len().min(4)];
        match std::str::from_utf8(head) {
            Ok(text) => text.chars().next(),
            Err(e) => {
                std::str::from_utf8(&head[..e.valid_up_to()]).ok().and_then(|t| t.chars().next())
            }
        }
        .map_or_else(
            || rest.first().map_or("end of line".into(), |b| format!("byte {b:#04x}")),
            |c| if c.is_control() { format!("{c:?}") } else { format!("`{c}`") },
        )
    }

    /// Reads a decimal number: correctly rounded, whatever its length.
    ///
    /// # Errors
    /// If no digit comes.
    pub(super) fn number(&mut self) -> Read<f64> {
        let start = self.at;
        let mut negative = false;
        if matches!(self.peek(), Some(b'+' | b'-')) {
            negative = self.line[self.at] == b'-';
            self.at += 1;
        }
        let mut digits = Digits::default();
        let mut end = self.at;
        while let Some(&byte) = self.line.get(self.at) {
            match byte {
                b'0'..=b'9' => digits.push(byte - b'0'),
                b'.' if !digits.pointed => digits.pointed = true,
                b' ' | b'\t' => {
                    self.at += 1;
                    continue;
                }
                _ => break,
            }
            if end < self.at && digits.started(byte) {
                self.warn_spaced(start, end);
            }
            self.at += 1;
            end = self.at;
        }
        self.at = end;
        if digits.count == 0 {
            return Err(self.no_number(start));
        }
        let size = match digits.exact() {
            Some(size) => size,
            None => self.long_number(start, end)?,
        };
        Ok(if negative { -size } else { size })
    }

    /// A number too long for the short way, by the standard library.
    fn long_number(&self, start: usize, end: usize) -> Read<f64> {
        let text: String = self.line[start..end]
            .iter()
            .filter(|b| b.is_ascii_digit() || **b == b'.')
            .map(|&b| char::from(b))
            .collect();
        text.parse().map_err(|_| {
            let message = format!("`{text}` is not a number");
            fault(start, Rule::Number, message, "a number is an optional sign, digits and a point")
        })
    }

    #[cold]
    fn warn_spaced(&mut self, start: usize, end: usize) {
        let stop = self.line[self.at..].iter().position(|b| !b.is_ascii_digit() && *b != b'.');
        let stop = stop.map_or(self.line.len(), |n| self.at + n);
        let text = String::from_utf8_lossy(&self.line[start..stop]);
        let joined: String = text.chars().filter(|c| *c != ' ' && *c != '\t').collect();
        self.warnings.push(Fault {
            at: end,
            rule: Rule::NumberSpaced,
            message: format!("`{text}` is read as {joined}"),
            help: "write the number without blanks",
        });
    }

    #[cold]
    fn no_number(&mut self, start: usize) -> Box<Fault> {
        let found = match self.peek() {
            None => "the end of the line".to_string(),
            Some(_) => self.shown(self.at),
        };
        let text = String::from_utf8_lossy(&self.line[start..self.at]).trim().to_string();
        let message = if text.is_empty() {
            format!("a number is missing before {found}")
        } else {
            format!("`{text}` is not a number, for it has no digit")
        };
        fault(start, Rule::Number, message, "a number is an optional sign, digits and a point")
    }
}

/// The digits of a number as they come.
#[derive(Default)]
struct Digits {
    mantissa: u64,
    /// All digits.
    count: u32,
    /// Digits after the point.
    decimals: u32,
    pointed: bool,
    overflowed: bool,
}

impl Digits {
    #[inline]
    fn push(&mut self, digit: u8) {
        self.count += 1;
        self.decimals += u32::from(self.pointed);
        if self.mantissa < EXACT / 10 {
            self.mantissa = self.mantissa * 10 + u64::from(digit);
        } else {
            self.overflowed = true;
        }
    }

    /// Whether something of the number came before `byte`, which was just taken.
    fn started(&self, byte: u8) -> bool {
        if byte == b'.' { self.count > 0 } else { self.count > 1 || self.pointed }
    }

    /// The value, if one correctly rounded division of exact numbers gives it.
    #[inline]
    fn exact(&self) -> Option<f64> {
        let power = POWERS.get(self.decimals as usize)?;
        // Below 2^53 the conversion is exact.
        (!self.overflowed).then(|| self.mantissa as f64 / power)
    }
}
