//! Whether anything comes loose: what hangs together below, at the stock's underside, as the cut
//! goes on. A piece with a bridge of wood to something held is held; so is one on a skin.

use super::scene::Scene;
use super::turned::Under;
use super::wood::Cutting;
use crate::geometry::{Box3, HeightField, Point, Point3, Stroke, point, point3};
use crate::shop::Cutter;
use std::ops::Range;

/// Wood thinner than this, mm, holds nothing: a skin is left at 0.2 mm or more (common practice).
pub(super) const THINNEST: f64 = 0.05;

/// Cells to the side of a block: a quarter of the smallest cutter, so that its kerf parts them.
const BLOCK: usize = 3;

/// Offcuts smaller than this, mm2, are chips (common practice: they leave by the dust hose).
const CHIP: f64 = 25.0;

/// A piece that came free.
#[derive(Clone, Debug)]
pub(super) struct Free {
    /// The line that freed it.
    pub(super) line: usize,
    /// Its middle, at the stock's top.
    pub(super) at: Point3,
    /// Widths of its box in plan.
    pub(super) size: Point,
    /// The first line after that one along which a cutter still passes by it.
    pub(super) passed_at: Option<usize>,
    /// Way, mm, that a cutter has passed by it since.
    passed: f64,
    low: Point,
    high: Point,
}

/// What hangs together.
pub(super) struct Loose<'s> {
    under: Under<'s>,
    /// Half the width of the widest cutter.
    widest: f64,
    top: f64,
    /// Plan of what holds the stock; empty if nobody said.
    holders: Vec<(Point, Point)>,
    grid: Grid,
    solid: Vec<bool>,
    /// Number of the free piece, from 1, that a block belongs to; 0 for none.
    piece: Vec<u16>,
    pub(super) free: Vec<Free>,
    /// Blocks cut through in this batch, each with its stroke.
    gone: Vec<(usize, usize)>,
}

/// Blocks of cells.
#[derive(Clone, Copy)]
struct Grid {
    min: Point,
    side: f64,
    across: usize,
    rows: usize,
}

impl Grid {
    fn of(field: &HeightField) -> Grid {
        Grid {
            min: field.min(),
            side: field.cell() * BLOCK as f64,
            across: field.columns().div_ceil(BLOCK),
            rows: field.rows().div_ceil(BLOCK),
        }
    }

    fn middle(&self, block: usize) -> Point {
        let (i, j) = (block % self.across, block / self.across);
        self.min + point(i as f64 + 0.5, j as f64 + 0.5) * self.side
    }

    /// Columns and rows of blocks that the rectangle meets.
    fn meets(&self, low: Point, high: Point) -> (Range<usize>, Range<usize>) {
        let first = |v: f64, min: f64| ((v - min) / self.side).floor().max(0.0) as usize;
        let after = |v: f64, min: f64, count: usize| {
            (((v - min) / self.side).floor() + 1.0).clamp(0.0, count as f64) as usize
        };
        let columns = first(low.x, self.min.x)..after(high.x, self.min.x, self.across);
        let rows = first(low.y, self.min.y)..after(high.y, self.min.y, self.rows);
        (columns, rows)
    }

    fn blocks(&self, low: Point, high: Point) -> impl Iterator<Item = usize> + use<> {
        let ((columns, rows), across) = (self.meets(low, high), self.across);
        rows.flat_map(move |j| columns.clone().map(move |i| j * across + i))
    }

    /// The four blocks beside one.
    fn beside(&self, block: usize) -> impl Iterator<Item = usize> + use<> {
        let (i, j, across, rows) =
            (block % self.across, block / self.across, self.across, self.rows);
        [
            (i > 0).then(|| block - 1),
            (i + 1 < across).then_some(block + 1),
            (j > 0).then(|| block - across),
            (j + 1 < rows).then_some(block + across),
        ]
        .into_iter()
        .flatten()
    }
}

