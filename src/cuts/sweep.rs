//! A profile swept along a path: mouldings milled from the solid.
//!
//! In the profile plane the lowest place of a cutter's tip over the face is known in closed form
//! ([`Ground::tip`]). It is exact for the swept body too: on a sweep along a line or a circle
//! every point of the face is nearest to the cutter's axis in the plane square to the sweep, so
//! a cutter that is off the section there is off the whole face. Passes lie where the scallop
//! between them is what was asked; each is one true arc or line of the path's own kind.

mod choice;
mod edge;
mod face;

mod locus;
mod passes;
mod rough;
mod span;
mod standing;
mod strokes;

pub use choice::{Choice, Chooser, Leftover, Spread};
pub use edge::Edge;
pub use face::{Face, Undercut};

pub use locus::Ground;
pub use passes::{Finisher, Sample, samples};
pub use span::{Run, Span};

use crate::geometry::{Path, Point, TooTight, point};
use crate::part::PassOrder;
use crate::shop::{Cutter, CuttingData, Machine};
use crate::toolpath::{Purpose, Toolpath};
use rough::Rough;
pub use rough::Roughing;
pub use standing::{Left, Standing};
use strokes::{Strokes, Table};

/// Room between the trench beside the face and the cutter that runs in it, mm.
const ROOM: f64 = 0.5;

/// A face with the waste beside it as roughing leaves it. Heights in the face's own frame.
#[derive(Clone, Debug)]
pub struct Section {
    /// The wanted face.
    pub face: Face,
    /// The face, the trench beside it, and the board beyond.
    pub ground: Ground,
    /// Least and greatest u for a cutter's axis.
    pub reach: (f64, f64),
    /// The stock's top.
    pub top: f64,
}

impl Section {
    /// For finishing cutters whose greatest rounding is `round`, and a roughing cutter that keeps
    /// `widest` from its axis to the face, in stock whose top is `top` above the face's lowest plane.
    #[must_use]
    pub fn new(face: Face, round: f64, widest: f64, top: f64) -> Section {
        let mut spans = face.spans.clone();
        let mut reach = face.extent;
        for side in [-1.0, 1.0] {
            let (edge_u, edge) = match side < 0.0 {
                true => (face.extent.0, face.spans.first()),
                false => (face.extent.1, face.spans.last()),
            };
            let Some(edge) = edge else { continue };
            // How steeply the face falls away outward at its edge.
            let inside = edge_u - side * 1e-6;
            let fall = (-side * edge.slope(inside)).max(0.0).atan();
            // A rounding that touches the edge hangs down beside it by r (1 - cos fall).
            let z = edge.z(edge_u) - round * (1.0 - fall.cos());
            // It must fit in, and roughing with it.
            let wide =
                (round * (1.0 + fall.sin())).max(if z < top - 1e-6 { 2.0 * widest } else { 0.0 });
            let far = edge_u + side * (wide + ROOM);
            let beyond = far + side * 4.0 * widest;
            let level =
                |a: f64, b: f64, z: f64| Span::line(point(a.min(b), z), point(a.max(b), z), None);
            spans.push(level(edge_u, far, z.max(0.0)));
            spans.push(level(far, beyond, top));
            match side < 0.0 {
                true => reach.0 = far,
                false => reach.1 = far,
            }
        }
        Section { face, ground: Ground::new(spans), reach, top }
    }

    /// Roughing to an allowance.
    #[must_use]
    pub fn roughing(&self, edge: Edge, allowance: f64, data: &CuttingData) -> Roughing {
        let rough = Rough {
            ground: &self.ground,
            edge,
            allowance,
            reach: self.reach,
            top: self.top,
            stepdown: data.stepdown.value,
        };
        rough.plan(&self.samples(allowance))
    }

    /// Passes of finishing cutters one after another, with others above them where roughing
    /// left more than a cutter may take at once; and what stands after them. `rough`: the roughing
    /// cutter and its tips.
    #[must_use]
    pub fn stepped(
        &self,
        rough: (Edge, &[Point]),
        finish: &[(Edge, Vec<Point>, f64)],
    ) -> (Vec<Vec<Point>>, Standing) {
        let before = rough.1.iter().map(|tip| (rough.0, *tip)).collect();
        let mut standing = Standing::after(self.top, before);
        let stepped =
            finish.iter().map(|(edge, tips, deep)| standing.stepped(edge, tips, *deep)).collect();
        (stepped, standing)
    }

    /// The samples that finishing must clear.
    #[must_use]
    pub fn samples(&self, scallop: f64) -> Vec<Sample> {
        samples(&self.face, self.top, scallop)
    }
}

/// The passes of one finishing cutter, in order; heights in the face's own frame.
#[derive(Clone, Debug, PartialEq)]
pub struct FinishPasses {
    /// The cutter's place among the candidates.
    pub cutter: usize,
    /// Where the tip runs: u and height.
    pub tips: Vec<Point>,
}

