//! Runs blocks one by one, each in the published order of execution (NISTIR 6556 section 3.8,
//! Table 8).

use super::block::Block;
use super::cursor::Cursor;
use super::event::{Event, Statement, What};
use super::expression::{Values, whole};
use super::machine::{Machine, Offsets};
use super::modal::{Code, NONE, group};
use super::options::Options;
use super::parameters::{AXIS_OFFSET, Parameters, SYSTEM};
use super::problem::{Fault, Read, Rule, fault};
use super::uses::{self, Job};
use crate::geometry::Plane;
use crate::toolpath::Direction;

/// A machine that is fed lines and tells what happens.
pub(super) struct Interpreter<'a> {
    pub(super) options: &'a Options,
    pub(super) parameters: Parameters,
    pub(super) now: Machine,
    pub(super) block: Block,
    /// What the line at hand has made happen.
    pub(super) events: Vec<Event>,
    /// What deserves a word on the line at hand.
    pub(super) warnings: Vec<Fault>,
    /// Parameters that the line at hand sets by its G codes, in mm.
    writes: Vec<(usize, f64)>,
    /// The line at hand, from 1.
    line: usize,
}

impl<'a> Interpreter<'a> {
    pub(super) fn new(options: &'a Options) -> Interpreter<'a> {
        let parameters = Parameters::new(options);
        Interpreter {
            options,
            now: Machine::new(options, &parameters),
            parameters,
            block: Block::new(),
            events: Vec::new(),
            warnings: Vec::new(),
            writes: Vec::new(),
            line: 0,
        }
    }

    /// Runs one line. Its events and warnings stand in `events` and `warnings` afterwards.
    ///
    /// # Errors
    /// If a rule is broken: then the line has done nothing, but the coordinates that it named
    /// are no longer known.
    pub(super) fn run(&mut self, line: usize, text: &[u8]) -> Read<()> {
        self.line = line;
        self.events.clear();
        self.warnings.clear();
        self.writes.clear();
        let before = self.now;
        let result = self.read(text).and_then(|()| self.execute(text));
        match result {
            Ok(()) => self.commit(&before),
            Err(_) => {
                self.now = before;
                self.events.clear();
                self.doubt(text);
            }
        }
        result
    }

    fn read(&mut self, text: &[u8]) -> Read<()> {
        let mut cursor = Cursor { line: text, at: 0, warnings: &mut self.warnings };
        let values = Values { parameters: &self.parameters, scale: self.now.scale() };
        self.block.read(&mut cursor, &values, self.options.block_delete)
    }

    /// Sets parameters when the line has run. Lengths were written in the units before it.
    fn commit(&mut self, before: &Machine) {
        for &(index, value) in &self.writes {
            self.parameters.set(index, value);
        }
        for &(index, value) in &self.block.settings {
            let scale = if Parameters::is_length(index) { before.scale() } else { 1.0 };
            self.parameters.set(index, value * scale);
        }
    }

    /// After a refused line the point may not stand where the text wanted it.
    #[cold]
    fn doubt(&mut self, text: &[u8]) {
        let mut outside = true;
        for byte in text {
            match byte.to_ascii_uppercase() {
                b'(' => outside = false,
                b')' => outside = true,
                b @ b'X'..=b'Z' if outside => self.now.known[usize::from(b - b'X')] = false,
                _ => {}
            }
        }
    }

    #[inline]
    pub(super) fn emit(&mut self, what: What) {
        self.events.push(Event { line: self.line, what, state: self.now.state });
    }

    /// Tells of something that no block made happen.
    pub(super) fn emit_at(&mut self, line: usize, what: What) {
        self.line = line;
        self.emit(what);
    }

    fn execute(&mut self, text: &[u8]) -> Read<()> {
        let job = uses::check(&self.block, self.now.motion)?;
        self.comment(text);
        self.feed()?;
        self.spindle_and_cutter()?;
        if self.block.g[group::NOT_MODAL] == 40 {
            self.dwell()?;
        }
        self.settings()?;
        if self.block.settings.iter().any(|(index, _)| Parameters::moves_zero(*index)) {
            self.emit(What::Stated(Statement::Origin));
        }
        self.not_modal(&job)?;
        self.motion(&job)?;
        self.stop();
        Ok(())
    }

    fn comment(&mut self, text: &[u8]) {
        let Some(range) = self.block.comment.clone() else { return };
        let text = String::from_utf8_lossy(text.get(range).unwrap_or_default());
        let what = match message(&text) {
            Some(message) => What::Comment { text: message.to_string(), message: true },
            None => What::Comment { text: text.into_owned(), message: false },
        };
        self.emit(what);
    }

    /// Feed mode, then F. A number of the other mode is no feed any more.
    fn feed(&mut self) -> Read<()> {
        let mode = self.block.g[group::FEED_MODE];
        if mode != NONE && self.now.state.inverse_time != (mode == 930) {
            self.now.state.inverse_time = mode == 930;
            self.now.state.feed = None;
        }
        let Some(f) = self.block.get(b'F') else { return Ok(()) };
        if f < 0.0 {
            let message = format!("F{f} is negative");
            let place = self.block.place(b'F');
            return Err(fault(place, Rule::NegativeFeed, message, "write a feed above zero"));
        }
        let scale = if self.now.state.inverse_time { 1.0 } else { self.now.scale() };
        self.now.state.feed = Some(f * scale);
        Ok(())
    }

    /// S, T, M6, M3 to M5, M7 to M9.
    fn spindle_and_cutter(&mut self) -> Read<()> {
        let b = &self.block;
        let (turn, change, cool) = (b.m[group::SPINDLE], b.m[group::CHANGE], b.m[group::COOLANT]);
        if let Some(s) = b.get(b'S') {
            if s < 0.0 {
                let message = format!("S{s} is negative");
                let help = "write the speed without a sign; M4 turns the other way";
                return Err(fault(b.place(b'S'), Rule::NegativeSpeed, message, help));
            }
            self.now.state.rpm = Some(s);
            if let Some(direction) = self.now.state.spindle
                && turn == NONE
                && change == NONE
            {
                self.emit(What::SpindleStart { direction, rpm: s });
            }
        }
        if let Some(t) = self.block.get(b'T') {
            let place = self.block.place(b'T');
            let cutter = self.slot(t, place, Rule::CutterNumber, "T")?;
            self.now.state.selected = Some(cutter);
            self.emit(What::CutterSelect { cutter });
        }
        if change != NONE {
            self.change_cutter()?;
        }
        if turn != NONE {
            self.turn(turn);
        }
        if cool != NONE {
            self.now.state.coolant = cool != 9;
            self.emit(What::Coolant { on: cool != 9 });
        }
        Ok(())
    }

    fn change_cutter(&mut self) -> Read<()> {
        let Some(cutter) = self.now.state.selected else {
            let message = "M6 changes the cutter, and no T word has selected one";
            let place = self.block.m_place(group::CHANGE);
            return Err(fault(place, Rule::CutterNotSelected, message, "write T1 M6"));
        };
        self.now.state.spindle = None;
        self.emit(What::SpindleStop);
        self.now.state.cutter = Some(cutter);
        self.emit(What::CutterChange { cutter });
        Ok(())
    }

    fn turn(&mut self, code: u16) {
        self.now.state.spindle = match code {
            3 => Some(Direction::Clockwise),
            4 => Some(Direction::CounterClockwise),
            _ => None,
        };
        let what = match self.now.state.spindle {
            Some(direction) => {
                // Legal without a speed, or with zero: then nothing turns (section 3.6.2).
                What::SpindleStart { direction, rpm: self.now.state.rpm.unwrap_or(0.0) }
            }
            None => What::SpindleStop,
        };
        self.emit(what);
    }

    /// A whole number from 0 to the last slot.
    fn slot(&self, value: f64, at: usize, rule: Rule, letter: &str) -> Read<u32> {
        let number = whole(value).and_then(|n| u32::try_from(n).ok());
        let Some(number) = number else {
            let message = format!("{letter}{value} is not a whole number from 0");
            return Err(fault(at, rule, message, "write a whole number; 0 is none"));
        };
        match self.options.slots {
            Some(slots) if number > slots => {
                let message = format!("{letter}{number} is above the {slots} slots there are");
                Err(fault(at, rule, message, "write a slot of the machine"))
            }
            _ => Ok(number),
        }
    }

    fn dwell(&mut self) -> Read<()> {
        let seconds = self.block.get(b'P').unwrap_or(-1.0);
        if seconds < 0.0 {
            let message = if self.block.has(b'P') {
                format!("a dwell of {seconds} seconds is negative")
            } else {
                "G4 has no P word".to_string()
            };
            let place = self.block.g_place(group::NOT_MODAL);
            return Err(fault(place, Rule::Dwell, message, "write seconds, as in G4 P3"));
        }
        self.emit(What::Dwell { seconds });
        Ok(())
    }

    /// Plane to cycle return, in order, told once.
    fn settings(&mut self) -> Read<()> {
        let g = self.block.g;
        match g[group::PLANE] {
            170 => self.now.state.plane = Some(Plane::Xy),
            180 => self.now.state.plane = Some(Plane::Zx),
            190 => self.now.state.plane = Some(Plane::Yz),
            _ => {}
        }
        if g[group::UNITS] != NONE {
            self.now.state.inches = Some(g[group::UNITS] == 200);
        }
        if g[group::LENGTH] != NONE {
            self.length(g[group::LENGTH])?;
        }
        if let Some(system) = system(g[group::SYSTEM]) {
            self.now.select_system(system, &self.parameters);
            self.writes.push((SYSTEM, f64::from(system)));
        }
        if g[group::DISTANCE] != NONE {
            self.now.state.absolute = Some(g[group::DISTANCE] == 900);
        }
        if g[group::RETURN] != NONE {
            self.now.return_to_r = Some(g[group::RETURN] == 990);
        }
        // G40 and the path modes change nothing that is modelled here, but were said.
        let modal = [2, 3, 5, 6, 7, 8, 10, 12, 13];
        let stated = modal.iter().any(|&group| g[group] != NONE)
            || g[group::MOTION] == 800
            || self.block.m[group::OVERRIDE] != NONE;
        if stated {
            let said = g[group::SYSTEM] != NONE;
            let about = if said { Statement::System } else { Statement::Mode };
            self.emit(What::Stated(about));
        }
        Ok(())
    }

    /// G43 and G49.
    fn length(&mut self, code: Code) -> Read<()> {
        let place = self.block.g_place(group::LENGTH);
        let index = match (code, self.block.get(b'H')) {
            (430, Some(h)) => {
                Some(self.slot(h, self.block.place(b'H'), Rule::LengthOffset, "H")?)
            }
            (430, None) => {
                let message = "G43 has no H word";
                let help = "write the index of the length offset, as in G43 H1";
                return Err(fault(place, Rule::LengthOffset, message, help));
            }
            _ => None,
        };
        let given = match index {
            None | Some(0) => Some(0.0),
            Some(h) => self.options.lengths.get(&h).copied(),
        };
        let same = self.now.state.frame.length_offset == index;
        self.now.state.frame.length_offset = index;
        if same {
            return Ok(());
        }
        let both_known = given.is_some() && self.now.offsets.length_known;
        let length = given.unwrap_or(0.0);
        let new = Offsets { length, length_known: given.is_some(), ..self.now.offsets };
        self.now.renumber(new);
        // Between two lengths that are not given there is no telling either.
        self.now.known[2] &= both_known;
        Ok(())
    }

    fn not_modal(&mut self, job: &Job) -> Read<()> {
        let about = match self.block.g[group::NOT_MODAL] {
            100 => {
                self.set_origin()?;
                Statement::Origin
            }
            280 => return self.go_home(job, 0),
            300 => return self.go_home(job, 1),
            920 => {
                self.set_axis_offset();
                Statement::AxisOffset
            }
            921 | 922 => {
                let clear = self.block.g[group::NOT_MODAL] == 921;
                self.put_axis_offset([0.0; 3], clear);
                Statement::Mode
            }
            923 => {
                let kept = self.parameters.three(AXIS_OFFSET);
                self.put_axis_offset(kept, false);
                Statement::AxisOffset
            }
            _ => return Ok(()),
        };
        self.emit(What::Stated(about));
        Ok(())
    }

    /// G10 L2: the zero of a coordinate system, in machine coordinates.
    fn set_origin(&mut self) -> Read<()> {
        let place = self.block.g_place(group::NOT_MODAL);
        let help = "write G10 L2 P1 X0 Y0 Z0; P1 is G54, P9 is G59.3";
        if self.block.get(b'L').and_then(whole) != Some(2) {
            let message = "G10 has no L2 word";
            return Err(fault(place, Rule::SetOrigin, message, help));
        }
        let p = self.block.get(b'P').and_then(whole).and_then(|p| u8::try_from(p).ok());
        let Some(system) = p.filter(|p| (1..=9).contains(p)) else {
            let message = "G10 L2 has no P word from 1 to 9";
            return Err(fault(place, Rule::SetOrigin, message, help));
        };
        let mut new = self.now.offsets;
        for axis in 0..3 {
            let Some(value) = self.axis_word(axis) else { continue };
            self.writes.push((Parameters::origin(system) + axis, value));
            new.origin[axis] = value;
            new.origin_known[axis] = true;
        }
        if self.now.state.frame.system.0 == system {
            self.now.renumber(new);
        }
        Ok(())
    }

    /// An axis word in mm.
    #[inline]
    pub(super) fn axis_word(&self, axis: usize) -> Option<f64> {
        // Three axes only, so the cast is safe.
        self.block.get(b'X' + axis as u8).map(|v| v * self.now.scale())
    }

    /// G92: the point gets these numbers where it stands (section 3.5.18).
    fn set_axis_offset(&mut self) {
        for axis in 0..3 {
            let Some(value) = self.axis_word(axis) else { continue };
            self.now.offsets.axis[axis] += self.now.at[axis] - value;
            self.now.offsets.axis_known[axis] = self.now.known[axis];
            self.now.at[axis] = value;
            self.now.known[axis] = true;
        }
        let axis = self.now.offsets.axis;
        self.now.state.frame.axis_offset = super::machine::to_point(axis);
        self.writes.extend(axis.into_iter().enumerate().map(|(i, v)| (AXIS_OFFSET + i, v)));
    }

    fn put_axis_offset(&mut self, axis: [f64; 3], clear: bool) {
        let new = Offsets { axis, axis_known: [true; 3], ..self.now.offsets };
        self.now.renumber(new);
        if clear {
            self.writes.extend((0..3).map(|i| (AXIS_OFFSET + i, 0.0)));
        }
    }

    /// M0, M1, M60, M2, M30.
    fn stop(&mut self) {
        match self.block.m[group::STOP] {
            0 | 60 => self.emit(What::Stop { optional: false }),
            1 => self.emit(What::Stop { optional: true }),
            2 | 30 => self.end(),
            _ => {}
        }
    }

    /// What M2 and M30 reset, and no more (section 3.6.1).
    fn end(&mut self) {
        self.put_axis_offset([0.0; 3], false);
        self.now.select_system(1, &self.parameters);
        self.now.state.plane = Some(Plane::Xy);
        self.now.state.absolute = Some(true);
        if self.now.state.inverse_time {
            self.now.state.inverse_time = false;
            self.now.state.feed = None;
        }
        self.now.motion = Some(10);
        self.now.state.spindle = None;
        self.emit(What::SpindleStop);
        if self.now.state.coolant {
            self.now.state.coolant = false;
            self.emit(What::Coolant { on: false });
        }
        self.now.ended = true;
        self.emit(What::End { stated: true });
    }
}

/// The coordinate system that a code selects.
fn system(code: Code) -> Option<u8> {
    Some(match code {
        540 => 1,
        550 => 2,
        560 => 3,
        570 => 4,
        580 => 5,
        590 => 6,
        591 => 7,
        592 => 8,
        593 => 9,
        _ => return None,
    })
}

/// What follows `MSG,` if a comment begins so (section 3.3.4).
fn message(comment: &str) -> Option<&str> {
    let (head, text) = comment.split_once(',')?;
    let mut letters = head.chars().filter(|c| !c.is_whitespace()).map(|c| c.to_ascii_uppercase());
    (letters.by_ref().take(3).eq("MSG".chars()) && letters.next().is_none()).then_some(text)
}
