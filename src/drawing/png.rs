//! SVG to PNG, with the one font that the sheets are measured in: the same bytes everywhere.

use crate::diagnostic::Diagnostic;
use resvg::{tiny_skia, usvg};
use std::sync::{Arc, OnceLock};

/// Widest and highest picture, pixels.
const MOST: u32 = 16_384;

/// Renders an SVG at a width in pixels; the height follows. Fonts of the system and pictures
/// named in the SVG are not read.
///
/// # Errors
/// If the width is 0 or over 16,384, if the height would be, or if the text is no SVG.
pub fn png(svg: &str, width_px: u32) -> Result<Vec<u8>, Diagnostic> {
    render(svg, width_px, &options(false))
}

/// The same for an SVG of our own that holds pictures as data; files are not read.
pub(super) fn png_with_pictures(svg: &str, width_px: u32) -> Result<Vec<u8>, Diagnostic> {
    render(svg, width_px, &options(true))
}

fn render(svg: &str, width_px: u32, options: &usvg::Options<'_>) -> Result<Vec<u8>, Diagnostic> {
    if width_px == 0 || width_px > MOST {
        return Err(Diagnostic::error(format!(
            "a picture can not be {width_px} pixels wide; 1 to {MOST} is allowed"
        )));
    }
    let tree = usvg::Tree::from_str(svg, options)
        .map_err(|e| Diagnostic::error(format!("the picture is no good SVG: {e}")))?;
    let scale = width_px as f32 / tree.size().width();
    let height = (tree.size().height() * scale).round().max(1.0);
    if height > MOST as f32 {
        return Err(Diagnostic::error(format!(
            "a picture {width_px} pixels wide would be {height} high; up to {MOST} is allowed"
        ))
        .help("ask for a narrower picture"));
    }
    // Checked above to fit.
    let mut pixels = tiny_skia::Pixmap::new(width_px, height as u32)
        .ok_or_else(|| Diagnostic::error("the picture does not fit in memory"))?;
    resvg::render(&tree, tiny_skia::Transform::from_scale(scale, scale), &mut pixels.as_mut());
    pixels
        .encode_png()
        .map_err(|e| Diagnostic::error(format!("the picture could not be written as PNG: {e}")))
}

/// How texts are read and set: with the sheets' own font, and no file or picture named in them.
pub(crate) fn options(pictures: bool) -> usvg::Options<'static> {
    static FONTS: OnceLock<Arc<usvg::fontdb::Database>> = OnceLock::new();
    let fonts = FONTS.get_or_init(|| {
        let mut fonts = usvg::fontdb::Database::new();
        fonts.load_font_data(dejavu::sans::regular().to_vec());
        fonts.load_font_data(dejavu::sans::bold().to_vec());
        fonts.set_sans_serif_family("DejaVu Sans");
        Arc::new(fonts)
    });
    let no_files = usvg::ImageHrefResolver {
        resolve_data: match pictures {
            true => usvg::ImageHrefResolver::default_data_resolver(),
            false => Box::new(|_, _, _| None),
        },
        resolve_string: Box::new(|_, _| None),
    };
    usvg::Options {
        font_family: "DejaVu Sans".to_string(),
        fontdb: Arc::clone(fonts),
        image_href_resolver: no_files,
        ..usvg::Options::default()
    }
}
