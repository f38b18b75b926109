//! Feeds, speeds and depths: what one cutter may do in one material on one machine.
//!
//! Formulas: chip load f_z = F / (n z); rim speed v = pi D n; removal rate Q = a_e a_p F; power
//! P = k_s Q; tangential force P / v (closed form). Charts and practice are named where used.

mod chart;
mod force;
mod speed;

use force::deflection;

use super::{
    Cutter, CutterShape, CuttingData, Governed, Machine, Material, MaterialClass, Overrides,
};
use crate::diagnostic::Diagnostic;

/// Steepest bending of the tip allowed in roughing, mm: an eighth of the usual allowance.
const MOST_DEFLECTION: f64 = 0.1;
/// Share of a clearing pass's width in the cutter's diameter: 40 to 60 % (common practice).
const STEPOVER: f64 = 0.45;
/// Plunge feed as a share of the feed: a third to a half (common practice).
const PLUNGE: f64 = 1.0 / 3.0;
/// Feed down a ramp as a share of the feed (common practice).
const RAMP: f64 = 0.5;
/// Stick-out over so many diameters is long: the stepdown is halved (common practice).
const LONG_STICK_OUT: f64 = 4.0;

/// Overrides by the file they stand in; the job's come first.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Overruled {
    pub(crate) job: Overrides,
    pub(crate) shop: Overrides,
}

impl Overruled {
    /// The figure that overrules, and where it stands.
    fn pick(&self, of: impl Fn(&Overrides) -> Option<f64>) -> Option<Governed> {
        let found = |o: &Overrides, by: &str| of(o).map(|value| governed(value, by));
        found(&self.job, "job file").or_else(|| found(&self.shop, "shop file"))
    }
}

fn governed(value: f64, by: &str) -> Governed {
    Governed { value, by: by.to_string() }
}

/// The lesser of a figure and a limit; the limit's name governs if it is the lesser.
fn at_most(figure: Governed, limit: f64, by: &str) -> Governed {
    if figure.value > limit { governed(limit, by) } else { figure }
}

/// An override that breaks a hard limit.
fn refused(name: &str, message: String, help: String) -> Diagnostic {
    Diagnostic::error(message).key(name).help(help)
}

/// The diameter that the chart is read at: what really cuts at the depth of a pass.
fn working_diameter(cutter: &Cutter) -> f64 {
    match cutter.shape {
        // A cone cuts on half its width on average over its depth.
        CutterShape::V => (cutter.diameter.0 + cutter.tip_diameter.0) / 2.0,
        CutterShape::TaperBall => cutter.tip_diameter.0,
        _ => cutter.diameter.0,
    }
}

/// All figures for a cutter in a material.
///
/// # Errors
/// A diagnostic for an override beyond a hard limit; its key is the override's name.
pub(crate) fn cutting_data(
    machine: &Machine,
    material: &Material,
    cutter: &Cutter,
    overruled: &Overruled,
) -> Result<CuttingData, Diagnostic> {
    let mut notes = Vec::new();
    let diameter = working_diameter(cutter);
    let chart = chip_load(machine, material, cutter, overruled, diameter, &mut notes)?;
    let feed_limit = machine.max_feed[0].0.min(machine.max_feed[1].0);
    let flutes = f64::from(cutter.flutes);
    let speed = speed::choose(machine, cutter, overruled, feed_limit / (flutes * chart.value))?;
    notes.extend(speed.note.clone());
    let rpm = speed.rpm;
    let stepdown = stepdown(machine, material, cutter, overruled, diameter)?;
    let chip_load = eased(chart, stepdown.value / diameter);
    let mut feed = governed(rpm.value * flutes * chip_load.value, &chip_load.by);
    if let Some(own) = overruled.pick(|o| o.feed.map(|f| f.0)) {
        if own.value > feed_limit {
            let help = format!("at most {feed_limit:.0} mm/min: the slower of x and y");
            return Err(refused(
                "feed",
                format!("a feed of {:.0} mm/min is faster than the machine", own.value),
                help,
            ));
        }
        feed = positive(own, "feed")?;
    }
    let feed = at_most(feed, feed_limit, "axis limit");
    let chip_load = governed(feed.value / (rpm.value * flutes), &chip_load.by);
    let stepdown =
        force::limited(machine, material, cutter, stepdown, &feed, rpm.value, MOST_DEFLECTION);
    let stepover = stepover(cutter, overruled, diameter)?;
    let plunge = plunge(machine, cutter, overruled, &feed)?;
    let ramp_angle = ramp_angle(material, overruled)?;
    let steepest = machine.max_feed[2].0 / ramp_angle.value.sin();
    let ramp_feed = at_most(governed(feed.value * RAMP, "half the feed"), steepest, "z axis limit");
    let load = force::load(material, diameter, stepdown.value, feed.value, rpm.value);
    if chart::thin(chip_load.value) {
        notes.push(format!(
            "cutter {}: a chip of {:.3} mm rubs and burns; fewer turns or more feed thicken it",
            cutter.number, chip_load.value
        ));
    }
    Ok(CuttingData {
        cutter: cutter.number,
        material: material.name.clone(),
        surface_speed: speed::rim(cutter.diameter.0, rpm.value),
        rpm,
        dial: speed.dial,
        chip_load,
        feed,
        plunge,
        ramp_feed,
        ramp_angle,
        stepdown,
        stepover,
        deflection: deflection(cutter, load.force.high),
        force: load.force,
        power: load.power,
        notes,
    })
}

