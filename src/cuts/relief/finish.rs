//! Finishing: parallel passes at an angle, closer where the relief is steep across them.

use super::chain::{Pass, chains};
use super::pen::Pen;
use super::{ReliefPlan, ReliefSpec};
use crate::diagnostic::Diagnostic;
use crate::geometry::cutter_surface::{CutterEnd, CutterSurface};
use crate::geometry::{HeightField, Point, Point3, point};
use crate::toolpath::Purpose;

/// How often a distance between passes may be halved where the relief is steep: an eighth
/// keeps the scallop up to slopes of 83 degrees.
const HALVINGS: u32 = 3;

/// Pieces of a pass nearer to each other than this, millimetres, are cut as one.
const BRIDGE: f64 = 6.0;

/// Narrowest distance between passes, millimetres.
const CLOSEST: f64 = 0.02;

/// Finishing of a relief.
#[derive(Clone, Copy, Debug)]
pub struct Finish<'a> {
    /// Direction of the passes, radians from x.
    pub angle: f64,
    /// Height of the cusps between passes, millimetres, measured square to the surface.
    pub scallop: f64,
    /// Whether arcs in the vertical planes (G18, G19) may be used, for passes along x or y.
    pub arcs: bool,
    /// Cut only where an earlier cutter left more than an amount.
    pub rest: Option<Rest<'a>>,
}

/// What an earlier cutter left.
#[derive(Clone, Copy, Debug)]
pub struct Rest<'a> {
    /// The surface as it stands: see [`ReliefSpec::left`].
    pub left: &'a HeightField,
    /// What may stay, millimetres in height.
    pub amount: f64,
}

/// What passes are laid on.
struct Ground<'a> {
    end: CutterEnd,
    over: HeightField,
    /// One where the cutter is wanted, zero elsewhere; everywhere without one.
    wanted: Option<HeightField>,
    /// Unit vectors along and across the passes.
    along: Point,
    across: Point,
    /// Distance of passes on the level.
    spacing: f64,
    relief: &'a HeightField,
}

impl Finish<'_> {
    /// Plans the passes. Nowhere does the cutter go below the bilinear relief by more than the
    /// tolerance: the surface is lifted by [`CutterEnd::between_nodes`] first.
    ///
    /// # Errors
    /// As [`ReliefSpec::surface`]; for a scallop not above zero or beyond a third of the
    /// cutter's nose (key `scallop`); for an angle that is no number.
    pub fn plan(&self, spec: &ReliefSpec<'_>) -> Result<ReliefPlan, Diagnostic> {
        let ground = self.ground(spec)?;
        let passes = ground.passes();
        let mut pen = Pen::new(spec.tooling, spec.tolerance, self.arcs);
        let reach = 3.0 * ground.spacing;
        let way = |a: Point3, b: Point3| {
            (a.xy().distance(b.xy()) <= reach).then(|| ground.run(a.xy(), b.xy()))
        };
        for chain in chains(passes, way) {
            pen.enter(&chain[0], spec.tooling.top);
            for points in &chain {
                pen.follow(Purpose::Finish, points);
            }
            pen.retract();
        }
        let count = pen.count;
        let mut remarks = vec![format!(
            "{} {:.2} mm apart on the level, at {:.0} degrees to x, closer on slopes: scallops of {:.3} mm",
            "finishing passes",
            ground.spacing,
            self.angle.to_degrees(),
            self.scallop
        )];
        if count.strokes > 0 {
            remarks.push(format!(
                "{} strokes ({} arcs) stand for {} points within {} mm; sharpest turn {:.1} degrees, mean stroke {:.2} mm",
                count.strokes,
                count.arcs,
                count.points,
                spec.tolerance,
                count.sharpest.to_degrees(),
                count.length / count.strokes as f64
            ));
        }
        Ok(ReliefPlan { toolpath: pen.toolpath, count, remarks })
    }

    fn ground<'a>(&'a self, spec: &ReliefSpec<'a>) -> Result<Ground<'a>, Diagnostic> {
        let (end, surface, over) = spec.surface()?;
        let nose = end.nose();
        let most = if nose > 0.0 && nose.is_finite() { nose / 3.0 } else { 1.0 };
        if !(self.scallop > 0.0 && self.scallop <= most) {
            return Err(Diagnostic::error(format!("a scallop of {} mm can not be asked", self.scallop))
                .key("scallop")
                .help(format!(
                    "give a scallop above 0 and at most {most:.3} mm, such as 0.02 mm, or another cutter"
                )));
        }
        if !self.angle.is_finite() {
            return Err(Diagnostic::error("the angle of the passes is no number")
                .key("angle")
                .help("give the angle from x, such as 0 or 45 degrees"));
        }
        let spacing =
            end.spacing(self.scallop).unwrap_or(spec.tooling.data.stepover.value).max(CLOSEST);
        let along = turn(self.angle);
        let wanted = self.rest.map(|rest| wanted(rest, &surface, &over, &end));
        let (across, relief) = (along.left(), spec.relief);
        Ok(Ground { end, over, wanted, along, across, spacing, relief })
    }
}

