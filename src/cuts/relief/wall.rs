//! Where the tip may stand beside walls, which a grid knows only to a cell.

use crate::geometry::{HeightField, Point};
use std::ops::Range;

/// A cutter surface that rises more than this many cells from one node to the next is a wall to
/// the grid: how it runs between the two, no slope at the nodes tells.
const STEEP: f64 = 3.0;

/// Places nearer to a node than this share of a cell are the node's.
const AT_NODE: f64 = 1e-6;

/// Whether a rise from one cell to the next is a wall's.
pub(super) fn is_wall(rise: f64, cell: f64) -> bool {
    rise.abs() > STEEP * cell
}

/// Height of the tip at a place, never into the bilinear relief: the cutter surface between its
/// nodes and `lift` more; beside a wall as high as the highest of a node and the eight around it,
/// and straight between nodes.
///
/// At a node that is enough anywhere: where the end touches the bilinear relief one of the
/// cell's nodes is at least as high, and of the nine nodes one is no farther from that one than
/// the place is from where the end touches.
pub(super) fn tip(over: &HeightField, p: Point, lift: impl Fn(Point) -> f64) -> f64 {
    let at = (p - over.middle(0, 0)) * (1.0 / over.cell());
    let (columns, rows) = (nodes(at.x, over.columns()), nodes(at.y, over.rows()));
    // The nodes with a share, and those around them: almost nowhere is there a wall.
    if !is_wall(around(over, &span(&columns), &span(&rows)).1, over.cell()) {
        return over.bilinear(p) + lift(p);
    }
    let shares = columns.iter().flat_map(|(i, u)| rows.iter().map(move |(j, v)| (*i, *j, u * v)));
    let mut height = 0.0;
    for (i, j, share) in shares.filter(|(.., share)| *share > 0.0) {
        let (highest, steepest) = around(over, &(i..i + 1), &(j..j + 1));
        let here = is_wall(steepest, over.cell());
        let node = over.middle(i, j);
        height += share * if here { highest } else { over.bilinear(node) + lift(node) };
    }
    height
}

/// From the first node with a share to after the last.
fn span(nodes: &[(usize, f64); 2]) -> Range<usize> {
    let [(first, _), (second, share)] = *nodes;
    first..if share > 0.0 { second + 1 } else { first + 1 }
}

/// The one or two nodes of an axis about a place, with their shares.
fn nodes(at: f64, count: usize) -> [(usize, f64); 2] {
    let last = count.saturating_sub(1);
    let at = at.clamp(0.0, last as f64);
    let k = at as usize;
    let share = at - k as f64;
    match () {
        () if share < AT_NODE => [(k, 1.0), (k, 0.0)],
        () if share > 1.0 - AT_NODE => [((k + 1).min(last), 1.0), (k, 0.0)],
        () => [(k, 1.0 - share), ((k + 1).min(last), share)],
    }
}

/// The highest of some nodes and those around them, and the greatest step between two of them along
/// x or y.
fn around(over: &HeightField, columns: &Range<usize>, rows: &Range<usize>) -> (f64, f64) {
    let wider = |all: &Range<usize>, most| all.start.saturating_sub(1)..(all.end + 1).min(most);
    let columns = wider(columns, over.columns());
    let (mut highest, mut steepest) = (f32::NEG_INFINITY, 0.0_f32);
    let mut before: Option<&[f32]> = None;
    for j in wider(rows, over.rows()) {
        let row = &over.row(j)[columns.clone()];
        highest = row.iter().copied().fold(highest, f32::max);
        let along = row.windows(2).map(|w| (w[1] - w[0]).abs());
        steepest = along.fold(steepest, f32::max);
        let across = before.into_iter().flat_map(|b| b.iter().zip(row)).map(|(a, b)| (b - a).abs());
        steepest = across.fold(steepest, f32::max);
        before = Some(row);
    }
    (f64::from(highest), f64::from(steepest))
}
