//! A sheet cut into pages that a common printer takes: overlap, match marks, check bars, key
//! plan.

use super::furniture::BARS;
use crate::drawing::svg::{Pen, circle, rectangle};
use crate::drawing::{
    Anchor, Colour, Lettering, LineStyle, Path, Sheet, Weight, shortened, text_width,
};
use crate::geometry::{Point, point};

/// What no common printer reaches, at each edge of the page (common practice), mm.
const EDGE: f64 = 10.0;
/// Between that and the window, for the numbers of the pages that join there, mm.
const GUTTER: f64 = 5.0;
/// Under the window, for bars and key plan, mm.
const STRIP: f64 = 26.0;
/// Both neighbours show this much, mm.
const OVERLAP: f64 = 15.0;
/// Size of lettering, mm.
const TEXT: f64 = 3.0;
/// From one check bar to the next, mm.
const BAR_PITCH: f64 = 8.0;
/// Half the length of a match mark's cross, and its circle's radius, mm.
const MARK: (f64, f64) = (5.0, 2.5);
/// A printed drawing of more pages is a mistake.
const MOST_PAGES: usize = 400;
/// Room for the key plan in a page's corner, mm.
const KEY: Point = Point { x: 46.0, y: 20.0 };

/// A size of paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// 8 1/2 by 11 in.
    Letter,
    /// 210 by 297 mm.
    A4,
}

impl Paper {
    /// `letter` or `a4`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Paper::Letter => "letter",
            Paper::A4 => "a4",
        }
    }

    /// Upright, mm.
    #[must_use]
    pub fn size(self) -> Point {
        match self {
            Paper::Letter => point(215.9, 279.4),
            Paper::A4 => point(210.0, 297.0),
        }
    }
}

/// How a sheet lies on pages. Millimetres, from the upper left corner of sheet and page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tiling {
    /// A page, turned as suits the sheet.
    pub page: Point,
    /// Upper left corner of the window on every page.
    pub corner: Point,
    /// Size of the window.
    pub window: Point,
    /// Pages across.
    pub columns: usize,
    /// Pages down.
    pub rows: usize,
    sheet: Point,
}

impl Tiling {
    /// The way of the page that takes fewer pages; `None` where even that takes more than 400.
    #[must_use]
    pub fn new(sheet: Point, paper: Paper) -> Option<Tiling> {
        let upright = paper.size();
        let ways = [upright, point(upright.y, upright.x)].map(|page| on_pages(sheet, page));
        let [a, b] = ways;
        let best = if b.count() < a.count() { b } else { a };
        (best.count() <= MOST_PAGES).then_some(best)
    }

    /// Pages in all, without the key plan's.
    #[must_use]
    pub fn count(&self) -> usize {
        self.columns.saturating_mul(self.rows)
    }

    /// Where the window's upper left corner lies on the sheet.
    #[must_use]
    pub fn origin(&self, column: usize, row: usize) -> Point {
        let step = self.window - point(OVERLAP, OVERLAP);
        self.slack() + point(step.x * column as f64, step.y * row as f64)
    }

    /// The pages reach beyond the sheet, evenly on both sides: negative or zero.
    fn slack(&self) -> Point {
        let all = |count: usize, window: f64| (window - OVERLAP) * count as f64 + OVERLAP;
        let over = point(all(self.columns, self.window.x), all(self.rows, self.window.y));
        (self.sheet - over) * 0.5
    }

    /// What is the same on all pages, the drawing itself apart: of many pages the key would be
    /// drawn as often as its square.
    pub(super) fn every_page(&self, title: &str) -> Sheet {
        let mut sheet = Sheet::new("pages", title, self.page.x, self.page.y);
        sheet.path(rectangle(self.corner, self.corner + self.window), LineStyle::Thin);
        let mut y = self.strip();
        for (length, text) in BARS {
            bar(&mut sheet, point(EDGE, y), length, text);
            y += BAR_PITCH;
        }
        for number in 1..=self.count() {
            self.key_cell(&mut sheet, number, false);
        }
        sheet
    }

    /// What only one page has, over what is on all of them.
    pub(super) fn frame(&self, title: &str, column: usize, row: usize) -> Sheet {
        let number = row * self.columns + column + 1;
        let mut sheet = Sheet::new("page", title, self.page.x, self.page.y);
        self.marks(&mut sheet, column, row);
        self.neighbours(&mut sheet, column, row);
        let words = format!("page {number} of {}: {title}", self.count());
        let room = self.key_corner().x - EDGE - 4.0;
        let words = shortened(&words, TEXT, Weight::Bold, room);
        let y = self.strip() + BAR_PITCH * BARS.len() as f64;
        sheet.text(point(EDGE, y + 3.0), Lettering::new(TEXT).bold(), &words);
        self.key_cell(&mut sheet, number, true);
        sheet
    }

