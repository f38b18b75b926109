//! In which order work is done, so that little is travelled in the air.
//!
//! From stop to nearest stop, then made shorter while that helps: by turning stretches round
//! (2-opt: G. A. Croes, A method for solving traveling-salesman problems, Operations Research 6,
//! 1958), by putting short stretches elsewhere (I. Or, dissertation, Northwestern University,
//! 1976), and by choosing for every stop where it is begun. What must come first stays first.

use crate::geometry::Point;

/// What a change must gain, mm: less is rounding, and could go on for ever.
const LEAST_GAIN: f64 = 1e-9;

/// Stops that are put elsewhere together, at most.
const STRETCH: usize = 3;

/// A piece of work between two ways in the air.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Stop {
    /// All of a lower phase come before all of a higher one.
    pub phase: usize,
    /// The ways in which it can be done: where each begins and ends. At least one.
    pub ways: Vec<(Point, Point)>,
    /// Numbers of stops of the same phase that come before it.
    pub after: Vec<usize>,
}

/// A stop's number and the number of its way.
pub(super) type Visit = (usize, usize);

/// Every stop once, from `start` on to wherever it ends. The way in the air is no longer than
/// from nearest to nearest, and no longer than in the order given.
pub(super) fn order(start: Point, stops: &[Stop]) -> Vec<Visit> {
    let made = [nearest_next(start, stops), as_given(start, stops)].map(|visits| {
        let mut tour = Tour::new(start, stops, visits);
        tour.improve();
        tour.visits
    });
    let [a, b] = made;
    if length(start, stops, &b) < length(start, stops, &a) - LEAST_GAIN { b } else { a }
}

/// The way in the air, mm.
pub(super) fn length(start: Point, stops: &[Stop], visits: &[Visit]) -> f64 {
    let mut at = start;
    let mut sum = 0.0;
    for (stop, way) in visits {
        let (from, to) = stops[*stop].ways[*way];
        sum += at.distance(from);
        at = to;
    }
    sum
}

/// Stops that may come next: of the lowest phase that is left, after what they come after.
fn ready(stops: &[Stop], done: &[bool]) -> Vec<usize> {
    let left = || (0..stops.len()).filter(|i| !done[*i]);
    let Some(phase) = left().map(|i| stops[i].phase).min() else { return Vec::new() };
    let free = |i: &usize| stops[*i].phase == phase && stops[*i].after.iter().all(|k| done[*k]);
    let free: Vec<usize> = left().filter(free).collect();
    // A circle of stops that wait for one another can not be kept; it is cut at its first.
    if free.is_empty() {
        left().filter(|i| stops[*i].phase == phase).take(1).collect()
    } else {
        free
    }
}

fn build(
    start: Point,
    stops: &[Stop],
    choose: impl Fn(Point, &[usize]) -> Option<Visit>,
) -> Vec<Visit> {
    let mut done = vec![false; stops.len()];
    let mut at = start;
    let mut visits = Vec::with_capacity(stops.len());
    while let Some(visit) = choose(at, &ready(stops, &done)) {
        done[visit.0] = true;
        at = stops[visit.0].ways[visit.1].1;
        visits.push(visit);
    }
    visits
}

/// The way of a stop that begins nearest.
fn best_way(stops: &[Stop], at: Point, stop: usize) -> usize {
    let off = |way: &usize| stops[stop].ways[*way].0.distance(at);
    (0..stops[stop].ways.len()).min_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or(0)
}

/// From each stop to the nearest that may come next.
pub(super) fn nearest_next(start: Point, stops: &[Stop]) -> Vec<Visit> {
    build(start, stops, |at, ready| {
        let off = |i: &usize| stops[*i].ways[best_way(stops, at, *i)].0.distance(at);
        let next = ready.iter().copied().min_by(|a, b| off(a).total_cmp(&off(b)))?;
        Some((next, best_way(stops, at, next)))
    })
}

/// In the order given, as far as what must come first allows.
pub(super) fn as_given(start: Point, stops: &[Stop]) -> Vec<Visit> {
    build(start, stops, |_, ready| ready.first().map(|i| (*i, 0)))
}

