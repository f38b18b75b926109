//! Programs to draw, as the events that their text would cause.
#![allow(dead_code, clippy::unwrap_used)]

use ovolo::drawing::PreviewInput;
use ovolo::geometry::{
    Arc, Box3, CircularSegment, Contour, Piece, Plane, Point, Point3, Stroke, Vertex, point, point3,
};
use ovolo::ngc::{CoordinateSystem, Event, Frame, Motion, State, Statement, What};
use ovolo::shop::{Cutter, CutterMaterial, CutterShape};
use ovolo::toolpath::Direction;
use ovolo::units::{Angle, Length, Shown, Unit};

pub(crate) const MM: Shown = Shown { unit: Unit::Mm, parts: 32 };
pub(crate) const IN: Shown = Shown { unit: Unit::In, parts: 32 };

pub(crate) fn cutter(number: u32, name: &str, diameter: f64) -> Cutter {
    Cutter {
        number,
        name: name.to_string(),
        shape: CutterShape::Flat,
        diameter: Length(diameter),
        flutes: 2,
        flute_length: Length(25.4),
        stick_out: Length(38.0),
        holder_diameter: Length(30.0),
        corner_radius: Length(0.0),
        included_angle: Angle(0.0),
        tip_diameter: Length(0.0),
        centre_cutting: true,
        max_rpm: 24_000.0,
        material: CutterMaterial::Carbide,
    }
}

pub(crate) struct Program {
    pub(crate) events: Vec<Event>,
    pub(crate) seconds: Vec<f64>,
    at: Point3,
    known: [bool; 3],
    state: State,
}

impl Program {
    pub(crate) fn new(cutter: Option<u32>) -> Program {
        let frame = Frame {
            system: CoordinateSystem(1),
            length_offset: None,
            axis_offset: point3(0.0, 0.0, 0.0),
        };
        let state = State {
            inches: Some(false),
            absolute: Some(true),
            plane: Some(Plane::Xy),
            inverse_time: false,
            feed: None,
            rpm: None,
            spindle: None,
            cutter: None,
            selected: None,
            coolant: false,
            frame,
        };
        let at = point3(0.0, 0.0, 0.0);
        let mut p =
            Program { events: Vec::new(), seconds: Vec::new(), at, known: [false; 3], state };
        p.push(What::Stated(Statement::Mode), 0.0);
        if let Some(number) = cutter {
            p.change(number);
        }
        p
    }

    fn push(&mut self, what: What, seconds: f64) {
        let line = self.events.len() + 1;
        self.events.push(Event { line, what, state: self.state });
        self.seconds.push(seconds);
    }

    pub(crate) fn change(&mut self, cutter: u32) {
        self.state.cutter = Some(cutter);
        self.push(What::CutterChange { cutter }, 30.0);
        self.state.spindle = Some(Direction::Clockwise);
        self.push(What::SpindleStart { direction: Direction::Clockwise, rpm: 18_000.0 }, 3.0);
    }

    fn motion(&mut self, to: Point3, arc: Option<Arc>, feed: Option<f64>, sets: [bool; 3]) {
        let stroke = Stroke { from: self.at, to, arc };
        let frame = self.state.frame;
        let known = self.known;
        let motion = Motion { stroke, known, feed, frame, machine: false, cycle: false };
        // A traverse at 10 m/min.
        let seconds = stroke.length() / feed.unwrap_or(10_000.0) * 60.0;
        self.push(What::Motion(motion), seconds);
        self.at = to;
        self.known = [0, 1, 2].map(|k| known[k] || sets[k]);
    }

    pub(crate) fn up(&mut self, z: f64) {
        self.motion(point3(self.at.x, self.at.y, z), None, None, [false, false, true]);
    }

    pub(crate) fn across(&mut self, p: Point) {
        self.motion(p.at(self.at.z), None, None, [true, true, false]);
    }

    pub(crate) fn line(&mut self, to: Point3, feed: f64) {
        self.motion(to, None, Some(feed), [true; 3]);
    }

    pub(crate) fn piece(&mut self, piece: &Piece, z: f64, feed: f64) {
        let s = piece.stroke(self.at.z, z);
        self.motion(s.to, s.arc, Some(feed), [true; 3]);
    }

