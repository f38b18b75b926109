//! `ovolo dry-run`: try a program's text.

use super::progress::Progress;
use super::{Common, Done, context, say};
use clap::Args;
use ovolo::cuts::{self, PartPlan};
use ovolo::diagnostic::{Diagnostic, Failure};
use ovolo::dry_run::{self, Interlock, Outcome, Setup, Trial, Turn, Verdict};
use ovolo::files::{Opened, read_bytes};
use ovolo::geometry::{Box3, point3};
use ovolo::job::Job;
use ovolo::make::{self, Board};
use ovolo::shop::{CuttingData, Material, Overrides, Shop};
use ovolo::units::{Shown, Unit, parse_length};
use ovolo::watch::Watch;
use std::path::{Path, PathBuf};

/// Largest program that is held in memory.
const MAX_PROGRAM_BYTES: u64 = 2 << 30;

#[derive(Args, Debug)]
pub(super) struct DryRunArgs {
    /// Program: any RS-274 text
    #[arg(required_unless_present = "explain")]
    program: Option<PathBuf>,
    /// Print every interlock: what it guards, how it is checked, what it can not see
    #[arg(long)]
    explain: bool,
    /// What the program is to be tried against
    #[command(flatten)]
    against: Against,
    #[command(flatten)]
    pub(super) common: Common,
}

/// The setup that a program is judged in.
#[derive(Args, Debug, Clone)]
pub(super) struct Against {
    /// Job file: stock, clamps, species and work zero are taken from it
    #[arg(long, value_name = "FILE", conflicts_with_all = ["stock", "species"])]
    pub(super) job: Option<PathBuf>,
    /// Which part of the job [default: the one whose name the program's file starts with]
    #[arg(long, value_name = "NAME", requires = "job")]
    pub(super) part: Option<String>,
    /// Stock as LENGTH,WIDTH,THICKNESS with its front left top corner at the work zero
    #[arg(long, value_name = "L,W,T")]
    pub(super) stock: Option<String>,
    /// Wood or sheet material, for limits on feed and depth
    #[arg(long, value_name = "NAME")]
    pub(super) species: Option<String>,
    /// The cutter that is in the spindle at the start, for a program that changes none
    #[arg(long, value_name = "NUMBER")]
    pub(super) cutter: Option<u32>,
    /// Program that was run on the same board before, as often as there were such programs, in
    /// their order: its cuts are there already. With --job a board that has two setups is turned
    /// over between them
    #[arg(long, value_name = "PROGRAM")]
    pub(super) after: Vec<PathBuf>,
    /// Without --job: the axis that the board was turned over about since
    #[arg(long, value_name = "x|y", value_parser = turn, requires = "after", conflicts_with = "job")]
    pub(super) turned: Option<Turn>,
    /// Unit of bare numbers here, and of what is shown
    #[arg(long, value_name = "mm|in", value_parser = unit)]
    pub(super) units: Option<Unit>,
}

fn unit(text: &str) -> Result<Unit, String> {
    match text {
        "mm" => Ok(Unit::Mm),
        "in" => Ok(Unit::In),
        _ => Err("mm or in".to_string()),
    }
}

fn turn(text: &str) -> Result<Turn, String> {
    match text {
        "x" => Ok(Turn::AboutX),
        "y" => Ok(Turn::AboutY),
        _ => Err("x or y".to_string()),
    }
}

/// A setup with all that it borrows from.
pub(super) struct Known {
    pub(super) shop: Shop,
    pub(super) shown: Shown,
    pub(super) job: Option<(Job, PartPlan)>,
    stock: Option<Box3>,
    limits: Vec<CuttingData>,
    cutter: Option<u32>,
    board: Board,
}

impl Known {
    /// Reads what the flags name, and runs the programs that came before.
    pub(super) fn read(
        against: &Against,
        common: &Common,
        program: &Path,
    ) -> Result<Known, Failure> {
        let mut board = Board::default();
        for earlier in &against.after {
            let mut known = Known::read_alone(against, common, earlier)?;
            known.lay(board);
            let left = Program::open(earlier)?.trial(&known.setup())?.left;
            board = known.board;
            board.cut(left);
        }
        let mut known = Known::read_alone(against, common, program)?;
        known.lay(board);
        if let Some((turn, stock)) = against.turned.zip(known.stock) {
            known.board.turn(&stock, turn);
        }
        Ok(known)
    }

