//! Arcs: centre form and radius form (NISTIR 6556 section 3.5.3).

use super::machine::length;
use super::problem::{Fault, Read, Rule, fault};
use crate::geometry::{Arc, Plane, Point};
use std::f64::consts::{PI, TAU};

/// What an arc's line says, in mm, in the plane's own axes.
pub(super) struct Ask {
    pub(super) plane: Plane,
    /// G2.
    pub(super) clockwise: bool,
    pub(super) from: Point,
    pub(super) to: Point,
    /// The units in force, mm each: 1 or 25.4.
    pub(super) scale: f64,
    /// Where the line's arc code or first word stands.
    pub(super) at: usize,
}

/// The published bound on the difference of radii in millimetres.
const TOLERANCE_MM: f64 = 0.002;
/// The same in inches.
const TOLERANCE_INCH: f64 = 0.0002;
/// What adding and multiplying decimals of a metre's size loses at most, mm.
const NOISE: f64 = 1e-9;

impl Ask {
    /// How far the two radii may differ, mm.
    fn tolerance(&self) -> f64 {
        if self.scale > 1.0 { TOLERANCE_INCH * self.scale } else { TOLERANCE_MM }
    }

    /// A length as the program would write it.
    fn told(&self, mm: f64) -> String {
        length(mm, self.scale)
    }

    /// The arc about a centre that lies `offset` from the start. If the end is the start it is a
    /// whole turn.
    ///
    /// # Errors
    /// If the radii differ by more than the tolerance, or are zero.
    pub(super) fn about(&self, offset: Point, warnings: &mut Vec<Fault>) -> Read<Arc> {
        let center = self.from + offset;
        let (first, last) = (offset.length(), self.to.distance(center));
        if first <= NOISE {
            let message = "the centre is the start, so the radius is zero";
            return Err(fault(self.at, Rule::ArcRadii, message, "move the centre by I, J or K"));
        }
        if (first - last).abs() > self.tolerance() + NOISE {
            return Err(self.radii_differ(first, last));
        }
        let apart = self.from.distance(self.to);
        if apart > NOISE && apart <= self.tolerance() {
            warnings.push(self.ends_close(apart));
        }
        Ok(Arc { plane: self.plane, center, sweep: self.sweep_about(center, apart) })
    }

    fn sweep_about(&self, center: Point, apart: f64) -> f64 {
        let side = if self.clockwise { -1.0 } else { 1.0 };
        if apart <= NOISE {
            return side * TAU;
        }
        let (a, b) = (self.from - center, self.to - center);
        let ahead = (side * a.cross(b)).atan2(a.dot(b));
        // Ends on one ray from the centre are one end: the radius differs, not the angle.
        let turn = if ahead.abs() * a.length() <= NOISE {
            TAU
        } else if ahead < 0.0 {
            ahead + TAU
        } else {
            ahead
        };
        side * turn
    }

    /// The arc of a given radius: at most half a turn if it is positive, more if negative.
    ///
    /// # Errors
    /// If the ends are one point, or further apart than twice the radius.
    pub(super) fn with_radius(&self, radius: f64, warnings: &mut Vec<Fault>) -> Read<Arc> {
        let chord = self.to - self.from;
        let length = chord.length();
        let Some(along) = chord.unit().filter(|_| length > NOISE) else {
            let message = "an arc with a radius ends where it starts, so its centre is anywhere";
            let help = "write a whole turn with centre offsets";
            return Err(fault(self.at, Rule::ArcRadius, message, help));
        };
        let (half, size) = (length / 2.0, radius.abs());
        if size <= NOISE {
            return Err(fault(
                self.at,
                Rule::ArcRadius,
                "the radius is zero",
                "write its radius as R",
            ));
        }
        // Half chord above the radius: from memory of the published interpreter, which allows
        // as much as for centres.
        if half - size > self.tolerance() + NOISE {
            let message = format!(
                "a radius of {} does not reach: the ends are {} apart",
                self.told(size),
                self.told(length)
            );
            let help = "the radius is at least half the distance of the ends";
            return Err(fault(self.at, Rule::ArcRadius, message, help));
        }
        let height = (size * size - half * half).max(0.0).sqrt();
        let small = 2.0 * half.atan2(height);
        let turn = if radius > 0.0 { small } else { TAU - small };
        if let Some(warning) = self.ill_conditioned(turn) {
            warnings.push(warning);
        }
        let side = if self.clockwise { -1.0 } else { 1.0 };
        let toward = if radius > 0.0 { side } else { -side };
        let middle = (self.from + self.to) * 0.5;
        let center = middle + along.left() * (toward * height);
        Ok(Arc { plane: self.plane, center, sweep: side * turn })
    }

    /// The report warns against 165 to 195 degrees and against more than 345.
    fn ill_conditioned(&self, turn: f64) -> Option<Fault> {
        let (near_half, near_whole) = ((turn - PI).abs().to_degrees(), turn.to_degrees());
        (near_half <= 15.0 || near_whole > 345.0).then(|| Fault {
            at: self.at,
            rule: Rule::ArcIllConditioned,
            message: format!(
                "the radius turns {near_whole:.1} degrees: rounding moves its centre far"
            ),
            help: "write arcs near a half or a whole turn with centre offsets",
        })
    }

    #[cold]
    fn radii_differ(&self, first: f64, last: f64) -> Box<Fault> {
        let message = format!(
            "the centre is {} from the start and {} from the end: they differ by {}, allowed are {}",
            self.told(first),
            self.told(last),
            self.told((first - last).abs()),
            self.told(self.tolerance())
        );
        fault(self.at, Rule::ArcRadii, message, "write more decimals, or move the centre")
    }

    #[cold]
    fn ends_close(&self, apart: f64) -> Fault {
        Fault {
            at: self.at,
            rule: Rule::ArcEndsClose,
            message: format!(
                "the arc's ends are {} apart: a controller that rounds makes it a whole turn",
                self.told(apart)
            ),
            help: "leave the arc out, or write a line",
        }
    }
}
