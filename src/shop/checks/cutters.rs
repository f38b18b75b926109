//! What a shop file may not say of a cutter.

use crate::diagnostic::Diagnostic;
use crate::shop::{Cutter, CutterShape, Machine};
use crate::units::Shown;
use std::f64::consts::PI;

/// Thinnest and widest cutter, mm (common practice): an engraving point and a surfacing head.
const DIAMETERS: (f64, f64) = (0.1, 100.0);

/// Findings about one cutter, keyed below its table.
struct Findings<'a> {
    key: &'a str,
    found: Vec<Diagnostic>,
}

impl Findings<'_> {
    fn wrong(&mut self, name: &str, message: impl Into<String>, help: impl Into<String>) {
        let key = format!("{}.{name}", self.key);
        self.found.push(Diagnostic::error(message).key(key).help(help));
    }
}

pub(super) fn check(c: &Cutter, machine: &Machine, key: &str, shown: Shown) -> Vec<Diagnostic> {
    let mut findings = Findings { key, found: Vec::new() };
    sizes(c, shown, &mut findings);
    shape(c, shown, &mut findings);
    beside_the_shape(c, &mut findings);
    let slowest = machine.spindle.slowest();
    if c.max_rpm < slowest {
        findings.wrong(
            "max-rpm",
            format!(
                "{} may turn at {} rpm at most, and the spindle turns at {slowest} at least",
                c.title(),
                c.max_rpm
            ),
            "this cutter can not be used on this machine; read the mark on it again",
        );
    }
    findings.found
}

fn sizes(c: &Cutter, shown: Shown, findings: &mut Findings<'_>) {
    let (thinnest, widest) = DIAMETERS;
    if !(thinnest..=widest).contains(&c.diameter.0) {
        findings.wrong(
            "diameter",
            format!("{} is no diameter of a cutter", shown.both(c.diameter.0)),
            format!("{} to {}; check the unit", shown.both(thinnest), shown.both(widest)),
        );
    }
    let lengths = [
        ("flute-length", c.flute_length.0),
        ("stick-out", c.stick_out.0),
        ("holder-diameter", c.holder_diameter.0),
    ];
    for (name, value) in lengths.into_iter().filter(|(_, value)| *value <= 0.0) {
        let message = format!("{} is not more than zero", shown.both(value));
        findings.wrong(name, message, "measure the cutter in its holder");
    }
    if c.flute_length.0 > c.stick_out.0 && c.stick_out.0 > 0.0 {
        findings.wrong(
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

fn shape(c: &Cutter, shown: Shown, findings: &mut Findings<'_>) {
    let (corner, tip, angle) = (c.corner_radius.0, c.tip_diameter.0, c.included_angle.0);
    let (radius, width) = (c.radius(), c.diameter.0);
    if c.shape == CutterShape::BullNose && !(corner > 0.0 && corner <= radius) {
        findings.wrong(
            "corner-radius",
            format!("a bull-nose cutter has no corner radius of {}", shown.both(corner)),
            format!("more than 0 and at most {}, half its diameter", shown.both(radius)),
        );
    }
    let cone = matches!(c.shape, CutterShape::V | CutterShape::TaperBall);
    let drill = c.shape == CutterShape::Drill;
    if (cone && !(angle > 0.0 && angle < PI)) || (drill && !(0.0..=PI).contains(&angle)) {
        findings.wrong(
            "included-angle",
            format!("{:.1} degrees is no cone", angle.to_degrees()),
            "more than 0 and less than 180 degrees, measured over the whole cone",
        );
    }
    if c.shape == CutterShape::V && !(0.0..width).contains(&tip) {
        findings.wrong(
            "tip-diameter",
            format!("a tip of {} is not smaller than the cutter", shown.both(tip)),
            format!("0 for a sharp one, and less than {}", shown.both(width)),
        );
    }
    if c.shape == CutterShape::TaperBall && !(tip > 0.0 && tip <= width) {
        findings.wrong(
            "tip-diameter",
            format!("a taper-ball cutter has no ball of {}", shown.both(tip)),
            format!("more than 0 and at most {}", shown.both(width)),
        );
    }
}

/// Figures that the cutter's shape has no use for: they tell of another shape.
fn beside_the_shape(c: &Cutter, findings: &mut Findings<'_>) {
    let pointed = matches!(c.shape, CutterShape::V | CutterShape::TaperBall);
    let unused = [
        ("corner-radius", c.corner_radius.0, c.shape == CutterShape::BullNose, "bull-nose"),
        ("tip-diameter", c.tip_diameter.0, pointed, "v or taper-ball"),
        (
            "included-angle",
            c.included_angle.0,
            pointed || c.shape == CutterShape::Drill,
            "v, taper-ball or drill",
        ),
    ];
    for (name, value, used, shapes) in unused {
        if value != 0.0 && !used {
            let message = format!("a cutter of this shape has no {}", name.replace('-', " "));
            findings.wrong(name, message, format!("leave it out, or its shape is {shapes}"));
        }
    }
}
