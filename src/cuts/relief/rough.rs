//! Roughing by levels: each level clears what stands above it and above the cutter surface
//! with its allowance, inside the contours of that surface.

use super::chain::{Pass, chains};
use super::pen::Pen;
use super::wall;
use super::{ReliefPlan, ReliefSpec};
use crate::cuts::levels::levels;
use crate::diagnostic::Diagnostic;
use crate::geometry::{HeightField, Point, Point3, point};
use crate::toolpath::Purpose;

/// How far a roughing pass may leave its way, millimetres, to save strokes; never more than a
/// quarter of the allowance.
const COARSE: f64 = 0.1;

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
        let mut pen = Pen::new(spec.tooling, tolerance, false);
        let mut above = spec.tooling.top;
        for (k, &level) in all.iter().enumerate() {
            spec.watch.tell("roughing", k as f64 / all.len() as f64);
            Level { over: &over, lift, level, above, stepover }.cut(&mut pen);
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
            let level = Level { over: &over, lift, level, above: spec.tooling.top, stepover };
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
        let tolerance = (self.allowance / 4.0).min(COARSE).max(spec.tolerance);
        // The pass may leave its way by the tolerance: so much higher is it laid.
        let lift = self.allowance + if self.allowance > 0.0 { tolerance } else { 0.0 };
        let all = if bottom < spec.tooling.top - NOTHING {
            levels(spec.tooling.top, bottom, stepdown)
        } else {
            Vec::new()
        };
        Ok(Levels { over, lift, stepover, tolerance, all })
    }

    /// What the roughing leaves, ridges between its rows and all.
    ///
    /// # Errors
    /// As [`ReliefSpec::surface`].
    pub fn left(&self, spec: &ReliefSpec<'_>) -> Result<HeightField, Diagnostic> {
        let (_, surface, mut over) = spec.surface()?;
        let (top, stepover) = (spec.tooling.top, spec.tooling.data.stepover.value);
        // The tip goes along the rows only; elsewhere it is as good as over the stock.
        let last = over.rows() - 1;
        let rows = (last as f64 * over.cell() / stepover).ceil().max(1.0);
        let per = last as f64 / rows;
        let mut next = 0.0;
        for j in 0..=last {
            let on_row = j as f64 + 0.5 > next;
            if on_row {
                next += per;
            }
            let height = |z: &f32| match on_row {
                true => (f64::from(*z) + self.allowance).min(top) as f32,
                false => top as f32,
            };
            let row: Vec<f32> = over.row(j).iter().map(height).collect();
            over.set_row(j, &row);
        }
        Ok(surface.left(&over))
    }
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
            pen.enter(&chain[0], self.above);
            for points in &chain {
                pen.follow(Purpose::Rough, points);
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
                if points.len() as f64 * cell >= SHORTEST {
                    passes.push(Pass { row, points });
                }
            }
        }
    }
}