    pub(crate) fn arc(&mut self, to: Point3, center: Point, sweep: f64, feed: f64) {
        self.motion(to, Some(Arc { plane: Plane::Xy, center, sweep }), Some(feed), [true; 3]);
    }

    pub(crate) fn end(&mut self) {
        self.state.spindle = None;
        self.push(What::SpindleStop, 0.0);
        self.push(What::End { stated: true }, 0.0);
    }
}

/// The arched cap, counter-clockwise from its back left corner.
pub(crate) fn cap(chord: f64, end_depth: f64, rise: f64) -> Contour {
    let bulge = CircularSegment::from_chord_and_rise(chord, rise).unwrap().bulge();
    let v = |x, y, bulge| Vertex { at: point(x, y), bulge };
    let corners =
        [v(0.0, 0.0, 0.0), v(chord, 0.0, 0.0), v(chord, end_depth, bulge), v(0.0, end_depth, 0.0)];
    Contour { vertices: corners.to_vec(), closed: true }
}

/// Grown outwards by `by`, with round joins, of a counter-clockwise convex contour.
pub(crate) fn grown(contour: &Contour, by: f64) -> Contour {
    let pieces: Vec<Piece> = contour.pieces().collect();
    let mut out = Vec::new();
    for (i, p) in pieces.iter().enumerate() {
        let right = |share: f64| p.direction(share).left() * -by;
        let own = Piece { from: p.from + right(0.0), to: p.to + right(1.0), bulge: p.bulge };
        let next = &pieces[(i + 1) % pieces.len()];
        let start = next.from + next.direction(0.0).left() * -by;
        let turn = p
            .direction(1.0)
            .cross(next.direction(0.0))
            .atan2(p.direction(1.0).dot(next.direction(0.0)));
        out.push(own);
        if turn > 1e-9 {
            out.push(Piece { from: own.to, to: start, bulge: (turn / 4.0).tan() });
        }
    }
    Contour::from_pieces(&out, true)
}

/// Height along an outline: breakpoints (way, height).
fn follow(program: &mut Program, contour: &Contour, heights: &[(f64, f64)], feed: f64) {
    let whole = contour.length();
    for pair in heights.windows(2) {
        let ((a, _), (b, z)) = (pair[0], pair[1]);
        let (from_z, span) = (pair[0].1, b - a);
        let mut gone = 0.0;
        for turn in 0..2 {
            for piece in contour.pieces() {
                let (start, length) = (gone + 0.0 * f64::from(turn), piece.length());
                gone += length;
                let low = ((a - start) / length).max(0.0);
                let high = ((b - start) / length).min(1.0);
                if high - low > 1e-9 {
                    let end = start + high * length;
                    let height = from_z + (z - from_z) * ((end - a) / span);
                    program.piece(&piece.part(low, high), height, feed);
                }
            }
        }
        assert!(b <= 2.0 * whole);
    }
}

/// Outside the cap: passes with a ramp along the outline, tabs, arcs in and out, and a finishing
/// pass, as a carpenter would have it. Clockwise, so that it climbs.
pub(crate) fn outline_program(part: &Contour, depth: f64, passes: usize, tabs: usize) -> Program {
    let mut p = Program::new(Some(1));
    p.up(15.0);
    let rough = rotated(&grown(part, 3.475).reversed());
    let fine = rotated(&grown(part, 3.175).reversed());
    for (contour, levels) in [
        (&rough, (1..=passes).map(|k| -depth * k as f64 / passes as f64).collect::<Vec<_>>()),
        (&fine, vec![-depth]),
    ] {
        enter(&mut p, contour);
        let mut before = 0.0;
        for z in levels {
            follow(&mut p, contour, &pass(contour.length(), before, z, -depth + 5.0, tabs), 2400.0);
            before = z;
        }
        leave(&mut p);
    }
    p.across(point(0.0, 0.0));
    p.end();
    p
}

/// The outline begun in the middle of its longest line.
fn rotated(contour: &Contour) -> Contour {
    let pieces: Vec<Piece> = contour.pieces().collect();
    let longest = (0..pieces.len())
        .filter(|&k| !pieces[k].is_arc())
        .max_by(|&a, &b| pieces[a].length().total_cmp(&pieces[b].length()))
        .unwrap();
    let mut out = vec![pieces[longest].part(0.3, 1.0)];
    out.extend((1..pieces.len()).map(|k| pieces[(longest + k) % pieces.len()]));
    out.push(pieces[longest].part(0.0, 0.3));
    Contour::from_pieces(&out, true)
}

