//! One line of text as a block: its words, each once, each in its modal group (NISTIR 6556
//! sections 3.3 and 3.4).

use super::cursor::Cursor;
use super::expression::{Values, whole};
use super::modal::{
    Code, G_GROUPS, Known, M_GROUPS, NONE, g_group, g_group_name, g_name, m_group, m_group_name,
};
use super::problem::{Read, Rule, fault};
use std::ops::Range;

/// What stands on one line.
pub(super) struct Block {
    /// By letter, A is 0.
    values: [f64; 26],
    /// Where each letter stands, byte of the line.
    places: [u16; 26],
    /// Which letters are there, a bit each.
    present: u32,
    /// G codes by group.
    pub(super) g: [Code; G_GROUPS],
    g_places: [u16; G_GROUPS],
    /// M codes by group.
    pub(super) m: [u16; M_GROUPS],
    m_places: [u16; M_GROUPS],
    m_count: u8,
    /// Parameters to set when all values were read.
    pub(super) settings: Vec<(usize, f64)>,
    /// The last comment, without its parentheses.
    pub(super) comment: Option<Range<usize>>,
}

/// Words are lengths, speeds and numbers of things: a thousand kilometres is beyond all of them.
const LARGEST: f64 = 1e9;

impl Block {
    pub(super) fn new() -> Block {
        Block {
            values: [0.0; 26],
            places: [0; 26],
            present: 0,
            g: [NONE; G_GROUPS],
            g_places: [0; G_GROUPS],
            m: [NONE; M_GROUPS],
            m_places: [0; M_GROUPS],
            m_count: 0,
            settings: Vec::new(),
            comment: None,
        }
    }

    fn clear(&mut self) {
        self.present = 0;
        self.g = [NONE; G_GROUPS];
        self.m = [NONE; M_GROUPS];
        self.m_count = 0;
        self.settings.clear();
        self.comment = None;
    }

    /// The value of a letter's word.
    #[inline]
    pub(super) fn get(&self, letter: u8) -> Option<f64> {
        self.has(letter).then(|| self.values[usize::from(letter - b'A')])
    }

    /// Whether a letter's word is there.
    #[inline]
    pub(super) fn has(&self, letter: u8) -> bool {
        self.present & bit(letter) != 0
    }

    /// Whether any of these letters is there.
    pub(super) fn has_any(&self, letters: &[u8]) -> bool {
        letters.iter().any(|&l| self.has(l))
    }

    /// The letters that are there, a bit each, A lowest.
    #[inline]
    pub(super) fn present(&self) -> u32 {
        self.present
    }

    /// Where a letter's word stands; the line's start if it does not.
    pub(super) fn place(&self, letter: u8) -> usize {
        if self.has(letter) { usize::from(self.places[usize::from(letter - b'A')]) } else { 0 }
    }

    /// Where the G code of a group stands; the line's start if there is none.
    pub(super) fn g_place(&self, group: usize) -> usize {
        if self.g[group] == NONE { 0 } else { usize::from(self.g_places[group]) }
    }

    /// Where the M code of a group stands; the line's start if there is none.
    pub(super) fn m_place(&self, group: usize) -> usize {
        if self.m[group] == NONE { 0 } else { usize::from(self.m_places[group]) }
    }

    /// Reads a line. `skip` is the block delete switch: if it is on, a line with a slash gives an
    /// empty block.
    ///
    /// # Errors
    /// At the first thing on the line that the grammar does not allow.
    pub(super) fn read(
        &mut self,
        cursor: &mut Cursor<'_>,
        values: &Values<'_>,
        skip: bool,
    ) -> Read<()> {
        self.clear();
        if cursor.eat(b'/') && skip {
            return Ok(());
        }
        if cursor.peek() == Some(b'N') {
            line_number(cursor)?;
        }
        while let Some(byte) = cursor.peek() {
            match byte {
                b'G' => self.g_word(cursor, values)?,
                b'M' => self.m_word(cursor, values)?,
                b'X' | b'Y' | b'Z' | b'F' | b'I' | b'J' | b'K' | b'S' | b'T' | b'P' | b'R'
                | b'H' | b'L' | b'Q' | b'D' => self.word(byte, cursor, values)?,
                b'(' => self.comment = Some(comment(cursor)?),
                b'#' => self.setting(cursor, values)?,
                _ => return Err(stray(cursor, byte)),
            }
        }
        Ok(())
    }

    #[inline]
    fn word(&mut self, letter: u8, cursor: &mut Cursor<'_>, values: &Values<'_>) -> Read<()> {
        let at = cursor.at;
        cursor.at += 1;
        let value = values.value(cursor)?;
        if self.has(letter) {
            let message = format!("{} stands twice on the line", char::from(letter));
            return Err(fault(at, Rule::RepeatedWord, message, "keep one of them"));
        }
        if value.abs() > LARGEST {
            let message = format!("{}{value} is larger than {LARGEST}", char::from(letter));
            return Err(fault(at, Rule::NumberTooLarge, message, "look for a point left out"));
        }
        let index = usize::from(letter - b'A');
        self.present |= bit(letter);
        self.values[index] = value;
        self.places[index] = place(at);
        Ok(())
    }

