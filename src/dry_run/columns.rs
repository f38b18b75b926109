//! What a stroke meets: the wood that stands, column by column, before and after it.

use super::body::Body;
use super::cells::Cells;
use super::near;
pub(super) use super::piece::{NOISE, Standing, middle};
use super::piece::{Piece, SKIN, keep_higher};
use super::scene::Scene;
use crate::geometry::{Point, Point3, Stroke, point};

/// Shortest path, mm, over which too deep a cut is a fault: turning into an inside corner meets
/// the skin of the next wall head-on for about its thickness.
const SHORTEST_RUN: f64 = 3.0;

/// Chords of an arc stay this share of a column within it.
const CHORD_SHARE: f64 = 0.125;

/// What is asked about a stroke.
pub(super) struct Ask<'b> {
    pub(super) body: &'b Body,
    /// A feed, which cuts; else a traverse, which must not.
    pub(super) cuts: bool,
    /// Deepest pass, if known.
    pub(super) stepdown: Option<f64>,
    pub(super) line: usize,
}

/// What a stroke met.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Touch {
    /// Some of it runs below the stock's top, within reach of the stock.
    pub(super) inside: bool,
    /// Wood was lowered.
    pub(super) cut: bool,
    /// Steepest way down, radians from level, at which more than a skin was taken near the
    /// cutter's middle.
    pub(super) entry: Option<f64>,
    /// A traverse met wood.
    pub(super) collides: Option<Standing>,
    /// A pass too deep, and the line where it began.
    pub(super) deep: Option<(usize, Standing)>,
    /// Wood beside the cutter above its flutes.
    pub(super) wall: Option<Standing>,
    /// Wood in the holder's place.
    pub(super) holder: Option<Standing>,
}

/// A stretch of path along which the cut is too deep.
struct Run {
    line: usize,
    standing: Standing,
    /// Path length where it began and where it last was too deep.
    from: f64,
    last: f64,
}

/// A column cut straight down, for setups without a stock.
struct Hole {
    at: Point,
    floor: f64,
}

/// The wood that stands.
pub(super) struct Columns {
    cells: Option<Cells>,
    top: f64,
    plan: Option<(Point, Point)>,
    run: Option<Run>,
    path: f64,
    hole: Option<Hole>,
}

impl Columns {
    /// The whole stock, uncut.
    pub(super) fn new(scene: &Scene) -> Columns {
        Columns {
            cells: scene.setup.stock.as_ref().map(|stock| Cells::new(stock, scene.cell)),
            top: scene.top,
            plan: scene.plan(),
            run: None,
            path: 0.0,
            hole: None,
        }
    }

    /// Makes the stroke, cutting if it cuts, and says what it met.
    pub(super) fn sweep(&mut self, stroke: &Stroke, ask: &Ask) -> Touch {
        let mut touch = Touch { inside: self.inside(stroke, ask.body.radius), ..Touch::default() };
        if !touch.inside || !ask.cuts {
            self.run = None;
        }
        let Some(mut cells) = self.cells.take() else {
            self.without_stock(stroke, ask, &mut touch);
            return touch;
        };
        let holder_low = stroke.from.z.min(stroke.to.z) + ask.body.stick_out < self.top;
        if touch.inside || holder_low {
            self.pieces(stroke, ask, &mut cells, &mut touch);
        }
        self.cells = Some(cells);
        touch
    }

    /// Whether the cutter, of this radius, is below the stock's top over the stock's plan.
    fn inside(&self, stroke: &Stroke, radius: f64) -> bool {
        let below = self.top - NOISE;
        match self.plan {
            None => stroke.bounds().min.z < below,
            Some((min, max)) => near::distance_below(stroke, min, max, below)
                .is_some_and(|distance| distance < radius.max(NOISE) - NOISE / 2.0),
        }
    }