fn enter(p: &mut Program, contour: &Contour) {
    let first = contour.pieces().next().unwrap();
    let (way, out) = (first.direction(0.0), first.direction(0.0).left());
    let radius = 8.0;
    let centre = first.from + out * radius;
    p.across(centre - way * radius);
    p.up(2.0);
    p.line((centre - way * radius).at(0.0), 800.0);
    p.arc(first.from.at(0.0), centre, std::f64::consts::FRAC_PI_2, 2400.0);
}

fn leave(p: &mut Program) {
    let s = p.events.iter().rev().find_map(|e| match e.what {
        What::Motion(m) if m.stroke.direction(1.0).xy().length() > 0.0 => Some(m.stroke),
        _ => None,
    });
    let way = s.unwrap().direction(1.0).xy();
    let radius = 8.0;
    let centre = p.at.xy() + way.left() * radius;
    p.arc((centre + way * radius).at(p.at.z), centre, std::f64::consts::FRAC_PI_2, 2400.0);
    p.up(15.0);
}

/// One pass: down a ramp, round, over the tabs, and over the ramp's way again.
fn pass(whole: f64, from: f64, to: f64, tab_top: f64, tabs: usize) -> Vec<(f64, f64)> {
    let ramp = (whole * 0.05).min(90.0);
    let mut heights = vec![(0.0, from), (ramp, to)];
    if to < tab_top {
        for k in 0..tabs {
            let middle = ramp + (whole - ramp) * (k as f64 + 0.5) / tabs as f64;
            let (half, slope) = (6.0, 6.0);
            heights.push((middle - half - slope, to));
            heights.push((middle - half, tab_top));
            heights.push((middle + half, tab_top));
            heights.push((middle + half + slope, to));
        }
    }
    heights.push((whole, to));
    heights
}

pub(crate) fn input<'a>(program: &'a Program, cutters: &'a [Cutter]) -> PreviewInput<'a> {
    PreviewInput {
        title: "Arched cap, west doorway of the reading room",
        program_name: "arched-cap-1.nc",
        sha256: "9f3a5c0e77b1d2468ace13579bdf02468ace13579bdf02468ace13579bdf0246",
        events: &program.events,
        stock: None,
        part: &[],
        clamps: &[],
        screws: &[],
        cutters,
        seconds: &program.seconds,
        shown: MM,
        grain: Some(0.0),
    }
}

pub(crate) fn stock(low: Point3, high: Point3) -> Option<Box3> {
    Some(Box3 { min: low, max: high })
}

pub(crate) fn block(name: &str, low: Point3, high: Point3) -> (String, Box3) {
    (name.to_string(), Box3 { min: low, max: high })
}

/// A job with its own data, for [`input`] borrows.
pub(crate) struct Job {
    pub(crate) program: Program,
    pub(crate) part: Vec<Contour>,
    pub(crate) clamps: Vec<(String, Box3)>,
    pub(crate) screws: Vec<Point>,
    pub(crate) cutters: Vec<Cutter>,
    pub(crate) stock: Option<Box3>,
    pub(crate) title: String,
    pub(crate) shown: Shown,
    pub(crate) grain: Option<f64>,
}

impl Job {
    pub(crate) fn new(program: Program) -> Job {
        Job {
            program,
            part: Vec::new(),
            clamps: Vec::new(),
            screws: Vec::new(),
            cutters: vec![cutter(1, "1/4 in two-flute", 6.35)],
            stock: None,
            title: "Arched cap, west doorway of the reading room".to_string(),
            shown: MM,
            grain: Some(0.0),
        }
    }

    pub(crate) fn input(&self) -> PreviewInput<'_> {
        PreviewInput {
            title: &self.title,
            stock: self.stock,
            part: &self.part,
            clamps: &self.clamps,
            screws: &self.screws,
            shown: self.shown,
            grain: self.grain,
            ..input(&self.program, &self.cutters)
        }
    }
}

