//! What finishing passes are laid on, and where they are needed.

use super::super::chain::Pass;
use super::super::wall;
use super::course::{Course, Span};
use super::{BRIDGE, HALVINGS, Rest};
use crate::geometry::cutter_surface::{CutterEnd, CutterSurface};
use crate::geometry::{HeightField, Point, Point3, point};
use crate::watch::Watch;
use rayon::prelude::*;

/// A pass this little below the stock's top takes nothing, millimetres.
const NOTHING: f64 = 1e-3;

/// What passes are laid on.
pub(super) struct Ground {
    pub(super) end: CutterEnd,
    pub(super) over: HeightField,
    /// One where the cutter is wanted, zero elsewhere; everywhere without one.
    pub(super) wanted: Option<HeightField>,
    /// Distance of passes on the level.
    pub(super) spacing: f64,
    pub(super) course: Course,
    /// Height of the stock's top: at it there is nothing to take.
    pub(super) top: f64,
}

/// A place on a pass and the length up to it.
#[derive(Clone, Copy)]
struct Stop {
    at: Point,
    length: f64,
}

/// Rows laid at a time.
const TOGETHER: usize = 64;

/// A row of passes.
struct Row {
    number: usize,
    offset: f64,
    /// Of a row between others: their distance. It is laid only where that is too much.
    between: Option<f64>,
}

/// The rows of the widest distance, then those between, each halving a number apart, so that no
/// chain goes from one distance to the next.
fn rows(span: &Span) -> Vec<Row> {
    let mut rows: Vec<Row> = (span.base().zip(0..))
        .map(|(offset, number)| Row { number, offset, between: None })
        .collect();
    for halving in 0..HALVINGS {
        let (between, offsets) = span.between(halving);
        let next = rows.last().map_or(0, |row| row.number + 2);
        rows.extend(offsets.zip(next..).map(|(offset, number)| Row {
            number,
            offset,
            between: Some(between),
        }));
    }
    rows
}

/// One where the tip is to go: within a radius of where more than the amount would be taken.
pub(super) fn wanted(rest: Rest<'_>, end: &CutterEnd) -> HeightField {
    let surface = CutterSurface::new(end, rest.relief.cell());
    let mut mask = surface.left(&surface.over(rest.relief));
    for j in 0..mask.rows() {
        let row: Vec<f32> = mask
            .row(j)
            .iter()
            .enumerate()
            .map(|(i, after)| {
                let before = rest.left.at(mask.middle(i, j)).unwrap_or(f32::NEG_INFINITY);
                let stands = before.min(f32::MAX) - after;
                f32::from(u8::from(f64::from(stands) > rest.amount))
            })
            .collect();
        mask.set_row(j, &row);
    }
    let disc =
        CutterEnd::flat(end.radius().min(if end.nose() > 0.0 { end.nose() } else { end.radius() }));
    match disc {
        Some(disc) => CutterSurface::new(&disc, mask.cell()).over(&mask),
        None => mask,
    }
}

impl Ground {
    /// Height of the tip at a place: never into the bilinear relief.
    fn height(&self, p: Point) -> f64 {
        let cell = self.over.cell();
        wall::tip(&self.over, p, |p| self.end.between_nodes(cell, self.slope(p).length()))
    }

    /// Gradient of the cutter surface.
    fn slope(&self, p: Point) -> Point {
        let c = self.over.cell();
        let rise = |d: Point| (self.over.bilinear(p + d) - self.over.bilinear(p - d)) / (2.0 * c);
        point(rise(point(c, 0.0)), rise(point(0.0, c)))
    }

    /// Points of the surface from one place to another.
    pub(super) fn run(&self, from: Point, to: Point) -> Vec<Point3> {
        let count = (from.distance(to) / self.over.cell()).ceil().max(1.0) as usize;
        (0..=count)
            .map(|k| from + (to - from) * (k as f64 / count as f64))
            .map(|p| p.at(self.height(p)))
            .collect()
    }

    /// All passes, row by row: the rows of the widest distance first, then those between.
    pub(super) fn passes(&self, watch: Watch<'_>) -> Vec<Pass> {
        self.passes_until(watch, &|_| false)
    }

    /// Whether there is anything to pass over.
    pub(super) fn any(&self) -> bool {
        !self.passes_until(Watch::NOBODY, &|found| !found.is_empty()).is_empty()
    }

    /// As [`Ground::passes`], as far as needed. Rows are laid side by side and kept in their
    /// order.
    fn passes_until(&self, watch: Watch<'_>, enough: &dyn Fn(&[Pass]) -> bool) -> Vec<Pass> {
        let low = self.over.middle(0, 0);
        let high = self.over.middle(self.over.columns() - 1, self.over.rows() - 1);
        let span = self.course.span(self.spacing, low, high);
        let rows = rows(&span);
        let lay = |row: &Row| -> Vec<Pass> {
            let chains = self.course.chains(row.offset, span.spacing, low, high);
            chains.iter().flat_map(|chain| self.row(chain, row)).collect()
        };
        let mut passes = Vec::new();
        for (k, some) in rows.chunks(TOGETHER).enumerate() {
            watch.tell("laying finishing passes", (k * TOGETHER) as f64 / rows.len() as f64);
            let laid: Vec<Vec<Pass>> = some.par_iter().map(lay).collect();
            passes.extend(laid.into_iter().flatten());
            if enough(&passes) {
                break;
            }
        }
        passes
    }

