//! How long moves take on a real machine: trapezoidal speed with a limit for each axis, and
//! corners rounded within a tolerance.
//!
//! The trapezoid is that of L. Biagiotti and C. Melchiorri, Trajectory Planning for Automatic
//! Machines and Robots, Springer 2008, chapter 3; its formulas here are worked in closed form.

use super::Move;
use crate::geometry::{Arc, Point3, Stroke};
use crate::shop::Machine;
use std::f64::consts::{FRAC_PI_2, PI};

/// What a machine can do. Lists of three are x, y, z.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Fastest traverse, mm/min.
    pub rapid: [f64; 3],
    /// Fastest cutting feed, mm/min.
    pub feed: [f64; 3],
    /// Acceleration, mm/s².
    pub acceleration: [f64; 3],
    /// How far the path may leave a corner to keep its speed, mm.
    pub corner_tolerance: f64,
}

impl From<&Machine> for Limits {
    fn from(machine: &Machine) -> Limits {
        Limits {
            rapid: machine.rapid.map(|f| f.0),
            feed: machine.max_feed.map(|f| f.0),
            acceleration: machine.acceleration.map(|a| a.0),
            corner_tolerance: machine.corner_tolerance.0,
        }
    }
}

/// What is not above zero counts as this: slow, and finite.
const SLOWEST: f64 = 1e-9;

/// Cosine above which two directions are one: a millionth of a radian apart.
const STRAIGHT: f64 = 1.0 - 1e-12;

/// Seconds for each move, in order, from rest at `start` to rest at the end. A dwell takes its
/// own time. Spindle and cutter moves take none themselves, but the machine stands still for
/// them. Time and memory grow with the number of moves alone.
///
/// Corners: a circle that leaves a corner by `d` and is tangent to both sides has the radius
/// `d sin(q/2) / (1 - sin(q/2))`, `q` the angle between the reversed way in and the way out
/// (closed form); it also fits within half of either side. On a circle of radius `r` the speed is at
/// most the root of acceleration times `r`.
#[must_use]
pub fn times(start: Point3, moves: &[Move], limits: &Limits) -> Vec<f64> {
    let mut seconds = Vec::with_capacity(moves.len());
    let mut runs: Vec<Leg> = Vec::new();
    let mut at = start;
    for (index, action) in moves.iter().enumerate() {
        seconds.push(0.0);
        match action.stroke(at) {
            Some(stroke) => {
                at = stroke.to;
                runs.extend(Leg::of(index, &stroke, action.feed(), limits));
            }
            None => {
                drive(&mut runs, limits, &mut seconds);
                if let Move::Dwell { seconds: own } = *action {
                    seconds[index] = own.max(0.0);
                }
            }
        }
    }
    drive(&mut runs, limits, &mut seconds);
    seconds
}

/// A turn between two straight strokes that costs no speed.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct FreeTurn {
    /// The change of direction, radians.
    pub angle: f64,
    /// How long both strokes must be at least, mm.
    pub side: f64,
}

/// The greatest turn that a machine takes without slowing at `feed` (mm/min), whichever way it
/// turns: the weakest axis counts.
///
/// From the circle of [`times`], for a turn t and sin(q/2) = cos(t/2): v² = a d c / (1 - c) with
/// c = cos(t/2), so c = k / (1 + k) for k = v² / (a d); and the circle of radius v² / a is tangent
/// to both sides v² / a tan(t/2) from the corner, which is half of a side.
#[must_use]
pub fn free_turn(feed: f64, limits: &Limits) -> FreeTurn {
    let weakest = limits.acceleration.iter().copied().fold(f64::INFINITY, f64::min).max(SLOWEST);
    let radius = (feed / 60.0).powi(2) / weakest;
    let from_corner = limits.corner_tolerance.max(0.0);
    if from_corner <= 0.0 || radius <= 0.0 {
        // Without leave to round corners, or at a standstill, there is no turn to speak of.
        return FreeTurn { angle: 0.0, side: 0.0 };
    }
    let half = (radius / (radius + from_corner)).acos();
    FreeTurn { angle: 2.0 * half, side: 2.0 * radius * half.tan() }
}

/// A move with a length, and what bounds its speed.
struct Leg {
    index: usize,
    length: f64,
    /// mm/s.
    fastest: f64,
    /// mm/s², along the way.
    acceleration: f64,
    way_in: Point3,
    way_out: Point3,
    straight: bool,
}

impl Leg {
    fn of(index: usize, stroke: &Stroke, feed: Option<f64>, limits: &Limits) -> Option<Leg> {
        let length = stroke.length();
        if !(length > 0.0 && length.is_finite()) {
            return None;
        }
        let share = most(stroke);
        let axes = if feed.is_some() { limits.feed } else { limits.rapid };
        let asked = feed.unwrap_or(f64::INFINITY) / 60.0;
        let mut fastest = asked.min(along(axes, share) / 60.0);
        let acceleration = along(limits.acceleration, share).max(SLOWEST);
        if let Some(arc) = stroke.arc {
            fastest = fastest.min(on_circle(stroke, arc, length, limits));
        }
        Some(Leg {
            index,
            length,
            fastest: fastest.max(SLOWEST),
            acceleration,
            way_in: stroke.direction(0.0),
            way_out: stroke.direction(1.0),
            straight: stroke.arc.is_none(),
        })
    }
}

