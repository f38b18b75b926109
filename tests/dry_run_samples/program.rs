//! A sample's program, its setup, and the places in its text where faults are made.

use ovolo::cuts::PartPlan;
use ovolo::dry_run::{Keepout, Verdict, check, try_out};
use ovolo::geometry::{Box3, HeightField, Point, Point3, Stroke, point3};
use ovolo::job::Job;
use ovolo::make;
use ovolo::ngc::{self, What};
use ovolo::post::{Dialect, built_in};
use ovolo::shop::Shop;
use ovolo::units::Shown;

/// A program that is good, with what it was made for.
pub(crate) struct Program {
    pub(crate) name: String,
    pub(crate) text: String,
    pub(crate) lines: Vec<String>,
    pub(crate) plan: PartPlan,
    dialect: Dialect,
    shop: Shop,
    shown: Shown,
    cutter: Option<u32>,
    before: Option<HeightField>,
    moves: Vec<(usize, Stroke, bool)>,
}

/// A word of a line, outside comments.
#[derive(Clone, Debug)]
pub(crate) struct Word {
    pub(crate) letter: char,
    pub(crate) value: f64,
    /// Where it stands in the line.
    pub(crate) span: std::ops::Range<usize>,
}

/// A cap like the sample's, small enough to be tried a hundred times without optimisation.
const SMALL: &str = include_str!("small-cap.toml");

/// Every program of the small cap, and in a release build of every sample job that has something
/// to cut.
pub(crate) fn samples() -> Vec<Program> {
    let mut jobs = vec![("small-cap.toml".to_string(), SMALL.to_string())];
    if !cfg!(debug_assertions) {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-parts");
        let mut files: Vec<_> =
            std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
        files.retain(|path| path.extension().is_some_and(|e| e == "toml"));
        files.sort();
        let named = |path: &std::path::PathBuf| {
            let name = path.file_name().unwrap().to_string_lossy().to_string();
            (name, std::fs::read_to_string(path).unwrap())
        };
        jobs.extend(files.iter().map(named));
    }
    let shop = Shop::built_in().unwrap();
    let mut all = Vec::new();
    for (name, text) in jobs {
        let job = Job::read(&name, &text).unwrap();
        // A header without boards has nothing to cut.
        if job.parts.is_empty() {
            continue;
        }
        for (post, _) in built_in() {
            let dialect = Dialect::find(post).unwrap();
            for part in make::make(&job, &shop, &dialect).unwrap() {
                let mut before = None;
                for made in part.programs {
                    let program = Program::new(
                        format!("{name} {post} {}", made.file_name),
                        made.text,
                        (part.plan.clone(), dialect.clone(), shop.clone(), job.shown),
                        made.cutter.or(part.plan.cutters.first().map(|(c, _)| c.number)),
                        before.take(),
                    );
                    before = program.left();
                    all.push(program);
                }
            }
        }
    }
    all
}

impl Program {
    fn new(
        name: String,
        text: String,
        (plan, dialect, shop, shown): (PartPlan, Dialect, Shop, Shown),
        cutter: Option<u32>,
        before: Option<HeightField>,
    ) -> Program {
        let (events, _) = ngc::interpret_all(&text, &ngc::Options::default());
        let moves = events
            .iter()
            .filter_map(|event| match &event.what {
                What::Motion(motion) => Some((event.line, motion.stroke, motion.feed.is_some())),
                _ => None,
            })
            .collect();
        let lines = text.lines().map(str::to_string).collect();
        Program { name, text, lines, plan, dialect, shop, shown, cutter, before, moves }
    }

