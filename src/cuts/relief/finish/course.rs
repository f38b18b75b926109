//! What finishing passes follow in plan: lines, the border, a spiral.

use crate::geometry::{Point, point};
use std::f64::consts::TAU;

/// Chords of a spiral leave it by no more than this, millimetres: far below any distance of
/// passes, and heights are those of the chord itself.
const SAGITTA: f64 = 0.02;

/// What passes follow in plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Course {
    /// Straight lines at an angle from x, radians.
    Lines(f64),
    /// The relief's edge: rings from the outside in, with sharp corners.
    Border,
    /// An Archimedean spiral about the relief's middle, from the inside out.
    Spiral,
}

/// The offsets at which passes of one distance lie.
#[derive(Clone, Copy, Debug)]
pub(super) struct Span {
    pub(super) first: f64,
    /// Passes at the widest distance, the first one not counted.
    pub(super) count: usize,
    pub(super) spacing: f64,
}

impl Span {
    /// The passes of the widest distance.
    pub(super) fn base(&self) -> impl Iterator<Item = f64> + use<> {
        let Span { first, count, spacing } = *self;
        (0..=count).map(move |k| first + spacing * k as f64)
    }

    /// The passes between those of a distance of `spacing / 2^halving`, with half of it.
    pub(super) fn between(&self, halving: u32) -> (f64, impl Iterator<Item = f64> + use<>) {
        let Span { first, count, spacing } = *self;
        let between = spacing / f64::from(1 << halving);
        let all = (0..count.max(1) << halving).map(move |k| first + between * (k as f64 + 0.5));
        (between, all)
    }
}

impl Course {
    /// How passes of at most this distance cover a rectangle.
    pub(super) fn span(self, spacing: f64, low: Point, high: Point) -> Span {
        let (first, last) = match self {
            Course::Lines(angle) => {
                let across = turn(angle).left();
                let corners = [low, point(high.x, low.y), high, point(low.x, high.y)];
                let all = corners.map(|c| c.dot(across));
                (
                    all.into_iter().fold(f64::INFINITY, f64::min),
                    all.into_iter().fold(f64::NEG_INFINITY, f64::max),
                )
            }
            Course::Border => (0.0, 0.5 * (high.x - low.x).min(high.y - low.y)),
            // One spiral; those between it begin at other angles.
            Course::Spiral => return Span { first: 0.0, count: 0, spacing },
        };
        let count = ((last - first) / spacing).ceil().max(1.0);
        Span { first, count: count as usize, spacing: (last - first) / count }
    }

    /// The pass at an offset, as chains of corners within the rectangle.
    pub(super) fn chains(
        self,
        offset: f64,
        spacing: f64,
        low: Point,
        high: Point,
    ) -> Vec<Vec<Point>> {
        match self {
            Course::Lines(angle) => {
                let along = turn(angle);
                let origin = along.left() * offset;
                let ends = clip(origin, along, low, high);
                let inside = |p: Point| point(p.x.clamp(low.x, high.x), p.y.clamp(low.y, high.y));
                ends.into_iter()
                    .map(|(from, to)| [from, to].map(|s| inside(origin + along * s)).to_vec())
                    .collect()
            }
            Course::Border => {
                let (a, b) = (low + point(offset, offset), high - point(offset, offset));
                // The innermost ring of all is a line, or a rounding less than one.
                let (b, middle) = (point(b.x.max(a.x), b.y.max(a.y)), (low + high) * 0.5);
                if b.x - a.x < 1e-6 || b.y - a.y < 1e-6 {
                    let ends = if b.x - a.x < b.y - a.y {
                        [point(middle.x, a.y), point(middle.x, b.y)]
                    } else {
                        [point(a.x, middle.y), point(b.x, middle.y)]
                    };
                    return vec![ends.to_vec()];
                }
                vec![vec![a, point(b.x, a.y), b, point(a.x, b.y), a]]
            }
            Course::Spiral => spiral(offset / spacing, spacing, low, high),
        }
    }
}

/// A spiral that starts `phase` turns on, in the runs that lie in the rectangle.
fn spiral(phase: f64, pitch: f64, low: Point, high: Point) -> Vec<Vec<Point>> {
    let middle = (low + high) * 0.5;
    let reach = middle.distance(high) + pitch;
    let mut runs = vec![Vec::new()];
    let mut angle = 0.0;
    loop {
        let radius = pitch * angle / TAU;
        if radius > reach {
            break;
        }
        let p = middle + Point::polar(radius, angle + phase * TAU);
        let inside = p.x >= low.x && p.x <= high.x && p.y >= low.y && p.y <= high.y;
        match (inside, runs.last_mut()) {
            (true, Some(run)) => run.push(p),
            (false, Some(run)) if !run.is_empty() => runs.push(Vec::new()),
            _ => {}
        }
        // A chord of an arc of radius r and half angle a leaves it by r a²/2.
        let half = (2.0 * SAGITTA / radius.max(SAGITTA)).sqrt();
        angle += (2.0 * half).min(0.5);
    }
    runs.retain(|run| run.len() > 1);
    runs
}

/// The unit vector at an angle; on the axes to the last digit.
fn turn(angle: f64) -> Point {
    let way = Point::polar(1.0, angle);
    let clean = |v: f64| if v.abs() < 1e-12 { 0.0 } else { v };
    point(clean(way.x), clean(way.y))
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
