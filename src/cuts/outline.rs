//! The outline cut: round a part, within a line or along it, held until the last pass.

mod checks;
mod finish;
mod rough;

pub(super) use checks::{cuts_so_deep, narrowest};

use super::Tab;
use super::pen::{Pen, Rules};
use super::tabs::{self, TabRoom};
use super::track::Track;
use crate::diagnostic::Diagnostic;
use crate::geometry::{Box3, Contour, Point};
use crate::job::{Hold, Milling, OutlineCut, Side};
use crate::shop::{Cutter, CuttingData, Machine};
use crate::toolpath::Toolpath;
use crate::units::Shown;

/// Everything an outline cut is planned from; geometry in work coordinates.
#[derive(Clone, Copy, Debug)]
pub struct OutlineSpec<'a> {
    /// The line to be cut, closed, counter-clockwise.
    pub part: &'a Contour,
    /// How.
    pub cut: &'a OutlineCut,
    /// What holds part and stock.
    pub hold: &'a Hold,
    /// Whether a screw or clamp goes through or stands on the part itself.
    pub part_is_fixed: bool,
    /// With which cutter.
    pub cutter: &'a Cutter,
    /// All of the shop's: another may be the way out.
    pub cutters: &'a [Cutter],
    /// How fast and how deep.
    pub data: &'a CuttingData,
    /// On which machine.
    pub machine: &'a Machine,
    /// In which board.
    pub stock: Box3,
    /// Height for travelling freely.
    pub travel_height: f64,
    /// Direction of the grain, a unit vector.
    pub grain: Point,
    /// How lengths are shown in messages.
    pub shown: Shown,
}

/// A planned outline cut.
#[derive(Clone, Debug, PartialEq)]
pub struct OutlinePlan {
    /// The moves, from and to the height for travelling; without spindle and cutter change.
    pub toolpath: Toolpath,
    /// The tabs left standing.
    pub tabs: Vec<Tab>,
    /// What the setup sheet should say about it.
    pub remarks: Vec<String>,
    /// What the user should know before cutting.
    pub cautions: Vec<String>,
}

/// What follows from a spec: the tracks, the depths, the places of leads and tabs.
struct Layout<'a> {
    spec: OutlineSpec<'a>,
    /// Path of the cutter's centre for the finished line, in the direction of milling.
    finish: Track,
    /// Path of the cutter's centre for roughing, in the same direction.
    rough: Track,
    /// Whether the waste lies to the left of the tracks' travel.
    waste_left: bool,
    /// Height of the last pass.
    bottom: f64,
    tabs: Vec<Tab>,
    /// Height of the tabs' tops; at or below `bottom` without tabs.
    tab_top: f64,
    chains: Vec<finish::Chain>,
}

/// Height of the last pass of an outline in a board that lies so.
pub(super) fn bottom(cut: &OutlineCut, hold: &Hold, stock: Box3) -> f64 {
    match (cut.depth, hold.skin) {
        (Some(depth), _) => stock.max.z - depth.0,
        (None, Some(skin)) => stock.min.z + skin.0,
        (None, None) => stock.min.z - cut.overcut.0,
    }
}