    /// Where the strip under the window begins.
    fn strip(&self) -> f64 {
        self.corner.y + self.window.y + GUTTER + 1.5
    }

    fn key_corner(&self) -> Point {
        point(self.page.x - EDGE - KEY.x, self.strip())
    }

    /// Crosses at the middle of each overlap, at the same places of the sheet on both pages.
    fn marks(&self, sheet: &mut Sheet, column: usize, row: usize) {
        let mut at = Vec::new();
        let along = [0.25, 0.75];
        let (w, half) = (self.window, OVERLAP / 2.0);
        let sides = [(column > 0, half), (column + 1 < self.columns, w.x - half)];
        for (_, x) in sides.into_iter().filter(|(joins, _)| *joins) {
            at.extend(along.map(|share| point(x, w.y * share)));
        }
        let ends = [(row > 0, half), (row + 1 < self.rows, w.y - half)];
        for (_, y) in ends.into_iter().filter(|(joins, _)| *joins) {
            at.extend(along.map(|share| point(w.x * share, y)));
        }
        for middle in at.into_iter().map(|p| p + self.corner) {
            let mut path = circle(middle, MARK.1);
            for arm in [point(MARK.0, 0.0), point(0.0, MARK.0)] {
                path.move_to(middle - arm);
                path.line_to(middle + arm);
            }
            sheet.stroke(path, &Pen::style(LineStyle::Thin, Colour::VERMILION));
        }
    }

    /// In the gutter: which page joins on each side.
    fn neighbours(&self, sheet: &mut Sheet, column: usize, row: usize) {
        let (low, high) = (self.corner, self.corner + self.window);
        let middle = (low + high) * 0.5;
        let level = Lettering::new(TEXT).anchored(Anchor::Middle);
        let page = |c: usize, r: usize| format!("joins page {}", r * self.columns + c + 1);
        if column > 0 {
            sheet.text(point(low.x - 1.5, middle.y), level.turned(), &page(column - 1, row));
        }
        if column + 1 < self.columns {
            sheet.text(point(high.x + 3.8, middle.y), level.turned(), &page(column + 1, row));
        }
        if row > 0 {
            sheet.text(point(middle.x, low.y - 1.5), level, &page(column, row - 1));
        }
        if row + 1 < self.rows {
            sheet.text(point(middle.x, high.y + 3.8), level, &page(column, row + 1));
        }
    }

    /// A page of the key, all of them small, with its number where it fits; `here` fills it.
    fn key_cell(&self, sheet: &mut Sheet, number: usize, here: bool) {
        let whole = point(self.window.x * self.columns as f64, self.window.y * self.rows as f64);
        let scale = (KEY.x / whole.x).min(KEY.y / whole.y);
        let cell = self.window * scale;
        let widest = text_width(&self.count().to_string(), 1.0, Weight::Regular);
        let size = (0.6 * cell.y).min(0.8 * cell.x / widest).min(TEXT);
        let (column, row) = ((number - 1) % self.columns, (number - 1) / self.columns);
        let low = self.key_corner() + point(cell.x * column as f64, cell.y * row as f64);
        if here {
            sheet.fill_box(low, low + cell, Colour::BLACK);
        }
        sheet.path(rectangle(low, low + cell), LineStyle::Thin);
        let ink = if here { Colour::WHITE } else { Colour::BLACK };
        // Smaller figures are not read.
        if size >= 1.4 {
            let middle = low + cell * 0.5 + point(0.0, size * 0.36);
            let lettering = Lettering::new(size).anchored(Anchor::Middle).coloured(ink);
            sheet.text(middle, lettering, &number.to_string());
        }
    }

    /// The first page: the whole sheet small, with the pages' edges and numbers. Tells where the
    /// sheet's upper left corner lies on it, and its scale.
    pub(super) fn key_page(&self, title: &str) -> (Sheet, Point, f64) {
        let mut sheet = Sheet::new("key", title, self.page.x, self.page.y);
        let corner = point(EDGE + GUTTER, EDGE + 28.0);
        let room = self.page - corner - point(EDGE + GUTTER, EDGE + 10.0);
        let all = self.origin(self.columns - 1, self.rows - 1) + self.window - self.slack();
        let scale = (room.x / all.x).min(room.y / all.y).min(1.0);
        let origin = corner - self.slack() * scale;
        let lines = [
            format!("{title}: key to {} pages", self.count()),
            "Print without fitting to the page (\"actual size\"), then check both bars with a rule."
                .to_string(),
            "Lay the pages so that the crosses of two neighbours cover each other, and tape them."
                .to_string(),
        ];
        let mut y = EDGE + 6.0;
        for (i, line) in lines.iter().enumerate() {
            let weight = if i == 0 { Weight::Bold } else { Weight::Regular };
            let lettering = Lettering { weight, ..Lettering::new(3.5) };
            let line = shortened(line, 3.5, weight, self.page.x - 2.0 * (EDGE + GUTTER));
            sheet.text(point(EDGE + GUTTER, y), lettering, &line);
            y += 6.0;
        }
        for row in 0..self.rows {
            for column in 0..self.columns {
                let low = origin + self.origin(column, row) * scale;
                let high = low + self.window * scale;
                let pen = Pen::style(LineStyle::Thin, Colour::VERMILION);
                sheet.stroke(rectangle(low, high), &pen);
                let number = (row * self.columns + column + 1).to_string();
                let size = (0.25 * self.window.y * scale).clamp(1.0, 8.0);
                let lettering = Lettering::new(size)
                    .bold()
                    .anchored(Anchor::Middle)
                    .coloured(Colour::VERMILION);
                sheet.text((low + high) * 0.5 + point(0.0, size * 0.36), lettering, &number);
            }
        }
        let under = self.page.y - EDGE - 4.0;
        bar(&mut sheet, point(EDGE + GUTTER, under), BARS[0].0, BARS[0].1);
        (sheet, origin, scale)
    }
}

