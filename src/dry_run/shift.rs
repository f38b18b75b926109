//! One reading of the program: events wait in a queue until the wood that they cut is cut, many
//! strokes at once, and then come before the watches in their order.

use super::log::Log;
use super::pass::Pass;
use super::progress::Progress;
use super::scene::Scene;
use super::touch::Touch;
use super::watch::{self, Watch};
use super::wood::{Cutting, Wood, Work};
use crate::geometry::{HeightField, Stroke};
use crate::ngc::{Event, What};

/// Events that wait at most; so that memory stays bounded.
const MOST_EVENTS: usize = 8192;

/// Pieces of way that wait at most.
const MOST_PIECES: usize = 65_536;

/// An event, with the motion that it makes.
struct Waiting {
    event: Event,
    pass: Option<Pass>,
    /// Its place among the cutting strokes.
    cutting: Option<usize>,
}

/// The machine at work, and those who look on.
pub(super) struct Shift<'s> {
    scene: &'s Scene<'s>,
    progress: Progress<'s>,
    wood: Wood<'s>,
    watches: Vec<Box<dyn Watch>>,
    waiting: Vec<Waiting>,
    strokes: Vec<Cutting>,
    pieces: Vec<Stroke>,
    /// A stroke that waits goes through the stock.
    through: bool,
}

impl<'s> Shift<'s> {
    pub(super) fn new(scene: &'s Scene<'s>) -> Shift<'s> {
        let mut wood = Wood::new(scene);
        let progress = Progress::new(scene);
        wood.put_in(&progress.body);
        Shift {
            scene,
            progress,
            wood,
            watches: watch::all(scene),
            waiting: Vec::new(),
            strokes: Vec::new(),
            pieces: Vec::new(),
            through: false,
        }
    }

    /// The next event.
    pub(super) fn take(&mut self, event: &Event, log: &mut Log) {
        let mut waiting = Waiting { event: event.clone(), pass: None, cutting: None };
        let mut at_once = matches!(event.what, What::CutterChange { .. });
        if let What::Motion(motion) = &event.what {
            let pass = Pass::new(motion, self.scene.zero().is_some());
            at_once = self.meet(&mut waiting, pass);
        }
        self.waiting.push(waiting);
        if at_once || self.waiting.len() >= MOST_EVENTS || self.pieces.len() >= MOST_PIECES {
            self.work_off(log);
        }
    }

    /// After the last event.
    pub(super) fn end(&mut self, log: &mut Log) {
        self.work_off(log);
        for one in &mut self.watches {
            one.end(&self.progress, log);
        }
        watch::loose::report(self.scene, self.wood.loose(), log);
    }

    /// What is left of the stock.
    pub(super) fn left(&self) -> Option<&HeightField> {
        self.wood.field()
    }

    /// The machine as it was left, and the stock.
    pub(super) fn over(self) -> (Progress<'s>, Option<HeightField>) {
        (self.progress, self.wood.into_field())
    }

    /// Puts a motion in the queue; whether it can not wait.
    fn meet(&mut self, waiting: &mut Waiting, mut pass: Pass) -> bool {
        let body = self.progress.body;
        let mut at_once = false;
        if !pass.placed() {
            // Nothing is known of what it meets.
        } else if !self.wood.is_known() {
            pass.touch = self.wood.without_stock(&pass);
        } else if self.wood.inside(&pass.stroke, body.radius)
            || self.wood.holder_low(&pass.stroke, &body)
        {
            if pass.feed.is_some() {
                let from = self.pieces.len();
                self.through |= self.wood.goes_through(&pass.stroke);
                self.wood.pieces_of(&pass.stroke, &body, &mut self.pieces);
                waiting.cutting = Some(self.strokes.len());
                let (line, stroke) = (waiting.event.line, pass.stroke);
                self.strokes.push(Cutting { line, stroke, pieces: from..self.pieces.len() });
            } else {
                at_once = true;
            }
        } else {
            // Above or beside the stock. A run of too much wood ends here.
            waiting.cutting = pass.feed.is_some().then_some(self.strokes.len());
            if waiting.cutting.is_some() {
                let here = self.pieces.len();
                let (line, stroke) = (waiting.event.line, pass.stroke);
                self.strokes.push(Cutting { line, stroke, pieces: here..here });
            }
        }
        // A pass that goes through ends where the cutter rises out of the stock.
        at_once |= self.through && pass.stroke.to.z > self.scene.top;
        waiting.pass = Some(pass);
        at_once
    }

    fn work_off(&mut self, log: &mut Log) {
        let body = self.progress.body;
        let work = Work { body: &body, full: self.progress.full_pass() };
        let touches = self.wood.cut(&self.pieces, &self.strokes, &work);
        self.pieces.clear();
        self.strokes.clear();
        self.through = false;
        for mut waiting in std::mem::take(&mut self.waiting) {
            if let Some(pass) = &mut waiting.pass {
                pass.touch = match waiting.cutting {
                    Some(index) => touches.get(index).copied().unwrap_or_default(),
                    None if pass.feed.is_none() => self.traverse(pass),
                    None => pass.touch,
                };
            }
            let event = &waiting.event;
            self.progress.begin(event, waiting.pass);
            for one in &mut self.watches {
                one.see(event, &self.progress, log);
            }
            self.progress.finish(event);
            if let What::CutterChange { .. } = event.what {
                self.wood.put_in(&self.progress.body);
            }
        }
    }

    /// A traverse in the wood is the last of its batch, so the wood is as it meets it.
    fn traverse(&mut self, pass: &Pass) -> Touch {
        let body = self.progress.body;
        if !pass.placed() || !self.wood.is_known() {
            return pass.touch;
        }
        match self.wood.inside(&pass.stroke, body.radius)
            || self.wood.holder_low(&pass.stroke, &body)
        {
            true => self.wood.traverse(pass, &body),
            false => Touch::default(),
        }
    }
}