    #[inline]
    fn g_word(&mut self, cursor: &mut Cursor<'_>, values: &Values<'_>) -> Read<()> {
        let at = cursor.at;
        cursor.at += 1;
        let value = values.value(cursor)?;
        let Some(code) = whole(value * 10.0).and_then(|n| Code::try_from(n).ok()) else {
            return Err(unknown_g(at, format!("G{value}")));
        };
        let group = match g_group(code) {
            Known::Group(group) => group,
            Known::Refused(reason) => return Err(refused_g(at, code, reason)),
            Known::No => return Err(unknown_g(at, g_name(code))),
        };
        if self.g[group] != NONE {
            return Err(self.g_conflict(at, group, code));
        }
        self.g[group] = code;
        self.g_places[group] = place(at);
        Ok(())
    }

    #[cold]
    fn g_conflict(&self, at: usize, group: usize, code: Code) -> Box<super::problem::Fault> {
        let (one, two, kind) = (g_name(self.g[group]), g_name(code), g_group_name(group));
        let message = if one == two {
            format!("{one} stands twice on the line")
        } else {
            format!("{one} and {two} are both {kind} codes, of which a line has one")
        };
        fault(at, Rule::ModalGroup, message, "put them on separate lines")
    }

    fn m_word(&mut self, cursor: &mut Cursor<'_>, values: &Values<'_>) -> Read<()> {
        let at = cursor.at;
        cursor.at += 1;
        let value = values.value(cursor)?;
        let code = whole(value).and_then(|n| u16::try_from(n).ok());
        let Some((code, group)) = code.and_then(|c| Some((c, m_group(c)?))) else {
            let message = format!("M{value} is not published");
            let help = "M codes are M0 M1 M2 M3 M4 M5 M6 M7 M8 M9 M30 M48 M49 M60";
            return Err(fault(at, Rule::UnknownM, message, help));
        };
        self.m_count += 1;
        if self.m_count > 4 {
            let message = "more than four M words stand on the line";
            return Err(fault(at, Rule::TooManyM, message, "put some on a line of their own"));
        }
        if self.m[group] != NONE {
            let (one, kind) = (self.m[group], m_group_name(group));
            let message = if one == code {
                format!("M{code} stands twice on the line")
            } else {
                format!("M{one} and M{code} are both {kind} codes, of which a line has one")
            };
            let help = "put them on separate lines";
            return Err(fault(at, Rule::ModalGroup, message, help));
        }
        self.m[group] = code;
        self.m_places[group] = place(at);
        Ok(())
    }

    fn setting(&mut self, cursor: &mut Cursor<'_>, values: &Values<'_>) -> Read<()> {
        let at = cursor.at;
        let index = values.index(cursor)?;
        if !cursor.eat(b'=') {
            let message = format!("#{index} is neither set nor the value of a word");
            return Err(fault(at, Rule::Setting, message, "write a setting as #1=2"));
        }
        if index == super::parameters::SYSTEM {
            let message = "#5220 says which coordinate system is in force and cannot be set";
            let help = "choose a coordinate system by G54 to G59.3";
            return Err(fault(at, Rule::ParameterOwned, message, help));
        }
        let value = values.value(cursor)?;
        self.settings.push((index, value));
        Ok(())
    }
}

fn bit(letter: u8) -> u32 {
    1 << (letter - b'A')
}

/// Lines have at most 256 characters of at most four bytes, so that a place fits.
fn place(at: usize) -> u16 {
    u16::try_from(at).unwrap_or(u16::MAX)
}

#[cold]
fn unknown_g(at: usize, name: String) -> Box<super::problem::Fault> {
    let message = format!("{name} is not published");
    let help = match name.as_str() {
        "G70" | "G71" => "units are G20 (inches) and G21 (millimetres)",
        "G73" => "write pecks by G83",
        _ => "look the word up in the controller's manual and write it in published words",
    };
    fault(at, Rule::UnknownG, message, help)
}

#[cold]
fn refused_g(at: usize, code: Code, reason: &str) -> Box<super::problem::Fault> {
    let help = match code {
        410 | 420 => "write the path of the cutter's centre and leave compensation off (G40)",
        382 => "probe by hand, and leave G38.2 out of the program",
        _ => "use G81, G82, G83, G85 or G89, or write the moves",
    };
    let message = format!("{} is refused: {reason}", g_name(code));
    fault(at, Rule::Unsupported, message, help)
}

