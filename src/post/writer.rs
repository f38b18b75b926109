//! Moves to text.

use super::arcs::{Fitter, Shape, Written};
use super::block;
use super::dialect::{CutterChanges, Dialect, DwellUnit, EndWord, SpindleControl, ValveWord};
use super::grid::{Grid, Spot, rounded_down, rounded_up};
use super::lines::Lines;
use super::remark::{Heading, dial_setting, message, remarks};
use crate::diagnostic::{Diagnostic, Failure};
use crate::geometry::{Plane, Point3};
use crate::toolpath::{Direction, Move, Purpose, Step, Toolpath};
use crate::units::Unit;
use std::f64::consts::TAU;

/// Farthest coordinate written, mm: a kilometre, so that arcs of low rise keep their centre.
const FARTHEST: f64 = 1e6;

/// Decimals of a dwell in seconds.
const DWELL_DECIMALS: u32 = 3;

/// One program's text.
#[derive(Clone, Debug, PartialEq)]
pub struct Program {
    /// The cutter, where each has its own program.
    pub cutter: Option<u32>,
    /// The text, ASCII.
    pub text: String,
    /// The ending of its file name, without a dot.
    pub extension: String,
}

/// Writes a toolpath as G-code. Most dialects give one program; with `separate-programs`, each
/// run of one cutter gives one, in order.
///
/// # Errors
/// [`Failure::Refused`] if the toolpath holds what no program can say: a first move that is not
/// a traverse, a number that is not finite, a feed of nothing.
pub fn write(
    toolpath: &Toolpath,
    dialect: &Dialect,
    heading: &Heading,
) -> Result<Vec<Program>, Failure> {
    let wrong = refusals(toolpath, heading);
    if !wrong.is_empty() {
        return Err(Failure::Refused(wrong));
    }
    let programs = split(toolpath, dialect).into_iter().map(|part| Program {
        cutter: part.cutter,
        text: Writer::new(dialect, heading).program(&part),
        extension: dialect.extension.clone(),
    });
    Ok(programs.collect())
}

/// The steps of one program.
struct Part<'a> {
    cutter: Option<u32>,
    /// Where the part before it ended.
    from: Option<Point3>,
    steps: &'a [Step],
}

fn split<'a>(toolpath: &'a Toolpath, dialect: &Dialect) -> Vec<Part<'a>> {
    let steps = toolpath.steps.as_slice();
    if dialect.cutter_change != CutterChanges::SeparatePrograms {
        return vec![Part { cutter: None, from: None, steps }];
    }
    let mut parts: Vec<Part<'a>> = Vec::new();
    let (mut start, mut cutter, mut from, mut at, mut cuts) = (0, None, None, None, false);
    for (i, step) in steps.iter().enumerate() {
        if let Move::CutterChange { cutter: next } = step.action
            && cutter != Some(next)
        {
            // What only travels before the first cutter belongs to that cutter's program.
            if cuts || cutter.is_some() {
                parts.push(Part { cutter, from, steps: &steps[start..i] });
                (start, from) = (i, at);
            }
            (cutter, cuts) = (Some(next), false);
        }
        cuts |= step.action.feed().is_some();
        at = step.action.target().or(at);
    }
    parts.push(Part { cutter, from, steps: &steps[start..] });
    parts
}

fn refusals(toolpath: &Toolpath, heading: &Heading) -> Vec<Diagnostic> {
    let mut wrong = Vec::new();
    if !(54..=59).contains(&heading.work_offset) {
        let message =
            format!("the work offset is G{}; G54 to G59 can be written", heading.work_offset);
        wrong.push(Diagnostic::error(message));
    }
    let first = toolpath.steps.iter().find(|s| s.action.target().is_some());
    if first.is_some_and(|s| !matches!(s.action, Move::Traverse { .. })) {
        wrong.push(Diagnostic::error("the toolpath cuts before it has travelled to its start"));
    }
    for (i, step) in toolpath.steps.iter().enumerate() {
        if let Some(reason) = unwritable(&step.action) {
            wrong.push(Diagnostic::error(format!("move {} cannot be written: {reason}", i + 1)));
        }
    }
    wrong
}

