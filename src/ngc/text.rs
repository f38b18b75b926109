//! A whole text: its lines, its percent signs and its end (NISTIR 6556 sections 3.1 and 3.3).

use super::event::{Event, What};
use super::interpreter::Interpreter;
use super::options::Options;
use super::problem::{Fault, Problem, Rule, fault};
use super::source::{Lines, Source, each_line};
use std::io::{self, BufRead};
use std::ops::ControlFlow;

/// The published bound on the characters of a line, without its ending.
const LONGEST: usize = 256;
/// Where reading stands in a text.
#[derive(Clone, Copy, PartialEq)]
enum Stage {
    /// Nothing but blank lines so far.
    Start,
    /// Within a text that a percent sign opened.
    Percent,
    /// Within a text without percent signs.
    Plain,
    /// Behind the closing percent sign, or behind the end of a text without.
    Closed,
}

struct Reader<'a> {
    interpreter: Interpreter<'a>,
    stage: Stage,
    /// The line at hand, from 1.
    line: usize,
    list: List,
    /// Text behind the end was told already.
    told: bool,
}

/// Reads a text and tells `sink` what it makes a machine do, event by event; gives what is wrong
/// with it. Memory does not grow with the text.
///
/// A line that breaks a rule does nothing, and reading goes on behind it, with the coordinates
/// that it named unknown. A text is fit to run only if no problem is grave.
pub fn interpret(text: &str, options: &Options, sink: &mut dyn FnMut(&Event)) -> Vec<Problem> {
    let Ok(problems) = interpret_source(text, options, sink);
    problems
}

/// Like [`interpret`], with all events in a list.
#[must_use]
pub fn interpret_all(text: &str, options: &Options) -> (Vec<Event>, Vec<Problem>) {
    let mut events = Vec::new();
    let problems = interpret(text, options, &mut |event| events.push(event.clone()));
    (events, problems)
}

/// Like [`interpret`], from any source, of which no more than a block is held.
///
/// # Errors
/// If the source fails.
pub fn interpret_source<S: Source + ?Sized>(
    source: &S,
    options: &Options,
    sink: &mut dyn FnMut(&Event),
) -> Result<Vec<Problem>, S::Error> {
    let mut reader = Reader::new(options);
    each_line(source, |line| reader.take(line, sink))?;
    Ok(reader.finish())
}

/// Like [`interpret`], from a stream of bytes, of which no more than a line is held, and of a
/// line no more than 2048 bytes.
///
/// # Errors
/// If the stream fails.
pub fn interpret_stream(
    mut stream: impl BufRead,
    options: &Options,
    sink: &mut dyn FnMut(&Event),
) -> io::Result<Vec<Problem>> {
    let mut reader = Reader::new(options);
    let mut lines = Lines::default();
    let mut take = |line: &[u8]| reader.take(line, sink);
    loop {
        let block = match stream.fill_buf() {
            Ok(block) => block,
            Err(e) if e.kind() == io::ErrorKind::Interrupted => continue,
            Err(e) => return Err(e),
        };
        if block.is_empty() || lines.take(block, &mut take).is_break() {
            break;
        }
        let used = block.len();
        stream.consume(used);
    }
    let _ = lines.finish(&mut take);
    Ok(reader.finish())
}

impl<'a> Reader<'a> {
    fn new(options: &'a Options) -> Reader<'a> {
        Reader {
            interpreter: Interpreter::new(options),
            stage: Stage::Start,
            line: 0,
            list: List::new(options.max_problems),
            told: false,
        }
    }

    /// Whether nothing that follows can matter.
    fn done(&self) -> bool {
        self.stage == Stage::Closed && self.told
    }

    /// Takes one line, without its ending; breaks when nothing that follows can matter.
    fn take(&mut self, line: &[u8], sink: &mut dyn FnMut(&Event)) -> ControlFlow<()> {
        self.line += 1;
        let line = if self.line == 1 { self.without_mark(line) } else { line };
        if self.stage != Stage::Start || self.start(line) {
            self.settled(line, sink);
        }
        if self.done() { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    }

    /// A line of a text whose enclosure is settled.
    fn settled(&mut self, line: &[u8], sink: &mut dyn FnMut(&Event)) {
        if self.stage == Stage::Closed || self.interpreter.now.ended {
            self.behind_end(line);
        } else if is_percent(line) && self.stage == Stage::Percent {
            self.stage = Stage::Closed;
            self.interpreter.events.clear();
            self.interpreter.emit_at(self.line, What::End { stated: false });
            self.pass_on(sink);
        } else {
            self.run(line, sink);
        }
    }

    fn without_mark<'t>(&mut self, line: &'t [u8]) -> &'t [u8] {
        // The byte order mark in UTF-8.
        let Some(rest) = line.strip_prefix(b"\xef\xbb\xbf") else { return line };
        let message = "the text begins with a byte order mark, which a controller reads as a word";
        let help = "save the program as plain ASCII, or as UTF-8 without the mark";
        self.list.grave(self.line, line, &fault(0, Rule::ByteOrderMark, message, help));
        rest
    }

