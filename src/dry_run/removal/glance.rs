//! A ball along a line: a cheap look at where it may cut, a full one at those cells alone.
//!
//! Most of what a stroke passes over was cut as low before. A ball's edge above its tip is
//! `f(r²) = R - sqrt(R² - r²)`, convex in r²: nowhere below its tangent at any r², which is a
//! paraboloid `a + k r²`. Taken where the ball of a stroke of slope m cuts, at
//! `r = R m / sqrt(1 + m²)`, it has `k = sqrt(1 + m²) / (2 R)`. Swept along the line, it is
//! lowest over a cell `u` along and `v` across from the tip's place `u - m / (2 k)`, or from the
//! nearest that the line has. So no edge is below `z + m s + a + k ((u - s)² + v²)`.
//!
//! That is a part of `u` and a part of `v`. On a line along x or along y one depends on the
//! column alone and the other on the row alone, and a look costs a subtraction and a comparison.
//!
//! Groups are taken column by column, so that what depends on the column alone is computed once.

use super::ROUNDING;
use super::form::{End, LANES, Lanes};
use super::line::{Line, LineRow, LineRows, Spread};
use super::real::Real;
use super::tile::{Cut, Done, Surface, TILE_GROUPS, TILE_ROWS};
use super::window::Window;
use crate::geometry::Point;

/// Groups found before they are cut; more than one column has.
const FOUND: usize = 2 * TILE_ROWS;

/// Room to work in, kept from stroke to stroke.
pub(super) struct Desk {
    rows: LineRows,
    columns: [Spread<f32>; TILE_GROUPS],
    /// For a line along x or y: what each row adds to the bound.
    low: [f32; TILE_ROWS],
    /// Row and column of groups that may be cut, by count from the first.
    found: [(u16, u16); FOUND],
}

impl Desk {
    pub(super) const CLEAR: Desk = Desk {
        rows: LineRows::NONE,
        columns: [Spread::NONE; TILE_GROUPS],
        low: [0.0; TILE_ROWS],
        found: [(0, 0); FOUND],
    };
}

/// Cuts a line of a ball from a tile.
#[inline(always)]
pub(super) fn ball<E: End<f32>, const LEVEL: bool, S: Surface>(
    line: &Line<f32, E, LEVEL>,
    window: &Window,
    cut: &mut Cut<S>,
) {
    let Cut { surface, done, desk: Desk { rows, columns, low, found }, .. } = cut;
    let count = window.rows.len();
    line.rows(window.middle(window.rows.start), window.step(), count, rows);
    let bound = line.bound();
    let (start, groups) = window.whole;
    for (group, spread) in columns.iter_mut().enumerate().take(groups) {
        *spread = line.spread(window.place(window.rows.start, start + group * LANES).1);
    }
    let look = Look { line, rows, columns, window };
    if bound.is_square() {
        for (j, low) in low.iter_mut().enumerate().take(count) {
            *low = bound.of_row(&rows.row(j));
        }
        look.cut(
            *surface,
            done,
            found,
            #[inline(always)]
            |spread| bound.of_column(&rows.row(0), spread),
            #[inline(always)]
            |column, j, old| above(column, low[j], old),
        );
    } else {
        look.cut(
            *surface,
            done,
            found,
            #[inline(always)]
            |spread| *spread,
            #[inline(always)]
            |spread, j, old| bound.may_cut(&rows.row(j), spread, old),
        );
    }
}

/// A line and the groups that it passes over.
struct Look<'a, E, const LEVEL: bool> {
    line: &'a Line<f32, E, LEVEL>,
    rows: &'a LineRows,
    columns: &'a [Spread<f32>; TILE_GROUPS],
    window: &'a Window<'a>,
}

