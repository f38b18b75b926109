//! Removal never adds, and neither the order of strokes, nor their number at a time, nor the
//! number of threads leaves a trace in the bytes.
#![allow(clippy::unwrap_used)]

use ovolo::dry_run::removal::{Removed, Section, Stock, Unsound};
use ovolo::geometry::{Arc, HeightField, Plane, Point, Stroke, point, point3};
use proptest::prelude::*;

fn stock() -> Stock {
    // Three bands and three tiles across, none of them full.
    Stock::new(HeightField::new(point(-3.0, 5.0), point(300.0, 80.0), 0.53, 2.0).unwrap())
}

fn bits(stock: &Stock) -> Vec<u32> {
    let field = stock.field();
    (0..field.rows()).flat_map(|j| field.row(j).iter().map(|z| z.to_bits())).collect()
}

fn on_threads<T: Send>(count: usize, work: impl FnOnce() -> T + Send) -> T {
    rayon::ThreadPoolBuilder::new().num_threads(count).build().unwrap().install(work)
}

fn any_section() -> impl Strategy<Value = Section> {
    (0..5, 1.0..6.0, 0.1..0.9, 0.3..2.5).prop_map(|(kind, r, share, angle): (_, f64, f64, f64)| {
        match kind {
            0 => Section::flat(r),
            1 => Section::ball(r),
            2 => Section::bull_nose(r, share * r),
            3 => Section::cone(r, share * r * 0.2, angle),
            _ => Section::taper_ball(r, share * r, angle),
        }
        .unwrap()
    })
}

