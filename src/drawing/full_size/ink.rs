//! A sheet put on a PDF's page: lines, filled shapes and lettering, the one font embedded.

use super::pdf::failed;
use crate::diagnostic::Diagnostic;
use crate::drawing::lettering::{bytes, glyph};
use crate::drawing::svg::{Item, Pen};
use crate::drawing::{Colour, Lettering, Sheet, Weight};
use crate::geometry::Point;
use krilla::color::rgb;
use krilla::geom::{self, PathBuilder, Transform};
use krilla::num::NormalizedF32;
use krilla::paint::{Fill, FillRule, LineCap, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::text::{Font, GlyphId, KrillaGlyph};
use kurbo::{BezPath, PathEl};
use rustybuzz::{Direction, UnicodeBuffer};
use std::collections::BTreeSet;
use std::sync::OnceLock;
use unicode_bidi::BidiInfo;

/// Puts all of a sheet on the surface, whose unit is the sheet's millimetre. The white of the
/// paper is left out: pages lie over drawings.
///
/// # Errors
/// If the sheet holds what only SVG has, or the font cannot be read.
pub(super) fn put(surface: &mut Surface, sheet: &Sheet) -> Result<(), Diagnostic> {
    for item in sheet.items() {
        match item {
            Item::Stroke(data, pen) => {
                surface.set_fill(None);
                surface.set_stroke(Some(stroke(pen)));
                surface.draw_path(&path(data)?);
            }
            Item::Fill(data, colour) => {
                surface.set_stroke(None);
                surface.set_fill(Some(fill(*colour)));
                surface.draw_path(&path(data)?);
            }
            Item::Text(at, lettering, text) => letters(surface, *at, lettering, text)?,
            Item::Open(_) | Item::Close => {}
            Item::Markup(_) => return Err(failed("a sheet with what only SVG can show")),
        }
    }
    Ok(())
}

fn fill(Colour(red, green, blue): Colour) -> Fill {
    let paint = rgb::Color::new(red, green, blue).into();
    Fill { paint, opacity: NormalizedF32::ONE, rule: FillRule::NonZero }
}

fn stroke(pen: &Pen) -> Stroke {
    let dash = (!pen.dashes.is_empty())
        .then(|| StrokeDash { array: pen.dashes.iter().map(|&d| d as f32).collect(), offset: 0.0 });
    Stroke {
        paint: fill(pen.colour).paint,
        width: pen.width as f32,
        line_cap: if pen.round { LineCap::Round } else { LineCap::Butt },
        line_join: if pen.round { LineJoin::Round } else { LineJoin::Miter },
        dash,
        ..Stroke::default()
    }
}

/// Arcs become cubics, as PDF has no others.
fn path(data: &str) -> Result<geom::Path, Diagnostic> {
    let curve = BezPath::from_svg(data).map_err(|e| failed(&e.to_string()))?;
    let mut path = PathBuilder::new();
    let (x, y) = (|p: kurbo::Point| p.x as f32, |p: kurbo::Point| p.y as f32);
    for element in curve {
        match element {
            PathEl::MoveTo(p) => path.move_to(x(p), y(p)),
            PathEl::LineTo(p) => path.line_to(x(p), y(p)),
            PathEl::QuadTo(a, p) => path.quad_to(x(a), y(a), x(p), y(p)),
            PathEl::CurveTo(a, b, p) => path.cubic_to(x(a), y(a), x(b), y(b), x(p), y(p)),
            PathEl::ClosePath => path.close(),
        }
    }
    path.finish().ok_or_else(|| failed("a path without a length"))
}

fn font(weight: Weight) -> Result<Font, Diagnostic> {
    static REGULAR: OnceLock<Option<Font>> = OnceLock::new();
    static BOLD: OnceLock<Option<Font>> = OnceLock::new();
    let kept = match weight {
        Weight::Regular => &REGULAR,
        Weight::Bold => &BOLD,
    };
    let font = kept.get_or_init(|| Font::new(bytes(weight).into(), 0));
    font.clone().ok_or_else(|| failed("its font cannot be read"))
}

fn letters(
    surface: &mut Surface,
    at: Point,
    lettering: &Lettering,
    text: &str,
) -> Result<(), Diagnostic> {
    let Lettering { size, weight, turned, colour, .. } = *lettering;
    surface.set_stroke(None);
    surface.set_fill(Some(fill(colour)));
    let (x, y) = (at.x as f32, at.y as f32);
    // A quarter turn counter-clockwise, y down.
    let place = if turned {
        Transform::from_row(0.0, -1.0, 1.0, 0.0, x, y)
    } else {
        Transform::from_row(1.0, 0.0, 0.0, 1.0, x, y)
    };
    surface.push_transform(&place);
    let start = geom::Point::from_xy(lettering.start(text) as f32, 0.0);
    let (font, size) = (font(weight)?, size as f32);
    let glyphs = set(text, weight).or_else(|| shaped(text, weight)).unwrap_or_default();
    surface.draw_glyphs(start, &glyphs, font, text, size, false);
    surface.pop();
    Ok(())
}

/// The glyphs of a text side by side, as it was measured; `None` for one whose letters change
/// with their neighbours.
fn set(text: &str, weight: Weight) -> Option<Vec<KrillaGlyph>> {
    /// After Latin, Greek and Cyrillic come letters with marks and scripts that join.
    const PLAIN: char = '\u{0530}';
    let is_plain = |c: char| {
        (c < PLAIN && !('\u{0300}'..'\u{0370}').contains(&c))
            || ('\u{2000}'..'\u{2C00}').contains(&c)
    };
    text.char_indices()
        .map(|(at, c)| {
            let (id, advance) = glyph(c, weight).filter(|_| is_plain(c))?;
            let range = at..at + c.len_utf8();
            Some(KrillaGlyph::new(GlyphId::new(id), advance as f32, 0.0, 0.0, 0.0, range, None))
        })
        .collect()
}

/// The glyphs from left to right of a text whose letters join, stack or run from the right.
fn shaped(text: &str, weight: Weight) -> Option<Vec<KrillaGlyph>> {
    let face = rustybuzz::Face::from_slice(bytes(weight), 0)?;
    let em = face.units_per_em() as f32;
    let bidi = BidiInfo::new(text, None);
    let mut glyphs = Vec::new();
    for paragraph in &bidi.paragraphs {
        let (levels, runs) = bidi.visual_runs(paragraph, paragraph.range.clone());
        for run in runs {
            let mut buffer = UnicodeBuffer::new();
            buffer.push_str(&text[run.clone()]);
            buffer.guess_segment_properties();
            let from_right = levels.get(run.start).is_some_and(|level| level.is_rtl());
            buffer.set_direction(match from_right {
                true => Direction::RightToLeft,
                false => Direction::LeftToRight,
            });
            let set = rustybuzz::shape(&face, &[], buffer);
            let starts: BTreeSet<_> = set.glyph_infos().iter().map(|g| g.cluster).collect();
            for (glyph, place) in set.glyph_infos().iter().zip(set.glyph_positions()) {
                // A glyph stands for the text up to where the next one's begins.
                let after = starts.range(glyph.cluster + 1..).next().copied();
                let after = after.map_or(run.end, |c| run.start + c as usize);
                glyphs.push(KrillaGlyph::new(
                    GlyphId::new(glyph.glyph_id),
                    place.x_advance as f32 / em,
                    place.x_offset as f32 / em,
                    place.y_offset as f32 / em,
                    0.0,
                    run.start + glyph.cluster as usize..after,
                    None,
                ));
            }
        }
    }
    Some(glyphs)
}

#[cfg(test)]
mod tests {
    use super::*;
    use krilla::text::Glyph;

    #[test]
    fn letters_from_the_right_stand_in_their_order() {
        let glyphs = shaped("a \u{5D0}\u{5D1}", Weight::Regular).expect("the font");
        let ranges: Vec<_> = glyphs.iter().map(Glyph::text_range).collect();
        assert_eq!(ranges, [0..1, 1..2, 4..6, 2..4]);
    }

    #[test]
    fn only_letters_that_stand_alone_are_set_side_by_side() {
        let side_by_side = |text| set(text, Weight::Bold).map(|glyphs| glyphs.len());
        assert_eq!(side_by_side("Ü ½ → R 3"), Some(9));
        for joined in ["e\u{301}", "\u{5D0}", "\u{627}\u{644}"] {
            assert_eq!(side_by_side(joined), None, "{joined}");
        }
    }
}
