//! How wide a text is, from the font's own advance widths.
//!
//! Measured in DejaVu Sans, without kerning. A reader without that font sees its own sans
//! serif, and most are narrower.

use std::sync::OnceLock;
use ttf_parser::Face;

/// Weight of lettering.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Weight {
    /// Regular.
    #[default]
    Regular,
    /// Bold.
    Bold,
}

/// Height of capitals and figures over the baseline, as a share of the size (DejaVu Sans: 0.729;
/// brackets reach 0.76).
pub(crate) const ASCENT: f64 = 0.76;
/// Depth below the baseline of letters like g and brackets, as a share of the size.
pub(crate) const DESCENT: f64 = 0.24;

/// Width of a character that the font lacks, as a share of the size: a full-width square.
const MISSING: f64 = 1.0;

fn face(weight: Weight) -> Option<&'static Face<'static>> {
    static REGULAR: OnceLock<Option<Face<'static>>> = OnceLock::new();
    static BOLD: OnceLock<Option<Face<'static>>> = OnceLock::new();
    let kept = match weight {
        Weight::Regular => &REGULAR,
        Weight::Bold => &BOLD,
    };
    kept.get_or_init(|| Face::parse(bytes(weight), 0).ok()).as_ref()
}

/// The font's file.
pub(super) fn bytes(weight: Weight) -> &'static [u8] {
    match weight {
        Weight::Regular => dejavu::sans::regular(),
        Weight::Bold => dejavu::sans::bold(),
    }
}

/// Width of a text in the unit of `size` (its em).
#[must_use]
pub fn text_width(text: &str, size: f64, weight: Weight) -> f64 {
    let advance = |c: char| glyph(c, weight).map_or(MISSING, |(_, advance)| advance);
    text.chars().map(advance).sum::<f64>() * size
}

/// The number of a character's glyph, and its advance as a share of the size; `None` for one that
/// the font lacks.
pub(super) fn glyph(c: char, weight: Weight) -> Option<(u32, f64)> {
    let face = face(weight)?;
    let glyph = face.glyph_index(c)?;
    let advance = f64::from(face.glyph_hor_advance(glyph)?) / f64::from(face.units_per_em());
    Some((u32::from(glyph.0), advance))
}

/// The text cut off with an ellipsis so that it is no wider than `room`.
#[must_use]
pub fn shortened(text: &str, size: f64, weight: Weight, room: f64) -> String {
    if text_width(text, size, weight) <= room {
        return text.to_string();
    }
    let mut kept = String::new();
    let mut used = text_width("…", size, weight);
    for c in text.chars() {
        used += text_width(c.encode_utf8(&mut [0; 4]), size, weight);
        if used > room {
            break;
        }
        kept.push(c);
    }
    format!("{}…", kept.trim_end())
}

/// The text in lines no wider than `room`, broken at blanks; what is left after `lines` lines is
/// cut off with an ellipsis.
#[must_use]
pub fn wrapped(text: &str, size: f64, weight: Weight, room: f64, lines: usize) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let mut words = text.split_whitespace().peekable();
    while words.peek().is_some() && out.len() < lines {
        let mut line = String::new();
        let last = out.len() + 1 == lines;
        while let Some(word) = words.peek() {
            let longer = if line.is_empty() { word.to_string() } else { format!("{line} {word}") };
            let fits = text_width(&longer, size, weight) <= room;
            if !(fits || last || line.is_empty()) {
                break;
            }
            line = longer;
            words.next();
        }
        out.push(shortened(&line, size, weight, room));
    }
    out
}
