//! What a stroke meets: the wood that stands, column by column, before and after it.

use super::body::Body;
use super::cells::Cells;
use super::near;
use super::scene::Scene;
use crate::geometry::{Point, Point3, Stroke, point};

/// Wood lower than this, mm, is no wood: rounding of text and of the grid's single precision.
pub(super) const NOISE: f64 = 0.02;

/// Widest skin, mm, that a finishing pass may take in full depth at its side (common practice:
/// 0.5 to 1 mm are left for finishing).
const SKIN: f64 = 1.0;

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

/// A place where something stands too high above the tip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Standing {
    /// The tip when it happens.
    pub(super) at: Point3,
    /// How high it stands above the tip, mm.
    pub(super) height: f64,
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
        let met = Piece::new(a, b, ask.body, cells.side).visit(ask, self.top, cells);
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

/// Half the width of the cutter's middle: its flat end less a skin at either side.
pub(super) fn middle(body: &Body) -> f64 {
    // A cutter narrower than the skin takes half its radius.
    (body.flat - SKIN.min(body.radius / 2.0)).max(0.0)
}

fn keep_higher(kept: &mut Option<Standing>, new: Option<Standing>) {
    if new.is_some_and(|n| kept.is_none_or(|k| n.height > k.height)) {
        *kept = new;
    }
}

/// What one short piece met.
#[derive(Default)]
struct Met {
    cut: bool,
    engaged: f64,
    collides: Option<Standing>,
    wall: Option<Standing>,
    holder: Option<Standing>,
}

/// One short straight piece of a stroke over the grid.
struct Piece<'b> {
    a: Point3,
    b: Point3,
    /// Unit direction in plan; zero for a piece straight up or down.
    along: Point,
    length: f64,
    low: Point3,
    body: &'b Body,
    /// Half the width of the stripe that counts as the cutter's middle.
    middle: f64,
    side: f64,
}

/// Where the tip is when it is nearest to a column.
struct Tip {
    at: Point3,
    distance: f64,
    /// Height of the cutter's surface over the column.
    surface: f64,
}

impl<'b> Piece<'b> {
    fn new(a: Point3, b: Point3, body: &'b Body, side: f64) -> Piece<'b> {
        let plan = b.xy() - a.xy();
        Piece {
            a,
            b,
            along: plan.unit().unwrap_or_default(),
            length: plan.length(),
            low: if a.z < b.z { a } else { b },
            body,
            // Never narrower than a column, or it would hold none.
            middle: middle(body).max(side / 2.0),
            side,
        }
    }

    fn visit(&self, ask: &Ask, top: f64, cells: &mut Cells) -> Met {
        let mut met = Met::default();
        let depth = top - self.low.z;
        let wall = ask.cuts && depth > self.body.flute_length + NOISE;
        let holder = depth > self.body.stick_out + NOISE;
        let cutter = depth > NOISE;
        let reach = match (holder, wall) {
            (true, _) => self.body.holder_radius.max(self.body.radius + 1.5 * self.side),
            (_, true) => self.body.radius + 1.5 * self.side,
            // Half a column more, to hold at least the one under the axis.
            _ => self.body.radius.max(self.side),
        };
        let (p, q) = (self.a.xy(), self.b.xy());
        let min = point(p.x.min(q.x) - reach, p.y.min(q.y) - reach);
        let max = point(p.x.max(q.x) + reach, p.y.max(q.y) + reach);
        let under = (cells.middle_at(p), cells.middle_at(q));
        cells.visit(min, max, |middle, floor| {
            // Most columns near a path are cut already: nothing of the cutter is lower than its tip.
            if f64::from(*floor) <= self.low.z {
                return;
            }
            let tip = self.nearest(middle);
            let axis = Some(middle) == under.0 || Some(middle) == under.1;
            if cutter && (tip.distance <= self.body.radius || axis) {
                self.meet(&tip, middle, axis, ask, floor, &mut met);
            }
            let stands = f64::from(*floor);
            let above = |reach: f64, height: f64| {
                let over = stands - tip.at.z;
                (tip.distance < reach && over > height + NOISE)
                    .then_some(Standing { at: tip.at, height: over })
            };
            if wall && tip.distance > self.body.radius {
                keep_higher(
                    &mut met.wall,
                    above(self.body.radius + 1.5 * self.side, self.body.flute_length),
                );
            }
            if holder {
                keep_higher(&mut met.holder, above(self.body.holder_radius, self.body.stick_out));
            }
        });
        met
    }

    /// The cutter comes over a column.
    fn meet(
        &self,
        tip: &Tip,
        middle: Point,
        axis: bool,
        ask: &Ask,
        floor: &mut f32,
        met: &mut Met,
    ) {
        let stands = f64::from(*floor);
        if !ask.cuts {
            // Straight up meets nothing; half a noise of radius is rounding.
            let rises = self.length == 0.0 && self.b.z >= self.a.z;
            let within = axis || tip.distance <= self.body.radius - NOISE;
            if within && !rises && stands - tip.surface > NOISE {
                let height = stands - tip.at.z;
                keep_higher(&mut met.collides, Some(Standing { at: tip.at, height }));
            }
            return;
        }
        if stands - tip.surface > NOISE {
            met.cut = true;
            let aside = self.aside(middle);
            if aside <= self.middle || (axis && self.length == 0.0) {
                let bottom = self.coming(middle, tip) + self.body.rise(aside);
                met.engaged = met.engaged.max(stands - bottom);
            }
        }
        if tip.surface < stands {
            *floor = tip.surface as f32;
        }
    }

    /// The tip where the cutter's surface is lowest over the column: where it is nearest, or at
    /// the low end of the piece.
    fn nearest(&self, middle: Point) -> Tip {
        let tip = |at: Point3| {
            let distance = at.xy().distance(middle);
            Tip { at, distance, surface: at.z + self.body.rise(distance) }
        };
        let low = tip(self.low);
        if self.length == 0.0 {
            return low;
        }
        let share = ((middle - self.a.xy()).dot(self.along) / self.length).clamp(0.0, 1.0);
        let near = tip(self.a + (self.b - self.a) * share);
        let low_covers = low.distance <= self.body.radius && near.distance <= self.body.radius;
        if low_covers && low.surface < near.surface { low } else { near }
    }

    /// Distance from the line of travel, or from the axis for a piece straight up or down.
    fn aside(&self, middle: Point) -> f64 {
        let off = middle - self.a.xy();
        if self.length == 0.0 { off.length() } else { off.cross(self.along).abs() }
    }

    /// Height of the tip when it will be beside the column: a stroke that climbs goes on
    /// climbing, as when a round end runs up a slope.
    fn coming(&self, middle: Point, tip: &Tip) -> f64 {
        if self.length == 0.0 || self.b.z <= self.a.z {
            return tip.at.z;
        }
        let share = (middle - self.a.xy()).dot(self.along) / self.length;
        tip.at.z.max(self.a.z + (self.b.z - self.a.z) * share)
    }
}