    /// Puts in the board that the programs before have left.
    fn lay(&mut self, mut board: Board) {
        if let Some((_, plan)) = &self.job {
            board.lay(plan);
        }
        self.board = board;
    }

    fn read_alone(against: &Against, common: &Common, program: &Path) -> Result<Known, Failure> {
        let job = match &against.job {
            Some(path) => Some((context::job(path)?, path.clone())),
            None => None,
        };
        let pair = job.as_ref().map(|(job, path)| (job, path.as_path()));
        let shop = context::shop(common.shop.as_deref(), pair)?;
        let own = against.units.unwrap_or(shop.units);
        let shown = job.as_ref().map_or(Shown { unit: own, parts: 32 }, |(job, _)| job.shown);
        let plan = match &job {
            Some((job, _)) => Some(choose(job, &shop, against.part.as_deref(), program)?),
            None => None,
        };
        let stock = match (&plan, &against.stock) {
            (Some(plan), _) => Some(plan.stock),
            (None, Some(text)) => Some(stock(text, own)?),
            (None, None) => None,
        };
        let limits = match (&plan, &against.species) {
            (Some(plan), _) => plan.cutters.iter().map(|(_, d)| d.clone()).collect(),
            (None, Some(name)) => limits(&shop, name)?,
            (None, None) => Vec::new(),
        };
        let cutter = against.cutter.or_else(|| cutter_in_name(program));
        let job = job.map(|(job, _)| job).zip(plan);
        Ok(Known { shop, shown, job, stock, limits, cutter, board: Board::default() })
    }

    /// The setup for the dry run.
    pub(super) fn setup(&self) -> Setup<'_> {
        if let Some((_, plan)) = &self.job {
            return self.board.in_setup(make::setup(
                &self.shop,
                plan,
                self.cutter.or(plan.cutters.first().map(|(c, _)| c.number)),
                self.shown,
            ));
        }
        self.board.in_setup(Setup {
            stock: self.stock,
            limits: self.limits.clone(),
            default_cutter: self.cutter,
            shown: self.shown,
            ..Setup::new(&self.shop.machine, &self.shop.cutters)
        })
    }
}

/// The part of a job that a program is for: by name, or the only one.
fn choose(job: &Job, shop: &Shop, part: Option<&str>, program: &Path) -> Result<PartPlan, Failure> {
    let plans = cuts::plan_to_judge(job, shop)?;
    let stem = program.file_stem().map(|s| s.to_string_lossy().to_string()).unwrap_or_default();
    let whole = |p: &PartPlan| format!("{}-{}", p.part.name, p.setup);
    let setups = |p: &PartPlan| plans.iter().filter(|q| q.part.name == p.part.name).count();
    // The name of a part that is cut from both faces does not say which program is meant.
    let name = |p: &PartPlan| if setups(p) == 1 { p.part.name.clone() } else { whole(p) };
    let names: Vec<String> = plans.iter().map(name).collect();
    let only = plans.len() == 1 && part.is_none();
    let said = |p: &PartPlan| stem.starts_with(&whole(p));
    let fits = |(plan, name): &(PartPlan, &String)| match part {
        Some(asked) => {
            asked == *name || asked == whole(plan) || asked == plan.part.name && said(plan)
        }
        None => only || stem.starts_with(*name),
    };
    // Of setups the one that the file's name says; of names that both fit, the longer is meant:
    // `cap-left` rather than `cap`.
    let found = plans.into_iter().zip(&names).filter(fits).map(|(plan, _)| plan);
    let found = found.max_by_key(|p| (said(p), p.part.name.len()));
    found.ok_or_else(|| {
        Diagnostic::error("it is not clear which part of the job the program is for")
            .help(format!("say --part with one of: {}", names.join(", ")))
            .into()
    })
}

fn stock(text: &str, unit: Unit) -> Result<Box3, Failure> {
    let wrong = |why: String| {
        Failure::from(
            Diagnostic::error(format!("--stock {text}: {why}"))
                .help("give length, width and thickness, as in --stock \"44 in, 9 in, 3/4 in\""),
        )
    };
    let sizes: Vec<f64> = text
        .split(',')
        .map(|part| parse_length(part, unit))
        .collect::<Result<_, _>>()
        .map_err(wrong)?;
    let [l, w, t] = sizes.as_slice() else {
        return Err(wrong(format!("{} sizes where three are wanted", sizes.len())));
    };
    if [l, w, t].iter().any(|s| **s <= 0.0) {
        return Err(wrong("every size is more than zero".to_string()));
    }
    Ok(Box3 { min: point3(0.0, 0.0, -t), max: point3(*l, *w, 0.0) })
}

