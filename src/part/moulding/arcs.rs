//! An ellipse as arcs that run smoothly into each other.

use crate::geometry::{Piece, Point, point};

/// Most halvings of a quarter: 1024 arcs, far beyond any tolerance that is accepted.
const DEEPEST: usize = 10;

/// Half an ellipse, crown up, from its left end to its right: half axes `a` along x and `b` up,
/// the left end at the origin. Each pair of arcs shares its tangents with the ellipse at its
/// ends, and no point of it is farther from the ellipse than `tolerance`; neither is any lane
/// beside it from the lane beside the ellipse, for to move square to a curve keeps distances.
pub(super) fn ellipse(a: f64, b: f64, tolerance: f64) -> Vec<Piece> {
    let mut right = Vec::new();
    let half = std::f64::consts::FRAC_PI_2;
    fit(&Ellipse { a, b }, half, 0.0, tolerance, DEEPEST, &mut right);
    let mirrored = |p: Point| point(-p.x, p.y);
    let left = right.iter().rev().map(|p| Piece {
        from: mirrored(p.to),
        to: mirrored(p.from),
        bulge: p.bulge,
    });
    let moved = |p: Piece| Piece { from: p.from + point(a, 0.0), to: p.to + point(a, 0.0), ..p };
    left.chain(right.iter().copied()).map(moved).collect()
}

struct Ellipse {
    a: f64,
    b: f64,
}

impl Ellipse {
    fn at(&self, t: f64) -> Point {
        point(self.a * t.cos(), self.b * t.sin())
    }

    /// Unit direction as t falls: from the crown to the right.
    fn direction(&self, t: f64) -> Point {
        point(self.a * t.sin(), -self.b * t.cos()).unit().unwrap_or_default()
    }

    /// Distance of a point of the first quarter.
    fn distance(&self, p: Point) -> f64 {
        // The foot of the normal: halving on the slope of the squared distance, which rises
        // through zero once between the quarter's ends for a point this near to the curve.
        let slope = |t: f64| {
            let q = self.at(t) - p;
            q.dot(point(-self.a * t.sin(), self.b * t.cos()))
        };
        let guess = (p.y / self.b).atan2(p.x / self.a);
        let (mut low, mut high) = (guess - 0.05, guess + 0.05);
        for _ in 0..50 {
            let middle = (low + high) / 2.0;
            if slope(middle) < 0.0 { low = middle } else { high = middle }
        }
        self.at((low + high) / 2.0).distance(p)
    }
}

fn fit(e: &Ellipse, from: f64, to: f64, tolerance: f64, depth: usize, out: &mut Vec<Piece>) {
    let pair = biarc((e.at(from), e.direction(from)), (e.at(to), e.direction(to)));
    // 32 places on each arc: between them the distance changes by less than a hundredth of what
    // it is, for it is a smooth curve of three or four waves.
    let off = pair
        .iter()
        .flat_map(|arc| (0..=32).map(|i| e.distance(arc.at(f64::from(i) / 32.0))))
        .fold(0.0, f64::max);
    if off <= tolerance * 0.98 || depth == 0 {
        out.extend(pair);
    } else {
        let middle = (from + to) / 2.0;
        fit(e, from, middle, tolerance, depth - 1, out);
        fit(e, middle, to, tolerance, depth - 1, out);
    }
}

/// Two arcs tangent to each other from one point and direction to another, with equal
/// distances to the corners of their control polygon (closed form).
fn biarc((p, s): (Point, Point), (q, t): (Point, Point)) -> [Piece; 2] {
    let (v, sum) = (q - p, s + t);
    let (along, spread) = (v.dot(sum), 2.0 * (1.0 - s.dot(t)));
    let d = if spread > 1e-12 {
        ((along * along + spread * v.dot(v)).sqrt() - along) / spread
    } else {
        v.dot(v) / (2.0 * along)
    };
    let middle = (p + q + (s - t) * d) * 0.5;
    let bulge = |direction: Point, chord: Point| {
        // The chord stands at half the sweep to the tangent.
        (direction.cross(chord).atan2(direction.dot(chord)) / 2.0).tan()
    };
    [
        Piece { from: p, to: middle, bulge: bulge(s, middle - p) },
        Piece { from: middle, to: q, bulge: -bulge(-t, middle - q) },
    ]
}
