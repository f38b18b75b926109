//! How much of its rim the cutter has in the wood, and a slower feed where that is too much.
//!
//! A straight pass of width s engages acos(1 - s / r) (closed form): the nominal angle.

use super::Before;
use super::cleared::{APART, Cleared, SKIN};
use crate::geometry::{Arc, Point, Stroke};
use crate::toolpath::{Move, Purpose, Step, Toolpath};
use std::f64::consts::PI;

/// The feed is chosen anew after this share of the radius.
const CHOICE: f64 = 1.0;

/// Angles above the nominal by more than this factor are eased.
const BOUND: f64 = 1.2;

/// Never slower than this share of the feed: a cutter that rubs burns the wood (common practice).
const SLOWEST: f64 = 0.5;

/// Feeds are eased in steps of a tenth, so that programs stay short.
const STEPS: f64 = 10.0;

/// What was met while clearing after the cutter went in.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(in crate::cuts) struct Engagement {
    /// The angle of a straight pass as wide as the stepover, radians.
    pub nominal: f64,
    /// The greatest met, radians.
    pub greatest: f64,
    /// Where the cutter's middle was.
    pub at: Point,
    /// Length of way on which more than 1.2 times the nominal was met, mm.
    pub above: f64,
    /// Length of way in the wood, mm.
    pub length: f64,
    /// Length of way on which whole wood was opened, at the depth of a level, mm.
    pub opened: f64,
}

/// What the cutter meets.
#[derive(Clone, Copy, Debug)]
pub(super) struct Meets<'a> {
    /// Its radius.
    pub radius: f64,
    /// Width of a pass.
    pub stepover: f64,
    /// Height of the wood.
    pub top: f64,
    /// What the cutter before has cleared, to the floor.
    pub before: Before<'a>,
}

impl Meets<'_> {
    /// Measures every cutting move of `path`, which starts in whole wood, and eases the feed where
    /// more than 1.2 times the nominal angle is met, so that no more wood is taken in a time than
    /// there. Moves are split where the feed changes.
    ///
    /// The first `counted` steps make up what is told; all are eased.
    pub(super) fn ease(&self, path: &mut Toolpath, counted: usize) -> Engagement {
        let mut cleared = Cleared::new(self.radius, self.before);
        let mut met =
            Engagement { nominal: nominal(self.stepover, self.radius), ..Engagement::default() };
        let mut steps = Vec::with_capacity(path.steps.len());
        let mut at = None;
        let mut told = None;
        for (i, step) in path.steps.iter().enumerate() {
            if i == counted {
                told = Some(met);
            }
            let stroke = at.and_then(|from| step.action.stroke(from));
            at = step.action.target().or(at);
            match (stroke, step.action.feed()) {
                (Some(stroke), Some(feed)) => {
                    self.stroke(&mut cleared, &mut met, &mut steps, step, &stroke, feed);
                }
                _ => steps.push(step.clone()),
            }
        }
        path.steps = steps;
        told.unwrap_or(met)
    }

    fn stroke(
        &self,
        cleared: &mut Cleared<'_>,
        met: &mut Engagement,
        steps: &mut Vec<Step>,
        step: &Step,
        stroke: &Stroke,
        feed: f64,
    ) {
        let length = stroke.length();
        let flat = stroke.from.xy().distance(stroke.to.xy()) > 1e-9 || stroke.arc.is_some();
        if !flat || stroke.from.z.min(stroke.to.z) > self.top - SKIN {
            steps.push(step.clone());
            cleared.add(stroke.to.xy(), stroke.to.z);
            return;
        }
        // Counts of millimetres along one stroke.
        let choices = (length / (CHOICE * self.radius)).ceil().max(1.0) as usize;
        let looks = (length / choices as f64 / (APART * self.radius)).ceil().max(1.0) as usize;
        // Ways down have their own feed.
        let level = (stroke.from.z - stroke.to.z).abs() < SKIN;
        let mut runs: Vec<(usize, f64)> = Vec::new();
        for choice in 0..choices {
            let mut worst = 0.0_f64;
            for look in 1..=looks {
                let share = (choice * looks + look) as f64 / (choices * looks) as f64;
                let (p, along) = (stroke.at(share), stroke.direction(share).xy().angle());
                let angle = cleared.angle(p.xy(), p.z, along);
                cleared.add(p.xy(), p.z);
                worst = worst.max(angle);
                let part = length / (choices * looks) as f64;
                match step.purpose {
                    Purpose::Entry if level && angle > 0.0 => met.opened += part,
                    Purpose::Entry => {}
                    _ => met.take(angle, p.xy(), part),
                }
            }
            let share = if level { eased(met.nominal, worst) } else { 1.0 };
            match runs.last_mut() {
                Some((end, last)) if *last == share => *end = choice + 1,
                _ => runs.push((choice + 1, share)),
            }
        }
        let mut from = 0.0;
        for (end, share) in runs {
            let to = end as f64 / choices as f64;
            let action = part(stroke, (from, to), feed * share);
            steps.push(Step { action, purpose: step.purpose });
            from = to;
        }
    }
}

