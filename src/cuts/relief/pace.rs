//! How much of the feed that was asked a machine can keep on passes of short strokes.

use crate::geometry::Point3;
use crate::shop::Machine;
use crate::toolpath::{FreeTurn, Limits, Move, Purpose, Toolpath, free_turn, times};
use crate::units::{Shown, feed as feed_shown};

/// Seconds that the cutting strokes of a cut take.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Pace {
    /// If each ran at its feed from end to end.
    pub asked: f64,
    /// On the machine, which slows down for turns and speeds up again.
    pub taken: f64,
}

impl Pace {
    /// Of the strokes of a cut that are no entries and no travel; all moves are played, for one
    /// stroke's speed depends on its neighbours.
    pub(super) fn of(toolpath: &Toolpath, machine: &Machine) -> Pace {
        let moves: Vec<Move> = toolpath.steps.iter().map(|s| s.action).collect();
        let seconds = times(Point3::default(), &moves, &Limits::from(machine));
        let mut pace = Pace::default();
        let mut at = Point3::default();
        for (step, taken) in toolpath.steps.iter().zip(seconds) {
            let Some(stroke) = step.action.stroke(at) else { continue };
            at = stroke.to;
            let cuts = matches!(step.purpose, Purpose::Rough | Purpose::Finish);
            if let Some(feed) = step.action.feed().filter(|f| cuts && *f > 0.0) {
                pace.asked += stroke.length() / feed * 60.0;
                pace.taken += taken;
            }
        }
        pace
    }

    /// Which share of the time goes into slowing down and speeding up, from 0 to 1.
    #[must_use]
    pub fn lost(&self) -> f64 {
        if self.taken > 0.0 { (1.0 - self.asked / self.taken).clamp(0.0, 1.0) } else { 0.0 }
    }
}

/// What holds the feed of a finish, in words: which turns and strokes cost nothing, and the
/// share of time that the others cost.
pub(super) fn told(pace: &Pace, feed: f64, machine: &Machine, shown: Shown) -> String {
    let FreeTurn { angle, side } = free_turn(feed, &Limits::from(machine));
    format!(
        "this machine keeps the feed of {} through turns of up to {:.1} degrees between strokes of {} or more: its acceleration, and the {} by which it may round a corner, allow no more; sharper turns and shorter strokes take {:.0} % of these passes' time",
        feed_shown(feed, shown.unit),
        angle.to_degrees(),
        shown.measured(side),
        shown.measured(machine.corner_tolerance.0),
        100.0 * pace.lost()
    )
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::geometry::point3;
    use crate::shop::Shop;

    /// To and fro along x, `count` times, at 6000 mm/min.
    fn to_and_fro(length: f64, count: usize) -> Toolpath {
        let mut toolpath = Toolpath::default();
        toolpath.push(Purpose::Travel, Move::Traverse { to: point3(0.0, 0.0, 0.0) });
        for k in 0..count {
            let x = if k % 2 == 0 { length } else { 0.0 };
            let to = point3(x, 0.0, 0.0);
            toolpath.push(Purpose::Finish, Move::Line { to, feed: 6000.0 });
        }
        toolpath
    }

    fn machine() -> Machine {
        let mut machine = Shop::built_in().unwrap().machine;
        machine.max_feed[0].0 = 6000.0;
        machine.acceleration[0].0 = 400.0;
        machine
    }

    /// From rest to rest over L, too short for the feed: 2 sqrt(L / a) (closed form).
    #[test]
    fn short_strokes_between_full_turns_take_what_the_acceleration_allows() {
        let pace = Pace::of(&to_and_fro(1.0, 10), &machine());
        assert!((pace.asked - 10.0 * 0.01).abs() < 1e-9, "{pace:?}");
        assert!((pace.taken - 10.0 * 2.0 * (1.0_f64 / 400.0).sqrt()).abs() < 1e-6, "{pace:?}");
        assert!((pace.lost() - 0.9).abs() < 1e-6, "{pace:?}");
    }

    /// A long way at 100 mm/s and 400 mm/s² loses v / a = 0.25 s (closed form).
    #[test]
    fn a_long_stroke_loses_only_its_ends() {
        let pace = Pace::of(&to_and_fro(1000.0, 1), &machine());
        assert!((pace.asked - 10.0).abs() < 1e-9 && (pace.taken - 10.25).abs() < 1e-6, "{pace:?}");
    }
}