fn unwritable(action: &Move) -> Option<&'static str> {
    let near = |v: f64| v.abs() <= FARTHEST; // false for what is not a number
    if action.target().is_some_and(|p| !(near(p.x) && near(p.y) && near(p.z))) {
        return Some("a coordinate is not a number within a kilometre");
    }
    if action.feed().is_some_and(|f| !(f > 0.0 && f.is_finite())) {
        return Some("the feed is not more than zero");
    }
    match action {
        Move::Arc { arc, .. } if !(near(arc.center.x) && near(arc.center.y)) => {
            Some("an arc's centre is not a number within a kilometre")
        }
        // A turn and its rounding.
        Move::Arc { arc, .. } if !(0.0..=TAU + 1e-9).contains(&arc.sweep.abs()) => {
            Some("an arc turns by more than a full circle")
        }
        // A day.
        Move::Dwell { seconds } if !(0.0..=86_400.0).contains(seconds) => {
            Some("a dwell is not a time")
        }
        // Faster than any spindle that turns wood.
        Move::SpindleStart { rpm, .. } if !(*rpm >= 0.5 && *rpm <= 1e6) => {
            Some("a spindle speed is not more than zero")
        }
        _ => None,
    }
}

/// The state of a program that is being written.
struct Writer<'a> {
    dialect: &'a Dialect,
    heading: &'a Heading,
    grid: Grid,
    fitter: Fitter,
    lines: Lines,
    /// Where the written text stands; `None` after anything that may have moved it.
    at: Option<Spot>,
    /// Where the plan stands.
    planned: Option<Point3>,
    motion: Option<u8>,
    feed: Option<String>,
    plane: Plane,
    remark: Option<Purpose>,
    turning: Option<(Direction, f64)>,
    offset_called: bool,
    /// What the operator must do at the next stop.
    requests: Vec<String>,
}

