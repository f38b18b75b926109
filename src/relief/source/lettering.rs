//! Letters as outlines, from a font.

use crate::diagnostic::Diagnostic;
use crate::geometry::{Contour, Piece, Point, overlap, point, united};
use crate::ornament::Spine;
use ttf_parser::{Face, GlyphId, OutlineBuilder};

/// Text as outlines, its baseline on y = 0, its middle on x = 0.
#[derive(Clone, Debug, PartialEq)]
pub struct Lettering {
    /// The outlines, which neither cross nor touch: what an odd number of them encloses is letter.
    pub outlines: Vec<Contour>,
    /// Width from the first letter's left edge to the last one's right.
    pub width: f64,
}

/// Height of capitals over the size where a font does not say, and in most romans (from memory).
const CAPITALS: f64 = 0.72;

/// How far chords leave the curves of letters that overlap, mm: nothing that a cutter shows.
const CHORD: f64 = 5e-4;

/// Longest text.
const MOST: usize = 200;

/// One line of text, its capitals `height` high, `spacing` added between letters. The font is
/// TrueType or OpenType; DejaVu Serif without one.
///
/// # Errors
/// If the font can not be read or lacks a letter, or the text is empty or too long.
pub fn lettering(
    text: &str,
    height: f64,
    spacing: f64,
    font: Option<(&str, &[u8])>,
) -> Result<Lettering, Diagnostic> {
    let (name, bytes) = font.unwrap_or(("DejaVu Serif", dejavu::serif::regular()));
    let face = Face::parse(bytes, 0).map_err(|e| {
        Diagnostic::error(format!("{name}: is no font that can be read: {e}"))
            .key("font")
            .help("give a TrueType or OpenType file, or leave `font` out for DejaVu Serif")
    })?;
    let count = text.chars().count();
    if count == 0 || count > MOST {
        return Err(Diagnostic::error(format!("a line of {count} letters can not be carved"))
            .help(format!("1 to {MOST} letters")));
    }
    let em = f64::from(face.units_per_em());
    let capitals = capitals(&face).unwrap_or(CAPITALS * em);
    let mut pen = Pen { scale: height / capitals, ..Pen::default() };
    for letter in text.chars() {
        let glyph = face.glyph_index(letter).ok_or_else(|| {
            Diagnostic::error(format!("{name}: the font has no letter `{}`", letter.escape_debug()))
                .help("leave it out, or name another font")
        })?;
        pen.glyph(&face, glyph, spacing);
    }
    pen.finish(name)
}

/// Height of a flat capital: of the H itself, for what fonts say of it may be off.
fn capitals(face: &Face) -> Option<f64> {
    let drawn = face.glyph_index('H').and_then(|h| face.glyph_bounding_box(h));
    let said = || face.capital_height().map(f64::from);
    drawn.map(|b| f64::from(b.y_max)).or_else(said).filter(|h| *h > 0.0)
}

/// Whether a letter runs into those before it; each by itself does not overlap.
fn joined(before: &[Contour], letter: &[Contour]) -> bool {
    let right = before.iter().filter_map(Contour::bounds).map(|(_, high)| high.x);
    let left = letter.iter().filter_map(Contour::bounds).map(|(low, _)| low.x);
    let clear = left.fold(f64::INFINITY, f64::min) > right.fold(f64::NEG_INFINITY, f64::max);
    !clear && overlap(&[before, letter].concat())
}

/// A letter's outlines counter-clockwise, its islands clockwise; fonts draw either way round.
fn filled(letter: Vec<Contour>) -> Vec<Contour> {
    let left = letter.iter().map(Contour::area).sum::<f64>() > 0.0;
    if left { letter } else { letter.iter().map(Contour::reversed).collect() }
}

/// Collects outlines, millimetres.
#[derive(Default)]
struct Pen {
    scale: f64,
    x: f64,
    at: Point,
    start: Point,
    pieces: Vec<Piece>,
    /// Of the letter that is drawn.
    outlines: Vec<Contour>,
    /// Of the letters before; those that run into each other are one.
    letters: Vec<Vec<Contour>>,
}

impl Pen {
    fn glyph(&mut self, face: &Face, glyph: GlyphId, spacing: f64) {
        face.outline_glyph(glyph, self);
        let advance = face.glyph_hor_advance(glyph).map_or(0.0, f64::from);
        self.x += advance * self.scale + spacing;
        // A C may be drawn as one outline and its cedilla as another; letters of a script join.
        let mut letter = united(std::mem::take(&mut self.outlines), CHORD);
        if let Some(before) = self.letters.pop_if(|before| joined(before, &letter)) {
            letter = united([filled(before), filled(letter)].concat(), CHORD);
        }
        self.letters.push(letter);
    }

    fn place(&self, x: f32, y: f32) -> Point {
        point(self.x + f64::from(x) * self.scale, f64::from(y) * self.scale)
    }