/// One sweep on the table, in work coordinates, for one cutter.
#[derive(Clone, Copy, Debug)]
pub struct Sweep<'a> {
    /// The section.
    pub section: &'a Section,
    /// The path in plan.
    pub path: &'a Path,
    /// Work height of the face's lowest plane.
    pub bottom: f64,
    /// How far lanes run on beyond the ends, mm.
    pub beyond: f64,
    /// The cutter.
    pub cutter: &'a Cutter,
    /// What it may do.
    pub data: &'a CuttingData,
    /// The machine.
    pub machine: &'a Machine,
    /// Height for travelling freely.
    pub travel_height: f64,
}

impl<'a> Sweep<'a> {
    fn strokes(&self) -> Strokes<'a> {
        Strokes::new(Table {
            path: self.path,
            beyond: self.beyond,
            data: self.data,
            machine: self.machine,
            top: self.bottom + self.section.top,
            travel_height: self.travel_height,
        })
    }

    /// The section's roughing to an allowance, from and to travel height.
    ///
    /// # Errors
    /// An arc of the path that a lane would shrink to nothing.
    pub fn rough(
        &self,
        edge: Edge,
        allowance: f64,
        roughing: &Roughing,
    ) -> Result<Toolpath, TooTight> {
        let Roughing { bands, passes } = roughing;
        let mut strokes = self.strokes();
        for band in bands {
            strokes.band(
                band,
                self.bottom,
                self.data.stepover.value,
                self.data.ramp_angle.value,
            )?;
        }
        let grown = edge.grown(allowance);
        let hump = |u: f64| self.section.ground.tip(&grown, u) + allowance;
        self.both_ways(&mut strokes, passes, &hump, Purpose::Rough)?;
        Ok(strokes.toolpath)
    }

    /// Finishing along the tips given, from and to travel height.
    ///
    /// # Errors
    /// As [`Sweep::rough`].
    pub fn finish(
        &self,
        edge: Edge,
        tips: &[Point],
        order: PassOrder,
    ) -> Result<Toolpath, TooTight> {
        let mut strokes = self.strokes();
        let hump = |u: f64| self.section.ground.tip(&edge, u);
        match order {
            PassOrder::BothWays => self.both_ways(&mut strokes, tips, &hump, Purpose::Finish)?,
            PassOrder::Downhill => {
                // One half after the other, so that each lift serves a whole half's pass.
                for forward in [true, false] {
                    self.halves(&mut strokes, tips, forward)?;
                }
            }
        }
        Ok(strokes.toolpath)
    }

    /// Pass after pass, each joined to the next beyond the ends.
    fn both_ways(
        &self,
        strokes: &mut Strokes<'_>,
        tips: &[Point],
        hump: &dyn Fn(f64) -> f64,
        purpose: Purpose,
    ) -> Result<(), TooTight> {
        let mut last: Option<(Point, Point)> = None;
        for (i, tip) in tips.iter().enumerate() {
            let lane = strokes.lane(tip.x, i % 2 == 0)?;
            let (Some(first), Some(end)) = (lane.first(), lane.last()) else { continue };
            let z = self.bottom + tip.y;
            match last {
                None => strokes.approach(first.from, z),
                Some((before, direction)) => {
                    let between = Between::of(hump, before, *tip);
                    strokes.link(direction, first.from.at(z), &between.over(self.bottom));
                }
            }
            strokes.along(purpose, &lane, z);
            last = Some((*tip, end.direction(1.0)));
        }
        if last.is_some() {
            strokes.retract();
        }
        Ok(())
    }

    /// Every pass from the middle of the path to one end.
    fn halves(
        &self,
        strokes: &mut Strokes<'_>,
        tips: &[Point],
        forward: bool,
    ) -> Result<(), TooTight> {
        for tip in tips {
            let lane = strokes.lane(tip.x, forward)?;
            let length: f64 = lane.iter().map(crate::geometry::Piece::length).sum();
            // A little before the crown, so that the halves run into each other.
            let (_, half) = strokes::split(&lane, length / 2.0 - self.cutter.radius());
            let Some(first) = half.first() else { continue };
            let z = self.bottom + tip.y;
            strokes.approach(first.from, z);
            strokes.along(Purpose::Finish, &half, z);
            strokes.retract();
        }
        Ok(())
    }
}

/// Places looked at between two passes.
const LOOKS: usize = 16;

/// What lies between two passes that are to be joined.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Between {
    /// Least height of the tip anywhere between.
    high: f64,
    /// How far the tip must stay above the straight way from one to the other.
    bulge: f64,
}

impl Between {
    fn of(tip: &dyn Fn(f64) -> f64, from: Point, to: Point) -> Between {
        // Far apart, hills of a moulding's size may lie between: look every millimetre at least.
        let looks = LOOKS.max((to.x - from.x).abs().ceil() as usize);
        let mut between = Between { high: f64::NEG_INFINITY, bulge: 0.0 };
        for i in 1..looks {
            let way = from + (to - from) * (i as f64 / looks as f64);
            let low = tip(way.x);
            between.high = between.high.max(low);
            between.bulge = between.bulge.max(low - way.y);
        }
        between
    }

    /// In work coordinates.
    fn over(self, bottom: f64) -> Between {
        Between { high: self.high + bottom, ..self }
    }
}
