//! A second opinion: on good text the `gcode` crate finds the same words, once the digits are
//! read again from its spans, and a plain interpreter of them gives the same moves. And the
//! places where that crate goes wrong, to see that this reader does not.

use super::common::{HEAD, breaks, clean, ends, x_of};
use gcode::core::{
    BlockVisitor, CommandVisitor, ControlFlow, Diagnostics, HasDiagnostics, Number, ProgramVisitor,
    Span, TokenType, Value, parse,
};
use ovolo::ngc::{Rule, What};
use proptest::prelude::*;

/// A word: line from 1, capital letter, digits as written.
type Word = (usize, char, String);

/// Collects every word of a text, and whether the crate complained.
struct Words<'t> {
    text: &'t str,
    words: Vec<Word>,
    complaints: usize,
}

impl Words<'_> {
    fn add(&mut self, letter: char, span: Span) {
        let digits = self.text[span.start + 1..span.end()].trim().replace([' ', '\t'], "");
        self.words.push((span.line + 1, letter.to_ascii_uppercase(), digits));
    }
}

impl Diagnostics for Words<'_> {
    fn emit_unknown_content(&mut self, _: &str, _: Span) {
        self.complaints += 1;
    }
    fn emit_unexpected(&mut self, _: &str, _: &[TokenType], _: Span) {
        self.complaints += 1;
    }
    fn emit_parse_number_error(&mut self, _: &str, _: <Number as std::str::FromStr>::Err, _: Span) {
        self.complaints += 1;
    }
    fn emit_parse_int_error(&mut self, _: &str, _: std::num::ParseIntError, _: Span) {
        self.complaints += 1;
    }
}

/// Stands for a block or a command; both only collect.
struct Part<'a, 't> {
    into: &'a mut Words<'t>,
    code: Option<(char, Number)>,
}

impl HasDiagnostics for Part<'_, '_> {
    fn diagnostics(&mut self) -> &mut dyn Diagnostics {
        self.into
    }
}

impl CommandVisitor for Part<'_, '_> {
    fn argument(&mut self, letter: char, _: Value<'_>, span: Span) {
        self.into.add(letter, span);
    }
    fn end_command(self, span: Span) {
        if let Some((letter, number)) = self.code {
            self.into.words.push((span.line + 1, letter, number.to_string()));
        }
    }
}

impl<'t> BlockVisitor for Part<'_, 't> {
    fn word_address(&mut self, letter: char, _: Value<'_>, span: Span) {
        self.into.add(letter, span);
    }
    fn start_general_code(&mut self, n: Number) -> ControlFlow<impl CommandVisitor + '_> {
        ControlFlow::Continue(Part { into: &mut *self.into, code: Some(('G', n)) })
    }
    fn start_miscellaneous_code(&mut self, n: Number) -> ControlFlow<impl CommandVisitor + '_> {
        ControlFlow::Continue(Part { into: &mut *self.into, code: Some(('M', n)) })
    }
    fn start_tool_change_code(&mut self, n: Number) -> ControlFlow<impl CommandVisitor + '_> {
        ControlFlow::Continue(Part { into: &mut *self.into, code: Some(('T', n)) })
    }
}

impl ProgramVisitor for Words<'_> {
    fn start_block(&mut self) -> ControlFlow<impl BlockVisitor + '_> {
        ControlFlow::Continue(Part { into: self, code: None })
    }
}

fn words(text: &str) -> (Vec<Word>, usize) {
    let mut all = Words { text, words: Vec::new(), complaints: 0 };
    parse(text, &mut all);
    (all.words, all.complaints)
}

