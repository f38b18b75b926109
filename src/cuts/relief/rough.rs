//! Roughing by levels: each level clears what stands above it and above the cutter surface
//! with its allowance, inside the contours of that surface.

use super::chain::{Pass, chains};
use super::pen::Pen;
use super::wall;
use super::{ReliefPlan, ReliefSpec, Tooling, end_of};
use crate::cuts::levels::levels;
use crate::diagnostic::Diagnostic;
use crate::geometry::cutter_surface::CutterSurface;
use crate::geometry::{HeightField, Point, Point3, point};
use crate::toolpath::{Purpose, Toolpath};

/// How far a roughing pass may leave its way, millimetres, to save strokes; never more than a
/// quarter of the allowance, nor than this share of the stepdown: one pass leaves so much, and the
/// one below it goes so much deeper.
const COARSE: f64 = 0.1;
const OF_STEPDOWN: f64 = 0.012;

/// How far a pass of a cutter that can not go straight down may leave its way, millimetres: what
/// leaves its way falls where the way does not.
const CLOSE: f64 = 5e-4;

/// Less wood than this above a level, millimetres, is no work.
const NOTHING: f64 = 0.01;

/// Shorter runs than this, millimetres, are left to their neighbours.
const SHORTEST: f64 = 0.5;

/// Roughing of a relief.
#[derive(Clone, Copy, Debug)]
pub struct Rough {
    /// Wood left for the finish, millimetres in height above the cutter surface.
    pub allowance: f64,
}

impl Rough {
    /// Plans the levels, down by no more than the stepdown less the cusps that the passes
    /// leave. The wood above a level is cut along x, to and fro, and each pass follows the
    /// cutter surface where that stands above the level, so that no terraces are left.
    ///
    /// # Errors
    /// As [`ReliefSpec::surface`]; for an allowance below zero (key `allowance`); for a cutter
    /// whose cusps take all of the stepdown.
    pub fn plan(&self, spec: &ReliefSpec<'_>) -> Result<ReliefPlan, Diagnostic> {
        let Levels { over, lift, stepover, tolerance, all } = self.levels(spec)?;
        let tolerance = if spec.tooling.plunges() { tolerance } else { CLOSE };
        let mut pen = Pen::new(spec.tooling, tolerance, false);
        let mut above = spec.tooling.top;
        let room = room(&spec.tooling);
        for (k, &level) in all.iter().enumerate() {
            spec.watch.tell("roughing", k as f64 / all.len() as f64);
            Level { over: &over, lift, level, above, stepover, room }.cut(&mut pen);
            above = level;
        }
        let remarks = vec![format!(
            "roughing in {} levels, {} left for the finish",
            all.len(),
            spec.tooling.shown.measured(self.allowance)
        )];
        Ok(ReliefPlan { toolpath: pen.toolpath, count: pen.count, remarks })
    }

    /// Whether there is anything to take, found without planning the moves.
    ///
    /// # Errors
    /// As [`Rough::plan`].
    pub fn takes(&self, spec: &ReliefSpec<'_>) -> Result<bool, Diagnostic> {
        let Levels { over, lift, stepover, all, .. } = self.levels(spec)?;
        // What a lower level clears stands above it too, so that the first one tells.
        Ok(all.first().is_some_and(|&level| {
            let (above, room) = (spec.tooling.top, room(&spec.tooling));
            let level = Level { over: &over, lift, level, above, stepover, room };
            !level.passes().is_empty()
        }))
    }

