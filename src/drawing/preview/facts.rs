//! What the views of a picture have in common.

use super::{PreviewInput, part_size};
use crate::drawing::trace::FARTHEST;
use crate::drawing::{Role, Trace, trace};
use crate::geometry::{Box3, Piece, Point, point};
use crate::shop::{Cutter, CutterShape};

/// Roles of strokes that are in the work.
pub(crate) const IN_WORK: &[Role] = &[Role::Cut, Role::Entry, Role::Lead, Role::Tab];

/// A rectangle of the model, seen from above.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Area {
    pub(crate) low: Point,
    pub(crate) high: Point,
}

impl Area {
    pub(crate) fn of(b: Box3) -> Area {
        Area { low: b.min.xy(), high: b.max.xy() }
    }

    pub(crate) fn with(self, o: Area) -> Area {
        let low = point(self.low.x.min(o.low.x), self.low.y.min(o.low.y));
        let high = point(self.high.x.max(o.high.x), self.high.y.max(o.high.y));
        Area { low, high }
    }

    fn grown_by(self, by: Point) -> Area {
        Area { low: self.low - by, high: self.high + by }
    }

    fn grown(self, by: f64) -> Area {
        self.grown_by(point(by, by))
    }

    pub(crate) fn size(self) -> Point {
        self.high - self.low
    }
}

pub(crate) struct Facts<'a> {
    pub(crate) input: &'a PreviewInput<'a>,
    pub(crate) trace: Trace,
    /// The box of the cutter's control point while it is in the work; empty if nothing is cut.
    pub(crate) cut: Box3,
    /// The box about the finished part, if that is known.
    pub(crate) part: Option<Area>,
    /// The part's arc that is worth its radius.
    pub(crate) arc: Option<Piece>,
    /// Clamps that are boxes near the table.
    pub(crate) clamps: Vec<(&'a str, Box3)>,
    /// What the plan shows.
    pub(crate) frame: Area,
}

/// Half the width and height of what is shown of a program that does nothing, mm.
const NOTHING: Point = point(60.0, 20.0);

impl<'a> Facts<'a> {
    pub(crate) fn new(input: &'a PreviewInput<'a>) -> Facts<'a> {
        let trace = trace(input.events, input.stock);
        let cut = trace.bounds(IN_WORK);
        let clamps = input.clamps.iter().filter(|c| is_near(&c.1)).map(|c| (c.0.as_str(), c.1));
        let clamps = clamps.collect();
        let (part, frame) = (part_size::size(input.part), Area::of(Box3::EMPTY));
        let mut facts = Facts { input, trace, cut, part, arc: None, clamps, frame };
        facts.arc = part_size::arc(input.part, facts.widest_kerf());
        facts.frame = facts.framed();
        facts
    }

    /// The stock, unless it is no box.
    pub(crate) fn stock(&self) -> Option<Box3> {
        self.input.stock.filter(is_near)
    }

    /// What the size is given of: the part, or where only the program is known, the cut.
    pub(crate) fn measured(&self) -> Option<(&'static str, Area)> {
        let cut = || (!self.cut.is_empty()).then(|| ("cut", Area::of(self.cut)));
        self.part.map(|part| ("part", part)).or_else(cut)
    }

    fn framed(&self) -> Area {
        let mut areas: Vec<Area> = self.stock().map(Area::of).into_iter().collect();
        areas.extend(self.part);
        areas.extend(self.clamps.iter().map(|c| Area::of(c.1)));
        if !self.cut.is_empty() {
            let radius = self.widest_kerf() / 2.0;
            areas.push(Area::of(self.cut).grown(radius));
        }
        if areas.is_empty() {
            let all = self.trace.bounds(&[Role::Travel, Role::Above]);
            if !all.is_empty() {
                areas.push(Area::of(all));
            }
        }
        let zero = Area { low: Point::default(), high: Point::default() };
        let Some(first) = areas.pop() else { return zero.grown_by(NOTHING) };
        let shown = areas.into_iter().fold(first, Area::with);
        let with_zero = shown.with(zero);
        let size = shown.size();
        // A work zero far away would make all else small: it is told in words instead.
        let near = with_zero.size().x <= size.x * 1.5 && with_zero.size().y <= size.y * 3.0;
        let shown = if near { with_zero } else { shown };
        if shown.size().length() < 1e-3 { shown.grown_by(NOTHING) } else { shown }
    }

    pub(crate) fn zero_shown(&self) -> bool {
        let (low, high) = (self.frame.low, self.frame.high);
        low.x <= 0.0 && low.y <= 0.0 && high.x >= 0.0 && high.y >= 0.0
    }

    /// The cutter with that number; the only one, if the program names none.
    pub(crate) fn cutter(&self, number: Option<u32>) -> Option<&'a Cutter> {
        match (number, self.input.cutters) {
            (None, [only]) => Some(only),
            (None, _) => None,
            (Some(n), all) => all.iter().find(|c| c.number == n),
        }
    }

    /// Width that a cutter clears at the stock's top when its tip is at `z`, mm; 0 if unknown.
    pub(crate) fn kerf(&self, number: Option<u32>, z: f64) -> f64 {
        let depth = (self.trace.top - z).clamp(0.0, 1e6);
        self.cutter(number).map_or(0.0, |c| kerf(c, depth))
    }

    fn widest_kerf(&self) -> f64 {
        let cuts = self.trace.strokes.iter().filter(|s| IN_WORK.contains(&s.role));
        let mut last = (None, 0.0);
        cuts.fold(0.0, |widest, s| {
            if last.0 != Some(s.cutter) {
                last = (Some(s.cutter), self.cutter(s.cutter).map_or(0.0, |c| c.diameter.0));
            }
            f64::max(widest, last.1)
        })
    }
}

/// Whether a box has all its corners within ten kilometres.
fn is_near(b: &Box3) -> bool {
    let all = [b.min.x, b.min.y, b.min.z, b.max.x, b.max.y, b.max.z];
    !b.is_empty() && all.iter().all(|v| v.abs() < FARTHEST)
}

/// Width that a cutter clears at `depth` over its tip, mm.
fn kerf(cutter: &Cutter, depth: f64) -> f64 {
    let (diameter, tip) = (cutter.diameter.0, cutter.tip_diameter.0);
    let ball = |radius: f64| {
        let d = depth.min(radius);
        2.0 * (d * (2.0 * radius - d)).max(0.0).sqrt()
    };
    let cone = |from: f64| from + 2.0 * depth * (cutter.included_angle.0 / 2.0).tan();
    let width = match cutter.shape {
        CutterShape::Flat | CutterShape::BullNose | CutterShape::Drill => diameter,
        CutterShape::Ball => ball(diameter / 2.0),
        CutterShape::V => cone(tip),
        CutterShape::TaperBall => ball(tip / 2.0).max(cone(0.0)),
    };
    if width.is_finite() { width.clamp(0.0, diameter) } else { diameter }
}
