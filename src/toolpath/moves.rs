//! Neutral moves, millimetres and mm/min, in work coordinates.

use crate::geometry::{Arc, Point3, Stroke};

/// Which way a spindle turns, seen from above.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Direction {
    /// M3: the way router cutters are ground.
    Clockwise,
    /// M4.
    CounterClockwise,
}

/// One thing a machine does.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub enum Move {
    /// As fast as it can, not to cut.
    Traverse {
        /// Where to.
        to: Point3,
    },
    /// A straight cut.
    Line {
        /// Where to.
        to: Point3,
        /// mm/min along the line.
        feed: f64,
    },
    /// A circular or helical cut.
    Arc {
        /// Where to.
        to: Point3,
        /// The circle.
        arc: Arc,
        /// mm/min along the helix.
        feed: f64,
    },
    /// Stand still.
    Dwell {
        /// For how long.
        seconds: f64,
    },
    /// Start the spindle, or change its speed.
    SpindleStart {
        /// Which way.
        direction: Direction,
        /// Turns per minute.
        rpm: f64,
    },
    /// Stop the spindle.
    SpindleStop,
    /// Put this cutter in; the spindle is stopped.
    CutterChange {
        /// The cutter's number in the shop's table.
        cutter: u32,
    },
}

impl Move {
    /// Where the move ends, if it moves.
    #[must_use]
    pub fn target(&self) -> Option<Point3> {
        match *self {
            Move::Traverse { to } | Move::Line { to, .. } | Move::Arc { to, .. } => Some(to),
            _ => None,
        }
    }

    /// The feed, if it is a cutting move.
    #[must_use]
    pub fn feed(&self) -> Option<f64> {
        match *self {
            Move::Line { feed, .. } | Move::Arc { feed, .. } => Some(feed),
            _ => None,
        }
    }

    /// The stroke from `from`, if it moves.
    #[must_use]
    pub fn stroke(&self, from: Point3) -> Option<Stroke> {
        match *self {
            Move::Traverse { to } | Move::Line { to, .. } => Some(Stroke::line(from, to)),
            Move::Arc { to, arc, .. } => Some(Stroke { from, to, arc: Some(arc) }),
            _ => None,
        }
    }
}

/// What a planned move is for: it becomes a remark in the program, nothing else.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Purpose {
    /// Getting from one place to another above the work.
    Travel,
    /// Going down into the work.
    Entry,
    /// Roughing.
    Rough,
    /// Finishing.
    Finish,
    /// Over a holding tab.
    Tab,
    /// Joining or leaving the outline.
    Lead,
    /// Spindle, dwell, cutter.
    Machine,
}

/// A planned move and what it is for.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Step {
    /// The move.
    pub action: Move,
    /// What for.
    pub purpose: Purpose,
}

/// A planned list of moves. The first must be a traverse.
#[derive(Clone, Debug, Default, PartialEq, serde::Serialize)]
pub struct Toolpath {
    /// In order.
    pub steps: Vec<Step>,
}

impl Toolpath {
    /// Adds a move.
    pub fn push(&mut self, purpose: Purpose, action: Move) {
        self.steps.push(Step { action, purpose });
    }

    /// Where the path ends so far.
    #[must_use]
    pub fn end(&self) -> Option<Point3> {
        self.steps.iter().rev().find_map(|s| s.action.target())
    }

    /// Every stroke with the move it belongs to. The first moving step only sets the position.
    pub fn strokes(&self) -> impl Iterator<Item = (Stroke, &Step)> + '_ {
        let mut at: Option<Point3> = None;
        self.steps.iter().filter_map(move |step| {
            let from = at;
            at = step.action.target().or(at);
            from.and_then(|from| step.action.stroke(from)).map(|s| (s, step))
        })
    }
}
