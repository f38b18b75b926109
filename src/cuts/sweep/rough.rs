//! Roughing: what comes away before the face is finished.

use super::edge::Edge;
use super::locus::Ground;
use super::passes::{Finisher, Sample};
use super::strokes::{Strokes, split};

use crate::cuts::levels::levels;
use crate::geometry::{Piece, Point, TooTight, point};
use crate::toolpath::Purpose;

/// Places where roughing must leave more than this, mm, are left to the finishing cutters.
const MOST_LEFT: f64 = 20.0;

/// A level clearing between two lanes, z in the face's own frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Band {
    /// Height that the band above was cut to, or the stock's top.
    pub(super) above: f64,
    /// Height that it is cut to.
    pub(super) z: f64,
    /// First and last lane.
    pub(super) lanes: (f64, f64),
}

impl Band {
    /// Its lanes, evenly spread.
    pub(super) fn lanes(&self, stepover: f64) -> Vec<f64> {
        let (low, high) = self.lanes;
        let gaps = ((high - low) / stepover).ceil().max(0.0);
        let at = |i: usize| if gaps > 0.0 { low + (high - low) * i as f64 / gaps } else { low };
        // A count of lanes across a moulding.
        (0..=(gaps as usize)).map(at).collect()
    }
}

/// What roughing is made of: bands, then passes along the face.
#[derive(Clone, Debug, PartialEq)]
pub struct Roughing {
    pub(super) bands: Vec<Band>,
    pub(super) passes: Vec<Point>,
}

impl Roughing {
    /// Where the cutter's tip runs, bands lane by lane, mm apart by `stepover` at most.
    #[must_use]
    pub fn tips(&self, stepover: f64) -> Vec<Point> {
        let lanes = self
            .bands
            .iter()
            .flat_map(|band| band.lanes(stepover).into_iter().map(|u| point(u, band.z)));
        lanes.chain(self.passes.iter().copied()).collect()
    }
}

/// Everything that roughing is planned from, heights in the face's own frame.
pub(super) struct Rough<'a> {
    pub(super) ground: &'a Ground,
    pub(super) edge: Edge,
    /// Left on the face.
    pub(super) allowance: f64,
    pub(super) reach: (f64, f64),
    pub(super) top: f64,
    pub(super) stepdown: f64,
}

impl Rough<'_> {
    /// Bands from the top down, each as wide as the face allows, then passes that take off the
    /// steps between them, so that no more than twice the allowance stays.
    pub(super) fn plan(&self, samples: &[Sample]) -> Roughing {
        let grown = self.edge.grown(self.allowance);
        // A cutter grown by the allowance has its lowest point that much lower.
        let lift = self.allowance;
        let locus: Vec<Point> = self
            .ground
            .locus(&grown, self.reach.0, self.reach.1)
            .into_iter()
            .map(|p| Point { y: p.y + lift, ..p })
            .collect();
        let lowest = locus.iter().map(|p| p.y).fold(f64::INFINITY, f64::min);
        if lowest >= self.top - 1e-6 {
            return Roughing { bands: Vec::new(), passes: Vec::new() };
        }
        let mut bands = Vec::new();
        let mut above = self.top;
        for z in levels(self.top, lowest, self.stepdown) {
            // A skin of rounding, so that the lowest level finds its own floor.
            let free = runs(&locus, z + 1e-6);
            bands.extend(free.into_iter().map(|lanes| Band { above, z, lanes }));
            above = z;
        }
        let finisher = Finisher::new(grown, self.ground, self.reach);
        // Along the face the cutter keeps the allowance off and may leave as much again.
        let asked: Vec<Sample> = samples.iter().map(|s| Sample { tolerance: lift, ..*s }).collect();
        let samples: Vec<Sample> = finisher
            .leaves_each(&asked, MOST_LEFT)
            .into_iter()
            .zip(asked)
            .map(|((more, normal), s)| Sample {
                tolerance: lift.max(more + lift / 2.0),
                normal,
                ..s
            })
            .collect();
        let passes = finisher.passes(&samples, &[]);
        let passes = passes.into_iter().map(|p| Point { y: p.y + lift, ..p });
        Roughing { bands, passes: passes.filter(|p| p.y < self.top - 1e-6).collect() }
    }
}

/// Stretches of a locus that lie at or below `z`, from u to u.
fn runs(locus: &[Point], z: f64) -> Vec<(f64, f64)> {
    let mut out: Vec<(f64, f64)> = Vec::new();
    let mut open = false;
    for p in locus {
        let free = p.y <= z;
        match (free, open) {
            (true, false) => out.push((p.x, p.x)),
            (true, true) => {
                if let Some(last) = out.last_mut() {
                    last.1 = p.x;
                }
            }
            _ => {}
        }
        open = free;
    }
    out
}

impl Strokes<'_> {
    /// One band: down a ramp along its first lane, back to clear the ramp, then lane by lane.
    pub(super) fn band(
        &mut self,
        band: &Band,
        bottom: f64,
        stepover: f64,
        ramp: f64,
    ) -> Result<(), TooTight> {
        let z = bottom + band.z;
        let mut forward = true;
        for (i, u) in band.lanes(stepover).into_iter().enumerate() {
            let lane = self.lane(u, forward)?;
            let Some(first) = lane.first() else { continue };
            if i == 0 {
                self.approach(first.from, bottom + band.above);
                self.ramp_in(&lane, bottom + band.above, z, ramp);
            } else {
                self.line(Purpose::Rough, first.from.at(z));
            }
            self.along(Purpose::Rough, &lane, z);
            forward = !forward;
        }
        self.retract();
        Ok(())
    }

    /// Down along a lane from its start and back to there at depth, to and fro if it is short.
    fn ramp_in(&mut self, lane: &[Piece], above: f64, z: f64, ramp: f64) {
        let length: f64 = lane.iter().map(Piece::length).sum();
        let needed = (above - z) / ramp.tan();
        let turns = (needed / length).ceil().max(1.0);
        let (there, _) = split(lane, needed / turns);
        let back: Vec<Piece> = there.iter().rev().map(Piece::reversed).collect();
        // A count of ways along the lane.
        let turns = turns as usize;
        for turn in 0..turns {
            let to = above + (z - above) * (turn + 1) as f64 / turns as f64;
            self.down(if turn % 2 == 0 { &there } else { &back }, to);
        }
        if turns % 2 == 1 {
            self.along(Purpose::Rough, &back, z);
        } else {
            self.along(Purpose::Rough, &there, z);
            self.along(Purpose::Rough, &back, z);
        }
    }
}
