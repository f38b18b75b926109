//! What a line of text makes a machine do.

use crate::geometry::{Plane, Point3, Stroke};
use crate::toolpath::{Direction, Move};

/// One happening, with the line that caused it. A line may cause several, in the published
/// order of execution.
#[derive(Clone, Debug, PartialEq)]
pub struct Event {
    /// Line of the text, from 1.
    pub line: usize,
    /// What happens.
    pub what: What,
    /// The modal state after the happening.
    pub state: State,
}

/// What happens.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// The cutter's control point moves (G0, G1, G2, G3, cycles, G28, G30).
    Motion(Motion),
    /// G4.
    Dwell {
        /// For how long.
        seconds: f64,
    },
    /// M3, M4, or S while turning.
    SpindleStart {
        /// Which way.
        direction: Direction,
        /// Turns per minute; may be zero, which turns nothing.
        rpm: f64,
    },
    /// M5, also as part of M2, M30 and M6.
    SpindleStop,
    /// T: the cutter that the next M6 puts in.
    CutterSelect {
        /// Its number; 0 is none.
        cutter: u32,
    },
    /// M6.
    CutterChange {
        /// Its number; 0 is none.
        cutter: u32,
    },
    /// M7, M8 (true), M9 (false).
    Coolant {
        /// On or off.
        on: bool,
    },
    /// M0, M1 or M60: waits for the operator.
    Stop {
        /// M1: only if the operator's switch is on.
        optional: bool,
    },
    /// A setting was stated in words, whether or not it changed anything: units, distance mode,
    /// plane, feed mode, path mode, offsets, coordinate system, radius compensation off.
    Stated(Statement),
    /// A comment; `message` when it begins with MSG.
    Comment {
        /// Without its parentheses.
        text: String,
        /// Shown to the operator.
        message: bool,
    },
    /// M2 or M30, or the closing `%`.
    End {
        /// Whether M2 or M30 ended it; the closing `%` alone leaves the machine as it is.
        stated: bool,
    },
}

/// What a setting is about, as far as the modal state afterwards does not tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Statement {
    /// G54 to G59.3, perhaps with other settings of its line.
    System,
    /// The zero of a coordinate system is written: by G10, or by its parameters.
    Origin,
    /// G92 with axis words, or G92.3.
    AxisOffset,
    /// Anything else.
    Mode,
}

/// A movement of the control point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Motion {
    /// From where to where, in mm, in work coordinates: those of the coordinate system in
    /// force, with G92 and length offsets taken off, so that it is the programmed point.
    pub stroke: Stroke,
    /// Which of x, y, z were known before the move. What is not known is taken as it was last,
    /// or as 0.
    pub known: [bool; 3],
    /// mm/min along the stroke; `None` for a traverse. In inverse time (G93) it is worked out.
    pub feed: Option<f64>,
    /// Under which offsets.
    pub frame: Frame,
    /// A G53 move, or the last leg of G28/G30: `stroke` ends at a point of the machine, not of
    /// the work. Where it lies in the work is told only if zeros of coordinate systems and homes
    /// were given; an unknown home is drawn where the move starts, and is unknown afterwards.
    pub machine: bool,
    /// Part of a canned cycle.
    pub cycle: bool,
}

impl Motion {
    /// The neutral move.
    #[must_use]
    pub fn neutral(&self) -> Move {
        let to = self.stroke.to;
        match (self.feed, self.stroke.arc) {
            (None, _) => Move::Traverse { to },
            (Some(feed), None) => Move::Line { to, feed },
            (Some(feed), Some(arc)) => Move::Arc { to, arc, feed },
        }
    }
}

/// One of the nine work coordinate systems: 1 is G54, 9 is G59.3.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CoordinateSystem(pub u8);

/// The offsets in force.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// Which work coordinate system.
    pub system: CoordinateSystem,
    /// Length offset index from G43; `None` after G49 or if none was ever stated.
    pub length_offset: Option<u32>,
    /// Axis offset from G92, mm; zero if none.
    pub axis_offset: Point3,
}

/// The modal state that a checker asks about.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct State {
    /// G20 or G21 was stated: inch if true. `None` until then.
    pub inches: Option<bool>,
    /// G90 (true) or G91 (false); `None` until stated.
    pub absolute: Option<bool>,
    /// The plane, `None` until stated.
    pub plane: Option<Plane>,
    /// G93 in force.
    pub inverse_time: bool,
    /// Feed in mm/min (or 1/min in G93); `None` until stated.
    pub feed: Option<f64>,
    /// Speed word in force; `None` until stated.
    pub rpm: Option<f64>,
    /// Turning, and which way.
    pub spindle: Option<Direction>,
    /// Cutter in the spindle; `None` until the first M6.
    pub cutter: Option<u32>,
    /// Cutter selected by T.
    pub selected: Option<u32>,
    /// Coolant, dust valve or the like is on.
    pub coolant: bool,
    /// The offsets in force.
    pub frame: Frame,
}
