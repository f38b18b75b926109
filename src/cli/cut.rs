//! `ovolo cut`: programs, pictures, setup sheet and report of a job.

use super::progress::Progress;
use super::{Common, Done, context, say};
use clap::Args;
use ovolo::diagnostic::{Diagnostic, Failure};
use ovolo::files::{make_folder, remove_if_there, write_whole};
use ovolo::job::Job;
use ovolo::make::{self, MadePart};
use ovolo::report;
use ovolo::watch::Watch;
use std::path::{Path, PathBuf};

#[derive(Args, Debug)]
pub(super) struct CutArgs {
    /// Job file
    job: PathBuf,
    /// Post-processor: a built-in name or a file [default: the one the job names, else by its
    /// units]
    #[arg(long, value_name = "NAME|FILE")]
    post: Option<String>,
    /// How far a chord may leave an arc, for a post-processor without arcs [default: as it says]
    #[arg(long, value_name = "LENGTH")]
    chord_tolerance: Option<String>,
    /// Folder to write into
    #[arg(long, value_name = "DIR", default_value = "out")]
    out: PathBuf,
    #[command(flatten)]
    pub(super) common: Common,
}

pub(super) fn run(args: &CutArgs) -> Done {
    let job = context::job(&args.job)?;
    let shop = context::shop(args.common.shop.as_deref(), Some((&job, &args.job)))?;
    let mut dialect = context::dialect(args.post.as_deref(), &job, &args.job, &shop)?;
    if let Some(text) = &args.chord_tolerance {
        dialect = context::with_chord_tolerance(dialect, text, job.file.units)?;
    }
    let header = report::header_report(&job)?;
    let progress = Progress::new(args.common.quiet);
    let told = |what: &str, share: f64| progress.tell(what, share);
    let parts = make::make_watched(&job, &shop, &dialect, Watch::new(&told))?;
    drop(progress);
    make_folder(&args.out)?;
    if parts.iter().any(MadePart::refused) {
        return Err(refused(&parts, &job, &args.out));
    }
    let order = report::order_of_work(&job, &parts, header.as_ref());
    write_all(&parts, &job, &shop, &order, &args.out)?;
    let summary = report::report(&job, &parts, &order);
    if args.common.json {
        say::result(&format!("{summary:#}\n"))?;
    } else {
        say::result(&report::summary(&job, &parts))?;
    }
    say::talk(
        args.common.quiet,
        &format!("Written to {}; print setup-sheet.html and read it first.", args.out.display()),
    );
    Ok(0)
}

/// Pictures and sheets first, programs last: a program never stands there without its sheet.
fn write_all(
    parts: &[MadePart],
    job: &Job,
    shop: &ovolo::shop::Shop,
    order: &[String],
    out: &Path,
) -> Result<(), Failure> {
    for part in parts {
        let svg = report::picture(job, part);
        write_whole(&out.join(format!("{}.svg", part.plan.picture)), svg.as_bytes())?;
    }
    let sheet = report::setup_sheet(job, shop, parts, order);
    write_whole(&out.join("setup-sheet.html"), sheet.as_bytes())?;
    let report = format!("{:#}\n", report::report(job, parts, order));
    write_whole(&out.join("report.json"), report.as_bytes())?;
    for program in parts.iter().flat_map(|p| &p.programs) {
        write_whole(&out.join(&program.file_name), program.text.as_bytes())?;
        // An earlier, refused try of the same program is no longer of use.
        remove_if_there(&refused_copy(out, program))?;
    }
    Ok(())
}

/// Where the text of a refused program is left for reading.
fn refused_copy(out: &Path, program: &make::MadeProgram) -> PathBuf {
    out.join(format!("{}.refused.txt", program.file_name))
}

/// Nothing is written under a name that runs; the texts are left for reading beside it.
fn refused(parts: &[MadePart], job: &Job, out: &Path) -> Failure {
    let mut all = Vec::new();
    for program in parts.iter().flat_map(|p| &p.programs) {
        if let Err(failure) = write_whole(&refused_copy(out, program), program.text.as_bytes()) {
            return failure;
        }
        for finding in report::refusals(&program.verdict) {
            let message =
                format!("{}: line {}: {}", program.file_name, finding.line, finding.message);
            all.push(Diagnostic::error(message).help(finding.help.clone()));
        }
        if out.join(&program.file_name).exists() {
            all.push(Diagnostic::warning(format!(
                "{} is from an earlier run and does not belong to this job",
                out.join(&program.file_name).display()
            )));
        }
    }
    all.push(
        Diagnostic::error(format!("the dry run refused the programs of `{}`", job.file.title))
            .help(format!(
                "no program was written; its text is in {} as .refused.txt",
                out.display()
            )),
    );
    Failure::Refused(all)
}
