//! Incised work: a V-cut whose depth follows the width of the stroke, on its medial axis.
//!
//! A cone of half angle a whose tip is at depth d is `d tan(a)` wide at the surface, so at a
//! point of the axis whose distance to the outline is w the tip goes `w / tan(a)` deep and
//! touches the outline on both sides (closed form). Distances are those to the true outline.

use super::levels::levels;
use super::relief::pen::Pen;
use super::relief::{Count, ReliefPlan, Tooling};
use crate::diagnostic::Diagnostic;
use crate::geometry::medial_axis::{Branch, medial_axis};
use crate::geometry::{Contour, Point, Point3, Region};
use crate::shop::CutterShape;
use crate::toolpath::Purpose;

/// Branches shallower than this all along, millimetres, are left out.
const SHALLOWEST: f64 = 1e-3;

/// How far a thinned pass may leave the axis, millimetres: half of what the cut may cross the
/// outline by, for the other half goes to the last digit of the text.
const TOLERANCE: f64 = 0.004;

/// Incised work.
#[derive(Clone, Copy, Debug)]
pub struct Incise<'a> {
    /// The strokes: each an outline with its islands.
    pub strokes: &'a [Region],
    /// Middle lines of strokes of one width, open or closed.
    pub lines: &'a [Contour],
    /// Half the width of those.
    pub half: f64,
    /// Height of the level ground in which all lie.
    pub ground: f64,
    /// No deeper than this below the ground, millimetres; `None` leaves it to the cutter.
    pub deepest: Option<f64>,
}

/// Clearing of what is too wide for the V, by a flat cutter, as deep as the V goes.
#[derive(Clone, Debug, PartialEq)]
pub struct Clearing {
    /// The level floors: inside them the V does not reach.
    pub floors: Vec<Region>,
    /// Height of the ground round them.
    pub ground: f64,
    /// Their depth below the ground, millimetres.
    pub depth: f64,
}

impl Incise<'_> {
    /// The greatest depth and the half width that the cutter makes at it.
    ///
    /// # Errors
    /// If the cutter is no V (key `cutter`), or the depth not above zero (key `depth`).
    fn reach(&self, tooling: &Tooling<'_>) -> Result<(f64, f64), Diagnostic> {
        let cutter = tooling.cutter;
        let tangent = (cutter.included_angle.0 / 2.0).tan();
        if cutter.shape != CutterShape::V || !(tangent > 0.0 && tangent.is_finite()) {
            return Err(Diagnostic::error(format!("{} cuts no V", cutter.title()))
                .key("cutter")
                .help(
                    "incise with a V cutter; its included angle is above 0 and below 180 degrees",
                ));
        }
        let tip = cutter.tip_diameter.0 / 2.0;
        let cone = (cutter.radius() - tip) / tangent;
        let most = cone.min(cutter.flute_length.0);
        let length = |mm| tooling.shown.measured(mm);
        let depth = self.deepest.unwrap_or(most);
        if !(depth > 0.0 && depth <= most + 1e-9) {
            return Err(Diagnostic::error(format!(
                "a depth of {} can not be incised",
                length(depth)
            ))
            .key("depth")
            .help(format!(
                "give a depth above 0 and at most {}, the cone of {}",
                length(most),
                cutter.title()
            )));
        }
        Ok((depth, tip + depth * tangent))
    }

    /// Plans the V-cut. Where a stroke is wider than the V may go, the V runs along its
    /// edge, and [`Incise::clearing`] says what is left between.
    ///
    /// # Errors
    /// If the cutter is no V, the depth is out of range, or a stroke has no middle line.
    pub fn plan(&self, tooling: &Tooling<'_>) -> Result<ReliefPlan, Diagnostic> {
        let (depth, half) = self.reach(tooling)?;
        let length = |mm| tooling.shown.measured(mm);
        let cutter = tooling.cutter;
        let (tip, tangent) = (cutter.tip_diameter.0 / 2.0, (cutter.included_angle.0 / 2.0).tan());
        let top = self.ground;
        let height = |w: f64| top - ((w - tip) / tangent).clamp(0.0, depth);
        let mut passes: Vec<Vec<Point3>> = Vec::new();
        for stroke in self.strokes {
            let axis = medial_axis(stroke).map_err(|e| {
                Diagnostic::error(e.to_string()).help("mend the outline of the stroke")
            })?;
            for branch in axis {
                passes
                    .extend(narrow(&branch, half).map(|part| {
                        part.iter().map(|&(p, w)| p.at(height(w))).collect::<Vec<_>>()
                    }));
            }
            for floor in inset(stroke, half)? {
                passes.extend(floor.contours().map(|c| round(c, top - depth)));
            }
        }
        if !self.lines.is_empty() && self.half > half + 1e-9 {
            return Err(Diagnostic::error(format!(
                "lines {} wide are wider than {} cuts {} deep: {}",
                length(2.0 * self.half),
                cutter.title(),
                length(depth),
                length(2.0 * half)
            ))
            .key("line-width")
            .help("draw them narrower, or incise with a wider V cutter"));
        }
        passes.extend(self.lines.iter().map(|line| round(line, height(self.half))));
        passes.retain(|pass| pass.iter().any(|p| p.z < top - SHALLOWEST));
        let passes = in_order(passes);
        let mut pen = Pen::new(*tooling, TOLERANCE, false);
        let lowest = passes.iter().flatten().map(|p| p.z).fold(top, f64::min);
        let mut above = top;
        let all = match lowest < above {
            true => levels(above, lowest, tooling.data.stepdown.value),
            false => Vec::new(),
        };
        for &level in &all {
            level_passes(&mut pen, &passes, level, above);
            above = level;
        }
        let count = Count { levels: all.len(), deepest: top - lowest, ..pen.count };
        Ok(ReliefPlan { toolpath: pen.toolpath, count, remarks: Vec::new() })
    }

    /// What a flat cutter has to clear; `None` where the V reaches everything.
    ///
    /// # Errors
    /// As [`Incise::plan`].
    pub fn clearing(&self, tooling: &Tooling<'_>) -> Result<Option<Clearing>, Diagnostic> {
        let (depth, half) = self.reach(tooling)?;
        let mut floors = Vec::new();
        for stroke in self.strokes {
            floors.extend(inset(stroke, half)?);
        }
        Ok((!floors.is_empty()).then_some(Clearing { floors, ground: self.ground, depth }))
    }
}

