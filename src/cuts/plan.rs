//! From a job and a shop to planned cuts, one per part.

use super::{OutlinePlan, OutlineSpec, Tab};
use crate::diagnostic::{Diagnostic, Failure};
use crate::geometry::{Box3, Contour, Point, Point3, point, point3};
use crate::job::{Job, Part, Placing, Screw, Shape};
use crate::shop::{Clamp, Cutter, CuttingData, Material, Shop};
use crate::toolpath::{Direction, Move, Purpose, Toolpath};

/// Room kept above clamps when travelling, millimetres.
const OVER_CLAMPS: f64 = 5.0;

/// A part with its cut planned, in work coordinates.
#[derive(Clone, Debug)]
pub struct PartPlan {
    /// The part.
    pub part: Part,
    /// The wood.
    pub material: Material,
    /// The board.
    pub stock: Box3,
    /// The line that is cut.
    pub outline: Contour,
    /// Clamps, by name.
    pub clamps: Vec<(String, Box3)>,
    /// Middles of the screws.
    pub screws: Vec<Point>,
    /// What the cutter must keep out of: clamps and screws.
    pub keepouts: Vec<(String, Box3)>,
    /// The cutters in order, each with what it may do.
    pub cutters: Vec<(Cutter, CuttingData)>,
    /// Height for travelling freely.
    pub travel_height: f64,
    /// The whole program's moves.
    pub toolpath: Toolpath,
    /// The tabs left standing.
    pub tabs: Vec<Tab>,
    /// What the setup sheet should say.
    pub remarks: Vec<String>,
    /// What the user should know before cutting.
    pub cautions: Vec<String>,
}

/// Plans every part of a job.
///
/// # Errors
/// [`Failure::Refused`] with every limit of the trade that is broken, each at its place in the
/// job file; [`Failure::Input`] for names that do not exist.
pub fn plan(job: &Job, shop: &Shop) -> Result<Vec<PartPlan>, Failure> {
    let material = Material::find(&job.file.species)
        .map_err(|d| Failure::Input(job.document.locate(vec![d.key("species")])))?;
    let mut plans = Vec::new();
    let mut refused = Vec::new();
    for part in &job.parts {
        match plan_part(job, shop, &material, part) {
            Ok(plan) => plans.push(plan),
            Err(mut some) => refused.append(&mut some),
        }
    }
    if refused.is_empty() { Ok(plans) } else { Err(Failure::Refused(job.document.locate(refused))) }
}

fn plan_part(
    job: &Job,
    shop: &Shop,
    material: &Material,
    part: &Part,
) -> Result<PartPlan, Vec<Diagnostic>> {
    let keyed = |d: Diagnostic, key: String| vec![Diagnostic { key: Some(key), ..d }];
    let cutter_key = format!("{}.outline.cutter", part.key);
    let cutter = shop.cutter(part.outline.cutter).map_err(|d| keyed(d, cutter_key.clone()))?;
    let data = shop
        .cutting_data(material, cutter, &part.feeds)
        .map_err(|d| feeds_key(job, part, d, &cutter_key))?;
    let zero = part.placing.zero_in_stock();
    let stock = part.placing.stock_box();
    let Shape::Cap(cap) = part.shape;
    let corner = point(part.at[0], part.at[1]) - zero.xy();
    let outline = cap.contour().moved(corner);
    let clamps = clamps(shop, &part.placing, zero, stock);
    let keepouts: Vec<(String, Box3)> =
        clamps.iter().cloned().chain(screws(&part.placing, zero, stock)).collect();
    let travel_height = keepouts
        .iter()
        .map(|(_, b)| b.max.z + OVER_CLAMPS)
        .fold(stock.max.z + shop.machine.safe_height.0, f64::max);
    let spec = OutlineSpec {
        part: &outline,
        cut: &part.outline,
        hold: &part.placing.hold,
        part_is_fixed: fixed_within(&outline, &keepouts),
        cutter,
        data: &data,
        machine: &shop.machine,
        stock,
        travel_height,
        grain: point(1.0, 0.0),
        shown: job.shown,
    };
    let OutlinePlan { toolpath, tabs, remarks, cautions } = spec.plan().map_err(|found| {
        found.into_iter().map(|d| relative_key(job, part, d)).collect::<Vec<_>>()
    })?;
    Ok(PartPlan {
        part: part.clone(),
        material: material.clone(),
        stock,
        toolpath: with_machine(shop, cutter, &data, toolpath),
        outline,
        screws: part.placing.hold.screws.iter().map(|s| screw_at(s, zero).xy()).collect(),
        clamps,
        keepouts,
        cutters: vec![(cutter.clone(), data)],
        travel_height,
        tabs,
        remarks,
        cautions,
    })
}

