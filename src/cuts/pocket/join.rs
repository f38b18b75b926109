//! From ring to ring: through what is cleared, and onto the next one from beside it.

use super::fronts::FIT;
use super::walker::{Act, PEEL, Walker};
use crate::cuts::track::Track;
use crate::geometry::{Piece, Point, pieces_through};
use crate::toolpath::Purpose;

/// How a ring is joined.
#[derive(Clone, Copy, Debug)]
pub(super) struct Join {
    /// About how far it is from what is cleared.
    pub step: f64,
}

impl Join {
    /// Goes over to a ring beside what is cleared, and gives the place reached; none if nothing is
    /// cleared beside it.
    pub(super) fn join(&self, walker: &mut Walker<'_>, track: &Track) -> Option<f64> {
        let from = walker.at?;
        let place = track.nearest(from);
        if from.distance(track.at(place)) <= 1.5 * self.step {
            return self.slant(walker, track, place);
        }
        let (place, beside) = self.beside(walker, track, from)?;
        reach(walker, beside);
        self.slant(walker, track, place)
    }

    /// From the air onto a ring beside ground that is bare; none if the cutter is down already.
    pub(super) fn begin_beside(&self, walker: &mut Walker<'_>, track: &Track) -> Option<f64> {
        if walker.at.is_some() {
            return None;
        }
        let (place, beside) = self.beside(walker, track, track.start())?;
        walker.over(beside);
        self.slant(walker, track, place)
    }

    /// The place on a ring nearest to `from` of those whose inner side is cleared, and the cleared
    /// point beside it.
    fn beside(&self, walker: &Walker<'_>, track: &Track, from: Point) -> Option<(f64, Point)> {
        /// Places that are looked at along a ring, besides the nearest.
        const LOOKS: usize = 48;
        let all = (0..LOOKS).map(|i| track.length() * i as f64 / LOOKS as f64);
        let places = std::iter::once(track.nearest(from)).chain(all);
        let inner = places.map(|s| (s, track.at(s) + track.direction(s).left() * self.step));
        let mut inner: Vec<(f64, Point)> = inner.collect();
        inner.sort_by(|a, b| a.1.distance(from).total_cmp(&b.1.distance(from)));
        inner.into_iter().find(|(s, p)| {
            let way = Piece { from: *p, to: track.at(*s), bulge: 0.0 };
            walker.cleared.bare(*p) && walker.within(&way)
        })
    }

    /// Onto a ring at any place where an arc leads onto it from what is cleared.
    fn elsewhere(&self, walker: &mut Walker<'_>, track: &Track) -> Option<f64> {
        /// Places that are looked at along a ring.
        const LOOKS: usize = 48;
        let radius = walker.radius;
        let places = (0..LOOKS).map(|i| track.length() * i as f64 / LOOKS as f64);
        places.filter(|_| walker.hold).collect::<Vec<_>>().into_iter().find(|place| {
            starts(track, *place, self.step, radius).iter().any(|arc| self.swing(walker, arc))
        })
    }

    /// Goes to the start of an arc through what is cleared, and along it, if that can be.
    fn swing(&self, walker: &mut Walker<'_>, arc: &Piece) -> bool {
        let Some(from) = walker.at else { return false };
        let way = Piece { from, to: arc.from, bulge: 0.0 };
        if !(walker.within(&way) && walker.within(arc)) {
            return false;
        }
        let mark = walker.cleared.mark();
        if walker.trial(&[way], 0.0).is_some() && walker.trial(&[*arc], PEEL).is_some() {
            walker.go(Purpose::Rough, way);
            walker.go(Purpose::Rough, *arc);
            return true;
        }
        walker.cleared.back_to(mark);
        false
    }

    /// From beside a ring onto it: along an arc that touches it, a slanting line, or straight.
    fn slant(&self, walker: &mut Walker<'_>, track: &Track, place: f64) -> Option<f64> {
        /// Radii of the arcs, in the cutter's.
        const ARCS: [f64; 5] = [3.0, 4.0, 6.0, 2.0, 1.5];
        /// Ways along the ring on which it is come nearer to, in stepovers.
        const NEARING: [f64; 3] = [4.0, 6.0, 10.0];
        let from = walker.at?;
        let gap = from.distance(track.at(place));
        if walker.hold && gap > 1e-6 {
            let radius = walker.radius;
            let arcs = ARCS.iter().map(|share| lead(track, place, gap, share * radius));
            let arcs = arcs
                .map(|(place, arc)| (place, vec![Piece { from, to: arc.from, bulge: 0.0 }, arc]));
            let nearing = NEARING.iter().map(|steps| {
                let along = steps * self.step;
                (place + along, nearing(track, (place, along), from))
            });
            let ahead = track.length() / 3.0;
            for (place, way) in nearing.chain(arcs).filter(|(s, _)| s - place < ahead) {
                if way.iter().all(|p| walker.within(p)) && walker.tried(&way, PEEL) {
                    way.into_iter().for_each(|piece| walker.go(Purpose::Rough, piece));
                    return Some(place);
                }
            }
            for start in starts(track, place, gap, radius) {
                if self.swing(walker, &start) {
                    return Some(place);
                }
            }
        }
        if let Some(place) = self.elsewhere(walker, track) {
            return Some(place);
        }
        let way = Piece { from, to: track.at(place), bulge: 0.0 };
        walker.within(&way).then(|| {
            walker.along(&way, Purpose::Rough);
            place
        })
    }
}

