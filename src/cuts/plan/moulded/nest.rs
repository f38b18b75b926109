//! Segments side by side on as few boards as hold them.

use super::{Placed, Shop, rows};
use crate::cuts::plan::bench::Bench;
use crate::diagnostic::Diagnostic;
use crate::geometry::{Contour, Path, Point, TooTight, point};
use crate::shop::Cutter;

/// Names of the setups where there are several boards.
pub(super) const BOARDS: [&str; 12] = [
    "board-1", "board-2", "board-3", "board-4", "board-5", "board-6", "board-7", "board-8",
    "board-9", "board-10", "board-11", "board-12",
];

/// Wood that stays standing between two segments, mm, for tabs to hold by.
pub(super) const BETWEEN: f64 = 6.0;
/// How closely flattened outlines are followed where two of them are moved together, mm.
const FLAT: f64 = 0.1;
/// Nearer than this to the room wanted, mm, is near enough.
const NEAR: f64 = 0.05;
/// Steps of moving one outline to another; each goes by what still lies between them.
const STEPS: usize = 500;

/// A segment in the frame of its path, and the place that its cuts take.
pub(super) struct Piece {
    segment: usize,
    path: Path,
    outline: Contour,
    footprint: Contour,
}

/// A pile of segments on a board, the lowest first: each one's number and how far it is moved.
#[derive(Default)]
struct Pile(Vec<(usize, f64)>);

/// The segments of each board.
pub(super) fn boards(shop: &Shop<'_>) -> Result<Vec<Vec<Placed>>, Diagnostic> {
    let pieces = pieces(shop)?;
    let (bench, count) = (shop.bench, pieces.len());
    if rows::pieces(shop).is_some() {
        return rows::boards(shop, &pieces);
    }
    if count == 1 {
        return Ok(vec![vec![placed(&pieces[0], bench.corner())]]);
    }
    let size = shop.moulding.size();
    let stock = bench.stock.size();
    // Lanes run on beyond the ends, and a cutter's breadth with them.
    let apart = 2.0 * runs_on(shop) + BETWEEN;
    // Columns on one board, a count of at most the segments.
    let columns =
        (((stock.x - size[0]) / (size[0] + apart) + 1e-9).floor().max(0.0) as usize + 1).min(count);
    // Waste along the board's edges stays in one piece, so that no cut sets a part of it free.
    let slot = shop.parting.0.diameter.0 + shop.bench.part.outline.allowance.0;
    let width = stock.y - 2.0 * (slot + BETWEEN);
    let mut boards: Vec<Vec<Pile>> = Vec::new();
    for number in 0..count {
        let open = boards.last_mut().and_then(|piles| room(piles, &pieces, number, width));
        match open {
            Some((pile, at)) => pile.0.push((number, at)),
            None => {
                let mut piles: Vec<Pile> = (0..columns).map(|_| Pile::default()).collect();
                piles[0].0.push((number, 0.0));
                boards.push(piles);
            }
        }
    }
    if boards.len() > BOARDS.len() {
        return Err(too_many(bench, &pieces, boards.len()));
    }
    let pitch = size[0] + apart;
    Ok(boards.iter().map(|piles| laid(bench, &pieces, piles, (size[0], pitch))).collect())
}

/// What sweeps and slots take of the wood on both sides of a segment.
pub(super) fn beside(shop: &Shop<'_>) -> f64 {
    let (low, high) = shop.moulding.extent;
    let slot = shop.parting.0.diameter.0 + shop.bench.part.outline.allowance.0;
    (low - shop.section.reach.0).max(slot) + (shop.section.reach.1 - high).max(slot)
}

/// How far a segment's cuts reach beyond its ends.
fn runs_on(shop: &Shop<'_>) -> f64 {
    let widest = shop.cutters.all().map(Cutter::radius).fold(0.0, f64::max);
    let (past, inward) = shop.past_ends();
    let beyond = widest + past + inward;
    beyond.max(shop.parting.0.diameter.0 + shop.bench.part.outline.allowance.0)
}

fn pieces(shop: &Shop<'_>) -> Result<Vec<Piece>, Diagnostic> {
    let (low, high) = shop.moulding.extent;
    let slot = shop.parting.0.diameter.0 + shop.bench.part.outline.allowance.0;
    let reach = (shop.section.reach.0.min(low - slot), shop.section.reach.1.max(high + slot));
    let beyond = runs_on(shop);
    let several = shop.moulding.segments.len() > 1 && rows::pieces(shop).is_none();
    let tight = |t: TooTight| shop.tight(t);
    shop.moulding
        .segments
        .iter()
        .enumerate()
        .map(|(number, segment)| {
            let outline = shop.outline(segment)?;
            // Alone on its board a segment is in nobody's way.
            let footprint = match several {
                true => {
                    let longer = segment.path.clone().longer(beyond, beyond);
                    longer.outline(reach.0, reach.1).map_err(tight)?
                }
                false => outline.clone(),
            };
            Ok(Piece { segment: number, path: segment.path.clone(), outline, footprint })
        })
        .collect()
}

impl Piece {
    /// Length of its outline along the board.
    pub(super) fn length(&self) -> f64 {
        self.outline.bounds().map_or(0.0, |(low, high)| high.x - low.x)
    }
}

