//! Times of moves against known answers and laws.

use ovolo::geometry::{Arc, Plane, Point3, point, point3};
use ovolo::toolpath::{Direction, Limits, Move, free_turn, times};
use proptest::prelude::*;
use std::f64::consts::{PI, TAU};

/// 100 mm/s and 500 mm/s² on every axis: the figures of the known answers.
const EVEN: Limits = Limits {
    rapid: [6000.0; 3],
    feed: [6000.0; 3],
    acceleration: [500.0; 3],
    corner_tolerance: 0.05,
};

fn line(x: f64, y: f64, z: f64, feed: f64) -> Move {
    Move::Line { to: point3(x, y, z), feed }
}

fn total(moves: &[Move], limits: &Limits) -> f64 {
    times(Point3::default(), moves, limits).iter().sum()
}

#[track_caller]
fn near(found: f64, wanted: f64, within: f64) {
    assert!((found - wanted).abs() <= within, "{found} is not {wanted}");
}

/// Rest to rest: l >= v²/a: l/v + v/a; else 2 sqrt(l/a) (closed form of the trapezoid of Biagiotti
/// and Melchiorri 2008, chapter 3).
#[test]
fn a_line_from_rest_to_rest_takes_the_trapezoid() {
    for (length, wanted) in [(100.0, 1.2), (20.0, 0.4), (10.0, 0.282_842_712_474_619)] {
        near(total(&[line(length, 0.0, 0.0, 6000.0)], &EVEN), wanted, 1e-12);
        near(total(&[Move::Traverse { to: point3(0.0, length, 0.0) }], &EVEN), wanted, 1e-12);
    }
}

/// v² = a d sin(q/2) / (1 - sin(q/2)), closed form: the speeds for a 500, d 0.05. Two legs of 300 mm
/// each, from rest to the corner's speed and back: l/v + v/(2a) + (v - c)²/(2 a v) each.
#[test]
fn a_corner_is_taken_at_the_speed_of_its_inner_circle() {
    let known = [(90.0, 7.7689), (120.0, 12.7123), (150.0, 26.6213), (170.0, 80.8998)];
    for (q, corner) in known {
        let turn = PI - f64::to_radians(q);
        let end = point3(300.0 + 300.0 * turn.cos(), 300.0 * turn.sin(), 0.0);
        // Axes strong enough that only the corner's own acceleration counts: along the inner
        // bisector, which every axis limit of 500 allows more of; so the path is turned until it is x.
        let tilt = turn / 2.0 + PI / 2.0;
        let turned = |p: Point3| {
            let flat = p.xy().rotated(-tilt);
            point3(flat.x, flat.y, 0.0)
        };
        let limits = Limits { acceleration: [500.0, 1e9, 1e9], ..EVEN };
        let legs = [
            Move::Line { to: turned(point3(300.0, 0.0, 0.0)), feed: 6000.0 },
            Move::Line { to: turned(end), feed: 6000.0 },
        ];
        // Along a leg only x is weak: the acceleration there is 500 over the share of x.
        let along = 500.0 / (turn / 2.0).sin();
        let v = 100.0;
        let each = (300.0 - (2.0 * v * v - corner * corner) / (2.0 * along)) / v
            + (2.0 * v - corner) / along;
        near(total(&legs, &limits), 2.0 * each, 1e-6);
    }
}

/// At 1200 mm/min (20 mm/s), 400 mm/s² and 0.05 mm, by hand: k = 400 / 20 = 20, half the turn has
/// the cosine 20/21 and the tangent sqrt(41)/20, and the circle's radius is 1 mm. So the turn is
/// 35.5 degrees, and the strokes must be sqrt(41)/10 = 0.640 mm long.
#[test]
fn the_greatest_turn_without_slowing_by_hand() {
    let limits = Limits {
        rapid: [8000.0; 3],
        feed: [6000.0; 3],
        acceleration: [800.0, 900.0, 400.0],
        corner_tolerance: 0.05,
    };
    let turn = free_turn(1200.0, &limits);
    near(turn.angle, 2.0 * (20.0_f64 / 21.0).acos(), 1e-12);
    near(turn.angle.to_degrees(), 35.506, 1e-3);
    near(turn.side, 41.0_f64.sqrt() / 10.0, 1e-12);
    // Without leave to round a corner there is none.
    near(free_turn(1200.0, &Limits { corner_tolerance: 0.0, ..limits }).angle, 0.0, 0.0);
}

