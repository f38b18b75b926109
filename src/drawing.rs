//! Pictures and pages. Pictures of a program are drawn from the events that its text causes,
//! so they show what the text does, not what a plan meant.
//!
//! On paper: millimetres, x to the right, y down. One unit of a sheet's `viewBox` is one
//! millimetre of paper.

mod bend_text;
mod dimension;
mod duration;
mod extents;
mod figures;
mod full_size;
mod hatch;
mod header_text;
mod html;
mod lettering;
mod line_style;
mod palette;
mod path;
mod png;
mod preview;
mod relief;
mod section_picture;
mod setup_sheet;
mod sprung_text;
mod svg;
mod tabs;
mod text_table;
mod trace;
mod view;

pub use bend_text::{advice_words, bend_text};
pub use dimension::{Dimension, dimension_across, dimension_up};
pub use duration::duration;
pub use extents::{Extents, extents, extents_table};
pub use figures::{
    Figure, board_figures, cap_figures, cap_text, figures_text, moulding_figures, ordinates,
    template_figures, traced_figures,
};
pub use full_size::{
    Drawing, Entity, HeaderViews, Layer, Paper, Shape, Tiling, cap_template, dxf, header_drawings,
    pages, pdf, pdf_and_pages,
};
pub use header_text::{HeaderFigures, StickNesting, header_text};
pub use html::escape;
pub use lettering::{Weight, shortened, text_width, wrapped};
pub use line_style::LineStyle;
pub use palette::{Colour, mixed};
pub use path::Path;
pub use png::png;
pub use preview::{PreviewInput, preview, preview_sheet};
pub use relief::{FINER, Mark, ReliefView, relief_png, relief_svg};
pub use section_picture::{SectionPass, SectionPicture, section_picture};
pub use setup_sheet::{CutterRow, FigureTable, ProgramRow, SetupSheet, Touch};
pub use sprung_text::sprung_text;
pub use svg::{Anchor, Lettering, Sheet, TextBox};
pub use tabs::{Tab, tabs};
pub use text_table::paragraph;
pub use trace::{Role, Trace, Traced, trace};
pub use view::{Scale, View};
