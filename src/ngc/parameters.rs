//! The 5399 numbered parameters (NISTIR 6556 section 3.2.1).

use super::options::Options;
use crate::geometry::Point3;

/// First parameter of the G28 home; x, y, z follow.
pub(super) const HOME: usize = 5161;
/// First parameter of the G30 home.
pub(super) const SECOND_HOME: usize = 5181;
/// First parameter of the G92 offset.
pub(super) const AXIS_OFFSET: usize = 5211;
/// Names the coordinate system in force.
pub(super) const SYSTEM: usize = 5220;
/// First parameter of the first coordinate system's zero; each next one is 20 further.
const ORIGIN: usize = 5221;
/// Distance between the parameters of coordinate systems.
const ORIGIN_STEP: usize = 20;
/// One past the last parameter.
const COUNT: usize = 5400;

/// The parameters. All are 0 at the start. Those that hold lengths (homes, offsets, zeros of
/// coordinate systems) are kept in mm here and read and set in the unit in force.
pub(super) struct Parameters {
    values: Vec<f64>,
    known: Vec<bool>,
}

impl Parameters {
    pub(super) fn new(options: &Options) -> Parameters {
        let mut new = Parameters { values: vec![0.0; COUNT], known: vec![false; COUNT] };
        new.set(SYSTEM, 1.0);
        let homes = [HOME, SECOND_HOME];
        for (first, home) in homes.into_iter().zip(options.homes) {
            new.set_point(first, home);
        }
        for (system, origin) in (1..=9).zip(options.origins) {
            new.set_point(Parameters::origin(system), origin);
        }
        new
    }

    fn set_point(&mut self, first: usize, point: Option<Point3>) {
        let Some(p) = point else { return };
        for (i, value) in [p.x, p.y, p.z].into_iter().enumerate() {
            self.set(first + i, value);
        }
    }

    /// The first parameter of a coordinate system's zero.
    pub(super) fn origin(system: u8) -> usize {
        ORIGIN + ORIGIN_STEP * (usize::from(system) - 1)
    }

    /// A parameter's value; 0 if it was never set.
    pub(super) fn get(&self, index: usize) -> f64 {
        self.values.get(index).copied().unwrap_or(0.0)
    }

    /// Whether it was ever set.
    pub(super) fn is_set(&self, index: usize) -> bool {
        self.known.get(index).copied().unwrap_or(false)
    }

    /// Sets it; numbers out of range were refused when read.
    pub(super) fn set(&mut self, index: usize, value: f64) {
        if let (Some(slot), Some(known)) = (self.values.get_mut(index), self.known.get_mut(index)) {
            *slot = value;
            *known = true;
        }
    }

    /// x, y, z from three parameters in a row.
    pub(super) fn three(&self, first: usize) -> [f64; 3] {
        [0, 1, 2].map(|i| self.get(first + i))
    }

    /// Whether a parameter says where a coordinate system lies, or which is in force.
    pub(super) fn moves_zero(index: usize) -> bool {
        let within = |first: usize| (first..first + ORIGIN_STEP).contains(&index);
        index == SYSTEM
            || (AXIS_OFFSET..AXIS_OFFSET + 3).contains(&index)
            || (1..=9).any(|s| within(Parameters::origin(s)))
    }

    /// Whether a parameter holds a length along x, y or z.
    pub(super) fn is_length(index: usize) -> bool {
        let within = |first: usize| (first..first + 3).contains(&index);
        within(HOME)
            || within(SECOND_HOME)
            || within(AXIS_OFFSET)
            || (1..=9).any(|s| within(Parameters::origin(s)))
    }
}
