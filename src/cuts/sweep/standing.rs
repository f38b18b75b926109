//! Wood that stands where a pass is to run: no pass goes deeper than its cutter may.

use super::edge::Edge;
use super::face::Face;
use crate::geometry::{Point, point};

/// Slices that a section is summed over.
const SLICES: u32 = 48;
/// Thinnest layer that a pass of its own takes, mm: a chip of the least cutters.
const LEAST: f64 = 0.05;
/// Share of the stepdown, and of its groove, that a pass may use: the rest is for rounding.
const SHARE: f64 = 0.95;
/// The same of the groove where a pass goes deeper than one stepdown in full width: the sides of a
/// slot rub all the way up.
const SOLID: f64 = 0.65;
/// Width that may be free in what still counts as full width, mm: whoever measures the cut in cells
/// of half a millimetre sees two of them less.
const TOLERATED: f64 = 1.3;
/// Halvings of a search for the next level: to a thousandth of the depth.
const HALVINGS: usize = 10;

/// What a sweep should leave at places across it, evenly spaced. Heights in the face's own frame.
#[derive(Clone, Debug, PartialEq)]
pub struct Left {
    from: f64,
    step: f64,
    /// Lowest and highest at each place.
    bands: Vec<(f64, f64)>,
}

impl Left {
    /// Lowest and highest that may stand at `u`; `None` beside the face.
    #[must_use]
    pub fn at(&self, u: f64) -> Option<(f64, f64)> {
        let place = (u - self.from) / self.step;
        // A place of the table: below zero there is none.
        (place >= 0.0).then(|| self.bands.get(place as usize).copied()).flatten()
    }
}

/// Places of a table of what is left, mm apart.
const PLACE: f64 = 0.02;

/// What stands across a sweep while passes come off it. Heights in the face's own frame.
#[derive(Clone, Debug)]
pub struct Standing {
    /// The stock's top.
    top: f64,
    /// From left to right.
    passes: Vec<(Edge, Point)>,
    /// Radius of the widest.
    widest: f64,
}

impl Standing {
    /// The stock after some passes.
    pub(super) fn after(top: f64, mut passes: Vec<(Edge, Point)>) -> Standing {
        passes.sort_by(|a, b| a.1.x.total_cmp(&b.1.x));
        let widest = passes.iter().map(|p| p.0.radius).fold(0.0, f64::max);
        Standing { top, passes, widest }
    }

    fn take(&mut self, edge: &Edge, tip: Point) {
        let place = self.passes.partition_point(|p| p.1.x <= tip.x);
        self.passes.insert(place, (*edge, tip));
        self.widest = self.widest.max(edge.radius);
    }

    /// What finishing should leave of a face: no lower than the face, no higher than the passes
    /// make it, each taken over a place and its neighbours.
    #[must_use]
    pub fn left(&self, face: &Face) -> Left {
        let (low, high) = face.extent;
        // A count of places across a moulding.
        let count = ((high - low) / PLACE).ceil() as usize;
        let rows: Vec<(f64, f64)> = (0..=count)
            .map(|i| {
                let u = low + PLACE * i as f64;
                let lower = [u - 1e-4, u + 1e-4].map(|v| face.z(v.clamp(low, high)));
                (lower[0].min(lower[1]), self.height(u))
            })
            .collect();
        let bands = (0..count)
            .map(|i| {
                let near = &rows[i.saturating_sub(1)..(i + 3).min(rows.len())];
                let lowest = near.iter().map(|r| r.0).fold(f64::INFINITY, f64::min);
                let highest = near.iter().map(|r| r.1).fold(lowest, f64::max);
                (lowest, highest)
            })
            .collect();
        Left { from: low, step: PLACE, bands }
    }

    fn height(&self, u: f64) -> f64 {
        let from = self.passes.partition_point(|p| p.1.x < u - self.widest);
        let near = self.passes[from..].iter().take_while(|p| p.1.x <= u + self.widest);
        let left = near.map(|(edge, tip)| tip.y + edge.rise((u - tip.x).abs()));
        left.fold(self.top, f64::min)
    }