    /// The levels and what they are cut on.
    fn levels(&self, spec: &ReliefSpec<'_>) -> Result<Levels, Diagnostic> {
        if !(self.allowance >= 0.0 && self.allowance.is_finite()) {
            return Err(Diagnostic::error(format!(
                "an allowance of {} mm can not be left",
                self.allowance
            ))
            .key("allowance")
            .help("give 0 or more, such as 0.5 mm"));
        }
        spec.watch.tell("finding where the cutter touches", 0.0);
        let (end, _, over) = spec.surface()?;
        let stepover = spec.tooling.data.stepover.value;
        let cusp = end.height(stepover / 2.0).unwrap_or(0.0);
        let stepdown = spec.tooling.data.stepdown.value - cusp;
        if stepdown <= spec.tooling.data.stepdown.value / 4.0 {
            return Err(Diagnostic::error(format!(
                "{} leaves cusps of {cusp:.2} mm at its stepover of {stepover:.2} mm, as high as its stepdown",
                spec.tooling.cutter.title()
            ))
            .key("cutter")
            .help("rough with a flat or bull-nose cutter, or a wider ball"));
        }
        let lowest =
            (0..over.rows()).flat_map(|j| over.row(j)).copied().fold(f32::INFINITY, f32::min);
        let bottom = f64::from(lowest) + self.allowance;
        let coarse = COARSE.min(OF_STEPDOWN * spec.tooling.data.stepdown.value);
        let tolerance = (self.allowance / 4.0).min(coarse).max(spec.tolerance);
        // The pass may leave its way by the tolerance: so much higher is it laid.
        let lift = self.allowance + if self.allowance > 0.0 { tolerance } else { 0.0 };
        let all = if bottom < spec.tooling.top - NOTHING {
            levels(spec.tooling.top, bottom, stepdown)
        } else {
            Vec::new()
        };
        Ok(Levels { over, lift, stepover, tolerance, all })
    }
}

/// What the moves of a cut leave of a stock, on the grid of a relief: ridges between its rows,
/// and places that it passes over, and all.
///
/// # Errors
/// As [`ReliefSpec::surface`].
pub fn left_by(toolpath: &Toolpath, spec: &ReliefSpec<'_>) -> Result<HeightField, Diagnostic> {
    let end = end_of(spec.tooling.cutter)?;
    let mut tips = spec.relief.clone();
    let top = spec.tooling.top as f32;
    let level = vec![top; tips.columns()];
    (0..tips.rows()).for_each(|j| tips.set_row(j, &level));
    let (min, cell) = (tips.min(), tips.cell());
    let mut at = Point3::default();
    for step in &toolpath.steps {
        let Some(stroke) = step.action.stroke(at) else { continue };
        at = stroke.to;
        if stroke.from.z.min(stroke.to.z) >= spec.tooling.top {
            continue;
        }
        let count = (2.0 * stroke.length() / cell).ceil().max(1.0) as usize;
        for k in 0..=count {
            let p = stroke.at(k as f64 / count as f64);
            let node = (p.xy() - min) * (1.0 / cell);
            tips.lower(node.x.floor() as isize, node.y.floor() as isize, p.z);
        }
    }
    Ok(CutterSurface::new(&end, cell).left(&tips))
}

/// All levels, from the top.
struct Levels {
    over: HeightField,
    lift: f64,
    stepover: f64,
    tolerance: f64,
    all: Vec<f64>,
}

/// One level.
struct Level<'a> {
    over: &'a HeightField,
    lift: f64,
    level: f64,
    above: f64,
    stepover: f64,
    /// Narrower pits are not gone into, and shorter runs not begun.
    room: f64,
}

/// A cutter that can not go straight down needs way to ramp.
fn room(tooling: &Tooling<'_>) -> f64 {
    if tooling.plunges() { 0.0 } else { tooling.cutter.radius() }
}

