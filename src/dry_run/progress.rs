//! What the machine would be doing at each event.

use super::body::Body;
use super::load::FullPass;
use super::pass::Pass;
use super::scene::Scene;
use super::touch::NOISE;
use super::verdict::{CutterExtents, Extents, Span};
use crate::geometry::{Box3, Point3};
use crate::ngc::{Event, What};
use crate::shop::{Cutter, CutterShape, CuttingData};
use crate::toolpath::Direction;

/// The spindle as it turns now.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Turning {
    pub(super) direction: Direction,
    /// `None` when the operator set it on the dial.
    pub(super) rpm: Option<f64>,
    /// Seconds since it started, at least.
    pub(super) seconds: f64,
    /// The line that started it.
    pub(super) line: usize,
}

/// Everything that the watches ask about: the state before the event, and the motion that the
/// event makes.
pub(super) struct Progress<'s> {
    pub(super) scene: &'s Scene<'s>,
    pub(super) line: usize,
    /// The number in the spindle, by word or by setup.
    pub(super) number: Option<u32>,
    /// Whether a word of the program said so.
    pub(super) number_stated: bool,
    pub(super) cutter: Option<&'s Cutter>,
    pub(super) limits: Option<&'s CuttingData>,
    pub(super) body: Body,
    pub(super) spindle: Option<Turning>,
    /// Whether it turned when this line began.
    pub(super) turning_at_line: bool,
    /// It was stopped by its word after it had turned, and nothing has started it since.
    stopped: bool,
    /// Where the tip is, and which of x, y, z are known.
    pub(super) at: Point3,
    pub(super) known: [bool; 3],
    /// Inside the stock, as far as known.
    pub(super) in_stock: bool,
    /// The height is that of a point of the machine that is not known in work coordinates.
    pub(super) away: bool,
    pub(super) moved: bool,
    /// Something was fed.
    pub(super) fed: bool,
    /// The motion of this event.
    pub(super) pass: Option<Pass>,
    travelling: Box3,
    cutting: Vec<(Option<u32>, Box3)>,
}

