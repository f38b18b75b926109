//! Straight moves, arcs, and the way home (NISTIR 6556 sections 3.5.1 to 3.5.3, 3.5.8, 3.5.12).

use super::arc::Ask;
use super::event::{Motion, What};
use super::interpreter::Interpreter;
use super::machine::to_point;
use super::modal::{Code, group};
use super::parameters::{HOME, SECOND_HOME};
use super::problem::{Fault, Read, Rule, fault};
use super::uses::Job;
use crate::geometry::{Arc, Plane, Point, Stroke, point};

/// Axes of a plane: first, second, and the one along which arcs are helices and cycles drill.
pub(super) fn axes(plane: Plane) -> [usize; 3] {
    match plane {
        Plane::Xy => [0, 1, 2],
        Plane::Zx => [2, 0, 1],
        Plane::Yz => [1, 2, 0],
    }
}

/// Letters of the axes.
pub(super) const LETTERS: [u8; 3] = *b"XYZ";
/// Letters of the centre offsets, axis by axis.
const OFFSET_LETTERS: [u8; 3] = *b"IJK";

/// How a stroke is made.
#[derive(Clone, Copy)]
pub(super) struct Manner {
    pub(super) arc: Option<Arc>,
    pub(super) cutting: bool,
    pub(super) machine: bool,
    pub(super) cycle: bool,
}

/// A traverse in work coordinates.
pub(super) const TRAVERSE: Manner =
    Manner { arc: None, cutting: false, machine: false, cycle: false };