/// Cutter in, spindle up, the cut, spindle down.
fn with_machine(shop: &Shop, cutter: &Cutter, data: &CuttingData, cut: Toolpath) -> Toolpath {
    let mut all = Toolpath::default();
    all.push(Purpose::Machine, Move::CutterChange { cutter: cutter.number });
    let direction = Direction::Clockwise;
    all.push(Purpose::Machine, Move::SpindleStart { direction, rpm: data.rpm.value });
    all.push(Purpose::Machine, Move::Dwell { seconds: shop.machine.spindle.spin_up });
    all.steps.extend(cut.steps);
    all.push(Purpose::Machine, Move::SpindleStop);
    all
}

/// Clamps as boxes in work coordinates.
fn clamps(shop: &Shop, placing: &Placing, zero: Point3, stock: Box3) -> Vec<(String, Box3)> {
    let space = |c: &Clamp| {
        let (a, b) = (c.from.map(|l| l.0), c.to.map(|l| l.0));
        let low = point3(a[0].min(b[0]), a[1].min(b[1]), 0.0) - zero;
        let high = point3(a[0].max(b[0]), a[1].max(b[1]), 0.0) - zero;
        let bounds = Box3 {
            min: point3(low.x, low.y, stock.min.z),
            max: point3(high.x, high.y, stock.min.z + c.height.0),
        };
        (c.name.clone(), bounds)
    };
    shop.clamps.iter().chain(&placing.hold.clamps).map(space).collect()
}

/// Screws as boxes in work coordinates, through the whole stock.
fn screws(placing: &Placing, zero: Point3, stock: Box3) -> Vec<(String, Box3)> {
    let space = |(i, s): (usize, &Screw)| {
        let (r, at) = (s.diameter.0 / 2.0, screw_at(s, zero));
        let bounds = Box3 {
            min: point3(at.x - r, at.y - r, stock.min.z),
            max: point3(at.x + r, at.y + r, stock.max.z + s.proud.0),
        };
        (format!("screw {}", i + 1), bounds)
    };
    placing.hold.screws.iter().enumerate().map(space).collect()
}

fn screw_at(screw: &Screw, zero: Point3) -> Point3 {
    point3(screw.at[0].0, screw.at[1].0, 0.0) - zero
}

/// Whether something stands wholly within the part and so holds it.
fn fixed_within(outline: &Contour, keepouts: &[(String, Box3)]) -> bool {
    keepouts.iter().any(|(_, b)| {
        let corners: [Point; 4] =
            [b.min.xy(), b.max.xy(), point(b.min.x, b.max.y), point(b.max.x, b.min.y)];
        corners.iter().all(|c| outline.contains(*c))
    })
}

/// Turns a key relative to the part into one of the job file: the part's own table if it has
/// one, else the job's.
fn relative_key(job: &Job, part: &Part, d: Diagnostic) -> Diagnostic {
    let relative = d.key.clone().unwrap_or_default();
    let own = format!("{}.{relative}", part.key);
    let table = relative.split('.').next().unwrap_or("");
    let in_part = job.document.holds(&format!("{}.{table}", part.key));
    let key = match (relative.is_empty(), in_part || !job.document.holds(table)) {
        (true, _) => part.key.clone(),
        (false, true) => own,
        (false, false) => relative,
    };
    Diagnostic { key: Some(key), ..d }
}

/// An override that is out of bounds is told at its own key, anything else at the cutter.
fn feeds_key(job: &Job, part: &Part, d: Diagnostic, cutter_key: &str) -> Vec<Diagnostic> {
    let name = d.key.clone().unwrap_or_default();
    let name = name.rsplit('.').next().unwrap_or("").to_string();
    let own = format!("{}.feeds.{name}", part.key);
    let shared = format!("feeds.{name}");
    let key = [own, shared].into_iter().find(|k| job.document.holds(k));
    vec![Diagnostic { key: Some(key.unwrap_or_else(|| cutter_key.to_string())), ..d }]
}
