//! Coordinate system, length offset and axis offset against the setup sheet.

use super::{Watch, say};
use crate::dry_run::interlock::Interlock;
use crate::dry_run::log::{Log, spot};
use crate::dry_run::progress::Progress;
use crate::dry_run::setup::LengthOffsets;
use crate::geometry::{EPSILON, Point3};
use crate::ngc::{CoordinateSystem, Event, Motion, Statement, What};

/// The last offsets that were found at fault, so that each is told once.
#[derive(Default)]
pub(super) struct Offsets {
    system: Option<CoordinateSystem>,
    length: Option<Option<u32>>,
    axis: Point3,
    /// A coordinate system was said, or found missing.
    said: bool,
}

/// `G54` to `G59.3`.
fn name(system: CoordinateSystem) -> String {
    match system.0 {
        n @ 1..=6 => format!("G{}", 53 + u32::from(n)),
        n => format!("G59.{}", u32::from(n).saturating_sub(6)),
    }
}

impl Watch for Offsets {
    fn see(&mut self, event: &Event, now: &Progress, log: &mut Log) {
        if let What::Stated(about) = event.what {
            self.stated(about, event, now, log);
        }
        let What::Motion(motion) = &event.what else { return };
        if motion.machine {
            return;
        }
        self.unsaid(event, now, log);
        self.system(event, motion, now, log);
        self.axis(event, motion, now, log);
        if motion.feed.is_some() {
            self.length(event, motion, now, log);
        }
    }
}

impl Offsets {
    /// A G92 is refused where it is said: at an unknown place its offset can not be told.
    fn stated(&mut self, about: Statement, event: &Event, now: &Progress, log: &mut Log) {
        self.said |= about == Statement::System;
        if about == Statement::Origin {
            log.refuse(spot(Interlock::WorkOffset, "zero", event.line, now.place()), |_| {
                say(
                    "it writes the zero of a coordinate system",
                    "touch off the coordinate system instead, and leave out G10 and parameters from 5211 on",
                )
            });
        }
        if about == Statement::AxisOffset {
            log.refuse(spot(Interlock::AxisOffset, "word", event.line, now.place()), |_| {
                say(
                    "G92 gives the place where the cutter stands other numbers, and moves the work zero",
                    "touch off the coordinate system instead, and leave G92 out",
                )
            });
        }
    }

    fn unsaid(&mut self, event: &Event, now: &Progress, log: &mut Log) {
        if std::mem::replace(&mut self.said, true) {
            return;
        }
        let meant = name(now.scene.setup.work_offset);
        log.refuse(spot(Interlock::WorkOffset, "unsaid", event.line, now.place()), |_| {
            say(
                "it moves before a coordinate system is stated",
                format!("write {meant} before the first motion"),
            )
        });
    }

    fn system(&mut self, event: &Event, motion: &Motion, now: &Progress, log: &mut Log) {
        let (found, meant) = (motion.frame.system, now.scene.setup.work_offset);
        if found == meant {
            self.system = None;
        } else if self.system.replace(found) != Some(found) {
            log.refuse(spot(Interlock::WorkOffset, "system", event.line, now.place()), |_| {
                say(
                    format!("it moves under {}, and the setup names {}", name(found), name(meant)),
                    format!("write {} before the first motion, or change the setup", name(meant)),
                )
            });
        }
    }

    fn axis(&mut self, event: &Event, motion: &Motion, now: &Progress, log: &mut Log) {
        let found = motion.frame.axis_offset;
        let changed = found.distance(self.axis) > EPSILON;
        self.axis = found;
        if changed && found.length() > EPSILON {
            log.refuse(spot(Interlock::AxisOffset, "axis", event.line, now.place()), |log| {
                let list = [found.x, found.y, found.z].map(|v| log.mm(v)).join(", ");
                say(
                    format!("G92 has moved the zero by {list} in x, y, z"),
                    "touch off the coordinate system instead, and leave G92 out",
                )
            });
        }
    }

    fn length(&mut self, event: &Event, motion: &Motion, now: &Progress, log: &mut Log) {
        let found = motion.frame.length_offset.filter(|h| *h != 0);
        if self.length == Some(found) {
            return;
        }
        self.length = Some(found);
        let spot = |kind| spot(Interlock::LengthOffset, kind, event.line, now.place());
        match (found, now.scene.setup.length_offsets) {
            (Some(h), _) if Some(h) != now.number => log.refuse(spot("other"), |_| {
                let cutter = now.number.map_or("no cutter".to_string(), |n| format!("cutter {n}"));
                say(
                    format!("length offset H{h} is in force with {cutter} in the spindle"),
                    "write G43 with the cutter's own number after its change",
                )
            }),
            (Some(h), LengthOffsets::TouchedOff) => log.caution(spot("used"), |_| {
                say(
                    format!(
                        "length offset H{h} is in force, and the setup touches each cutter off"
                    ),
                    "leave G43 out, or make sure that the entry is zero",
                )
            }),
            (None, LengthOffsets::ByCutter) => log.refuse(spot("missing"), |_| {
                say(
                    "it cuts without a length offset, and the setup works with a length table",
                    "write G43 H and the cutter's number after its change",
                )
            }),
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn systems_are_named_as_they_are_written() {
        let names = [1, 6, 7, 9].map(|n| name(CoordinateSystem(n)));
        assert_eq!(names, ["G54", "G59", "G59.1", "G59.3"]);
    }
}