fn any_stroke() -> impl Strategy<Value = Stroke> {
    let place = (-30.0..330.0, -10.0..100.0, -6.0..3.0);
    let line = (place.clone(), place.clone(), 0..5).prop_map(|(a, b, kind)| {
        let from = point3(a.0, a.1, a.2);
        let to = point3(b.0, b.1, b.2);
        match kind {
            0 => Stroke::line(from, to),
            1 => Stroke::line(from, point3(to.x, to.y, from.z)),
            // Along an axis, as most passes are.
            2 => Stroke::line(from, point3(to.x, from.y, to.z)),
            3 => Stroke::line(from, point3(from.x, to.y, to.z)),
            _ => Stroke::line(from, from + (to - from) * 0.02),
        }
    });
    let arc = (place, 0.2..60.0, 0.0..6.2, -6.25..6.25, -3.0..3.0, any::<bool>()).prop_map(
        |(c, radius, angle, sweep, rise, level)| {
            let centre = point(c.0, c.1);
            let z = if level { c.2 } else { c.2 + rise };
            Stroke {
                from: (centre + Point::polar(radius, angle)).at(c.2),
                to: (centre + Point::polar(radius, angle + sweep)).at(z),
                arc: Some(Arc { plane: Plane::Xy, center: centre, sweep }),
            }
        },
    );
    prop_oneof![line, arc]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn order_batches_and_threads_leave_no_trace(
        strokes in prop::collection::vec(any_stroke(), 1..40),
        section in any_section(),
        other in any_section(),
        split in 0.0..1.0,
    ) {
        let mut whole = stock();
        let found = on_threads(1, || whole.remove_all(&strokes, &section)).unwrap();
        whole.remove_all(&strokes[..1], &other).unwrap();

        let mut two = stock();
        let found_by_two = on_threads(2, || two.remove_all(&strokes, &section)).unwrap();
        two.remove_all(&strokes[..1], &other).unwrap();
        prop_assert_eq!(bits(&whole), bits(&two));
        prop_assert_eq!(&found, &found_by_two);

        let mut singly = stock();
        let each: Result<Vec<Removed>, Unsound> =
            strokes.iter().map(|stroke| singly.remove(stroke, &section)).collect();
        prop_assert_eq!(&found, &each.unwrap());

        let mut backward = stock();
        backward.remove_all(&strokes[..1], &other).unwrap();
        let at = (strokes.len() as f64 * split) as usize;
        let mut turned: Vec<Stroke> = strokes.clone();
        turned.rotate_left(at);
        turned.reverse();
        backward.remove_all(&turned, &section).unwrap();
        prop_assert_eq!(bits(&whole), bits(&backward));
    }

    /// In a chain each stroke begins where the one before has cut, and cells behind its start
    /// are passed over. Cut alone, strokes are whole.
    #[test]
    fn a_chain_cuts_what_its_strokes_cut_alone(
        start in (20.0..280.0, 10.0..70.0, -4.0..1.0),
        legs in prop::collection::vec((-3.2..3.2, 0.0..25.0, -3.0..3.0, any::<bool>()), 1..30),
        section in any_section(),
    ) {
        let mut at = point3(start.0, start.1, start.2);
        let leg = |(angle, length, rise, level): (f64, f64, f64, bool)| {
            let from = at;
            let rise = if level { 0.0 } else { rise };
            at = from + Point::polar(length, angle).at(rise);
            at.z = at.z.clamp(-6.0, 2.0);
            Stroke::line(from, at)
        };
        let chain: Vec<Stroke> = legs.into_iter().map(leg).collect();
        let mut whole = stock();
        whole.remove_all(&chain, &section).unwrap();
        let mut singly = stock();
        for stroke in &chain {
            singly.remove(stroke, &section).unwrap();
        }
        let pairs = (0..whole.field().rows())
            .flat_map(|j| whole.field().row(j).iter().zip(singly.field().row(j)));
        let apart = pairs.filter(|(a, b)| (*a - *b).abs() > 1e-3).count();
        // At a rim rounding decides.
        prop_assert!(apart <= 2, "{apart} samples differ");
    }

    #[test]
    fn removal_is_monotone_and_says_what_it_took(
        strokes in prop::collection::vec(any_stroke(), 1..12),
        section in any_section(),
    ) {
        let mut stock = stock();
        for stroke in &strokes {
            let before = stock.field().clone();
            let probed = stock.probe_all(&[*stroke], &section).unwrap();
            let removed = stock.remove(stroke, &section).unwrap();
            prop_assert_eq!(probed[0], removed);
            let after = stock.field();
            let (mut volume, mut deepest, mut cells) = (0.0, 0.0_f64, 0);
            for j in 0..after.rows() {
                for (old, new) in before.row(j).iter().zip(after.row(j)) {
                    prop_assert!(new <= old && *new <= 2.0);
                    let least = stroke.bounds().min.z.min(f64::from(*old));
                    prop_assert!(f64::from(*new) >= least - 1e-4);
                    volume += f64::from(old - new) * 0.53 * 0.53;
                    if old - new > 1e-3 {
                        deepest = deepest.max(f64::from(old - new));
                        cells += 1;
                    }
                }
            }
            prop_assert!((removed.volume - volume).abs() <= 1e-6 * volume + 1e-9);
            prop_assert_eq!(removed.deepest, deepest);
            prop_assert_eq!(removed.cells, cells);
            prop_assert_eq!(removed.touched(), deepest > 0.0);
            // Again, and it finds nothing.
            let again = stock.remove(stroke, &section).unwrap();
            prop_assert_eq!(again, Removed::default());
        }
    }

    #[test]
    fn no_number_makes_it_panic_or_hang(
        numbers in prop::collection::vec(
            prop_oneof![any::<f64>(), -1e7..1e7_f64, Just(0.0), -10.0..10.0_f64], 9
        ),
        plane in prop_oneof![Just(Plane::Xy), Just(Plane::Zx), Just(Plane::Yz)],
        curved in any::<bool>(),
        section in any_section(),
    ) {
        let n = numbers;
        let arc = Arc { plane, center: point(n[6], n[7]), sweep: n[8] };
        let stroke = Stroke {
            from: point3(n[0], n[1], n[2]),
            to: point3(n[3], n[4], n[5]),
            arc: curved.then_some(arc),
        };
        let fine = |v: &[f64]| v.iter().all(|x| x.abs() <= 1e7);
        let sound = fine(&n[..6]) && (!curved || (fine(&n[6..8]) && n[8].abs() <= 6.3));
        let mut stock = stock();
        prop_assert_eq!(stock.remove(&stroke, &section).is_ok(), sound);
    }
}
