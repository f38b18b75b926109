//! What a program says to people: its heading, its remarks, its messages.

use crate::shop::DialStop;

/// Longest line of a program in characters (NISTIR 6556 section 3.3).
pub const WIDEST: usize = 256;

/// Longest text of a remark; longer ones go on in the next line. With its parentheses, it
/// fits the width of a plain terminal.
const REMARK: usize = 78;

/// Longest text of a message, which must stay on one line: leaves room for the line number,
/// the parentheses and `MSG, `.
const MESSAGE: usize = 230;

/// What a program says of itself before it moves.
#[derive(Clone, Debug, PartialEq)]
pub struct Heading {
    /// What it makes.
    pub title: String,
    /// Remarks, one a line: stock, work zero, how it is held.
    pub lines: Vec<String>,
    /// The work coordinate system, 54 to 59.
    pub work_offset: u8,
    /// What the shop calls the cutters, by number; used in the change's message.
    pub cutters: Vec<(u32, String)>,
    /// The marks of the router's dial, for the message to set it; empty without a dial.
    pub dial: Vec<DialStop>,
}

impl Default for Heading {
    fn default() -> Heading {
        Heading {
            title: String::new(),
            lines: Vec::new(),
            work_offset: 54,
            cutters: Vec::new(),
            dial: Vec::new(),
        }
    }
}

/// `text` as it may stand between the parentheses of a remark: one line of plain ASCII that
/// cannot close the remark and is no message.
pub(super) fn clean(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '(' | '{' => out.push('['),
            ')' | '}' => out.push(']'),
            // Ends a program or starts a remark on some controls, even inside a remark.
            '%' => out.push_str(" percent"),
            ';' => out.push(','),
            '\u{2018}' | '\u{2019}' | '\u{2032}' => out.push('\''),
            '\u{201c}' | '\u{201d}' | '\u{2033}' => out.push('"'),
            '\u{2010}'..='\u{2015}' | '\u{2212}' => out.push('-'),
            '\u{bc}' => out.push_str(" 1/4"),
            '\u{bd}' => out.push_str(" 1/2"),
            '\u{be}' => out.push_str(" 3/4"),
            '\u{d7}' => out.push('x'),
            '\u{b0}' => out.push_str(" deg"),
            c if c.is_whitespace() || c.is_control() => out.push(' '),
            c if c.is_ascii_graphic() => out.push(c),
            c => out.push(plain(c)),
        }
    }
    let one = out.split(' ').filter(|w| !w.is_empty()).collect::<Vec<_>>().join(" ");
    let start: String = one.chars().filter(|c| *c != ' ').take(4).collect();
    if start.eq_ignore_ascii_case("MSG,") { format!("- {one}") } else { one }
}

/// The letter below an accent; `?` for what has none.
fn plain(c: char) -> char {
    const FROM: &str = "ÀÁÂÃÄÅÇÈÉÊËÌÍÎÏÑÒÓÔÕÖØÙÚÛÜÝàáâãäåçèéêëìíîïñòóôõöøùúûüýÿ";
    const TO: &str = "AAAAAACEEEEIIIINOOOOOOUUUUYaaaaaaceeeeiiiinoooooouuuuyy";
    FROM.chars().zip(TO.chars()).find(|(from, _)| *from == c).map_or('?', |(_, to)| to)
}

/// `text` cleaned and broken into remarks between words.
pub(super) fn remarks(text: &str) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in clean(text).split(' ').flat_map(broken) {
        if !line.is_empty() && line.len() + 1 + word.len() > REMARK {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(&word);
    }
    if !line.is_empty() {
        lines.push(line);
    }
    // A line that starts anew must not turn into a message either.
    lines.iter().map(|l| clean(l)).collect()
}

fn broken(word: &str) -> Vec<String> {
    // Cleaned text is ASCII, so bytes are characters.
    word.as_bytes().chunks(REMARK - 2).map(|c| String::from_utf8_lossy(c).into_owned()).collect()
}

/// `text` as the operator's message.
pub(super) fn message(text: &str) -> String {
    let text: String = clean(text).chars().take(MESSAGE).collect();
    format!("MSG, {text}")
}

/// `set the dial to 3 (18000 rpm)`, in words that may stand in a message.
pub(super) fn dial_setting(dial: &[DialStop], rpm: f64) -> String {
    let nearest = dial.iter().min_by(|a, b| (a.rpm - rpm).abs().total_cmp(&(b.rpm - rpm).abs()));
    match nearest {
        Some(stop) => format!("set the dial to {} for {rpm:.0} rpm", stop.mark),
        None => format!("set the dial for {rpm:.0} rpm"),
    }
}
