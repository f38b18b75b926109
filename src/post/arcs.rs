//! Arcs that stay legal and true when their numbers are rounded.
//!
//! NISTIR 6556 section 3.5.3.2 refuses an arc whose start and end radius differ by more than
//! 0.002 mm or 0.0002 in, and reads an arc that ends where it starts as a full circle. So
//! every arc is first read back from its rounded numbers. If it breaks the rule or leaves the
//! meant path, its centre is moved; failing that it is halved, until a line serves as well.

use super::dialect::{ArcForm, Dialect};
use super::grid::{Grid, Spot};
use crate::geometry::{Arc, Plane, Point, Stroke, point};
use crate::units::Unit;
use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// How far, in steps of the last decimal, a text may leave the meant path.
pub(super) const ALLOWED: f64 = 1.5;

/// The share of that in an arc's plane: half a step along the axis of a helix and what falls
/// between the samples come on top. The rounding of the ends alone takes up to 0.71.
const IN_PLANE: f64 = 1.35;

/// Of the radius rule, the share that is used: the rest is for the reader's own arithmetic.
const RULE_SHARE: f64 = 0.75;

/// Ends of an arc nearer than this many times the radius rule are too near.
const APART: f64 = 1.5;

/// An arc as good as its ends needs no search for a better centre.
const GOOD: f64 = 1.0;

/// Points compared along an arc of at most half a turn; the difference of two nearly equal
/// arcs is a smooth wave, so few are enough.
const SAMPLES: u32 = 8;

/// Largest turn of an arc in radius form: NISTIR 6556 section 3.5.3.1 warns of 165 to 195 degrees.
pub(super) const RADIUS_SWEEP: f64 = 165.0 / 180.0 * PI;

/// Largest turn of an arc in centre form: half a turn, and what the rounding of its ends adds
/// to the smallest of arcs.
const CENTRE_SWEEP: f64 = 1.5 * PI;

/// Where a line is as good as an arc: sagitta in steps.
const FLAT: f64 = 0.5;

/// A cut of the text.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Written {
    Line(Spot),
    Arc { to: Spot, plane: Plane, counter_clockwise: bool, shape: Shape },
}

/// How an arc's circle is told.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Shape {
    /// From the start to the centre, in the plane's own axes, in steps.
    Centre(i64, i64),
    /// In steps.
    Radius(i64),
}

/// Turns meant arcs into written ones.
pub(super) struct Fitter {
    grid: Grid,
    form: ArcForm,
    helix: bool,
    quadrants: bool,
    largest_sweep: f64,
    /// mm, with the rounding of the chord's ends taken off.
    chord_tolerance: f64,
    /// Largest difference of the radii, in steps.
    rule: f64,
    /// Shortest distance of an arc's ends, in steps: a control that rounds more coarsely must
    /// not take them for one point, and the arc for a full circle.
    apart: f64,
}

impl Fitter {
    pub(super) fn of(dialect: &Dialect) -> Fitter {
        let grid = Grid::of(dialect);
        let rule = match dialect.units {
            Unit::Mm => 0.002,
            Unit::In => 0.0002 * Unit::In.mm(),
        };
        Fitter {
            grid,
            form: dialect.arcs,
            helix: dialect.helix,
            quadrants: dialect.split_at_quadrants,
            largest_sweep: dialect.largest_sweep(),
            // Half the diagonal of a step's square.
            chord_tolerance: dialect.chord_tolerance.0 - 0.71 * dialect.step(),
            rule: grid.steps(rule) * RULE_SHARE,
            apart: grid.steps(rule) * APART,
        }
    }

    /// The cuts that follow `stroke` from the spot `at`, which is its start as it was written.
    pub(super) fn cuts(&self, at: Spot, stroke: &Stroke) -> Vec<Written> {
        let mut run = Run { fitter: self, stroke, at, out: Vec::new() };
        match stroke.arc {
            None => run.line(1.0),
            Some(arc) if self.form == ArcForm::None || (!self.helix && rises(stroke, arc)) => {
                run.chords(0.0, 1.0);
            }
            Some(arc) => {
                let mut from = 0.0;
                for to in self.breaks(stroke, arc) {
                    run.arc(arc, from, to);
                    from = to;
                }
            }
        }
        run.out
    }