/// The played times know nothing of that formula: a turn just below it costs nothing, one just
/// above it does, and so does one between strokes just too short.
#[test]
fn a_turn_is_free_up_to_the_angle_and_down_to_the_length_told() {
    let limits = Limits {
        rapid: [8000.0; 3],
        feed: [6000.0; 3],
        acceleration: [400.0; 3],
        corner_tolerance: 0.05,
    };
    let turn = free_turn(1200.0, &limits);
    // The same zigzag up and down and, to compare, as one straight line; the ways to speed are
    // 0.5 mm, in the x direction alone.
    let loss = |angle: f64, side: f64| {
        let (lead, half) = (50.0, angle / 2.0);
        let mut moves = vec![line(lead * half.cos(), 0.0, lead * half.sin(), 1200.0)];
        let mut at = [lead * half.cos(), lead * half.sin()];
        for k in 0..21 {
            let way = if k % 2 == 0 { -half } else { half };
            let long = if k == 20 { lead } else { side };
            at = [at[0] + long * way.cos(), at[1] + long * way.sin()];
            moves.push(line(at[0], 0.0, at[1], 1200.0));
        }
        let seconds = times(Point3::default(), &moves, &limits);
        // Strokes between the first and the last, at their feed.
        let asked = 20.0 * side / 20.0;
        seconds[1..21].iter().sum::<f64>() / asked - 1.0
    };
    // The push at a corner of the zigzag is along z, up to a straight upright.
    assert!(loss(turn.angle * 0.999, turn.side * 1.001).abs() < 1e-9);
    assert!(loss(turn.angle * 1.02, turn.side * 3.0) > 1e-4);
    assert!(loss(turn.angle * 0.999, turn.side * 0.95) > 1e-4);
}

#[test]
fn a_reversal_is_a_stop_and_a_straight_joint_is_none() {
    let there = total(&[line(50.0, 0.0, 0.0, 6000.0)], &EVEN);
    let back = total(&[line(50.0, 0.0, 0.0, 6000.0), line(0.0, 0.0, 0.0, 6000.0)], &EVEN);
    near(back, 2.0 * there, 1e-12);
    let on = total(&[line(50.0, 0.0, 0.0, 6000.0), line(100.0, 0.0, 0.0, 6000.0)], &EVEN);
    near(on, 1.2, 1e-9);
}

/// On a circle v² <= a R (closed form): R 8, a 500 gives 63.2456 mm/s.
#[test]
fn a_circle_is_no_faster_than_its_radius_allows() {
    let arc = Arc { plane: Plane::Xy, center: point(8.0, 0.0), sweep: TAU };
    let circle = Move::Arc { to: Point3::default(), arc, feed: 6000.0 };
    let (v, length) = (f64::sqrt(4000.0), TAU * 8.0);
    near(total(&[circle], &EVEN), length / v + v / 500.0, 1e-9);
}

/// The same circle in short chords must not be driven faster than the circle: the corner's
/// circle has to fit between the chords' middles.
#[test]
fn chords_of_a_circle_take_as_long_as_the_circle() {
    let n = 400;
    let chords: Vec<Move> = (1..=n)
        .map(|i| {
            let a = TAU * f64::from(i) / f64::from(n);
            line(8.0 - 8.0 * a.cos(), -8.0 * a.sin(), 0.0, 6000.0)
        })
        .collect();
    let arc = Arc { plane: Plane::Xy, center: point(8.0, 0.0), sweep: TAU };
    let circle = total(&[Move::Arc { to: Point3::default(), arc, feed: 6000.0 }], &EVEN);
    let found = total(&chords, &EVEN);
    // Between axes a diagonal push is stronger, so chords may gain what two axes give together.
    assert!(found > 0.8 * circle && found < 1.02 * circle, "{found} for {circle}");
}

#[test]
fn each_axis_keeps_its_own_limit() {
    let slow_z = Limits { feed: [6000.0, 6000.0, 600.0], rapid: [6000.0, 6000.0, 1200.0], ..EVEN };
    // 10 mm/s down 100 mm: 10 s and v/a = 0.02 s.
    near(total(&[line(0.0, 0.0, -100.0, 6000.0)], &slow_z), 10.02, 1e-9);
    near(total(&[Move::Traverse { to: point3(0.0, 0.0, 100.0) }], &slow_z), 5.04, 1e-9);
    // 3-4-5: z has 0.6 of the way, so 10/0.6 mm/s along 50 mm.
    let v = 10.0 / 0.6;
    let a = 500.0 / 0.8;
    near(total(&[line(40.0, 0.0, 30.0, 6000.0)], &slow_z), 50.0 / v + v / a, 1e-9);
}

