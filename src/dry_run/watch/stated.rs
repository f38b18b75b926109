//! What a program must say before it moves: units, distance mode, plane, feed mode.

use super::{Watch, is_motion, say};
use crate::dry_run::interlock::Interlock;
use crate::dry_run::log::{Log, spot};
use crate::dry_run::progress::Progress;
use crate::ngc::{Event, What};

/// Each is told once, but for every change of units.
#[derive(Default)]
pub(super) struct Stated {
    units: bool,
    inches: Option<bool>,
    distance: bool,
    plane_of_arc: bool,
    plane: bool,
    inverse_time: bool,
}

impl Watch for Stated {
    fn see(&mut self, event: &Event, now: &Progress, log: &mut Log) {
        self.change(event, now, log);
        if !is_motion(event) {
            return;
        }
        let place = now.place();
        let spot = |interlock, kind| spot(interlock, kind, event.line, place);
        if event.state.inches.is_none() && !std::mem::replace(&mut self.units, true) {
            log.refuse(spot(Interlock::UnitsStated, "units"), |_| {
                say(
                    "it moves before units are stated",
                    "write G21 (millimetres) or G20 (inches) before the first motion",
                )
            });
        }
        if event.state.absolute.is_none() && !std::mem::replace(&mut self.distance, true) {
            log.refuse(spot(Interlock::DistanceModeStated, "distance"), |_| {
                say(
                    "it moves before the distance mode is stated",
                    "write G90 before the first motion",
                )
            });
        }
        if event.state.plane.is_none() {
            self.no_plane(event, now, log);
        }
        if let What::Motion(motion) = &event.what
            && motion.feed.is_some()
            && event.state.inverse_time
            && !std::mem::replace(&mut self.inverse_time, true)
        {
            log.caution(spot(Interlock::FeedMode, "inverse"), |_| {
                say(
                    "it cuts in inverse time: feeds are judged as worked out from the length of each stroke",
                    "write feeds per minute, under G94",
                )
            });
        }
    }
}

impl Stated {
    /// Units that are not those of the lines before.
    fn change(&mut self, event: &Event, now: &Progress, log: &mut Log) {
        let Some(inches) = event.state.inches else { return };
        let Some(before) = self.inches.replace(inches).filter(|before| *before != inches) else {
            return;
        };
        log.caution(spot(Interlock::UnitsStated, "changed", event.line, now.place()), |_| {
            let name = |inches: bool| if inches { "inches" } else { "millimetres" };
            let (from, to) = (name(before), name(inches));
            say(
                format!("from here on its numbers are {to}; before they were {from}"),
                "state one unit for the whole program, before its first motion",
            )
        });
    }

    fn no_plane(&mut self, event: &Event, now: &Progress, log: &mut Log) {
        let What::Motion(motion) = &event.what else { return };
        let help = "write G17 before the first motion";
        let spot = |kind| spot(Interlock::PlaneStated, kind, event.line, now.place());
        if motion.stroke.arc.is_some() || motion.cycle {
            if !std::mem::replace(&mut self.plane_of_arc, true) {
                log.refuse(spot("arc"), |_| {
                    say("an arc or cycle runs before its plane is stated", help)
                });
            }
        } else if !std::mem::replace(&mut self.plane, true) {
            log.caution(spot("line"), |_| say("it moves before the plane is stated", help));
        }
    }
}
