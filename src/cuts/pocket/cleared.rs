//! What the cutter has cleared so far, and how much of its rim is in the wood.
//!
//! A cutter of radius r whose middle was at c has cleared the disc about c. Of the rim about p it
//! has cleared what lies within acos(d / 2r) of the direction to c, d the distance from p to c
//! (two equal circles, closed form). What remains of the leading half of the rim is engaged. The
//! way so far is kept as middles a small share of the radius apart.

use super::{Before, gap};
use crate::geometry::{Piece, Point};
use std::collections::HashMap;
use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// Middles are kept this share of the radius apart: ridges between their discs are then lower
/// than four thousandths of the radius.
pub(super) const APART: f64 = 1.0 / 6.0;

/// Wood thinner than this share of the radius before the rim is no load: less than a chip.
const CHIP: f64 = 0.01;

/// Wood lower than this above the tip is none, mm.
pub(super) const SKIN: f64 = 1e-3;

/// Directions in which what the cutter before left is looked at, along half a turn.
const LOOKS: usize = 60;

/// Directions in which a disc is looked at all round.
const ROUND: usize = 96;

/// The cleared wood, as middles of the cutter sorted into squares as wide as it is.
pub(super) struct Cleared<'a> {
    radius: f64,
    before: Before<'a>,
    squares: HashMap<(i64, i64), Vec<(Point, f64)>>,
    /// The square of each middle, in order, so that a trial can be taken back.
    log: Vec<(i64, i64)>,
}

