//! Outlines raised as a cushion, or sunk as incised work: height from the distance to the outline.

use crate::geometry::{Contour, Piece, Point, point};
use crate::ornament::{Canvas, Frame, Layer};
use std::f64::consts::{FRAC_1_SQRT_2, PI};

/// How the height goes with the distance inside the outline.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum CushionProfile {
    /// A half_turn of an ellipse: upright at the edge, level at the width.
    Round,
    /// Half a cosine wave: level at the edge and at the width.
    Soft,
    /// A straight slope: the wall of a V-cut.
    Bevel,
}

/// Closed outlines; what an odd number of them encloses is inside.
#[derive(Clone, Debug, PartialEq)]
pub struct Cushion {
    pieces: Vec<Piece>,
    bounds: Option<(Point, Point)>,
    /// Height at the width and beyond; negative sinks.
    height: f64,
    width: f64,
    profile: CushionProfile,
    /// Lines as wide as twice this stand for outlines, if given.
    half: Option<f64>,
}

impl Cushion {
    /// Outlines that rise to `height` (negative: sink) over `width` inside them.
    #[must_use]
    pub fn new(outlines: &[Contour], height: f64, width: f64, profile: CushionProfile) -> Cushion {
        let pieces = outlines.iter().flat_map(Contour::pieces).collect();
        let bounds = outlines.iter().filter_map(Contour::bounds).reduce(|(a, b), (c, d)| {
            (point(a.x.min(c.x), a.y.min(c.y)), point(b.x.max(d.x), b.y.max(d.y)))
        });
        Cushion { pieces, bounds, height, width, profile, half: None }
    }

    /// Lines, open or closed, as strokes of the width `2 half` with round ends: their middle
    /// stands at `height` (negative: sinks), their edges at nothing, straight between.
    #[must_use]
    pub fn lines(lines: &[Contour], height: f64, half: f64) -> Cushion {
        let one = Cushion::new(lines, height, half, CushionProfile::Bevel);
        let wide = point(half, half);
        let bounds = one.bounds.map(|(low, high)| (low - wide, high + wide));
        Cushion { bounds, half: Some(half), ..one }
    }

    /// The box around the outlines.
    #[must_use]
    pub fn bounds(&self) -> Option<(Point, Point)> {
        self.bounds
    }

    fn height_at(&self, inside: f64) -> f64 {
        let share = (inside / self.width).clamp(0.0, 1.0);
        self.height
            * match self.profile {
                CushionProfile::Round => (share * (2.0 - share)).sqrt(),
                CushionProfile::Soft => 0.5 - 0.5 * (PI * share).cos(),
                CushionProfile::Bevel => share,
            }
    }

    /// Paints it on a window.
    pub fn paint(&self, frame: &Frame, canvas: &mut Canvas) {
        let Some((low, high)) = self.bounds else { return };
        // Tiles of the window, each asking only the pieces that can be nearest to it.
        const TILE: usize = 24;
        let scale = frame.scale();
        for first_row in (0..canvas.rows).step_by(TILE) {
            for first in (0..canvas.columns).step_by(TILE) {
                let corner = canvas.origin + point(first as f64, first_row as f64) * canvas.cell;
                let wide = (TILE - 1) as f64 * canvas.cell;
                let middle = frame.local(corner + point(wide, wide) * 0.5);
                let reach = wide * FRAC_1_SQRT_2 / scale;
                let near = self.near(middle, reach);
                let Some(near) = near else { continue };
                let end = corner + point(wide, wide);
                let (box_low, box_high) = frame.bounds(low, high);
                // A quarter of a cell wider, so that rounding loses no cell between two tiles.
                let hair = point(canvas.cell, canvas.cell) * 0.25;
                let low = point(corner.x.max(box_low.x), corner.y.max(box_low.y)) - hair;
                let high = point(end.x.min(box_high.x), end.y.min(box_high.y)) + hair;
                canvas.lay(low, high, frame, |p| self.layer(p, &near));
            }
        }
    }

    /// The pieces that may be nearest to a point within `reach` of `middle`, and on which side of
    /// the outlines the middle lies; `None` if no such point is inside.
    fn near(&self, middle: Point, reach: f64) -> Option<Near> {
        let distances: Vec<f64> = self.pieces.iter().map(|p| distance(p, middle)).collect();
        let least = distances.iter().copied().fold(f64::INFINITY, f64::min);
        let inside = self.half.is_none() && self.inside(middle);
        if !inside && least > reach + self.half.unwrap_or(0.0) {
            return None;
        }
        let all_level = inside && least - reach >= self.width;
        let close = self.pieces.iter().zip(&distances);
        let pieces = if all_level {
            Vec::new()
        } else {
            close.filter(|(_, d)| **d <= least + 2.0 * reach + 1e-9).map(|(p, _)| *p).collect()
        };
        Some(Near { pieces, middle, inside })
    }

    fn inside(&self, p: Point) -> bool {
        self.pieces.iter().map(|piece| crossings(piece, p)).sum::<usize>() % 2 == 1
    }

