//! What no file may overrule: the lengths of a cutter and the limits of a machine.

use super::{Cutter, Machine, Overrides};
use crate::diagnostic::Diagnostic;
use crate::units::{Shown, feed};

/// Steeper than this a ramp is a plunge in all but name, degrees (common practice).
const STEEPEST_RAMP: f64 = 30.0;
/// Thickest chip that may be asked for, mm: three times the thickest of the published chart.
const THICKEST_CHIP: f64 = 2.0;

/// Bounds of the figures that a file may ask for.
#[derive(Clone, Copy, Debug)]
pub(super) struct HardLimits {
    /// Longest edges, mm, and whose they are.
    flutes: f64,
    /// Widest cutter, mm.
    diameter: f64,
    /// Slowest and fastest turns per minute.
    rpm: (f64, f64),
    /// Fastest feed in the plane, mm/min.
    feed: f64,
    /// Fastest feed straight down, mm/min.
    plunge: f64,
}

impl HardLimits {
    /// Bounds for one cutter on a machine.
    pub(super) fn of(machine: &Machine, cutter: &Cutter) -> HardLimits {
        HardLimits {
            flutes: cutter.flute_length.0,
            diameter: cutter.diameter.0,
            rpm: (machine.spindle.slowest(), machine.spindle.fastest().min(cutter.max_rpm)),
            feed: machine.plane_feed(),
            plunge: machine.max_feed[2].0,
        }
    }

    /// Bounds for a figure that stands for many cutters: what the largest of them may do. Each
    /// cutter's own bounds then hold it back.
    pub(super) fn of_all(machine: &Machine, cutters: &[Cutter]) -> HardLimits {
        let most = |of: fn(&Cutter) -> f64| cutters.iter().map(of).fold(0.0, f64::max);
        HardLimits {
            flutes: most(|c| c.flute_length.0),
            diameter: most(|c| c.diameter.0),
            rpm: (machine.spindle.slowest(), machine.spindle.fastest().min(most(|c| c.max_rpm))),
            feed: machine.plane_feed(),
            plunge: machine.max_feed[2].0,
        }
    }

    /// What is asked for beyond the bounds; keys are the overrides' names. `whose` names the
    /// cutter or cutters.
    pub(super) fn problems(&self, asked: &Overrides, whose: &str, shown: Shown) -> Vec<Diagnostic> {
        let mut found = Vec::new();
        let mut check =
            |name: &str, value: Option<f64>, most: f64, say: &dyn Fn(f64) -> String, why: &str| {
                let Some(value) = value else { return };
                let message = match value > 0.0 {
                    true if value <= most * (1.0 + 1e-9) => return,
                    true => format!("{} is more than {why}", say(value)),
                    false => format!("{} is not more than zero", say(value)),
                };
                let help = format!("at most {}; leave it out to take the table's", say(most));
                found.push(Diagnostic::error(message).key(name).help(help));
            };
        let length = |mm: f64| shown.both(mm);
        let per_minute = |value: f64| feed(value, shown.unit);
        let degrees = |value: f64| format!("{:.1} degrees", value.to_degrees());
        let flutes = format!("the flute length of {whose}");
        check("stepdown", asked.stepdown.map(|l| l.0), self.flutes, &length, &flutes);
        let width = format!("the diameter of {whose}");
        check("stepover", asked.stepover.map(|l| l.0), self.diameter, &length, &width);
        let thick = "any published chip load";
        check("chip-load", asked.chip_load.map(|l| l.0), THICKEST_CHIP, &length, thick);
        let plane = "the slower of the x and y axes can feed";
        check("feed", asked.feed.map(|f| f.0), self.feed, &per_minute, plane);
        let down = "the z axis can feed";
        check("plunge", asked.plunge.map(|f| f.0), self.plunge, &per_minute, down);
        let (angle, ramp) = (asked.ramp_angle.map(|a| a.0), "a ramp may be; that is a plunge");
        check("ramp-angle", angle, STEEPEST_RAMP.to_radians(), &degrees, ramp);
        found.extend(asked.rpm.and_then(|rpm| self.rpm_problem(rpm, whose)));
        found
    }

    fn rpm_problem(&self, rpm: f64, whose: &str) -> Option<Diagnostic> {
        let (slowest, fastest) = self.rpm;
        (!(slowest..=fastest).contains(&rpm)).then(|| {
            Diagnostic::error(format!("{rpm} rpm is not possible with {whose} on this spindle"))
                .key("rpm")
                .help(format!("{slowest} to {fastest} rpm"))
        })
    }
}