    /// Cuts the stroke in pieces short enough for the grid.
    fn pieces(&mut self, stroke: &Stroke, ask: &Ask, cells: &mut Cells, touch: &mut Touch) {
        let step = (ask.body.radius / 2.0).max(cells.side);
        let reach = ask.body.radius.max(ask.body.holder_radius) + 2.0 * cells.side;
        let Some((min, max)) = self.plan else { return };
        let (min, max) = (min - point(reach, reach), max + point(reach, reach));
        let chords = stroke.chords(cells.side * CHORD_SHARE);
        let mut from = stroke.from;
        for i in 1..=chords {
            let to = if i == chords { stroke.to } else { stroke.at(i as f64 / chords as f64) };
            if let Some((enter, leave)) = near::clip(from.xy(), to.xy(), min, max) {
                let (a, b) = (from + (to - from) * enter, from + (to - from) * leave);
                let count = ((b - a).xy().length() / step).ceil().max(1.0) as usize;
                let at =
                    |k: usize| if k == count { b } else { a + (b - a) * (k as f64 / count as f64) };
                for k in 0..count {
                    self.piece(at(k), at(k + 1), step, ask, cells, touch);
                }
            }
            from = to;
        }
    }

    fn piece(
        &mut self,
        a: Point3,
        b: Point3,
        step: f64,
        ask: &Ask,
        cells: &mut Cells,
        touch: &mut Touch,
    ) {
        let met = Piece::new(a, b, ask.body, cells.side).visit(ask.cuts, self.top, cells);
        touch.cut |= met.cut;
        self.enter(a, b, met.engaged, touch);
        keep_higher(&mut touch.collides, met.collides);
        keep_higher(&mut touch.wall, met.wall);
        keep_higher(&mut touch.holder, met.holder);
        let along = (b - a).xy().length();
        if !ask.cuts || along == 0.0 {
            return;
        }
        self.path += along;
        if let Some(stepdown) = ask.stepdown {
            let standing = Standing { at: b, height: met.engaged };
            // 1 % for figures rounded where the limit was printed.
            if met.engaged > stepdown * 1.01 + NOISE {
                // New columns turn up once per column of path or once per piece.
                let gap = 2.0 * cells.side + step;
                self.too_deep(standing, gap, ask, touch);
            }
        }
    }

    /// Notes a way down into wood.
    fn enter(&self, a: Point3, b: Point3, taken: f64, touch: &mut Touch) {
        let (level, down) = ((b - a).xy().length(), a.z - b.z);
        let skin = if level == 0.0 { NOISE } else { SKIN };
        if down > 0.0 && taken > skin {
            let slope = down.atan2(level);
            touch.entry = Some(touch.entry.map_or(slope, |steepest| steepest.max(slope)));
        }
    }

    fn too_deep(&mut self, standing: Standing, gap: f64, ask: &Ask, touch: &mut Touch) {
        let path = self.path;
        let run = match self.run.take() {
            Some(mut run) if path - run.last <= gap => {
                run.last = path;
                run.standing.height = run.standing.height.max(standing.height);
                run
            }
            _ => Run { line: ask.line, standing, from: path, last: path },
        };
        if run.last - run.from >= ask.body.radius.max(SHORTEST_RUN) && touch.deep.is_none() {
            touch.deep = Some((run.line, run.standing));
        }
        let reported = touch.deep.is_some();
        // What was reported goes on from the line it has reached.
        let line = if reported { ask.line } else { run.line };
        self.run = Some(Run { line, ..run });
    }

    /// Without a stock only the last column cut straight down is remembered: enough for pecks.
    fn without_stock(&mut self, stroke: &Stroke, ask: &Ask, touch: &mut Touch) {
        let level = stroke.from.xy().distance(stroke.to.xy());
        let upright = stroke.arc.is_none() && level < crate::geometry::EPSILON;
        let known =
            self.hole.as_ref().filter(|h| h.at.distance(stroke.to.xy()) < crate::geometry::EPSILON);
        let floor = known.map_or(self.top, |h| h.floor);
        if !touch.inside {
            return;
        }
        let taken = floor - stroke.to.z;
        let standing = Standing { at: stroke.to, height: taken };
        match (ask.cuts, upright) {
            (false, true) if taken > NOISE && stroke.to.z < stroke.from.z => {
                touch.collides = Some(standing)
            }
            (false, false) => {
                touch.collides =
                    Some(Standing { height: self.top - stroke.bounds().min.z, ..standing })
            }
            (true, true) => {
                self.enter(stroke.from, stroke.to, taken, touch);
                touch.cut = taken > NOISE;
                self.hole = Some(Hole {
                    at: stroke.to.xy(),
                    floor: floor.min(stroke.to.z).min(stroke.from.z),
                });
            }
            (true, false) => {
                touch.cut = true;
                self.hole = None;
            }
            (false, true) => {}
        }
    }
}
