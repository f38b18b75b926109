//! A grey picture as heights: PNG or TIFF of 8 or 16 bits.

use super::Grid;
use crate::diagnostic::Diagnostic;
use crate::geometry::{HeightField, point};
use image::{DynamicImage, ImageError, ImageReader, Limits};
use std::io::Cursor;

/// Widest and highest picture, pixels: the largest field worked on.
const MOST: u32 = 40_000;

/// Memory that a picture may take, bytes: a picture of that many pixels in 16 bits.
const MOST_BYTES: u64 = 1 << 30;

/// How a picture is read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PictureUse {
    /// Width that it is given, mm; the height follows.
    pub width: f64,
    /// From its lowest to its highest grey, mm.
    pub depth: f64,
    /// Whether white is high; else black is.
    pub white_high: bool,
    /// Height goes as the grey value (0 to 1) to this power: 1 for pictures of heights, 2.2 for
    /// greys that were encoded for a screen.
    pub gamma: f64,
    /// Smoothing against the stairs of few grey levels: the standard deviation of a Gaussian, in
    /// pixels; 0 for none.
    pub smoothing: f64,
}

/// A picture as heights about the origin.
///
/// # Errors
/// What is wrong with the file, named `name`, or that a value of `how` is not allowed.
pub fn picture_field(name: &str, bytes: &[u8], how: &PictureUse) -> Result<Grid, Diagnostic> {
    let grey = decode(name, bytes)?;
    let (columns, rows) = (grey.width() as usize, grey.height() as usize);
    let mut heights: Vec<f32> = grey
        .pixels()
        .map(|p| {
            let value = f64::from(p.0[0]) / f64::from(u16::MAX);
            let value = if how.white_high { value } else { 1.0 - value };
            (value.powf(how.gamma) * how.depth) as f32
        })
        .collect();
    if how.smoothing > 0.0 {
        smooth(&mut heights, columns, rows, how.smoothing);
    }
    let cell = how.width / columns as f64;
    let size = point(how.width, rows as f64 * cell);
    let mut field = HeightField::new(size * -0.5, size, cell, 0.0)
        .map_err(|e| Diagnostic::error(format!("{name}: {e}")))?;
    let stride = field.stride();
    let from_bottom = heights.chunks_exact(columns).rev();
    for (row, given) in field.raw_mut().chunks_exact_mut(stride).zip(from_bottom) {
        row[..columns].copy_from_slice(given);
    }
    Ok(Grid::new(field, true))
}

fn decode(
    name: &str,
    bytes: &[u8],
) -> Result<image::ImageBuffer<image::Luma<u16>, Vec<u16>>, Diagnostic> {
    let wrong = |why: &str| {
        Diagnostic::error(format!("{name}: {why}")).help("give a grey PNG or TIFF of 8 or 16 bits")
    };
    let unknown = "is neither a PNG nor a TIFF";
    let mut reader =
        ImageReader::new(Cursor::new(bytes)).with_guessed_format().map_err(|_| wrong(unknown))?;
    if reader.format().is_none() {
        return Err(wrong(unknown));
    }
    let mut limits = Limits::default();
    limits.max_image_width = Some(MOST);
    limits.max_image_height = Some(MOST);
    limits.max_alloc = Some(MOST_BYTES);
    reader.limits(limits);
    let picture = reader.decode().map_err(|e| wrong(&trouble(&e)))?;
    match picture {
        DynamicImage::ImageLuma8(_)
        | DynamicImage::ImageLuma16(_)
        | DynamicImage::ImageLumaA8(_)
        | DynamicImage::ImageLumaA16(_) => Ok(picture.to_luma16()),
        _ => Err(Diagnostic::error(format!("{name}: the picture is in colour, not grey"))
            .help("save it as grey; 16 bits keep slopes free of stairs")),
    }
}

/// Why a picture of a known kind can not be read.
fn trouble(why: &ImageError) -> String {
    match why {
        ImageError::Limits(_) => {
            format!("is wider or higher than {MOST} pixels, or takes more than 1 GiB")
        }
        ImageError::Unsupported(why) => format!("holds what is not read here ({why})"),
        damaged => format!("is damaged or cut short ({damaged})"),
    }
}

/// Smooths by a Gaussian of standard deviation `sigma`, first along rows, then along columns; the
/// outermost values are repeated outside.
fn smooth(heights: &mut [f32], columns: usize, rows: usize, sigma: f64) {
    // Three deviations hold all but a three-hundredth of the weight.
    let reach = (3.0 * sigma).ceil() as i64;
    let weights: Vec<f64> =
        (-reach..=reach).map(|k| (-0.5 * (k as f64 / sigma).powi(2)).exp()).collect();
    let total: f64 = weights.iter().sum();
    let mut blur = |count: usize, at: &dyn Fn(usize, usize) -> usize, lines: usize| {
        let mut line = vec![0.0_f64; count];
        for l in 0..lines {
            for (k, value) in line.iter_mut().enumerate() {
                *value = f64::from(heights[at(l, k)]);
            }
            for k in 0..count {
                let sum: f64 = weights
                    .iter()
                    .zip(-reach..)
                    .map(|(w, d)| w * line[(k as i64 + d).clamp(0, count as i64 - 1) as usize])
                    .sum();
                heights[at(l, k)] = (sum / total) as f32;
            }
        }
    };
    blur(columns, &|row, k| row * columns + k, rows);
    blur(rows, &|column, k| k * columns + column, columns);
}