/// Moves as (line, end, feed if cutting), by the plainest reading of the words.
fn plain_moves(text: &str) -> Vec<(usize, [f64; 3], Option<f64>)> {
    let (list, complaints) = words(text);
    assert_eq!(complaints, 0, "{text}");
    let (mut at, mut feed, mut scale, mut absolute, mut cutting) =
        ([0.0; 3], 0.0, 1.0, true, false);
    let mut moves = Vec::new();
    for line in list.chunk_by(|a, b| a.0 == b.0) {
        let number =
            |letter: char| line.iter().find(|w| w.1 == letter).map(|w| w.2.parse::<f64>().unwrap());
        let has = |code: &str| line.iter().any(|w| w.1 == 'G' && w.2 == code);
        feed = number('F').map_or(feed, |f| f * scale);
        scale = if has("20") {
            25.4
        } else if has("21") {
            1.0
        } else {
            scale
        };
        absolute = has("90") || (absolute && !has("91"));
        cutting = ["1", "2", "3"].iter().any(|c| has(c)) || (cutting && !has("0"));
        let axes = ['X', 'Y', 'Z'].map(number);
        for (place, word) in at.iter_mut().zip(axes) {
            let Some(value) = word else { continue };
            *place = if absolute { value * scale } else { *place + value * scale };
        }
        if axes.iter().any(Option::is_some) {
            moves.push((line[0].0, at, cutting.then_some(feed)));
        }
    }
    moves
}

/// The same by the reader under test.
fn our_moves(text: &str) -> Vec<(usize, [f64; 3], Option<f64>)> {
    clean(text)
        .iter()
        .filter_map(|e| match e.what {
            What::Motion(m) => {
                let to = m.stroke.to;
                Some((e.line, [to.x, to.y, to.z], m.feed))
            }
            _ => None,
        })
        .collect()
}

/// A decimal as people and programs write them.
fn decimal() -> impl Strategy<Value = String> {
    (-200_000i32..200_000, 0usize..5, 0..4u8).prop_map(|(n, decimals, style)| {
        let text = format!("{:.*}", decimals, f64::from(n) / 1000.0);
        match style {
            0 if !text.starts_with('-') => format!("+{text}"),
            1 if text.starts_with("0.") => text[1..].to_string(),
            2 if !text.contains('.') => format!("{text}."),
            _ => text,
        }
    })
}