impl Clearing {
    /// Plans the clearing with a flat cutter: rings from the middle of each floor outward, in
    /// levels.
    ///
    /// # Errors
    /// If the cutter is not flat (key `clearing-cutter`), or a floor has no rings.
    pub fn plan(&self, tooling: &Tooling<'_>) -> Result<ReliefPlan, Diagnostic> {
        let cutter = tooling.cutter;
        if cutter.shape != CutterShape::Flat {
            return Err(Diagnostic::error(format!("{} leaves no level floor", cutter.title()))
                .key("clearing-cutter")
                .help("clear with a flat cutter"));
        }
        let mut passes: Vec<Vec<Vec<Point>>> = Vec::new();
        for floor in &self.floors {
            let rings =
                floor.rings(cutter.radius(), tooling.data.stepover.value, None).map_err(|e| {
                    Diagnostic::error(e.to_string()).help("mend the outline of the stroke")
                })?;
            let lines = rings.iter().rev().flatten().flat_map(Region::contours);
            passes.push(lines.map(walk).collect());
        }
        let mut pen = Pen::new(*tooling, TOLERANCE, false);
        let bottom = self.ground - self.depth;
        for floor in &passes {
            let mut above = self.ground;
            for level in levels(self.ground, bottom, tooling.data.stepdown.value) {
                for ring in floor {
                    let ring: Vec<Point3> = ring.iter().map(|p| p.at(level)).collect();
                    pen.enter(&ring, above);
                    straight_runs(&mut pen, Purpose::Rough, &ring);
                    pen.retract();
                }
                above = level;
            }
        }
        let narrow = passes.iter().filter(|p| p.is_empty()).count();
        let mut remarks = Vec::new();
        if narrow < passes.len() {
            let depth = tooling.shown.measured(self.depth);
            remarks.push(format!("level floors cleared to {depth} with {}", cutter.title()));
        }
        let title = cutter.title();
        match narrow {
            0 => {}
            1 => remarks.push(format!("one level floor is narrower than {title} and stays")),
            many => remarks.push(format!("{many} level floors are narrower than {title} and stay")),
        }
        Ok(ReliefPlan { toolpath: pen.toolpath, count: pen.count, remarks })
    }
}

fn inset(stroke: &Region, half: f64) -> Result<Vec<Region>, Diagnostic> {
    stroke
        .inset(half)
        .map_err(|e| Diagnostic::error(e.to_string()).help("mend the outline of the stroke"))
}