impl<'a> Cleared<'a> {
    /// Nothing but what the cutter before has cleared and what lies beyond the stock.
    pub(super) fn new(radius: f64, before: Before<'a>) -> Cleared<'a> {
        Cleared { radius, before, squares: HashMap::new(), log: Vec::new() }
    }

    fn square(&self, p: Point) -> (i64, i64) {
        // Boards are metres, cutters tenths of millimetres: far within an i64.
        let number = |x: f64| (x / (2.0 * self.radius)).floor() as i64;
        (number(p.x), number(p.y))
    }

    /// The tip was at `p`, `z`.
    pub(super) fn add(&mut self, p: Point, z: f64) {
        let square = self.square(p);
        self.squares.entry(square).or_default().push((p, z));
        self.log.push(square);
    }

    /// A mark to go back to.
    pub(super) fn mark(&self) -> usize {
        self.log.len()
    }

    /// Takes back what was added since the mark.
    pub(super) fn back_to(&mut self, mark: usize) {
        for square in self.log.drain(mark.min(self.log.len())..).rev() {
            if let Some(all) = self.squares.get_mut(&square) {
                all.pop();
            }
        }
    }

    /// The middle went along a piece at height `z`.
    pub(super) fn add_along(&mut self, piece: &Piece, z: f64) {
        for share in shares(piece, self.radius) {
            self.add(piece.at(share), z);
        }
    }

    fn near(&self, p: Point) -> impl Iterator<Item = &(Point, f64)> {
        let (i, j) = self.square(p);
        let around = (-1..=1).flat_map(move |a| (-1..=1).map(move |b| (i + a, j + b)));
        around.flat_map(|square| self.squares.get(&square).into_iter().flatten())
    }

    /// The angle engaged at `p` when travelling in direction `along`.
    pub(super) fn angle(&self, p: Point, z: f64, along: f64) -> f64 {
        let mut free = self.free(p, z, along);
        if self.before.radius > 0.0 && self.beside_before(p) {
            let wide = PI / LOOKS as f64;
            for i in 0..LOOKS {
                let a = -FRAC_PI_2 + (i as f64 + 0.5) * wide;
                if self.cleared_before(p + Point::polar(self.radius, along + a)) {
                    free.push((a - wide / 2.0, a + wide / 2.0));
                }
            }
        }
        for (a, b) in self.beyond_stock(p, along) {
            free.push((a, b));
        }
        let engaged = PI - covered(&mut free);
        // Sums of stretches round by far less than this.
        if engaged < 1e-9 { 0.0 } else { engaged }
    }

    /// Whether any of the rim about `p` can lie in what the cutter before has cleared.
    fn beside_before(&self, p: Point) -> bool {
        gap(self.before.centres, p) <= self.before.radius + self.radius + SKIN
    }

    /// Whether the cutter before has left nothing at `q`.
    fn cleared_before(&self, q: Point) -> bool {
        // A hair more, as the rim touches the wall itself.
        self.before.radius > 0.0 && gap(self.before.centres, q) <= self.before.radius + SKIN
    }

    /// Stretches of the leading half that lie beyond the stock's edges.
    fn beyond_stock(&self, p: Point, along: f64) -> Vec<(f64, f64)> {
        let Some((low, high)) = self.before.stock else { return Vec::new() };
        let sides = [
            (high.x - p.x, 0.0),
            (high.y - p.y, FRAC_PI_2),
            (p.x - low.x, PI),
            (p.y - low.y, -FRAC_PI_2),
        ];
        let mut all = Vec::new();
        for (off, outward) in sides.into_iter().filter(|(off, _)| *off < self.radius) {
            let half = (off / self.radius).clamp(-1.0, 1.0).acos();
            push_within(&mut all, outward - along, half);
        }
        all
    }

    /// Whether the rim about `p` meets no wood, whichever way it goes.
    pub(super) fn bare(&self, p: Point) -> bool {
        [0.0, PI].iter().all(|along| self.angle(p, 0.0, *along) <= 0.0)
    }

    /// Whether no wood is left within the cutter's disc about `p`, its rim included. Says no rather
    /// than yes where it is doubtful: what lies between two places looked at is no farther from one
    /// of them than half the way between, and that much is asked for in reserve.
    pub(super) fn whole(&self, p: Point) -> bool {
        // The disc itself was cut here: all is gone.
        if self.near(p).any(|(c, _)| p.distance(*c) < 1e-9) {
            return true;
        }
        let reserve = self.radius * TAU / ROUND as f64 / 2.0;
        let within = self.radius - reserve;
        let outside = |q: Point| {
            self.before.stock.is_some_and(|(low, high)| {
                q.x <= low.x || q.y <= low.y || q.x >= high.x || q.y >= high.y
            })
        };
        // The disc that covers one place mostly covers the next: it is tried before the others.
        let mut last = None;
        let mut covers = |q: Point| {
            if last.is_some_and(|c| q.distance(c) <= within) {
                return true;
            }
            last = self.near(q).map(|(c, _)| *c).find(|c| q.distance(*c) <= within);
            last.is_some()
        };
        [0.5, 1.0].iter().all(|share| {
            (0..ROUND).all(|i| {
                let q = p + Point::polar(self.radius * share, i as f64 * TAU / ROUND as f64);
                outside(q)
                    || covers(q)
                    || (self.before.radius > 0.0
                        && gap(self.before.centres, q) <= self.before.radius - reserve)
            })
        })
    }

    /// Free stretches of the rim about `p`, angles from the direction of travel, within the
    /// leading half.
    pub(super) fn free(&self, p: Point, z: f64, along: f64) -> Vec<(f64, f64)> {
        let r = self.radius;
        let chip = CHIP * r;
        let mut all = Vec::new();
        for (c, depth) in self.near(p) {
            let to = *c - p;
            let d2 = to.dot(to);
            if *depth > z + SKIN || d2 >= 4.0 * r * r {
                continue;
            }
            let d = d2.sqrt();
            // Within the disc and a chip: cos >= (d² - 2 r chip - chip²) / (2 d r).
            let cos = d2 - 2.0 * r * chip - chip * chip;
            if cos <= -2.0 * d * r {
                return vec![(-FRAC_PI_2, FRAC_PI_2)];
            }
            push_within(&mut all, to.angle() - along, (cos / (2.0 * d * r)).min(1.0).acos());
        }
        all
    }
}

/// Shares of a piece at which its middles are kept, without its start.
pub(super) fn shares(piece: &Piece, radius: f64) -> impl Iterator<Item = f64> + use<> {
    // A count of middles along one piece: metres over tenths of a millimetre.
    let count = (piece.length() / (APART * radius)).ceil().max(1.0) as usize;
    (1..=count).map(move |i| i as f64 / count as f64)
}

/// Adds the stretch `half` to both sides of `turn`, as far as it lies in the leading half.
fn push_within(all: &mut Vec<(f64, f64)>, turn: f64, half: f64) {
    let middle = turn - TAU * (turn / TAU).round();
    for lap in [-TAU, 0.0, TAU] {
        let a = (middle - half + lap).max(-FRAC_PI_2);
        let b = (middle + half + lap).min(FRAC_PI_2);
        if b > a {
            all.push((a, b));
        }
    }
}

/// Length that stretches cover together.
fn covered(stretches: &mut [(f64, f64)]) -> f64 {
    stretches.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
    let (mut sum, mut end) = (0.0, f64::NEG_INFINITY);
    for &mut (a, b) in stretches {
        if b > end {
            sum += b - a.max(end);
            end = b;
        }
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cuts::pocket::nominal;
    use crate::geometry::point;

    const RADIUS: f64 = 3.0;

    fn nothing() -> Cleared<'static> {
        Cleared::new(RADIUS, Before { centres: &[], radius: 0.0, stock: None })
    }

    /// acos(1 - s / r), closed form, for a second pass beside a slot; less by what a chip is.
    #[test]
    fn a_pass_beside_another_engages_the_nominal_angle() {
        for stepover in [0.3, 1.0, 2.0, 3.0, 4.5] {
            let mut cleared = nothing();
            for i in 0..=200 {
                cleared.add(point(f64::from(i) * 0.3, 0.0), -2.0);
            }
            let angle = cleared.angle(point(30.0, -stepover), -2.0, 0.0);
            let wanted = (1.0 - stepover / RADIUS).acos();
            assert!((angle - wanted).abs() < 0.04, "{stepover}: {angle} for {wanted}");
        }
    }

    /// In a ring of radius R cut beside a cleared one, the rim's circle of radius r about R meets
    /// the cleared circle of radius R - s + r where cos e = ((R - s + r)² - R² - r²) / (2 R r).
    #[test]
    fn a_ring_outside_another_engages_more_than_a_straight_pass() {
        let (around, step) = (8.0, 2.0);
        let mut cleared = nothing();
        for i in 0..720 {
            cleared.add(Point::polar(around - step, f64::from(i) * TAU / 720.0), -2.0);
        }
        let inner: f64 = around - step + RADIUS;
        let outward = (inner.powi(2) - around.powi(2) - RADIUS.powi(2)) / (2.0 * around * RADIUS);
        let angle = cleared.angle(point(around, 0.0), -2.0, FRAC_PI_2);
        // From straight out, where the wall is touched, forward.
        assert!((angle - outward.acos().min(PI)).abs() < 0.03, "{angle} {}", outward.acos());
        assert!(angle > nominal(step, RADIUS));
    }

    #[test]
    fn an_upper_level_clears_nothing_of_a_lower_one() {
        let mut cleared = nothing();
        cleared.add(point(0.0, 0.0), -2.0);
        assert!(cleared.free(point(1.0, 0.0), -4.0, 0.0).is_empty());
        assert!(!cleared.free(point(1.0, 0.0), -2.0, PI).is_empty());
    }

    #[test]
    fn a_trial_taken_back_leaves_nothing() {
        let mut cleared = nothing();
        cleared.add(point(0.0, 0.0), 0.0);
        let piece = Piece { from: point(1.0, 0.5), to: point(9.0, 7.0), bulge: 0.4 };
        // Along the piece: beside it stands what only the rim itself went by.
        let (at, way) = (piece.from, piece.direction(0.0).angle());
        let before = cleared.angle(at, 0.0, way);
        assert!(before > 0.5, "{before}");
        let mark = cleared.mark();
        cleared.add_along(&piece, 0.0);
        assert!(cleared.angle(at, 0.0, way) < 1e-6);
        assert!(cleared.whole(point(9.0, 7.0)));
        cleared.back_to(mark);
        assert_eq!(cleared.angle(at, 0.0, way), before);
        assert!(!cleared.whole(point(9.0, 7.0)));
    }

    /// Half the rim lies beyond an edge that the middle runs along; the forward quarter on the
    /// wood's side stays.
    #[test]
    fn what_lies_beyond_the_stock_is_no_wood() {
        let stock = Some((point(0.0, 0.0), point(100.0, 50.0)));
        let cleared = Cleared::new(RADIUS, Before { centres: &[], radius: 0.0, stock });
        assert!((cleared.angle(point(50.0, 0.0), 0.0, 0.0) - FRAC_PI_2).abs() < 1e-9);
        assert!((cleared.angle(point(50.0, 25.0), 0.0, 0.0) - PI).abs() < 1e-9);
        assert!(cleared.whole(point(-3.1, 20.0)) && !cleared.whole(point(-2.9, 20.0)));
    }
}
