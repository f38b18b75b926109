//! `ovolo layout`: a header's whole layout and its drawings at full size; figures of a job's
//! parts.

use super::{Common, Done, context, say};
use clap::{Args, ValueEnum};
use ovolo::diagnostic::Failure;
use ovolo::drawing;
use ovolo::files::{make_folder, write_drawn};
use ovolo::job::{Job, Part, Shape};
use ovolo::report::{HeaderReport, drawing_files, drawings, header_report, part_json, part_text};
use ovolo::units::Unit;
use std::path::{Path, PathBuf};

#[derive(Args, Debug)]
pub(super) struct LayoutArgs {
    /// Job file
    job: PathBuf,
    /// Folder to write drawings and cut list into
    #[arg(long, value_name = "DIR", default_value = "out")]
    out: PathBuf,
    /// Paper of the drawings cut into pages [default: letter for a job in inches, else a4]
    #[arg(long, value_name = "SIZE")]
    paper: Option<Paper>,
    /// Tell the figures and write nothing
    #[arg(long)]
    figures_only: bool,
    #[command(flatten)]
    pub(super) common: Common,
}

#[derive(ValueEnum, Clone, Copy, Debug)]
enum Paper {
    /// 8 1/2 by 11 in
    Letter,
    /// 210 by 297 mm
    A4,
}

pub(super) fn run(args: &LayoutArgs) -> Done {
    let job = context::job(&args.job)?;
    let header = header_report(&job)?;
    let files = match args.figures_only {
        true => Vec::new(),
        false => write(&job, header.as_ref(), args)?,
    };
    if args.common.json {
        let parts: Vec<_> = job.parts.iter().map(part_json).collect();
        let names: Vec<String> = files.iter().map(|f| f.display().to_string()).collect();
        let mut all = serde_json::json!({
            "title": job.file.title,
            "units": "mm, radians",
            "parts": parts,
            "files": names,
        });
        if let Some(header) = header {
            all["header"] = header.json();
        }
        say::result(&format!("{all:#}\n"))?;
    } else {
        let mut text = format!("{}\n", job.file.title);
        if let Some(header) = header {
            text.push_str(&header.text(job.shown));
        }
        text.push_str(&parts_text(&job));
        say::result(&text)?;
    }
    if !files.is_empty() {
        say::talk(args.common.quiet, &talk(&files, &args.out, paper(args, &job)));
    }
    Ok(0)
}

fn paper(args: &LayoutArgs, job: &Job) -> drawing::Paper {
    match (args.paper, job.file.units) {
        (Some(Paper::Letter), _) | (None, Unit::In) => drawing::Paper::Letter,
        (Some(Paper::A4), _) | (None, Unit::Mm) => drawing::Paper::A4,
    }
}

/// Writes all drawings and the cut list; a job without any makes no folder.
fn write(
    job: &Job,
    header: Option<&HeaderReport<'_>>,
    args: &LayoutArgs,
) -> Result<Vec<PathBuf>, Failure> {
    let drawn = drawing_files(&drawings(job), paper(args, job))?;
    let lists = header.map(|header| header.files(&job.file.title, job.shown)).unwrap_or_default();
    if drawn.is_empty() && lists.is_empty() {
        return Ok(Vec::new());
    }
    make_folder(&args.out)?;
    let drawn = drawn.into_iter().map(|file| (file.name, file.bytes));
    let lists = lists.into_iter().map(|(name, text)| (name.to_string(), text.into_bytes()));
    let mut written = Vec::new();
    for (name, bytes) in drawn.chain(lists) {
        let path = args.out.join(name);
        write_drawn(&path, &bytes)?;
        written.push(path);
    }
    Ok(written)
}

/// What was written, a line for each drawing.
fn talk(files: &[PathBuf], out: &Path, paper: drawing::Paper) -> String {
    let names = stems(files, "svg");
    let mut text = format!(
        "Drawings at full size, written to {}: {}; each as .svg, .dxf, .pdf on one sheet and \
         -{}.pdf on pages to tape together. Print without fitting to the page and check the bars.",
        out.display(),
        names.join(", "),
        paper.name()
    );
    if files.iter().any(|f| f.extension().is_some_and(|e| e == "csv")) {
        text.push_str("\nThe cut list stands there as cut-list.csv and cut-list.json.");
    }
    let paged = stems(files, "pdf");
    for name in &names {
        if !paged.contains(&format!("{name}-{}", paper.name())) {
            text.push_str(&format!("\n{name} would take more than 400 pages and has none."));
        }
    }
    text
}

/// Names without ending of the files with that ending.
fn stems(files: &[PathBuf], ending: &str) -> Vec<String> {
    files
        .iter()
        .filter(|f| f.extension().is_some_and(|e| e == ending))
        .filter_map(|f| f.file_stem().map(|stem| stem.to_string_lossy().into_owned()))
        .collect()
}

/// The parts that somebody wrote, templates, and milled mouldings; a header's other boards stand in the header's text.
fn parts_text(job: &Job) -> String {
    let mut text = String::new();
    let told = |part: &&Part| {
        part.key.starts_with("part")
            || part.key.ends_with(".template")
            || matches!(part.shape, Shape::Moulding(_))
    };
    for part in job.parts.iter().filter(told) {
        text.push_str(&format!("\n{}", part_text(part, job.shown)));
    }
    text
}
