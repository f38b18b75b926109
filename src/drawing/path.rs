//! SVG path data: short, exact to a hundredth of a millimetre of paper, arcs as arcs.

use crate::geometry::Point;
use std::f64::consts::PI;
use std::fmt::Write;

/// Steps per millimetre of paper in path data.
const STEPS: f64 = 100.0;
/// Points closer than this to the line that replaces them are left out, mm on paper.
const TOLERANCE: f64 = 0.01;
/// Farthest coordinate written, mm on paper; keeps wild input inside an integer.
const FARTHEST: f64 = 1e9;

/// Path data under construction. Points are on paper, millimetres, y down.
#[derive(Clone, Debug, Default)]
pub struct Path {
    data: String,
    /// Where the written path stands, in steps.
    at: (i64, i64),
    /// The same place before rounding.
    anchor: Point,
    /// Where the path stands, if that is not written yet.
    pending: Option<Pending>,
    command: char,
}

/// Points skipped since the anchor all lie near every line from the anchor in this cone.
#[derive(Clone, Copy, Debug)]
struct Pending {
    to: Point,
    /// Direction of the first, and the cone about it.
    base: f64,
    low: f64,
    high: f64,
    reach: f64,
}

impl Path {
    /// An empty path.
    #[must_use]
    pub fn new() -> Path {
        Path::default()
    }

    /// Whether nothing was drawn.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.data.is_empty()
    }

    /// Where the path ends.
    #[must_use]
    pub fn end(&self) -> Point {
        self.pending.map_or(self.anchor, |p| p.to)
    }

    /// Goes to `p` without drawing; nothing if it is already there.
    pub fn move_to(&mut self, p: Point) {
        let closed = self.command == 'z' || self.data.is_empty();
        if !closed && self.end().distance(p) < TOLERANCE / 2.0 {
            return;
        }
        self.flush();
        self.write('M', p);
    }

    /// A line to `p`.
    pub fn line_to(&mut self, p: Point) {
        let d = p - self.anchor;
        let reach = d.length();
        if let Some(cone) = &mut self.pending {
            let turn = wrap(d.angle() - cone.base);
            if reach + TOLERANCE / 2.0 >= cone.reach && (cone.low..=cone.high).contains(&turn) {
                let half = half_cone(reach);
                cone.to = p;
                cone.low = cone.low.max(turn - half);
                cone.high = cone.high.min(turn + half);
                cone.reach = cone.reach.max(reach);
                return;
            }
            self.flush();
            return self.line_to(p);
        }
        if reach == 0.0 {
            return;
        }
        let half = half_cone(reach);
        let cone = Pending { to: p, base: d.angle(), low: -half, high: half, reach };
        self.pending = Some(cone);
    }

    /// A circular arc about `centre` through `sweep` radians, positive counter-clockwise as seen
    /// on paper, ending at `to`.
    pub fn arc_to(&mut self, centre: Point, sweep: f64, to: Point) {
        let from = self.end();
        let radius = (from.distance(centre) + to.distance(centre)) / 2.0;
        let sagitta = radius * (1.0 - (sweep.abs() / 2.0).min(PI).cos());
        if sagitta < TOLERANCE || !radius.is_finite() {
            return self.line_to(to);
        }
        self.flush();
        // Parts of at most a third of a turn: never near the half turn, where rounding the ends
        // could move the centre. At most three, for an arc is at most one turn.
        let parts = (sweep.abs() / (2.0 * PI / 3.0)).ceil().clamp(1.0, 8.0);
        for i in 1..=(parts as usize) {
            let last = i as f64 == parts;
            // Counter-clockwise on paper is clockwise in a frame whose y points down.
            let turned = (from - centre).rotated(-sweep * i as f64 / parts);
            let end = if last { to } else { centre + turned };
            self.write_arc(radius, sweep > 0.0, end);
        }
    }

    /// Closes the figure.
    pub fn close(&mut self) {
        self.flush();
        self.data.push('z');
        self.command = 'z';
    }

    /// The path data.
    #[must_use]
    pub fn data(mut self) -> String {
        self.flush();
        self.data
    }

    fn flush(&mut self) {
        if let Some(pending) = self.pending.take() {
            self.write('l', pending.to);
        }
    }

    fn write(&mut self, command: char, p: Point) {
        let to = steps(p);
        let delta = (to.0 - self.at.0, to.1 - self.at.1);
        self.anchor = p;
        if command == 'l' && delta == (0, 0) {
            return;
        }
        self.word(command);
        let (x, y) = if command == 'M' { to } else { delta };
        self.number(x);
        self.number(y);
        self.at = to;
    }

    fn write_arc(&mut self, radius: f64, counter_clockwise: bool, p: Point) {
        let to = steps(p);
        self.word('a');
        let r = steps(Point { x: radius, y: 0.0 }).0;
        self.number(r);
        self.number(r);
        // No rotation, the lesser arc, the direction.
        let _ = write!(self.data, " 0 0 {}", u8::from(!counter_clockwise));
        self.number(to.0 - self.at.0);
        self.number(to.1 - self.at.1);
        self.at = to;
        self.anchor = p;
    }

    fn word(&mut self, command: char) {
        // A second place after an M would be a line to it.
        if self.command != command || command == 'M' {
            self.data.push(command);
            self.command = command;
        }
    }

    fn number(&mut self, n: i64) {
        let after_letter = self.data.ends_with(|c: char| c.is_ascii_alphabetic());
        if !after_letter && n >= 0 {
            self.data.push(' ');
        }
        self.data.push_str(&hundredths(n));
    }
}

fn half_cone(reach: f64) -> f64 {
    if reach <= TOLERANCE { PI } else { (TOLERANCE / reach).asin() }
}

fn wrap(angle: f64) -> f64 {
    if angle > PI {
        angle - 2.0 * PI
    } else if angle < -PI {
        angle + 2.0 * PI
    } else {
        angle
    }
}

fn steps(p: Point) -> (i64, i64) {
    let one = |v: f64| {
        let v = if v.is_nan() { 0.0 } else { v.clamp(-FARTHEST, FARTHEST) };
        // Clamped above: it fits.
        (v * STEPS).round() as i64
    };
    (one(p.x), one(p.y))
}

/// `1.25`, `.5`, `-3`: hundredths without needless characters.
fn hundredths(n: i64) -> String {
    let sign = if n < 0 { "-" } else { "" };
    let (whole, part) = (n.abs() / 100, n.abs() % 100);
    match (whole, part) {
        (w, 0) => format!("{sign}{w}"),
        (0, p) if p % 10 == 0 => format!("{sign}.{}", p / 10),
        (0, p) => format!("{sign}.{p:02}"),
        (w, p) if p % 10 == 0 => format!("{sign}{w}.{}", p / 10),
        (w, p) => format!("{sign}{w}.{p:02}"),
    }
}

/// A coordinate as SVG writes it, to a hundredth of a millimetre; what is not finite is 0.
pub(crate) fn number(v: f64) -> String {
    hundredths(steps(Point { x: v, y: 0.0 }).0)
}