fn on_pages(sheet: Point, page: Point) -> Tiling {
    let window = page - point(2.0 * (EDGE + GUTTER), 2.0 * (EDGE + GUTTER) + STRIP);
    let count = |length: f64, window: f64| {
        // At least one; a float that is not finite or too large saturates.
        (((length - OVERLAP) / (window - OVERLAP)).ceil().max(1.0)) as usize
    };
    Tiling {
        page,
        corner: point(EDGE + GUTTER, EDGE + GUTTER),
        window,
        columns: count(sheet.x, window.x),
        rows: count(sheet.y, window.y),
        sheet,
    }
}

/// A check bar in four fields, its upper left corner at `at`.
fn bar(sheet: &mut Sheet, at: Point, length: f64, text: &str) {
    let height = 3.0;
    sheet.path(rectangle(at, at + point(length, height)), LineStyle::Thin);
    for field in [0.0, 0.5] {
        let low = at + point(length * field, 0.0);
        let mut path = Path::new();
        path.move_to(low);
        path.line_to(low + point(length / 4.0, 0.0));
        path.line_to(low + point(length / 4.0, height));
        path.line_to(low + point(0.0, height));
        path.close();
        sheet.fill(path, Colour::BLACK);
    }
    // Only the length: the whole sentence stands on the drawing.
    let words = text.split(" exactly").next().unwrap_or(text);
    let lettering = Lettering::new(TEXT);
    sheet.text(at + point(length + 2.0, height - 0.3), lettering, words);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lettering_of_every_page_is_free_and_on_the_page() {
        for paper in [Paper::Letter, Paper::A4] {
            for size in [point(150.0, 90.0), point(1210.0, 385.0), point(400.0, 2600.0)] {
                let tiling = Tiling::new(size, paper).expect("few pages");
                let mut sheets = vec![tiling.key_page("Cap, true template").0];
                for row in 0..tiling.rows {
                    sheets.extend(
                        (0..tiling.columns).map(|c| tiling.frame("Cap, true template", c, row)),
                    );
                }
                let shared = tiling.every_page("Cap, true template");
                // In the key a page writes its own number over the shared one.
                for a in sheets[1..].iter().flat_map(Sheet::texts) {
                    let over = shared.texts().iter().find(|b| a.overlaps(b) && a != *b);
                    assert_eq!(over, None, "{paper:?} {size:?}: {a:?}");
                }
                sheets.push(shared);
                for sheet in sheets {
                    for (i, a) in sheet.texts().iter().enumerate() {
                        let inside = a.low.x >= 6.0
                            && a.low.y >= 6.0
                            && a.high.x <= sheet.width() - 6.0
                            && a.high.y <= sheet.height() - 6.0;
                        assert!(inside, "{paper:?} {size:?}: {a:?} leaves the page");
                        let over = sheet.texts()[i + 1..].iter().find(|b| a.overlaps(b));
                        assert_eq!(over, None, "{paper:?} {size:?}: {a:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn windows_cover_the_sheet_and_overlap() {
        let sheet = point(1210.0, 385.0);
        let tiling = Tiling::new(sheet, Paper::A4).expect("few pages");
        let first = tiling.origin(0, 0);
        let last = tiling.origin(tiling.columns - 1, tiling.rows - 1) + tiling.window;
        assert!(first.x <= 0.0 && first.y <= 0.0 && last.x >= sheet.x && last.y >= sheet.y);
        let joint = tiling.origin(0, 0).x + tiling.window.x - tiling.origin(1, 0).x;
        assert!((joint - OVERLAP).abs() < 1e-9);
        assert_eq!(Tiling::new(point(1e5, 1e5), Paper::A4), None);
    }
}
