//! Walks rings so that the load on the cutter's rim is held.
//!
//! Along a ring the engaged angle is looked at before every small step. Where the next step would
//! meet too much wood the cutter goes round a circle first, on its left, which peels the wood ahead
//! off in crescents; then it goes on. Of the circles that the room and the load permit the one is taken that
//! opens most for its time. Where not
//! even the smallest fits, in a slot hardly wider than the cutter, the step is made all the same:
//! what was met is measured afterwards, and the feed eased there.

use super::Mouth;
use super::cleared::{Cleared, shares};
use super::fillet::Fillet;
use crate::geometry::{Piece, Point, Region};
use crate::toolpath::Purpose;
use std::f64::consts::PI;

/// A step is made up to this share of the nominal angle: a little below the bound, so that a
/// circle still has room to peel.
const WALK: f64 = 1.12;

/// A circle, or an arc that peels a corner, may meet this share: a little below the bound, as
/// angles are looked at in steps.
pub(super) const PEEL: f64 = 1.17;

/// Radii of circles, shares of the cutter's.
const CIRCLES: [f64; 6] = [1.4, 0.9, 0.6, 0.4, 0.25, 0.12];

/// Circles at one place, before the step is made all the same.
const TRIES: usize = 4;

/// A circle that meets less than this, radians, opens nothing.
const NOTHING: f64 = 0.02;

/// What a circle opens is looked at along this way, in radii.
const OPENS: f64 = 3.0;

/// After a circle the next is foreseen along this way, in radii.
const FORESEE: f64 = 1.5;

/// A point may lie outside the room by no more than this, mm: rounding.
const ASTRAY: f64 = 1e-3;

/// Shortest step along a way beside a contour, mm: round an outside corner the least cutters' middles
/// run on arcs of half a millimetre and more, which a step this long leaves by 0.0003 mm at most.
const LOOK: f64 = 0.04;

/// One thing that the cutter does while clearing a level.
#[derive(Clone, Copy, Debug)]
pub(super) enum Act {
    /// Over to a place that is cleared, above the wood, and down.
    Over(Point),
    /// Over to a place in whole wood and down round this middle, counter-clockwise.
    Helix {
        /// Where the level is reached.
        at: Point,
        /// The middle of the helix.
        middle: Point,
    },
    /// Over to the start of the first of so many pieces that follow, and down along them.
    Ramp(usize),
    /// Along a piece at the level's depth.
    Go(Purpose, Piece),
}

/// Where the cutter is and what it has cleared.
pub(super) struct Walker<'a> {
    /// Where its middle may go.
    pub room: &'a [Region],
    /// Its radius.
    pub radius: f64,
    /// The angle of a straight pass as wide as the stepover.
    pub nominal: f64,
    /// Whether the load is held; else rings are cut as they are.
    pub hold: bool,
    /// What is cleared.
    pub cleared: Cleared<'a>,
    /// Ways in from the air.
    pub mouths: &'a [Mouth],
    /// Where its middle is, once it is down.
    pub at: Option<Point>,
    /// What it does.
    pub acts: Vec<Act>,
    /// Way since the last circle, and that circle's radius.
    circled: (f64, f64),
}