    /// Settles how the text is enclosed. False if the line is used up by that.
    fn start(&mut self, line: &[u8]) -> bool {
        if is_blank(line) {
            return false;
        }
        let percent = line.iter().position(|b| !b.is_ascii_whitespace());
        let percent = percent.filter(|&i| line[i] == b'%');
        self.stage = if percent.is_some() { Stage::Percent } else { Stage::Plain };
        let Some(at) = percent else { return true };
        if !is_percent(line) {
            let message = "the opening percent sign is not alone on its line";
            let help = "put what follows it on a line of its own";
            self.list.grave(self.line, line, &fault(at, Rule::PercentAlone, message, help));
        }
        false
    }

    /// Behind M2, M30 or the closing percent sign.
    fn behind_end(&mut self, line: &[u8]) {
        if self.stage == Stage::Percent && is_percent(line) {
            self.stage = Stage::Closed;
        } else {
            let plain = self.stage == Stage::Plain;
            if !is_blank(line) && !self.told {
                self.told = true;
                let message = "this line and those behind it are not run";
                let help = "delete them, or move the end behind them";
                self.list.warn(self.line, line, &fault(0, Rule::AfterEnd, message, help));
            }
            if plain {
                self.stage = Stage::Closed;
            }
        }
    }

    #[inline]
    fn run(&mut self, line: &[u8], sink: &mut dyn FnMut(&Event)) {
        if line.len() > LONGEST && self.too_long(line) {
            return;
        }
        let result = self.interpreter.run(self.line, line);
        for warning in &self.interpreter.warnings {
            self.list.warn(self.line, line, warning);
        }
        if let Err(fault) = result {
            self.list.grave(self.line, line, &fault);
        }
        self.pass_on(sink);
    }

    #[inline]
    fn pass_on(&self, sink: &mut dyn FnMut(&Event)) {
        for event in &self.interpreter.events {
            sink(event);
        }
    }

    #[cold]
    fn too_long(&mut self, line: &[u8]) -> bool {
        // Bytes that go on a character of UTF-8 are 10xxxxxx.
        let count = line.iter().filter(|&&b| b & 0xC0 != 0x80).count();
        if count <= LONGEST {
            return false;
        }
        let message = "the line has more than 256 characters";
        let help = "split it, or shorten its comment";
        self.list.grave(self.line, line, &fault(0, Rule::LineTooLong, message, help));
        self.interpreter.now.known = [false; 3];
        true
    }

    fn finish(mut self) -> Vec<Problem> {
        let line = self.line.max(1);
        match self.stage {
            Stage::Percent => {
                let message = "the opening percent sign has no closing one";
                let help = "end the text with a line of one percent sign";
                self.list.grave(line, b"", &fault(0, Rule::PercentOpen, message, help));
            }
            Stage::Start | Stage::Plain if !self.interpreter.now.ended => {
                let message = "the text ends without M2 or M30";
                let help = "end it with M2, or enclose it in percent signs";
                self.list.grave(line, b"", &fault(0, Rule::NoEnd, message, help));
            }
            _ => {}
        }
        self.list.finish(line)
    }
}

fn is_blank(line: &[u8]) -> bool {
    line.iter().all(|b| matches!(b, b' ' | b'\t'))
}

fn is_percent(line: &[u8]) -> bool {
    line.trim_ascii() == b"%"
}

/// Problems up to a number, and a count of the rest.
struct List {
    problems: Vec<Problem>,
    most: usize,
    graves: usize,
    warnings: usize,
}

impl List {
    fn new(most: usize) -> List {
        List { problems: Vec::new(), most, graves: 0, warnings: 0 }
    }

    #[cold]
    fn grave(&mut self, line: usize, text: &[u8], fault: &Fault) {
        self.graves += 1;
        if self.graves <= self.most {
            self.problems.push(problem(line, text, fault, true));
        }
    }

    #[cold]
    fn warn(&mut self, line: usize, text: &[u8], fault: &Fault) {
        self.warnings += 1;
        if self.warnings <= self.most {
            self.problems.push(problem(line, text, fault, false));
        }
    }

    /// Adds how many were left out.
    fn finish(mut self, line: usize) -> Vec<Problem> {
        for (count, grave, kind) in
            [(self.graves, true, "problems"), (self.warnings, false, "warnings")]
        {
            let more = count.saturating_sub(self.most);
            if more > 0 {
                let message = format!("{more} more {kind} are not listed");
                let help = "mend those that are listed and read again";
                let more = fault(0, Rule::MoreProblems, message, help);
                self.problems.push(problem(line, b"", &more, grave));
            }
        }
        self.problems
    }
}

fn problem(line: usize, text: &[u8], fault: &Fault, grave: bool) -> Problem {
    let before = &text[..fault.at.min(text.len())];
    let column = before.iter().filter(|&&b| b & 0xC0 != 0x80).count() + 1;
    Problem {
        line,
        column,
        rule: fault.rule,
        message: fault.message.clone(),
        help: Some(fault.help.to_string()),
        grave,
    }
}