    /// Shares of the way at which the arc is broken, its end included.
    fn breaks(&self, stroke: &Stroke, arc: Arc) -> Vec<f64> {
        let sweep = arc.sweep.abs();
        let mut shares = vec![0.0];
        if self.quadrants {
            let first = (arc.plane.split(stroke.from).0 - arc.center).angle();
            let ahead = if arc.sweep > 0.0 { -first } else { first }.rem_euclid(FRAC_PI_2);
            let crossings = (0..=4).map(|n| (ahead + f64::from(n) * FRAC_PI_2) / sweep);
            // Not for a crossing right at an end.
            shares.extend(crossings.filter(|s| *s > 1e-9 && *s < 1.0 - 1e-9));
        }
        shares.push(1.0);
        let mut all = Vec::new();
        for pair in shares.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            // A half circle's own rounding must not make three parts of two.
            let parts = ((b - a) * sweep / self.largest_sweep - 1e-9).ceil().max(1.0);
            // At most a turn in parts of a degree.
            let parts = parts as u32;
            all.extend((1..parts).map(|i| a + (b - a) * f64::from(i) / f64::from(parts)));
            all.push(b);
        }
        all
    }
}

fn rises(stroke: &Stroke, arc: Arc) -> bool {
    arc.plane.split(stroke.from).1 != arc.plane.split(stroke.to).1
}

/// The writing of one stroke.
struct Run<'a> {
    fitter: &'a Fitter,
    stroke: &'a Stroke,
    at: Spot,
    out: Vec<Written>,
}

impl Run<'_> {
    fn spot(&self, share: f64) -> Spot {
        self.fitter.grid.spot(self.stroke.at(share))
    }

    fn line(&mut self, share: f64) {
        let to = self.spot(share);
        if to != self.at {
            self.out.push(Written::Line(to));
            self.at = to;
        }
    }

    fn chords(&mut self, from: f64, to: f64) {
        let part = part(self.stroke, from, to);
        let n = part.chords(self.fitter.chord_tolerance);
        for i in 1..=n {
            self.line(from + (to - from) * i as f64 / n as f64);
        }
    }

    /// The part of the arc between two shares: an arc if one fits, a line if that is as good,
    /// else its halves.
    fn arc(&mut self, arc: Arc, from: f64, to: f64) {
        let end = self.spot(to);
        let meant = Meant::of(self, arc, from, to);
        let shape = meant.shape(self.fitter, end.split(arc.plane).0 - self.at.split(arc.plane).0);
        if let Some(shape) = shape {
            let counter_clockwise = arc.sweep > 0.0;
            self.out.push(Written::Arc { to: end, plane: arc.plane, counter_clockwise, shape });
            self.at = end;
        } else if meant.sagitta() <= FLAT {
            self.line(to);
        } else {
            let middle = (from + to) / 2.0;
            self.arc(arc, from, middle);
            self.arc(arc, middle, to);
        }
    }
}

fn part(stroke: &Stroke, from: f64, to: f64) -> Stroke {
    Stroke {
        from: stroke.at(from),
        to: stroke.at(to),
        arc: stroke.arc.map(|a| Arc { sweep: a.sweep * (to - from), ..a }),
    }
}

/// A meant arc in its plane, in steps from the written start.
struct Meant {
    center: Point,
    points: Vec<Point>,
    radius: f64,
    sweep: f64,
}

impl Meant {
    fn of(run: &Run<'_>, arc: Arc, from: f64, to: f64) -> Meant {
        let grid = run.fitter.grid;
        let start = run.at.split(arc.plane).0;
        let flat = |share: f64| {
            let share = from + (to - from) * share;
            grid.steps2(arc.plane.split(run.stroke.at(share)).0) - start
        };
        let points: Vec<Point> =
            (0..=SAMPLES).map(|i| flat(f64::from(i) / f64::from(SAMPLES))).collect();
        let center = grid.steps2(arc.center) - start;
        let radius = points[0].distance(center);
        Meant { center, points, radius, sweep: arc.sweep * (to - from) }
    }