impl Interpreter<'_> {
    /// Runs the motion of a line, if it has one, and remembers a mode that it states.
    pub(super) fn motion(&mut self, job: &Job) -> Read<()> {
        let stated = self.block.g[group::MOTION];
        let cycle = |code: Option<Code>| code.is_some_and(|c| c > 800);
        if let Some(code) = job.motion {
            match code {
                20 | 30 => self.arc(code == 20)?,
                0 | 10 => self.straight(code == 10)?,
                _ => self.cycle(code)?,
            }
            self.now.motion = Some(code);
        } else if stated == 800 {
            self.now.motion = Some(800);
        }
        if !cycle(self.now.motion) {
            self.now.sticky = super::machine::Sticky::default();
        }
        Ok(())
    }

    fn straight(&mut self, cutting: bool) -> Read<()> {
        if cutting {
            self.require_feed()?;
        }
        let machine = self.block.g[group::NOT_MODAL] == 530;
        let (to, known) = if machine { self.machine_end() } else { self.end_point() };
        self.stroke(to, known, Manner { cutting, machine, ..TRAVERSE });
        Ok(())
    }

    /// The point that the axis words name, and which of its coordinates are known.
    pub(super) fn end_point(&self) -> ([f64; 3], [bool; 3]) {
        let (mut to, mut known) = (self.now.at, self.now.known);
        let incremental = self.now.incremental();
        for axis in 0..3 {
            let Some(value) = self.axis_word(axis) else { continue };
            if incremental {
                to[axis] += value;
            } else {
                to[axis] = value;
                known[axis] = true;
            }
        }
        (to, known)
    }

    /// The same under G53: absolute, in machine coordinates, whatever the distance mode.
    fn machine_end(&self) -> ([f64; 3], [bool; 3]) {
        let (mut to, mut known) = (self.now.at, self.now.known);
        for axis in 0..3 {
            let Some(value) = self.axis_word(axis) else { continue };
            to[axis] = value - self.now.offsets.total(axis);
            known[axis] = self.now.offsets.tied(axis);
        }
        (to, known)
    }

    /// Moves the point and tells it.
    #[inline]
    pub(super) fn stroke(&mut self, to: [f64; 3], known: [bool; 3], manner: Manner) {
        let stroke = Stroke { from: to_point(self.now.at), to: to_point(to), arc: manner.arc };
        let feed = manner.cutting.then(|| self.feed_along(&stroke));
        let motion = Motion {
            stroke,
            known: self.now.known,
            feed,
            frame: self.now.state.frame,
            machine: manner.machine,
            cycle: manner.cycle,
        };
        self.now.at = to;
        self.now.known = known;
        self.emit(What::Motion(motion));
    }

    fn feed_along(&self, stroke: &Stroke) -> f64 {
        let feed = self.now.state.feed.unwrap_or(0.0);
        // In inverse time F is how many such moves go into a minute.
        if self.now.state.inverse_time { stroke.length() * feed } else { feed }
    }

    /// A cutting move needs a feed above zero; in inverse time, on its own line.
    pub(super) fn require_feed(&self) -> Read<()> {
        if self.now.state.inverse_time && !self.block.has(b'F') {
            let message = "under G93 the line has no F word";
            let help = "write one over the minutes of the move, or return to G94";
            return Err(fault(self.motion_place(), Rule::InverseTimeFeed, message, help));
        }
        match self.now.state.feed {
            Some(feed) if feed > 0.0 => Ok(()),
            Some(_) => Err(self.no_feed("the feed of a cutting move is zero")),
            None => Err(self.no_feed("no feed was stated before a cutting move")),
        }
    }

    #[cold]
    fn no_feed(&self, message: &str) -> Box<Fault> {
        fault(self.motion_place(), Rule::NoFeed, message, "state it by an F word")
    }

    /// Where the motion of the line is written: its code, or its first axis word.
    pub(super) fn motion_place(&self) -> usize {
        if self.block.g[group::MOTION] != super::modal::NONE {
            return self.block.g_place(group::MOTION);
        }
        let places = LETTERS.iter().filter(|&&l| self.block.has(l)).map(|&l| self.block.place(l));
        places.min().unwrap_or(0)
    }

    fn arc(&mut self, clockwise: bool) -> Read<()> {
        self.require_feed()?;
        let plane = self.now.plane();
        let [first, second, along] = axes(plane);
        let at = self.motion_place();
        let help = "an arc has an end word in its plane, and I J K of its plane or R";
        if !self.block.has(LETTERS[first]) && !self.block.has(LETTERS[second]) {
            let message = format!(
                "the arc has neither {} nor {}",
                char::from(LETTERS[first]),
                char::from(LETTERS[second])
            );
            return Err(fault(at, Rule::ArcWords, message, help));
        }
        self.known_start(at, [first, second])?;
        let (to, known) = self.end_point();
        let pick = |p: [f64; 3]| point(p[first], p[second]);
        let (from, to_point, scale) = (pick(self.now.at), pick(to), self.now.scale());
        let ask = Ask { plane, clockwise, from, to: to_point, scale, at };
        let arc = match (self.block.get(b'R'), self.offset(first, second, along)?) {
            (Some(_), Some(_)) => {
                let message = "the arc has both a radius and a centre offset";
                return Err(fault(at, Rule::ArcWords, message, "write one of them"));
            }
            (None, None) => {
                let message = "the arc has neither a radius nor a centre offset";
                return Err(fault(at, Rule::ArcWords, message, help));
            }
            (Some(r), None) => ask.with_radius(r * self.now.scale(), &mut self.warnings)?,
            (None, Some(offset)) => ask.about(offset, &mut self.warnings)?,
        };
        self.stroke(to, known, Manner { arc: Some(arc), cutting: true, ..TRAVERSE });
        Ok(())
    }

    fn known_start(&self, at: usize, plane: [usize; 2]) -> Read<()> {
        match plane.into_iter().find(|&axis| !self.now.known[axis]) {
            None => Ok(()),
            Some(axis) => {
                let letter = char::from(LETTERS[axis]).to_ascii_lowercase();
                let message = format!("the arc starts at an unknown {letter}");
                let help = "move to its start by G0 or G1 with X and Y before it";
                Err(fault(at, Rule::ArcStart, message, help))
            }
        }
    }

    /// The centre's offset from the start in the plane, if any offset word is there.
    fn offset(&self, first: usize, second: usize, along: usize) -> Read<Option<Point>> {
        let word = |axis: usize| self.block.get(OFFSET_LETTERS[axis]);
        if word(along).is_some() {
            let letter = OFFSET_LETTERS[along];
            let message =
                format!("{} is no centre offset of the plane in force", char::from(letter));
            let help = "offsets are I J under G17, I K under G18, J K under G19";
            return Err(fault(self.block.place(letter), Rule::ArcWords, message, help));
        }
        let (a, b) = (word(first), word(second));
        if a.is_none() && b.is_none() {
            return Ok(None);
        }
        let scale = self.now.scale();
        Ok(Some(point(a.unwrap_or(0.0) * scale, b.unwrap_or(0.0) * scale)))
    }

    /// G28 and G30: by way of the point that the axis words name, then home with all axes.
    pub(super) fn go_home(&mut self, job: &Job, which: usize) -> Read<()> {
        if job.axes {
            let (to, known) = self.end_point();
            if to != self.now.at || known != self.now.known {
                self.stroke(to, known, TRAVERSE);
            }
        }
        let first = if which == 0 { HOME } else { SECOND_HOME };
        let (mut to, mut known) = (self.now.at, [false; 3]);
        for axis in 0..3 {
            if self.parameters.is_set(first + axis) {
                to[axis] = self.parameters.get(first + axis) - self.now.offsets.total(axis);
                known[axis] = true;
            }
        }
        self.stroke(to, known, Manner { machine: true, ..TRAVERSE });
        Ok(())
    }
}
