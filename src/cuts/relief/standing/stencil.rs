//! A cutter's end on the cells of a field: what it takes at a place, and how to put it back.

use crate::geometry::cutter_surface::CutterEnd;
use crate::geometry::{HeightField, Point, Point3};

/// Places of the tip within a cell, along each axis, for which the end is worked out.
const PHASES: usize = 4;

/// Cells worked on at once.
const LANES: usize = 8;

/// What a cutter took at a place.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Taken {
    /// Wood, mm3.
    pub(super) volume: f64,
    /// The highest that stood anywhere above the cutter's edge, mm.
    pub(super) deepest: f64,
    /// Plan of what was taken, mm2.
    pub(super) area: f64,
}

/// The end with its tip at each phase of a cell, and what it has changed.
#[derive(Debug)]
pub(super) struct Stencils {
    cell: f64,
    phases: Vec<Stencil>,
    changed: Vec<(usize, usize)>,
    before: Vec<f32>,
}

/// Rows of heights above the tip.
#[derive(Debug)]
struct Stencil {
    rows: Vec<Row>,
    heights: Vec<f32>,
}

/// One row: cells from `(along, across)` off the tip's, and where their heights begin.
#[derive(Clone, Copy, Debug)]
struct Row {
    along: isize,
    across: isize,
    count: usize,
    from: usize,
}

/// How much was changed before.
#[derive(Clone, Copy, Debug)]
pub(super) struct Mark(usize);

impl Stencils {
    pub(super) fn new(end: &CutterEnd, cell: f64) -> Stencils {
        let phase = |k: usize| (k as f64 + 0.5) / PHASES as f64;
        let each = (0..PHASES * PHASES).map(|k| (phase(k % PHASES), phase(k / PHASES)));
        let phases = each.map(|(u, v)| Stencil::new(end, cell, u, v)).collect();
        Stencils { cell, phases, changed: Vec::new(), before: Vec::new() }
    }

    /// Remembers how the wood stands.
    pub(super) fn mark(&self) -> Mark {
        Mark(self.changed.len())
    }

    /// Forgets how it stood.
    pub(super) fn forget(&mut self) {
        self.changed.clear();
        self.before.clear();
    }

    /// Puts back all that was taken since.
    pub(super) fn put_back(&mut self, wood: &mut HeightField, mark: Mark) {
        let cells = wood.raw_mut();
        for (start, count) in self.changed.drain(mark.0..).rev() {
            let kept = self.before.len() - count;
            cells[start..start + count].copy_from_slice(&self.before[kept..]);
            self.before.truncate(kept);
        }
    }

    /// Takes all that stands above the edge with the tip at a place.
    pub(super) fn take(&mut self, wood: &mut HeightField, tip: Point3) -> Taken {
        let (mut volume, mut deepest, mut count) = (0.0_f32, 0.0_f32, 0.0_f32);
        let (stencil, place) = phase(&self.phases, wood, tip.xy());
        let z = tip.z as f32;
        for row in &stencil.rows {
            let Some((start, heights)) = stencil.clipped(*row, place, wood) else { continue };
            let cells = &mut wood.raw_mut()[start..start + heights.len()];
            let (more, deep, touched) = taken(cells, heights, z);
            if touched > 0.0 {
                self.changed.push((start, cells.len()));
                self.before.extend_from_slice(cells);
                cells.iter_mut().zip(heights).for_each(|(w, h)| *w = w.min(z + h));
                volume += more;
                deepest = deepest.max(deep);
                count += touched;
            }
        }
        let area = self.cell * self.cell;
        Taken {
            volume: f64::from(volume) * area,
            deepest: f64::from(deepest),
            area: f64::from(count) * area,
        }
    }

