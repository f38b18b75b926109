//! Shaded pictures of a relief, with captions.

use super::html::escape;
use super::png::png_with_pictures;
use crate::diagnostic::Diagnostic;
use crate::geometry::HeightField;
use crate::relief;
use base64::Engine;
use image::codecs::png::PngEncoder;
use image::{ExtendedColorType, ImageEncoder};

/// Cells to a pixel each way: their mean is shown, so that edges are clean.
pub const FINER: usize = 2;

/// Height of a caption's strip and of its letters, as shares of the picture's width.
const STRIP: f64 = 0.030;
const LETTERS: f64 = 0.016;

/// One picture and its caption.
#[derive(Clone, Debug, PartialEq)]
pub struct ReliefView {
    /// Below it.
    pub caption: String,
    /// Width and height, pixels.
    pub size: [u32; 2],
    /// Red, green and blue of each pixel, the top row first.
    pub pixels: Vec<u8>,
}

impl ReliefView {
    /// A field in light from the upper left, [`FINER`] cells to a pixel.
    #[must_use]
    pub fn shaded(field: &HeightField, caption: impl Into<String>) -> ReliefView {
        let grey = relief::shade(field);
        let pixels: Vec<[u8; 3]> = grey.into_iter().map(wood).collect();
        ReliefView::of(field, &pixels, caption.into())
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
        ReliefView { caption, size: [wide as u32, high as u32], pixels }
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

/// Pictures one below the other, each over its caption, as an SVG that holds them.
///
/// # Errors
/// If a picture can not be encoded.
pub fn relief_svg(views: &[ReliefView]) -> Result<String, Diagnostic> {
    let width = views.iter().map(|v| v.size[0]).max().unwrap_or(1);
    let strip = (f64::from(width) * STRIP).round();
    let letters = f64::from(width) * LETTERS;
    let total: f64 = views.iter().map(|v| f64::from(v.size[1]) + strip).sum();
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{total}\" \
         viewBox=\"0 0 {width} {total}\">\n<rect width=\"100%\" height=\"100%\" fill=\"#ffffff\"/>\n"
    );
    let mut y = 0.0;
    for view in views {
        let data = base64::engine::general_purpose::STANDARD.encode(view.png()?);
        let [wide, high] = view.size;
        svg.push_str(&format!(
            "<image x=\"0\" y=\"{y}\" width=\"{wide}\" height=\"{high}\" \
             href=\"data:image/png;base64,{data}\"/>\n"
        ));
        y += f64::from(high) + strip;
        svg.push_str(&format!(
            "<text x=\"{:.1}\" y=\"{:.1}\" font-family=\"DejaVu Sans, sans-serif\" \
             font-size=\"{letters:.1}\" fill=\"#000000\">{}</text>\n",
            strip / 2.0,
            y - 0.32 * strip,
            escape(&view.caption)
        ));
    }
    svg.push_str("</svg>\n");
    Ok(svg)
}

/// The same as PNG, one pixel to a pixel.
///
/// # Errors
/// If a picture can not be encoded or drawn.
pub fn relief_png(views: &[ReliefView]) -> Result<Vec<u8>, Diagnostic> {
    let width = views.iter().map(|v| v.size[0]).max().unwrap_or(1);
    png_with_pictures(&relief_svg(views)?, width)
}