#[test]
fn waiting_takes_its_own_time_and_stops_the_machine() {
    let half = line(50.0, 0.0, 0.0, 6000.0);
    let all = [
        half,
        Move::Dwell { seconds: 2.5 },
        Move::SpindleStart { direction: Direction::Clockwise, rpm: 18_000.0 },
        line(50.0, 0.0, 0.0, 6000.0),
        line(100.0, 0.0, 0.0, 6000.0),
        Move::SpindleStop,
        Move::CutterChange { cutter: 2 },
    ];
    let found = times(Point3::default(), &all, &EVEN);
    let each = 50.0 / 100.0 + 100.0 / 500.0;
    assert_eq!(found.len(), all.len());
    near(found[0], each, 1e-12);
    assert_eq!(found[1], 2.5);
    assert_eq!(found[2], 0.0);
    assert_eq!(found[3], 0.0, "a move to where it stands");
    near(found[4], each, 1e-12);
    assert_eq!((found[5], found[6]), (0.0, 0.0));
}

fn any_limits() -> impl Strategy<Value = Limits> {
    let three = |low: f64, high: f64| [low..high, low..high, low..high];
    (three(500.0, 20_000.0), three(300.0, 9000.0), three(50.0, 3000.0), 0.0..0.5).prop_map(
        |(rapid, feed, acceleration, corner_tolerance)| Limits {
            rapid,
            feed,
            acceleration,
            corner_tolerance,
        },
    )
}

fn any_moves() -> impl Strategy<Value = Vec<Move>> {
    let to = || (-200.0..200.0, -200.0..200.0, -20.0..20.0);
    let one = (to(), 100.0..6000.0, 0..4_u8, -6.0..6.0_f64);
    prop::collection::vec(one, 1..40).prop_map(|all| {
        let mut at = Point3::default();
        let mut moves = Vec::new();
        for ((x, y, z), feed, kind, sweep) in all {
            let action = match kind {
                0 => Move::Traverse { to: point3(x, y, z) },
                1 => {
                    // About a centre near by, by any sweep.
                    let center = point(at.x + x / 10.0, at.y + y / 10.0);
                    let end = center + (at.xy() - center).rotated(sweep);
                    let arc = Arc { plane: Plane::Xy, center, sweep };
                    Move::Arc { to: end.at(z), arc, feed }
                }
                _ => line(x, y, z, feed),
            };
            at = action.target().unwrap_or(at);
            moves.push(action);
        }
        moves
    })
}

proptest! {
    #[test]
    fn no_cut_is_faster_than_its_feed(moves in any_moves(), limits in any_limits()) {
        let found = times(Point3::default(), &moves, &limits);
        let mut at = Point3::default();
        for (action, seconds) in moves.iter().zip(found) {
            let length = action.stroke(at).map_or(0.0, |s| s.length());
            at = action.target().unwrap_or(at);
            prop_assert!(seconds.is_finite());
            if let Some(feed) = action.feed() {
                prop_assert!(seconds >= length / feed * 60.0 * (1.0 - 1e-9));
            }
        }
    }

    #[test]
    fn more_acceleration_is_never_slower(
        moves in any_moves(),
        limits in any_limits(),
        more in 1.0..10.0,
    ) {
        let stronger = Limits { acceleration: limits.acceleration.map(|a| a * more), ..limits };
        prop_assert!(total(&moves, &stronger) <= total(&moves, &limits) * (1.0 + 1e-9));
    }

    #[test]
    fn a_line_in_two_halves_takes_the_same_time(
        before in any_moves(),
        (x, y, z) in (-200.0..200.0, -200.0..200.0, -20.0..20.0),
        share in 0.05..0.95,
        feed in 100.0..6000.0,
        after in any_moves(),
        limits in any_limits(),
    ) {
        let at = before.iter().rev().find_map(Move::target).unwrap_or_default();
        let to = point3(x, y, z);
        let middle = at + (to - at) * share;
        // What comes after starts with a line, so that no arc starts at another point.
        let tail = || after.iter().filter(|m| !matches!(m, Move::Arc { .. })).copied();
        let head = || before.iter().copied();
        let end = Move::Line { to, feed };
        let first = Move::Line { to: middle, feed };
        let whole: Vec<Move> = head().chain([end]).chain(tail()).collect();
        let halves: Vec<Move> = head().chain([first, end]).chain(tail()).collect();
        let (one, two) = (total(&whole, &limits), total(&halves, &limits));
        prop_assert!((one - two).abs() <= 1e-9 * one.max(1.0), "{} and {}", one, two);
    }
}