    fn setup(&self) -> ovolo::dry_run::Setup<'_> {
        let setup = make::setup(&self.shop, &self.plan, self.cutter, self.shown);
        let setup = make::setup_in(&self.dialect, setup);
        ovolo::dry_run::Setup { before: self.before.as_ref(), ..setup }
    }

    fn left(&self) -> Option<HeightField> {
        try_out(&self.text, &self.setup()).left
    }

    /// The verdict on a text in this program's setup, with one more clamp or without.
    pub(crate) fn judged(&self, text: &str, clamp: Option<Box3>) -> Verdict {
        let mut setup = self.setup();
        setup.clamps.extend(clamp.map(|space| Keepout { name: "a moved clamp".into(), space }));
        check(text, &setup)
    }

    /// Index of the first line that has this word.
    pub(crate) fn line_with(&self, letter: char, value: f64) -> Option<usize> {
        (0..self.lines.len()).find(|i| self.word(*i, letter, value).is_some())
    }

    /// Index of the last line that has this word.
    pub(crate) fn last_with(&self, letter: char, value: f64) -> Option<usize> {
        (0..self.lines.len()).rev().find(|i| self.word(*i, letter, value).is_some())
    }

    pub(crate) fn word(&self, line: usize, letter: char, value: f64) -> Option<Word> {
        let is = |w: &Word| w.letter == letter && (w.value - value).abs() < 1e-9;
        words(&self.lines[line]).into_iter().find(is)
    }

    /// The first word of a line with this letter.
    pub(crate) fn lettered(&self, line: usize, letter: char) -> Option<Word> {
        words(&self.lines[line]).into_iter().find(|w| w.letter == letter)
    }

    /// Index of the first line that moves anything.
    pub(crate) fn first_move(&self) -> Option<usize> {
        self.moves.first().map(|(line, ..)| line - 1)
    }

    /// Index of the first line that cuts.
    pub(crate) fn first_cut(&self) -> Option<usize> {
        let top = self.plan.stock.max.z;
        let cuts = |stroke: &Stroke| stroke.bounds().min.z < top - 0.05;
        self.moves.iter().find(|(_, s, feed)| *feed && cuts(s)).map(|(line, ..)| line - 1)
    }

    /// Index and stroke of the first long level cut.
    pub(crate) fn long(&self) -> Option<(usize, Stroke)> {
        let top = self.plan.stock.max.z;
        let long = |s: &Stroke| {
            s.arc.is_none()
                && (s.from.z - s.to.z).abs() < 1e-9
                && s.to.z < top - 0.5
                && s.length() > 20.0
        };
        self.moves.iter().find(|(_, s, feed)| *feed && long(s)).map(|(l, s, _)| (l - 1, *s))
    }

    /// Lines of traverses, straight up, with their index.
    pub(crate) fn retracts(&self) -> Vec<usize> {
        let up = |s: &Stroke| s.to.z > s.from.z && s.to.z > self.plan.stock.max.z + 5.0;
        let lifts = |(_, s, feed): &&(usize, Stroke, bool)| !feed && up(s);
        self.moves.iter().filter(lifts).map(|(line, ..)| line - 1).collect()
    }

    /// Index of the last line that climbs to a tab's top while it cuts, from well below it.
    pub(crate) fn over_tab(&self) -> Option<(usize, Stroke)> {
        let top = self.tab_top()?;
        let climbs = |s: &Stroke| s.from.z < top - 1.5 && (s.to.z - top).abs() < 0.01;
        self.moves.iter().rev().find(|(_, s, feed)| *feed && climbs(s)).map(|(l, s, _)| (l - 1, *s))
    }

    pub(crate) fn tab_top(&self) -> Option<f64> {
        let tabs = self.plan.part.placing.hold.tabs.filter(|_| !self.plan.tabs.is_empty())?;
        Some(self.plan.stock.min.z + tabs.height.0)
    }

    /// Lowest that it cuts.
    pub(crate) fn deepest(&self) -> f64 {
        self.moves.iter().map(|(_, s, _)| s.bounds().min.z).fold(f64::INFINITY, f64::min)
    }

    /// The moves with their line's index.
    pub(crate) fn moves(&self) -> impl Iterator<Item = (usize, &Stroke, bool)> {
        self.moves.iter().map(|(line, stroke, feed)| (line - 1, stroke, *feed))
    }

    /// mm in the program's unit, as a word writes it.
    pub(crate) fn unit(&self, mm: f64) -> String {
        let inches = self.line_with('G', 20.0).is_some();
        format!("{:.4}", if inches { mm / 25.4 } else { mm })
    }

    /// A clamp of this size around a place, as high as can be.
    pub(crate) fn clamp_at(&self, p: Point) -> Box3 {
        let z = self.plan.stock.min.z;
        Box3 { min: point3(p.x - 5.0, p.y - 5.0, z), max: point3(p.x + 5.0, p.y + 5.0, z + 60.0) }
    }

    /// Well inside the part.
    pub(crate) fn inside(&self) -> Option<Point3> {
        let (low, high) = self.plan.outline.bounds()?;
        let middle = (low + high) * 0.5;
        Some(point3(middle.x, middle.y, 0.0))
    }
}

/// The words of a line outside comments.
pub(crate) fn words(line: &str) -> Vec<Word> {
    let mut out = Vec::new();
    let bytes = line.as_bytes();
    let mut i = 0;
    let mut comment = false;
    while i < bytes.len() {
        let byte = bytes[i];
        comment = (comment || byte == b'(') && byte != b')';
        let start = i;
        i += 1;
        if comment || !byte.is_ascii_alphabetic() {
            continue;
        }
        let from = i;
        while i < bytes.len() && matches!(bytes[i], b'0'..=b'9' | b'.' | b'-' | b'+') {
            i += 1;
        }
        if let Ok(value) = line[from..i].parse() {
            let letter = char::from(byte.to_ascii_uppercase());
            out.push(Word { letter, value, span: start..i });
        }
    }
    out
}