    fn sagitta(&self) -> f64 {
        // Twice the square of a sine: exact for small sweeps, where 1 - cos is not.
        2.0 * self.radius * (self.sweep / 4.0).sin().powi(2)
    }

    /// The rounded circle that follows the arc best, if one is legal and true; `end` is the
    /// written end.
    fn shape(&self, fitter: &Fitter, end: Point) -> Option<Shape> {
        if end.length() < fitter.apart {
            return None;
        }
        match fitter.form {
            ArcForm::Radius => best(self.radii().map(|r| {
                let center = center_of_radius(end, r as f64, self.sweep)?;
                Some((self.deviation(center, end, RADIUS_SWEEP)?, Shape::Radius(r)))
            })),
            _ => best(self.centers().map(|(i, j)| {
                let center = point(i as f64, j as f64);
                let off = (center.length() - center.distance(end)).abs();
                let legal = off <= fitter.rule && (i, j) != (0, 0);
                let deviation =
                    if legal { self.deviation(center, end, CENTRE_SWEEP)? } else { return None };
                Some((deviation, Shape::Centre(i, j)))
            })),
        }
    }

    /// Rounded radii near the meant one, nearest first.
    fn radii(&self) -> impl Iterator<Item = i64> {
        let r = self.radius.round() as i64;
        [0, 1, -1, 2, -2].into_iter().map(move |d| r + d).filter(|r| *r > 0)
    }

    /// Rounded centres near the meant one, nearest ring first.
    fn centers(&self) -> impl Iterator<Item = (i64, i64)> {
        let (i, j) = (self.center.x.round() as i64, self.center.y.round() as i64);
        (0..=2_i64).flat_map(move |ring| {
            (-ring..=ring).flat_map(move |di| {
                (-ring..=ring)
                    .filter(move |dj| di.abs().max(dj.abs()) == ring)
                    .map(move |dj| (i + di, j + dj))
            })
        })
    }

    /// How far the arc from the origin to `end` about `center`, as a reader builds it, leaves
    /// the meant one; `None` if it could be read as the long way round, or turns by more than
    /// `largest`.
    fn deviation(&self, center: Point, end: Point, largest: f64) -> Option<f64> {
        let (a, b) = (-center, end - center);
        let turn = a.cross(b).atan2(a.dot(b)) * self.sweep.signum();
        // A half turn's rounding may fall on either side of the cut of the arctangent.
        let turn = if turn < -FRAC_PI_2 { turn + TAU } else { turn };
        // An arc that moves mostly along its radius turns by next to nothing: rounding in the
        // reader could make it a full circle.
        if turn <= 0.0 || turn > largest || turn * a.length() < end.length() / 2.0 {
            return None;
        }
        let (r0, r1) = (a.length(), b.length());
        let first = a.angle();
        let worst = self.points.iter().enumerate().map(|(i, meant)| {
            let share = i as f64 / f64::from(SAMPLES);
            let angle = first + turn * self.sweep.signum() * share;
            (center + Point::polar(r0 + (r1 - r0) * share, angle)).distance(*meant)
        });
        Some(worst.fold(0.0, f64::max))
    }
}

/// The best of the candidates within what is allowed; the first good one ends the search.
fn best(candidates: impl Iterator<Item = Option<(f64, Shape)>>) -> Option<Shape> {
    let mut best: Option<(f64, Shape)> = None;
    for (deviation, shape) in candidates.flatten() {
        if deviation <= GOOD {
            return Some(shape);
        }
        if deviation <= IN_PLANE && best.is_none_or(|(least, _)| deviation < least) {
            best = Some((deviation, shape));
        }
    }
    best.map(|(_, shape)| shape)
}

/// The centre that a reader takes for an arc of at most half a turn from the origin to `end`.
fn center_of_radius(end: Point, radius: f64, sweep: f64) -> Option<Point> {
    let half = end.length() / 2.0;
    let square = (radius - half) * (radius + half);
    if square < 0.0 {
        return None;
    }
    Some(end * 0.5 + end.left().unit()? * (square.sqrt() * sweep.signum()))
}
