//! The watches: each file looks after the interlocks of one subject.

mod clamps;
mod cutters;
mod depth;
mod ending;
mod entry;
mod feeds;
mod heights;
pub(super) mod loose;
mod offsets;
mod part;
mod power;
mod reach;
pub(super) mod slash;
mod spindle;
mod stated;
pub(super) mod surface;
mod tabs;
pub(super) mod text;
mod travel;
mod waits;

use super::log::Log;
use super::progress::Progress;
use super::scene::Scene;
use crate::ngc::{Event, What};

/// Looks at one event at a time and logs what it finds.
pub(super) trait Watch {
    /// One event; `now` is the state before it, with the motion that it makes.
    fn see(&mut self, event: &Event, now: &Progress, log: &mut Log);

    /// After the last.
    fn end(&mut self, _now: &Progress, _log: &mut Log) {}
}

/// All of them.
pub(super) fn all(scene: &Scene) -> Vec<Box<dyn Watch>> {
    vec![
        Box::new(stated::Stated::default()),
        Box::new(offsets::Offsets::default()),
        Box::new(travel::Travel::default()),
        Box::new(heights::Heights::default()),
        Box::new(spindle::Spindle::default()),
        Box::new(feeds::Feeds::default()),
        Box::new(depth::Depth::new(scene)),
        Box::new(entry::Entry),
        Box::new(clamps::Clamps::new(scene)),
        Box::new(cutters::Cutters::default()),
        Box::new(ending::Ending),
        Box::new(reach::Reach::default()),
        Box::new(waits::Waits),
        Box::new(part::Part::new(scene)),
        Box::new(tabs::Tabs::default()),
        Box::new(power::Power),
    ]
}

/// Whether the event moves anything.
fn is_motion(event: &Event) -> bool {
    matches!(event.what, What::Motion(_))
}

/// Message and help.
fn say(message: impl Into<String>, help: impl Into<String>) -> (String, String) {
    (message.into(), help.into())
}