impl<E: End<f32>, const LEVEL: bool> Look<'_, E, LEVEL> {
    /// Cuts where `may_cut` says so, of what `prepare` makes of a column, of a row and of the
    /// heights there.
    #[inline(always)]
    fn cut<S: Surface, C>(
        &self,
        surface: &mut S,
        done: &mut Done,
        found: &mut [(u16, u16); FOUND],
        prepare: impl Fn(&Spread<f32>) -> C,
        may_cut: impl Fn(&C, usize, &Lanes<f32>) -> bool,
    ) {
        let Look { line, rows, columns, window } = *self;
        let (top, (start, groups)) = (window.rows.start, window.whole);
        let mut count = 0;
        for group in 0..groups.min(TILE_GROUPS) {
            let column = start + group * LANES;
            let (at, _) = window.place(top, column);
            let prepared = prepare(&columns[group]);
            let span = window.rows_at(column);
            for j in span.start - top..span.end - top {
                let old = surface.group(at + j * window.stride());
                // Noted always, counted only if it may be cut: no branch is to be foretold.
                found[count % FOUND] = (j as u16, group as u16);
                count += usize::from(may_cut(&prepared, j, &old));
            }
            if count > FOUND - TILE_ROWS || group + 1 == groups {
                done.take(
                    surface,
                    count.min(FOUND),
                    #[inline(always)]
                    |k| {
                        let (j, group) = found[k % FOUND];
                        let (j, group) = (usize::from(j), usize::from(group) % TILE_GROUPS);
                        let (at, _) = window.place(top + j, start + group * LANES);
                        (at, line.edges(&rows.row(j), &columns[group]))
                    },
                );
                count = 0;
            }
        }
    }
}

/// Whether any height is above the sum of a row's part of the bound and its column's.
#[inline(always)]
fn above(column: &Lanes<f32>, row: f32, old: &Lanes<f32>) -> bool {
    let mut cuts = false;
    for (old, column) in old.iter().zip(column) {
        cuts |= old - row > *column;
    }
    cuts
}

/// What the cheap look needs: see the head of this module.
pub(super) struct Bound {
    unit: Point,
    slope: f32,
    /// `k`, and `m / (2 k)`.
    curve: f32,
    back: f32,
    /// `a`, above the ball's centre, less room for rounding.
    base: f32,
}

impl Bound {
    /// Of a ball's radius and a line that rises by `slope` along `unit`, all of it less than
    /// `highest` from zero.
    #[inline(always)]
    pub(super) fn of(radius: f64, slope: f64, unit: Point, highest: f64) -> Bound {
        /// More than roundings make of a height, as a share of it.
        const SHARE: f64 = 1e-6;
        let stretch = (1.0 + slope * slope).sqrt();
        // The sum of a - R = -R / stretch - k r² with r = R slope / stretch.
        let base = -radius * (1.0 + stretch * stretch) / (2.0 * stretch);
        // A place off by rounding, times the steepest that the paraboloid is over the ball.
        let room = ROUNDING * stretch + SHARE * (highest + radius);
        Bound {
            unit,
            slope: slope as f32,
            curve: (stretch / (2.0 * radius)) as f32,
            back: (radius * slope / stretch) as f32,
            base: (base - room) as f32,
        }
    }

    /// Whether the line runs along x or along y.
    #[inline(always)]
    fn is_square(&self) -> bool {
        self.unit.x == 0.0 || self.unit.y == 0.0
    }

    /// The part of a place along.
    #[inline(always)]
    fn along(&self, u: f32, row: &LineRow<f32>) -> f32 {
        let s = (u - self.back).most(row.start).least(row.end);
        self.slope * s + self.curve * ((u - s) * (u - s))
    }

    /// The part of a place across.
    #[inline(always)]
    fn across(&self, v: f32) -> f32 {
        self.curve * (v * v)
    }

    #[inline(always)]
    fn of_row(&self, row: &LineRow<f32>) -> f32 {
        let part = if self.unit.y == 0.0 { self.across(row.left) } else { self.along(0.0, row) };
        row.z + self.base + part
    }

    #[inline(always)]
    fn of_column(&self, row: &LineRow<f32>, spread: &Spread<f32>) -> Lanes<f32> {
        let mut parts = [0.0; LANES];
        for (lane, part) in parts.iter_mut().enumerate() {
            let (u, v) = (spread.along[lane], row.left + spread.aside[lane]);
            *part = if self.unit.y == 0.0 { self.along(u, row) } else { self.across(v) };
        }
        parts
    }

    /// The same for any direction.
    #[inline(always)]
    fn may_cut(&self, row: &LineRow<f32>, spread: &Spread<f32>, old: &Lanes<f32>) -> bool {
        let base = row.z + self.base;
        let mut cuts = false;
        for (lane, old) in old.iter().enumerate() {
            let (u, v) = (spread.along[lane], row.left + spread.aside[lane]);
            cuts |= old - base > self.along(u, row) + self.across(v);
        }
        cuts
    }
}
