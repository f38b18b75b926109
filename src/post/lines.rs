//! The lines of a program.

use super::dialect::{Comments, Dialect, LineEnding, LineNumbers, Separator};

/// Largest line number (NISTIR 6556 section 3.3.1).
const LAST_NUMBER: u32 = 99_999;

/// A text that grows by lines.
pub(super) struct Lines {
    text: String,
    numbers: Option<LineNumbers>,
    next: u32,
    separator: &'static str,
    ending: &'static str,
    comments: bool,
}

impl Lines {
    pub(super) fn new(dialect: &Dialect) -> Lines {
        Lines {
            text: String::new(),
            numbers: dialect.line_numbers,
            next: dialect.line_numbers.map_or(0, |n| n.start),
            separator: if dialect.separator == Separator::Blank { " " } else { "" },
            ending: if dialect.line_ending == LineEnding::Lf { "\n" } else { "\r\n" },
            comments: dialect.comments == Comments::Parentheses,
        }
    }

    /// A line of words, numbered if the dialect numbers lines.
    pub(super) fn words(&mut self, words: &[impl AsRef<str>]) {
        if let Some(numbers) = self.numbers {
            self.text.push_str(&format!("N{}{}", self.next, self.separator));
            self.next += numbers.step;
            if self.next > LAST_NUMBER {
                self.next = numbers.start;
            }
        }
        for (i, word) in words.iter().enumerate() {
            if i > 0 {
                self.text.push_str(self.separator);
            }
            self.text.push_str(word.as_ref());
        }
        self.text.push_str(self.ending);
    }

    /// A remark of its own line; `text` is clean.
    pub(super) fn remark(&mut self, text: &str) {
        if self.comments {
            self.bare(&format!("({text})"));
        }
    }

    /// A line as it is.
    pub(super) fn bare(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push_str(self.ending);
    }

    pub(super) fn into_text(self) -> String {
        self.text
    }
}
