//! Feeds, speeds and depths: what one cutter may do in one material on one machine.
//!
//! Formulas: chip load f_z = F / (n z); rim speed v = pi D n; removal rate Q = section x F; power
//! P = k_s Q; tangential force P / v (closed form). Charts and practice are named where used.
//!
//! A figure comes from the job file, else from the cutter's own figures in the shop file, else
//! from the species' in the shop file, else from the table. The job's and the cutter's own are
//! refused beyond a hard limit; the species' stand for many cutters, so each cutter holds them
//! back to what it can bear, with a note.

mod chart;
mod depth;
mod drill;
mod entry;
mod force;
mod speed;

use super::hard_limits::HardLimits;
use super::{Cutter, CutterShape, CuttingData, Governed, Machine, Material, Overrides};
use crate::diagnostic::Diagnostic;
use crate::units::Shown;

/// One question: this cutter in this material on this machine.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Case<'a> {
    pub(crate) machine: &'a Machine,
    pub(crate) material: &'a Material,
    pub(crate) cutter: &'a Cutter,
    /// Figures of the job.
    pub(crate) job: Overrides,
    /// Figures of the shop file for this cutter.
    pub(crate) own: Overrides,
    /// Figures of the shop file for this material.
    pub(crate) species: Overrides,
    /// How lengths are written in messages and notes.
    pub(crate) shown: Shown,
}

impl Case<'_> {
    /// The figure that overrules the table's, and the file it stands in.
    fn asked(&self, of: impl Fn(&Overrides) -> Option<f64>) -> Option<Governed> {
        let job = of(&self.job).map(|value| governed(value, "job file"));
        job.or_else(|| of(&self.own.or(&self.species)).map(|value| governed(value, "shop file")))
    }

    /// As [`Case::asked`], held back to a hard limit with a note that says so.
    fn asked_within(
        &self,
        of: impl Fn(&Overrides) -> Option<f64>,
        most: f64,
        limit: &str,
        say: impl Fn(f64) -> String,
        notes: &mut Vec<String>,
    ) -> Option<Governed> {
        let asked = self.asked(of)?;
        if asked.value <= most {
            return Some(asked);
        }
        notes.push(format!(
            "cutter {}: the {} asks for {}, the {limit} allows {}",
            self.cutter.number,
            asked.by,
            say(asked.value),
            say(most)
        ));
        Some(governed(most, limit))
    }

    fn flutes(&self) -> f64 {
        f64::from(self.cutter.flutes)
    }

    /// The diameter that chip load and depth are taken from, mm: over the flutes; half way up
    /// the cone of a V; the ball of a taper-ball (common practice: what does the cutting).
    fn size(&self) -> f64 {
        let cutter = self.cutter;
        match cutter.shape {
            CutterShape::V => (cutter.diameter.0 + cutter.tip_diameter.0) / 2.0,
            CutterShape::TaperBall => cutter.tip_diameter.0,
            _ => cutter.diameter.0,
        }
    }
}

fn governed(value: f64, by: &str) -> Governed {
    Governed { value, by: by.to_string() }
}

/// The lesser of a figure and a limit; the limit's name governs if it is the lesser.
fn at_most(figure: Governed, limit: f64, by: &str) -> Governed {
    if figure.value > limit { governed(limit, by) } else { figure }
}

/// All figures of a case.
///
/// # Errors
/// A diagnostic for a figure of the job beyond a hard limit, its key the figure's name; or for
/// a spindle that cannot turn slow enough for the cutter.
pub(crate) fn cutting_data(case: &Case<'_>) -> Result<CuttingData, Diagnostic> {
    speed::possible(case)?;
    let limits = HardLimits::of(case.machine, case.cutter);
    let mut beyond = limits.problems(&case.job, &case.cutter.title(), case.shown);
    if !beyond.is_empty() {
        return Err(beyond.swap_remove(0));
    }
    Ok(match case.cutter.shape {
        CutterShape::Drill => drill::cutting_data(case),
        _ => milling(case),
    })
}

fn milling(case: &Case<'_>) -> CuttingData {
    let mut notes = Vec::new();
    let chip = chart::chip_load(case, &mut notes);
    let (rpm, dial) = speed::choose(case, useful_rpm(case, &chip), &mut notes);
    let overruled = depth::overruled(case, &mut notes);
    let wanted = overruled.clone().unwrap_or_else(|| depth::table(case));
    let chip = chart::eased(chip, wanted.value / case.size());
    let feed = feed(case, &chip, rpm.value, &mut notes);
    let stepdown = match overruled {
        Some(own) => {
            notes.extend(force::warnings(case, own.value, feed.value, rpm.value));
            own
        }
        None => force::limited(case, wanted, feed.value, rpm.value),
    };
    let chip_load = governed(feed.value / (rpm.value * case.flutes()), &feed.by);
    notes.extend(chart::warnings(case, &chip_load, &feed));
    let plunge = entry::plunge(case, &feed, &mut notes);
    let ramp_angle = entry::ramp_angle(case);
    let load = force::load(case, stepdown.value, feed.value, rpm.value);
    CuttingData {
        cutter: case.cutter.number,
        material: case.material.name.clone(),
        surface_speed: speed::rim(case.cutter.diameter.0, rpm.value),
        ramp_feed: entry::ramp_feed(case, &feed, ramp_angle.value),
        stepover: depth::stepover(case, &mut notes),
        deflection: force::deflection(case.cutter, stepdown.value, load.force.high),
        rpm,
        dial,
        chip_load,
        feed,
        plunge,
        ramp_angle,
        stepdown,
        force: load.force,
        power: load.power,
        notes,
    }
}

/// Turns per minute beyond which the machine cannot feed fast enough for the chip load.
fn useful_rpm(case: &Case<'_>, chip: &Governed) -> f64 {
    let limit = case.machine.plane_feed();
    let feed = case.asked(|o| o.feed.map(|f| f.0)).map_or(limit, |own| own.value.min(limit));
    feed / (case.flutes() * chip.value)
}

fn feed(case: &Case<'_>, chip: &Governed, rpm: f64, notes: &mut Vec<String>) -> Governed {
    let limit = case.machine.plane_feed();
    let say = |value| crate::units::feed(value, case.shown.unit);
    let own = case.asked_within(|o| o.feed.map(|f| f.0), limit, "axis limit", say, notes);
    own.unwrap_or_else(|| {
        at_most(governed(rpm * case.flutes() * chip.value, &chip.by), limit, "axis limit")
    })
}