    /// The lowest that the tip may stand at a place and take nothing.
    pub(super) fn touches(&self, wood: &HeightField, p: Point) -> f32 {
        let (stencil, place) = phase(&self.phases, wood, p);
        let mut highest = f32::NEG_INFINITY;
        for row in &stencil.rows {
            let Some((start, heights)) = stencil.clipped(*row, place, wood) else { continue };
            let cells = &wood.raw()[start..start + heights.len()];
            let mut lanes = [f32::NEG_INFINITY; LANES];
            let (whole, rest) = cells.as_chunks::<LANES>();
            let (sections, last) = heights.as_chunks::<LANES>();
            for (w, h) in whole.iter().zip(sections) {
                for k in 0..LANES {
                    lanes[k] = lanes[k].max(w[k] - h[k]);
                }
            }
            let rest = rest.iter().zip(last).map(|(w, h)| w - h);
            highest = lanes.into_iter().chain(rest).fold(highest, f32::max);
        }
        highest
    }
}

/// The stencil for a tip, and the cell that its rows count from.
fn phase<'a>(all: &'a [Stencil], wood: &HeightField, tip: Point) -> (&'a Stencil, (isize, isize)) {
    let at = (tip - wood.middle(0, 0)) * (1.0 / wood.cell());
    let phase = |v: f64| (((v - v.floor()) * PHASES as f64) as usize).min(PHASES - 1);
    let place = (at.x.floor() as isize, at.y.floor() as isize);
    (&all[phase(at.y) * PHASES + phase(at.x)], place)
}

impl Stencil {
    fn new(end: &CutterEnd, cell: f64, u: f64, v: f64) -> Stencil {
        let reach = (end.radius() / cell).ceil() as isize + 1;
        let (mut rows, mut heights) = (Vec::new(), Vec::new());
        for across in -reach..=reach {
            let height = |along: isize| {
                end.height(cell * (along as f64 - u).hypot(across as f64 - v)).map(|h| h as f32)
            };
            let from = heights.len();
            let mut inside = (-reach..=reach).filter(|i| height(*i).is_some()).peekable();
            let Some(&along) = inside.peek() else { continue };
            heights.extend(inside.filter_map(height));
            rows.push(Row { along, across, count: heights.len() - from, from });
        }
        Stencil { rows, heights }
    }

    /// Where the cells of a row begin in a field, and the heights over them; `None` beside it.
    fn clipped(
        &self,
        row: Row,
        (i, j): (isize, isize),
        wood: &HeightField,
    ) -> Option<(usize, &[f32])> {
        let j = usize::try_from(j + row.across).ok().filter(|&j| j < wood.rows())?;
        let first = i + row.along;
        let skipped = usize::try_from(-first).unwrap_or(0).min(row.count);
        let first = usize::try_from(first).unwrap_or(0);
        let count = (row.count - skipped).min(wood.columns().saturating_sub(first));
        let heights = &self.heights[row.from + skipped..][..count];
        (count > 0).then_some((j * wood.stride() + first, heights))
    }
}

/// Sum and greatest of what stands above the edge, and over how many cells.
fn taken(cells: &[f32], heights: &[f32], z: f32) -> (f32, f32, f32) {
    let mut sum = [0.0_f32; LANES];
    let mut deep = [0.0_f32; LANES];
    let mut count = [0.0_f32; LANES];
    let mut add = |k: usize, w: f32, h: f32| {
        let more = (w - (z + h)).max(0.0);
        sum[k] += more;
        deep[k] = deep[k].max(more);
        count[k] += if more > 0.0 { 1.0 } else { 0.0 };
    };
    let (whole, rest) = cells.as_chunks::<LANES>();
    let (sections, last) = heights.as_chunks::<LANES>();
    for (w, h) in whole.iter().zip(sections) {
        for k in 0..LANES {
            add(k, w[k], h[k]);
        }
    }
    for (k, (w, h)) in rest.iter().zip(last).enumerate() {
        add(k, *w, *h);
    }
    (sum.into_iter().sum(), deep.into_iter().fold(0.0, f32::max), count.into_iter().sum())
}
