//! `ovolo preview`: extents, times and a picture.

mod relief;

use super::dry_run::{Against, Known, Program};
use super::progress::Progress;
use super::{Common, Done, context, say};
use clap::Args;
use ovolo::diagnostic::{Diagnostic, Failure};
use ovolo::drawing;
use ovolo::dry_run;
use ovolo::files::{make_folder, write_whole};
use ovolo::make::{self, Board};
use ovolo::report;
use ovolo::shop::Shop;
use ovolo::units::Shown;
use ovolo::watch::Watch;
use std::path::{Path, PathBuf};

#[derive(Args, Debug)]
pub(super) struct PreviewArgs {
    /// Program, or a job file (.toml): all its programs
    of: PathBuf,
    /// What the program stands in
    #[command(flatten)]
    against: Against,
    /// Post-processor, for a job file
    #[arg(long, value_name = "NAME|FILE")]
    post: Option<String>,
    /// Folder for the pictures
    #[arg(long, value_name = "DIR", default_value = "out")]
    out: PathBuf,
    /// Width of the PNG in pixels
    #[arg(long, value_name = "PIXELS", default_value_t = 1000, value_parser = clap::value_parser!(u32).range(100..=8000))]
    width: u32,
    /// Write a page as well that shows the stock as it is cut, for any browser, without network
    #[arg(long)]
    html: bool,
    #[command(flatten)]
    pub(super) common: Common,
}

pub(super) fn run(args: &PreviewArgs) -> Done {
    let is_job = args.of.extension().is_some_and(|e| e.eq_ignore_ascii_case("toml"));
    make_folder(&args.out)?;
    if is_job { of_job(args) } else { of_program(args) }
}

fn of_job(args: &PreviewArgs) -> Done {
    let job = context::job(&args.of)?;
    let shop = context::shop(args.common.shop.as_deref(), Some((&job, &args.of)))?;
    let dialect = context::dialect(args.post.as_deref(), &job, &args.of, &shop)?;
    let reliefs = relief::designed(args, &job)?;
    let progress = Progress::new(args.common.quiet);
    let told = |what: &str, share: f64| progress.tell(what, share);
    let made = make::make_watched(&job, &shop, &dialect, Watch::new(&told));
    drop(progress);
    let parts = match made {
        Ok(parts) => parts,
        Err(why) => {
            // What can not be cut can still be looked at.
            for relief in &reliefs {
                relief.write(args, None)?;
            }
            return Err(why);
        }
    };
    let mut pictures: Vec<(&relief::Designed, Vec<u8>)> = Vec::new();
    for relief in &reliefs {
        let made = parts.iter().find(|part| relief.is_of(&part.plan));
        let cut = made.and_then(|made| Some((&made.plan, made.left.as_ref()?)));
        pictures.push((relief, relief.write(args, cut)?));
    }
    let mut all = Vec::new();
    let mut board = Board::default();
    for part in &parts {
        board.lay(&part.plan);
        let svg = report::picture(&job, part);
        write_pictures(args, &part.plan.picture, &svg)?;
        let carving = pictures.iter().find(|(relief, _)| relief.is_of(&part.plan));
        for program in &part.programs {
            let first = program.cutter.or(part.plan.cutters.first().map(|(c, _)| c.number));
            let setup = board.in_setup(make::setup(&shop, &part.plan, first, job.shown));
            let page = || {
                let (name, text) = (&program.file_name, &program.text);
                let (title, carving) = (&job.file.title, carving.map(|(_, png)| png.as_slice()));
                report::page(title, name, text, &program.read, &program.verdict, &setup, carving)
            };
            write_page(args, &program.file_name, page)?;
            if args.html && (parts.len() > 1 || part.programs.len() > 1) {
                // The next page starts with what this program leaves.
                let left = dry_run::try_out(&program.text, &setup).left;
                board.cut(left);
            }
            all.push(table(args, &program.file_name, &program.read, &shop, job.shown));
        }
    }
    print(args, &all)
}

fn of_program(args: &PreviewArgs) -> Done {
    let known = Known::read(&args.against, &args.common, &args.of)?;
    let program = Program::open(&args.of)?;
    let text = program.text()?;
    let reading = make::read(&text, &known.shop);
    let name = args.of.file_name().map(|n| n.to_string_lossy().to_string()).unwrap_or_default();
    let svg = match &known.job {
        Some((job, plan)) => report::picture_of(job, plan, &name, &text, &reading),
        None => report::picture_alone(&name, &text, &reading, &known.setup(), known.shown),
    };
    let stem = Path::new(&name).file_stem().map(|s| s.to_string_lossy().to_string());
    write_pictures(args, &stem.unwrap_or_else(|| name.clone()), &svg)?;
    let setup = known.setup();
    let trial = if args.html { Some(program.trial(&setup)?) } else { None };
    let left = trial.as_ref().and_then(|trial| trial.left.as_ref());
    let carving = match (&known.job, left) {
        (Some((job, plan)), Some(left)) => relief::of_program(args, job, plan, left)?,
        _ => None,
    };
    let page = || {
        let verdict = &trial.as_ref()?.verdict;
        let title = known.job.as_ref().map_or("Program", |(job, _)| job.file.title.as_str());
        report::page(title, &name, &text, &reading, verdict, &setup, carving.as_deref())
    };
    write_page(args, &name, page)?;
    print(args, &[table(args, &name, &reading, &known.shop, known.shown)])
}

/// The extents of one program, as text or as JSON in mm, mm/min and seconds.
fn table(
    args: &PreviewArgs,
    name: &str,
    reading: &make::Reading,
    shop: &Shop,
    shown: Shown,
) -> String {
    if args.common.json {
        let all = drawing::extents(&reading.events, &reading.seconds);
        return serde_json::json!({ "program": name, "cutters": all }).to_string();
    }
    report::extents(name, reading, shop, shown)
}

fn print(args: &PreviewArgs, tables: &[String]) -> Done {
    match args.common.json {
        true => say::result(&format!("[{}]\n", tables.join(",\n ")))?,
        false => say::result(&tables.join("\n"))?,
    }
    Ok(0)
}

fn write_pictures(args: &PreviewArgs, name: &str, svg: &str) -> Result<(), Failure> {
    write_whole(&args.out.join(format!("{name}.svg")), svg.as_bytes())?;
    let png = drawing::png(svg, args.width)?;
    write_whole(&args.out.join(format!("{name}.png")), &png)?;
    say::talk(
        args.common.quiet,
        &format!("Pictures: {0}/{name}.svg, {0}/{name}.png", args.out.display()),
    );
    Ok(())
}

/// The page of a program, where one is asked for.
fn write_page(
    args: &PreviewArgs,
    program: &str,
    page: impl Fn() -> Option<String>,
) -> Result<(), Failure> {
    if !args.html {
        return Ok(());
    }
    let stem = Path::new(program).file_stem().map_or(program.into(), |s| s.to_string_lossy());
    let Some(page) = page() else {
        return Err(Diagnostic::error(format!("{program} cuts nothing at a known place"))
            .help("leave `--html` out; the dry run says what is wrong with the program")
            .into());
    };
    write_whole(&args.out.join(format!("{stem}.html")), page.as_bytes())?;
    say::talk(args.common.quiet, &format!("Page: {}/{stem}.html", args.out.display()));
    Ok(())
}
