//! Words as they are written, for what is asked before the text is read.

/// Whether tenths of a G word name a coordinate system.
pub(super) fn is_system(code: u32) -> bool {
    matches!(code, 540 | 550 | 560 | 570 | 580 | 590 | 591 | 592 | 593)
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
    }
}
