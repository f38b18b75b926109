//! A program that comes block by block, and one that stands in a file.

use super::bench::{Bench, GOOD, around, refusals, tried};
use ovolo::dry_run::{Interlock, try_out, try_source};
use ovolo::ngc::Source;
use std::convert::Infallible;
use std::io::Write;
use std::ops::ControlFlow;

/// A text in blocks of so many bytes.
struct Blocks<'a>(&'a str, usize);

impl Source for Blocks<'_> {
    type Error = Infallible;

    fn blocks(&self, take: &mut dyn FnMut(&[u8]) -> ControlFlow<()>) -> Result<(), Infallible> {
        for block in self.0.as_bytes().chunks(self.1) {
            if take(block).is_break() {
                break;
            }
        }
        Ok(())
    }
}

#[test]
fn a_text_in_blocks_gets_the_verdict_of_the_whole() {
    let bench = Bench::new();
    for (name, good) in GOOD {
        // A fault late in the text, a line for the switch, and a line that is quoted.
        let mut text = good.to_string();
        // Before the spindle stops, or else before the end.
        let stop = |word: &str| {
            let number = word.trim_start_matches('M').trim_start_matches('0');
            word.starts_with('M') && ["5", "2", "30"].contains(&number)
        };
        let bare = |line: &str| line.to_uppercase().replace(' ', "").replace('M', " M");
        let stop = good.lines().position(|line| bare(line).split(' ').any(stop)).expect("it ends");
        let at: usize = good.lines().take(stop).map(|line| line.len() + 1).sum();
        text.insert_str(at, "/G1 X1 F99999\nG92 Z0\n");
        let whole = try_out(&text, &bench.setup());
        assert!(whole.verdict.findings.iter().any(|f| !f.text.is_empty()), "{name}");
        for size in [1, 7, 100] {
            let Ok(parts) = try_source(&Blocks(&text, size), &bench.setup());
            assert_eq!(parts.verdict, whole.verdict, "{name} in blocks of {size}");
            assert_eq!(parts.left, whole.left);
        }
    }
}

#[test]
fn a_file_is_judged_like_its_text_and_its_sum_is_of_its_bytes() {
    let bench = Bench::new();
    let mut file = tempfile::tempfile().unwrap();
    file.write_all(GOOD[0].1.as_bytes()).unwrap();
    let found = try_source(&file, &bench.setup()).unwrap().verdict;
    assert_eq!(found, try_out(GOOD[0].1, &bench.setup()).verdict);
    // Bytes that are no text count as they stand: SHA-256 of the one byte ff, as `sha256sum`
    // of GNU coreutils prints it.
    let mut file = tempfile::tempfile().unwrap();
    file.write_all(b"\xff").unwrap();
    let found = try_source(&file, &bench.setup()).unwrap().verdict;
    let wanted = "a8100ae6aa1940d0b663bb31cd466142ebbdbd5187131b92d93818987832eb89";
    assert_eq!(found.sha256, wanted);
    assert!(found.refused());
}

#[test]
fn words_whose_numbers_are_worked_out_move_the_zero_too() {
    let moved = around("G0 X50 Y50\nG0 Z1\nG[90+2] X0\nG1 Z-1 F600");
    assert!(refusals(&tried(&moved)).contains(&(Interlock::AxisOffset, 9)));
    let written = around("G[5+5] L2 P1 X5\nG0 X50 Y50\nG0 Z1\nG1 Z-1 F600");
    assert!(refusals(&tried(&written)).contains(&(Interlock::WorkOffset, 7)));
    let said = around("G0 X50 Y50\nG0 Z1\nG1 Z-1 F600").replace("G54", "G[50+4]");
    assert_eq!(refusals(&tried(&said)), []);
}
