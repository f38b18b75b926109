//! What a shop file may not say of the machine.

use crate::diagnostic::Diagnostic;
use crate::shop::{Machine, Spindle};
use crate::units::{Shown, feed};

/// Deepest permitted cut into the spoilboard, mm: more would cut through many (common practice).
const DEEPEST_SPOILBOARD_CUT: f64 = 6.0;
/// Below this a spindle's power was written in kilowatts or horsepower, W (common practice: the
/// smallest trim router has more).
const LEAST_POWER: f64 = 50.0;
/// Fastest speeds, turns per minute, that a spindle for wood may have (common practice).
const FASTEST: std::ops::RangeInclusive<f64> = 1000.0..=100_000.0;

pub(super) fn check(machine: &Machine, shown: Shown) -> Vec<Diagnostic> {
    let mut found = more_than_zero(machine);
    found.extend(feeds_over_traverse(machine, shown));
    let (safe, most) = (machine.safe_height.0, machine.travel[2].0 / 2.0);
    // A travel that is not more than zero was told above.
    if most > 0.0 && (safe <= 0.0 || safe > most) {
        found.push(
            Diagnostic::error(format!("a safe height of {} does not work", shown.both(safe)))
                .key("machine.safe-height")
                .help(format!(
                    "more than 0 above the stock, and at most half the travel of z, {}",
                    shown.both(most)
                )),
        );
    }
    let deep = machine.into_spoilboard.0;
    if !(0.0..=DEEPEST_SPOILBOARD_CUT).contains(&deep) {
        found.push(
            Diagnostic::error(format!("{} into the spoilboard is not sensible", shown.both(deep)))
                .key("machine.into-spoilboard")
                .help(format!("0 to {} (common practice)", shown.both(DEEPEST_SPOILBOARD_CUT))),
        );
    }
    if machine.corner_tolerance.0 <= 0.0 {
        found.push(
            Diagnostic::error("is not more than zero")
                .key("machine.corner-tolerance")
                .help("0.05 mm is usual (common practice)"),
        );
    }
    found.extend(spindle(&machine.spindle));
    found
}

fn more_than_zero(machine: &Machine) -> Vec<Diagnostic> {
    let lists = [
        ("travel", machine.travel.map(|l| l.0)),
        ("rapid", machine.rapid.map(|f| f.0)),
        ("max-feed", machine.max_feed.map(|f| f.0)),
        ("acceleration", machine.acceleration.map(|l| l.0)),
    ];
    let mut found = Vec::new();
    for (name, values) in lists {
        for (i, value) in values.iter().enumerate().filter(|(_, value)| **value <= 0.0) {
            found.push(
                Diagnostic::error(format!("{value} is not more than zero"))
                    .key(format!("machine.{name}[{}]", i + 1))
                    .help("the machine's manual gives it; the order is x, y, z"),
            );
        }
    }
    found
}

/// No axis cuts faster than it travels.
fn feeds_over_traverse(machine: &Machine, shown: Shown) -> Vec<Diagnostic> {
    let over = (0..3).filter(|i| machine.max_feed[*i].0 > machine.rapid[*i].0);
    over.map(|i| {
        let (cuts, travels) = (machine.max_feed[i].0, machine.rapid[i].0);
        Diagnostic::error(format!(
            "a cutting feed of {} is faster than the axis travels",
            feed(cuts, shown.unit)
        ))
        .key(format!("machine.max-feed[{}]", i + 1))
        .help(format!("at most {}, as in `rapid`", feed(travels, shown.unit)))
    })
    .collect()
}

fn spindle(s: &Spindle) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    let mut wrong = |key: &str, message: String, help: String| {
        found.push(Diagnostic::error(message).key(format!("machine.spindle.{key}")).help(help));
    };
    if s.min_rpm > s.max_rpm {
        let message = format!("{} rpm is more than `max-rpm`, {}", s.min_rpm, s.max_rpm);
        wrong("min-rpm", message, format!("at most {}", s.max_rpm));
    }
    if !FASTEST.contains(&s.max_rpm) {
        let range = format!("{} to {} turns per minute", FASTEST.start(), FASTEST.end());
        wrong("max-rpm", format!("{} rpm is no speed for wood", s.max_rpm), range);
    }
    if s.power < LEAST_POWER {
        let help = format!("watts are meant, at least {LEAST_POWER}; 1.5 kW is 1500");
        wrong("power", format!("{} W drives no cutter", s.power), help);
    }
    for (i, stop) in s.dial.iter().enumerate() {
        let before = &s.dial[..i];
        if stop.mark.trim().is_empty() || before.iter().any(|b| b.mark == stop.mark) {
            let message = format!("the mark `{}` can not be told from others", stop.mark);
            wrong(
                &format!("dial[{}].mark", i + 1),
                message,
                "write what stands on the dial".into(),
            );
        }
        let key = format!("dial[{}].rpm", i + 1);
        if !(s.min_rpm..=s.max_rpm).contains(&stop.rpm) {
            let message =
                format!("mark `{}` at {} rpm is outside the spindle's range", stop.mark, stop.rpm);
            wrong(&key, message, format!("{} to {} rpm", s.min_rpm, s.max_rpm));
        } else if before.last().is_some_and(|b| stop.rpm <= b.rpm) {
            let message = format!("mark `{}` is not faster than the one before", stop.mark);
            wrong(&key, message, "list the dial's marks from slow to fast".into());
        }
    }
    found
}
