//! The setup, worked out once before the text is read.

use super::removal::{CHORD_TOLERANCE, Section};
use super::setup::Setup;
use super::survey::Survey;
use super::turned::Under;
use crate::geometry::height_field::{COARSEST, FINEST, Limit, Resolution};
use crate::geometry::{HeightField, Point, Point3, point, point3};
use crate::ngc;
use crate::shop::{Cutter, CutterShape, CuttingData};
use crate::units::{Unit, bound};

/// Memory for the heights of the stock, bytes: any shop's computer has as much to spare.
const BUDGET: f64 = 256.0e6;

/// Cells for a program of which no cutter is known, as for a cutter so wide, mm: they only tell
/// cut from uncut.
const UNKNOWN: f64 = 12.0;

/// A pointed cutter draws lines finer than itself: it counts as a quarter of its width.
const POINTED: f64 = 0.25;

/// The setup with what follows from it.
pub(super) struct Scene<'s> {
    pub(super) setup: &'s Setup<'s>,
    /// Height of the stock's top.
    pub(super) top: f64,
    /// Height at which the cutter may travel freely.
    pub(super) safe: f64,
    /// Lowest the tip may go; `None` without a stock.
    pub(super) lowest: Option<f64>,
    /// The cells of the stock's heights; `None` without a stock.
    pub(super) grid: Option<Resolution>,
    /// What the figures rest on.
    pub(super) notes: Vec<String>,
}

impl<'s> Scene<'s> {
    pub(super) fn new(setup: &'s Setup<'s>, survey: &Survey) -> Scene<'s> {
        let top = setup.stock.map_or(0.0, |stock| stock.max.z);
        let mut scene = Scene {
            setup,
            top,
            safe: top + setup.machine.safe_height.0,
            lowest: setup.stock.map(|stock| stock.min.z - setup.permitted_overcut),
            grid: None,
            notes: Vec::new(),
        };
        scene.grid = scene.fit(&survey.cutters);
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

    /// What lies under the stock, whose own underside is at `level`.
    pub(super) fn under(&self, level: f64) -> Under<'s> {
        Under { level, cut: self.setup.below }
    }

    /// What earlier programs have left, if it is of this stock.
    pub(super) fn before(&self) -> Option<&'s HeightField> {
        let (min, max) = self.plan()?;
        self.setup.before.filter(|field| {
            let size = point(field.columns() as f64, field.rows() as f64) * field.cell();
            let off = (min + size) - max;
            field.min() == min && off.x.abs() <= field.cell() && off.y.abs() <= field.cell()
        })
    }

    fn fit(&self, named: &[u32]) -> Option<Resolution> {
        let (min, max) = self.plan()?;
        let setup = self.setup;
        let used = |c: &&Cutter| {
            named.contains(&c.number)
                || setup.also.contains(&c.number)
                || setup.default_cutter == Some(c.number)
        };
        let cutters = self.setup.cutters.iter().filter(used);
        let smallest = cutters.map(feature).fold(f64::INFINITY, f64::min);
        let smallest = if smallest.is_finite() { smallest } else { UNKNOWN };
        let size = max - min;
        let sound = size.x > 0.0 && size.y > 0.0 && size.x.is_finite() && size.y.is_finite();
        if let Some(field) = self.before() {
            return Some(Resolution {
                cell: field.cell(),
                ..Resolution::choose(size, BUDGET, smallest)
            });
        }
        sound.then(|| Resolution::choose(size, BUDGET, smallest))
    }

    fn write_notes(&mut self) {
        match self.setup.stock {
            None => self.notes.push(
                "no stock was given: z = 0 is taken as its top, everywhere, and depth, stepdown, \
                 flute length and holder are not judged"
                    .to_string(),
            ),
            Some(_) => self
                .notes
                .extend(self.grid.as_ref().map(|grid| grid_note(grid, self.setup.shown.unit))),
        }
        if self.setup.below.is_some() {
            self.notes.push(
                "the board was turned over: what was cut into the other face is open from below"
                    .to_string(),
            );
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

/// Width of what the cutter's end resolves.
fn feature(cutter: &Cutter) -> f64 {
    match (cutter.shape, Section::of(cutter)) {
        (CutterShape::V, _) => cutter.diameter.0 * POINTED,
        (_, Ok(section)) => section.feature(),
        (_, Err(_)) => cutter.diameter.0,
    }
}

fn grid_note(grid: &Resolution, unit: Unit) -> String {
    let told = |mm: f64| bound(mm, unit);
    let why = match grid.limit {
        Limit::Cutter => {
            let (fine, wide) = (told(FINEST), told(COARSEST));
            format!("a twelfth of the finest cutter, {fine} to {wide}")
        }
        Limit::Memory => "as fine as memory allows".to_string(),
    };
    format!(
        "the stock is cut as heights of cells of {} ({why}): heights are true to {} at the cells' middles, \
         walls and narrow wood to {} in plan",
        told(grid.cell),
        told(CHORD_TOLERANCE),
        told(grid.plan_bound())
    )
}
