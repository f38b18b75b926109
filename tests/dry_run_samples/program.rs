//! A sample's program, its setup, and the places in its text where faults are made.

use ovolo::cuts::{self, PartPlan};
use ovolo::dry_run::{Keepout, Setup, Trial, Verdict, try_out};
use ovolo::geometry::{Box3, HeightField, Point, Point3, Stroke, point3};
use ovolo::job::{Job, Shape};
use ovolo::make;
use ovolo::ngc::{self, What};
use ovolo::post::{self, Dialect, Heading, built_in};
use ovolo::shop::{Cutter, CuttingData, Machine, Shop};
use ovolo::units::Shown;
use rayon::prelude::*;
use std::sync::{LazyLock, OnceLock};

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
    /// The programs that follow for the same board: text and cutter.
    then: Vec<(String, Option<u32>)>,
    moves: Vec<(usize, Stroke, bool)>,
    /// What it and those that follow are told as they are, once it was asked for.
    told: OnceLock<Vec<String>>,
}

/// A word of a line, outside comments.
#[derive(Clone, Debug)]
pub(crate) struct Word {
    pub(crate) letter: char,
    pub(crate) value: f64,
    /// Where it stands in the line.
    pub(crate) span: std::ops::Range<usize>,
}

/// What stands in the workshop, to be changed by a fault.
pub(crate) struct Bench {
    pub(crate) machine: Machine,
    pub(crate) cutters: Vec<Cutter>,
    pub(crate) stock: Box3,
    pub(crate) clamps: Vec<Keepout>,
}

/// Changes the workshop.
pub(crate) type Change = Box<dyn Fn(&mut Bench)>;

/// A cap like the sample's, small enough to be tried a hundred times without optimisation.
const SMALL: &str = include_str!("small-cap.toml");

/// The programs: of the small cap with every post-processor, and of every sample job that has
/// something to cut, with every post-processor in a release build and with one in turn otherwise.
pub(crate) static SAMPLES: LazyLock<Vec<Program>> = LazyLock::new(samples);

fn samples() -> Vec<Program> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-parts");
    let mut files: Vec<_> =
        std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.retain(|path| path.extension().is_some_and(|e| e == "toml"));
    files.sort();
    let shop = Shop::built_in().unwrap();
    let posts: Vec<Dialect> =
        built_in().iter().map(|(name, _)| Dialect::find(name).unwrap()).collect();
    let read = |path: &std::path::PathBuf| {
        Job::read(&path.to_string_lossy(), &std::fs::read_to_string(path).unwrap()).unwrap()
    };
    // Without optimisation a carving takes minutes to plan; a small one is tried elsewhere.
    let carves = |job: &Job| job.parts.iter().any(|part| matches!(part.shape, Shape::Panel(_)));
    // A header without boards has nothing to cut.
    let left_out = |job: &Job| cfg!(debug_assertions) && carves(job);
    let cut = |job: &Job| !job.parts.is_empty() && !left_out(job);
    let mut jobs = vec![(Job::read("small-cap.toml", SMALL).unwrap(), posts.clone())];
    for (index, job) in files.iter().map(read).filter(cut).enumerate() {
        let some = match cfg!(debug_assertions) {
            true => vec![posts[index % posts.len()].clone()],
            false => posts.clone(),
        };
        jobs.push((job, some));
    }
    let all: Vec<Vec<Program>> =
        jobs.par_iter().map(|(job, posts)| of_job(job, &shop, posts)).collect();
    all.into_iter().flatten().collect()
}