/// A way that begins at `from` beside a place on a ring and has come onto the ring `along` farther on:
/// its gap closes evenly, round corners too.
fn nearing(track: &Track, (place, along): (f64, f64), from: Point) -> Vec<Piece> {
    /// Points along it.
    const POINTS: usize = 24;
    let gap = track.direction(place).left().dot(from - track.at(place));
    let points = (1..=POINTS).map(|i| {
        let share = i as f64 / POINTS as f64;
        let s = place + share * along;
        track.at(s) + track.direction(s).left() * (gap * (1.0 - share))
    });
    let points: Vec<Point> = std::iter::once(from).chain(points).collect();
    pieces_through(&points, FIT)
}

/// Arcs that touch a ring at a place, coming from ever farther inside it.
fn starts(track: &Track, place: f64, gap: f64, radius: f64) -> Vec<Piece> {
    /// Radii, in the cutter's, and angles turned, shares of what comes from the ring before.
    const WAYS: [(f64, f64); 6] =
        [(3.0, 1.0), (3.0, 1.3), (3.0, 1.7), (2.3, 1.2), (2.3, 1.7), (4.5, 1.5)];
    let (to, along) = (track.at(place), track.direction(place));
    let arc = |(share, more): &(f64, f64)| {
        let radius = share * radius;
        let turned = more * (1.0 - gap / radius).clamp(-1.0, 1.0).acos();
        let middle = to + along.left() * radius;
        let from = middle + (to - middle).rotated(-turned);
        Piece { from, to, bulge: (turned / 4.0).tan() }
    };
    WAYS.iter().map(arc).collect()
}

/// The arc of this radius that comes from `gap` inside a ring and touches it, from about where
/// `place` is; with the place where it does.
fn lead(track: &Track, place: f64, gap: f64, radius: f64) -> (f64, Piece) {
    let turned = (1.0 - gap / radius).clamp(-1.0, 1.0).acos();
    let place = place + radius * turned.sin();
    let (to, along) = (track.at(place), track.direction(place));
    let middle = to + along.left() * radius;
    let from = middle + (to - middle).rotated(-turned);
    (place, Piece { from, to, bulge: (turned / 4.0).tan() })
}

/// Share of the nominal angle that is met on the way from run to run.
const LITTLE: f64 = 0.5;

/// Goes to a cleared place: straight if all between is cleared, or but for a bite that is little
/// beside what the rim bears; by way of another cleared place; else above the wood.
pub(super) fn reach(walker: &mut Walker<'_>, to: Point) {
    let Some(from) = walker.at else { return walker.over(to) };
    let straight = vec![Piece { from, to, bulge: 0.0 }];
    let free = if free(walker, &straight) { Some(straight) } else { by_way_of(walker, from, to) };
    let Some(way) = free else { return walker.over(to) };
    for piece in way {
        walker.cleared.add_along(&piece, 0.0);
        walker.go(Purpose::Rough, piece);
    }
}

/// Whether a way can be gone without a lift.
fn free(walker: &mut Walker<'_>, way: &[Piece]) -> bool {
    if !way.iter().all(|piece| walker.within(piece)) {
        return false;
    }
    let mark = walker.cleared.mark();
    let bound = if walker.hold { LITTLE } else { 0.0 };
    let free = walker.trial(way, bound).is_some();
    walker.cleared.back_to(mark);
    free
}

/// The shortest free way with one corner, of those through places where the cutter has been.
fn by_way_of(walker: &mut Walker<'_>, from: Point, to: Point) -> Option<Vec<Piece>> {
    /// A lift takes about as long as so much more way on the floor, mm.
    const LIFT: f64 = 80.0;
    /// So many are tried.
    const MOST: usize = 100;
    let been = walker.acts.iter().filter_map(|act| match act {
        Act::Go(_, piece) => Some(piece.to),
        _ => None,
    });
    let long = |p: &Point| from.distance(*p) + p.distance(to);
    let mut places: Vec<Point> = been.filter(|p| long(p) < from.distance(to) + LIFT).collect();
    places.sort_by(|a, b| long(a).total_cmp(&long(b)));
    let way = |p: Point| vec![Piece { from, to: p, bulge: 0.0 }, Piece { from: p, to, bulge: 0.0 }];
    places.into_iter().take(MOST).map(way).find(|way| free(walker, way))
}
