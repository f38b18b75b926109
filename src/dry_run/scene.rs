//! The setup, worked out once before the text is read.

use super::setup::Setup;
use super::words::OffsetLines;
use crate::geometry::{Point, Point3, point3};
use crate::ngc;
use crate::shop::{Cutter, CuttingData};

/// Columns at most: 16 MB of heights.
const MOST_COLUMNS: f64 = 4.0e6;

/// Columns across the smallest cutter: fine enough that a stripe of its middle holds several.
const COLUMNS_PER_RADIUS: f64 = 4.0;

/// Finest grid, mm: no wood is cut truer.
const FINEST: f64 = 0.1;

/// The setup with what follows from it.
pub(super) struct Scene<'s> {
    pub(super) setup: &'s Setup<'s>,
    /// Height of the stock's top.
    pub(super) top: f64,
    /// Height at which the cutter may travel freely.
    pub(super) safe: f64,
    /// Lowest the tip may go; `None` without a stock.
    pub(super) lowest: Option<f64>,
    /// Size of a column of the grid, mm.
    pub(super) cell: f64,
    /// G words of the lines that matter to offsets.
    pub(super) words: OffsetLines,
    /// What the figures rest on.
    pub(super) notes: Vec<String>,
}

impl<'s> Scene<'s> {
    pub(super) fn new(setup: &'s Setup<'s>, text: &str) -> Scene<'s> {
        let top = setup.stock.map_or(0.0, |stock| stock.max.z);
        let mut scene = Scene {
            setup,
            top,
            safe: top + setup.machine.safe_height.0,
            lowest: setup.stock.map(|stock| stock.min.z - setup.permitted_overcut),
            cell: FINEST,
            words: OffsetLines::of(text),
            notes: Vec::new(),
        };
        scene.cell = scene.fit_cell(text);
        scene.write_notes();
        scene
    }

    /// Stock in plan: least and greatest corner.
    pub(super) fn plan(&self) -> Option<(Point, Point)> {
        self.setup.stock.map(|stock| (stock.min.xy(), stock.max.xy()))
    }

    pub(super) fn cutter(&self, number: u32) -> Option<&'s Cutter> {
        self.setup.cutters.iter().find(|c| c.number == number)
    }

    pub(super) fn limits(&self, number: u32) -> Option<&'s CuttingData> {
        self.setup.limits.iter().find(|l| l.cutter == number)
    }

    /// What the reader of the text is told.
    pub(super) fn reading(&self, skipping: bool) -> ngc::Options {
        let mut options = ngc::Options { block_delete: skipping, ..ngc::Options::default() };
        if let Some(zero) = self.setup.machine_zero
            && let Some(origin) =
                options.origins.get_mut(usize::from(self.setup.work_offset.0).wrapping_sub(1))
        {
            *origin = Some(zero);
        }
        options
    }

    /// The work's zero in machine coordinates, if known.
    pub(super) fn zero(&self) -> Option<Point3> {
        self.setup.machine_zero
    }

    /// How far the axes travel.
    pub(super) fn travel(&self) -> Point3 {
        let [x, y, z] = self.setup.machine.travel;
        point3(x.0, y.0, z.0)
    }

    fn fit_cell(&self, text: &str) -> f64 {
        let Some((min, max)) = self.plan() else { return FINEST };
        let named = cutters_named(text);
        let used =
            |c: &&Cutter| named.contains(&c.number) || self.setup.default_cutter == Some(c.number);
        let smallest = self
            .setup
            .cutters
            .iter()
            .filter(used)
            .map(Cutter::radius)
            .fold(f64::INFINITY, f64::min);
        let wanted = match smallest.is_finite() {
            true => (smallest / COLUMNS_PER_RADIUS).max(FINEST),
            // No cutter is known: the grid only tells cut from uncut. 1 mm does.
            false => 1.0,
        };
        let area = (max.x - min.x).max(0.0) * (max.y - min.y).max(0.0);
        wanted.max((area / MOST_COLUMNS).sqrt())
    }

    fn write_notes(&mut self) {
        match self.setup.stock {
            None => self.notes.push(
                "no stock was given: z = 0 is taken as its top, everywhere, and depth, stepdown, \
                 flute length and holder are not judged"
                    .to_string(),
            ),
            Some(_) => self.notes.push(format!(
                "columns of {:.2} mm: wood narrower than that is not seen",
                self.cell
            )),
        }
        if self.setup.machine_zero.is_none() {
            self.notes.push(
                "the work zero is not known in machine coordinates: travel is judged by size only"
                    .to_string(),
            );
        }
        if self.setup.limits.is_empty() {
            self.notes.push("no feeds, speeds and depths for a species were given".to_string());
        }
    }
}

/// Every number that follows a T outside comments: the cutters that a program may use, read
/// loosely, for choosing the grid only.
fn cutters_named(text: &str) -> Vec<u32> {
    let mut found = Vec::new();
    let mut comment = false;
    let mut number: Option<u32> = None;
    for byte in text.bytes() {
        match byte {
            b'(' => comment = true,
            b')' | b'\n' => comment = false,
            _ => {}
        }
        match (byte, number) {
            (b'0'..=b'9', Some(n)) => {
                number = Some(n.saturating_mul(10).saturating_add(u32::from(byte - b'0')));
                continue;
            }
            (b' ' | b'\t', Some(_)) => continue,
            (_, Some(n)) => {
                if !found.contains(&n) && found.len() < 1000 {
                    found.push(n);
                }
            }
            (_, None) => {}
        }
        number = (!comment && byte.eq_ignore_ascii_case(&b't')).then_some(0);
    }
    found.extend(number);
    found
}

#[cfg(test)]
mod tests {
    use super::cutters_named;

    #[test]
    fn cutters_are_found_however_they_are_written() {
        assert_eq!(cutters_named("t01m6\nM6 T 2\n(T9)\nG1 X1 T12"), vec![1, 2, 12]);
    }
}
