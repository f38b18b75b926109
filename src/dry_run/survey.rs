//! What is asked of a text before it is run: its sum, its lines, the cutters it names, and the
//! lines that the operator's switch may skip.

use super::log::Log;
use super::watch::slash;
use crate::ngc::{Source, each_line};
use sha2::{Digest, Sha256};
use std::ops::ControlFlow;

/// Cutters listed at most: no shop has as many.
const MOST_CUTTERS: usize = 1000;

/// A text, looked through once.
#[derive(Clone)]
pub(super) struct Survey {
    /// Of its bytes, in lower-case hexadecimal.
    pub(super) sha256: String,
    pub(super) lines: usize,
    /// Every number that follows a T outside comments: the cutters that it may use, read loosely.
    pub(super) cutters: Vec<u32>,
    /// Whether a line begins with `/`.
    pub(super) slashes: bool,
}

impl Survey {
    /// Looks through a text; what it finds on lines that begin with `/` goes into the log.
    ///
    /// # Errors
    /// If it can not be read.
    pub(super) fn of<S: Source + ?Sized>(source: &S, log: &mut Log) -> Result<Survey, S::Error> {
        let mut sum = Sha256::new();
        source.blocks(&mut |block| {
            sum.update(block);
            ControlFlow::Continue(())
        })?;
        let mut survey = Survey {
            sha256: hexadecimal(&sum.finalize()),
            lines: 0,
            cutters: Vec::new(),
            slashes: false,
        };
        each_line(source, |line| {
            survey.lines += 1;
            survey.look(line, log);
            ControlFlow::Continue(())
        })?;
        Ok(survey)
    }

    fn look(&mut self, line: &[u8], log: &mut Log) {
        if line.trim_ascii_start().first() == Some(&b'/') {
            self.slashes = true;
            slash::look(self.lines, &String::from_utf8_lossy(line), log);
        }
        if line.iter().any(|byte| byte.eq_ignore_ascii_case(&b't')) {
            cutters_named(line, &mut self.cutters);
        }
    }
}

/// Adds the numbers that follow a T outside comments.
fn cutters_named(line: &[u8], found: &mut Vec<u32>) {
    let mut comment = false;
    let mut number: Option<u32> = None;
    // A line feed closes the last number.
    for byte in line.iter().copied().chain([b'\n']) {
        match byte {
            b'(' => comment = true,
            b')' => comment = false,
            _ => {}
        }
        match (byte, number) {
            (b'0'..=b'9', Some(n)) => {
                number = Some(n.saturating_mul(10).saturating_add(u32::from(byte - b'0')));
                continue;
            }
            (b' ' | b'\t', Some(_)) => continue,
            (_, Some(n)) => {
                if !found.contains(&n) && found.len() < MOST_CUTTERS {
                    found.push(n);
                }
            }
            (_, None) => {}
        }
        number = (!comment && byte.eq_ignore_ascii_case(&b't')).then_some(0);
    }
}

fn hexadecimal(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Unit;

    #[test]
    fn cutters_are_found_however_they_are_written() {
        let Ok(survey) = Survey::of("t01m6\nM6 T 2\n(T9)\nG1 X1 T12", &mut Log::new(Unit::Mm));
        assert_eq!(survey.cutters, vec![1, 2, 12]);
        assert_eq!((survey.lines, survey.slashes), (4, false));
    }

    #[test]
    fn the_sum_is_that_of_the_published_example() {
        // FIPS 180-2 appendix B.1: the one-block message "abc".
        let Ok(survey) = Survey::of("abc", &mut Log::new(Unit::Mm));
        let wanted = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(survey.sha256, wanted);
    }
}
