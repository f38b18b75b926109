//! Pictures of a relief with captions: shaded, and what differs between two.

mod difference;

use super::html::escape;
use super::png::png_with_pictures;
use crate::diagnostic::Diagnostic;
use crate::geometry::{HeightField, Point};
use crate::relief;
use crate::units::Unit;
use base64::Engine;
use image::codecs::png::PngEncoder;
use image::{ExtendedColorType, ImageEncoder};

/// Cells to a pixel each way: their mean is shown, so that edges are clean.
pub const FINER: usize = 2;

/// Height of a caption's letters, as a share of the sheet's width; of the columns' mean width twice
/// as much, for they are narrow.
const LETTERS: f64 = 0.016;

/// Height of a line of a caption, in letters.
const STRIP: f64 = 1.9;

/// Mean width of a letter, in heights: DejaVu Sans, measured on captions, rounded up.
const LETTER: f64 = 0.62;

/// Pictures no longer than this many times their height stand side by side.
const LONG: f64 = 1.6;

/// Least width and height of a mark, as a share of the picture's width.
const MARK: f64 = 0.012;

/// A place that a picture points out.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// Corners of its box, as shares of the picture's width and height from the lower left.
    pub low: Point,
    /// The other corner.
    pub high: Point,
    /// Dashed, to be told from others without colour.
    pub dashed: bool,
}

/// One picture and its caption.
#[derive(Clone, Debug, PartialEq)]
pub struct ReliefView {
    /// Below it.
    pub caption: String,
    /// Width and height, pixels.
    pub size: [u32; 2],
    /// Red, green and blue of each pixel, the top row first.
    pub pixels: Vec<u8>,
    /// Places that it points out.
    pub marks: Vec<Mark>,
    /// The unit of the legend, if its colours are those of differences.
    pub legend: Option<Unit>,
}

impl ReliefView {
    /// A field in light from the upper left, [`FINER`] cells to a pixel.
    #[must_use]
    pub fn shaded(field: &HeightField, caption: impl Into<String>) -> ReliefView {
        let grey = relief::shade(field);
        let pixels: Vec<[u8; 3]> = grey.into_iter().map(wood).collect();
        ReliefView::of(field, &pixels, caption.into())
    }

    /// Where a field as it is cut differs from what was designed, on the same grid; `known` is the
    /// cell, mm, on which the cut was worked out.
    #[must_use]
    pub fn difference(
        designed: &HeightField,
        cut: &HeightField,
        known: f64,
        unit: Unit,
    ) -> ReliefView {
        // A few cells: one of the cut's.
        let reach = (known / designed.cell()).ceil().clamp(1.0, 100.0) as usize;
        let cells = difference::colours(designed, cut, reach);
        let caption = format!("difference in height, {}", unit.name());
        ReliefView { legend: Some(unit), ..ReliefView::of(designed, &cells, caption) }
    }

    /// With places pointed out.
    #[must_use]
    pub fn marked(self, marks: Vec<Mark>) -> ReliefView {
        ReliefView { marks, ..self }
    }

    fn of(field: &HeightField, cells: &[[u8; 3]], caption: String) -> ReliefView {
        let columns = field.columns();
        let (wide, high) = ((columns / FINER).max(1), (field.rows() / FINER).max(1));
        let mut pixels = Vec::with_capacity(3 * wide * high);
        for y in 0..high {
            for x in 0..wide {
                for channel in 0..3 {
                    pixels.push(mean(cells, columns, x, y, channel));
                }
            }
        }
        // A field has fewer cells each way than a picture may have pixels.
        let size = [wide as u32, high as u32];
        ReliefView { caption, size, pixels, marks: Vec::new(), legend: None }
    }

    fn png(&self) -> Result<Vec<u8>, Diagnostic> {
        let mut bytes = Vec::new();
        PngEncoder::new(&mut bytes)
            .write_image(&self.pixels, self.size[0], self.size[1], ExtendedColorType::Rgb8)
            .map_err(|e| Diagnostic::error(format!("the picture could not be written: {e}")))?;
        Ok(bytes)
    }
}

/// Mean of the cells of a pixel.
fn mean(cells: &[[u8; 3]], columns: usize, x: usize, y: usize, channel: usize) -> u8 {
    let (mut sum, mut count) = (0u32, 0u32);
    for j in y * FINER..(y + 1) * FINER {
        for i in x * FINER..(x + 1) * FINER {
            if let Some(cell) = cells.get(j * columns + i) {
                sum += u32::from(cell[channel]);
                count += 1;
            }
        }
    }
    (sum / count.max(1)) as u8
}

/// Grey as the colour of pale wood in that light.
fn wood(grey: u8) -> [u8; 3] {
    let g = f64::from(grey) / 255.0;
    // From umber to cream: darks keep some red, lights some yellow.
    [g.powf(0.86), g.powf(1.0), g.powf(1.22)].map(|c| (c * 255.0).round() as u8)
}