pub(crate) fn cap_job() -> Job {
    let part = cap(1057.275, 120.0, 60.0);
    let mut job = Job::new(outline_program(&part, 19.5, 6, 5));
    job.part = vec![part];
    job.stock = stock(point3(-31.3625, -25.0, -19.0), point3(1088.6375, 205.0, 0.0));
    job.clamps = vec![
        block("left clamp", point3(-60.0, 60.0, -19.0), point3(-16.0, 100.0, 25.0)),
        block("right clamp", point3(1075.0, 60.0, -19.0), point3(1115.0, 100.0, 25.0)),
    ];
    job.screws = vec![point(-16.0, 190.0), point(1073.0, 190.0)];
    job
}

pub(crate) fn cap_job_in_inches() -> Job {
    Job { shown: IN, ..cap_job() }
}

pub(crate) fn small_job() -> Job {
    let part = Contour::circle(point(30.0, 30.0), 30.0);
    let mut job = Job::new(outline_program(&cap(60.0, 40.0, 20.0), 6.5, 2, 3));
    let _ = part;
    job.part = vec![cap(60.0, 40.0, 20.0)];
    job.title = "Key block".to_string();
    job.stock = stock(point3(-20.0, -20.0, -6.0), point3(80.0, 80.0, 0.0));
    job.grain = Some(1.0);
    job
}

pub(crate) fn long_job() -> Job {
    let part = Contour::rectangle(point(0.0, 0.0), point(2360.0, 30.0));
    let mut job = Job::new(outline_program(&part, 12.5, 4, 6));
    job.part = vec![part];
    job.title = "Fillet strip, long side".to_string();
    job.stock = stock(point3(-20.0, -15.0, -12.0), point3(2380.0, 45.0, 0.0));
    job.clamps = vec![block("end stop", point3(-45.0, 0.0, -12.0), point3(-20.0, 30.0, 10.0))];
    job
}

pub(crate) fn odd_title_job() -> Job {
    let title =
        "Cap <west> & \"east\" doorway, 41 5/8 in chord, poplar, both sides, for the library";
    Job { title: title.to_string(), ..cap_job() }
}

pub(crate) fn no_stock_job() -> Job {
    Job { stock: None, part: Vec::new(), clamps: Vec::new(), screws: Vec::new(), ..cap_job() }
}

pub(crate) fn no_cut_job() -> Job {
    let mut p = Program::new(None);
    p.up(15.0);
    p.across(point(100.0, 50.0));
    p.across(point(10.0, 10.0));
    p.end();
    let mut job = Job::new(p);
    job.stock = stock(point3(0.0, 0.0, -19.0), point3(300.0, 120.0, 0.0));
    job.title = "Dry move".to_string();
    job
}

pub(crate) fn empty_job() -> Job {
    let mut job = Job::new(Program::new(None));
    job.program.events.clear();
    job.title = "Nothing".to_string();
    job
}

/// A carved field: rows over a wavy ground, `rows` x `columns` short lines, zero on the table.
pub(crate) fn carved_job(rows: usize, columns: usize) -> Job {
    let mut p = Program::new(Some(2));
    p.up(40.0);
    for r in 0..rows {
        let y = 5.0 + 190.0 * r as f64 / rows as f64;
        let height = |x: f64| 13.0 - 4.0 * ((x / 23.0).sin() * (y / 17.0).cos());
        p.across(point(5.0, y));
        p.line(point3(5.0, y, height(5.0)), 800.0);
        for c in 1..=columns {
            let x = 5.0 + 290.0 * c as f64 / columns as f64;
            p.line(point3(x, y, height(x)), 3000.0);
        }
        p.up(30.0);
    }
    p.end();
    let mut job = Job::new(p);
    let ball = Cutter { shape: CutterShape::Ball, ..cutter(2, "6 mm ball", 6.0) };
    job.cutters = vec![cutter(1, "1/4 in two-flute", 6.35), ball];
    job.stock = stock(point3(0.0, 0.0, 0.0), point3(300.0, 200.0, 19.0));
    job.title = "Carved field".to_string();
    job
}

pub(crate) fn all() -> Vec<(&'static str, Job)> {
    vec![
        ("cap", cap_job()),
        ("cap-inch", cap_job_in_inches()),
        ("small", small_job()),
        ("long", long_job()),
        ("title", odd_title_job()),
        ("no-stock", no_stock_job()),
        ("no-cut", no_cut_job()),
        ("empty", empty_job()),
        ("carved", carved_job(60, 80)),
    ]
}