impl Engagement {
    fn take(&mut self, angle: f64, at: Point, length: f64) {
        if angle > 0.0 {
            self.length += length;
        }
        if angle > BOUND * self.nominal {
            self.above += length;
        }
        if angle > self.greatest {
            (self.greatest, self.at) = (angle, at);
        }
    }
}

/// The angle that a straight pass of width `stepover` engages.
pub(super) fn nominal(stepover: f64, radius: f64) -> f64 {
    (1.0 - stepover / radius).clamp(-1.0, 1.0).acos()
}

/// Share of the feed at an engaged angle: width times feed stays that of the bound.
fn eased(nominal: f64, angle: f64) -> f64 {
    let most = (BOUND * nominal).min(PI);
    if angle <= most {
        return 1.0;
    }
    let share = (1.0 - most.cos()) / (1.0 - angle.cos());
    ((share * STEPS).floor() / STEPS).max(SLOWEST)
}

/// The part of a stroke between two shares of its way, as a move.
fn part(stroke: &Stroke, (from, to): (f64, f64), feed: f64) -> Move {
    let end = if to >= 1.0 { stroke.to } else { stroke.at(to) };
    match stroke.arc {
        Some(arc) => {
            Move::Arc { to: end, arc: Arc { sweep: arc.sweep * (to - from), ..arc }, feed }
        }
        None => Move::Line { to: end, feed },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Plane, Point3, point, point3};

    const RADIUS: f64 = 3.0;
    const FEED: f64 = 1000.0;
    const NOTHING: Before<'static> = Before { centres: &[], radius: 0.0, stock: None };

    fn meets(stepover: f64) -> Meets<'static> {
        Meets { radius: RADIUS, stepover, top: 0.0, before: NOTHING }
    }

    fn path(points: &[Point3]) -> Toolpath {
        let mut path = Toolpath::default();
        path.push(Purpose::Travel, Move::Traverse { to: points[0] });
        for &to in &points[1..] {
            path.push(Purpose::Rough, Move::Line { to, feed: FEED });
        }
        path
    }

    #[test]
    fn a_slot_engages_half_the_rim_and_is_eased() {
        let mut slot = path(&[point3(0.0, 0.0, -2.0), point3(50.0, 0.0, -2.0)]);
        let met = meets(RADIUS).ease(&mut slot, usize::MAX);
        assert!((met.greatest - PI).abs() < 0.1, "{met:?}");
        assert!(slot.steps.iter().filter_map(|s| s.action.feed()).all(|f| f < 0.7 * FEED));
        assert_eq!(slot.end(), Some(point3(50.0, 0.0, -2.0)));
    }

    #[test]
    fn a_pass_beside_another_keeps_its_full_feed() {
        for stepover in [0.3, 1.0, 2.0, 3.0, 4.5] {
            // The slot runs on beyond both ends of the pass.
            let there = point3(70.0, 0.0, -2.0);
            let beside = [point3(0.0, -stepover, -2.0), point3(60.0, -stepover, -2.0)];
            let mut both = path(&[point3(-10.0, 0.0, -2.0), there]);
            both.push(Purpose::Travel, Move::Traverse { to: there.xy().at(5.0) });
            both.push(Purpose::Travel, Move::Traverse { to: beside[0].xy().at(5.0) });
            both.push(Purpose::Entry, Move::Line { to: beside[0], feed: 100.0 });
            both.push(Purpose::Rough, Move::Line { to: beside[1], feed: FEED });
            meets(stepover).ease(&mut both, usize::MAX);
            assert_eq!(both.steps.last().and_then(|s| s.action.feed()), Some(FEED));
        }
    }

    #[test]
    fn a_split_arc_ends_where_it_did_and_turns_as_far() {
        let arc = Arc { plane: Plane::Xy, center: point(0.0, 0.0), sweep: 2.0 };
        let to = Point::polar(20.0, 2.0).at(-2.0);
        let mut round = path(&[point3(20.0, 0.0, -2.0)]);
        round.push(Purpose::Rough, Move::Arc { to, arc, feed: FEED });
        // Half of it was cut before.
        let mut whole = round.clone();
        whole.steps.insert(
            1,
            Step {
                purpose: Purpose::Rough,
                action: Move::Arc {
                    to: Point::polar(20.0, 1.0).at(-2.0),
                    arc: Arc { sweep: 1.0, ..arc },
                    feed: FEED,
                },
            },
        );
        whole.steps.insert(
            2,
            Step {
                purpose: Purpose::Travel,
                action: Move::Traverse { to: point3(20.0, 0.0, -2.0) },
            },
        );
        meets(1.0).ease(&mut whole, usize::MAX);
        let swept = |path: &Toolpath| -> f64 {
            path.strokes().filter_map(|(s, _)| s.arc).map(|a| a.sweep).sum()
        };
        assert!((swept(&whole) - 3.0).abs() < 1e-12);
        assert_eq!(whole.end(), Some(to));
        let feeds: Vec<f64> = whole.steps.iter().filter_map(|s| s.action.feed()).collect();
        assert!(feeds.len() > 2 && feeds.contains(&FEED), "{feeds:?}");
    }
}
