//! G words as they are written, for what the modal state does not tell: that a word was said.

/// Lines, from 1 and rising, whose words touch the work zero.
#[derive(Debug, Default, PartialEq)]
pub(super) struct OffsetLines {
    /// G54 to G59.3.
    pub(super) systems: Vec<usize>,
    /// G92 with an axis word, and G92.3.
    pub(super) axis: Vec<usize>,
    /// G10, which writes the zero of a coordinate system.
    pub(super) zeros: Vec<usize>,
}

impl OffsetLines {
    pub(super) fn of(text: &str) -> OffsetLines {
        let mut lines = OffsetLines::default();
        for (index, line) in text.lines().enumerate() {
            let codes = g_words(line);
            if codes.iter().any(|code| is_system(*code)) {
                lines.systems.push(index + 1);
            }
            if codes.contains(&100) {
                lines.zeros.push(index + 1);
            }
            let offset = |code: &u32| *code == 923 || (*code == 920 && has_axis(line));
            if codes.iter().any(offset) {
                lines.axis.push(index + 1);
            }
        }
        lines
    }
}

/// Whether tenths of a G word name a coordinate system.
pub(super) fn is_system(code: u32) -> bool {
    matches!(code, 540 | 550 | 560 | 570 | 580 | 590 | 591 | 592 | 593)
}

fn has_axis(line: &str) -> bool {
    let mut comment = false;
    line.bytes().any(|byte| {
        comment = match byte {
            b'(' => true,
            b')' => false,
            _ => comment,
        };
        !comment && matches!(byte.to_ascii_uppercase(), b'X' | b'Y' | b'Z')
    })
}

/// The G words of a line outside comments, in tenths: `G54` is 540. Numbers that are worked out
/// are left out.
pub(super) fn g_words(line: &str) -> Vec<u32> {
    let mut words = Vec::new();
    let mut comment = false;
    // Blanks inside a line mean nothing.
    let mut bytes = line.bytes().filter(|b| !matches!(b, b' ' | b'\t')).peekable();
    while let Some(byte) = bytes.next() {
        match byte {
            b'(' => comment = true,
            b')' => comment = false,
            b'G' | b'g' if !comment => {
                let mut number = String::new();
                while let Some(digit) = bytes.next_if(|b| b.is_ascii_digit() || *b == b'.') {
                    number.push(char::from(digit));
                }
                // A G word has at most three digits; a wild number saturates in the cast.
                if let Ok(value) = number.parse::<f64>() {
                    words.push((value * 10.0).round() as u32);
                }
            }
            _ => {}
        }
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_read_through_blanks_and_case_and_not_in_comments() {
        assert_eq!(g_words("n10 g 5 4 (G92 X0) G59.3x1"), [540, 593]);
        let lines = OffsetLines::of("G92 X0\n(G54)\nG54\nG92.1\nG92.3\nG92 (X)\nG10 L2 P1 X0");
        assert_eq!(lines, OffsetLines { systems: vec![3], axis: vec![1, 5], zeros: vec![7] });
    }
}
