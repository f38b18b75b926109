//! Holes and their counterbores: which cutter makes them, and how.

use super::sequence::{Phase, Task};
use super::{SAME_WIDTH, Side, too_short};
use crate::cuts::hole::{self, HoleCut, NO_CIRCLE};
use crate::cuts::pen::Pen;
use crate::diagnostic::Diagnostic;
use crate::geometry::Point;
use crate::part::features::{Bore, Hole};
use crate::shop::{Cutter, CutterShape, CuttingData};
use crate::toolpath::Toolpath;
use std::f64::consts::FRAC_PI_2;

impl<'a> Side<'a> {
    /// The counterbores of equal holes.
    pub(super) fn mouths(&self, hole: &Hole) -> Option<Result<Task, Diagnostic>> {
        let (diameter, depth, cutter) = hole.counterbore?;
        let key = format!("{}.counterbore", hole.key);
        let top = self.bench.stock.max.z;
        Some(self.bores(&hole.at, diameter, (top, top - depth), cutter, None, &key))
    }

    /// Equal holes, from the floor of their counterbores down.
    pub(super) fn holes(&self, hole: &Hole) -> Result<Task, Diagnostic> {
        let face = self.bench.stock.max.z;
        let top = face - hole.counterbore.map_or(0.0, |(_, depth, _)| depth);
        let bottom = hole.depth.map_or(f64::NEG_INFINITY, |depth| face - depth);
        self.bores(&hole.at, hole.diameter, (top, bottom), hole.cutter, hole.bore, &hole.key)
    }

    /// Equal holes in a row; a bottom of minus infinity is all through.
    pub(super) fn bores(
        &self,
        at: &[Point],
        diameter: f64,
        (top, bottom): (f64, f64),
        number: Option<u32>,
        bore: Option<Bore>,
        key: &str,
    ) -> Result<Task, Diagnostic> {
        let (cutter, data) = self.hole_cutter(diameter, number, top - bottom, (bore, key))?;
        let drill = cutter.shape == CutterShape::Drill;
        let asked = bore;
        let bore = bore.unwrap_or(if drill { Bore::Peck } else { Bore::Helix });
        let shown = self.bench.job.shown;
        let wrong = |text: String, help: String| {
            Err(Diagnostic::error(text).key(format!("{}.{key}", self.bench.part.key)).help(help))
        };
        let around = diameter - cutter.diameter.0;
        if around < -SAME_WIDTH {
            return wrong(
                format!("{} is wider than the hole, {}", cutter.title(), shown.both(diameter)),
                format!("use a cutter of at most {}", shown.both(diameter)),
            );
        }
        if asked == Some(Bore::Helix) && (drill || around / 2.0 <= NO_CIRCLE) {
            let what = if drill { "does not go round" } else { "has no room to go round" };
            return wrong(
                format!("{} {what} in a hole of {}", cutter.title(), shown.both(diameter)),
                "leave `bore` out, or name a flat cutter narrower than the hole".to_string(),
            );
        }
        if (bore != Bore::Helix || drill) && around > SAME_WIDTH {
            return wrong(
                format!(
                    "{} goes straight down and is {} narrower than the hole",
                    cutter.title(),
                    shown.both(around)
                ),
                "use a drill of the hole's diameter, or `bore = \"helix\"` with a flat cutter"
                    .to_string(),
            );
        }
        if (bore != Bore::Helix || around / 2.0 <= NO_CIRCLE) && !cutter.centre_cutting && !drill {
            return wrong(
                format!(
                    "the edges of {} do not reach its axis: it can not go straight down",
                    cutter.title()
                ),
                "use a drill, or a narrower cutter with `bore = \"helix\"`".to_string(),
            );
        }
        let bottom = if bottom.is_finite() { bottom } else { self.through(cutter) };
        let depth = self.bench.stock.max.z - bottom;
        if depth > cutter.flute_length.0 + 1e-6 {
            let (message, help) = too_short("hole", depth, cutter, shown);
            return wrong(message, help);
        }
        // A helix can begin all round its hole; four places are near enough to any way there.
        let quarters = if bore == Bore::Helix { 0..4 } else { 0..1 };
        let way = |at: Point, quarter: i32| {
            let from = f64::from(quarter) * FRAC_PI_2;
            let mut pen = Pen::new(self.rules(&data));
            let one = HoleCut { at, diameter, top, bottom, bore, from };
            hole::cut(&mut pen, cutter, &data, &one);
            pen.toolpath
        };
        let ways = |p: &Point| -> Vec<Toolpath> {
            quarters.clone().map(|quarter| way(self.at(*p), quarter)).collect()
        };
        let places = at.iter().map(ways).collect();
        Ok(Task::new(Phase::Holes, cutter, data, places))
    }

    /// Where the tip stops when a hole goes all through: a drill's point goes on below, as far as
    /// the machine permits.
    fn through(&self, cutter: &Cutter) -> f64 {
        let point = match cutter.shape {
            CutterShape::Drill if cutter.included_angle.0 > 0.0 => {
                cutter.radius() / (cutter.included_angle.0 / 2.0).tan()
            }
            _ => 0.0,
        };
        let wanted = point + self.bench.part.outline.overcut.0;
        self.bench.stock.min.z - wanted.min(self.bench.shop.machine.into_spoilboard.0)
    }

    /// The cutter that was named; else a drill of the diameter; else the widest flat cutter that
    /// can go round in the hole, or straight down where only one as wide as the hole is long
    /// enough. An endless depth is all through.
    fn hole_cutter(
        &self,
        diameter: f64,
        number: Option<u32>,
        depth: f64,
        (bore, key): (Option<Bore>, &str),
    ) -> Result<(&'a Cutter, CuttingData), Diagnostic> {
        let cutter_key = format!("{key}.cutter");
        if let Some(number) = number {
            return self.bench.cutter(number, &cutter_key);
        }
        let cutters = &self.bench.shop.cutters;
        let drill = cutters.iter().find(|c| {
            c.shape == CutterShape::Drill && (c.diameter.0 - diameter).abs() < SAME_WIDTH
        });
        let depth = depth.min(self.bench.stock.size().z);
        let long = |c: &&Cutter| c.flute_length.0 >= depth;
        let narrower = || {
            cutters.iter().filter(|c| {
                c.shape == CutterShape::Flat && c.diameter.0 < diameter - 4.0 * NO_CIRCLE
            })
        };
        let wider = |a: &&Cutter, b: &&Cutter| a.diameter.0.total_cmp(&b.diameter.0);
        let as_wide = || {
            let same = cutters.iter().filter(|c| (c.diameter.0 - diameter).abs() < SAME_WIDTH);
            same.filter(|c| c.shape == CutterShape::Flat && c.centre_cutting).find(long)
        };
        let widest = || {
            narrower()
                .filter(long)
                .max_by(wider)
                .or_else(as_wide)
                .or_else(|| narrower().max_by(wider))
        };
        // Round and down goes a flat cutter.
        match drill.filter(|_| bore != Some(Bore::Helix)).or_else(widest) {
            Some(cutter) => self.bench.cutter(cutter.number, key),
            None => Err(Diagnostic::error(match bore {
                Some(Bore::Helix) => format!(
                    "the shop has no flat cutter that goes round in a hole of {}",
                    self.bench.job.shown.both(diameter)
                ),
                _ => format!(
                    "the shop has no drill of {} and no flat cutter that is narrower",
                    self.bench.job.shown.both(diameter)
                ),
            })
            .key(format!("{}.{key}", self.bench.part.key))
            .help("add one to the shop's [[cutter]] tables, or change the diameter")),
        }
    }
}
