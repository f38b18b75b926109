//! Curves to lines and arcs, and loose ends joined.

use super::arcs::follow;
use super::curve::Part;
use super::{MOST_PIECES, Options, Stroke, fault, place};
use crate::diagnostic::Diagnostic;
use crate::geometry::{Contour, EPSILON, Piece, Point};
use std::collections::BTreeMap;

/// An end of a run: the run, and 0 for its start or 1 for its end.
type End = (usize, usize);

/// Lines and arcs that follow one another, and where they stand in the file.
pub(super) struct Run {
    pieces: Vec<Piece>,
    closed: bool,
    offset: usize,
}

/// An outline, joined, and where its first run stands in the file.
pub(super) struct Chain {
    pub(super) contour: Contour,
    pub(super) offset: usize,
}

impl Chain {
    /// The complaint about an outline that should be closed.
    pub(super) fn gap(&self, name: &str, text: &str, options: &Options) -> Diagnostic {
        let ends = self.contour.vertices.first().zip(self.contour.vertices.last());
        let (a, b) = ends.map_or_else(Default::default, |(a, b)| (a.at, b.at));
        fault(format!(
            "the outline is open: a gap of {:.3} mm between ({:.3}, {:.3}) and ({:.3}, {:.3}) mm",
            a.distance(b),
            a.x,
            a.y,
            b.x,
            b.y
        ))
        .help(format!(
            "close it in the drawing program; gaps up to {} mm close by themselves",
            options.join
        ))
        .place(place(name, text, self.offset))
    }
}

/// The lines and arcs of every stroke.
pub(super) fn runs(
    name: &str,
    text: &str,
    strokes: &[Stroke],
    options: &Options,
) -> Result<Vec<Run>, Diagnostic> {
    let mut count = 0;
    let mut all = Vec::new();
    for stroke in strokes {
        let wrong = |message: String, help: &str| {
            fault(message).help(help).place(place(name, text, stroke.offset))
        };
        let mut pieces = Vec::new();
        for curve in &stroke.curves {
            if !curve.is_sound() {
                let help = "coordinates within a kilometre of zero, weights of 0.000001 or more";
                return Err(wrong("a curve with numbers beyond use".to_string(), help));
            }
            for part in curve.parts() {
                match part {
                    Part::Exact(piece) => pieces.push(piece),
                    Part::Bezier(b) => {
                        let left = MOST_PIECES.saturating_sub(count + pieces.len());
                        let arcs = follow(&b, options.tolerance, left);
                        pieces.extend(arcs.ok_or_else(|| {
                            let most = format!("the drawing needs more than {MOST_PIECES} arcs");
                            wrong(most, "ask for a coarser tolerance, or draw less")
                        })?);
                    }
                }
            }
        }
        pieces.retain(|p| p.from.distance(p.to) > EPSILON);
        count += pieces.len();
        if count > MOST_PIECES {
            let most = format!("the drawing needs more than {MOST_PIECES} lines and arcs");
            return Err(wrong(most, "draw less in one file"));
        }
        if let (Some(first), Some(last)) = (pieces.first(), pieces.last()) {
            let meets = first.from.distance(last.to) <= options.join;
            // A short stroke is no loop because its ends are near each other.
            let loops = pieces.len() > 1 && length(&pieces) > 4.0 * options.join;
            let closed = meets && (stroke.closed || loops);
            all.push(Run { pieces, closed, offset: stroke.offset });
        }
    }
    Ok(all)
}

fn length(pieces: &[Piece]) -> f64 {
    pieces.iter().map(Piece::length).sum()
}

/// Joins runs whose ends meet; with a warning for what is drawn twice.
///
/// # Errors
/// A place where more than two ends meet.
pub(super) fn join(
    name: &str,
    text: &str,
    runs: Vec<Run>,
    options: &Options,
) -> Result<(Vec<Chain>, Vec<Diagnostic>), Diagnostic> {
    let (runs, warnings) = without_doubles(name, text, runs);
    let ends = Ends::new(&runs, options.join);
    let mut partner: Vec<[Option<End>; 2]> = vec![[None; 2]; runs.len()];
    for (i, run) in runs.iter().enumerate().filter(|(_, run)| !run.closed) {
        for (side, joined) in partner[i].iter_mut().enumerate() {
            let near = ends.near(end(run, side), (i, side));
            if near.len() > 1 {
                let at = end(run, side);
                return Err(fault(format!(
                    "{} ends meet at ({:.3}, {:.3}) mm: the outline branches there",
                    near.len() + 1,
                    at.x,
                    at.y
                ))
                .help("leave one way round, or put the parts on layers of their own")
                .place(place(name, text, run.offset)));
            }
            *joined = near.first().copied();
        }
    }
    Ok((walk(runs, &partner), warnings))
}

