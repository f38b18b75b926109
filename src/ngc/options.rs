//! What a reader is told beside the text.

use crate::geometry::Point3;
use std::collections::BTreeMap;

/// What is known beside the text. The default knows nothing, and skips no line.
#[derive(Clone, Debug, PartialEq)]
pub struct Options {
    /// Whether lines that begin with `/` are skipped (NISTIR 6556 section 2.2.2).
    pub block_delete: bool,
    /// Where the control point stands at the start, mm, in work coordinates.
    pub start: Point3,
    /// Which of x, y, z of `start` are known.
    pub start_known: [bool; 3],
    /// Where G28 and G30 go, mm, in machine coordinates. Where `origins` is not given either,
    /// the machine's zero is taken as the work's.
    pub homes: [Option<Point3>; 2],
    /// Where the nine coordinate systems have their zero, mm, in machine coordinates. Those not
    /// given are taken as zero, and points of the machine stay unknown in work coordinates.
    pub origins: [Option<Point3>; 9],
    /// Length offsets by H index, mm. After G43 with an index not given here z is unknown until
    /// a line states it.
    pub lengths: BTreeMap<u32, f64>,
    /// How many cutters the changer holds: bound of T and H. `None` leaves that to a checker.
    pub slots: Option<u32>,
    /// How many problems are listed, and how many warnings; the rest is counted.
    pub max_problems: usize,
}

impl Default for Options {
    fn default() -> Options {
        Options {
            block_delete: false,
            start: Point3::default(),
            start_known: [false; 3],
            homes: [None; 2],
            origins: [None; 9],
            lengths: BTreeMap::new(),
            slots: None,
            // More than anyone reads, few enough for a screen file.
            max_problems: 100,
        }
    }
}