    fn layer(&self, p: Point, near: &Near) -> Option<Layer> {
        if near.pieces.is_empty() {
            return Some(Layer { z: self.height, cover: 1.0, set_in: 0.0 });
        }
        let nearest =
            || near.pieces.iter().map(|piece| distance(piece, p)).fold(f64::INFINITY, f64::min);
        let within = match self.half {
            Some(half) => half - nearest(),
            // From the middle, whose side is known: each crossing on the way changes it.
            None if near.inside_at(p) => nearest(),
            None => return None,
        };
        (within >= 0.0).then(|| Layer { z: self.height_at(within), cover: 1.0, set_in: 0.0 })
    }
}

/// Side of a square of [`CushionMap`], mm: a few strokes of lettering at the most.
const SQUARE: f64 = 2.0;

/// A cushion made ready to be asked anywhere, exactly.
pub struct CushionMap {
    cushion: Cushion,
    low: Point,
    columns: usize,
    squares: Vec<Option<Near>>,
}

impl CushionMap {
    /// Squares with what may be nearest to each.
    #[must_use]
    pub fn new(cushion: Cushion) -> CushionMap {
        let (low, high) = cushion.bounds.unwrap_or_default();
        let count = |length: f64| (length / SQUARE).floor() as usize + 1;
        let (columns, rows) = (count(high.x - low.x), count(high.y - low.y));
        let squares = (0..columns * rows)
            .map(|k| {
                let at = point((k % columns) as f64 + 0.5, (k / columns) as f64 + 0.5);
                // A hair over half the diagonal, for rounding.
                cushion.near(low + at * SQUARE, 0.501 * SQUARE * std::f64::consts::SQRT_2)
            })
            .collect();
        CushionMap { cushion, low, columns, squares }
    }

    /// How high it stands over the ground at a place, negative: how deep; `None` beside it.
    #[must_use]
    pub fn height(&self, p: Point) -> Option<f64> {
        let q = (p - self.low) * (1.0 / SQUARE);
        if !(q.x >= 0.0 && q.y >= 0.0 && q.x < self.columns as f64) {
            return None;
        }
        let square = self.squares.get(q.y as usize * self.columns + q.x as usize)?;
        self.cushion.layer(p, square.as_ref()?).map(|layer| layer.z)
    }
}

/// What a tile knows of the outlines.
struct Near {
    pieces: Vec<Piece>,
    middle: Point,
    inside: bool,
}

impl Near {
    /// Which side `p` is on: the outlines between it and the tile's middle are all among the
    /// pieces, so that rays to the right differ by what crosses the two legs between them.
    fn inside_at(&self, p: Point) -> bool {
        let far = |q: Point| self.pieces.iter().map(|piece| crossings(piece, q)).sum::<usize>();
        // Along each leg only near pieces can cross; those far right cross both rays or neither.
        let across = upright(&self.pieces, self.middle, p);
        let level = far(point(self.middle.x, p.y)) + far(p);
        self.inside ^ ((across + level) % 2 == 1)
    }
}

/// How often the pieces cross the upright leg from `from` to the height of `to`.
fn upright(pieces: &[Piece], from: Point, to: Point) -> usize {
    // With x and y exchanged the leg runs to the right, and a leg that runs along an edge lies on
    // the same side of it as the level rays have it: a hair to the right of it, and above it.
    let turn = |p: Point| point(p.y, p.x);
    let (a, b) = (turn(from), turn(point(from.x, to.y)));
    let turned =
        pieces.iter().map(|p| Piece { from: turn(p.from), to: turn(p.to), bulge: -p.bulge });
    turned.map(|p| crossings(&p, a) + crossings(&p, b)).sum()
}

fn distance(piece: &Piece, p: Point) -> f64 {
    piece.at(piece.nearest_share(p)).distance(p)
}

/// How often a piece crosses the ray from `p` to the right. Ends count at their lower side only,
/// so that two pieces that meet on the ray count rightly.
fn crossings(piece: &Piece, p: Point) -> usize {
    let above = |q: Point| q.y > p.y;
    let Some(center) = piece.center() else {
        if above(piece.from) == above(piece.to) {
            return 0;
        }
        let share = (p.y - piece.from.y) / (piece.to.y - piece.from.y);
        return usize::from(piece.from.x + share * (piece.to.x - piece.from.x) > p.x);
    };
    // An arc is upright monotone between its highest and lowest points.
    let sweep = piece.sweep();
    let start = (piece.from - center).angle();
    let half_turn = PI;
    // At most two such points lie on an arc, in the order of travel.
    let first = (start.min(start + sweep) / half_turn - 0.5).ceil();
    let share_of = |k: f64| (((first + k + 0.5) * half_turn - start) / sweep).clamp(0.0, 1.0);
    let (one, two) = (share_of(0.0), share_of(1.0));
    let shares = [0.0, one.min(two), one.max(two), 1.0];
    let mut count = 0;
    for pair in shares.windows(2) {
        let (a, b) = (piece.at(pair[0]), piece.at(pair[1]));
        if above(a) != above(b) {
            let off = p.y - center.y;
            let half = (piece.radius().powi(2) - off * off).max(0.0).sqrt();
            // The half of the circle that this part runs on.
            let middle = piece.at(0.5 * (pair[0] + pair[1]));
            let x = if middle.x > center.x { center.x + half } else { center.x - half };
            count += usize::from(x > p.x);
        }
    }
    count
}
