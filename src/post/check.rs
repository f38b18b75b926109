//! What a dialect's keys must agree on.

use super::arcs::{ALLOWED, RADIUS_SWEEP};
use super::block;
use super::dialect::{ArcForm, Comments, CutterChanges, Dialect, SpindleControl};
use crate::diagnostic::{Diagnostic, Failure};
use crate::units::{Unit, decimal};
use std::f64::consts::PI;

/// Longest file name ending.
const EXTENSION: usize = 8;

impl Dialect {
    /// One step of the last decimal, mm.
    #[must_use]
    pub fn step(&self) -> f64 {
        self.units.mm() / 10_f64.powi(self.decimals.cast_signed())
    }

    /// Largest turn of one arc, radians.
    #[must_use]
    pub fn largest_sweep(&self) -> f64 {
        self.max_sweep.map_or(self.sweep_limit(), |a| a.0)
    }

    /// How far the path of a text may leave the meant one, mm: one and a half steps of the last
    /// decimal, or the chord tolerance where arcs are written in chords.
    #[must_use]
    pub fn reads_back_within(&self) -> f64 {
        let arcs = ALLOWED * self.step();
        match (self.arcs, self.helix) {
            (ArcForm::None, _) => self.chord_tolerance.0,
            (_, true) => arcs,
            (_, false) => arcs.max(self.chord_tolerance.0),
        }
    }

    /// The same dialect with another chord tolerance, mm.
    ///
    /// # Errors
    /// [`Failure::Input`] if it is finer than the decimals can hold or coarser than 1 mm.
    pub fn with_chord_tolerance(mut self, mm: f64) -> Result<Dialect, Failure> {
        self.chord_tolerance.0 = mm;
        match self.check_chords() {
            Some(wrong) => Err(wrong.into()),
            None => Ok(self),
        }
    }

    fn sweep_limit(&self) -> f64 {
        if self.arcs == ArcForm::Radius { RADIUS_SWEEP } else { PI }
    }

    /// All that the schema cannot say.
    pub(super) fn check(&self) -> Vec<Diagnostic> {
        let mut found = Vec::new();
        // A tolerance is judged by the decimals, so by right ones only.
        found.extend(self.check_decimals().or_else(|| self.check_chords()));
        found.extend(self.check_sweep());
        found.extend(self.check_stops());
        found.extend(self.check_extension());
        found.extend(self.check_offset());
        found.extend(block::check("start", &self.start, self));
        found.extend(block::check("end", &self.end, self));
        found
    }

    fn check_decimals(&self) -> Option<Diagnostic> {
        let (least, why) = match (self.units, self.arcs) {
            (Unit::In, _) => (4, "inches: three are steps of 0.025 mm"),
            (Unit::Mm, ArcForm::None) => (2, "millimetres: one is steps of 0.1 mm"),
            (Unit::Mm, _) => {
                (3, "arcs in millimetres: their ends must agree within 0.002 mm on the radius")
            }
        };
        (self.decimals < least).then(|| {
            Diagnostic::error(format!("`{}` is too few for {why}", self.decimals))
                .key("decimals")
                .help(format!("write {least} to 6"))
        })
    }

    fn check_chords(&self) -> Option<Diagnostic> {
        let (least, most) = (2.0 * self.step(), 1.0);
        let given = self.chord_tolerance.0;
        // Not `given < least`: what is not a number must be refused too.
        let fits = given >= least * (1.0 - 1e-9) && given <= most;
        (!fits).then(|| {
            Diagnostic::error(format!(
                "{} mm is out of range; {least:.6} mm (two steps of the last decimal) to {} is allowed",
                given,
                decimal(most, Unit::Mm)
            ))
            .key("chord-tolerance")
            .help("0.01 mm suits work that is sanded")
        })
    }

    fn check_sweep(&self) -> Option<Diagnostic> {
        let given = self.max_sweep?.0;
        let (least, most) = (1_f64.to_radians(), self.sweep_limit());
        // The file's degrees come as radians; a limit itself must pass.
        let fits = given >= least - 1e-9 && given <= most + 1e-9;
        (!fits).then(|| {
            Diagnostic::error(format!(
                "{:.3} degrees is out of range; 1 to {:.0} is allowed in this form of arc",
                given.to_degrees(),
                most.to_degrees()
            ))
            .key("max-sweep")
            .help("leave the key out: the largest safe turn is then used")
        })
    }

    fn check_stops(&self) -> Option<Diagnostic> {
        let by_hand = self.spindle == SpindleControl::ByHand;
        let stops = by_hand || self.cutter_change == CutterChanges::Stop;
        if self.comments == Comments::None && stops {
            let message = "`none` leaves the operator without a word at the stops of this dialect";
            return Some(
                Diagnostic::error(message)
                    .key("comments")
                    .help("write comments = \"parentheses\", or let no key ask for a stop"),
            );
        }
        (by_hand && self.cutter_change == CutterChanges::M6).then(|| {
            Diagnostic::error(
                "`m6` cannot go with a spindle started by hand: the change would run with the router on",
            )
            .key("cutter-change")
            .help("write cutter-change = \"stop\" or \"separate-programs\"")
        })
    }

    fn check_offset(&self) -> Option<Diagnostic> {
        (self.length_offset && self.cutter_change == CutterChanges::Stop).then(|| {
            Diagnostic::error(
                "a stop lets the operator touch off each cutter: a stored length offset would count twice",
            )
            .key("length-offset")
            .help("write length-offset = false, or cutter-change = \"m6\"")
        })
    }

    fn check_extension(&self) -> Option<Diagnostic> {
        let e = &self.extension;
        let fits =
            (1..=EXTENSION).contains(&e.len()) && e.bytes().all(|b| b.is_ascii_alphanumeric());
        (!fits).then(|| {
            Diagnostic::error(format!(
                "`{}` cannot end a file name; 1 to {EXTENSION} letters and digits are allowed",
                e.escape_debug()
            ))
            .key("extension")
            .help("write it without the dot, as nc")
        })
    }
}