    fn line(&mut self, to: Point) {
        if to.distance(self.at) > 1e-9 {
            self.pieces.push(Piece { from: self.at, to, bulge: 0.0 });
        }
        self.at = to;
    }

    /// A curve as arcs.
    fn curve(&mut self, a: Point, b: Point, to: Point) {
        if to.distance(self.at) > 1e-9 {
            self.pieces.extend(Spine::bezier([self.at, a, b, to]).arcs());
        }
        self.at = to;
    }

    fn finish(self, name: &str) -> Result<Lettering, Diagnostic> {
        let outlines: Vec<Contour> = self.letters.concat();
        let bounds = outlines.iter().filter_map(Contour::bounds);
        let (low, high) = bounds
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), (a, b)| (l.min(a.x), h.max(b.x)));
        if high <= low {
            return Err(Diagnostic::error(format!("{name}: the text has no outlines"))
                .help("blanks alone can not be carved"));
        }
        let middle = point(-0.5 * (low + high), 0.0);
        let outlines = outlines.iter().map(|c| c.moved(middle)).collect();
        Ok(Lettering { outlines, width: high - low })
    }
}

impl OutlineBuilder for Pen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.at = self.place(x, y);
        self.start = self.at;
        self.pieces.clear();
    }

    fn line_to(&mut self, x: f32, y: f32) {
        let to = self.place(x, y);
        self.line(to);
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        let (control, to) = (self.place(x1, y1), self.place(x, y));
        // The same curve as a cubic.
        let third = |end: Point| end + (control - end) * (2.0 / 3.0);
        self.curve(third(self.at), third(to), to);
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        let (a, b, to) = (self.place(x1, y1), self.place(x2, y2), self.place(x, y));
        self.curve(a, b, to);
    }

    fn close(&mut self) {
        self.line(self.start);
        if self.pieces.len() > 1 {
            self.outlines.push(Contour::from_pieces(&self.pieces, true));
        }
        self.pieces.clear();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A letter as the font draws it, 20 mm high, and as it is lettered.
    fn both(letter: char) -> (Vec<Contour>, Vec<Contour>) {
        let face = Face::parse(dejavu::serif::regular(), 0).expect("the font can be read");
        let glyph = face.glyph_index(letter).expect("a glyph");
        let mut pen = Pen { scale: 20.0 / capitals(&face).expect("an H"), ..Pen::default() };
        face.outline_glyph(glyph, &mut pen);
        let drawn = std::mem::take(&mut pen.outlines);
        pen.glyph(&face, glyph, 0.0);
        (drawn, pen.letters.concat())
    }

    /// Area of what outlines turn about twice, from points strewn evenly over the smallest of them.
    fn twice(outlines: &[Contour]) -> f64 {
        const POINTS: usize = 4000;
        let smallest = outlines.iter().min_by(|a, b| a.length().total_cmp(&b.length()));
        let (low, high) = smallest.and_then(Contour::bounds).expect("an outline");
        let turns = |p| outlines.iter().map(|c| c.winding(p)).sum::<i32>().abs();
        // Steps by the golden section of the plane fill it evenly (from memory).
        let at = |k: usize| {
            let share = |step: f64| (0.5 + step * k as f64).fract();
            point(
                low.x + share(0.754_877_666_246_692_8) * (high.x - low.x),
                low.y + share(0.569_840_290_998_053_3) * (high.y - low.y),
            )
        };
        let count = (0..POINTS).filter(|k| turns(at(*k)) > 1).count();
        count as f64 / POINTS as f64 * (high.x - low.x) * (high.y - low.y)
    }

    #[test]
    fn letters_with_a_tail_are_one_outline_as_large_as_what_the_font_fills() {
        for letter in "ÇçŞşŢţĄąĘę".chars() {
            let (drawn, lettered) = both(letter);
            assert!(overlap(&drawn) && !overlap(&lettered), "{letter}");
            let area: f64 = lettered.iter().map(Contour::area).sum();
            // Where they overlap counts once.
            let wanted = drawn.iter().map(Contour::area).sum::<f64>().abs() - twice(&drawn);
            assert!((area - wanted).abs() < 0.05, "{letter}: {area} for {wanted}");
        }
    }

    #[test]
    fn all_other_letters_keep_their_curves() {
        for letter in
            "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789&ÄÖÜäöüßÉéÑñÅåØøß.,:;!?"
                .chars()
        {
            let (drawn, lettered) = both(letter);
            assert_eq!(drawn, lettered, "{letter}");
        }
    }

    #[test]
    fn letters_that_run_into_each_other_are_one() {
        // Only the bars of two T meet.
        for (word, outlines) in [("TT", [2, 1]), ("ŢŢ", [2, 1])] {
            for (spacing, count) in [0.0, -2.0].into_iter().zip(outlines) {
                let made = lettering(word, 20.0, spacing, None).expect("letters").outlines;
                assert!(made.len() == count && !overlap(&made), "{word} {spacing}: {made:?}");
            }
        }
    }
}