/// The parts of a branch that are no wider than the V may go; beyond, the V has its edge to
/// follow. Each part goes one point into the wide, so that the two cuts meet.
fn narrow(branch: &Branch, half: f64) -> impl Iterator<Item = Vec<(Point, f64)>> + use<> {
    let points = &branch.points;
    let slim = |k: usize| points[k].1 <= half;
    let beside =
        |k: usize| slim(k) || (k > 0 && slim(k - 1)) || (k + 1 < points.len() && slim(k + 1));
    let mut parts: Vec<Vec<(Point, f64)>> = vec![Vec::new()];
    for (k, &point) in points.iter().enumerate() {
        match beside(k) {
            true => parts.last_mut().into_iter().for_each(|p| p.push(point)),
            false => parts.push(Vec::new()),
        }
    }
    parts.into_iter().filter(|p| !p.is_empty())
}

/// Once along a contour at a height.
fn round(contour: &Contour, z: f64) -> Vec<Point3> {
    walk(contour).into_iter().map(|p| p.at(z)).collect()
}

/// Points along a contour; if it is closed, its start again at the end.
fn walk(contour: &Contour) -> Vec<Point> {
    let mut points = contour.flattened(TOLERANCE / 4.0);
    if contour.closed && points.first() != points.last() {
        points.extend(points.first().copied());
    }
    points
}

/// Each pass begins where the one before it ended, if one does; else at the nearest end.
fn in_order(mut passes: Vec<Vec<Point3>>) -> Vec<Vec<Point3>> {
    let mut out: Vec<Vec<Point3>> = Vec::new();
    while !passes.is_empty() {
        let at = out.last().and_then(|p| p.last()).copied().unwrap_or(passes[0][0]);
        let from = |p: &[Point3]| {
            let ends = [p.first(), p.last()]
                .map(|e| e.map_or(f64::INFINITY, |e| e.xy().distance(at.xy())));
            (ends[0].min(ends[1]), ends[1] < ends[0])
        };
        let nearest =
            (0..passes.len()).min_by(|&a, &b| from(&passes[a]).0.total_cmp(&from(&passes[b]).0));
        let Some(next) = nearest else { break };
        let mut pass = passes.swap_remove(next);
        if from(&pass).1 {
            pass.reverse();
        }
        out.push(pass);
    }
    out
}

/// All passes, no deeper than a level, where they go below the level above.
fn level_passes(pen: &mut Pen<'_>, passes: &[Vec<Point3>], level: f64, above: f64) {
    let mut at: Option<Point3> = None;
    for pass in passes {
        let mut run: Vec<Point3> = Vec::new();
        let mut runs = Vec::new();
        for (k, p) in pass.iter().enumerate() {
            let near = |q: Option<&Point3>| q.is_some_and(|q| q.z < above - 1e-9);
            let here = p.z < above - 1e-9;
            if here || near(pass.get(k + 1)) || (k > 0 && near(pass.get(k - 1))) {
                run.push(p.xy().at(p.z.max(level)));
            } else if !run.is_empty() {
                runs.push(std::mem::take(&mut run));
            }
        }
        runs.extend((!run.is_empty()).then_some(run));
        for run in runs {
            if at.is_none_or(|at| at.distance(run[0]) > 1e-6) {
                if at.is_some() {
                    pen.retract();
                }
                pen.enter(&run, above);
            }
            straight_runs(pen, Purpose::Finish, &run);
            at = run.last().copied();
        }
    }
    if at.is_some() {
        pen.retract();
    }
}

/// Follows points that turn: each stretch that keeps to one vertical plane by itself.
fn straight_runs(pen: &mut Pen<'_>, purpose: Purpose, points: &[Point3]) {
    let mut from = 0;
    while from + 1 < points.len() {
        let mut to = from + 1;
        let start = points[from].xy();
        while to + 1 < points.len() {
            let way = points[to + 1].xy() - start;
            let Some(along) = way.unit() else { break };
            // Along the chord every point stays near it and in order.
            let holds = points[from + 1..=to]
                .iter()
                .all(|p| (p.xy() - start).cross(along).abs() < TOLERANCE / 4.0)
                && (points[to + 1].xy() - points[to].xy()).dot(along) >= 0.0;
            if !holds {
                break;
            }
            to += 1;
        }
        pen.follow(purpose, &points[from..=to]);
        from = to;
    }
}
