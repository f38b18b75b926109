//! Tables and paragraphs in plain text, for the terminal.

/// Where a column's cells stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Align {
    Left,
    Right,
}

/// Lines of text are broken before this many characters.
const WIDTH: usize = 100;

/// Rows as aligned columns, two blanks apart and indented by two; no blanks at line ends. A row
/// that is shorter than `aligns` leaves its last cells empty.
pub(super) fn table(aligns: &[Align], rows: &[Vec<String>]) -> String {
    let cell = |row: &Vec<String>, k: usize| row.get(k).cloned().unwrap_or_default();
    let widths: Vec<usize> = (0..aligns.len())
        .map(|k| rows.iter().map(|row| cell(row, k).chars().count()).max().unwrap_or(0))
        .collect();
    let mut text = String::new();
    for row in rows {
        let mut line = String::new();
        for (k, (align, &width)) in aligns.iter().zip(&widths).enumerate() {
            let one = cell(row, k);
            line.push_str("  ");
            line.push_str(&match align {
                Align::Left => format!("{one:<width$}"),
                Align::Right => format!("{one:>width$}"),
            });
        }
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text
}

/// Names and values in two columns.
pub(super) fn pairs(rows: &[(&str, String)]) -> String {
    let rows: Vec<Vec<String>> =
        rows.iter().map(|(name, value)| vec![(*name).to_string(), value.clone()]).collect();
    table(&[Align::Left, Align::Left], &rows)
}

/// A paragraph after `lead`, its further lines indented to where the first one's words start.
#[must_use]
pub fn paragraph(lead: &str, words: &str) -> String {
    let indent = " ".repeat(lead.chars().count());
    let (mut text, mut line, mut empty) = (String::new(), lead.to_string(), true);
    for word in words.split_whitespace() {
        if !empty && line.chars().count() + 1 + word.chars().count() > WIDTH {
            text.push_str(&line);
            text.push('\n');
            line = indent.clone();
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(word);
        empty = false;
    }
    text.push_str(line.trim_end());
    text.push('\n');
    text
}

/// Rounded up to the 0.01 mm that is shown, so that a least length works when it is typed.
pub(super) fn at_least(mm: f64) -> f64 {
    // A ten-thousandth of that is rounding of sums, not length.
    (mm * 100.0 - 1e-4).ceil() / 100.0
}

/// Rounded down likewise, for a greatest length.
pub(super) fn at_most(mm: f64) -> f64 {
    (mm * 100.0 + 1e-4).floor() / 100.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_line_up_and_lines_end_without_blanks() {
        let rows = [vec!["a".into(), "1".into(), "x".into()], vec!["bcd".into(), "22".into()]];
        let text = table(&[Align::Left, Align::Right, Align::Left], &rows);
        assert_eq!(text, "  a     1  x\n  bcd  22\n");
    }

    #[test]
    fn a_limit_is_shown_on_its_safe_side() {
        assert_eq!((at_least(43.7606), at_most(43.7698)), (43.77, 43.76));
        assert_eq!((at_least(50.0), at_most(50.0)), (50.0, 50.0));
        // What arithmetic leaves of 50 is still 50.
        assert_eq!((at_least(50.0 + 1e-9), at_most(50.0 - 1e-9)), (50.0, 50.0));
    }

    #[test]
    fn a_paragraph_keeps_its_words_and_its_width() {
        let words = "seven words of ten letters each are plenty ".repeat(9);
        let text = paragraph("  - ", &words);
        assert!(text.lines().count() > 3);
        assert!(text.lines().all(|l| l.chars().count() <= WIDTH));
        assert!(text.lines().skip(1).all(|l| l.starts_with("    ") && !l.starts_with("     ")));
        let back: Vec<&str> = text.split_whitespace().skip(1).collect();
        assert_eq!(back, words.split_whitespace().collect::<Vec<_>>());
    }
}
