//! Nesting against every possible way for small lists.
#![allow(clippy::unwrap_used)]

use ovolo::layout::nest::*;
use proptest::prelude::*;

fn named(lengths: &[f64]) -> Vec<(String, f64)> {
    lengths.iter().enumerate().map(|(i, l)| (format!("piece {i}"), *l)).collect()
}

#[test]
fn greedy_is_beaten_where_it_is_wrong() {
    // Longest first into the fullest stick gives 6+3, 5+... three sticks of 10; 6+4, 5+3+2 gives two.
    let pieces = named(&[600.0, 500.0, 400.0, 300.0, 200.0]);
    let sawing = Sawing { kerf: 0.0, trim: 0.0 };
    let nesting = nest(&pieces, &[Stick { length: 1000.0, count: None }], &sawing).unwrap();
    assert!(nesting.exact);
    assert_eq!(
        (nesting.sticks.len(), nesting.used, nesting.bound, nesting.waste),
        (2, 2000.0, 2000.0, 0.0)
    );
    // With a kerf of 3 no two sticks do: 600 + 3 + 400 is over 1000.
    let sawing = Sawing { kerf: 3.0, trim: 0.0 };
    let nesting = nest(&pieces, &[Stick { length: 1000.0, count: None }], &sawing).unwrap();
    assert_eq!(nesting.sticks.len(), 3);
    // The last cut may fall beyond the end: 997 and 3 make a whole stick.
    let whole =
        nest(&named(&[997.0]), &[Stick { length: 997.0, count: Some(1) }], &sawing).unwrap();
    assert_eq!(whole.sticks[0].offcut, 0.0);
}

#[test]
fn what_does_not_fit_is_told_with_what_would() {
    let sawing = Sawing { kerf: 3.0, trim: 20.0 };
    let long =
        nest(&named(&[990.0]), &[Stick { length: 1000.0, count: None }], &sawing).unwrap_err();
    insta::assert_snapshot!(long[0], @"
    error: `piece[1]`: piece 0 is 990.00 mm (38.976 in) long; no stick holds it
      help: a stick of at least 1010.00 mm (39.764 in)
    ");
    let few = nest(&named(&[900.0, 900.0]), &[Stick { length: 1000.0, count: Some(1) }], &sawing);
    insta::assert_snapshot!(few.unwrap_err()[0], @"
    error: `stick`: the sticks on hand do not hold all 2 pieces
      help: at least 900.00 mm (35.433 in) more; sticks of 920.00 mm (36.221 in) without a count always do
    ");
    assert!(nest(&named(&[f64::NAN]), &[], &sawing).is_err());
    assert!(nest(&named(&[1.0]), &[Stick { length: -1.0, count: None }], &sawing).is_err());
    assert!(nest(&[], &[], &sawing).unwrap().sticks.is_empty());
}

#[test]
fn a_long_list_ends_and_states_its_bound() {
    let lengths: Vec<f64> = (0..120).map(|i| 137.0 + f64::from(i * 7919 % 613)).collect();
    let sticks = [Stick { length: 2400.0, count: None }, Stick { length: 1800.0, count: Some(4) }];
    let nesting = nest(&named(&lengths), &sticks, &Sawing { kerf: 3.2, trim: 10.0 }).unwrap();
    assert!(nesting.bound <= nesting.used);
    assert!(nesting.used <= nesting.bound * 1.05, "{} {}", nesting.used, nesting.bound);
}

/// The least total length by trying every piece in every stick.
fn every_way(pieces: &[f64], sticks: &[f64], sawing: &Sawing) -> Option<f64> {
    fn go(
        rest: &[f64],
        room: &mut Vec<f64>,
        sticks: &[f64],
        fresh: &[f64],
        kerf: f64,
    ) -> Option<f64> {
        let Some((piece, rest)) = rest.split_first() else {
            return Some(
                (0..sticks.len()).filter(|&i| room[i] < fresh[i]).map(|i| sticks[i]).sum(),
            );
        };
        let mut least: Option<f64> = None;
        for i in 0..room.len() {
            if room[i] >= piece + kerf - 1e-6 {
                room[i] -= piece + kerf;
                if let Some(found) = go(rest, room, sticks, fresh, kerf) {
                    least = Some(least.map_or(found, |l| l.min(found)));
                }
                room[i] += piece + kerf;
            }
        }
        least
    }
    let fresh: Vec<f64> = sticks.iter().map(|s| s - sawing.trim + sawing.kerf).collect();
    go(pieces, &mut fresh.clone(), sticks, &fresh, sawing.kerf)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    #[test]
    fn small_lists_are_nested_as_well_as_any_way(
        pieces in prop::collection::vec(5..60_u32, 1..7),
        sticks in prop::collection::vec(60..130_u32, 1..4),
        kerf in 0..4_u32, trim in 0..4_u32,
    ) {
        let lengths: Vec<f64> = pieces.iter().map(|&p| f64::from(p)).collect();
        let have: Vec<f64> = sticks.iter().map(|&s| f64::from(s)).collect();
        let sawing = Sawing { kerf: f64::from(kerf), trim: f64::from(trim) };
        let kinds: Vec<Stick> = have.iter().map(|&length| Stick { length, count: Some(1) }).collect();
        let best = every_way(&lengths, &have, &sawing);
        match nest(&named(&lengths), &kinds, &sawing) {
            Ok(nesting) => {
                prop_assert!(nesting.exact);
                prop_assert!((nesting.used - best.unwrap()).abs() < 1e-6);
                let mut cut: Vec<usize> = nesting.sticks.iter().flat_map(|s| s.pieces.clone()).collect();
                cut.sort_unstable();
                prop_assert_eq!(cut, (0..lengths.len()).collect::<Vec<_>>());
                for stick in &nesting.sticks {
                    let sum: f64 = stick.pieces.iter().map(|&i| lengths[i]).sum();
                    let cuts = (stick.pieces.len() as f64 - 1.0) * sawing.kerf;
                    prop_assert!(sum + cuts + sawing.trim <= stick.length + 1e-6);
                }
            }
            Err(_) => prop_assert!(best.is_none()),
        }
    }
}
