//! What a machine knows while a text runs: modes, offsets, and where the control point stands.

use super::event::{CoordinateSystem, Frame, State};
use super::modal::Code;
use super::options::Options;
use super::parameters::Parameters;
use crate::geometry::{Plane, Point3, point3};

/// Everything that a refused line must leave as it was. Lengths in mm.
#[derive(Clone, Copy)]
pub(super) struct Machine {
    /// The part that events show.
    pub(super) state: State,
    /// The control point, in work coordinates.
    pub(super) at: [f64; 3],
    /// Which coordinates of it are known.
    pub(super) known: [bool; 3],
    /// Motion mode, G80 included; `None` until one is stated.
    pub(super) motion: Option<Code>,
    /// G99 (true) or G98 (false).
    pub(super) return_to_r: Option<bool>,
    /// What lies between the machine's coordinates and the work's.
    pub(super) offsets: Offsets,
    /// Words that a cycle keeps from line to line.
    pub(super) sticky: Sticky,
    /// M2 or M30 was run.
    pub(super) ended: bool,
}

/// Work coordinates are machine coordinates less all of these.
#[derive(Clone, Copy)]
pub(super) struct Offsets {
    /// Zero of the coordinate system.
    pub(super) origin: [f64; 3],
    /// Whether that was given, or only taken as zero.
    pub(super) origin_known: [bool; 3],
    /// G92.
    pub(super) axis: [f64; 3],
    /// False for a G92 set at an unknown place.
    pub(super) axis_known: [bool; 3],
    /// G43, along z.
    pub(super) length: f64,
    /// False for an H index whose length was not given.
    pub(super) length_known: bool,
}

impl Offsets {
    /// Their sum along an axis.
    pub(super) fn total(&self, axis: usize) -> f64 {
        let length = if axis == 2 { self.length } else { 0.0 };
        self.origin[axis] + self.axis[axis] + length
    }

    /// Whether a point of the machine is a known point of the work along an axis.
    pub(super) fn tied(&self, axis: usize) -> bool {
        self.origin_known[axis] && self.axis_known[axis] && (axis != 2 || self.length_known)
    }
}

/// The words that a cycle keeps while it goes on. Lengths in mm as written, not yet absolute.
#[derive(Clone, Copy, Default)]
pub(super) struct Sticky {
    pub(super) depth: Option<f64>,
    pub(super) clear: Option<f64>,
    pub(super) peck: Option<f64>,
    pub(super) dwell: Option<f64>,
}

impl Machine {
    pub(super) fn new(options: &Options, parameters: &Parameters) -> Machine {
        let first = Parameters::origin(1);
        let frame = Frame {
            system: CoordinateSystem(1),
            length_offset: None,
            axis_offset: Point3::default(),
        };
        Machine {
            state: State {
                inches: None,
                absolute: None,
                plane: None,
                inverse_time: false,
                feed: None,
                rpm: None,
                spindle: None,
                cutter: None,
                selected: None,
                coolant: false,
                frame,
            },
            at: [options.start.x, options.start.y, options.start.z],
            known: options.start_known,
            motion: None,
            return_to_r: None,
            offsets: Offsets {
                origin: parameters.three(first),
                origin_known: [0, 1, 2].map(|i| parameters.is_set(first + i)),
                axis: [0.0; 3],
                axis_known: [true; 3],
                length: 0.0,
                length_known: true,
            },
            sticky: Sticky::default(),
            ended: false,
        }
    }

    /// Millimetres to the unit in force. Without a stated unit, millimetres.
    #[inline]
    pub(super) fn scale(&self) -> f64 {
        // 25.4 mm to the inch, exactly.
        if self.state.inches == Some(true) { 25.4 } else { 1.0 }
    }

    /// The plane in force; XY if none was stated.
    pub(super) fn plane(&self) -> Plane {
        self.state.plane.unwrap_or_default()
    }

    /// Whether distances are increments. Without a stated mode they are absolute.
    pub(super) fn incremental(&self) -> bool {
        self.state.absolute == Some(false)
    }

    /// Puts other offsets in force: the point stays where it is and gets other numbers (section
    /// 2.1.2.10).
    pub(super) fn renumber(&mut self, new: Offsets) {
        let old = self.offsets;
        for axis in 0..3 {
            let shift = old.total(axis) - new.total(axis);
            self.at[axis] += shift;
            let lost = old.axis_known[axis] != new.axis_known[axis]
                || (axis == 2 && old.length_known != new.length_known);
            self.known[axis] &= !lost;
        }
        self.offsets = new;
        self.state.frame.axis_offset = to_point(new.axis);
    }

    /// Puts a coordinate system in force.
    pub(super) fn select_system(&mut self, system: u8, parameters: &Parameters) {
        let first = Parameters::origin(system);
        let mut new = self.offsets;
        new.origin = parameters.three(first);
        new.origin_known = [0, 1, 2].map(|i| parameters.is_set(first + i));
        self.state.frame.system = CoordinateSystem(system);
        self.renumber(new);
    }
}

/// A point from its three coordinates.
#[inline]
pub(super) fn to_point(p: [f64; 3]) -> Point3 {
    point3(p[0], p[1], p[2])
}

/// A length in the units in force, `scale` millimetres each: to a millionth, no zeros behind it.
pub(super) fn length(mm: f64, scale: f64) -> String {
    let unit = if scale > 1.0 { "in" } else { "mm" };
    // Adding zero turns minus zero into zero.
    format!("{} {unit}", (mm / scale * 1e6).round() / 1e6 + 0.0)
}
