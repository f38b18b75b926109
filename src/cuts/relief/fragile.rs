//! What wood will not hold, and what no cutter of the shop can carve: found on the relief.

use super::end_of;
use crate::diagnostic::Diagnostic;
use crate::geometry::cutter_surface::{CutterEnd, CutterSurface};
use crate::geometry::{HeightField, Point, point};
use crate::shop::Cutter;
use crate::units::Shown;
use std::collections::BTreeMap;

/// A feature standing higher than this many times its width breaks along the grain
/// (common practice: short grain wants at least its height in width).
const SLENDER: f64 = 1.0;

/// A rise or fall over less than this many millimetres is a side of a standing feature, not
/// the swell of a surface.
const SIDE: f64 = 1.0;

/// Findings nearer to each other than this, millimetres, are told as one.
const PATCH: f64 = 10.0;

/// What is wrong with a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Weakness {
    /// Thin and high, with the grain running across it: it will break off.
    ShortGrain,
    /// Narrower than the finest cutter: it will be filled.
    TooNarrow,
    /// Under an overhang: no straight cutter from above gets there.
    Undercut,
}

impl Weakness {
    /// All kinds.
    pub const ALL: [Weakness; 3] = [Weakness::ShortGrain, Weakness::TooNarrow, Weakness::Undercut];
}

/// A weak place of a relief.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Fragile {
    /// What is wrong.
    pub weakness: Weakness,
    /// Where it is worst.
    pub at: Point,
    /// Short grain: width along the grain. Too narrow: what stays above the relief. Undercut: how
    /// high the wood under the overhang stays. Millimetres.
    pub size: f64,
    /// Short grain: height above its lower side, millimetres. Else zero.
    pub height: f64,
    /// Corners of the box round the place.
    pub low: Point,
    /// The other corner.
    pub high: Point,
}

impl Fragile {
    /// As a warning.
    #[must_use]
    pub fn warning(&self, shown: Shown) -> Diagnostic {
        let length = |mm| shown.measured(mm);
        let place = format!("near X {}, Y {}", shown.one(self.at.x), shown.one(self.at.y));
        match self.weakness {
            Weakness::ShortGrain => Diagnostic::warning(format!(
                "short grain {place}: a feature {} wide along the grain stands {} high and may break off",
                length(self.size), length(self.height)
            ))
            .help("make it wider or lower, turn the grain, or carve it from a denser wood"),
            Weakness::TooNarrow => Diagnostic::warning(format!(
                "detail {place} is narrower than the finest cutter: {} of wood stay in it",
                length(self.size)
            ))
            .help("use a finer cutter for a second finish, or open the detail"),
            Weakness::Undercut => Diagnostic::warning(format!(
                "undercut {place}: a straight cutter does not get under the overhang there, and the hollow below it stays full of wood, {} high",
                length(self.size)
            ))
            .help("undercut it by hand, turn the model, or fill the hollow in it"),
        }
    }
}

/// A hollow under an overhang, where it is highest, and how high.
#[must_use]
pub fn undercut(at: Point, high: f64) -> Fragile {
    Fragile { weakness: Weakness::Undercut, at, size: high, height: 0.0, low: at, high: at }
}

/// Places where wood between two falls along the grain is thinner than it is high. The grain
/// runs along x, or along y if `along_y`.
#[must_use]
pub fn short_grain(relief: &HeightField, along_y: bool) -> Vec<Fragile> {
    let (lines, count) = match along_y {
        false => (relief.rows(), relief.columns()),
        true => (relief.columns(), relief.rows()),
    };
    let cell = relief.cell();
    let reach = ((SIDE / cell).round() as usize).max(1);
    let mut found = Vec::new();
    for line in 0..lines {
        let spot = |k: usize| if along_y { (line, k) } else { (k, line) };
        let heights: Vec<f64> = (0..count)
            .map(|k| {
                let (i, j) = spot(k);
                f64::from(relief.row(j)[i])
            })
            .collect();
        // The last steep rise, and how high it went.
        let mut rise: Option<(usize, f64)> = None;
        for k in reach..count {
            let step = heights[k] - heights[k - reach];
            if step > SIDE && rise.is_none_or(|(at, _)| k - at > reach) {
                rise = Some((k - reach / 2, step));
            }
            if let Some((from, up)) = rise.filter(|_| step < -SIDE) {
                let width = (k - reach / 2).saturating_sub(from).max(1) as f64 * cell;
                let height = up.min(-step);
                if height > SLENDER * width {
                    let (i, j) = spot((from + k) / 2);
                    found.push((relief.middle(i, j), width, height, height / width));
                }
                rise = None;
            }
        }
    }
    patches(Weakness::ShortGrain, found)
}

/// Places into which the finest cutter does not go: a square end as wide as its nose leaves more
/// than `amount` above the relief. The round that a ball leaves at the foot of a wall is not
/// meant.
///
/// # Errors
/// As [`end_of`].
pub fn too_narrow(
    relief: &HeightField,
    finest: &Cutter,
    amount: f64,
) -> Result<Vec<Fragile>, Diagnostic> {
    let end = end_of(finest)?;
    let wide = if end.nose() > 0.0 { end.nose().min(end.radius()) } else { 0.0 };
    // A cone's tip goes in everywhere.
    let Some(disc) = CutterEnd::flat(wide) else { return Ok(Vec::new()) };
    let left = |end: &CutterEnd| {
        let surface = CutterSurface::new(end, relief.cell());
        surface.left(&surface.over(relief))
    };
    let (square, own) = (left(&disc), left(&end));
    let mut found = Vec::new();
    for j in 0..relief.rows() {
        for (i, (above, wanted)) in square.row(j).iter().zip(relief.row(j)).enumerate() {
            let stays = f64::from(own.row(j)[i] - wanted);
            if f64::from(above - wanted) > amount && stays > amount {
                found.push((relief.middle(i, j), stays, 0.0, stays));
            }
        }
    }
    Ok(patches(Weakness::TooNarrow, found))
}

/// The worst of each patch of places, by squares that are joined to their neighbours.
fn patches(weakness: Weakness, found: Vec<(Point, f64, f64, f64)>) -> Vec<Fragile> {
    let mut squares: BTreeMap<(i64, i64), (Fragile, f64)> = BTreeMap::new();
    for (at, size, height, badness) in found {
        let key = ((at.y / PATCH).floor() as i64, (at.x / PATCH).floor() as i64);
        let one = Fragile { weakness, at, size, height, low: at, high: at };
        let (kept, worst) = squares.entry(key).or_insert((one, badness));
        kept.low = point(kept.low.x.min(at.x), kept.low.y.min(at.y));
        kept.high = point(kept.high.x.max(at.x), kept.high.y.max(at.y));
        if badness > *worst {
            (kept.at, kept.size, kept.height, *worst) = (at, size, height, badness);
        }
    }
    let mut all: Vec<(Fragile, f64)> = squares.into_values().collect();
    all.sort_by(|a, b| b.1.total_cmp(&a.1));
    let mut out: Vec<Fragile> = Vec::new();
    for (one, _) in all {
        if out.iter().all(|o| o.at.distance(one.at) > PATCH) {
            out.push(one);
        }
    }
    out
}
