//! Segments side by side on as few boards as hold them.

use super::{Placed, Shop};
use crate::diagnostic::Diagnostic;
use crate::geometry::{Point, point};

/// Names of the setups where there are several boards.
pub(super) const BOARDS: [&str; 12] = [
    "board-1", "board-2", "board-3", "board-4", "board-5", "board-6", "board-7", "board-8",
    "board-9", "board-10", "board-11", "board-12",
];

/// Wood that stays standing between two segments, mm, for tabs to hold by.
pub(super) const BETWEEN: f64 = 6.0;

/// The segments of each board.
pub(super) fn boards(shop: &Shop<'_>) -> Result<Vec<Vec<Placed>>, Diagnostic> {
    if super::rows::pieces(shop).is_some() {
        return super::rows::boards(shop);
    }
    let moulding = shop.moulding;
    let count = moulding.segments.len();
    let stock = shop.bench.stock;
    if count == 1 {
        return Ok(vec![vec![placed(shop, 0, shop.bench.corner())]]);
    }
    let depth = moulding.size()[1];
    let pitch = pitch(shop, depth);
    let width = stock.size().y;
    // Segments on one board, a count of at most the segments.
    let most = (((width - depth) / pitch + 1e-9).floor().max(0.0) as usize + 1).min(count);
    let needed = count.div_ceil(most);
    if needed > BOARDS.len() {
        let shown = shop.bench.job.shown;
        return Err(Diagnostic::error(format!("the segments need {needed} boards"))
            .key("stock.width")
            .help(format!(
                "{} holds two to a board, {} all of them",
                shown.both(depth + pitch),
                shown.both(depth + pitch * (count - 1) as f64)
            )));
    }
    let mut boards = Vec::new();
    for first in (0..count).step_by(most) {
        let own: Vec<usize> = (first..count.min(first + most)).collect();
        let block = depth + pitch * (own.len() - 1) as f64;
        let low = stock.min.y + (width - block) / 2.0;
        let row = own.iter().enumerate().map(|(row, i)| {
            let contour = moulding.outline(*i);
            let long = contour.bounds().map_or(0.0, |(a, b)| b.x - a.x);
            let x = stock.min.x + (stock.size().x - long) / 2.0;
            placed(shop, *i, point(x, low + pitch * row as f64))
        });
        boards.push(row.collect());
    }
    Ok(boards)
}

/// From one segment to the next across the board: lanes of equal distance lie closer where they
/// run off the grain, by the cosine of that angle.
fn pitch(shop: &Shop<'_>, depth: f64) -> f64 {
    let (low, high) = shop.moulding.extent;
    let gap = beside(shop) + BETWEEN;
    let nested = (high - low + gap) / shop.moulding.run_out.cos().max(0.2);
    nested.min(depth + gap)
}

/// What sweeps and slots take of the wood on both sides of a segment.
pub(super) fn beside(shop: &Shop<'_>) -> f64 {
    let (low, high) = shop.moulding.extent;
    let slot = shop.parting.0.diameter.0 + shop.bench.part.outline.allowance.0;
    (low - shop.section.reach.0).max(slot) + (shop.section.reach.1 - high).max(slot)
}

/// A segment with the lower left corner of its outline at a place.
pub(super) fn placed(shop: &Shop<'_>, segment: usize, at: Point) -> Placed {
    let by = at - shop.moulding.corner(segment);
    Placed {
        segment,
        path: shop.moulding.segments[segment].moved(by),
        outline: shop.moulding.outline(segment).moved(by),
    }
}
