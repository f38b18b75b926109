//! Pockets: rings from the inside out, then the walls; what a wide cutter leaves is taken by the
//! next.
//!
//! The middle of a cutter of radius r may go where the pocket's inset by r is. Rings are insets by
//! r, r + s, r + 2s, ... (s the stepover), certified and with true arcs; cut from the innermost
//! outward, each bites one stepover. All run with the pocket on their left: the wall is on the
//! right, which is climb milling.

mod cleared;
mod engagement;
mod figures;
mod fillet;
mod fronts;
mod join;
mod lap;
mod play;
mod rest;
mod rings;
mod unreached;
mod walker;

pub(in crate::cuts) use engagement::Engagement;
pub use figures::PocketFigures;
pub(in crate::cuts) use unreached::{Unreached, unreached};

use super::levels::levels;
use super::pen::Pen;
use crate::geometry::{OffsetError, Point, Region};
use crate::shop::{Cutter, CuttingData};
use crate::toolpath::Toolpath;
use crate::watch::Watch;
use engagement::nominal;
use play::{Heights, play};
use rings::Manner;

/// A pocket and the cutter at work in it, in work coordinates.
#[derive(Clone, Copy, Debug)]
pub(in crate::cuts) struct PocketCut<'a> {
    /// What is cleared.
    pub region: &'a Region,
    /// Height of the wood over it.
    pub top: f64,
    /// Height of its floor.
    pub floor: f64,
    /// The cutter.
    pub cutter: &'a Cutter,
    /// What it may do.
    pub data: &'a CuttingData,
    /// Wood left on the walls for the finishing pass.
    pub allowance: f64,
    /// Whether the load on the rim is held; else rings are cut as they are.
    pub hold: bool,
    /// Whether the outermost ring is the first.
    pub outside_in: bool,
    /// What is there no more.
    pub before: Before<'a>,
    /// Where this cutter's middle meets no wood: in deeper pockets within, cut before.
    pub bare: &'a [Region],
    /// Ways in from the air.
    pub mouths: &'a [Mouth],
    /// Who is told how far the rounds have come.
    pub watch: Watch<'a>,
}

/// A way in over an open edge: down in the air, then straight to where the rings begin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::cuts) struct Mouth {
    /// Where no wood is.
    pub air: Point,
    /// Where the cutter's middle may go.
    pub inside: Point,
}

/// What is there no more when a cutter begins: where the middle of the cutter before could go, and
/// where the stock ends.
#[derive(Clone, Copy, Debug)]
pub(in crate::cuts) struct Before<'a> {
    /// Its insets of the pocket; none before the first cutter.
    pub centres: &'a [Region],
    /// Its radius; zero before the first cutter.
    pub radius: f64,
    /// The stock's corners in plan: beyond them is no wood.
    pub stock: Option<(Point, Point)>,
}

impl PocketCut<'_> {
    /// Clears what this cutter reaches and the one before left, from and to travel height. Gives
    /// where its middle could go.
    ///
    /// # Errors
    /// An inset that can not be certified, with its place.
    pub(in crate::cuts) fn cut(&self, pen: &mut Pen<'_>) -> Result<Vec<Region>, OffsetError> {
        let radius = self.cutter.radius();
        let centres = self.region.reach(radius)?;
        // Where the cutter before did not go in at all, this one begins.
        if !self.before.centres.is_empty() {
            self.rest(pen, &centres)?;
            return Ok(centres);
        }
        let (hold, before, stepover) = (self.hold, self.gone(), self.data.stepover.value);
        let (outside_in, mouths) = (self.outside_in, self.mouths);
        let watch = self.watch;
        let manner = Manner { radius, stepover, hold, outside_in, before, mouths, watch };
        for start in &centres {
            let nest = rings::Nest::of(start, self.allowance, stepover, radius)?;
            let acts = nest.acts(start, &manner)?;
            let mut above = self.top;
            for z in levels(self.top, self.floor, self.data.stepdown.value) {
                play(pen, &acts.level, self.data, Heights { top: self.top, above, z });
                above = z;
            }
            let floor = Heights { top: self.top, above, z: self.floor };
            play(pen, &acts.floor, self.data, floor);
        }
        Ok(centres)
    }

    /// What is there no more when the first of the pocket's cutters begins; for the others what
    /// the one before cleared says it all.
    fn gone(&self) -> Before<'_> {
        match self.before.centres.is_empty() && !self.bare.is_empty() {
            true => Before { centres: self.bare, radius: self.cutter.radius(), ..self.before },
            false => self.before,
        }
    }

    /// Eases the feed wherever more than 1.2 times the nominal angle of the cutter's rim is in the
    /// wood, along all of this cut's moves, and gives the greatest that was met.
    /// Only the first `counted` steps are told of: corners that are relieved go into whole wood.
    pub(in crate::cuts) fn ease(&self, path: &mut Toolpath, counted: usize) -> Engagement {
        let meets = engagement::Meets {
            radius: self.cutter.radius(),
            stepover: self.data.stepover.value,
            top: self.top,
            before: self.gone(),
        };
        meets.ease(path, counted)
    }
}

/// Distance to the nearest of some regions, nothing within one; endless if there is none.
fn gap(regions: &[Region], p: Point) -> f64 {
    let to = |region: &Region| match region.contains(p) {
        true => 0.0,
        false => region
            .contours()
            .filter_map(|c| c.nearest(p))
            .map(|(gap, _)| gap)
            .fold(f64::INFINITY, f64::min),
    };
    regions.iter().map(to).fold(f64::INFINITY, f64::min)
}
