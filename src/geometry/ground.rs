//! Ground that grows: areas of straight-edged polygons, for what need not keep its arcs.
//!
//! Curves are chords here, a few thousandths of a millimetre off at most, so this serves to plan what comes
//! next, never to say where a wall is: that is what certified offsets are for.

use super::{Contour, Point, Region, point};
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use i_overlay::mesh::outline::offset::OutlineOffset;
use i_overlay::mesh::style::{LineJoin, OutlineStyle};

/// How far chords leave arcs, mm.
const CHORD: f64 = 0.007;

/// Corners nearer than this to the line between others are left out, mm.
const LEFT_OUT: f64 = 0.003;

/// Narrowest turn of a round corner's chord that is of use, radians.
const TURNS: std::ops::Range<f64> = 0.032..0.5;

type Shape = Vec<Vec<[f64; 2]>>;

/// An area of polygons: outer contours counter-clockwise, islands clockwise.
#[derive(Clone, Debug, Default)]
pub struct Ground {
    shapes: Vec<Shape>,
}

impl Ground {
    /// Regions as polygons.
    #[must_use]
    pub fn new(regions: &[Region]) -> Ground {
        let ring = |c: &Contour| c.flattened(CHORD).iter().map(|p| [p.x, p.y]).collect();
        Ground { shapes: regions.iter().map(|r| r.contours().map(ring).collect()).collect() }
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.shapes.is_empty()
    }

    /// All points not farther than `distance` from it.
    #[must_use]
    pub fn grown(&self, distance: f64) -> Ground {
        self.offset(distance)
    }

    /// All points of it that are farther than `distance` from its edge.
    #[must_use]
    pub fn shrunk(&self, distance: f64) -> Ground {
        /// An edge moved far in crosses itself all over: it goes in so many steps, or in steps of
        /// so many millimetres.
        const STEPS: (f64, f64) = (5.0, 4.0);
        let mut now = self.clone();
        let mut left = distance;
        while left > 1e-9 && !now.is_empty() {
            now.shapes.retain(|shape| wider(shape, 2.0 * left));
            let step = left.min((distance / STEPS.0).max(STEPS.1));
            now = now.offset(-step);
            left -= step;
        }
        now
    }

    /// What a disc of this radius covers when it stays inside.
    #[must_use]
    pub fn opened(&self, radius: f64) -> Ground {
        self.shrunk(radius).grown(radius)
    }

    /// What both have.
    #[must_use]
    pub fn and(&self, other: &Ground) -> Ground {
        self.overlay(other, OverlayRule::Intersect)
    }

    /// What either has.
    #[must_use]
    pub fn or(&self, other: &Ground) -> Ground {
        self.overlay(other, OverlayRule::Union)
    }

    /// What the other has not.
    #[must_use]
    pub fn without(&self, other: &Ground) -> Ground {
        self.overlay(other, OverlayRule::Difference)
    }

    /// Its connected parts.
    pub fn parts(self) -> impl Iterator<Item = Ground> {
        self.shapes.into_iter().map(|shape| Ground { shapes: vec![shape] })
    }

    /// Its area, mm2.
    #[must_use]
    pub fn area(&self) -> f64 {
        let twice = |ring: &Vec<[f64; 2]>| {
            let n = ring.len();
            (0..n)
                .map(|i| {
                    let (a, b) = (ring[i], ring[(i + 1) % n]);
                    a[0] * b[1] - b[0] * a[1]
                })
                .sum::<f64>()
        };
        self.shapes.iter().flatten().map(twice).sum::<f64>() / 2.0
    }

    /// Length of its edges, mm.
    #[must_use]
    pub fn perimeter(&self) -> f64 {
        self.rings()
            .map(|ring| {
                let n = ring.len();
                (0..n).map(|i| ring[i].distance(ring[(i + 1) % n])).sum::<f64>()
            })
            .sum()
    }

    /// The corners of each of its edges.
    pub fn rings(&self) -> impl Iterator<Item = Vec<Point>> + '_ {
        self.shapes.iter().flatten().map(|ring| ring.iter().map(|p| point(p[0], p[1])).collect())
    }

    fn offset(&self, distance: f64) -> Ground {
        if self.shapes.is_empty() {
            return Ground::default();
        }
        // The sagitta of a chord that turns by a is r a² / 8 (small angles).
        let turn = (8.0 * CHORD / distance.abs()).sqrt().clamp(TURNS.start, TURNS.end);
        let style = OutlineStyle::new(distance).line_join(LineJoin::Round(turn));
        Ground { shapes: self.shapes.outline(&style) }.thinned()
    }

    fn overlay(&self, other: &Ground, rule: OverlayRule) -> Ground {
        Ground { shapes: self.shapes.overlay(&other.shapes, rule, FillRule::NonZero) }
    }

    /// Without corners that hardly turn.
    fn thinned(self) -> Ground {
        let shapes = self.shapes.into_iter().map(|shape| shape.into_iter().map(thin).collect());
        Ground { shapes: shapes.collect() }
    }
}

