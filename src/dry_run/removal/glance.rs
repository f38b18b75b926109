//! A ball along a line: a cheap look at where it may cut, a full one at those cells alone.
//!
//! Most of what a stroke passes over was cut as low before. Over a cell at `u` along and `v`
//! across, with `s` the place nearest to `u` that the stroke has, the edge is nowhere lower than
//! `m s + r - sqrt((1 + m²) (r² - v² - (u - s)²))`: between the ends that is the edge of a stroke
//! without ends; beyond one, where the ball may stand `t` before it, it follows from the
//! inequality of Cauchy and Schwarz, `m t + q <= sqrt(1 + m²) sqrt(t² + q²)`.
//!
//! Groups are taken column by column, so that what depends on the column alone is computed once.

use super::envelope::{Envelope, offsets};
use super::form::{End, LANES, Lanes};
use super::line::{Line, LineRow};
use super::real::Real;
use super::tile::{Cut, Surface, TILE_ROWS};
use super::window::Window;

/// Groups found before they are cut; more than one column has.
const FOUND: usize = 4 * TILE_ROWS;

/// Row and column of groups that may be cut, by count from the first.
pub(super) struct Found([(u16, u16); FOUND]);

impl Found {
    pub(super) const NONE: Found = Found([(0, 0); FOUND]);
}

/// Cuts a line of a ball from a tile.
#[inline(always)]
pub(super) fn ball<E: End<f32>, const LEVEL: bool, S: Surface>(
    line: &Line<f32, E, LEVEL>,
    window: &Window,
    cut: &mut Cut<S>,
) {
    let top = window.rows.start;
    let rows = line.rows(window.middle(top), window.step(), window.rows.len());
    let bound = line.bound();
    let Cut { surface, done, found: Found(found), .. } = cut;
    let mut count = 0;
    let (start, groups) = window.whole;
    for group in 0..groups {
        let column = start + group * LANES;
        let (at, first) = window.place(top, column);
        let (mut u, mut aside) = ([0.0; LANES], [0.0; LANES]);
        for (lane, k) in offsets::<f32>(first).into_iter().enumerate() {
            (u[lane], aside[lane]) = (k * line.step.0, k * line.step.1);
        }
        let span = window.rows_at(column);
        for j in span.start - top..span.end - top {
            let old = surface.eight(at + j * window.stride());
            // Noted always, counted only if it may be cut: no branch is to be foretold.
            found[count % FOUND] = (j as u16, group as u16);
            count += usize::from(bound.may_cut(&rows.row(j), &u, &aside, &old));
        }
        if count > FOUND - TILE_ROWS || group + 1 == groups {
            done.take(
                *surface,
                count.min(FOUND),
                #[inline(always)]
                |k| {
                    let (j, group) = found[k % FOUND];
                    let (j, column) = (usize::from(j), start + usize::from(group) * LANES);
                    let (at, first) = window.place(top + j, column);
                    (at, line.eight(&rows.row(j), first))
                },
            );
            count = 0;
        }
    }
}

/// What the cheap look needs.
pub(super) struct Bound {
    pub(super) slope: f32,
    /// Squares: of the radius, with room for rounding, and of the slope's length for a run of one.
    pub(super) radius2: f32,
    pub(super) stretch2: f32,
    /// Centre of the ball above its tip, less room for rounding.
    pub(super) centre: f32,
}

impl Bound {
    /// For eight cells as seen from the foot of a row: how far along, how far aside less what the
    /// row is, and their heights.
    #[inline(always)]
    fn may_cut(
        &self,
        row: &LineRow<f32>,
        u: &Lanes<f32>,
        aside: &Lanes<f32>,
        old: &Lanes<f32>,
    ) -> bool {
        let centre = row.z + self.centre;
        let mut cuts = false;
        for lane in 0..LANES {
            let (u, v) = (u[lane], row.across + aside[lane]);
            let s = u.most(row.start).least(row.end);
            let square = self.stretch2 * (self.radius2 - (v * v + (u - s) * (u - s)));
            let above = (centre + self.slope * s - old[lane]).most(0.0);
            cuts |= above * above < square;
        }
        cuts
    }
}
