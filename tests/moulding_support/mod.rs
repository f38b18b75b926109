//! What a program leaves on the wood, worked out from its text alone by an own sweep that knows
//! nothing of the library's: the height under every stroke of a round cutter, point by point.
#![allow(dead_code, clippy::unwrap_used)]

use ovolo::geometry::{Piece, Point, Stroke, point};
use ovolo::job::Job;
use ovolo::make::{self, MadePart};
use ovolo::ngc::What;
use ovolo::post::Dialect;
use ovolo::shop::Shop;

pub(crate) fn made(text: &str, dialect: &str) -> Vec<MadePart> {
    let shop = Shop::built_in().unwrap();
    let job = Job::read("job.toml", text).unwrap_or_else(|e| panic!("{e}"));
    let dialect = Dialect::find(dialect).unwrap();
    make::make(&job, &shop, &dialect).unwrap_or_else(|e| panic!("{e}"))
}

/// Parts whose every program passed the dry run without a refusal.
pub(crate) fn passed(text: &str, dialect: &str) -> Vec<MadePart> {
    let parts = made(text, dialect);
    for program in parts.iter().flat_map(|p| &p.programs) {
        let findings = &program.verdict.findings;
        assert!(!program.verdict.refused(), "{} {dialect}: {findings:?}", program.file_name);
    }
    parts
}

/// A cutting stroke with the cutter that makes it.
#[derive(Clone, Copy)]
pub(crate) struct Cut {
    pub(crate) stroke: Stroke,
    pub(crate) cutter: u32,
    pub(crate) feed: f64,
    pub(crate) line: usize,
    pub(crate) seconds: f64,
}

pub(crate) fn cuts(part: &MadePart) -> Vec<Cut> {
    let mut out = Vec::new();
    for program in &part.programs {
        let mut cutter = program.cutter.unwrap_or(part.plan.cutters[0].0.number);
        for (event, seconds) in program.read.events.iter().zip(&program.read.seconds) {
            match event.what {
                What::CutterChange { cutter: next } => cutter = next,
                What::Motion(m) => {
                    if let Some(feed) = m.feed {
                        let stroke = m.stroke;
                        out.push(Cut { stroke, cutter, feed, line: event.line, seconds: *seconds });
                    }
                }
                _ => {}
            }
        }
    }
    out
}

/// Radius, and whether the end is a ball: of the built-in shop's table, which is held against
/// this in `the_table_is_the_shops`.
pub(crate) fn end(cutter: u32) -> (f64, bool) {
    match cutter {
        1 => (3.175, false),
        2 => (6.35, false),
        4 => (3.175, true),
        5 => (1.5875, true),
        other => panic!("cutter {other}"),
    }
}

/// Height of a cutter's outline at a distance from its axis.
fn rise(cutter: u32, distance: f64) -> f64 {
    let (r, ball) = end(cutter);
    match ball {
        _ if distance > r + 1e-9 => f64::INFINITY,
        false => 0.0,
        true => r - (r * r - distance * distance).max(0.0).sqrt(),
    }
}

/// What the text leaves at a point of the plan: the least of every stroke's lower side there.
pub(crate) fn left(cuts: &[Cut], top: f64, p: Point) -> f64 {
    let mut least = top;
    for cut in cuts {
        let s = &cut.stroke;
        if s.from.z.min(s.to.z) >= least {
            continue;
        }
        let level = (s.from.z - s.to.z).abs() < 1e-9;
        match (s.arc, level) {
            (Some(arc), true) => {
                let (a, q) = (s.from.xy() - arc.center, p - arc.center);
                let r = a.length();
                let turned = a.cross(q).atan2(a.dot(q)) * arc.sweep.signum();
                let within = turned.rem_euclid(std::f64::consts::TAU) <= arc.sweep.abs();
                let ends = s.from.xy().distance(p).min(s.to.xy().distance(p));
                let d = if within { (q.length() - r).abs() } else { ends };
                least = least.min(s.from.z + rise(cut.cutter, d));
            }
            (None, true) => {
                let line = Piece { from: s.from.xy(), to: s.to.xy(), bulge: 0.0 };
                let d = line.at(line.nearest_share(p)).distance(p);
                least = least.min(s.from.z + rise(cut.cutter, d));
            }
            _ => {
                let (radius, _) = end(cut.cutter);
                let bounds = s.bounds();
                let far = p.x < bounds.min.x - radius || p.x > bounds.max.x + radius;
                if far || p.y < bounds.min.y - radius || p.y > bounds.max.y + radius {
                    continue;
                }
                // Ramps and links: every twentieth of a millimetre.
                let n = (s.length() / 0.05).ceil().max(1.0) as usize;
                for i in 0..=n {
                    let at = s.at(i as f64 / n as f64);
                    least = least.min(at.z + rise(cut.cutter, at.xy().distance(p)));
                }
            }
        }
    }
    least
}

/// A wanted face: its height over `u`, and its outline with both sides of every wall.
pub(crate) struct Wanted {
    pub(crate) width: f64,
    z: Box<dyn Fn(f64) -> f64>,
    outline: Vec<Point>,
}

impl Wanted {
    pub(crate) fn new(width: f64, z: impl Fn(f64) -> f64 + 'static) -> Wanted {
        let places = 10_000;
        let both = (0..=places).flat_map(|i| {
            let u = width * f64::from(i) / f64::from(places);
            [u - 1e-7, u + 1e-7]
        });
        let outline = both.map(|u| point(u, z(u))).collect();
        Wanted { width, z: Box::new(z), outline }
    }

    /// Nowhere below the face by more than 0.01 mm, nowhere off it by more than the scallop and
    /// 0.01 mm; walls may stand 0.005 mm from where they are wanted.
    pub(crate) fn hold(&self, u: f64, z: f64, scallop: f64, where_: &str) {
        let floor = (self.z)(u - 0.005).min((self.z)(u + 0.005));
        assert!(z > floor - 0.01, "{where_}, {u} across: {z} is below {floor}");
        let over = self.off(point(u, z));
        assert!(over < scallop + 0.01, "{where_}, {u} across: {z} is {over} off the face");
    }

    /// Least distance of a point from the outline, walls included.
    fn off(&self, p: Point) -> f64 {
        let first = self.outline.partition_point(|q| q.x < p.x - 2.0).saturating_sub(1);
        let near = self.outline[first..].windows(2).take_while(|w| w[0].x < p.x + 2.0);
        near.map(|w| {
            let piece = Piece { from: w[0], to: w[1], bulge: 0.0 };
            piece.at(piece.nearest_share(p)).distance(p)
        })
        .fold(f64::INFINITY, f64::min)
    }
}