/// Grounds side by side; where they overlap, they count once.
impl FromIterator<Ground> for Ground {
    fn from_iter<I: IntoIterator<Item = Ground>>(all: I) -> Ground {
        Ground { shapes: all.into_iter().flat_map(|one| one.shapes).collect() }
    }
}

/// Whether a shape's box is wider than this both ways.
fn wider(shape: &Shape, width: f64) -> bool {
    let Some(outer) = shape.first() else { return false };
    (0..2).all(|axis| {
        let all = outer.iter().map(|p| p[axis]);
        let (low, high) =
            all.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), x| (l.min(x), h.max(x)));
        high - low > width
    })
}

/// A ring without the corners nearer than a micrometre to the lines that stay.
fn thin(ring: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    let n = ring.len();
    if n < 5 {
        return ring;
    }
    let at = |i: usize| point(ring[i % n][0], ring[i % n][1]);
    // The corner farthest from the first halves the ring.
    let far = (0..n).max_by(|a, b| at(0).distance(at(*a)).total_cmp(&at(0).distance(at(*b))));
    let far = far.unwrap_or(n / 2).max(1);
    let mut kept = vec![false; n];
    (kept[0], kept[far]) = (true, true);
    let mut spans = vec![(0, far), (far, n)];
    while let Some((from, to)) = spans.pop() {
        let (a, b) = (at(from), at(to));
        let off = |i: usize| {
            let way = b - a;
            let share = ((at(i) - a).dot(way) / way.dot(way).max(1e-18)).clamp(0.0, 1.0);
            at(i).distance(a + way * share)
        };
        let worst = (from + 1..to).map(|i| (off(i), i)).max_by(|x, y| x.0.total_cmp(&y.0));
        if let Some((off, i)) = worst
            && off > LEFT_OUT
        {
            kept[i] = true;
            spans.extend([(from, i), (i, to)]);
        }
    }
    let thinned: Vec<[f64; 2]> =
        ring.iter().zip(&kept).filter(|(_, kept)| **kept).map(|(p, _)| *p).collect();
    if thinned.len() < 3 { ring } else { thinned }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    fn square(side: f64) -> Ground {
        let outer = Contour::rectangle(point(0.0, 0.0), point(side, side));
        Ground::new(&Region::new(outer, Vec::new()).into_iter().collect::<Vec<_>>())
    }

    /// a² + 4 a d + pi d² and a² - (4 - pi) r² (closed forms).
    #[test]
    fn a_square_grows_round_and_is_opened_round() {
        let (a, d) = (40.0, 7.0);
        let grown = square(a).grown(d).area();
        assert!((grown - (a * a + 4.0 * a * d + PI * d * d)).abs() < 0.2, "{grown}");
        let opened = square(a).opened(d).area();
        assert!((opened - (a * a - (4.0 - PI) * d * d)).abs() < 0.2, "{opened}");
        assert!((square(a).shrunk(d).area() - (a - 2.0 * d).powi(2)).abs() < 1e-3);
        assert!((square(a).perimeter() - 4.0 * a).abs() < 1e-6);
    }

    #[test]
    fn shrunk_by_half_its_width_nothing_is_left() {
        assert!(!square(40.0).shrunk(19.9).is_empty());
        assert!(square(40.0).shrunk(20.1).is_empty());
        assert!(square(40.0).shrunk(20.1).grown(30.0).is_empty());
    }

    #[test]
    fn what_one_has_and_another_has_not() {
        let (wide, low) = (square(40.0), square(30.0).shrunk(10.0));
        let ring = wide.without(&low);
        assert!((ring.area() - 1500.0).abs() < 1e-3);
        assert_eq!(ring.rings().count(), 2);
        assert!((ring.or(&low).area() - 1600.0).abs() < 1e-3);
        assert!(ring.and(&low).area().abs() < 1e-3);
        assert_eq!(ring.and(&square(60.0)).parts().count(), 1);
    }
}
