//! The good programs in other valid styles are still good: how a text is written changes nothing.

use super::bench::{GOOD, tried_as};
use ovolo::dry_run::Severity;
use rayon::prelude::*;

/// A style: what it is called, and a line written in it, with its number from 1.
type Style = (&'static str, fn(&str, usize) -> String);

/// The code of a line, and its comments, in turn: a comment begins with its parenthesis.
fn parts(line: &str) -> Vec<String> {
    let mut out = vec![String::new()];
    for c in line.chars() {
        if c == '(' {
            out.push(String::new());
        }
        if let Some(last) = out.last_mut() {
            last.push(c);
        }
        if c == ')' {
            out.push(String::new());
        }
    }
    out
}

/// The line with its code changed and its comments left.
fn in_code(line: &str, change: impl Fn(&str) -> String) -> String {
    let one = |part: &String| if part.starts_with('(') { part.clone() } else { change(part) };
    parts(line).iter().map(one).collect()
}

/// Whether a line has code that may be written otherwise: no sign of the text's ends, no setting
/// and no expression.
fn plain(line: &str) -> bool {
    !line.contains(['%', '#', '[', '/']) && in_code(line, |c| c.to_string()).trim() != ""
}

/// The line without its number.
fn bare(line: &str) -> String {
    let trimmed = line.trim_start();
    match trimmed.strip_prefix(['N', 'n']) {
        Some(rest) => rest.trim_start_matches(|c: char| c.is_ascii_digit()).to_string(),
        None => line.to_string(),
    }
}

/// G and M words with two digits, as in G01.
fn zeros(code: &str) -> String {
    let mut out = String::new();
    let bytes: Vec<char> = code.chars().collect();
    for (i, c) in bytes.iter().enumerate() {
        out.push(*c);
        let one = |k: usize| bytes.get(k).is_some_and(char::is_ascii_digit);
        let more = |k: usize| bytes.get(k).is_some_and(|c| c.is_ascii_digit() || *c == '.');
        if matches!(c, 'G' | 'M' | 'g' | 'm') && one(i + 1) && !more(i + 2) {
            out.push('0');
        }
    }
    out
}

/// A blank before every letter but the first.
fn spread(code: &str) -> String {
    let one = |c: char| if c.is_ascii_alphabetic() { format!(" {c}") } else { c.to_string() };
    code.chars().map(one).collect()
}

const STYLES: [Style; 10] = [
    ("as they are", |line, _| line.to_string()),
    ("lower case", |line, _| in_code(line, str::to_lowercase)),
    ("upper case", |line, _| in_code(line, str::to_uppercase)),
    ("without blanks", |line, _| in_code(line, |code| code.replace(' ', ""))),
    ("spread out", |line, _| if plain(line) { in_code(line, spread) } else { line.to_string() }),
    ("with tabs", |line, _| in_code(line, |code| code.replace(' ', "\t"))),
    ("without line numbers", |line, _| bare(line)),
    ("with line numbers", |line, n| match plain(line) {
        true => format!("N{} {}", n * 10, bare(line).trim_start()),
        false => line.to_string(),
    }),
    ("with leading zeros", |line, _| in_code(line, zeros)),
    ("with comments", |line, _| match plain(line) {
        true => format!("{} (so it goes)", line.trim_end()),
        false => line.to_string(),
    }),
];

/// What is refused in a good program's text, written in every style; how many there are too.
fn alarms((name, text): &(&str, &str)) -> (usize, Vec<String>) {
    let (mut tried, mut alarms) = (0, Vec::new());
    for (style, write) in STYLES {
        for end in ["\n", "\r\n"] {
            let lines = text.lines().enumerate();
            let styled: String =
                lines.map(|(i, line)| format!("{}{end}", write(line, i + 1))).collect();
            let verdict = tried_as(name, &styled);
            tried += 1;
            if verdict.refused() {
                let found: Vec<_> = verdict
                    .findings
                    .iter()
                    .filter(|f| f.severity == Severity::Refusal)
                    .map(|f| (f.interlock, f.line, &f.message, &f.text))
                    .collect();
                alarms.push(format!("{name} {style}: {found:?}"));
            }
        }
    }
    (tried, alarms)
}

#[test]
fn no_good_program_is_refused_in_another_style() {
    let all: Vec<_> = GOOD.par_iter().map(alarms).collect();
    let tried: usize = all.iter().map(|(tried, _)| tried).sum();
    let alarms: Vec<String> = all.into_iter().flat_map(|(_, alarms)| alarms).collect();
    println!("false alarms {} of {tried} programs", alarms.len());
    assert!(alarms.is_empty(), "{}", alarms.join("\n"));
}