fn limits(shop: &Shop, species: &str) -> Result<Vec<CuttingData>, Failure> {
    let material = Material::find(species)?;
    let mut all = Vec::new();
    for cutter in &shop.cutters {
        all.push(shop.cutting_data(&material, cutter, &Overrides::default())?);
    }
    Ok(all)
}

/// A program of its own cutter carries the cutter's number at the end of its name.
fn cutter_in_name(program: &Path) -> Option<u32> {
    let stem = program.file_stem()?.to_string_lossy().to_string();
    stem.rsplit_once("-cutter-")?.1.parse().ok()
}

/// A program's text as it is tried: a file is read as often as is needed and never held whole.
pub(super) enum Program {
    File(Opened),
    /// From a pipe.
    Held(Vec<u8>),
}

impl Program {
    pub(super) fn open(path: &Path) -> Result<Program, Failure> {
        Ok(match Opened::open(path)? {
            Some(opened) => Program::File(opened),
            None => Program::Held(read_bytes(path, MAX_PROGRAM_BYTES)?),
        })
    }

    /// The whole text; bytes that are not text are replaced, and found by the reader.
    pub(super) fn text(&self) -> Result<String, Failure> {
        Ok(match self {
            Program::Held(bytes) => String::from_utf8_lossy(bytes).into_owned(),
            Program::File(opened) => {
                String::from_utf8_lossy(&opened.whole(MAX_PROGRAM_BYTES)?).into_owned()
            }
        })
    }

    /// What the dry run says of it.
    pub(super) fn verdict(&self, setup: &Setup) -> Result<Verdict, Failure> {
        Ok(self.trial(setup)?.verdict)
    }

    /// What the dry run says of it, and what it leaves.
    pub(super) fn trial(&self, setup: &Setup) -> Result<Trial, Failure> {
        Ok(match self {
            Program::File(opened) => {
                let trial =
                    dry_run::try_source(&opened.file, setup).map_err(|e| opened.failed(&e))?;
                opened.unchanged()?;
                trial
            }
            Program::Held(bytes) => {
                let Ok(trial) = dry_run::try_source(bytes.as_slice(), setup);
                trial
            }
        })
    }
}

pub(super) fn run(args: &DryRunArgs) -> Done {
    let program = match (&args.program, args.explain) {
        (Some(program), false) => program,
        _ => return explain(args.common.json),
    };
    let known = Known::read(&args.against, &args.common, program)?;
    let progress = Progress::new(args.common.quiet);
    let told = |what: &str, share: f64| progress.tell(what, share);
    let setup = Setup { watch: Watch::new(&told), ..known.setup() };
    let verdict = Program::open(program)?.verdict(&setup)?;
    drop(progress);
    if args.common.json {
        let json = serde_json::to_value(&verdict).unwrap_or_default();
        say::result(&format!("{json:#}\n"))?;
    } else {
        say::result(&verdict.render(known.shown))?;
    }
    Ok(u8::from(verdict.outcome == Outcome::Refused))
}

/// The interlocks in words.
fn explain(json: bool) -> Done {
    let pages = Interlock::ALL.iter().enumerate();
    if json {
        let all: Vec<_> = pages
            .map(|(i, p)| {
                serde_json::json!({
                    "code": format!("I{:02}", i + 1), "name": p.name, "guards": p.guards,
                    "checked": p.checked, "can-not-see": p.blind,
                })
            })
            .collect();
        say::result(&format!("{:#}\n", serde_json::Value::from(all)))?;
        return Ok(0);
    }
    let text: String = pages
        .map(|(i, p)| {
            format!(
                "I{:02} {}\n  guards       {}\n  checked      {}\n  can not see  {}\n\n",
                i + 1,
                p.name,
                p.guards,
                p.checked,
                p.blind
            )
        })
        .collect();
    say::result(text.trim_end())?;
    say::result("\n")?;
    Ok(0)
}