impl<'a> Walker<'a> {
    pub(super) fn new(
        room: &'a [Region],
        (radius, nominal): (f64, f64),
        hold: bool,
        cleared: Cleared<'a>,
    ) -> Walker<'a> {
        let circled = (f64::INFINITY, 0.0);
        let (mouths, at, acts) = (&[][..], None, Vec::new());
        Walker { room, radius, nominal, hold, cleared, mouths, at, acts, circled }
    }

    /// Lifted, and free to go on in another room.
    pub(super) fn in_room(self, room: &'a [Region]) -> Walker<'a> {
        Walker { room, at: None, ..self }
    }

    pub(super) fn go(&mut self, purpose: Purpose, piece: Piece) {
        if piece.from.distance(piece.to) > 1e-7 || piece.is_arc() {
            self.acts.push(Act::Go(purpose, piece));
            self.at = Some(piece.to);
        }
    }

    /// Over to a place that is cleared.
    pub(super) fn over(&mut self, to: Point) {
        if self.at.is_none_or(|at| at.distance(to) > 1e-7) {
            self.acts.push(Act::Over(to));
            self.at = Some(to);
            self.circled = (f64::INFINITY, 0.0);
        }
    }

    pub(super) fn angle(&self, p: Point, along: Point) -> f64 {
        self.cleared.angle(p, 0.0, along.angle())
    }

    /// Along a piece, with circles where the load asks for them.
    pub(super) fn along(&mut self, piece: &Piece, purpose: Purpose) {
        if !self.hold {
            self.cleared.add_along(piece, 0.0);
            self.go(purpose, *piece);
            return;
        }
        let (mut from, mut at, mut tries) = (0.0, 0.0, 0);
        let mut steps = shares(piece, self.radius).peekable();
        while let Some(&next) = steps.peek() {
            if self.bears(piece, next) {
                tries = 0;
            } else if tries < TRIES
                && let Some(circle) = self.circle(piece, at)
            {
                if at > from {
                    self.go(purpose, piece.part(from, at));
                }
                circle.into_iter().for_each(|half| self.go(purpose, half));
                (from, tries) = (at, tries + 1);
                continue;
            } else {
                tries = 0;
            }
            self.cleared.add(piece.at(next), 0.0);
            self.circled.0 += (next - at) * piece.length();
            at = next;
            steps.next();
        }
        self.go(purpose, if from > 0.0 { piece.part(from, 1.0) } else { *piece });
    }

    /// Whether a step to this share of a piece is within the load, and a circle there would be if
    /// circles are going on.
    fn bears(&mut self, piece: &Piece, share: f64) -> bool {
        let (p, along) = (piece.at(share), piece.direction(share));
        if self.angle(p, along) > WALK * self.nominal {
            return false;
        }
        let (way, radius) = self.circled;
        if way > FORESEE * self.radius {
            return true;
        }
        let mark = self.cleared.mark();
        let bears = self.trial(&around(p, along, radius), PEEL).is_some();
        self.cleared.back_to(mark);
        bears
    }

    /// The circle at a place on a piece that fits, bears, and opens the longest way for its time;
    /// none if none opens anything. It is cleared.
    fn circle(&mut self, piece: &Piece, at: f64) -> Option<[Piece; 2]> {
        let (p, along) = (piece.at(at), piece.direction(at));
        let mut best: Option<(f64, f64)> = None;
        for share in CIRCLES {
            let radius = share * self.radius;
            if !self.fits(p + along.left() * radius, radius) {
                continue;
            }
            let mark = self.cleared.mark();
            if self.trial(&around(p, along, radius), PEEL).is_some_and(|met| met > NOTHING) {
                // Round a circle the time grows with the root of its radius: acceleration holds it.
                let worth = self.opened(piece, at) / share.sqrt();
                if best.is_none_or(|(most, _)| worth > most) {
                    best = Some((worth, radius));
                }
            }
            self.cleared.back_to(mark);
        }
        let (_, radius) = best?;
        let circle = around(p, along, radius);
        circle.iter().for_each(|half| self.cleared.add_along(half, 0.0));
        self.circled = (0.0, radius);
        Some(circle)
    }

    /// How far a piece can be followed from a share of it, in steps; one more than none. What is
    /// cleared on the way stays so: the caller takes it back.
    fn opened(&mut self, piece: &Piece, at: f64) -> f64 {
        let mut steps = 0.5;
        let ahead = piece.part(at, (at + OPENS * self.radius / piece.length()).min(1.0));
        for share in shares(&ahead, self.radius) {
            let p = ahead.at(share);
            if self.angle(p, ahead.direction(share)) > WALK * self.nominal {
                break;
            }
            self.cleared.add(p, 0.0);
            steps += 1.0;
        }
        steps
    }

    /// Goes along pieces in thought: clears, and gives the greatest angle met, if that is within
    /// so many times the nominal; else stops there, half cleared.
    pub(super) fn trial(&mut self, pieces: &[Piece], bound: f64) -> Option<f64> {
        let mut greatest = 0.0_f64;
        for piece in pieces {
            for share in shares(piece, self.radius) {
                let p = piece.at(share);
                greatest = greatest.max(self.angle(p, piece.direction(share)));
                if greatest > bound * self.nominal {
                    return None;
                }
                self.cleared.add(p, 0.0);
            }
        }
        Some(greatest)
    }

    /// As [`Walker::trial`], and takes it back if it does not bear.
    pub(super) fn tried(&mut self, pieces: &[Piece], bound: f64) -> bool {
        let mark = self.cleared.mark();
        let bears = self.trial(pieces, bound).is_some();
        if !bears {
            self.cleared.back_to(mark);
        }
        bears
    }

    /// Whether a circle about `middle` lies in the room.
    pub(super) fn fits(&self, middle: Point, radius: f64) -> bool {
        let clear = |region: &Region| {
            region.contains(middle)
                && region
                    .contours()
                    .all(|c| c.nearest(middle).is_none_or(|(gap, _)| gap >= radius - 1e-6))
        };
        self.room.iter().any(clear)
    }

    /// Whether the middle may go along a piece. From a point inside it may go on as far as the
    /// nearest contour is away.
    pub(super) fn within(&self, piece: &Piece) -> bool {
        self.room.iter().any(|region| {
            let length = piece.length().max(1e-9);
            let mut way = 0.0;
            loop {
                let p = piece.at(way / length);
                let gaps = region.contours().filter_map(|c| c.nearest(p)).map(|(gap, _)| gap);
                let gap = gaps.fold(f64::INFINITY, f64::min);
                if gap > ASTRAY && !region.contains(p) {
                    return false;
                }
                if way >= length {
                    return true;
                }
                way = (way + gap.max(LOOK)).min(length);
            }
        })
    }

    /// Peels an inside corner to its end in ever narrower arcs: from the arc just cut between
    /// pieces `a` and `b` to `sharp`, what lies between them. Gives the share of `b` at which it
    /// ends.
    pub(super) fn peel(
        &mut self,
        (a, sharp, b): (&Piece, &[Piece], &Piece),
        first: Fillet,
        purpose: Purpose,
    ) -> f64 {
        /// Radii of the next arc, shares of the last one's, the narrowest first.
        const NEXT: [f64; 10] = [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.88, 0.94];
        /// Arcs in one corner: a hundredth of the first radius is far less than a chip.
        const MOST: usize = 60;
        let mut now = first;
        for _ in 0..MOST {
            let home = Piece { from: now.arc.to, to: now.arc.from, bulge: 0.0 };
            let home = if self.within(&home) { home } else { now.arc.reversed() };
            let end: Vec<Piece> = std::iter::once(a.part(now.leave, 1.0))
                .chain(sharp.iter().copied())
                .chain(std::iter::once(b.part(0.0, now.join)))
                .collect();
            if self.tried(&end, PEEL) {
                self.go(purpose, home);
                end.into_iter().for_each(|piece| self.go(purpose, piece));
                return now.join;
            }
            let radius = now.arc.radius();
            let next = NEXT.iter().find_map(|share| {
                let next = Fillet::new(a, b, share * radius)?;
                let way = [a.part(now.leave, next.leave), next.arc];
                (next.leave > now.leave && self.within(&next.arc) && self.tried(&way, PEEL))
                    .then_some((next, way))
            });
            let Some((next, way)) = next else { break };
            self.go(purpose, home);
            way.into_iter().for_each(|piece| self.go(purpose, piece));
            now = next;
        }
        // No arc bears: along the ring itself, with circles or the feed eased.
        let home = Piece { from: now.arc.to, to: now.arc.from, bulge: 0.0 };
        self.go(purpose, if self.within(&home) { home } else { now.arc.reversed() });
        self.along(&a.part(now.leave, 1.0), purpose);
        sharp.iter().for_each(|piece| self.along(piece, purpose));
        self.along(&b.part(0.0, now.join), purpose);
        now.join
    }
}

/// A circle of this radius on the left of a place, from there all round.
fn around(p: Point, along: Point, radius: f64) -> [Piece; 2] {
    let across = p + along.left() * (2.0 * radius);
    [Piece { from: p, to: across, bulge: 1.0 }, Piece { from: across, to: p, bulge: 1.0 }]
}

/// Angle by which the way turns left from one piece to the next, negative to the right.
pub(super) fn turn(a: &Piece, b: &Piece) -> f64 {
    let (u, v) = (a.direction(1.0), b.direction(0.0));
    let turn = u.cross(v).atan2(u.dot(v));
    // Straight back is a turn to the left: the end of a slot.
    if turn < -PI + 1e-9 { PI } else { turn }
}