/// A line of a plain program: words in a style, perhaps numbered, perhaps with a comment.
fn line() -> impl Strategy<Value = String> {
    let axes = prop::sample::subsequence(vec!['X', 'Y', 'Z'], 1..=3);
    let modes = prop::sample::select(vec![
        "", "", "", "G0", "G1", "g00", "G01", "G90", "G91", "G20", "G21", "G1 F250", "F33.5",
        "G90 G0", "G17", "G94", "G64", "G54", "S1200", "M3", "M5", "M8", "T3",
    ]);
    let gap = prop::sample::select(vec!["", " ", "\t", "  "]);
    let tail = prop::sample::select(vec!["", " (cut)", "(MSG,look)", " ", "\t"]);
    (axes, prop::collection::vec(decimal(), 3), modes, gap, tail, 0u32..99999, any::<[bool; 3]>())
        .prop_map(|(axes, values, modes, gap, tail, number, [numbered, lower, inside])| {
            let mut text = if numbered { format!("N{number}{gap}") } else { String::new() };
            text.push_str(modes);
            for (axis, value) in axes.iter().zip(&values) {
                let inner = if inside { " " } else { "" };
                text.push_str(&format!("{gap}{axis}{inner}{value}"));
            }
            let text = if lower { text.to_lowercase() } else { text };
            format!("{text}{tail}")
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn both_readers_give_the_same_moves_on_plain_programs(
        lines in prop::collection::vec(line(), 1..40),
        ending in prop::sample::select(vec!["\n", "\r\n"]),
        percent in any::<bool>(),
    ) {
        let mut text = String::from("G17 G21 G90 G94 F100\nG0 X0 Y0 Z0\n");
        text.push_str(&lines.join("\n"));
        text.push_str("\nM30\n");
        let text = if percent { format!("%\n{text}%\n") } else { text };
        let text = text.replace('\n', ending);
        prop_assert_eq!(our_moves(&text), plain_moves(&text));
    }

    #[test]
    fn both_readers_give_the_same_words_on_arcs(
        values in prop::collection::vec(decimal(), 4),
        clockwise in any::<bool>(),
    ) {
        let code = if clockwise { "G2" } else { "G3" };
        let (i, j) = (&values[0], &values[1]);
        prop_assume!(i.parse::<f64>().unwrap().hypot(j.parse().unwrap()) > 0.01);
        // A whole turn, so that any centre is right.
        let text = format!("{HEAD}G0 X{} Y{}\n{code} X{} I{i} J{j}\nM2\n", values[2], values[3], values[2]);
        let events = clean(&text);
        let arc = super::common::motions(&events).last().unwrap().stroke;
        let (list, complaints) = words(&text);
        prop_assert_eq!(complaints, 0);
        let value = |letter: char| -> f64 {
            list.iter().find(|w| w.0 == 4 && w.1 == letter).unwrap().2.parse().unwrap()
        };
        let center = arc.arc.unwrap().center;
        prop_assert_eq!(center.x, arc.from.x + value('I'));
        prop_assert_eq!(center.y, arc.from.y + value('J'));
    }
}

#[test]
fn values_are_kept_in_full_where_the_crate_has_single_precision() {
    let program = gcode::parse("G0 X2440.1237\n").unwrap();
    let gcode::Code::General(code) = &program.blocks[0].codes[0] else { unreachable!() };
    assert_eq!(code.args[0].value.to_string(), "2440.1238");
    assert_eq!(x_of("2440.1237"), 2440.1237);
}

#[test]
fn an_open_comment_is_refused_where_the_crate_swallows_the_lines_behind_it() {
    assert!(gcode::parse("G0 X1 (open\nG0 X2\nG0 X3\n").is_ok());
    assert_eq!(words("(open\nG0 X2\nG0 X3\n").0, []);
    breaks("G0 X1 (open", Rule::Comment);
}

#[test]
fn bad_code_numbers_are_refused_where_the_crate_drops_them() {
    assert!(gcode::parse("G59.12\n").is_ok());
    assert_eq!(words("G1.12 X5\n").0, [(1, 'X', "5".to_string())]);
    breaks("G59.12", Rule::UnknownG);
    breaks("G1.12 X5", Rule::UnknownG);
}

#[test]
fn exponents_are_refused_where_the_crate_reads_another_word() {
    breaks("G0 X1.5e-3", Rule::Exponent);
}

#[test]
fn repeated_words_are_refused_where_the_crate_keeps_both() {
    assert!(gcode::parse("G1 X1 X2\n").is_ok());
    breaks("G1 X1 X2", Rule::RepeatedWord);
}

#[test]
fn program_numbers_are_refused_where_the_crate_leaves_no_trace() {
    assert_eq!(words("o100\n").0, []);
    breaks("o100", Rule::Letter);
}

#[test]
fn words_before_a_code_and_behind_a_comment_are_words_like_others() {
    let events = clean(&format!("{HEAD}X5 (half way) G1 (and on) Y6\nM2\n"));
    assert_eq!(ends(&events).last().unwrap(), &([5.0, 6.0, 50.0], Some(100.0)));
}

#[test]
fn what_the_crate_refuses_of_the_published_language_is_read() {
    for text in ["/G0 X1\n", "#1=2\n", "G0 X[1+2]\n"] {
        assert!(gcode::parse(text).is_err(), "{text}");
        clean(&format!("{HEAD}{text}M2\n"));
    }
    assert_eq!(x_of("[1+2]"), 3.0);
}

#[test]
fn lines_count_from_one() {
    assert_eq!(words("\nG0 X1\n").0[0].0, 2);
    assert_eq!(clean("\nG21\nM2\n")[0].line, 2);
}