    /// Heights over the middles of the slices of a cutter's width.
    fn over(&self, edge: &Edge, tip: Point) -> Slices {
        let wide = 2.0 * edge.radius / f64::from(SLICES);
        let each = (0..SLICES).map(|i| {
            let d = (f64::from(i) + 0.5) * wide - edge.radius;
            (self.height(tip.x + d), edge.rise(d.abs()))
        });
        Slices { wide, each: each.collect(), middle: self.height(tip.x) }
    }

    /// The passes with others above them where one alone would take more than the cutter may:
    /// more than a full groove of one stepdown, or deeper than that in full width.
    pub(super) fn stepped(&mut self, edge: &Edge, tips: &[Point], stepdown: f64) -> Vec<Point> {
        let most = Most { stepdown: stepdown * SHARE, groove: groove(edge, stepdown) };
        let mut out = Vec::new();
        for tip in tips {
            let slices = self.over(edge, *tip);
            let mut z = slices.top(tip.y);
            while !slices.taken(tip.y, z).fits(&most) && z - tip.y > LEAST {
                // As deep as it may go, found by halving; but by steps that are worth a pass.
                let (mut low, mut high) = (tip.y, z);
                for _ in 0..HALVINGS {
                    let middle = (low + high) / 2.0;
                    let fits = slices.taken(middle, z).fits(&most);
                    if fits { high = middle } else { low = middle }
                }
                z = high.min(z - LEAST).max(tip.y);
                if z > tip.y {
                    out.push(point(tip.x, z));
                }
            }
            out.push(*tip);
            self.take(edge, *tip);
        }
        out
    }
}

/// What a cutter may take at once.
struct Most {
    stepdown: f64,
    /// Section of a groove of one whole stepdown, mm².
    groove: f64,
}

/// Wood across a cutter.
struct Slices {
    wide: f64,
    /// What stands, and how far the cutter's outline lies above its tip.
    each: Vec<(f64, f64)>,
    /// What stands over the axis.
    middle: f64,
}

/// What a pass takes.
struct Taken {
    section: f64,
    /// Greatest height of the wood that it touches, over its tip.
    depth: f64,
    /// Height over its axis.
    head_on: f64,
    /// Whether it touches wood all across.
    whole: bool,
}

impl Slices {
    /// The tip's height at which a cutter begins to touch, on its way down to `bottom`.
    fn top(&self, bottom: f64) -> f64 {
        self.each.iter().map(|(stands, rise)| stands - rise).fold(bottom, f64::max)
    }

    /// What a pass at `z` takes after one at `before`.
    fn taken(&self, z: f64, before: f64) -> Taken {
        let mut taken =
            Taken { section: 0.0, depth: 0.0, head_on: self.middle.min(before) - z, whole: true };
        let (mut touched, mut reached) = (0_u32, 0_u32);
        for (stands, rise) in &self.each {
            let stands = stands.min(before + rise);
            let off = stands - z - rise;
            // Wood that is not touched is not met, however high it stands.
            if off > 0.0 {
                taken.section += off * self.wide;
                taken.depth = taken.depth.max(stands - z);
                touched += 1;
            }
        }
        for (_, rise) in &self.each {
            reached += u32::from(*rise < taken.depth);
        }
        taken.whole = f64::from(touched) * self.wide + TOLERATED >= f64::from(reached) * self.wide;
        taken
    }
}

impl Taken {
    fn fits(&self, most: &Most) -> bool {
        let deep = self.depth > most.stepdown && self.whole;
        let share = if deep { SOLID } else { SHARE };
        self.head_on <= most.stepdown && self.section <= most.groove * share
    }
}

/// Section of a groove of this depth, mm².
fn groove(edge: &Edge, depth: f64) -> f64 {
    let slice = edge.radius / f64::from(SLICES);
    let halves = (0..SLICES).map(|i| (depth - edge.rise((f64::from(i) + 0.5) * slice)).max(0.0));
    2.0 * slice * halves.sum::<f64>()
}