impl<'a> Writer<'a> {
    fn new(dialect: &'a Dialect, heading: &'a Heading) -> Writer<'a> {
        Writer {
            dialect,
            heading,
            grid: Grid::of(dialect),
            fitter: Fitter::of(dialect),
            lines: Lines::new(dialect),
            at: None,
            planned: None,
            motion: None,
            feed: None,
            plane: Plane::Xy,
            remark: None,
            turning: None,
            offset_called: false,
            requests: Vec::new(),
        }
    }

    fn program(mut self, part: &Part<'_>) -> String {
        self.planned = part.from;
        self.head(part);
        let mut steps = part.steps.iter().peekable();
        while let Some(step) = steps.next() {
            self.purpose(step.purpose);
            match step.action {
                // It turns so already.
                Move::SpindleStart { direction, rpm } if self.turning == Some((direction, rpm)) => {
                }
                Move::SpindleStart { direction, rpm } => {
                    let mut wait = self.dialect.spindle_dwell;
                    // A planned wait right after the start is the same wait.
                    if let Some(Step { action: Move::Dwell { seconds }, .. }) = steps.peek() {
                        wait = wait.max(*seconds);
                        steps.next();
                    }
                    self.spindle_start(direction, rpm, wait);
                }
                other => self.step(other),
            }
        }
        self.foot(part);
        self.lines.into_text()
    }

    fn head(&mut self, part: &Part<'_>) {
        if self.dialect.percent_signs {
            self.lines.bare("%");
        }
        let own = part.cutter.map(|n| self.cutter_name(n));
        let heading = self.heading;
        let texts = [&heading.title].into_iter().chain(&heading.lines).chain(&own);
        for remark in texts.flat_map(|t| remarks(t)) {
            self.lines.remark(&remark);
        }
        let units = if self.dialect.units == Unit::Mm { "G21" } else { "G20" };
        self.lines.words(&[units]);
        self.lines.words(&["G17", "G40", "G49", "G80"]);
        self.lines.words(&["G90", "G94"]);
        self.lines.words(&[format!("G{}", heading.work_offset)]);
        self.block(&self.dialect.start, part.cutter);
    }

    fn foot(&mut self, part: &Part<'_>) {
        self.spindle_stop();
        self.stop_for_operator();
        self.turn_in(Plane::Xy);
        self.block(&self.dialect.end, part.cutter);
        if self.offset_called {
            self.lines.words(&["G49"]);
        }
        self.lines.words(&[match self.dialect.end_word {
            EndWord::M30 => "M30",
            EndWord::M2 => "M2",
        }]);
        if self.dialect.percent_signs {
            self.lines.bare("%");
        }
    }

    /// The dialect's own lines. They may move the machine, so nothing is known after them.
    fn block(&mut self, lines: &[String], cutter: Option<u32>) {
        for line in lines {
            let text = block::filled(line, cutter, &self.heading.title);
            self.lines.words(&[text]);
        }
        self.forget();
    }

    fn forget(&mut self) {
        (self.at, self.motion, self.feed) = (None, None, None);
    }

    fn purpose(&mut self, purpose: Purpose) {
        let text = match purpose {
            // Between cuts: no remark, and the next cut of the same kind needs none either.
            Purpose::Travel | Purpose::Machine => return,
            Purpose::Entry => "entry",
            Purpose::Rough => "rough",
            Purpose::Finish => "finish",
            Purpose::Tab => "tab",
            Purpose::Lead => "lead",
        };
        if self.remark != Some(purpose) {
            self.remark = Some(purpose);
            self.lines.remark(text);
        }
    }

    fn step(&mut self, action: Move) {
        match action {
            Move::Traverse { to } => self.traverse(to),
            Move::Line { feed, .. } | Move::Arc { feed, .. } => self.cut(&action, feed),
            Move::Dwell { seconds } => {
                self.stop_for_operator();
                self.dwell(seconds);
            }
            Move::SpindleStart { direction, rpm } => {
                self.spindle_start(direction, rpm, self.dialect.spindle_dwell);
            }
            Move::SpindleStop => self.spindle_stop(),
            Move::CutterChange { cutter } => self.cutter_change(cutter),
        }
        self.planned = action.target().or(self.planned);
    }

    /// At first, and after anything that may have moved the machine: up, then across.
    fn traverse(&mut self, to: Point3) {
        self.stop_for_operator();
        let to = self.grid.spot(to);
        match self.at {
            Some(at) if at == to => {}
            Some(_) => self.motion_line(0, to, &[], None),
            None => {
                self.words_of_motion(0, vec![self.grid.word('Z', to.z)], None);
                let across = vec![self.grid.word('X', to.x), self.grid.word('Y', to.y)];
                self.words_of_motion(0, across, None);
                self.at = Some(to);
            }
        }
    }

    fn cut(&mut self, action: &Move, feed: f64) {
        self.stop_for_operator();
        // The first move is a traverse, so the plan stands somewhere.
        let Some(planned) = self.planned else { return };
        if self.at.is_none() {
            self.traverse(planned);
        }
        let (Some(at), Some(stroke)) = (self.at, action.stroke(planned)) else { return };
        for cut in self.fitter.cuts(at, &stroke) {
            match cut {
                Written::Line(to) => self.motion_line(1, to, &[], Some(feed)),
                Written::Arc { to, plane, counter_clockwise, shape } => {
                    self.turn_in(plane);
                    let words = self.shape_words(plane, shape);
                    let code = if counter_clockwise { 3 } else { 2 };
                    self.motion_line(code, to, &words, Some(feed));
                }
            }
        }
    }

    fn shape_words(&self, plane: Plane, shape: Shape) -> Vec<String> {
        let letters = match plane {
            Plane::Xy => ('I', 'J'),
            Plane::Zx => ('K', 'I'),
            Plane::Yz => ('J', 'K'),
        };
        match shape {
            Shape::Radius(r) => vec![self.grid.word('R', r)],
            Shape::Centre(a, b) => {
                let mut words = vec![self.grid.word(letters.0, a), self.grid.word(letters.1, b)];
                words.sort(); // I before J before K
                words
            }
        }
    }

    /// A motion line to `to`, cut with a feed in mm/min or, without one, a traverse. Of an arc
    /// both coordinates in its plane are always said.
    fn motion_line(&mut self, code: u8, to: Spot, shape: &[String], feed: Option<f64>) {
        let arc_plane = (!shape.is_empty()).then_some(self.plane);
        let at = self.at;
        let says = |letter: char, old: Option<i64>, new: i64| {
            let in_plane = arc_plane.is_some_and(|p| match p {
                Plane::Xy => letter != 'Z',
                Plane::Zx => letter != 'Y',
                Plane::Yz => letter != 'X',
            });
            (!self.dialect.modal || in_plane || old != Some(new))
                .then(|| self.grid.word(letter, new))
        };
        let mut words: Vec<String> = [
            says('X', at.map(|a| a.x), to.x),
            says('Y', at.map(|a| a.y), to.y),
            says('Z', at.map(|a| a.z), to.z),
        ]
        .into_iter()
        .flatten()
        .collect();
        words.extend_from_slice(shape);
        self.words_of_motion(code, words, feed);
        self.at = Some(to);
    }

    /// F is the last word, and stands on the first line cut with that feed: it holds for the
    /// motion of its own line (NISTIR 6556 section 3.8, feed before motion).
    fn words_of_motion(&mut self, code: u8, mut words: Vec<String>, feed: Option<f64>) {
        if !self.dialect.modal || self.motion != Some(code) {
            words.insert(0, format!("G{code}"));
        }
        self.motion = Some(code);
        words.extend(feed.and_then(|f| self.changed_feed(f)));
        self.lines.words(&words);
    }

    /// The F word for a feed in mm/min, if it is not in force already.
    fn changed_feed(&mut self, mm_per_min: f64) -> Option<String> {
        let text = rounded_down(mm_per_min / self.dialect.units.mm(), self.dialect.decimals_feed);
        if self.feed.as_deref() == Some(&text) {
            return None;
        }
        let word = format!("F{text}");
        self.feed = Some(text);
        Some(word)
    }

    fn turn_in(&mut self, plane: Plane) {
        if self.plane != plane {
            self.lines.words(&[match plane {
                Plane::Xy => "G17",
                Plane::Zx => "G18",
                Plane::Yz => "G19",
            }]);
            self.plane = plane;
        }
    }

    fn dwell(&mut self, seconds: f64) {
        if seconds <= 0.0 {
            return;
        }
        let time = match self.dialect.dwell_unit {
            DwellUnit::Seconds => rounded_up(seconds, DWELL_DECIMALS),
            DwellUnit::Milliseconds => rounded_up(seconds * 1000.0, 0),
        };
        self.lines.words(&["G4".to_string(), format!("P{time}")]);
    }

    fn spindle_start(&mut self, direction: Direction, rpm: f64, wait: f64) {
        if self.dialect.spindle == SpindleControl::ByHand {
            // A dial is set with the router off.
            self.spindle_stop();
            self.requests.push(dial_setting(&self.heading.dial, rpm));
            self.requests.push("start the router".to_string());
        }
        self.stop_for_operator();
        let word = match direction {
            Direction::Clockwise => "M3",
            Direction::CounterClockwise => "M4",
        };
        self.lines.words(&[word.to_string(), format!("S{rpm:.0}")]);
        self.dwell(wait);
        if let Some(valve) = self.dialect.dust_valve {
            self.lines.words(&[match valve {
                ValveWord::M7 => "M7",
                ValveWord::M8 => "M8",
            }]);
        }
        self.turning = Some((direction, rpm));
    }

    fn spindle_stop(&mut self) {
        if self.turning.take().is_none() {
            return;
        }
        self.lines.words(&["M5"]);
        if self.dialect.dust_valve.is_some() {
            self.lines.words(&["M9"]);
        }
        if self.dialect.spindle == SpindleControl::ByHand {
            self.requests.push("switch the router off".to_string());
        }
    }

    fn cutter_change(&mut self, cutter: u32) {
        self.spindle_stop();
        let request = format!("put in {}", self.cutter_name(cutter));
        let select = format!("T{cutter}");
        match self.dialect.cutter_change {
            CutterChanges::M6 => {
                self.lines.remark(&message(&request));
                self.lines.words(&[select.as_str(), "M6"]);
            }
            CutterChanges::Stop => {
                if self.dialect.cutter_word {
                    self.lines.words(&[select]);
                }
                self.requests.push(request);
            }
            CutterChanges::SeparatePrograms => {
                if self.dialect.cutter_word {
                    self.lines.words(&[select]);
                }
            }
        }
        if self.dialect.length_offset {
            self.lines.words(&["G43".to_string(), format!("H{cutter}")]);
            self.offset_called = true;
        }
        self.forget();
    }

    /// One stop with all that the operator is asked to do, if anything.
    fn stop_for_operator(&mut self) {
        if self.requests.is_empty() {
            return;
        }
        let text = std::mem::take(&mut self.requests).join(", ");
        self.lines.remark(&message(&text));
        self.lines.words(&["M0"]);
        // The operator may have moved the machine by hand.
        self.forget();
    }

    fn cutter_name(&self, cutter: u32) -> String {
        let name = self.heading.cutters.iter().find(|(number, _)| *number == cutter);
        match name {
            Some((_, name)) if !name.is_empty() => format!("cutter {cutter}: {name}"),
            _ => format!("cutter {cutter}"),
        }
    }
}
