//! Changes of cutter that no M6 makes: the operator's, at a stop.

use crate::ngc::{Event, What};
use crate::shop::{CutterChange, Machine};

/// Where cutters are changed by hand: what T named last, and whether the spindle turns.
pub(super) struct ByHand {
    manual: bool,
    selected: Option<u32>,
    turning: bool,
}

impl ByHand {
    pub(super) fn new(machine: &Machine) -> ByHand {
        let manual = machine.cutter_change == CutterChange::Manual;
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

/// Events and the seconds that each takes, with the operator's changes of cutter put in where
/// they happen; they take no time of the machine.
#[must_use]
pub fn with_changes_by_hand(
    events: &[Event],
    seconds: &[f64],
    machine: &Machine,
) -> (Vec<Event>, Vec<f64>) {
    let mut by_hand = ByHand::new(machine);
    let mut all = (Vec::with_capacity(events.len()), Vec::with_capacity(events.len()));
    for (event, seconds) in events.iter().zip(seconds) {
        let change = by_hand.change(event);
        all.0.push(event.clone());
        all.1.push(*seconds);
        if let Some(change) = change {
            all.0.push(change);
            all.1.push(0.0);
        }
    }
    all
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::ngc::{Options, interpret_all};
    use crate::shop::Shop;

    /// The cutters that are put in, by word or by hand, on a machine where the operator does it.
    fn changes(text: &str) -> Vec<u32> {
        let machine =
            Machine { cutter_change: CutterChange::Manual, ..Shop::built_in().unwrap().machine };
        let (events, _) = interpret_all(text, &Options::default());
        let seconds = vec![1.0; events.len()];
        let (events, seconds) = with_changes_by_hand(&events, &seconds, &machine);
        assert_eq!(events.len(), seconds.len());
        let change = |e: &Event| match e.what {
            What::CutterChange { cutter } => Some(cutter),
            _ => None,
        };
        events.iter().filter_map(change).collect()
    }

    #[test]
    fn a_stop_after_t_with_a_still_spindle_is_a_change() {
        assert_eq!(changes("T3\nM0\nS9000 M3\nM5\nT4\nM0\n"), [3, 4]);
    }

    #[test]
    fn no_stop_while_it_turns_no_optional_one_and_no_second_one_is_a_change() {
        assert_eq!(changes("S9000 M3\nT3\nM0\n"), [0; 0]);
        assert_eq!(changes("T3\nM1\n"), [0; 0]);
        assert_eq!(changes("T3\nM0\nM0\n"), [3]);
        assert_eq!(changes("T3 M6\nM0\n"), [3]);
    }
}
