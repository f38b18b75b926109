//! What a shop file may not say, each with what would work.

use super::file::ShopFile;
use super::{Cutter, CutterShape};
use crate::diagnostic::Diagnostic;
use crate::units::Shown;
use std::f64::consts::PI;

/// Deepest permitted cut into the spoilboard, mm: more would cut through many (common practice).
const DEEPEST_SPOILBOARD_CUT: f64 = 6.0;

/// All that is wrong with a shop; keys are those of the file.
pub(super) fn check(file: &ShopFile, shown: Shown) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    machine(file, shown, &mut found);
    for (i, cutter) in file.cutter.iter().enumerate() {
        let key = format!("cutter[{}]", i + 1);
        if file.cutter[..i].iter().any(|c| c.number == cutter.number) {
            found.push(
                Diagnostic::error(format!("there are two cutters of number {}", cutter.number))
                    .key(format!("{key}.number"))
                    .help("give each cutter its own number"),
            );
        }
        sizes(cutter, &key, shown, &mut found);
        shape(cutter, &key, shown, &mut found);
        if cutter.max_rpm < file.machine.spindle.min_rpm {
            found.push(
                Diagnostic::error(format!(
                    "{} may turn at {} rpm at most, the spindle turns at {} at least",
                    cutter.title(),
                    cutter.max_rpm,
                    file.machine.spindle.min_rpm
                ))
                .key(format!("{key}.max-rpm"))
                .help("this cutter can not be used on this machine; read the mark on it again"),
            );
        }
    }
    for (i, clamp) in file.clamp.iter().enumerate() {
        found.extend(clamp.problem(&format!("clamp[{}]", i + 1)));
    }
    found
}

fn machine(file: &ShopFile, shown: Shown, found: &mut Vec<Diagnostic>) {
    let m = &file.machine;
    let lists = [
        ("travel", m.travel.map(|l| l.0)),
        ("rapid", m.rapid.map(|f| f.0)),
        ("max-feed", m.max_feed.map(|f| f.0)),
        ("acceleration", m.acceleration.map(|l| l.0)),
    ];
    for (name, values) in lists {
        for (i, value) in values.iter().enumerate() {
            if *value <= 0.0 {
                found.push(
                    Diagnostic::error("is not more than zero")
                        .key(format!("machine.{name}[{}]", i + 1))
                        .help("read the machine's manual"),
                );
            }
        }
    }
    let (safe, most) = (m.safe_height.0, m.travel[2].0 / 2.0);
    if safe <= 0.0 || safe > most {
        found.push(
            Diagnostic::error(format!("a safe height of {} does not work", shown.both(safe)))
                .key("machine.safe-height")
                .help(format!(
                    "more than 0 above the stock, and at most half the travel of z, {}",
                    shown.both(most)
                )),
        );
    }
    let deep = m.into_spoilboard.0;
    if !(0.0..=DEEPEST_SPOILBOARD_CUT).contains(&deep) {
        found.push(
            Diagnostic::error(format!("{} into the spoilboard is not sensible", shown.both(deep)))
                .key("machine.into-spoilboard")
                .help(format!("0 to {}", shown.both(DEEPEST_SPOILBOARD_CUT))),
        );
    }
    if m.corner_tolerance.0 <= 0.0 {
        found.push(
            Diagnostic::error("is not more than zero")
                .key("machine.corner-tolerance")
                .help("0.05 mm is usual (common practice)"),
        );
    }
    spindle(file, found);
}

fn spindle(file: &ShopFile, found: &mut Vec<Diagnostic>) {
    let s = &file.machine.spindle;
    if s.min_rpm > s.max_rpm {
        found.push(
            Diagnostic::error(format!("{} rpm is more than `max-rpm`, {}", s.min_rpm, s.max_rpm))
                .key("machine.spindle.min-rpm")
                .help("swap them"),
        );
    }
    for (i, stop) in s.dial.iter().enumerate() {
        let key = format!("machine.spindle.dial[{}].rpm", i + 1);
        if !(s.min_rpm..=s.max_rpm).contains(&stop.rpm) {
            found.push(
                Diagnostic::error(format!("mark `{}` lies outside the spindle's range", stop.mark))
                    .key(key)
                    .help(format!("{} to {} rpm", s.min_rpm, s.max_rpm)),
            );
        } else if i > 0 && stop.rpm <= s.dial[i - 1].rpm {
            found.push(
                Diagnostic::error(format!(
                    "mark `{}` is not faster than the one before",
                    stop.mark
                ))
                .key(key)
                .help("list the dial's marks from slow to fast"),
            );
        }
    }
}

fn sizes(c: &Cutter, key: &str, shown: Shown, found: &mut Vec<Diagnostic>) {
    let mut wrong = |name: &str, message: String, help: String| {
        found.push(Diagnostic::error(message).key(format!("{key}.{name}")).help(help));
    };
    for (name, value) in [
        ("diameter", c.diameter.0),
        ("flute-length", c.flute_length.0),
        ("stick-out", c.stick_out.0),
        ("holder-diameter", c.holder_diameter.0),
    ] {
        if value <= 0.0 {
            wrong(name, "is not more than zero".into(), "measure the cutter".into());
        }
    }
    for (name, value) in [("corner-radius", c.corner_radius.0), ("tip-diameter", c.tip_diameter.0)]
    {
        if value < 0.0 {
            wrong(name, "is less than zero".into(), "measure the cutter".into());
        }
    }
    if c.flute_length.0 > c.stick_out.0 {
        wrong(
            "flute-length",
            format!(
                "flutes of {} are longer than the cutter stands out, {}",
                shown.both(c.flute_length.0),
                shown.both(c.stick_out.0)
            ),
            format!("at most {}; flutes must not go into the collet", shown.both(c.stick_out.0)),
        );
    }
}

fn shape(c: &Cutter, key: &str, shown: Shown, found: &mut Vec<Diagnostic>) {
    let mut wrong = |name: &str, message: String, help: String| {
        found.push(Diagnostic::error(message).key(format!("{key}.{name}")).help(help));
    };
    let radius = c.diameter.0 / 2.0;
    let angle = c.included_angle.0;
    let angled = angle > 0.0 && angle < PI;
    match c.shape {
        CutterShape::BullNose if c.corner_radius.0 <= 0.0 || c.corner_radius.0 >= radius => wrong(
            "corner-radius",
            format!("a bull-nose cutter has no corner radius of {}", shown.both(c.corner_radius.0)),
            format!("more than 0 and less than {}", shown.both(radius)),
        ),
        CutterShape::V | CutterShape::TaperBall if !angled => wrong(
            "included-angle",
            format!("{:.1} degrees is no cone", angle.to_degrees()),
            "more than 0 and less than 180 degrees, measured over the whole cone".into(),
        ),
        CutterShape::V if c.tip_diameter.0 >= c.diameter.0 => wrong(
            "tip-diameter",
            "the tip is not smaller than the cutter".into(),
            format!("less than {}", shown.both(c.diameter.0)),
        ),
        CutterShape::TaperBall if c.tip_diameter.0 <= 0.0 || c.tip_diameter.0 > c.diameter.0 => {
            wrong(
                "tip-diameter",
                format!("a taper-ball cutter has no ball of {}", shown.both(c.tip_diameter.0)),
                format!("more than 0 and at most {}", shown.both(c.diameter.0)),
            )
        }
        _ => {}
    }
}