/// Pictures over their captions, side by side or one below the other, as an SVG that holds them.
///
/// # Errors
/// If a picture can not be encoded.
pub fn relief_svg(views: &[ReliefView]) -> Result<String, Diagnostic> {
    let beside = views.iter().all(|v| f64::from(v.size[0]) < LONG * f64::from(v.size[1]));
    let width = sheet_width(views);
    let count = if beside { views.len().max(1) as f64 } else { 1.0 };
    let columns = if beside { 2.0 } else { 1.0 };
    let letters = LETTERS * columns * f64::from(width) / count;
    let (mut body, mut x, mut y, mut total) = (String::new(), 0.0, 0.0, 0.0_f64);
    for view in views {
        let high = draw(&mut body, view, (x, y), f64::from(width), letters)?;
        total = total.max(y + high);
        match beside {
            true => x += f64::from(view.size[0]),
            false => y += high,
        }
    }
    Ok(format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{total}\" \
         viewBox=\"0 0 {width} {total}\">\n<rect width=\"100%\" height=\"100%\" fill=\"#ffffff\"/>\n\
         {body}</svg>\n"
    ))
}

fn sheet_width(views: &[ReliefView]) -> u32 {
    let beside = views.iter().all(|v| f64::from(v.size[0]) < LONG * f64::from(v.size[1]));
    let widths = views.iter().map(|v| v.size[0]);
    let width = if beside { widths.sum() } else { widths.max().unwrap_or(1) };
    width.max(1)
}

/// One view; gives its height with the words below it.
fn draw(
    svg: &mut String,
    view: &ReliefView,
    (x, y): (f64, f64),
    width: f64,
    letters: f64,
) -> Result<f64, Diagnostic> {
    let data = base64::engine::general_purpose::STANDARD.encode(view.png()?);
    let [wide, high] = view.size.map(f64::from);
    svg.push_str(&format!(
        "<image x=\"{x}\" y=\"{y}\" width=\"{wide}\" height=\"{high}\" \
         href=\"data:image/png;base64,{data}\"/>\n"
    ));
    for mark in &view.marks {
        // A place of no size is still to be seen.
        let middle = (mark.low + mark.high) * 0.5;
        let least = MARK * wide;
        let w = ((mark.high.x - mark.low.x) * wide + least).max(2.0 * least);
        let h = ((mark.high.y - mark.low.y) * high + least).max(2.0 * least);
        let dashes = if mark.dashed { " stroke-dasharray=\"6 4\"" } else { "" };
        // Vermilion on white, so that it shows on light and shade alike.
        for (colour, line) in [("#ffffff", 4.0), ("#d55e00", 2.0)] {
            svg.push_str(&format!(
                "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"{w:.1}\" height=\"{h:.1}\" fill=\"none\" \
                 stroke=\"{colour}\" stroke-width=\"{:.1}\"{dashes}/>\n",
                x + middle.x * wide - w / 2.0,
                y + (1.0 - middle.y) * high - h / 2.0,
                line * width / 2000.0
            ));
        }
    }
    let strip = (STRIP * letters).round();
    let mut text = |x: f64, y: f64, words: &str| {
        svg.push_str(&format!(
            "<text x=\"{x:.1}\" y=\"{y:.1}\" font-family=\"DejaVu Sans, sans-serif\" \
             font-size=\"{letters:.1}\" fill=\"#000000\">{}</text>\n",
            escape(words)
        ));
    };
    let lines = wrapped(&view.caption, (wide - strip) / (LETTER * letters));
    for (k, line) in lines.iter().enumerate() {
        text(x + strip / 2.0, y + high + strip * (k as f64 + 0.68), line);
    }
    let under = high + strip * lines.len() as f64;
    let Some(unit) = view.legend else { return Ok(under + strip / 4.0) };
    let classes: Vec<_> = difference::legend(unit).collect();
    // In rows of as many as have room for their words.
    let longest = classes.iter().map(|(_, words)| words.chars().count()).max().unwrap_or(0);
    let room = longest as f64 * LETTER * letters + 1.4 * strip;
    let per = ((wide / room) as usize).clamp(1, classes.len());
    let step = (wide - strip) / per as f64;
    let place = |k: usize| {
        let (column, row) = (k % per, k / per);
        (x + strip / 2.0 + step * column as f64, y + under + strip * row as f64)
    };
    for (k, (_, words)) in classes.iter().enumerate() {
        let (x, y) = place(k);
        text(x + 0.9 * strip, y + 0.68 * strip, words);
    }
    for (k, (colour, _)) in classes.iter().enumerate() {
        let (x, y) = place(k);
        svg.push_str(&format!(
            "<rect x=\"{x:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"{:.1}\" fill=\"{colour}\" \
             stroke=\"#000000\" stroke-width=\"{:.2}\"/>\n",
            y + 0.15 * strip,
            0.7 * strip,
            0.7 * strip,
            strip / 60.0
        ));
    }
    Ok(under + strip * (0.25 + classes.len().div_ceil(per) as f64))
}

/// Words in lines of at most so many letters; a longer word has a line of its own.
fn wrapped(words: &str, letters: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words.split_whitespace() {
        match lines.last_mut() {
            Some(line) if ((line.chars().count() + 1 + word.chars().count()) as f64) <= letters => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_string()),
        }
    }
    lines
}

/// The same as PNG, one pixel to a pixel.
///
/// # Errors
/// If a picture can not be encoded or drawn.
pub fn relief_png(views: &[ReliefView]) -> Result<Vec<u8>, Diagnostic> {
    png_with_pictures(&relief_svg(views)?, sheet_width(views))
}
