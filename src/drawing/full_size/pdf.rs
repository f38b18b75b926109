//! Drawings as PDF: on one sheet of their own size, or on pages to be taped together.

use super::{Drawing, Paper, Tiling};
use crate::diagnostic::Diagnostic;
use crate::drawing::{Sheet, png};
use crate::geometry::{Point, point};
use krilla::geom::{PathBuilder, Rect, Size, Transform};
use krilla::graphic::Graphic;
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla::paint::FillRule;
use krilla::surface::Surface;
use krilla::{Document, SerializeSettings};
use krilla_svg::{SurfaceExt, SvgSettings};
use resvg::usvg;

/// PDF points in a millimetre: 72 to the inch.
const POINTS: f64 = 72.0 / crate::units::INCH;

/// The drawing on one sheet, one to one.
///
/// # Errors
/// If the sheet is too large or too small for a PDF; never for a header that can be made.
pub fn pdf(drawing: &Drawing) -> Result<Vec<u8>, Diagnostic> {
    let sheet = drawing.sheet();
    on_one(drawing, &sheet, &tree(&sheet)?)
}

/// As [`pdf`] and [`pages`], the sheet read only once.
///
/// # Errors
/// As [`pdf`].
pub fn pdf_and_pages(
    drawing: &Drawing,
    paper: Paper,
) -> Result<(Vec<u8>, Option<Vec<u8>>), Diagnostic> {
    let sheet = drawing.sheet();
    let tree = tree(&sheet)?;
    Ok((on_one(drawing, &sheet, &tree)?, on_pages(drawing, &sheet, &tree, paper)?))
}

fn on_one(drawing: &Drawing, sheet: &Sheet, tree: &usvg::Tree) -> Result<Vec<u8>, Diagnostic> {
    let mut document = document(drawing);
    let size = point(sheet.width(), sheet.height());
    let mut page = document.start_page_with(page_settings(size)?);
    let mut surface = page.surface();
    draw_tree(&mut surface, sheet, tree)?;
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
    let sheet = drawing.sheet();
    on_pages(drawing, &sheet, &tree(&sheet)?, paper)
}

fn on_pages(
    drawing: &Drawing,
    sheet: &Sheet,
    tree: &usvg::Tree,
    paper: Paper,
) -> Result<Option<Vec<u8>>, Diagnostic> {
    let Some(tiling) = Tiling::new(point(sheet.width(), sheet.height()), paper) else {
        return Ok(None);
    };
    let mut document = document(drawing);
    let (key, origin, scale) = tiling.key_page(&drawing.title);
    let mut page = document.start_page_with(page_settings(tiling.page)?);
    let mut surface = page.surface();
    // Written once, shown on every page.
    let whole = graphic(&mut surface, sheet, tree)?;
    let frame = tiling.every_page(&drawing.title);
    let every_page = graphic(&mut surface, &frame, &self::tree(&frame)?)?;
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
fn graphic(surface: &mut Surface, sheet: &Sheet, tree: &usvg::Tree) -> Result<Graphic, Diagnostic> {
    let mut builder = surface.stream_builder();
    let mut inner = builder.surface();
    draw_tree(&mut inner, sheet, tree)?;
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

/// Without the paper's white: pages lie over drawings.
fn tree(sheet: &Sheet) -> Result<usvg::Tree, Diagnostic> {
    usvg::Tree::from_str(&sheet.overlay_svg(), &png::options(false))
        .map_err(|e| failed(&e.to_string()))
}

fn draw_sheet(surface: &mut Surface, sheet: &Sheet) -> Result<(), Diagnostic> {
    draw_tree(surface, sheet, &tree(sheet)?)
}

fn draw_tree(surface: &mut Surface, sheet: &Sheet, tree: &usvg::Tree) -> Result<(), Diagnostic> {
    let size = Size::from_wh(points(sheet.width()), points(sheet.height()))
        .ok_or_else(|| failed("a sheet without a size"))?;
    surface
        .draw_svg(tree, size, SvgSettings::default())
        .ok_or_else(|| failed("a drawing that cannot be shown"))
}

/// As a PDF writes lengths.
fn points(mm: f64) -> f32 {
    // A hundred-thousandth of a point is lost, far below what prints.
    (mm * POINTS) as f32
}

fn failed(why: &str) -> Diagnostic {
    Diagnostic::error(format!("the drawing could not be written as PDF: {why}"))
}
