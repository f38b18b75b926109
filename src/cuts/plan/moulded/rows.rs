//! Straight pieces of different lengths in rows on as few boards as hold them.

use super::nest::{BETWEEN, BOARDS, Piece, beside, placed};
use super::{Placed, Shop};
use crate::diagnostic::Diagnostic;
use crate::geometry::point;
use crate::part::{PathShape, StraightShape};
use crate::shop::Cutter;

/// The pieces of a moulding that is made up of straight ones.
pub(super) fn pieces<'a>(shop: &Shop<'a>) -> Option<&'a [StraightShape]> {
    match &shop.moulding.shape.path {
        PathShape::Pieces { piece } => Some(piece),
        _ => None,
    }
}

/// Pieces end to end.
struct Row {
    pieces: Vec<usize>,
    length: f64,
}

/// The pieces of each board, the longest first: each in the first row that has room for it.
pub(super) fn boards(shop: &Shop<'_>, pieces: &[Piece]) -> Result<Vec<Vec<Placed>>, Diagnostic> {
    let stock = shop.bench.stock;
    let (room, width) = (stock.size().x, stock.size().y);
    let lengths: Vec<f64> = pieces.iter().map(Piece::length).collect();
    let mut order: Vec<usize> = (0..lengths.len()).collect();
    order.sort_by(|a, b| lengths[*b].total_cmp(&lengths[*a]));
    let gap = gap_along(shop);
    let mut rows: Vec<Row> = Vec::new();
    for i in order {
        let fits = |row: &&mut Row| row.length + gap + lengths[i] <= room - 2.0 * gap;
        match rows.iter_mut().find(fits) {
            Some(row) => {
                row.pieces.push(i);
                row.length += gap + lengths[i];
            }
            None => rows.push(Row { pieces: vec![i], length: lengths[i] }),
        }
    }
    let depth = shop.moulding.size()[1];
    let pitch = depth + beside(shop) + BETWEEN;
    // Rows on one board, a count of at most the rows.
    let most = (((width - depth) / pitch + 1e-9).floor().max(0.0) as usize + 1).min(rows.len());
    if rows.len().div_ceil(most) > BOARDS.len() {
        let shown = shop.bench.job.shown;
        return Err(Diagnostic::error(format!("the pieces fill {} rows", rows.len()))
            .key("stock.width")
            .help(format!("{} holds two rows to a board", shown.both(depth + pitch))));
    }
    let on_board = |own: &[Row]| -> Vec<Placed> {
        let block = depth + pitch * (own.len() - 1) as f64;
        let low = stock.min.y + (width - block) / 2.0;
        let mut all = Vec::new();
        for (k, row) in own.iter().enumerate() {
            let mut x = stock.min.x + (room - row.length) / 2.0;
            for &i in &row.pieces {
                all.push(placed(&pieces[i], point(x, low + pitch * k as f64)));
                x += lengths[i] + gap;
            }
        }
        all
    };
    Ok(rows.chunks(most).map(on_board).collect())
}

/// From one piece to the next along a row: sweeps run out over an end until the cutter is clear
/// of it, and must not meet the neighbour.
fn gap_along(shop: &Shop<'_>) -> f64 {
    let widest = shop.cutters.all().map(Cutter::radius).fold(0.0, f64::max);
    let (past, inward) = shop.past_ends();
    widest + past + inward + BETWEEN
}

/// Which piece lies where on a board.
pub(super) fn remark(shop: &Shop<'_>, board: &[Placed]) -> Option<String> {
    let pieces = pieces(shop)?;
    let named = |placed: &Placed| {
        let own = pieces.get(placed.segment).and_then(|piece| piece.name.clone());
        own.unwrap_or_else(|| format!("piece {}", placed.segment + 1))
    };
    let front = |placed: &Placed| placed.outline.bounds().map_or(0.0, |(low, _)| low.y);
    let mut rows: Vec<(f64, Vec<String>)> = Vec::new();
    for placed in board {
        let y = front(placed);
        match rows.iter_mut().find(|(at, _)| (at - y).abs() < 1e-6) {
            Some((_, names)) => names.push(named(placed)),
            None => rows.push((y, vec![named(placed)])),
        }
    }
    let rows: Vec<String> = rows
        .iter()
        .enumerate()
        .map(|(i, (_, names))| format!("row {}: {}", i + 1, names.join(", ")))
        .collect();
    Some(format!("On the board, from the front, left to right: {}.", rows.join("; ")))
}