fn end(run: &Run, side: usize) -> Point {
    let (first, last) = (run.pieces[0], run.pieces[run.pieces.len() - 1]);
    if side == 0 { first.from } else { last.to }
}

/// The open ends by the cell of a grid that they lie in.
struct Ends {
    cells: BTreeMap<(i64, i64), Vec<(End, Point)>>,
    join: f64,
}

impl Ends {
    fn new(runs: &[Run], join: f64) -> Ends {
        let mut ends = Ends { cells: BTreeMap::new(), join };
        for (i, run) in runs.iter().enumerate().filter(|(_, run)| !run.closed) {
            for side in 0..2 {
                let at = end(run, side);
                ends.cells.entry(ends.cell(at)).or_default().push(((i, side), at));
            }
        }
        ends
    }

    fn cell(&self, p: Point) -> (i64, i64) {
        // Coordinates are within a kilometre, cells at least a nanometre: it fits.
        ((p.x / self.join).floor() as i64, (p.y / self.join).floor() as i64)
    }

    /// The ends within reach of `p`, but for that one itself; at most a few are looked at.
    fn near(&self, p: Point, own: End) -> Vec<End> {
        let (x, y) = self.cell(p);
        let mut found = Vec::new();
        for key in (-1..=1).flat_map(|i| (-1..=1).map(move |j| (x + i, y + j))) {
            for &(end, at) in self.cells.get(&key).into_iter().flatten() {
                if end != own && at.distance(p) <= self.join {
                    found.push(end);
                }
                // A star of a hundred thousand ends is refused as soon as a small one.
                if found.len() > 8 {
                    return found;
                }
            }
        }
        found
    }
}

/// Follows partners from each run to both ends, or round.
fn walk(runs: Vec<Run>, partner: &[[Option<End>; 2]]) -> Vec<Chain> {
    let mut used = vec![false; runs.len()];
    let mut chains = Vec::new();
    for i in 0..runs.len() {
        if used[i] {
            continue;
        }
        if runs[i].closed {
            used[i] = true;
            chains.push(chain(&runs, &[(i, false)], true));
            continue;
        }
        // Back to where the chain begins, then along it.
        let (mut first, mut side) = (i, 0);
        while let Some((before, at)) = partner[first][side] {
            if before == i && at == 1 {
                break;
            }
            (first, side) = (before, 1 - at);
        }
        let around = partner[first][side].is_some();
        let mut order = vec![(first, side == 1)];
        used[first] = true;
        let (mut run, mut leave) = (first, 1 - side);
        while let Some((next, enter)) = partner[run][leave] {
            if used[next] {
                break;
            }
            used[next] = true;
            order.push((next, enter == 1));
            (run, leave) = (next, 1 - enter);
        }
        chains.push(chain(&runs, &order, around));
    }
    chains
}

/// One contour from runs, each forward or back. Where two meet, the later one's end counts.
fn chain(runs: &[Run], order: &[(usize, bool)], closed: bool) -> Chain {
    let pieces: Vec<Piece> = order
        .iter()
        .flat_map(|&(i, back)| {
            let own = &runs[i].pieces;
            let turned: Vec<Piece> = own.iter().rev().map(Piece::reversed).collect();
            if back { turned } else { own.clone() }
        })
        .collect();
    let offset = order.iter().map(|&(i, _)| runs[i].offset).min().unwrap_or(0);
    Chain { contour: Contour::from_pieces(&pieces, closed), offset }
}

/// Drops runs that repeat an earlier one, whichever way they go.
fn without_doubles(name: &str, text: &str, runs: Vec<Run>) -> (Vec<Run>, Vec<Diagnostic>) {
    let mut seen = BTreeMap::new();
    let mut doubled = (0, 0);
    let mut kept = Vec::new();
    for run in runs {
        let mut key: Vec<(i64, i64, i64)> = run.pieces.iter().map(mark).collect();
        key.sort_unstable();
        if seen.insert(key, ()).is_none() {
            kept.push(run);
        } else {
            doubled = (doubled.0 + 1, run.offset);
        }
    }
    let (count, offset) = doubled;
    let warning = (count > 0).then(|| {
        Diagnostic::warning(format!("drawn twice and read once: {count}"))
            .place(place(name, text, offset))
    });
    (kept, warning.into_iter().collect())
}

/// The same for a piece and for the same piece travelled back, to a ten-thousandth of a mm.
fn mark(piece: &Piece) -> (i64, i64, i64) {
    let round = |v: f64| (v * 1e4).round() as i64;
    let middle = piece.at(0.5);
    (round(middle.x), round(middle.y), round(piece.from.distance(piece.to)))
}
