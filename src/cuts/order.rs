//! In which order places are visited, so that little is travelled.
//!
//! From place to nearest place, then made shorter by turning stretches of the order round while
//! that helps (2-opt: G. A. Croes, A method for solving traveling-salesman problems, Operations
//! Research 6, 1958).

use crate::geometry::Point;

/// What turning round must gain, mm: less is rounding, and could go on for ever.
const LEAST_GAIN: f64 = 1e-9;

/// The order in which to visit every place once, as their numbers. It starts from `start` if
/// there is one, else at whichever place makes it short, and ends anywhere.
pub(super) fn order(start: Option<Point>, places: &[Point]) -> Vec<usize> {
    let Some(start) = start else {
        // The farthest from the middle is an end of a short way.
        let middle = places.iter().fold(Point::default(), |sum, p| sum + *p);
        let middle = middle * (1.0 / places.len().max(1) as f64);
        let off = |i: &usize| places[*i].distance(middle);
        let first = (0..places.len()).rev().max_by(|a, b| off(a).total_cmp(&off(b)));
        return first.map_or(Vec::new(), |first| from_place(places, first));
    };
    let with_start: Vec<Point> = std::iter::once(start).chain(places.iter().copied()).collect();
    from_place(&with_start, 0).into_iter().skip(1).map(|i| i - 1).collect()
}

fn from_place(places: &[Point], first: usize) -> Vec<usize> {
    let mut order = nearest_next(places, first);
    while shorten(places, &mut order) {}
    order
}

fn nearest_next(places: &[Point], first: usize) -> Vec<usize> {
    let mut left: Vec<usize> = (0..places.len()).filter(|i| *i != first).collect();
    let mut order = vec![first];
    let mut at = places[first];
    let off = |at: Point, i: usize| places[i].distance(at);
    while let Some(k) =
        (0..left.len()).min_by(|a, b| off(at, left[*a]).total_cmp(&off(at, left[*b])))
    {
        let next = left.remove(k);
        order.push(next);
        at = places[next];
    }
    order
}

/// Turns every stretch round that makes the way shorter so; whether any did.
fn shorten(places: &[Point], order: &mut [usize]) -> bool {
    let mut shorter = false;
    let way = |a: usize, b: usize| places[a].distance(places[b]);
    for i in 1..order.len() {
        for j in i + 1..order.len() {
            let before = way(order[i - 1], order[i]);
            let after = way(order[i - 1], order[j]);
            // Behind the last place the way ends.
            let tail =
                order.get(j + 1).map_or(0.0, |&next| way(order[j], next) - way(order[i], next));
            if before + tail - after > LEAST_GAIN {
                order[i..=j].reverse();
                shorter = true;
            }
        }
    }
    shorter
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::point;
    use proptest::prelude::*;

    fn length(places: &[Point], order: &[usize]) -> f64 {
        order.windows(2).map(|w| places[w[0]].distance(places[w[1]])).sum()
    }

    /// Three columns of two: crossing over at each, 3 x 40 + 2 x 100 = 320 (by hand).
    #[test]
    fn two_rows_of_screws_are_gone_the_short_way() {
        let places: Vec<Point> = [(0, 0), (200, 40), (100, 0), (0, 40), (200, 0), (100, 40)]
            .map(|(x, y)| point(f64::from(x), f64::from(y)))
            .to_vec();
        let order = order(Some(point(-10.0, 0.0)), &places);
        assert!(length(&places, &order) <= 320.0 + 1e-9, "{order:?}");
        assert_eq!(order[0], 0);
    }

    #[test]
    fn nothing_and_one_place() {
        assert!(order(None, &[]).is_empty());
        assert!(order(Some(point(1.0, 1.0)), &[]).is_empty());
        assert_eq!(order(None, &[point(3.0, 4.0)]), [0]);
    }

    proptest! {
        #[test]
        fn every_place_once_and_no_stretch_better_reversed(
            xy in proptest::collection::vec((0.0..300.0_f64, 0.0..100.0_f64), 1..7),
        ) {
            let places: Vec<Point> = xy.iter().map(|(x, y)| point(*x, *y)).collect();
            let found = order(Some(places[0]), &places);
            let mut sorted = found.clone();
            sorted.sort_unstable();
            prop_assert_eq!(sorted, (0..places.len()).collect::<Vec<_>>());
            // No stretch gone the other way round would be shorter: that is all 2-opt promises.
            let whole = length(&places, &found);
            for i in 1..found.len() {
                for j in i + 1..found.len() {
                    let mut other = found.clone();
                    other[i..=j].reverse();
                    prop_assert!(whole <= length(&places, &other) + 1e-6, "{i} to {j}");
                }
            }
            let plain = nearest_next(&places, 0);
            prop_assert!(length(&places, &from_place(&places, 0)) <= length(&places, &plain) + 1e-9);
        }

        #[test]
        fn with_no_start_every_place_is_visited_once(
            xy in proptest::collection::vec((0.0..300.0_f64, 0.0..100.0_f64), 0..40),
        ) {
            let places: Vec<Point> = xy.iter().map(|(x, y)| point(*x, *y)).collect();
            let mut found = order(None, &places);
            found.sort_unstable();
            prop_assert_eq!(found, (0..places.len()).collect::<Vec<_>>());
        }
    }
}