impl OutlineSpec<'_> {
    /// Plans the cut.
    ///
    /// # Errors
    /// Diagnostics whose keys are relative to the part: `outline.cutter`, `hold.tabs.count`.
    pub fn plan(self) -> Result<OutlinePlan, Vec<Diagnostic>> {
        self.plan_held(&|_| true)
    }

    /// As [`OutlineSpec::plan`], with tabs only where `holds` allows their middle on the line.
    ///
    /// # Errors
    /// As [`OutlineSpec::plan`].
    pub fn plan_held(self, holds: &dyn Fn(Point) -> bool) -> Result<OutlinePlan, Vec<Diagnostic>> {
        checks::check(&self)?;
        let layout = self.lay_out(holds).map_err(|one| vec![one])?;
        let mut pen = Pen::new(self.rules());
        rough::cut(&layout, &mut pen);
        finish::cut(&layout, &mut pen);
        let mut remarks = finish::remarks(&layout);
        let mut cautions = Vec::new();
        checks::describe(&layout, &mut remarks, &mut cautions);
        Ok(OutlinePlan { toolpath: pen.toolpath, tabs: layout.tabs, remarks, cautions })
    }

    fn rules(&self) -> Rules<'_> {
        Rules {
            data: self.data,
            machine: self.machine,
            travel_height: self.travel_height,
            top: self.stock.max.z,
            grain: self.grain,
        }
    }

    fn lay_out(&self, holds: &dyn Fn(Point) -> bool) -> Result<Layout<'_>, Diagnostic> {
        // Outside, the waste is round the part: climb keeps the part on the right, clockwise.
        let clockwise =
            match (self.cut.side, self.cut.milling) {
                (Side::Inside, Milling::Climb)
                | (Side::Outside | Side::On, Milling::Conventional) => false,
                (Side::Inside, Milling::Conventional)
                | (Side::Outside | Side::On, Milling::Climb) => true,
            };
        let (aside, allowance) = self.asides();
        let finish = self.path(aside, clockwise)?;
        let rough = self.path(aside + allowance * aside.signum(), clockwise)?;
        let bottom = self.bottom();
        let tab_top = match self.hold.tabs {
            Some(tabs) if self.cuts_through() => self.stock.min.z + tabs.height.0,
            _ => bottom,
        };
        let mut layout = Layout {
            spec: *self,
            finish,
            rough,
            waste_left: (self.cut.side == Side::Outside) == clockwise,
            bottom,
            tabs: Vec::new(),
            tab_top,
            chains: Vec::new(),
        };
        layout.chains = finish::chains(&layout);
        layout.tabs = self.tabs(&layout, holds)?;
        Ok(layout)
    }

    /// Distance of the finished path from the line, outward positive, and the allowance.
    fn asides(&self) -> (f64, f64) {
        let radius = self.cutter.radius();
        match self.cut.side {
            Side::Outside => (radius, self.cut.allowance.0),
            Side::Inside => (-radius, self.cut.allowance.0),
            Side::On => (0.0, 0.0),
        }
    }

    /// The path of the cutter's centre, `aside` outward of the line.
    fn path(&self, aside: f64, clockwise: bool) -> Result<Track, Diagnostic> {
        let loops = self.part.offset(-aside).map_err(|e| {
            Diagnostic::error(e.to_string()).key("").help("check the outline's figures")
        })?;
        let [one] = loops.as_slice() else {
            let (low, high) = self.part.bounds().unwrap_or_default();
            let least = (high.x - low.x).min(high.y - low.y);
            let what = if loops.is_empty() {
                "the cutter does not fit within the outline"
            } else {
                "the outline narrows to less than the cutter needs, and the cut falls apart"
            };
            return Err(Diagnostic::error(what).key("outline.cutter").help(format!(
                "use a cutter well below the outline's least width, {}",
                self.shown.both(least)
            )));
        };
        let turned = (one.area() < 0.0) != clockwise;
        let contour = if turned { one.reversed() } else { one.clone() };
        Ok(Track::new(&contour))
    }

    /// Whether the cut goes through the stock.
    fn cuts_through(&self) -> bool {
        self.bottom() < self.stock.min.z + 1e-9
    }

    /// Height of the last pass.
    fn bottom(&self) -> f64 {
        bottom(self.cut, self.hold, self.stock)
    }

    fn tabs(
        &self,
        layout: &Layout<'_>,
        holds: &dyn Fn(Point) -> bool,
    ) -> Result<Vec<Tab>, Diagnostic> {
        let Some(wanted) = self.hold.tabs.filter(|_| self.cuts_through()) else {
            return Ok(Vec::new());
        };
        let outline = Track::new(self.part);
        let run = (layout.tab_top - layout.bottom) / layout.tab_slope();
        let room = TabRoom {
            count: wanted.count as usize,
            half: wanted.width.0 / 2.0 + self.cutter.radius() + run,
            // Tighter arcs are corners: a tab there is a wedge, and a saw has no room.
            least_radius: 4.0 * self.cutter.diameter.0,
        };
        let kept_clear: Vec<(f64, f64)> =
            layout.lead_places().map(|(p, half)| (outline.nearest(p), half)).collect();
        // A tab needs waste beyond the slot that is at least as wide as itself is high twice.
        let slot = 2.0 * self.cutter.radius() + self.cut.allowance.0;
        let reach = slot + 2.0 * wanted.height.0;
        // The line runs counter-clockwise: outward is to the right of it.
        let outward = |s: f64| match self.cut.side {
            Side::Inside => outline.direction(s).left(),
            Side::Outside | Side::On => -outline.direction(s).left(),
        };
        let bridges = |s: f64| {
            [-1.0, 0.0, 1.0].iter().all(|side| {
                let at = s + side * wanted.width.0 / 2.0;
                let beyond = outline.at(at) + outward(at) * reach;
                let (low, high) = (self.stock.min, self.stock.max);
                (low.x..=high.x).contains(&beyond.x)
                    && (low.y..=high.y).contains(&beyond.y)
                    && holds(outline.at(at))
            })
        };
        let places = tabs::place(&outline, room, &kept_clear, &bridges);
        if places.len() < room.count {
            return Err(Diagnostic::error(format!(
                "only {} of {} tabs find room on lines and wide arcs, away from corners and leads, where the stock goes on for {} beyond the edge",
                places.len(),
                room.count,
                self.shown.both(reach)
            ))
            .key("hold.tabs.count")
            .help(match places.len() {
                0 => "leave more waste round the part, make the tabs narrower or lower, or hold the part by a skin".to_string(),
                n => format!("ask for {n}, leave more waste round the part, or make them narrower or lower"),
            }));
        }
        Ok(places.into_iter().map(|s| Tab { at: outline.at(s), out: outward(s) }).collect())
    }
}

impl Layout<'_> {
    /// Slope of the tabs' sides, rise over run.
    fn tab_slope(&self) -> f64 {
        if self.spec.cutter.centre_cutting {
            // 30 degrees, taken at the plunge feed.
            30f64.to_radians().tan()
        } else {
            self.spec.data.ramp_angle.value.tan()
        }
    }

    /// Unit vector across a track's travel, into the waste.
    fn waste(&self, direction: Point, forward: bool) -> Point {
        if self.waste_left == forward { direction.left() } else { -direction.left() }
    }

    /// Least heights over the tabs between two places of a track.
    fn over_tabs(&self, track: &Track, from: f64, to: f64) -> super::Profile {
        let half = self.spec.hold.tabs.map_or(0.0, |t| t.width.0 / 2.0) + self.spec.cutter.radius();
        let heights = (self.bottom, self.tab_top);
        tabs::profile(track, &self.tabs, (from, to), heights, half, self.tab_slope())
    }

    /// Places that tabs keep clear of, and half the room each lead takes.
    fn lead_places(&self) -> impl Iterator<Item = (Point, f64)> + '_ {
        let half = self.spec.cutter.diameter.0 * 1.5 + finish::OVERLAP;
        self.chains
            .iter()
            .flat_map(|chain| {
                let track = self.track_of(chain);
                [track.at(chain.from), track.at(chain.to)]
            })
            .map(move |p| (p, half))
    }
}