/// The pile whose top is lowest, with the place there, if the board is wide enough for it.
fn room<'p>(
    piles: &'p mut [Pile],
    pieces: &[Piece],
    number: usize,
    width: f64,
) -> Option<(&'p mut Pile, f64)> {
    let mut best: Option<(usize, f64, f64)> = None;
    for (i, pile) in piles.iter().enumerate() {
        let at = pile.0.last().map_or(0.0, |(under, at)| {
            at + pitch(&pieces[*under].footprint, &pieces[number].footprint)
        });
        let top = high(pieces, number, at);
        let first = pile.0.first().map_or((number, at), |f| *f);
        let block = top - low(pieces, first.0, first.1);
        if block <= width + 1e-6 && best.is_none_or(|b| block < b.2) {
            best = Some((i, at, block));
        }
    }
    let (i, at, _) = best?;
    piles.get_mut(i).map(|pile| (pile, at))
}

fn low(pieces: &[Piece], number: usize, at: f64) -> f64 {
    pieces[number].outline.bounds().map_or(0.0, |(low, _)| low.y) + at
}

fn high(pieces: &[Piece], number: usize, at: f64) -> f64 {
    pieces[number].outline.bounds().map_or(0.0, |(_, high)| high.y) + at
}

/// How far the second outline must be moved up, both with their middles over each other, so that
/// wood stays between them: down from where they are surely apart, each time by what there is.
fn pitch(under: &Contour, over: &Contour) -> f64 {
    let bounds = |c: &Contour| c.bounds().unwrap_or_default();
    let (a, b) = (bounds(under), bounds(over));
    let middle = (a.0.x + a.1.x - b.0.x - b.1.x) / 2.0;
    let start = a.1.y - b.0.y + BETWEEN;
    let over = over.moved(point(middle, start));
    let (first, second) = (under.flattened(FLAT), over.flattened(FLAT));
    let mut down = 0.0;
    for _ in 0..STEPS {
        let by = point(0.0, -down);
        let nearest = |points: &[Point], other: &Contour, by: Point| {
            let distances = points.iter().filter_map(|p| other.nearest(*p + by));
            distances.map(|(d, _)| d).fold(f64::INFINITY, f64::min)
        };
        let free = nearest(&second, under, by).min(nearest(&first, &over, -by)) - BETWEEN;
        if free < NEAR {
            break;
        }
        down += free;
    }
    start - down
}

/// A board's piles beside each other, each in the middle of the width.
fn laid(
    bench: &Bench<'_>,
    pieces: &[Piece],
    piles: &[Pile],
    (long, pitch): (f64, f64),
) -> Vec<Placed> {
    let used: Vec<&Pile> = piles.iter().filter(|pile| !pile.0.is_empty()).collect();
    let stock = bench.stock;
    // A count of piles.
    let block = long + pitch * (used.len() as f64 - 1.0);
    let mut out = Vec::new();
    for (column, pile) in used.iter().enumerate() {
        let middle =
            stock.min.x + (stock.size().x - block) / 2.0 + pitch * column as f64 + long / 2.0;
        let ends = pile.0.first().zip(pile.0.last());
        let (bottom, top) = ends.map_or((0.0, 0.0), |(first, last)| {
            (low(pieces, first.0, first.1), high(pieces, last.0, last.1))
        });
        let up = stock.min.y + (stock.size().y - (top - bottom)) / 2.0 - bottom;
        for (number, at) in &pile.0 {
            let piece = &pieces[*number];
            let (a, b) = piece.outline.bounds().unwrap_or_default();
            out.push(placed(piece, point(middle - (b.x - a.x) / 2.0, a.y + at + up)));
        }
    }
    out
}

/// A segment with the lower left corner of its outline at a place.
pub(super) fn placed(piece: &Piece, at: Point) -> Placed {
    let corner = piece.outline.bounds().map_or(Point::default(), |(low, _)| low);
    let by = at - corner;
    Placed { segment: piece.segment, path: piece.path.moved(by), outline: piece.outline.moved(by) }
}

/// What board would hold more, where each holds one segment of several.
pub(super) fn wider(shop: &Shop<'_>, boards: usize) -> Option<String> {
    if boards < 2 || boards < shop.moulding.segments.len() || rows::pieces(shop).is_some() {
        return None;
    }
    let pieces = pieces(shop).ok()?;
    let [first, second, ..] = pieces.as_slice() else { return None };
    let two = high(&pieces, 1, pitch(&first.footprint, &second.footprint)) - low(&pieces, 0, 0.0);
    let slot = shop.parting.0.diameter.0 + shop.bench.part.outline.allowance.0;
    Some(format!(
        "Each board holds one segment; one {} wide would hold two.",
        shop.bench.job.shown.both(two + 2.0 * (slot + BETWEEN))
    ))
}

fn too_many(bench: &Bench<'_>, pieces: &[Piece], needed: usize) -> Diagnostic {
    let shown = bench.job.shown;
    let two = high(pieces, 1, pitch(&pieces[0].footprint, &pieces[1].footprint));
    Diagnostic::error(format!("the segments need {needed} boards")).key("stock.width").help(
        format!(
            "at most {} boards; one {} wide holds two segments, a longer one more side by side",
            BOARDS.len(),
            shown.both(two - low(pieces, 0, 0.0))
        ),
    )
}
