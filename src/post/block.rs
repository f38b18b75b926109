//! The lines of words that a dialect adds at the start and the end of a program.

use super::dialect::{Comments, Dialect};
use super::remark::clean;
use crate::diagnostic::Diagnostic;

/// Longest line of a block with its placeholders filled in: with a line number it stays within
/// the 256 characters of NISTIR 6556 section 3.3.
const LONGEST: usize = 240;

/// Longest title filled in for `{title}`.
const TITLE: usize = 80;

/// Codes that may stand in a block, in tenths, with their modal group (NISTIR 6556 section 3.4,
/// Table 4; G0 takes 1). Left out is what the writer itself decides: units, plane, distance
/// and feed mode, offsets, feeds, spindle, cutter, end.
const G_CODES: &[(u32, u8)] =
    &[(0, 1), (40, 0), (280, 0), (300, 0), (530, 0), (610, 13), (611, 13), (640, 13)];
const M_CODES: &[(u32, u8)] = &[(0, 4), (10, 4), (70, 8), (80, 8), (90, 8), (480, 9), (490, 9)];

const ALLOWED: &str = "allowed are G0 with G53, G4 with P, G28, G30, G61, G61.1, G64, M0, M1, M7, M8, M9, M48, M49, \
     X, Y, Z and remarks in parentheses";

/// One piece of a line.
enum Piece<'a> {
    Word(char, f64),
    Remark(&'a str),
}

/// Every mistake in the lines of `key`.
pub(super) fn check(key: &str, lines: &[String], dialect: &Dialect) -> Vec<Diagnostic> {
    let wrong = |(i, line): (usize, &String)| {
        check_line(line, dialect).err().map(|message| {
            Diagnostic::error(message).key(format!("{key}[{}]", i + 1)).help(ALLOWED)
        })
    };
    lines.iter().enumerate().filter_map(wrong).collect()
}

fn check_line(line: &str, dialect: &Dialect) -> Result<(), String> {
    let count = fill(line, &u32::MAX.to_string(), &"t".repeat(TITLE)).chars().count();
    if count > LONGEST {
        return Err(format!(
            "has up to {count} characters when it is filled in; at most {LONGEST} are allowed"
        ));
    }
    // Letters instead of values: outside a remark a placeholder is then no word.
    let filled = fill(line, "cutter", "title");
    let pieces = pieces(&filled)?;
    let mut words = Vec::new();
    for piece in &pieces {
        match piece {
            Piece::Word(letter, value) => words.push((*letter, *value)),
            Piece::Remark(_) if dialect.comments == Comments::None => {
                return Err("has a remark, but this dialect writes none".to_string());
            }
            Piece::Remark(text) if text.contains(['{', '}']) => {
                return Err(format!(
                    "`({text})` has an unknown placeholder; {{cutter}} and {{title}} are known"
                ));
            }
            Piece::Remark(_) => {}
        }
    }
    if pieces.is_empty() {
        return Err("is an empty line".to_string());
    }
    check_words(&words)
}

fn check_words(words: &[(char, f64)]) -> Result<(), String> {
    let mut groups: Vec<(char, u8)> = Vec::new();
    let mut letters = String::new();
    for &(letter, value) in words {
        let codes = match letter {
            'G' => G_CODES,
            'M' => M_CODES,
            'X' | 'Y' | 'Z' | 'P' if letters.contains(letter) => {
                return Err(format!("has two {letter} words"));
            }
            'X' | 'Y' | 'Z' | 'P' => {
                letters.push(letter);
                continue;
            }
            _ => return Err(format!("`{letter}{value}` may not stand here")),
        };
        let tenths = value * 10.0;
        let Some((code, group)) =
            codes.iter().find(|(code, _)| (f64::from(*code) - tenths).abs() < 1e-3)
        else {
            return Err(format!("`{letter}{value}` may not stand here"));
        };
        // G53 is of group 0 and goes with G0.
        if groups.contains(&(letter, *group)) {
            return Err(format!("`{letter}{value}` excludes another word of the line"));
        }
        groups.push((letter, *group));
        letters.push(match (letter, code) {
            ('G', 0) => 'a',
            ('G', 40) => 'b',
            ('G', 530) => 'c',
            ('G', 280 | 300) => 'd',
            _ => continue,
        });
    }
    let has = |c: char| letters.contains(c);
    let axes = has('X') || has('Y') || has('Z');
    match () {
        () if has('a') != has('c') => Err("G0 and G53 go together here".to_string()),
        () if has('c') && !axes => Err("G53 needs X, Y or Z".to_string()),
        () if axes && !has('c') && !has('d') => {
            Err("X, Y and Z go with G53, G28 or G30 here".to_string())
        }
        () if has('b') != has('P') => Err("G4 and P go together".to_string()),
        () if words.iter().any(|w| w.0 == 'P' && w.1 < 0.0) => {
            Err("a dwell cannot be negative".to_string())
        }
        () => Ok(()),
    }
}

fn pieces(line: &str) -> Result<Vec<Piece<'_>>, String> {
    let mut found = Vec::new();
    let mut rest = line.trim_start();
    while let Some(first) = rest.chars().next() {
        if let Some(inner) = rest.strip_prefix('(') {
            let end = inner.find(')').ok_or("has a remark that does not close")?;
            let text = &inner[..end];
            if text.contains('(') || !text.chars().all(|c| c == ' ' || c.is_ascii_graphic()) {
                return Err("has a remark with a second `(` or a character outside ASCII".into());
            }
            found.push(Piece::Remark(text));
            rest = inner[end + 1..].trim_start();
            continue;
        }
        if !first.is_ascii_alphabetic() {
            return Err(format!("`{}` starts no word", first.escape_debug()));
        }
        let tail = &rest[1..];
        let end = tail.find(|c: char| !c.is_ascii_digit() && !"+-.".contains(c));
        let (number, after) = tail.split_at(end.unwrap_or(tail.len()));
        let value = number.parse::<f64>().ok().filter(|v| v.is_finite());
        let value = value.ok_or_else(|| format!("`{first}{number}` has no number"))?;
        found.push(Piece::Word(first.to_ascii_uppercase(), value));
        rest = after.trim_start();
    }
    Ok(found)
}

fn fill(line: &str, cutter: &str, title: &str) -> String {
    line.replace("{cutter}", cutter).replace("{title}", title)
}

/// A checked line with its placeholders filled in.
pub(super) fn filled(line: &str, cutter: Option<u32>, title: &str) -> String {
    let title: String = clean(title).chars().take(TITLE).collect();
    // The title comes last: nothing in it is filled in again.
    fill(line.trim(), &cutter.unwrap_or(0).to_string(), &title)
}