fn positive(figure: Governed, name: &str) -> Result<Governed, Diagnostic> {
    if figure.value > 0.0 {
        return Ok(figure);
    }
    Err(refused(name, "is not more than zero".into(), "leave it out to take the table's".into()))
}

fn chip_load(
    machine: &Machine,
    material: &Material,
    cutter: &Cutter,
    overruled: &Overruled,
    diameter: f64,
    notes: &mut Vec<String>,
) -> Result<Governed, Diagnostic> {
    if let Some(own) = overruled.pick(|o| o.chip_load.map(|l| l.0)) {
        return positive(own, "chip-load");
    }
    let read = chart::chip_load(material.class, diameter);
    if read.clamped {
        notes.push(format!(
            "cutter {}: the chart ends at 1/8 and 1/2 in; its last figure stands for {:.2} mm",
            cutter.number, diameter
        ));
    }
    let (share, by) = chart::rigidity_share(machine.rigidity);
    let drill = if cutter.shape == CutterShape::Drill { 0.5 } else { 1.0 };
    Ok(governed(read.chip_load * share * drill, by))
}

/// The chart's chip load holds for a pass one diameter deep; deeper takes less.
fn eased(chart: Governed, depth: f64) -> Governed {
    let ease = chart::depth_ease(depth);
    if ease < 1.0 && !chart.by.ends_with("file") {
        governed(chart.value * ease, "chart, eased for depth")
    } else {
        chart
    }
}

fn stepdown(
    machine: &Machine,
    material: &Material,
    cutter: &Cutter,
    overruled: &Overruled,
    diameter: f64,
) -> Result<Governed, Diagnostic> {
    if let Some(own) = overruled.pick(|o| o.stepdown.map(|l| l.0)) {
        if own.value > cutter.flute_length.0 {
            return Err(refused(
                "stepdown",
                format!("a stepdown of {:.2} mm is deeper than the flutes are long", own.value),
                format!(
                    "at most {:.2} mm, the flutes of {}",
                    cutter.flute_length.0,
                    cutter.title()
                ),
            ));
        }
        return positive(own, "stepdown");
    }
    let _ = machine;
    // In diameters, full width: softwood and MDF one, hard woods half to three quarters (common practice).
    let (share, by) = match material.class {
        MaterialClass::SoftWood => (1.0, "soft wood, 1 D"),
        MaterialClass::Mdf => (1.0, "sheet, 1 D"),
        MaterialClass::MediumWood => (0.75, "medium wood, 3/4 D"),
        MaterialClass::Plywood => (0.75, "sheet, 3/4 D"),
        MaterialClass::HardWood => (0.5, "hard wood, 1/2 D"),
    };
    let mut depth = governed(share * diameter, by);
    if cutter.stick_out.0 > LONG_STICK_OUT * cutter.diameter.0 {
        depth = governed(depth.value / 2.0, "halved, stick-out over 4 D");
    }
    Ok(at_most(depth, cutter.flute_length.0, "flute length"))
}

fn stepover(cutter: &Cutter, overruled: &Overruled, diameter: f64) -> Result<Governed, Diagnostic> {
    let Some(own) = overruled.pick(|o| o.stepover.map(|l| l.0)) else {
        return Ok(governed(STEPOVER * diameter, "45 % of D"));
    };
    if own.value > cutter.diameter.0 {
        let message = format!("a stepover of {:.2} mm leaves wood between the passes", own.value);
        let help = format!("at most {:.2} mm, the cutter's diameter", cutter.diameter.0);
        return Err(refused("stepover", message, help));
    }
    positive(own, "stepover")
}

fn plunge(
    machine: &Machine,
    cutter: &Cutter,
    overruled: &Overruled,
    feed: &Governed,
) -> Result<Governed, Diagnostic> {
    let own = overruled.pick(|o| o.plunge.map(|f| f.0));
    if !cutter.centre_cutting && cutter.shape != CutterShape::Drill {
        return Ok(governed(0.0, "not centre-cutting"));
    }
    let limit = machine.max_feed[2].0;
    match own {
        Some(own) if own.value > limit => Err(refused(
            "plunge",
            format!("a plunge of {:.0} mm/min is faster than the z axis", own.value),
            format!("at most {limit:.0} mm/min"),
        )),
        Some(own) => positive(own, "plunge"),
        None => {
            Ok(at_most(governed(feed.value * PLUNGE, "a third of the feed"), limit, "z axis limit"))
        }
    }
}

fn ramp_angle(material: &Material, overruled: &Overruled) -> Result<Governed, Diagnostic> {
    if let Some(own) = overruled.pick(|o| o.ramp_angle.map(|a| a.0)) {
        // Steeper than 30 degrees is a plunge in all but name (common practice).
        let most = 30f64;
        if own.value > most.to_radians() {
            let message = format!("a ramp of {:.1} degrees is a plunge", own.value.to_degrees());
            return Err(refused("ramp-angle", message, format!("at most {most} degrees")));
        }
        return positive(own, "ramp-angle");
    }
    // Ramps of 2 to 5 degrees (common practice), the gentler the harder the wood.
    let (degrees, by) = match material.class {
        MaterialClass::SoftWood => (5.0f64, "soft wood"),
        MaterialClass::MediumWood => (3.5, "medium wood"),
        MaterialClass::HardWood => (2.5, "hard wood"),
        MaterialClass::Mdf | MaterialClass::Plywood => (3.5, "sheet"),
    };
    Ok(governed(degrees.to_radians(), by))
}