    /// Whether the slope across the passes asks for less than this distance.
    fn steep(&self, p: Point, across: Point, between: f64) -> bool {
        let c = self.over.cell();
        let beside = |d: f64| {
            let q = p + across * d;
            self.over.bilinear(q + across * c) - self.over.bilinear(q - across * c)
        };
        // The slope on the row itself and halfway to its neighbours.
        let slope = [-0.25 * between, 0.0, 0.25 * between]
            .into_iter()
            .any(|d| self.spacing / (beside(d) / (2.0 * c)).hypot(1.0) < between * 0.999);
        // Beside a wall the tip keeps off by up to two cells more: see [`wall::tip`].
        let off = 0.25 * between + 2.0 * c;
        slope || [-off, off].into_iter().any(|d| wall::is_wall(beside(d) / 2.0, c))
    }

    /// The passes of one chain of a row: where they are needed, and wanted.
    fn row(&self, chain: &[Point], row: &Row) -> Vec<Pass> {
        let (stops, across) = self.stops(chain);
        // Where nothing is needed nobody asks how high the tip would stand.
        let mut known = vec![None; stops.len()];
        let mut height = |k: usize| *known[k].get_or_insert_with(|| self.height(stops[k].at));
        let needed = |k: usize| {
            let p = stops[k].at;
            self.wanted.as_ref().is_none_or(|w| w.at(p).is_some_and(|v| v > 0.0))
                && row.between.is_none_or(|between| self.steep(p, across[k], between))
        };
        let mut runs: Vec<(usize, usize)> = Vec::new();
        for k in 0..stops.len() {
            if !needed(k) || height(k) >= self.top - NOTHING {
                continue;
            }
            match runs.last_mut() {
                Some((_, last)) if stops[k].length - stops[*last].length <= BRIDGE => *last = k,
                _ => runs.push((k, k)),
            }
        }
        let pass = |(a, b): (usize, usize)| {
            let (a, b) = (a.saturating_sub(1), (b + 1).min(stops.len() - 1));
            Pass { row: row.number, points: (a..=b).map(|k| stops[k].at.at(height(k))).collect() }
        };
        runs.into_iter().map(pass).collect()
    }

    /// Places along a chain with the directions across it. Along an axis they are the nodes'
    /// own, for the surface is straight between; elsewhere two for each cell.
    fn stops(&self, chain: &[Point]) -> (Vec<Stop>, Vec<Point>) {
        let (mut stops, mut ways): (Vec<Stop>, Vec<Point>) = (Vec::new(), Vec::new());
        let mut length = 0.0;
        for pair in chain.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            let whole = a.distance(b);
            let Some(along) = (b - a).unit() else { continue };
            if stops.is_empty() {
                stops.push(Stop { at: a, length });
                ways.push(along.left());
            }
            for share in self.shares(a, b) {
                stops.push(Stop { at: a + (b - a) * share, length: length + whole * share });
                ways.push(along.left());
            }
            stops.push(Stop { at: b, length: length + whole });
            ways.push(along.left());
            length += whole;
        }
        (stops, ways)
    }

    /// Where between two places the surface may bend, as shares of the way.
    fn shares(&self, a: Point, b: Point) -> Vec<f64> {
        let (cell, min) = (self.over.cell(), self.over.min());
        let way = b - a;
        let nodes = |a: f64, b: f64, min: f64| -> Vec<f64> {
            let node = |v: f64| (v - min) / cell - 0.5;
            let (first, last) = (node(a.min(b)), node(a.max(b)));
            // Nodes at the ends themselves are there already.
            let inside = ((first + 1e-6).ceil() as i64)..=((last - 1e-6).floor() as i64);
            let share = |k: i64| (min + (k as f64 + 0.5) * cell - a) / (b - a);
            let mut all: Vec<f64> = inside.map(share).collect();
            if b < a {
                all.reverse();
            }
            all
        };
        if way.y == 0.0 {
            nodes(a.x, b.x, min.x)
        } else if way.x == 0.0 {
            nodes(a.y, b.y, min.y)
        } else {
            let count = (2.0 * way.length() / cell).round().max(1.0) as usize;
            (1..count).map(|k| k as f64 / count as f64).collect()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_follow_each_other_within_a_distance_and_never_from_one_to_the_next() {
        let span = Course::Lines(0.3).span(0.5, point(0.0, 0.0), point(7.0, 4.0));
        let rows = rows(&span);
        for pair in rows.windows(2) {
            let follows = pair[1].number == pair[0].number + 1;
            assert_eq!(follows, pair[0].between == pair[1].between, "{}", pair[1].number);
        }
        assert!(rows.iter().any(|row| row.between.is_none()));
        assert!(rows.iter().any(|row| row.between.is_some()));
    }
}
