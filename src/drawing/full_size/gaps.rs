//! Lines that make way for lettering, for formats in which nothing can be laid over a line.

use super::{Drawing, Shape, text_corners};
use crate::drawing::LineStyle;
use crate::geometry::{Contour, Piece, Point, point};

/// Air between a text and the lines about it, mm.
const AIR: f64 = 0.4;
/// Shares of a piece nearer to each other than this are one.
const SAME: f64 = 1e-9;

/// Where texts stand, with the air about them.
pub(super) struct Gaps {
    boxes: Vec<(Point, Point)>,
}

impl Gaps {
    pub(super) fn of(drawing: &Drawing) -> Gaps {
        let air = point(AIR, AIR);
        let boxes = drawing.entities.iter().filter_map(|entity| match &entity.shape {
            Shape::Text(at, lettering, text) => {
                let (low, high) = text_corners(*at, lettering, text);
                Some((low - air, high + air))
            }
            _ => None,
        });
        Gaps { boxes: boxes.collect() }
    }

    /// What is left of a line. Edges that are seen stay whole: they are what the drawing is for.
    pub(super) fn left_of(&self, style: LineStyle, contour: &Contour) -> Vec<Contour> {
        if style == LineStyle::Visible || !self.touch(contour) {
            return vec![contour.clone()];
        }
        let mut runs: Vec<Vec<Piece>> = vec![Vec::new()];
        let mut broken = false;
        for piece in contour.pieces() {
            let kept = self.kept(&piece);
            let whole = kept.as_slice() == [(0.0, 1.0)];
            broken |= !whole;
            let mut reached = 0.0;
            for (from, to) in kept {
                if from > reached {
                    runs.push(Vec::new());
                }
                let part = if whole { piece } else { piece.part(from, to) };
                runs.last_mut().into_iter().for_each(|run| run.push(part));
                reached = to;
            }
            if reached < 1.0 {
                runs.push(Vec::new());
            }
        }
        if !broken {
            return vec![contour.clone()];
        }
        runs.retain(|run| !run.is_empty());
        runs.iter().map(|run| Contour::from_pieces(run, false)).collect()
    }

    fn touch(&self, contour: &Contour) -> bool {
        contour.bounds().is_some_and(|(low, high)| {
            self.boxes.iter().any(|(from, to)| {
                from.x < high.x && to.x > low.x && from.y < high.y && to.y > low.y
            })
        })
    }

    /// The stretches of a piece that lie outside every box, as shares of its length.
    fn kept(&self, piece: &Piece) -> Vec<(f64, f64)> {
        let mut cuts = vec![0.0, 1.0];
        for (low, high) in &self.boxes {
            for x in [low.x, high.x] {
                cuts.extend(crossings(piece, x, |p| point(p.x, p.y)));
            }
            for y in [low.y, high.y] {
                cuts.extend(crossings(piece, y, |p| point(p.y, p.x)));
            }
        }
        cuts.sort_by(f64::total_cmp);
        let mut kept: Vec<(f64, f64)> = Vec::new();
        for ends in cuts.windows(2) {
            let [from, to] = [ends[0], ends[1]];
            if to - from < SAME || self.hold(piece.at(f64::midpoint(from, to))) {
                continue;
            }
            match kept.last_mut() {
                Some(last) if from - last.1 < SAME => last.1 = to,
                _ => kept.push((from, to)),
            }
        }
        kept
    }

    fn hold(&self, p: Point) -> bool {
        self.boxes
            .iter()
            .any(|(low, high)| p.x > low.x && p.x < high.x && p.y > low.y && p.y < high.y)
    }
}

/// The shares at which a piece crosses the upright line at `x`, once `turn` has brought it
/// upright; `turn` is its own inverse.
fn crossings(piece: &Piece, x: f64, turn: impl Fn(Point) -> Point) -> Vec<f64> {
    let (from, to) = (turn(piece.from), turn(piece.to));
    let Some(centre) = piece.center().filter(|_| piece.is_arc()) else {
        let share = (x - from.x) / (to.x - from.x);
        return if share > 0.0 && share < 1.0 { vec![share] } else { Vec::new() };
    };
    let centre = turn(centre);
    let under = piece.radius().powi(2) - (x - centre.x).powi(2);
    if under < 0.0 {
        return Vec::new();
    }
    [under.sqrt(), -under.sqrt()]
        .into_iter()
        .map(|half| turn(point(x, centre.y + half)))
        .map(|p| (piece.nearest_share(p), p))
        .filter(|(share, p)| piece.at(*share).distance(*p) < 1e-6)
        .map(|(share, _)| share)
        .collect()
}