fn of_job(job: &Job, shop: &Shop, posts: &[Dialect]) -> Vec<Program> {
    let mut all = Vec::new();
    for plan in cuts::plan(job, shop).unwrap() {
        let heading = Heading {
            cutters: plan.cutters.iter().map(|(c, _)| (c.number, c.name.clone())).collect(),
            dial: shop.machine.spindle.dial.clone(),
            ..Heading::default()
        };
        for dialect in posts {
            let written = post::write(&plan.toolpath, dialect, &heading).unwrap();
            let first = plan.cutters.first().map(|(c, _)| c.number);
            let series: Vec<(String, Option<u32>)> =
                written.into_iter().map(|made| (made.text, made.cutter.or(first))).collect();
            let mut before = None;
            for (index, one) in series.iter().enumerate() {
                let program = Program::new(
                    format!("{} {} {index}", plan.picture, dialect.name),
                    one.clone(),
                    (plan.clone(), dialect.clone(), shop.clone(), job.shown),
                    before.take(),
                    series[index + 1..].to_vec(),
                );
                if index + 1 < series.len() {
                    before = program.left();
                }
                all.push(program);
            }
        }
    }
    all
}

impl Program {
    fn new(
        name: String,
        (text, cutter): (String, Option<u32>),
        (plan, dialect, shop, shown): (PartPlan, Dialect, Shop, Shown),
        before: Option<HeightField>,
        then: Vec<(String, Option<u32>)>,
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
        Program {
            name,
            text,
            lines,
            plan,
            dialect,
            shop,
            shown,
            cutter,
            before,
            then,
            moves,
            told: OnceLock::new(),
        }
    }

