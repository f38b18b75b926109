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
    /// An Archimedean spiral about the relief's middle, from the inside out, and one round
    /// along its edge.
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
            Course::Spiral => {
                let mut runs = spiral(offset / spacing, spacing, low, high);
                if offset == 0.0 {
                    // The runs end on the edge a pitch apart and more: one round along it.
                    runs.extend(Course::Border.chains(0.0, spacing, low, high));
                }
                runs
            }
        }
    }
}

/// A spiral that starts `phase` turns on, in the runs that lie in the rectangle: each ends on
/// the rectangle's edge.
fn spiral(phase: f64, pitch: f64, low: Point, high: Point) -> Vec<Vec<Point>> {
    let middle = (low + high) * 0.5;
    let reach = middle.distance(high) + pitch;
    let inside = |p: Point| point(p.x.clamp(low.x, high.x), p.y.clamp(low.y, high.y));
    let mut runs: Vec<Vec<Point>> = Vec::new();
    let (mut angle, mut last, mut open) = (0.0, middle, false);
    loop {
        let radius = pitch * angle / TAU;
        if radius > reach {
            return runs;
        }
        let p = middle + Point::polar(radius, angle + phase * TAU);
        let whole = last.distance(p);
        // What of the chord lies in the rectangle, as lengths along it.
        let part = (p - last).unit().and_then(|along| {
            let (from, to) = clip(last, along, low, high)?;
            let (from, to) = (from.max(0.0), to.min(whole));
            (to - from > 1e-9).then_some((from, to, along))
        });
        if let Some((from, to, along)) = part {
            let at = |s: f64| inside(last + along * s);
            match runs.last_mut() {
                Some(run) if open && from == 0.0 => run.push(at(to)),
                _ => runs.push(vec![at(from), at(to)]),
            }
            open = to == whole;
        } else if whole > 0.0 {
            open = false;
        }
        last = p;
        // A chord of an arc of radius r and half angle a leaves it by r a²/2.
        let half = (2.0 * SAGITTA / radius.max(SAGITTA)).sqrt();
        angle += (2.0 * half).min(0.5);
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_spiral_reaches_the_edge_of_its_rectangle_all_round() {
        let (low, high, pitch) = (point(-3.0, 2.0), point(27.0, 22.0), 1.1);
        let on_edge = |p: Point| {
            [p.x - low.x, high.x - p.x, p.y - low.y, high.y - p.y].into_iter().any(|d| d == 0.0)
        };
        let runs = Course::Spiral.chains(0.0, pitch, low, high);
        let inside = |p: &Point| p.x >= low.x && p.x <= high.x && p.y >= low.y && p.y <= high.y;
        assert!(runs.iter().flatten().all(inside));
        let (border, spiral) = runs.split_last().expect("runs");
        assert_eq!(border[..], Course::Border.chains(0.0, pitch, low, high)[0][..]);
        // The first run begins in the middle; all other ends lie on the edge.
        assert!(spiral.len() > 10, "the corners are cut in runs of their own");
        for (k, run) in spiral.iter().enumerate() {
            assert!(k == 0 || on_edge(run[0]), "{k}: {:?}", run[0]);
            let end = run[run.len() - 1];
            assert!(on_edge(end), "{k}: {end:?}");
        }
        // No place is farther than half a pitch and the chords' sagitta from a run.
        let off = |p: Point, w: &[Point]| {
            let way = w[1] - w[0];
            let share = ((p - w[0]).dot(way) / way.dot(way)).clamp(0.0, 1.0);
            p.distance(w[0] + way * share)
        };
        for k in 0..=600 {
            let p = point(low.x + f64::from(k % 31), low.y + f64::from(k / 31));
            let pairs = runs.iter().flat_map(|run| run.windows(2));
            let least = pairs.map(|w| off(p, w)).fold(f64::INFINITY, f64::min);
            assert!(least <= pitch / 2.0 + SAGITTA + 1e-9, "{least} at {p:?}");
        }
    }
}
