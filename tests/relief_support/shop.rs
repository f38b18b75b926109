//! Cutters, figures and a machine for carving.
#![allow(dead_code)]

use ovolo::shop::*;
use ovolo::units::{Angle, Feed, Length};

/// A light router table.
pub(crate) fn machine() -> Machine {
    Machine {
        name: "table".into(),
        travel: [Length(1250.0), Length(850.0), Length(120.0)],
        safe_height: Length(10.0),
        rapid: [Feed(8000.0), Feed(8000.0), Feed(3000.0)],
        max_feed: [Feed(5000.0), Feed(5000.0), Feed(1500.0)],
        acceleration: [Length(400.0), Length(400.0), Length(200.0)],
        corner_tolerance: Length(0.05),
        rigidity: Rigidity::Light,
        spindle: Spindle {
            min_rpm: 8000.0,
            max_rpm: 24000.0,
            power: 1500.0,
            spin_up: 3.0,
            dial: vec![],
        },
        cutter_change: CutterChange::Manual,
        into_spoilboard: Length(1.0),
    }
}

fn cutter(shape: CutterShape, diameter: f64) -> Cutter {
    Cutter {
        number: 1,
        name: format!("{shape:?} of {diameter}"),
        shape,
        diameter: Length(diameter),
        flutes: 2,
        flute_length: Length(25.0),
        stick_out: Length(32.0),
        holder_diameter: Length(40.0),
        corner_radius: Length(0.0),
        included_angle: Angle(0.0),
        tip_diameter: Length(0.0),
        centre_cutting: true,
        max_rpm: 24000.0,
        material: CutterMaterial::Carbide,
    }
}

pub(crate) fn ball(diameter: f64) -> Cutter {
    cutter(CutterShape::Ball, diameter)
}

pub(crate) fn flat(diameter: f64) -> Cutter {
    Cutter { centre_cutting: false, ..cutter(CutterShape::Flat, diameter) }
}

pub(crate) fn vee(degrees: f64) -> Cutter {
    Cutter { included_angle: Angle(degrees.to_radians()), ..cutter(CutterShape::V, 12.0) }
}

/// Figures for a hardwood.
pub(crate) fn data(cutter: &Cutter) -> CuttingData {
    let g = |value| Governed { value, by: "test".into() };
    let band = Band { low: 1.0, high: 2.0 };
    CuttingData {
        cutter: 1,
        material: "yellow-poplar".into(),
        rpm: g(18000.0),
        dial: None,
        chip_load: g(0.08),
        feed: g(2880.0),
        plunge: g(960.0),
        ramp_feed: g(1440.0),
        ramp_angle: g(3f64.to_radians()),
        stepdown: g(2.0),
        stepover: g(cutter.diameter.0 * 0.4),
        surface_speed: 6.0,
        force: band,
        power: band,
        deflection: 0.01,
        notes: vec![],
    }
}