/// The unit vector at an angle; on the axes to the last digit.
fn turn(angle: f64) -> Point {
    let way = Point::polar(1.0, angle);
    let clean = |v: f64| if v.abs() < 1e-12 { 0.0 } else { v };
    point(clean(way.x), clean(way.y))
}

/// One where the tip is to go: within a radius of where more than the amount would be taken.
fn wanted(
    rest: Rest<'_>,
    surface: &CutterSurface,
    over: &HeightField,
    end: &CutterEnd,
) -> HeightField {
    let after = surface.left(over);
    let mut mask = after.clone();
    for j in 0..after.rows() {
        let row: Vec<f32> = (0..after.columns())
            .map(|i| {
                let before = rest.left.at(after.middle(i, j)).unwrap_or(f32::NEG_INFINITY);
                let stands = before.min(f32::MAX) - after.row(j)[i];
                f32::from(u8::from(f64::from(stands) > rest.amount))
            })
            .collect();
        mask.set_row(j, &row);
    }
    let disc =
        CutterEnd::flat(end.radius().min(if end.nose() > 0.0 { end.nose() } else { end.radius() }));
    match disc {
        Some(disc) => CutterSurface::new(&disc, over.cell()).over(&mask),
        None => mask,
    }
}

impl Ground<'_> {
    /// Height of the tip at a place: never into the bilinear relief.
    fn height(&self, p: Point) -> f64 {
        self.over.bilinear(p) + self.end.between_nodes(self.over.cell(), self.slope(p).length())
    }

    /// Gradient of the cutter surface.
    fn slope(&self, p: Point) -> Point {
        let c = self.over.cell();
        let rise = |d: Point| (self.over.bilinear(p + d) - self.over.bilinear(p - d)) / (2.0 * c);
        point(rise(point(c, 0.0)), rise(point(0.0, c)))
    }

    /// Points of the surface from one place to another.
    fn run(&self, from: Point, to: Point) -> Vec<Point3> {
        let count = (from.distance(to) / self.over.cell()).ceil().max(1.0) as usize;
        (0..=count)
            .map(|k| from + (to - from) * (k as f64 / count as f64))
            .map(|p| p.at(self.height(p)))
            .collect()
    }

    /// All passes, row by row: the rows of the widest distance first, then those between.
    fn passes(&self) -> Vec<Pass> {
        let low = self.relief.middle(0, 0);
        let high = self.relief.middle(self.relief.columns() - 1, self.relief.rows() - 1);
        let corners = [low, point(high.x, low.y), high, point(low.x, high.y)];
        let reach = |way: Point| {
            let all = corners.map(|c| c.dot(way));
            (
                all.into_iter().fold(f64::INFINITY, f64::min),
                all.into_iter().fold(f64::NEG_INFINITY, f64::max),
            )
        };
        let (first, last) = reach(self.across);
        let count = ((last - first) / self.spacing).ceil().max(1.0);
        let spacing = (last - first) / count;
        let mut passes = Vec::new();
        let mut row = 0;
        for k in 0..=count as usize {
            self.row(first + spacing * k as f64, (low, high), &|_| true, row, &mut passes);
            row += 1;
        }
        for halving in 0..HALVINGS {
            let between = spacing / f64::from(1 << halving);
            // A row apart, so that no chain goes from one distance to the next.
            row += 1;
            for k in 0..(count as usize) << halving {
                let steep = |p: Point| self.steep(p, between);
                self.row(first + between * (k as f64 + 0.5), (low, high), &steep, row, &mut passes);
                row += 1;
            }
        }
        passes
    }

    /// Whether the slope across the passes asks for less than this distance.
    fn steep(&self, p: Point, between: f64) -> bool {
        let c = self.over.cell();
        let beside = |d: f64| {
            let q = p + self.across * d;
            self.over.bilinear(q + self.across * c) - self.over.bilinear(q - self.across * c)
        };
        // The slope on the row itself and halfway to its neighbours.
        [-0.25 * between, 0.0, 0.25 * between]
            .into_iter()
            .any(|d| self.spacing / (beside(d) / (2.0 * c)).hypot(1.0) < between * 0.999)
    }

    /// The passes of one row: where they are needed, and wanted.
    fn row(
        &self,
        offset: f64,
        (low, high): (Point, Point),
        needed: &dyn Fn(Point) -> bool,
        row: usize,
        passes: &mut Vec<Pass>,
    ) {
        let Some((from, to)) = clip(self.across * offset, self.along, low, high) else { return };
        let cell = self.over.cell();
        // Along an axis the points are the nodes' own places; the surface is straight between.
        let step = if self.along.x == 0.0 || self.along.y == 0.0 { cell } else { cell / 2.0 };
        let count = ((to - from) / step).round().max(1.0) as usize;
        let place = |k: usize| {
            let p =
                self.across * offset + self.along * (from + (to - from) * k as f64 / count as f64);
            point(p.x.clamp(low.x, high.x), p.y.clamp(low.y, high.y))
        };
        let asked = |k: usize| {
            let p = place(k);
            let wanted = self.wanted.as_ref().is_none_or(|w| w.at(p).is_some_and(|v| v > 0.0));
            wanted && needed(p)
        };
        let bridge = (BRIDGE / step) as usize;
        let mut run: Option<(usize, usize)> = None;
        let mut close = |(a, b): (usize, usize)| {
            let (a, b) = (a.saturating_sub(1), (b + 1).min(count));
            let points = (a..=b).map(place).map(|p| p.at(self.height(p))).collect();
            passes.push(Pass { row, points });
        };
        for k in (0..=count).filter(|&k| asked(k)) {
            run = match run {
                Some((a, b)) if k - b <= bridge => Some((a, k)),
                Some(done) => {
                    close(done);
                    Some((k, k))
                }
                None => Some((k, k)),
            };
        }
        run.into_iter().for_each(close);
    }
}

/// The part of a line within a rectangle, as lengths along it.
fn clip(origin: Point, along: Point, low: Point, high: Point) -> Option<(f64, f64)> {
    let (mut from, mut to) = (f64::NEG_INFINITY, f64::INFINITY);
    let slab = |o: f64, d: f64, l: f64, h: f64| {
        if d == 0.0 {
            // A line on the rectangle's edge is within it, whatever rounding says.
            return (o >= l - 1e-9 && o <= h + 1e-9).then_some((f64::NEG_INFINITY, f64::INFINITY));
        }
        let (a, b) = ((l - o) / d, (h - o) / d);
        Some((a.min(b), a.max(b)))
    };
    for (o, d, l, h) in [(origin.x, along.x, low.x, high.x), (origin.y, along.y, low.y, high.y)] {
        let (a, b) = slab(o, d, l, h)?;
        from = from.max(a);
        to = to.min(b);
    }
    (to - from > 1e-9).then_some((from, to))
}