/// An order that is being made shorter.
struct Tour<'a> {
    start: Point,
    stops: &'a [Stop],
    visits: Vec<Visit>,
    /// Where each stop stands in `visits`.
    places: Vec<usize>,
}

impl<'a> Tour<'a> {
    fn new(start: Point, stops: &'a [Stop], visits: Vec<Visit>) -> Tour<'a> {
        let mut tour = Tour { start, stops, visits, places: vec![0; stops.len()] };
        tour.number();
        tour
    }

    fn number(&mut self) {
        for (place, (stop, _)) in self.visits.iter().enumerate() {
            self.places[*stop] = place;
        }
    }

    fn improve(&mut self) {
        self.begin_anew();
        while self.turn() | self.put_elsewhere() | self.begin_anew() {}
    }

    fn ends(&self, place: usize) -> (Point, Point) {
        let (stop, way) = self.visits[place];
        self.stops[stop].ways[way]
    }

    /// Where the cutter is before the stop at this place.
    fn before(&self, place: usize) -> Point {
        place.checked_sub(1).map_or(self.start, |i| self.ends(i).1)
    }

    /// The way from the end of one place to the begin of another.
    fn air(&self, from: usize, to: usize) -> f64 {
        self.ends(from).1.distance(self.ends(to).0)
    }

    /// The way on from a point to the stop at a place; none after the last.
    fn on(&self, from: Point, place: usize) -> f64 {
        if place < self.visits.len() { from.distance(self.ends(place).0) } else { 0.0 }
    }

    /// Whether the stop at `place` may come before all from `first` up to it.
    fn may_lead(&self, first: usize, place: usize) -> bool {
        let stop = &self.stops[self.visits[place].0];
        stop.phase == self.stops[self.visits[first].0].phase
            && stop.after.iter().all(|k| !(first..place).contains(&self.places[*k]))
    }

    /// Turns every stretch round that makes the way shorter so; whether any did.
    fn turn(&mut self) -> bool {
        let mut shorter = false;
        for i in 0..self.visits.len() {
            // Ways within the stretch, there and back.
            let (mut there, mut back) = (0.0, 0.0);
            let mut j = i + 1;
            while j < self.visits.len() && self.may_lead(i, j) {
                there += self.air(j - 1, j);
                back += self.air(j, j - 1);
                let before = self.before(i);
                let now = self.on(before, i) + there + self.on(self.ends(j).1, j + 1);
                let turned = self.on(before, j) + back + self.on(self.ends(i).1, j + 1);
                if now - turned > LEAST_GAIN {
                    self.visits[i..=j].reverse();
                    self.number();
                    shorter = true;
                    (there, back) = (back, there);
                }
                j += 1;
            }
        }
        shorter
    }

    /// Puts short stretches elsewhere that make the way shorter so; whether any did.
    fn put_elsewhere(&mut self) -> bool {
        let mut shorter = false;
        for long in 1..=STRETCH {
            let mut i = 0;
            while i + long <= self.visits.len() {
                shorter |= self.later(i, long) || self.earlier(i, long);
                i += 1;
            }
        }
        shorter
    }

    /// What is gained by taking the stretch out of its place.
    fn out(&self, i: usize, long: usize) -> f64 {
        let (before, last) = (self.before(i), i + long - 1);
        self.on(before, i) + self.on(self.ends(last).1, i + long) - self.on(before, i + long)
    }

    /// What is lost by putting the stretch between the place before `to` and `to`.
    fn put_in(&self, i: usize, long: usize, to: usize) -> f64 {
        let before = self.before(to);
        self.on(before, i) + self.on(self.ends(i + long - 1).1, to) - self.on(before, to)
    }

    fn later(&mut self, i: usize, long: usize) -> bool {
        let gain = self.out(i, long);
        let mut place = i + long;
        while place < self.visits.len() {
            let overtakes = (i..i + long).all(|first| {
                let stop = &self.stops[self.visits[place].0];
                stop.phase == self.stops[self.visits[first].0].phase
                    && !stop.after.contains(&self.visits[first].0)
            });
            if !overtakes {
                return false;
            }
            if gain - self.put_in(i, long, place + 1) > LEAST_GAIN {
                self.visits[i..=place].rotate_left(long);
                self.number();
                return true;
            }
            place += 1;
        }
        false
    }

    fn earlier(&mut self, i: usize, long: usize) -> bool {
        let gain = self.out(i, long);
        let mut to = i;
        while to > 0 && (i..i + long).all(|place| self.leads(to - 1, place)) {
            to -= 1;
            if gain - self.put_in(i, long, to) > LEAST_GAIN {
                self.visits[to..i + long].rotate_right(long);
                self.number();
                return true;
            }
        }
        false
    }

    /// Whether the stop at `place` may come before the one at `before`.
    fn leads(&self, before: usize, place: usize) -> bool {
        let (one, other) = (self.visits[place].0, self.visits[before].0);
        self.stops[one].phase == self.stops[other].phase && !self.stops[one].after.contains(&other)
    }

    /// For the order as it is, begins every stop where the whole way is shortest; whether it is
    /// shorter than before.
    fn begin_anew(&mut self) -> bool {
        let now = length(self.start, self.stops, &self.visits);
        // For each way of each stop the shortest way to its end, and the way of the stop before.
        let mut all: Vec<Vec<(f64, usize)>> = Vec::with_capacity(self.visits.len());
        let mut ends: Vec<(f64, Point)> = vec![(0.0, self.start)];
        for (stop, _) in &self.visits {
            let reach = |(from, _): &(Point, Point)| {
                let ways = ends.iter().enumerate();
                let ways = ways.map(|(k, (so_far, at))| (so_far + at.distance(*from), k));
                ways.min_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or((0.0, 0))
            };
            let here: Vec<(f64, usize)> = self.stops[*stop].ways.iter().map(reach).collect();
            let ways = self.stops[*stop].ways.iter();
            ends = here.iter().zip(ways).map(|((far, _), (_, to))| (*far, *to)).collect();
            all.push(here);
        }
        let last = ends.iter().enumerate().min_by(|a, b| a.1.0.total_cmp(&b.1.0));
        let Some((mut way, (best, _))) = last else { return false };
        if now - best <= LEAST_GAIN {
            return false;
        }
        for (place, here) in all.iter().enumerate().rev() {
            self.visits[place].1 = way;
            way = here[way].1;
        }
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::point;
    use proptest::prelude::*;

    fn at(x: f64, y: f64) -> Stop {
        let p = point(x, y);
        Stop { phase: 0, ways: vec![(p, p)], after: Vec::new() }
    }

    /// Three columns of two: crossing over at each, 10 + 3 x 40 + 2 x 100 = 330 (by hand).
    #[test]
    fn two_rows_of_screws_are_gone_the_short_way() {
        let places = [(0, 0), (200, 40), (100, 0), (0, 40), (200, 0), (100, 40)];
        let stops: Vec<Stop> =
            places.iter().map(|(x, y)| at(f64::from(*x), f64::from(*y))).collect();
        let start = point(-10.0, 0.0);
        let found = order(start, &stops);
        assert!(length(start, &stops, &found) <= 330.0 + 1e-9, "{found:?}");
        assert_eq!(found[0].0, 0);
    }

    #[test]
    fn nothing_and_one_stop() {
        assert!(order(point(1.0, 1.0), &[]).is_empty());
        assert_eq!(order(point(1.0, 1.0), &[at(3.0, 4.0)]), [(0, 0)]);
    }

    /// Grooves 100 long, 10 apart: gone to and fro, each begun at the nearer end: 3 x 10 (by hand).
    #[test]
    fn grooves_are_begun_at_the_nearer_end() {
        let groove = |y: f64| {
            let (a, b) = (point(0.0, y), point(100.0, y));
            Stop { phase: 0, ways: vec![(a, b), (b, a)], after: Vec::new() }
        };
        let stops: Vec<Stop> = [0.0, 20.0, 10.0, 30.0].map(groove).to_vec();
        let found = order(point(0.0, 0.0), &stops);
        assert_eq!(found, [(0, 0), (2, 1), (1, 0), (3, 1)]);
        assert!((length(point(0.0, 0.0), &stops, &found) - 30.0).abs() < 1e-9);
    }

    /// A way through all places, its start among them, is a tree that joins them: none is shorter
    /// than the least tree (R. C. Prim, Shortest connection networks, Bell System Technical Journal
    /// 36, 1957), and forty holes strewn over a board are gone in little more.
    #[test]
    fn forty_holes_are_gone_in_little_more_than_the_least_tree() {
        let mut ratios = Vec::new();
        for seed in 1..=20_u32 {
            // The fractional parts of multiples of two irrational numbers are spread evenly.
            let shares = |k: u32, by: f64| (f64::from(k * seed) * by).fract();
            let places: Vec<Point> = (0..=40)
                .map(|k| {
                    point(600.0 * shares(k, 2.0_f64.sqrt()), 200.0 * shares(k, 3.0_f64.cbrt()))
                })
                .collect();
            let stops: Vec<Stop> = places[1..].iter().map(|p| at(p.x, p.y)).collect();
            let way = length(places[0], &stops, &order(places[0], &stops));
            let ratio = way / least_tree(&places);
            assert!(ratio >= 1.0 - 1e-12, "{seed}: {ratio}");
            ratios.push(ratio);
        }
        let worst = ratios.iter().copied().fold(0.0, f64::max);
        let mean = ratios.iter().sum::<f64>() / ratios.len() as f64;
        assert!(worst < 1.35 && mean < 1.25, "worst {worst}, mean {mean}");
    }

    fn least_tree(places: &[Point]) -> f64 {
        let mut far: Vec<f64> = places.iter().map(|p| p.distance(places[0])).collect();
        let mut left: Vec<usize> = (1..places.len()).collect();
        let mut sum = 0.0;
        while let Some(k) = (0..left.len()).min_by(|a, b| far[left[*a]].total_cmp(&far[left[*b]])) {
            let joined = left.swap_remove(k);
            sum += far[joined];
            for &other in &left {
                far[other] = far[other].min(places[other].distance(places[joined]));
            }
        }
        sum
    }

    fn any_stops(most: usize) -> impl Strategy<Value = Vec<Stop>> {
        let xy = || (0.0..300.0_f64, 0.0..100.0_f64).prop_map(|(x, y)| point(x, y));
        let ways = proptest::collection::vec((xy(), xy()), 1..4);
        let one = (0..3_usize, ways, proptest::collection::vec(any::<prop::sample::Index>(), 0..2));
        proptest::collection::vec(one, 1..most).prop_map(|all| {
            let phases: Vec<usize> = all.iter().map(|(phase, ..)| *phase).collect();
            // A stop waits for earlier ones of its phase only: no circles.
            let stop =
                |(i, (phase, ways, after)): (usize, (usize, _, Vec<prop::sample::Index>))| {
                    let after = after.iter().filter(|_| i > 0).map(|k| k.index(i));
                    Stop { phase, ways, after: after.filter(|k| phases[*k] == phase).collect() }
                };
            all.into_iter().enumerate().map(stop).collect()
        })
    }

    proptest! {
        #[test]
        fn every_stop_once_what_comes_first_first_and_never_longer(stops in any_stops(45)) {
            let start = point(0.0, 0.0);
            let found = order(start, &stops);
            let mut place = vec![usize::MAX; stops.len()];
            for (i, (stop, way)) in found.iter().enumerate() {
                prop_assert_eq!(place[*stop], usize::MAX);
                prop_assert!(*way < stops[*stop].ways.len());
                place[*stop] = i;
            }
            prop_assert_eq!(found.len(), stops.len());
            for (i, one) in stops.iter().enumerate() {
                prop_assert!(one.after.iter().all(|k| place[*k] < place[i]));
            }
            let phases: Vec<usize> = found.iter().map(|(stop, _)| stops[*stop].phase).collect();
            prop_assert!(phases.is_sorted());
            let own = length(start, &stops, &found);
            let nearest = length(start, &stops, &nearest_next(start, &stops));
            let given = length(start, &stops, &as_given(start, &stops));
            prop_assert!(own <= nearest + 1e-6, "{} beats {}", nearest, own);
            prop_assert!(own <= given + 1e-6, "{} beats {}", given, own);
            prop_assert_eq!(&found, &order(start, &stops));
        }
    }
}
