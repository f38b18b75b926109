//! Finishing: passes along lines, the border or a spiral, closer where the relief is steep
//! across them.

mod course;
mod ground;

pub use course::Course;

use super::chain::chains;
use super::pen::Pen;
use super::standing::{Run, Standing};
use super::{Pace, ReliefPlan, ReliefSpec, Tooling, pace};
use crate::diagnostic::Diagnostic;
use crate::geometry::{HeightField, Point3};
use crate::toolpath::Purpose;
use ground::{Ground, wanted};

/// How often a distance between passes may be halved where the relief is steep: an eighth
/// keeps the scallop up to slopes of 83 degrees.
const HALVINGS: u32 = 3;

/// Pieces of a pass nearer to each other than this, millimetres, are cut as one.
const BRIDGE: f64 = 6.0;

/// From one pass to another no farther than this the cutter goes along the surface, millimetres:
/// a lift over the stock and back takes as long.
const LINK: f64 = 10.0;

/// So far above the wood, millimetres, a cutter may come down before it begins to cut: the wood
/// is known in cells.
const ABOVE: f64 = 0.5;

/// Narrowest distance between passes, millimetres.
const CLOSEST: f64 = 0.02;

/// Finishing of a relief.
#[derive(Clone, Copy, Debug)]
pub struct Finish<'a> {
    /// What the passes follow in plan.
    pub course: Course,
    /// Height of the cusps between passes, millimetres, measured square to the surface.
    pub scallop: f64,
    /// Whether arcs in the vertical planes (G18, G19) may be used, where passes run along x or y.
    pub arcs: bool,
    /// The surface as it stands before, to step down where more stands than one pass may take;
    /// without it one pass takes all.
    pub stands: Option<&'a HeightField>,
    /// Cut only where an earlier cutter left more than an amount.
    pub rest: Option<Rest<'a>>,
}

/// What an earlier cutter left.
#[derive(Clone, Copy, Debug)]
pub struct Rest<'a> {
    /// The relief, on whatever grid shows enough.
    pub relief: &'a HeightField,
    /// The surface as it stands, on that grid: see [`ReliefSpec::left`].
    pub left: &'a HeightField,
    /// What may stay, millimetres in height.
    pub amount: f64,
}

impl Finish<'_> {
    /// Plans the passes. Nowhere does the cutter go below the bilinear relief by more than the
    /// tolerance: the surface is lifted by what the end needs between nodes first.
    ///
    /// # Errors
    /// As [`ReliefSpec::surface`]; for a scallop not above zero or beyond a third of the
    /// cutter's nose (key `scallop`); for an angle that is no number.
    pub fn plan(&self, spec: &ReliefSpec<'_>) -> Result<ReliefPlan, Diagnostic> {
        spec.watch.tell("finding where the cutter touches", 0.0);
        let ground = self.ground(spec)?;
        let passes = ground.passes(spec.watch);
        let Tooling { cutter, data, top, .. } = spec.tooling;
        let standing = self.stands.map(|wood| Standing::new(wood, &ground.end, cutter, data));
        let mut standing = standing.transpose().map_err(|e| Diagnostic::error(e.to_string()))?;
        let all = passes.len().max(1) as f64;
        let mut done = 0;
        let mut pen = Pen::new(spec.tooling, spec.tolerance, self.arcs);
        let reach = (3.0 * ground.spacing).max(LINK);
        let way = |a: Point3, b: Point3| {
            (a.xy().distance(b.xy()) <= reach).then(|| ground.run(a.xy(), b.xy()))
        };
        for chain in chains(passes, way) {
            // Between two passes of a chain lies the way from one to the next.
            done += chain.len().div_ceil(2);
            spec.watch.tell("thinning the passes", done as f64 / all);
            let start = chain[0][0];
            let wood = standing.as_ref().map_or(top, |s| s.free(start.xy()) + ABOVE);
            let mut from = Some(top.min(wood));
            for points in chain {
                let runs = match &mut standing {
                    Some(standing) => standing.cut(&points),
                    None => vec![Run { purpose: Purpose::Finish, points }],
                };
                for Run { purpose, points } in runs {
                    match from.take() {
                        Some(from) => pen.enter(&points, from),
                        None => pen.sink(&points),
                    }
                    pen.follow_gently(purpose, &points);
                }
            }
            pen.retract();
        }
        let mut count = pen.count;
        count.pace = Pace::of(&pen.toolpath, spec.tooling.machine);
        let way = match self.course {
            Course::Lines(angle) => format!("at {:.0} degrees to x", angle.to_degrees()),
            Course::Border => "along the border".to_string(),
            Course::Spiral => "in a spiral".to_string(),
        };
        let length = |mm| spec.tooling.shown.measured(mm);
        let mut remarks = vec![format!(
            "finishing passes {} apart on the level, {way}, closer on slopes: scallops of {}",
            length(ground.spacing),
            length(self.scallop)
        )];
        if count.strokes > 0 {
            remarks.push(format!(
                "{} strokes ({} arcs) stand for {} points within {}; sharpest turn {:.1} degrees, mean stroke {}",
                count.strokes,
                count.arcs,
                count.points,
                length(spec.tolerance),
                count.sharpest.to_degrees(),
                length(count.length / count.strokes as f64)
            ));
            let Tooling { data, machine, shown, .. } = spec.tooling;
            remarks.push(pace::told(&count.pace, data.feed.value, machine, shown));
        }
        Ok(ReliefPlan { toolpath: pen.toolpath, count, remarks })
    }

    /// Whether there is anything to take, found without planning the passes.
    ///
    /// # Errors
    /// As [`Finish::plan`].
    pub fn takes(&self, spec: &ReliefSpec<'_>) -> Result<bool, Diagnostic> {
        Ok(self.ground(spec)?.any())
    }

    fn ground(&self, spec: &ReliefSpec<'_>) -> Result<Ground, Diagnostic> {
        let (end, _, over) = spec.surface()?;
        let nose = end.nose();
        let most = if nose > 0.0 && nose.is_finite() { nose / 3.0 } else { 1.0 };
        if !(self.scallop > 0.0 && self.scallop <= most) {
            return Err(Diagnostic::error(format!("a scallop of {} mm can not be asked", self.scallop))
                .key("scallop")
                .help(format!(
                    "give a scallop above 0 and at most {most:.3} mm, such as 0.02 mm, or another cutter"
                )));
        }
        if matches!(self.course, Course::Lines(angle) if !angle.is_finite()) {
            return Err(Diagnostic::error("the angle of the passes is no number")
                .key("angle")
                .help("give the angle from x, such as 0 or 45 degrees"));
        }
        let spacing =
            end.spacing(self.scallop).unwrap_or(spec.tooling.data.stepover.value).max(CLOSEST);
        let wanted = self.rest.map(|rest| wanted(rest, &end));
        let top = spec.tooling.top;
        Ok(Ground { end, over, wanted, spacing, course: self.course, top })
    }
}