/// The limit along a direction whose axes have these shares (sizes of cosines).
fn along(limits: [f64; 3], share: [f64; 3]) -> f64 {
    let each = limits.iter().zip(share).filter(|(_, s)| *s > 0.0);
    each.map(|(limit, s)| limit / s).fold(f64::INFINITY, f64::min)
}

/// The largest share that each axis has of the way, anywhere along it.
fn most(stroke: &Stroke) -> [f64; 3] {
    let (a, b) = (stroke.direction(0.0), stroke.direction(1.0));
    let Some(arc) = stroke.arc else { return [a.x.abs(), a.y.abs(), a.z.abs()] };
    let (flat, rise) = arc.plane.split(a);
    let (last, _) = arc.plane.split(b);
    let (from, level) = (flat.angle(), flat.length());
    // An axis has its largest share where the way runs along it, else at an end.
    let passes = |axis: f64| {
        let ahead = (axis - from) * arc.sweep.signum();
        ahead.rem_euclid(PI) <= arc.sweep.abs()
    };
    let first = if passes(0.0) { level } else { flat.x.abs().max(last.x.abs()) };
    let second = if passes(FRAC_PI_2) { level } else { flat.y.abs().max(last.y.abs()) };
    let p = arc.plane.join(crate::geometry::point(first, second), rise.abs());
    [p.x, p.y, p.z]
}

/// The fastest speed on a circle or helix: the weaker axis of its plane holds it on its way.
fn on_circle(stroke: &Stroke, arc: Arc, length: f64, limits: &Limits) -> f64 {
    let radius = arc.plane.split(stroke.from).0.distance(arc.center);
    let [x, y, z] = limits.acceleration;
    let (flat, _) = arc.plane.split(crate::geometry::point3(x, y, z));
    let level = radius * arc.sweep.abs() / length;
    (flat.x.min(flat.y).max(SLOWEST) * radius).sqrt() / level
}

/// Times a run of legs from rest to rest, and clears it.
fn drive(legs: &mut Vec<Leg>, limits: &Limits, seconds: &mut [f64]) {
    let n = legs.len();
    // Squares of the speeds at the ends of the legs.
    let mut square = vec![0.0_f64; n + 1];
    let sides = sides(legs);
    for i in 1..n {
        let (a, b) = (&legs[i - 1], &legs[i]);
        let fastest = a.fastest.min(b.fastest).powi(2);
        square[i] = fastest.min(corner(a, b, sides[i - 1].0.min(sides[i].1), limits));
    }
    for i in (0..n).rev() {
        square[i] = square[i].min(square[i + 1] + 2.0 * legs[i].acceleration * legs[i].length);
    }
    for (i, leg) in legs.iter().enumerate() {
        let reach = square[i] + 2.0 * leg.acceleration * leg.length;
        square[i + 1] = square[i + 1].min(reach);
        seconds[leg.index] = trapezoid(leg, square[i], square[i + 1]);
    }
    legs.clear();
}

/// For each leg, how far the way runs straight back from its end, and on from its start: a
/// line in two halves is one side of a corner.
fn sides(legs: &[Leg]) -> Vec<(f64, f64)> {
    let joined = |a: &Leg, b: &Leg| a.straight && b.straight && dot(a.way_out, b.way_in) > STRAIGHT;
    let mut all: Vec<(f64, f64)> = legs.iter().map(|l| (l.length, l.length)).collect();
    for i in 1..legs.len() {
        if joined(&legs[i - 1], &legs[i]) {
            all[i].0 += all[i - 1].0;
        }
    }
    for i in (1..legs.len()).rev() {
        if joined(&legs[i - 1], &legs[i]) {
            all[i - 1].1 += all[i].1;
        }
    }
    all
}

/// Square of the fastest speed through the corner between two legs whose shorter side is `side`.
fn corner(a: &Leg, b: &Leg, side: f64, limits: &Limits) -> f64 {
    let cosine = dot(a.way_out, b.way_in).clamp(-1.0, 1.0);
    if cosine > STRAIGHT {
        return f64::INFINITY;
    }
    // q is the angle between the reversed way in and the way out, so its cosine is the negative.
    let half_sine = ((1.0 + cosine) / 2.0).sqrt();
    let half_cosine = ((1.0 - cosine) / 2.0).sqrt();
    let near = limits.corner_tolerance.max(0.0) * half_sine / (1.0 - half_sine);
    let fits = side / 2.0 * half_sine / half_cosine;
    // The machine is pushed toward the inside of the corner.
    let push = b.way_in - a.way_out;
    let push = push * (1.0 / push.length());
    let share = [push.x.abs(), push.y.abs(), push.z.abs()];
    along(limits.acceleration, share).max(SLOWEST) * near.min(fits)
}

/// Seconds for a leg between the squares of its end speeds, which it can reach.
fn trapezoid(leg: &Leg, first: f64, last: f64) -> f64 {
    let (a, l) = (leg.acceleration, leg.length);
    let peak = (a * l + (first + last) / 2.0).sqrt().min(leg.fastest);
    let (v0, v1) = (first.sqrt().min(peak), last.sqrt().min(peak));
    let ramps = (2.0 * peak * peak - v0 * v0 - v1 * v1) / (2.0 * a);
    ((peak - v0) + (peak - v1)) / a + (l - ramps).max(0.0) / peak
}

fn dot(a: Point3, b: Point3) -> f64 {
    a.x * b.x + a.y * b.y + a.z * b.z
}