impl Level<'_> {
    /// Height of the tip on this level.
    fn height(&self, p: Point) -> f64 {
        (wall::tip(self.over, p, |_| 0.0) + self.lift).max(self.level)
    }

    /// Whether wood of the level above stands here.
    fn stands(&self, p: Point) -> bool {
        wall::tip(self.over, p, |_| 0.0) + self.lift < self.above - NOTHING
    }

    /// Its passes, row by row.
    fn passes(&self) -> Vec<Pass> {
        let low = self.over.middle(0, 0);
        let high = self.over.middle(self.over.columns() - 1, self.over.rows() - 1);
        let rows = ((high.y - low.y) / self.stepover).ceil().max(1.0);
        let mut passes = Vec::new();
        for row in 0..=rows as usize {
            let y = low.y + (high.y - low.y) * row as f64 / rows;
            self.row(row, y, (low.x, high.x), &mut passes);
        }
        passes
    }

    fn cut(&self, pen: &mut Pen<'_>) {
        let reach = 3.0 * self.stepover;
        let way = |a: Point3, b: Point3| {
            if a.xy().distance(b.xy()) > reach {
                return None;
            }
            let count = (a.xy().distance(b.xy()) / self.over.cell()).ceil().max(1.0) as usize;
            let places =
                (0..=count).map(|k| a.xy() + (b.xy() - a.xy()) * (k as f64 / count as f64));
            let points: Vec<Point3> = places.map(|p| p.at(self.height(p))).collect();
            // Not over what stands higher than this level's work.
            points.iter().all(|p| p.z <= self.above).then_some(points)
        };
        for chain in chains(self.passes(), way) {
            pen.enter(&over_pits(&chain[0], self.room), self.above);
            for points in &chain {
                pen.follow_gently(Purpose::Rough, &over_pits(points, self.room));
            }
            pen.retract();
        }
    }

    fn row(&self, row: usize, y: f64, (low, high): (f64, f64), passes: &mut Vec<Pass>) {
        let cell = self.over.cell();
        let count = ((high - low) / cell).round().max(1.0) as usize;
        let place = |k: usize| point(low + (high - low) * k as f64 / count as f64, y);
        let mut run: Vec<Point3> = Vec::new();
        for k in 0..=count {
            let p = place(k);
            let stands = self.stands(p);
            if stands {
                run.push(p.at(self.height(p)));
            }
            if !stands || k == count {
                let points = std::mem::take(&mut run);
                if points.len() as f64 * cell >= SHORTEST.max(self.room) {
                    passes.push(Pass { row, points });
                }
            }
        }
    }
}

/// A pass above pits narrower than `width`, millimetres along it: closed by a level stretch of
/// that width (the grey closing of a line: Serra, as for the cutter surface).
fn over_pits(pass: &[Point3], width: f64) -> Vec<Point3> {
    if width <= 0.0 {
        return pass.to_vec();
    }
    let mut along = Vec::with_capacity(pass.len());
    let mut way = 0.0;
    for (k, p) in pass.iter().enumerate() {
        way += if k > 0 { p.xy().distance(pass[k - 1].xy()) } else { 0.0 };
        along.push(way);
    }
    let within = |z: &[f64], pick: fn(f64, f64) -> f64| -> Vec<f64> {
        let near = |k: usize| {
            let low = along.partition_point(|s| *s < along[k] - width / 2.0);
            let high = along.partition_point(|s| *s <= along[k] + width / 2.0);
            z[low..high].iter().copied().fold(z[k], pick)
        };
        (0..z.len()).map(near).collect()
    };
    let heights: Vec<f64> = pass.iter().map(|p| p.z).collect();
    let closed = within(&within(&heights, f64::max), f64::min);
    pass.iter().zip(closed).map(|(p, z)| p.xy().at(z)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pass_goes_over_narrow_pits_and_into_wide_ones() {
        let pit = |x: f64| (10.0..11.0).contains(&x) || (20.0..26.0).contains(&x);
        let pass: Vec<Point3> = (0..=400)
            .map(|k| f64::from(k) * 0.1)
            .map(|x| point(x, 0.0).at(if pit(x) { -3.0 } else { 0.0 }))
            .collect();
        let over = over_pits(&pass, 3.0);
        assert!(over.iter().zip(&pass).all(|(a, b)| a.z >= b.z && a.xy() == b.xy()));
        let deep: Vec<f64> = over.iter().filter(|p| p.z < 0.0).map(|p| p.x).collect();
        assert!((deep[0] - 20.0).abs() < 0.2 && (deep[deep.len() - 1] - 26.0).abs() < 0.2);
        assert_eq!(over_pits(&pass, 0.0), pass);
    }
}
