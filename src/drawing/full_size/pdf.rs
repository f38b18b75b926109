//! Drawings as PDF: on one sheet of their own size, or on pages to be taped together.

use super::{Drawing, Paper, Tiling, ink};
use crate::diagnostic::Diagnostic;
use crate::drawing::Sheet;
use crate::geometry::{Point, point};
use krilla::geom::{PathBuilder, Rect, Transform};
use krilla::graphic::Graphic;
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla::paint::FillRule;
use krilla::surface::Surface;
use krilla::{Document, SerializeSettings};

/// PDF points in a millimetre: 72 to the inch.
const POINTS: f64 = 72.0 / crate::units::INCH;

/// The drawing on one sheet, one to one.
///
/// # Errors
/// If the sheet is too large or too small for a PDF; never for a header that can be made.
pub fn pdf(drawing: &Drawing) -> Result<Vec<u8>, Diagnostic> {
    on_one(drawing, &drawing.sheet())
}

/// As [`pdf`] and [`pages`], the sheet made only once.
///
/// # Errors
/// As [`pdf`].
pub fn pdf_and_pages(
    drawing: &Drawing,
    paper: Paper,
) -> Result<(Vec<u8>, Option<Vec<u8>>), Diagnostic> {
    let sheet = drawing.sheet();
    Ok((on_one(drawing, &sheet)?, on_pages(drawing, &sheet, paper)?))
}

fn on_one(drawing: &Drawing, sheet: &Sheet) -> Result<Vec<u8>, Diagnostic> {
    let mut document = document(drawing);
    let size = point(sheet.width(), sheet.height());
    let mut page = document.start_page_with(page_settings(size)?);
    let mut surface = page.surface();
    draw_sheet(&mut surface, sheet)?;
    surface.finish();
    page.finish();
    document.finish().map_err(|e| failed(&format!("{e:?}")))
}

/// The drawing on pages of `paper`, after a page with their key plan; `None` where it takes more
/// than 400.
///
/// # Errors
/// As [`pdf`].
pub fn pages(drawing: &Drawing, paper: Paper) -> Result<Option<Vec<u8>>, Diagnostic> {
    on_pages(drawing, &drawing.sheet(), paper)
}

fn on_pages(drawing: &Drawing, sheet: &Sheet, paper: Paper) -> Result<Option<Vec<u8>>, Diagnostic> {
    let Some(tiling) = Tiling::new(point(sheet.width(), sheet.height()), paper) else {
        return Ok(None);
    };
    let mut document = document(drawing);
    let (key, origin, scale) = tiling.key_page(&drawing.title);
    let mut page = document.start_page_with(page_settings(tiling.page)?);
    let mut surface = page.surface();
    // Written once, shown on every page.
    let whole = graphic(&mut surface, sheet)?;
    let every_page = graphic(&mut surface, &tiling.every_page(&drawing.title))?;
    shown(&mut surface, &whole, origin, scale);
    draw_sheet(&mut surface, &key)?;
    surface.finish();
    page.finish();
    for row in 0..tiling.rows {
        for column in 0..tiling.columns {
            let mut page = document.start_page_with(page_settings(tiling.page)?);
            let mut surface = page.surface();
            let window = window(&tiling).ok_or_else(|| failed("the page has no window"))?;
            surface.push_clip_path(&window, &FillRule::NonZero);
            shown(&mut surface, &whole, tiling.corner - tiling.origin(column, row), 1.0);
            surface.pop();
            surface.draw_graphic(every_page.clone());
            draw_sheet(&mut surface, &tiling.frame(&drawing.title, column, row))?;
            surface.finish();
            page.finish();
        }
    }
    document.finish().map(Some).map_err(|e| failed(&format!("{e:?}")))
}

fn document(drawing: &Drawing) -> Document {
    let settings = SerializeSettings { xmp_metadata: false, ..SerializeSettings::default() };
    let mut document = Document::new_with(settings);
    document.set_metadata(Metadata::new().title(drawing.title.clone()));
    document
}

/// A sheet to be shown more than once.
fn graphic(surface: &mut Surface, sheet: &Sheet) -> Result<Graphic, Diagnostic> {
    let mut builder = surface.stream_builder();
    let mut inner = builder.surface();
    draw_sheet(&mut inner, sheet)?;
    inner.finish();
    Ok(Graphic::new(builder.finish(), false))
}

/// The graphic with its upper left corner at `at`, mm.
fn shown(surface: &mut Surface, graphic: &Graphic, at: Point, scale: f64) {
    let (x, y) = (points(at.x), points(at.y));
    surface.push_transform(&Transform::from_row(scale as f32, 0.0, 0.0, scale as f32, x, y));
    surface.draw_graphic(graphic.clone());
    surface.pop();
}

fn window(tiling: &Tiling) -> Option<krilla::geom::Path> {
    let (low, size) = (tiling.corner, tiling.window);
    let mut path = PathBuilder::new();
    path.push_rect(Rect::from_xywh(points(low.x), points(low.y), points(size.x), points(size.y))?);
    path.finish()
}

fn page_settings(size: Point) -> Result<PageSettings, Diagnostic> {
    PageSettings::from_wh(points(size.x), points(size.y))
        .ok_or_else(|| failed(&format!("a page of {} by {} mm", size.x, size.y)))
}

/// A whole sheet, its upper left corner in the surface's.
fn draw_sheet(surface: &mut Surface, sheet: &Sheet) -> Result<(), Diagnostic> {
    let scale = POINTS as f32;
    surface.push_transform(&Transform::from_scale(scale, scale));
    ink::put(surface, sheet)?;
    surface.pop();
    Ok(())
}

/// As a PDF writes lengths.
fn points(mm: f64) -> f32 {
    // A hundred-thousandth of a point is lost, far below what prints.
    (mm * POINTS) as f32
}

pub(super) fn failed(why: &str) -> Diagnostic {
    Diagnostic::error(format!("the drawing could not be written as PDF: {why}"))
}
