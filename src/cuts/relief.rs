//! Carved relief: roughing by levels and finishing by parallel passes, on the surface where
//! the cutter touches the relief and nowhere cuts into it.

mod chain;
mod finish;
mod fragile;
mod pace;
pub(super) mod pen;
mod rough;
mod standing;
mod thin;
mod wall;

pub use finish::{Course, Finish, Rest};
pub use fragile::{Fragile, Weakness, short_grain, too_narrow, undercut};
pub use pace::Pace;
pub use rough::{Rough, left_by};

use crate::diagnostic::Diagnostic;
use crate::geometry::HeightField;
use crate::geometry::cutter_surface::{CutterEnd, CutterSurface};
use crate::shop::{Cutter, CutterShape, CuttingData, Machine};
use crate::toolpath::Toolpath;
use crate::units::Shown;
use crate::watch::Watch;

/// With what and above what a cut is made.
#[derive(Clone, Copy, Debug)]
pub struct Tooling<'a> {
    /// With which cutter.
    pub cutter: &'a Cutter,
    /// How fast and how deep.
    pub data: &'a CuttingData,
    /// On which machine.
    pub machine: &'a Machine,
    /// Height of the stock's top.
    pub top: f64,
    /// Height for travelling freely.
    pub travel_height: f64,
    /// How the reader is shown lengths.
    pub shown: Shown,
}

impl Tooling<'_> {
    /// Whether the cutter may go straight down into wood.
    fn plunges(&self) -> bool {
        self.cutter.centre_cutting && self.data.plunge.value > 0.0
    }
}

/// What every cut of a relief needs; heights and places in work coordinates.
#[derive(Clone, Copy, Debug)]
pub struct ReliefSpec<'a> {
    /// The relief as it is to be.
    pub relief: &'a HeightField,
    /// With what.
    pub tooling: Tooling<'a>,
    /// How far a pass may leave the cutter surface to either side, measured square to it.
    pub tolerance: f64,
    /// Who is told how far the plan has come.
    pub watch: Watch<'a>,
}

/// A planned cut of a relief.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ReliefPlan {
    /// The moves, from and to the height for travelling; without spindle and cutter change.
    pub toolpath: Toolpath,
    /// What they are made of.
    pub count: Count,
    /// What the setup sheet should say about it.
    pub remarks: Vec<String>,
}

/// How much a plan was thinned, and how smoothly it runs.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Count {
    /// Points of the grid along the passes.
    pub points: usize,
    /// Strokes that stand for them.
    pub strokes: usize,
    /// Strokes that are arcs.
    pub arcs: usize,
    /// Length of all passes, millimetres.
    pub length: f64,
    /// The greatest turn between strokes of a pass, radians.
    pub sharpest: f64,
    /// How long the strokes of a finish take; zero for other cuts.
    pub pace: Pace,
    /// In how many levels incised work is cut; zero for other cuts.
    pub levels: usize,
    /// How far incised work goes below its ground, millimetres; zero for other cuts.
    pub deepest: f64,
}

/// The end of a cutter of the table.
///
/// # Errors
/// When its measures make no such cutter.
pub fn end_of(cutter: &Cutter) -> Result<CutterEnd, Diagnostic> {
    let (radius, angle, tip) =
        (cutter.radius(), cutter.included_angle.0, cutter.tip_diameter.0 / 2.0);
    let end = match cutter.shape {
        CutterShape::Flat => CutterEnd::flat(radius),
        CutterShape::Ball => CutterEnd::ball(radius),
        CutterShape::BullNose => CutterEnd::bull_nose(radius, cutter.corner_radius.0),
        CutterShape::V => CutterEnd::cone(radius, tip, angle),
        CutterShape::TaperBall => CutterEnd::taper_ball(radius, tip, angle),
        CutterShape::Drill => None,
    };
    end.ok_or_else(|| {
        Diagnostic::error(format!("{} can not carve: its measures make no milling end", cutter.title()))
            .help("give a flat, ball, bull-nose, V or taper-ball cutter with its diameter, corner, tip and angle")
    })
}

impl ReliefSpec<'_> {
    /// The surface on which the cutter's tip may stand.
    ///
    /// # Errors
    /// As [`end_of`]; if the tolerance is not above zero; if the relief stands above the stock.
    pub fn surface(&self) -> Result<(CutterEnd, CutterSurface, HeightField), Diagnostic> {
        let end = end_of(self.tooling.cutter)?;
        if !(self.tolerance > 0.0 && self.tolerance.is_finite()) {
            return Err(Diagnostic::error(format!(
                "a tolerance of {} mm can not be kept",
                self.tolerance
            ))
            .key("tolerance")
            .help("give a tolerance above 0, such as 0.002 mm"));
        }
        let surface = CutterSurface::new(&end, self.relief.cell());
        let over = surface.over(self.relief);
        Ok((end, surface, over))
    }

    /// What this cutter leaves of the relief once it has been everywhere.
    ///
    /// # Errors
    /// As [`ReliefSpec::surface`].
    pub fn left(&self) -> Result<HeightField, Diagnostic> {
        let (_, surface, over) = self.surface()?;
        Ok(surface.left(&over))
    }
}