fn line_number(cursor: &mut Cursor<'_>) -> Read<()> {
    let at = cursor.at;
    cursor.at += 1;
    let mut count = 0;
    while cursor.peek().is_some_and(|b| b.is_ascii_digit()) {
        cursor.at += 1;
        count += 1;
    }
    let help = "write N and one to five digits";
    if matches!(cursor.peek(), Some(b'.' | b'+' | b'-' | b'[' | b'#')) || count == 0 {
        let message = "a line number is digits only";
        return Err(fault(at, Rule::LineNumber, message, help));
    }
    if count > 5 {
        let message = format!("a line number has at most five digits, not {count}");
        return Err(fault(at, Rule::LineNumber, message, help));
    }
    Ok(())
}

fn comment(cursor: &mut Cursor<'_>) -> Read<Range<usize>> {
    let at = cursor.at;
    let inside = &cursor.line[at + 1..];
    let stop = inside.iter().position(|&b| b == b')' || b == b'(' || (b < 0x20 && b != b'\t'));
    let Some(length) = stop else {
        let message = "the comment is not closed on its line";
        return Err(fault(at, Rule::Comment, message, "close it with a )"));
    };
    let text = at + 1..at + 1 + length;
    match inside[length] {
        b')' => {}
        b'(' => {
            let message = "a second ( stands inside a comment";
            return Err(fault(text.end, Rule::Comment, message, "use no ( inside a comment"));
        }
        _ => {
            let message = format!("{} stands inside a comment", cursor.shown(text.end));
            return Err(fault(text.end, Rule::Character, message, "delete it"));
        }
    }
    if let Err(e) = std::str::from_utf8(&inside[..length]) {
        return Err(not_utf8(text.start + e.valid_up_to()));
    }
    cursor.at = text.end + 1;
    Ok(text)
}

fn not_utf8(at: usize) -> Box<super::problem::Fault> {
    let message = "the text is not UTF-8 here";
    fault(at, Rule::NotUtf8, message, "save the program as UTF-8 or plain ASCII")
}

/// What stands where no word can.
#[cold]
fn stray(cursor: &Cursor<'_>, byte: u8) -> Box<super::problem::Fault> {
    let at = cursor.at;
    let shown = cursor.shown(at);
    let (rule, message, help): (Rule, String, &str) = match byte {
        b'A' | b'B' | b'C' => (
            Rule::RotaryAxis,
            format!("{shown} moves a rotary axis, and the table has none"),
            "remove the word; the table moves in x, y and z",
        ),
        b'E' if cursor.line[..at].last().is_some_and(|b| b.is_ascii_digit() || *b == b'.') => (
            Rule::Exponent,
            "a number has no exponent".into(),
            "write the number out, as 0.0015 for 1.5e-3",
        ),
        b'N' => (
            Rule::LineNumber,
            "a line number stands before every word, and once".into(),
            "put it first on the line",
        ),
        b'O' => (
            Rule::Letter,
            format!("{shown} starts no word: program numbers and subprograms are not published"),
            "write a number as a comment, and a subprogram out in full",
        ),
        b'A'..=b'Z' => (
            Rule::Letter,
            format!("{shown} starts no word"),
            "letters of words are D F G H I J K L M N P Q R S T X Y Z",
        ),
        b';' => (
            Rule::Semicolon,
            "a semicolon starts no comment".into(),
            "put the comment in parentheses",
        ),
        b'*' => (
            Rule::Star,
            "a star stands outside brackets; checksums are not published".into(),
            "remove the checksum",
        ),
        b'/' => (
            Rule::BlockDelete,
            "a slash stands inside the line".into(),
            "to let the line be skipped, put it first; to divide, use brackets",
        ),
        b'%' => (
            Rule::PercentAlone,
            "a percent sign stands where it opens and closes nothing".into(),
            "a text has one as its first line and one as its last, or none",
        ),
        b',' => (
            Rule::Character,
            "a comma stands outside a comment".into(),
            "write a point for a decimal comma",
        ),
        b')' => (Rule::Comment, "a ) closes nothing".into(), "open the comment with a ("),
        b'.' | b'0'..=b'9' | b'+' | b'-' => (
            Rule::Number,
            format!("{shown} belongs to no word"),
            "every number has a letter before it",
        ),
        b'[' | b']' | b'=' => (
            Rule::Expression,
            format!("{shown} belongs to no word"),
            "an expression stands behind a letter, as in X[1+2]",
        ),
        0x80.. => match std::str::from_utf8(cursor.line) {
            Err(e) => return not_utf8(e.valid_up_to()),
            Ok(_) => (
                Rule::Character,
                format!("{shown} stands outside a comment"),
                "words are written in plain ASCII",
            ),
        },
        _ => (Rule::Character, format!("{shown} is not a character of a word"), "delete it"),
    };
    fault(at, rule, message, help)
}
