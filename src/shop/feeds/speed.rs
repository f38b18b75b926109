//! Spindle speed.

use super::{Overruled, at_most, governed, positive, refused};
use crate::diagnostic::Diagnostic;
use crate::shop::{Cutter, CutterMaterial, Governed, Machine};
use std::f64::consts::PI;

/// Rim speed in wood, m/s, carbide: 10 to 25 (common practice); high-speed steel half.
const SLOWEST_RIM: f64 = 10.0;
const FASTEST_RIM: f64 = 25.0;
/// What is aimed at between them.
const USUAL_RIM: f64 = 18.0;

pub(super) struct Speed {
    pub(super) rpm: Governed,
    pub(super) dial: Option<String>,
    pub(super) note: Option<String>,
}

/// Rim speed, m/s, of a diameter in mm.
pub(super) fn rim(diameter: f64, rpm: f64) -> f64 {
    PI * diameter / 1000.0 * rpm / 60.0
}

/// Turns per minute for a rim speed in m/s.
fn turns(diameter: f64, rim: f64) -> f64 {
    rim * 60_000.0 / (PI * diameter)
}

/// The speed: as fast as usual for the rim, no faster than `useful`, where the feed at the
/// wanted chip load meets the machine's limit, unless the rim would be too slow.
pub(super) fn choose(
    machine: &Machine,
    cutter: &Cutter,
    overruled: &Overruled,
    useful: f64,
) -> Result<Speed, Diagnostic> {
    let spindle = &machine.spindle;
    let hard_limit = spindle.max_rpm.min(cutter.max_rpm);
    let rpm = match overruled.pick(|o| o.rpm) {
        Some(own) => {
            if own.value > hard_limit || own.value < spindle.min_rpm {
                let message = format!("{} rpm is not possible with {}", own.value, cutter.title());
                let help = format!("{} to {hard_limit} rpm", spindle.min_rpm);
                return Err(refused("rpm", message, help));
            }
            positive(own, "rpm")?
        }
        None => table(machine, cutter, useful),
    };
    let (rpm, dial) = on_dial(machine, rpm);
    let steel = if cutter.material == CutterMaterial::Hss { 0.5 } else { 1.0 };
    let speed = rim(cutter.diameter.0, rpm.value);
    let note = (speed < SLOWEST_RIM * steel).then(|| {
        format!(
            "cutter {}: the rim runs at {speed:.1} m/s, below the usual {:.0}; the cut is less clean",
            cutter.number,
            SLOWEST_RIM * steel
        )
    });
    Ok(Speed { rpm, dial, note: note.filter(|_| rpm_could_rise(cutter, hard_limit, steel)) })
}

/// A small cutter never reaches the usual rim speed; only what could be faster is worth a note.
fn rpm_could_rise(cutter: &Cutter, hard_limit: f64, steel: f64) -> bool {
    rim(cutter.diameter.0, hard_limit) >= SLOWEST_RIM * steel
}

fn table(machine: &Machine, cutter: &Cutter, useful: f64) -> Governed {
    let steel = if cutter.material == CutterMaterial::Hss { 0.5 } else { 1.0 };
    let d = cutter.diameter.0;
    let mut rpm = governed(turns(d, USUAL_RIM * steel), "rim speed");
    let slowest = turns(d, SLOWEST_RIM * steel);
    if useful < rpm.value {
        rpm = match useful < slowest {
            true => governed(slowest, "slowest rim speed"),
            false => governed(useful, "axis limit at the chip load"),
        };
    }
    let rpm = at_most(rpm, turns(d, FASTEST_RIM * steel), "fastest rim speed");
    let rpm = at_most(rpm, cutter.max_rpm, "mark on the cutter");
    let rpm = at_most(rpm, machine.spindle.max_rpm, "spindle");
    let rpm = match rpm.value < machine.spindle.min_rpm {
        true => governed(machine.spindle.min_rpm, "spindle"),
        false => rpm,
    };
    // Whole hundreds: no dial or drive is read closer.
    let whole = (rpm.value / 100.0).floor() * 100.0;
    Governed { value: whole.max(machine.spindle.min_rpm), by: rpm.by }
}

/// The fastest mark of a hand dial that is not above the wanted speed; else the slowest.
fn on_dial(machine: &Machine, wanted: Governed) -> (Governed, Option<String>) {
    let dial = &machine.spindle.dial;
    let stop = dial.iter().rev().find(|s| s.rpm <= wanted.value + 0.5).or(dial.first());
    match stop {
        None => (wanted, None),
        Some(stop) => {
            (governed(stop.rpm, &format!("dial mark {}", stop.mark)), Some(stop.mark.clone()))
        }
    }
}