impl<'s> Loose<'s> {
    /// The whole stock; `None` if it is held from below, so that nothing can come loose.
    pub(super) fn new(scene: &Scene<'s>, field: &HeightField) -> Option<Loose<'s>> {
        let stock = scene.setup.stock.filter(|_| !scene.setup.held_below)?;
        let grid = Grid::of(field);
        let plan = |space: &Box3| (space.min.xy(), space.max.xy());
        let mut loose = Loose {
            under: scene.under(stock.min.z),
            widest: scene.setup.cutters.iter().map(Cutter::radius).fold(0.0, f64::max),
            top: stock.max.z,
            holders: scene.setup.clamps.iter().map(|clamp| plan(&clamp.space)).collect(),
            grid,
            solid: vec![true; grid.across * grid.rows],
            piece: Vec::new(),
            free: Vec::new(),
            gone: Vec::new(),
        };
        if scene.before().is_some() || scene.setup.below.is_some() {
            loose.take_over(field);
        }
        Some(loose)
    }

    /// Stock that was cut before: what was free already is gone, and comes free no more.
    fn take_over(&mut self, field: &HeightField) {
        for block in 0..self.solid.len() {
            self.solid[block] = self.stands(field, block);
        }
        let parts = self.parts();
        let held = self.held(&parts);
        self.piece.resize(self.solid.len(), 0);
        for (part, _) in parts.iter().zip(&held).filter(|(_, held)| !**held) {
            part.iter().for_each(|block| self.piece[*block] = u16::MAX);
        }
    }

    /// Whether a stroke may cut through.
    pub(super) fn goes_through(&self, stroke: &Stroke) -> bool {
        let bounds = stroke.bounds();
        let reach = point(self.widest, self.widest);
        let under = match self.under.cut {
            None => self.under.level,
            Some(_) => self.under.highest(bounds.min.xy() - reach, bounds.max.xy() + reach),
        };
        bounds.min.z <= under + THINNEST
    }

    /// Whether any wood of a block is left between its faces.
    fn stands(&self, field: &HeightField, block: usize) -> bool {
        let grid = &self.grid;
        let (i, j) = (block % grid.across * BLOCK, block / grid.across * BLOCK);
        (j..(j + BLOCK).min(field.rows())).any(|row| {
            let cells = field.row(row);
            (i..(i + BLOCK).min(cells.len())).any(|column| {
                let under = match self.under.cut {
                    None => self.under.level,
                    Some(_) => self.under.at(field.middle(column, row)),
                };
                f64::from(cells[column]) > under + THINNEST
            })
        })
    }

    /// Notes what a piece of the stroke numbered `stroke` in its batch has cut through.
    pub(super) fn note(&mut self, field: &HeightField, piece: &Stroke, radius: f64, stroke: usize) {
        if !self.goes_through(piece) {
            return;
        }
        let bounds = piece.bounds();
        let reach = point(radius, radius);
        for block in self.grid.blocks(bounds.min.xy() - reach, bounds.max.xy() + reach) {
            if self.solid[block] && !self.stands(field, block) {
                self.solid[block] = false;
                self.gone.push((block, stroke));
            }
        }
    }

    /// After a batch: pieces that came free in it, and cutters that passed by free pieces.
    pub(super) fn look(&mut self, all: &[Stroke], strokes: &[Cutting], radius: f64) {
        let known = self.free.len();
        let mut since: Vec<usize> = vec![0; known];
        if !self.gone.is_empty() && self.may_part() {
            self.find_free(strokes, &mut since);
        }
        self.gone.clear();
        for (index, from) in since.into_iter().enumerate() {
            for cutting in &strokes[from.min(strokes.len())..] {
                self.pass_by(index, cutting, &all[cutting.pieces.clone()], radius);
            }
        }
    }

    /// Whether what is gone may part the wood: not if what stands around it hangs together.
    fn may_part(&self) -> bool {
        let (mut low, mut high) = ((usize::MAX, usize::MAX), (0, 0));
        for (block, _) in &self.gone {
            let (i, j) = (block % self.grid.across, block / self.grid.across);
            low = (low.0.min(i), low.1.min(j));
            high = (high.0.max(i), high.1.max(j));
        }
        let columns = low.0.saturating_sub(1)..(high.0 + 2).min(self.grid.across);
        let rows = low.1.saturating_sub(1)..(high.1 + 2).min(self.grid.rows);
        let here = |block: usize| {
            columns.contains(&(block % self.grid.across))
                && rows.contains(&(block / self.grid.across))
        };
        let blocks =
            rows.clone().flat_map(|j| columns.clone().map(move |i| j * self.grid.across + i));
        let wood: Vec<usize> = blocks.filter(|block| self.solid[*block]).collect();
        let Some(first) = wood.first() else { return false };
        let mut seen = vec![false; self.solid.len()];
        let hangs = flood(&self.grid, *first, &mut seen, |b| self.solid[b] && here(b));
        hangs.len() < wood.len()
    }

    /// Finds what came free; `since` gets the stroke after the one that freed each.
    fn find_free(&mut self, strokes: &[Cutting], since: &mut Vec<usize>) {
        let parts = self.parts();
        let held = self.held(&parts);
        let area = self.grid.side * self.grid.side;
        for (part, _) in parts.iter().zip(&held).filter(|(_, held)| !**held) {
            let new = self.piece.is_empty() || part.iter().all(|block| self.piece[*block] == 0);
            let room = self.free.len() + 1 < usize::from(u16::MAX);
            if !new || part.len() as f64 * area < CHIP || !room {
                continue;
            }
            let stroke = self.freed_by(part, &parts, &held);
            self.add(part, strokes.get(stroke).map_or(0, |s| s.line));
            since.push(stroke + 1);
        }
    }

    /// Which parts something holds.
    fn held(&self, parts: &[Vec<usize>]) -> Vec<bool> {
        let touches_holder = |part: &[usize]| {
            let meets = |block: &usize| {
                let (middle, half) = (self.grid.middle(*block), self.grid.side / 2.0);
                self.holders.iter().any(|(low, high)| {
                    middle.x + half > low.x
                        && middle.x - half < high.x
                        && middle.y + half > low.y
                        && middle.y - half < high.y
                })
            };
            part.iter().any(meets)
        };
        let mut held: Vec<bool> = parts.iter().map(|part| touches_holder(part)).collect();
        if !held.contains(&true) {
            // Nobody said what holds it: the greatest piece is taken as held.
            let greatest = (0..parts.len()).rev().max_by_key(|k| parts[*k].len());
            if let Some(k) = greatest {
                held[k] = true;
            }
        }
        held
    }

    /// What hangs together, in the order of the blocks.
    fn parts(&self) -> Vec<Vec<usize>> {
        let mut seen = vec![false; self.solid.len()];
        let mut parts = Vec::new();
        for first in 0..self.solid.len() {
            if self.solid[first] && !seen[first] {
                parts.push(flood(&self.grid, first, &mut seen, |block| self.solid[block]));
            }
        }
        parts
    }

    /// The stroke of this batch after which the part no longer hangs on anything held.
    fn freed_by(&self, part: &[usize], parts: &[Vec<usize>], held: &[bool]) -> usize {
        let mut holds = vec![false; self.solid.len()];
        for (other, _) in parts.iter().zip(held).filter(|(_, held)| **held) {
            other.iter().for_each(|block| holds[*block] = true);
        }
        let mut order: Vec<usize> = self.gone.iter().map(|(_, stroke)| *stroke).collect();
        order.dedup();
        let is_free = |after: usize| {
            let mut solid = self.solid.clone();
            for (block, stroke) in &self.gone {
                solid[*block] |= *stroke > after;
            }
            let mut seen = vec![false; solid.len()];
            let hangs = flood(&self.grid, part[0], &mut seen, |block| solid[block]);
            !hangs.iter().any(|block| holds[*block])
        };
        let first = order.partition_point(|stroke| !is_free(*stroke));
        order.get(first).or(order.last()).copied().unwrap_or(0)
    }

    fn add(&mut self, part: &[usize], line: usize) {
        self.piece.resize(self.solid.len(), 0);
        let number = (self.free.len() + 1) as u16;
        let (mut low, mut high) = (self.grid.middle(part[0]), self.grid.middle(part[0]));
        for block in part {
            self.piece[*block] = number;
            let p = self.grid.middle(*block);
            low = point(low.x.min(p.x), low.y.min(p.y));
            high = point(high.x.max(p.x), high.y.max(p.y));
        }
        let half = point(self.grid.side / 2.0, self.grid.side / 2.0);
        let (low, high) = (low - half, high + half);
        let middle = (low + high) * 0.5;
        self.free.push(Free {
            line,
            at: point3(middle.x, middle.y, self.top),
            size: high - low,
            passed_at: None,
            passed: 0.0,
            low,
            high,
        });
    }

    /// Adds up the way that a stroke goes beside a free piece. As much as the cutter is wide is
    /// the end of the cut that freed it.
    fn pass_by(&mut self, index: usize, cutting: &Cutting, pieces: &[Stroke], radius: f64) {
        // The kerf's wall lies within a block of the rim.
        let reach = radius + 1.5 * self.grid.side;
        let Free { low, high, passed_at, .. } = self.free[index];
        if passed_at.is_some() {
            return;
        }
        for piece in pieces.iter().filter(|p| p.from.z.min(p.to.z) < self.top) {
            let bounds = piece.bounds();
            let near = bounds.min.x < high.x + reach
                && bounds.max.x > low.x - reach
                && bounds.min.y < high.y + reach
                && bounds.max.y > low.y - reach;
            if near && self.beside(index, piece, reach) {
                let free = &mut self.free[index];
                free.passed += piece.length();
                if free.passed > 2.0 * radius {
                    free.passed_at = Some(cutting.line);
                    return;
                }
            }
        }
    }

    fn beside(&self, index: usize, piece: &Stroke, reach: f64) -> bool {
        let bounds = piece.bounds();
        let around = point(reach, reach);
        let (a, b) = (piece.from.xy(), piece.to.xy());
        let along = b - a;
        let square = along.dot(along);
        self.grid.blocks(bounds.min.xy() - around, bounds.max.xy() + around).any(|block| {
            let p = self.grid.middle(block);
            let share =
                if square > 0.0 { ((p - a).dot(along) / square).clamp(0.0, 1.0) } else { 0.0 };
            usize::from(self.piece[block]) == index + 1 && p.distance(a + along * share) < reach
        })
    }
}

/// The blocks that hang together with `first` and were not seen before.
fn flood(
    grid: &Grid,
    first: usize,
    seen: &mut [bool],
    solid: impl Fn(usize) -> bool,
) -> Vec<usize> {
    seen[first] = true;
    let mut found = vec![first];
    let mut next = 0;
    while let Some(block) = found.get(next).copied() {
        next += 1;
        for beside in grid.beside(block) {
            if solid(beside) && !std::mem::replace(&mut seen[beside], true) {
                found.push(beside);
            }
        }
    }
    found
}
