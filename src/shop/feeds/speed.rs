//! Spindle speed.

use super::{Case, at_most, governed};
use crate::diagnostic::Diagnostic;
use crate::shop::{Cutter, CutterMaterial, DialStop, Governed};
use std::f64::consts::PI;

/// Rim speed in wood, m/s, carbide: 10 to 25 (common practice); high-speed steel half.
const SLOWEST_RIM: f64 = 10.0;
const FASTEST_RIM: f64 = 25.0;
/// What is aimed at between them.
const USUAL_RIM: f64 = 18.0;
/// Speeds are whole hundreds: no dial or drive is read closer.
const STEP: f64 = 100.0;

/// Rim speed, m/s, of a diameter in mm.
pub(super) fn rim(diameter: f64, rpm: f64) -> f64 {
    PI * diameter / 1000.0 * rpm / 60.0
}

/// Turns per minute for a rim speed in m/s.
fn turns(diameter: f64, rim: f64) -> f64 {
    rim * 60_000.0 / (PI * diameter)
}

/// What share of carbide's rim speed the cutter bears.
fn share(cutter: &Cutter) -> f64 {
    match cutter.material {
        CutterMaterial::Carbide => 1.0,
        CutterMaterial::Hss => 0.5,
    }
}

/// Whether the spindle turns slow enough for the cutter at all.
pub(super) fn possible(case: &Case<'_>) -> Result<(), Diagnostic> {
    let (slowest, most) = (case.machine.spindle.slowest(), case.cutter.max_rpm);
    if slowest <= most {
        return Ok(());
    }
    let title = case.cutter.title();
    Err(Diagnostic::error(format!(
        "{title} may turn at {most} rpm at most, and the spindle turns at {slowest} at least"
    ))
    .help("use a cutter that is marked for the spindle's speed"))
}

/// The speed, and the dial's mark for it: as fast as usual for the rim, no faster than
/// `useful`, where the feed at the wanted chip load meets the machine's limit, unless the rim
/// would be too slow.
pub(super) fn choose(
    case: &Case<'_>,
    useful: f64,
    notes: &mut Vec<String>,
) -> (Governed, Option<String>) {
    let (spindle, cutter) = (&case.machine.spindle, case.cutter);
    let say = |rpm| format!("{rpm} rpm");
    let fastest = spindle.fastest();
    let own = case
        .asked_within(|o| o.rpm, cutter.max_rpm.min(fastest), "mark on the cutter", say, notes)
        .unwrap_or_else(|| table(case, useful));
    let (rpm, dial) = on_dial(&spindle.dial, own);
    // A small cutter never reaches the usual rim speed; only what could be faster gets a note.
    let usual = SLOWEST_RIM * share(cutter);
    let could = rim(cutter.diameter.0, cutter.max_rpm.min(fastest)) >= usual;
    let speed = rim(cutter.diameter.0, rpm.value);
    if could && speed < usual {
        notes.push(format!(
            "cutter {}: the rim runs at {speed:.1} m/s, below the usual {usual:.0}; the cut is less clean",
            cutter.number
        ));
    }
    (rpm, dial)
}

fn table(case: &Case<'_>, useful: f64) -> Governed {
    let (spindle, cutter) = (&case.machine.spindle, case.cutter);
    let of_rim = |speed: f64| turns(cutter.diameter.0, speed * share(cutter));
    // Up to the next hundred, so that the rim is not slower than it says.
    let slowest = (of_rim(SLOWEST_RIM) / STEP).ceil() * STEP;
    let mut rpm = governed(of_rim(USUAL_RIM), "rim speed");
    if useful < rpm.value {
        rpm = match useful < slowest {
            true => governed(slowest, "slowest rim speed"),
            false => governed(useful, "axis limit at the chip load"),
        };
    }
    let rpm = at_most(rpm, of_rim(FASTEST_RIM), "fastest rim speed");
    let rpm = at_most(rpm, cutter.max_rpm, "mark on the cutter");
    let rpm = at_most(rpm, spindle.fastest(), "spindle");
    let whole = (rpm.value / STEP).floor() * STEP;
    match whole < spindle.slowest() {
        true => governed(spindle.slowest(), "spindle"),
        false => Governed { value: whole, by: rpm.by },
    }
}

/// The fastest mark of a hand dial that is not above the wanted speed; else the slowest.
fn on_dial(dial: &[DialStop], wanted: Governed) -> (Governed, Option<String>) {
    // Half a turn: a mark typed with the wanted speed is that mark.
    let stop = dial.iter().rev().find(|s| s.rpm <= wanted.value + 0.5).or(dial.first());
    match stop {
        None => (wanted, None),
        Some(stop) => {
            let by = format!("dial mark {}, {}", stop.mark, wanted.by);
            (Governed { value: stop.rpm, by }, Some(stop.mark.clone()))
        }
    }
}
