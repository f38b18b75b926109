//! Reading from bytes: nothing panics, nothing grows.

use super::common::HEAD;
use ovolo::ngc::{Event, Options, Problem, Rule, interpret, interpret_all, interpret_stream};
use proptest::prelude::*;
use std::io::{BufReader, Read};

fn stream(bytes: &[u8]) -> (Vec<Event>, Vec<Problem>) {
    let mut events = Vec::new();
    // A buffer shorter than most lines.
    let reader = BufReader::with_capacity(7, bytes);
    let problems =
        interpret_stream(reader, &Options::default(), &mut |e| events.push(e.clone())).unwrap();
    (events, problems)
}

#[test]
fn a_stream_reads_like_a_text() {
    let text = format!("%\r\n{HEAD}(é)\nG1 X1 F5\nG2 X5 I2\nG0 X5 X6\n\n%\n junk");
    assert_eq!(stream(text.as_bytes()), interpret_all(&text, &Options::default()));
}

#[test]
fn bytes_that_are_not_utf8_are_a_problem() {
    for (bytes, column) in [(&b"G0 X1 \xff\nM2\n"[..], 7), (b"(\xe9t\xe9)\nM2\n", 2)] {
        let (_, problems) = stream(bytes);
        assert_eq!(problems.len(), 1);
        assert_eq!((problems[0].rule, problems[0].column), (Rule::NotUtf8, column));
    }
}

/// Gives the same byte without end, up to a length, and remembers nothing.
struct Endless(u64);

impl Read for Endless {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        let n = buffer.len().min(usize::try_from(self.0).unwrap_or(usize::MAX));
        buffer[..n].fill(b'(');
        self.0 -= n as u64;
        Ok(n)
    }
}

#[test]
fn a_line_without_end_is_one_problem_and_is_not_kept() {
    // 64 MB without a line feed; only 2048 bytes of it are held.
    let stream = BufReader::new(Endless(64 << 20));
    let problems = interpret_stream(stream, &Options::default(), &mut |_| {}).unwrap();
    let rules: Vec<_> = problems.iter().map(|p| (p.line, p.rule)).collect();
    assert_eq!(rules, [(1, Rule::LineTooLong), (1, Rule::NoEnd)]);
}

struct Broken;

impl Read for Broken {
    fn read(&mut self, _: &mut [u8]) -> std::io::Result<usize> {
        Err(std::io::Error::other("the disk is gone"))
    }
}

#[test]
fn a_stream_that_fails_is_an_error() {
    let result = interpret_stream(BufReader::new(Broken), &Options::default(), &mut |_| {});
    assert_eq!(result.unwrap_err().to_string(), "the disk is gone");
}

/// Lines made of the pieces of the language in any order: mostly wrong, sometimes right.
fn pieces() -> impl Strategy<Value = String> {
    let piece = prop::sample::select(vec![
        "G",
        "M",
        "X",
        "Y",
        "Z",
        "I",
        "J",
        "K",
        "R",
        "F",
        "S",
        "T",
        "P",
        "Q",
        "L",
        "H",
        "N",
        "0",
        "1",
        "2",
        "3",
        "9",
        "81",
        "83",
        "28",
        "92",
        "43",
        "10",
        ".",
        "-",
        "+",
        "#",
        "=",
        "[",
        "]",
        "*",
        "/",
        "SIN",
        "ATAN",
        "MOD",
        "(",
        ")",
        "%",
        " ",
        "\t",
        "\n",
        "\n",
        "\r\n",
        ";",
        "é",
        "G1 X1 F9",
        "G2 X5 I2",
        "G91",
        "G20",
        "M3 S5",
        "99999999999",
    ]);
    prop::collection::vec(piece, 0..80).prop_map(|p| p.concat())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    #[test]
    fn any_bytes_are_read_without_panic_and_alike_each_time(
        bytes in prop::collection::vec(any::<u8>(), 0..400)
    ) {
        prop_assert_eq!(stream(&bytes), stream(&bytes));
    }

    #[test]
    fn any_pieces_are_read_alike_from_text_and_stream(text in pieces()) {
        let first = interpret_all(&text, &Options::default());
        prop_assert_eq!(&first, &interpret_all(&text, &Options::default()));
        prop_assert_eq!(&first, &stream(text.as_bytes()));
    }

    #[test]
    fn every_event_carries_a_line_of_the_text_in_order(text in pieces()) {
        let lines = text.matches('\n').count() + 1;
        let mut last = 0;
        let mut wrong = Vec::new();
        let problems = interpret(&text, &Options::default(), &mut |e| {
            if e.line < last || e.line > lines {
                wrong.push(e.line);
            }
            last = e.line;
        });
        prop_assert!(wrong.is_empty());
        for p in problems {
            prop_assert!(p.line <= lines && p.column >= 1);
        }
    }

    #[test]
    fn a_line_with_a_grave_problem_gives_no_event(text in pieces()) {
        let (events, problems) = interpret_all(&text, &Options::default());
        let last = text.matches('\n').count() + 1;
        for p in problems.iter().filter(|p| p.grave && p.rule != Rule::ByteOrderMark) {
            let at_end = matches!(p.rule, Rule::NoEnd | Rule::PercentOpen) && p.line <= last;
            prop_assert!(at_end || events.iter().all(|e| e.line != p.line), "{}", p);
        }
    }

    #[test]
    fn moves_and_their_feeds_are_finite(text in pieces()) {
        let (events, _) = interpret_all(&text, &Options::default());
        for m in super::common::motions(&events) {
            prop_assert!(m.stroke.to.x.is_finite() && m.stroke.length().is_finite());
            if let Some(feed) = m.feed {
                prop_assert!(feed >= 0.0);
            }
        }
    }
}
