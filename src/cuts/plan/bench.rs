//! What the plan of any kind of part starts from: the board as it lies, what is in the way, the
//! wood, and the cutters with what they may do.

use super::keepouts::{clamps, screws};
use crate::cuts::outline::{bottom, cuts_so_deep, narrowest};
use crate::diagnostic::Diagnostic;
use crate::geometry::{Box3, Contour, Point, Point3, point};
use crate::job::{Job, Part};
use crate::shop::{Cutter, CuttingData, Material, Shop};
use crate::watch::Watch;

/// Room kept above clamps when travelling, millimetres.
pub(super) const OVER_CLAMPS: f64 = 5.0;

/// The cutter that most outlines are cut with.
const USUAL: u32 = 1;

/// One part on the table, in work coordinates.
pub(in crate::cuts) struct Bench<'a> {
    /// The job.
    pub job: &'a Job,
    /// Machine and cutters.
    pub shop: &'a Shop,
    /// The wood.
    pub material: &'a Material,
    /// The part.
    pub part: &'a Part,
    /// The work zero, from the stock's front left corner on the table.
    pub zero: Point3,
    /// The board.
    pub stock: Box3,
    /// Clamps by name.
    pub clamps: Vec<(String, Box3)>,
    /// Clamps and screws: screws last, in the job's order.
    pub keepouts: Vec<(String, Box3)>,
    /// Height for travelling freely.
    pub travel_height: f64,
    /// Whether the moves over a carved face are wanted, and not only what they should leave.
    pub paths: bool,
    /// Who is told how far the plan has come.
    pub watch: Watch<'a>,
}

impl<'a> Bench<'a> {
    pub(super) fn new(
        job: &'a Job,
        shop: &'a Shop,
        material: &'a Material,
        part: &'a Part,
        (paths, watch): (bool, Watch<'a>),
    ) -> Bench<'a> {
        let zero = part.placing.zero_in_stock();
        let stock = part.placing.stock_box();
        let clamps = clamps(shop, &part.placing, zero, stock);
        let keepouts: Vec<(String, Box3)> =
            clamps.iter().cloned().chain(screws(&part.placing, zero, stock)).collect();
        let travel_height = keepouts
            .iter()
            .map(|(_, b)| b.max.z + OVER_CLAMPS)
            .fold(stock.max.z + shop.machine.safe_height.0, f64::max);
        Bench {
            job,
            shop,
            material,
            part,
            zero,
            stock,
            clamps,
            keepouts,
            travel_height,
            paths,
            watch,
        }
    }

    /// The part's lower left corner.
    pub(in crate::cuts) fn corner(&self) -> Point {
        point(self.part.at[0], self.part.at[1]) - self.zero.xy()
    }

    /// The cutter that goes round the part: the one that the job names; else cutter 1 if it
    /// reaches down, and if not, the narrowest that does.
    pub(super) fn outline_cutter(&self) -> u32 {
        let usual = self.shop.cutter(USUAL).is_ok_and(|c| cuts_so_deep(c, self.outline_depth()));
        let other = || narrowest(&self.shop.cutters, self.outline_depth()).map(|c| c.number);
        let own = self.part.outline.cutter;
        own.or_else(|| if usual { None } else { other() }).unwrap_or(USUAL)
    }

    /// Says so where the job names no cutter and the usual one does not reach.
    pub(super) fn outline_remark(&self) -> Option<String> {
        let number = self.outline_cutter();
        let chosen = self.shop.cutter(number).ok()?;
        (self.part.outline.cutter.is_none() && number != USUAL).then(|| {
            format!(
                "No cutter is named for the outline; the narrowest that reaches {} down is {}.",
                self.job.shown.both(self.outline_depth()),
                chosen.title()
            )
        })
    }

    fn outline_depth(&self) -> f64 {
        self.stock.max.z - bottom(&self.part.outline, &self.part.placing.hold, self.stock)
    }

    /// A cutter of the shop and what it may do in this wood. `key` is where the part names it,
    /// relative to the part: `outline.cutter`.
    ///
    /// # Errors
    /// No such cutter, or a figure that it can not follow; at the place in the job file.
    pub(in crate::cuts) fn cutter(
        &self,
        number: u32,
        key: &str,
    ) -> Result<(&'a Cutter, CuttingData), Diagnostic> {
        let key = format!("{}.{key}", self.part.key);
        let cutter = self.shop.cutter(number).map_err(|d| d.key(key.clone()))?;
        let data = self.shop.cutting_data(self.material, cutter, &self.part.feeds);
        data.map(|data| (cutter, data)).map_err(|d| self.feeds_key(d, &key))
    }

    /// Turns a key relative to the part into one of the job file: the part's own table if it has
    /// one, else the job's.
    pub(in crate::cuts) fn placed(&self, d: Diagnostic) -> Diagnostic {
        let (document, part) = (&self.job.document, self.part);
        let relative = d.key.clone().unwrap_or_default();
        let own = format!("{}.{relative}", part.key);
        let table = relative.split('.').next().unwrap_or("");
        let table = table.split('[').next().unwrap_or("");
        let in_part = document.holds(&format!("{}.{table}", part.key));
        let key = match (relative.is_empty(), in_part || !document.holds(table)) {
            (true, _) => part.key.clone(),
            (false, true) => own,
            (false, false) => relative,
        };
        Diagnostic { key: Some(key), ..d }
    }

    /// An override that is out of bounds is told at its own key, anything else at the cutter.
    fn feeds_key(&self, d: Diagnostic, cutter_key: &str) -> Diagnostic {
        let name = d.key.clone().unwrap_or_default();
        let name = name.rsplit('.').next().unwrap_or("").to_string();
        let own = format!("{}.feeds.{name}", self.part.key);
        let shared = format!("feeds.{name}");
        let key = [own, shared].into_iter().find(|k| self.job.document.holds(k));
        Diagnostic { key: Some(key.unwrap_or_else(|| cutter_key.to_string())), ..d }
    }

    /// Whether something stands wholly within a contour and so holds it.
    pub(in crate::cuts) fn fixed_within(&self, outline: &Contour) -> bool {
        self.keepouts.iter().any(|(_, b)| {
            let corners: [Point; 4] =
                [b.min.xy(), b.max.xy(), point(b.min.x, b.max.y), point(b.max.x, b.min.y)];
            corners.iter().all(|c| outline.contains(*c))
        })
    }
}