    fn setup(&self) -> Setup<'_> {
        Setup { before: self.before.as_ref(), ..self.setup_of(self.cutter) }
    }

    fn setup_of(&self, cutter: Option<u32>) -> Setup<'_> {
        let setup = make::setup(&self.shop, &self.plan, cutter, self.shown);
        make::setup_in(&self.dialect, setup)
    }

    fn left(&self) -> Option<HeightField> {
        try_out(&self.text, &self.setup()).left
    }

    /// The workshop as it should be.
    pub(crate) fn bench(&self) -> Bench {
        let setup = self.setup();
        Bench {
            machine: self.shop.machine.clone(),
            cutters: self.shop.cutters.clone(),
            stock: self.plan.stock,
            clamps: setup.clamps,
        }
    }

    /// What is found of it and of those that follow as they are: cautions alone.
    pub(crate) fn told(&self) -> &[String] {
        self.told.get_or_init(|| {
            let own = self.judged(&self.text, None, true);
            let all = std::iter::once(own).chain(self.judged_then(&self.text, None));
            all.flat_map(|v| v.findings).map(|f| f.message).collect()
        })
    }

    /// Whether no other program follows for the same board.
    pub(crate) fn is_last(&self) -> bool {
        self.then.is_empty()
    }

    /// The verdict on a text in this program's setup, changed or not. `whole`: what is left over
    /// after the board's last program is judged too.
    pub(crate) fn judged(&self, text: &str, change: Option<&Change>, whole: bool) -> Verdict {
        let last = whole && self.is_last();
        self.tried(text, (self.cutter, last), change, self.before.as_ref()).verdict
    }

    /// The verdicts on the programs that follow a text of this one.
    pub(crate) fn judged_then(&self, text: &str, change: Option<&Change>) -> Vec<Verdict> {
        let first = self.tried(text, (self.cutter, false), change, self.before.as_ref());
        let mut before = first.left;
        let mut all = Vec::new();
        for (index, (text, cutter)) in self.then.iter().enumerate() {
            let last = index + 1 == self.then.len();
            let trial = self.tried(text, (*cutter, last), change, before.as_ref());
            all.push(trial.verdict);
            before = trial.left;
        }
        all
    }

    fn tried(
        &self,
        text: &str,
        (cutter, last): (Option<u32>, bool),
        change: Option<&Change>,
        before: Option<&HeightField>,
    ) -> Trial {
        let mut bench = self.bench();
        if let Some(change) = change {
            change(&mut bench);
        }
        let Bench { machine, cutters, stock, clamps } = &bench;
        let mut setup = self.setup_of(cutter);
        if let Some(wanted) = &mut setup.wanted {
            wanted.finished = last;
        }
        let clamps = clamps.clone();
        try_out(text, &Setup { machine, cutters, stock: Some(*stock), clamps, before, ..setup })
    }

    /// How far the cutter feeds up to a line, mm: what trying the text up to there costs.
    pub(crate) fn way(&self, last: usize) -> f64 {
        let fed = self.moves.iter().filter(|(line, _, feed)| *feed && *line <= last);
        fed.map(|(_, stroke, _)| stroke.length()).sum()
    }

    /// Whether a place lies inside the part, this far from its edge at least, by its outline in
    /// the directions of the axes; not for parts cut on their face.
    pub(crate) fn in_part(&self, p: Point, margin: f64) -> bool {
        let step = ovolo::geometry::point;
        self.setup().part.is_some_and(|part| {
            [
                step(0.0, 0.0),
                step(margin, 0.0),
                step(-margin, 0.0),
                step(0.0, margin),
                step(0.0, -margin),
            ]
            .iter()
            .all(|s| part.outline.contains(p + *s))
        })
    }

    /// Whether wood is wanted at a place, well above a height.
    pub(crate) fn stands_at(&self, p: Point, z: f64) -> bool {
        let setup = self.setup();
        setup.part.is_some_and(|part| part.outline.contains(p))
            || setup.wanted.and_then(|w| (w.heights)(p)).is_some_and(|band| band.low > z + 0.5)
    }

    /// The number of a word of length, in mm.
    pub(crate) fn mm(&self, value: f64) -> f64 {
        if self.unit_is_inch() { value * 25.4 } else { value }
    }

    /// What the cutter in use on a line may do.
    pub(crate) fn limits(&self, line: usize) -> Option<CuttingData> {
        // Where the operator changes cutters, T stands on a line before the stop.
        let stated = (0..line).rev().find_map(|i| self.lettered(i, 'T'));
        let number = stated.map_or(self.cutter, |t| Some(t.value as u32))?;
        self.setup().limits.into_iter().find(|limits| limits.cutter == number)
    }

    /// How deep a full pass of the cutter in use on a line may be, mm.
    pub(crate) fn stepdown(&self, line: usize) -> Option<f64> {
        self.limits(line).map(|limits| limits.stepdown.value)
    }

    pub(crate) fn unit_is_inch(&self) -> bool {
        self.line_with('G', 20.0).is_some()
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

    /// Index and stroke of the first long level cut; of the longest if chords make them all short,
    /// and of the first way up for chips in a program that only drills.
    pub(crate) fn long(&self) -> Option<(usize, Stroke)> {
        let top = self.plan.stock.max.z;
        let level = |s: &Stroke| (s.from.z - s.to.z).abs() < 1e-9 && s.to.z < top - 0.5;
        let cuts = self.moves.iter().filter(|(_, s, feed)| *feed && level(s));
        let mut long = cuts.clone().filter(|(_, s, _)| s.length() > 20.0);
        let straight = long.clone().find(|(_, s, _)| s.arc.is_none());
        let found = straight.or_else(|| long.next());
        let longest = || cuts.max_by(|a, b| a.1.length().total_cmp(&b.1.length()));
        let up = |s: &Stroke| s.from.z < s.to.z && s.from.z < top - 0.5;
        let drills = || self.moves.iter().find(|(_, s, feed)| *feed && up(s));
        found.or_else(longest).or_else(drills).map(|(l, s, _)| (l - 1, *s))
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
        format!("{:.4}", if self.unit_is_inch() { mm / 25.4 } else { mm })
    }

    /// A clamp of this size around a place, as high as can be.
    pub(crate) fn clamp_at(&self, p: Point) -> Box3 {
        let z = self.plan.stock.min.z;
        Box3 { min: point3(p.x - 5.0, p.y - 5.0, z), max: point3(p.x + 5.0, p.y + 5.0, z + 60.0) }
    }

    /// Well inside the part, and off the lines through its middle where grooves and holes lie.
    pub(crate) fn inside(&self) -> Option<Point3> {
        let (low, high) = self.plan.outline.bounds()?;
        let beside = low + (high - low) * 0.55;
        Some(point3(beside.x, beside.y, 0.0))
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
