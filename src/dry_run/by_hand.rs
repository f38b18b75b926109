//! Changes of cutter that no M6 makes: the operator's, at a stop.

use super::scene::Scene;
use crate::ngc::{Event, What};
use crate::shop::CutterChange;

/// Where cutters are changed by hand: what T named last, and whether the spindle turns.
pub(super) struct ByHand {
    manual: bool,
    selected: Option<u32>,
    turning: bool,
}

impl ByHand {
    pub(super) fn new(scene: &Scene<'_>) -> ByHand {
        let manual = scene.setup.machine.cutter_change == CutterChange::Manual;
        ByHand { manual, selected: None, turning: false }
    }

    /// The change that comes with an event: at a stop, with the spindle still, the operator puts
    /// in what T named since the last change.
    pub(super) fn change(&mut self, event: &Event) -> Option<Event> {
        match event.what {
            What::SpindleStart { .. } => self.turning = true,
            What::SpindleStop => self.turning = false,
            What::CutterSelect { cutter } => self.selected = Some(cutter),
            What::CutterChange { .. } => self.selected = None,
            What::Stop { optional: false } if self.manual && !self.turning => {
                let cutter = self.selected.take()?;
                return Some(Event { what: What::CutterChange { cutter }, ..event.clone() });
            }
            _ => {}
        }
        None
    }
}
