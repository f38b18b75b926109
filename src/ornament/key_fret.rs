//! The key fret: hooks that rise from a rail and turn back upon themselves, bar and gap equal.
//!
//! Drawn on a grid of squares five high, a hook to every six, mirrored about an upright in the
//! middle; as the Greek frets of the plates in Meyer, Handbook of Ornament (from memory).

use super::motif::Motif;
use super::straight::Plate;
use crate::geometry::{Contour, Point, point};

/// Squares in height.
const HIGH: usize = 5;

/// Squares from hook to hook.
const PITCH: usize = 6;

/// The squares that are bar, by column and row, and the size of a square.
struct Grid {
    columns: usize,
    bar: Vec<bool>,
    square: f64,
}

impl Grid {
    fn new(length: f64, height: f64) -> Grid {
        let square = height / HIGH as f64;
        let hooks = (((length / square - 1.0) / (2 * PITCH) as f64).floor() as usize).max(1);
        let columns = 2 * PITCH * hooks + 1;
        let mut grid = Grid {
            columns,
            bar: vec![false; columns * HIGH],
            square: square.min(length / columns as f64),
        };
        grid.set(0..columns, 0..1);
        grid.set(PITCH * hooks..PITCH * hooks + 1, 0..HIGH);
        for hook in 0..hooks {
            let x = PITCH * hook;
            let last = columns - 1 - x;
            grid.set(x..x + 1, 0..5);
            grid.set(x..x + 5, 4..5);
            grid.set(x + 4..x + 5, 2..5);
            grid.set(x + 2..x + 5, 2..3);
            grid.set(last..last + 1, 0..5);
            grid.set(last - 4..last + 1, 4..5);
            grid.set(last - 4..last - 3, 2..5);
            grid.set(last - 4..last - 1, 2..3);
        }
        grid
    }

    fn set(&mut self, columns: std::ops::Range<usize>, rows: std::ops::Range<usize>) {
        for j in rows {
            self.bar[j * self.columns..][columns.clone()].fill(true);
        }
    }

    fn is_bar(&self, i: i64, j: i64) -> bool {
        let inside = i >= 0 && j >= 0 && i < self.columns as i64 && j < HIGH as i64;
        inside && self.bar[j as usize * self.columns + i as usize]
    }

    fn corner(&self, i: i64, j: i64) -> Point {
        let middle = point(self.columns as f64 / 2.0, HIGH as f64 / 2.0);
        (point(i as f64, j as f64) - middle) * self.square
    }
}

/// A key fret about the origin, along x, no longer than `length` and no higher than `height`,
/// raised by `depth` with edges bevelled by an eighth of a bar.
#[must_use]
pub fn key_fret(length: f64, height: f64, depth: f64) -> Motif {
    let grid = Grid::new(length, height);
    let mut plate = Plate { rectangles: Vec::new(), height: depth, bevel: grid.square / 8.0 };
    for j in 0..HIGH as i64 {
        let mut i = 0;
        while i < grid.columns as i64 {
            let start = i;
            while grid.is_bar(i, j) {
                i += 1;
            }
            if i > start + 1 {
                plate.rectangles.push((grid.corner(start, j), grid.corner(i, j + 1)));
            }
            i += 1;
        }
    }
    for i in 0..grid.columns as i64 {
        let mut j = 0;
        while j < HIGH as i64 {
            let start = j;
            while grid.is_bar(i, j) {
                j += 1;
            }
            if j > start + 1 {
                plate.rectangles.push((grid.corner(i, start), grid.corner(i + 1, j)));
            }
            j += 1;
        }
    }
    Motif::new(vec![plate.into()])
}

/// The outline of the fret of the same size, counter-clockwise, for incised work.
#[must_use]
pub fn key_fret_outline(length: f64, height: f64) -> Contour {
    let grid = Grid::new(length, height);
    // Along the edges with bar on the left, from the lower left corner; the bars are connected
    // and enclose nothing, so that one walk sees every edge.
    let (start, mut at, mut way) = ((0_i64, 0_i64), (0_i64, 0_i64), (1_i64, 0_i64));
    let mut corners = Vec::new();
    loop {
        // The squares ahead: to the left and to the right of the way.
        let ahead = |left: bool| {
            let side = if left { (-way.1, way.0) } else { (way.1, -way.0) };
            let x = at.0 + (way.0 + side.0 - 1) / 2;
            let y = at.1 + (way.1 + side.1 - 1) / 2;
            grid.is_bar(x, y)
        };
        let turned = match (ahead(true), ahead(false)) {
            (true, false) => way,
            (_, true) => (way.1, -way.0),
            (false, false) => (-way.1, way.0),
        };
        if turned != way {
            corners.push(grid.corner(at.0, at.1));
        }
        way = turned;
        at = (at.0 + way.0, at.1 + way.1);
        if at == start {
            break;
        }
    }
    corners.insert(0, grid.corner(start.0, start.1));
    Contour::polygon(&corners)
}
