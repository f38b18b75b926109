//! `ovolo layout`: a header's whole layout, and the figures of a job's parts.

use super::{Common, Done, context, say};
use clap::Args;
use ovolo::diagnostic::{Diagnostic, Failure};
use ovolo::files::{make_folder, write_whole};
use ovolo::job::Job;
use ovolo::report::{HeaderReport, header_report, part_json, part_text};
use std::path::{Path, PathBuf};

#[derive(Args, Debug)]
pub(super) struct LayoutArgs {
    /// Job file
    job: PathBuf,
    /// Folder for the cut list as cut-list.csv and cut-list.json [default: none is written]
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    #[command(flatten)]
    pub(super) common: Common,
}

pub(super) fn run(args: &LayoutArgs) -> Done {
    let job = context::job(&args.job)?;
    let header = header_report(&job)?;
    if let Some(out) = &args.out {
        write_lists(out, &job, header.as_ref())?;
    }
    if args.common.json {
        let parts: Vec<_> = job.parts.iter().map(part_json).collect();
        let mut all =
            serde_json::json!({ "title": job.file.title, "units": "mm, radians", "parts": parts });
        if let Some(header) = header {
            all["header"] = header.json();
        }
        say::result(&format!("{all:#}\n"))?;
        return Ok(0);
    }
    let mut text = format!("{}\n", job.file.title);
    if let Some(header) = header {
        text.push_str(&header.text(job.shown));
    }
    text.push_str(&parts_text(&job));
    say::result(&text)?;
    Ok(0)
}

/// The header's cut list as files.
fn write_lists(out: &Path, job: &Job, header: Option<&HeaderReport<'_>>) -> Result<(), Failure> {
    let Some(header) = header else {
        let message = "there is no header, and so no cut list to write";
        return Err(Diagnostic::error(message).help("leave --out away").into());
    };
    make_folder(out)?;
    for (name, text) in header.files(&job.file.title, job.shown) {
        write_whole(&out.join(name), text.as_bytes())?;
    }
    Ok(())
}

/// The parts that somebody wrote, and templates; a header's boards stand in the header's text.
fn parts_text(job: &Job) -> String {
    let mut text = String::new();
    let told = |key: &str| key.starts_with("part") || key.ends_with(".template");
    for part in job.parts.iter().filter(|part| told(&part.key)) {
        text.push_str(&format!("\n{}", part_text(part, job.shown)));
    }
    text
}
