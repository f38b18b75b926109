//! One short straight piece of a stroke, over the columns that the cutter and its holder pass.

use super::body::Body;
use super::cells::Cells;
use crate::geometry::{Point, Point3, point};

/// Wood lower than this, mm, is no wood: rounding of text and of the grid's single precision.
pub(super) const NOISE: f64 = 0.02;

/// Widest skin, mm, that a finishing pass may take in full depth at its side (common practice:
/// 0.5 to 1 mm are left for finishing).
pub(super) const SKIN: f64 = 1.0;

/// A place where something stands too high above the tip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Standing {
    /// The tip when it happens.
    pub(super) at: Point3,
    /// How high it stands above the tip, mm.
    pub(super) height: f64,
}

/// Half the width of the cutter's middle: its flat end less a skin at either side.
pub(super) fn middle(body: &Body) -> f64 {
    // A cutter narrower than the skin takes half its radius.
    (body.flat - SKIN.min(body.radius / 2.0)).max(0.0)
}

/// Keeps the one that stands higher.
pub(super) fn keep_higher(kept: &mut Option<Standing>, new: Option<Standing>) {
    if new.is_some_and(|n| kept.is_none_or(|k| n.height > k.height)) {
        *kept = new;
    }
}

/// What one short piece met.
#[derive(Default)]
pub(super) struct Met {
    pub(super) cut: bool,
    pub(super) engaged: f64,
    pub(super) collides: Option<Standing>,
    pub(super) wall: Option<Standing>,
    pub(super) holder: Option<Standing>,
}

/// One short straight piece of a stroke over the grid.
pub(super) struct Piece<'b> {
    a: Point3,
    b: Point3,
    /// Unit direction in plan; zero for a piece straight up or down.
    along: Point,
    length: f64,
    low: Point3,
    body: &'b Body,
    /// Half the width of the stripe that counts as the cutter's middle.
    middle: f64,
    side: f64,
}

/// Where the tip is when it passes a column.
#[derive(Clone, Copy)]
struct Tip {
    at: Point3,
    /// From its axis to the column's middle.
    distance: f64,
}

impl<'b> Piece<'b> {
    pub(super) fn new(a: Point3, b: Point3, body: &'b Body, side: f64) -> Piece<'b> {
        let plan = b.xy() - a.xy();
        Piece {
            a,
            b,
            along: plan.unit().unwrap_or_default(),
            length: plan.length(),
            low: if a.z < b.z { a } else { b },
            body,
            // Never narrower than a column, or it would hold none.
            middle: middle(body).max(side / 2.0),
            side,
        }
    }

    /// Passes over the columns, cutting if it cuts, and says what it met.
    pub(super) fn visit(&self, cuts: bool, top: f64, cells: &mut Cells) -> Met {
        let mut met = Met::default();
        let depth = top - self.low.z;
        let wall = cuts && depth > self.body.flute_length + NOISE;
        let holder = depth > self.body.stick_out + NOISE;
        let cutter = depth > NOISE;
        let reach = match (holder, wall) {
            (true, _) => self.body.holder_radius.max(self.body.radius + 1.5 * self.side),
            (_, true) => self.body.radius + 1.5 * self.side,
            // Half a column more, to hold at least the one under the axis.
            _ => self.body.radius.max(self.side),
        };
        let (p, q) = (self.a.xy(), self.b.xy());
        let min = point(p.x.min(q.x) - reach, p.y.min(q.y) - reach);
        let max = point(p.x.max(q.x) + reach, p.y.max(q.y) + reach);
        let under = (cells.middle_at(p), cells.middle_at(q));
        cells.visit(min, max, |middle, floor| {
            // Most columns near a path are cut already: nothing of the cutter is lower than its tip.
            if f64::from(*floor) <= self.low.z {
                return;
            }
            let tip = self.nearest(middle);
            if tip.distance > reach {
                return;
            }
            let axis = Some(middle) == under.0 || Some(middle) == under.1;
            if cutter && (tip.distance <= self.body.radius || axis) {
                self.meet(tip, middle, axis, cuts, floor, &mut met);
            }
            let stands = f64::from(*floor);
            let above = |reach: f64, height: f64| {
                let over = stands - tip.at.z;
                (tip.distance < reach && over > height + NOISE)
                    .then_some(Standing { at: tip.at, height: over })
            };
            if wall && tip.distance > self.body.radius {
                keep_higher(
                    &mut met.wall,
                    above(self.body.radius + 1.5 * self.side, self.body.flute_length),
                );
            }
            if holder {
                keep_higher(&mut met.holder, above(self.body.holder_radius, self.body.stick_out));
            }
        });
        met
    }

    /// The cutter comes over a column.
    fn meet(
        &self,
        near: Tip,
        middle: Point,
        axis: bool,
        cuts: bool,
        floor: &mut f32,
        met: &mut Met,
    ) {
        let stands = f64::from(*floor);
        let (tip, surface) = self.lowest(near, middle);
        if !cuts {
            // Straight up meets nothing; half a noise of radius is rounding.
            let rises = self.length == 0.0 && self.b.z >= self.a.z;
            let under = axis && self.length == 0.0;
            let within = under || tip.distance <= self.body.radius - NOISE;
            if within && !rises && stands - surface > NOISE {
                let height = stands - tip.at.z;
                keep_higher(&mut met.collides, Some(Standing { at: tip.at, height }));
            }
            return;
        }
        if stands - surface > NOISE {
            met.cut = true;
            let aside = self.aside(middle);
            if aside <= self.middle || (axis && self.length == 0.0) {
                let bottom = self.coming(middle, &tip) + self.body.rise(aside);
                met.engaged = met.engaged.max(stands - bottom);
            }
        }
        if surface < stands {
            *floor = surface as f32;
        }
    }

    /// The tip where it is nearest to the column.
    fn nearest(&self, middle: Point) -> Tip {
        if self.length == 0.0 {
            return self.tip(self.low, middle);
        }
        let share = (middle - self.a.xy()).dot(self.along) / self.length;
        self.tip(self.a + (self.b - self.a) * share.clamp(0.0, 1.0), middle)
    }

    /// The tip at a point. The distance is worked out by hand: this runs for every column of
    /// every piece.
    fn tip(&self, at: Point3, middle: Point) -> Tip {
        let off = at.xy() - middle;
        Tip { at, distance: off.dot(off).sqrt() }
    }

    /// The tip with the cutter's lowest surface over a column within its radius: where it is
    /// nearest, or at the low end of the piece.
    fn lowest(&self, near: Tip, middle: Point) -> (Tip, f64) {
        let surface = |tip: &Tip| tip.at.z + self.body.rise(tip.distance);
        let of_near = surface(&near);
        if near.at.z > self.low.z {
            let low = self.tip(self.low, middle);
            let of_low = surface(&low);
            if low.distance <= self.body.radius && of_low < of_near {
                return (low, of_low);
            }
        }
        (near, of_near)
    }

    /// Distance from the line of travel, or from the axis for a piece straight up or down.
    fn aside(&self, middle: Point) -> f64 {
        let off = middle - self.a.xy();
        if self.length == 0.0 { off.length() } else { off.cross(self.along).abs() }
    }

    /// Height of the tip when it will be beside the column: a stroke that climbs goes on
    /// climbing, as when a round end runs up a slope.
    fn coming(&self, middle: Point, tip: &Tip) -> f64 {
        if self.length == 0.0 || self.b.z <= self.a.z {
            return tip.at.z;
        }
        let share = (middle - self.a.xy()).dot(self.along) / self.length;
        tip.at.z.max(self.a.z + (self.b.z - self.a.z) * share)
    }
}