impl<'s> Progress<'s> {
    pub(super) fn new(scene: &'s Scene<'s>) -> Progress<'s> {
        let mut progress = Progress {
            scene,
            line: 0,
            number: None,
            number_stated: false,
            cutter: None,
            limits: None,
            body: Body::axis_only(),
            spindle: None,
            turning_at_line: false,
            stopped: false,
            at: Point3::default(),
            known: [false; 3],
            in_stock: false,
            away: false,
            moved: false,
            fed: false,
            pass: None,
            travelling: Box3::EMPTY,
            cutting: Vec::new(),
        };
        progress.put_in(scene.setup.default_cutter);
        progress
    }

    /// Before the watches look; with the motion that the event makes.
    pub(super) fn begin(&mut self, event: &Event, pass: Option<Pass>) {
        if event.line != self.line {
            self.line = event.line;
            self.turning_at_line = self.spindle.is_some();
        }
        if let Some(pass) = pass.as_ref().filter(|pass| pass.placed()) {
            self.widen(pass);
        }
        self.pass = pass;
    }

    /// What the cutter may take at once, where it has figures; a drill takes no pass.
    pub(super) fn full_pass(&self) -> Option<FullPass> {
        let (cutter, limits) = (self.cutter?, self.limits?);
        let stepdown = limits.stepdown.value;
        let section = cutter.groove_section(stepdown);
        (cutter.shape != CutterShape::Drill).then_some(FullPass { stepdown, section })
    }

    /// After the watches looked.
    pub(super) fn finish(&mut self, event: &Event) {
        match event.what {
            What::Motion(_) => self.move_on(),
            What::Dwell { seconds } => self.pass_time(seconds),
            What::SpindleStart { direction, rpm } => self.start(event.line, direction, rpm),
            What::SpindleStop => self.stopped |= self.spindle.take().is_some(),
            What::CutterChange { cutter } => {
                self.spindle = None;
                self.stopped = false;
                self.number_stated = true;
                self.put_in(Some(cutter));
            }
            What::Stop { optional: false } => self.stop(event.line),
            What::End { .. }
            | What::Stop { .. }
            | What::CutterSelect { .. }
            | What::Coolant { .. }
            | What::Stated(_)
            | What::Comment { .. } => {}
        }
    }

    /// Where it went.
    pub(super) fn extents(&self) -> Extents {
        let all = self.cutting.iter().fold(Box3::EMPTY, |all, (_, space)| all.union(*space));
        Extents {
            travelling: Span::of(&self.travelling),
            cutting: Span::of(&all),
            cutters: self
                .cutting
                .iter()
                .map(|(cutter, space)| CutterExtents { cutter: *cutter, cutting: Span::of(space) })
                .collect(),
        }
    }

    /// The box of all travel whose place is known.
    pub(super) fn travelled(&self) -> &Box3 {
        &self.travelling
    }

    /// The place of the motion, or where the tip stands.
    pub(super) fn place(&self) -> Option<Point3> {
        match &self.pass {
            Some(pass) => pass.placed().then_some(pass.stroke.to),
            None => (self.known == [true; 3]).then_some(self.at),
        }
    }

    fn widen(&mut self, pass: &Pass) {
        let mut space = pass.stroke.bounds();
        self.travelling = self.travelling.union(space);
        if pass.feed.is_none() {
            return;
        }
        if !self.known.iter().all(|k| *k) {
            space = Box3::EMPTY.with(pass.stroke.to);
        }
        match self.cutting.iter_mut().find(|(cutter, _)| *cutter == self.number) {
            Some((_, all)) => *all = all.union(space),
            None => self.cutting.push((self.number, space)),
        }
    }

    fn move_on(&mut self) {
        let Some(pass) = self.pass else { return };
        let [x, y, z] = self.scene.setup.machine.rapid;
        self.pass_time(pass.least_time([x.0, y.0, z.0]));
        self.at = pass.stroke.to;
        self.known = pass.known;
        self.away = !pass.known[2] && (pass.machine || self.away);
        self.moved = true;
        self.fed |= pass.feed.is_some();
        self.in_stock = pass.touch.inside && self.stands_inside();
    }

    /// Whether the tip, where it stands now, is below the top over the stock's plan.
    fn stands_inside(&self) -> bool {
        let reach = (self.body.radius - NOISE).max(0.0);
        self.at.z < self.scene.top - NOISE
            && self.scene.plan().is_none_or(|(min, max)| {
                let dx = (min.x - self.at.x).max(self.at.x - max.x).max(0.0);
                let dy = (min.y - self.at.y).max(self.at.y - max.y).max(0.0);
                dx.hypot(dy) <= reach
            })
    }

    fn pass_time(&mut self, seconds: f64) {
        if let Some(turning) = &mut self.spindle {
            turning.seconds += seconds;
        }
    }

    fn start(&mut self, line: usize, direction: Direction, rpm: f64) {
        if rpm <= 0.0 {
            self.spindle = None;
            return;
        }
        // A change of speed while it turns the same way does not start it anew.
        let (seconds, line) = match self.spindle {
            Some(now) if now.direction == direction => (now.seconds, now.line),
            _ => (0.0, line),
        };
        self.stopped = false;
        self.spindle = Some(Turning { direction, rpm: Some(rpm), seconds, line });
    }

    /// The operator goes on only when ready; with a hand dial this is where the router is
    /// switched on, unless M5 has just had it switched off.
    fn stop(&mut self, line: usize) {
        self.pass_time(self.scene.setup.machine.spindle.spin_up);
        let dial = !self.scene.setup.machine.spindle.dial.is_empty();
        if dial && self.spindle.is_none() && !self.stopped {
            let direction = Direction::Clockwise;
            self.spindle = Some(Turning { direction, rpm: None, seconds: f64::INFINITY, line });
        }
    }

    fn put_in(&mut self, number: Option<u32>) {
        self.number = number;
        self.cutter = number.and_then(|n| self.scene.cutter(n));
        self.limits = number.and_then(|n| self.scene.limits(n));
        self.body = self.cutter.map_or_else(Body::axis_only, Body::of);
    }
}
