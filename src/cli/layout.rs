//! `ovolo layout`: a header's whole layout, and the figures of a job's parts.

use super::{Common, Done, context, say};
use clap::Args;
use ovolo::job::Job;
use ovolo::report::{header_report, part_json, part_text};
use std::path::PathBuf;

#[derive(Args, Debug)]
pub(super) struct LayoutArgs {
    /// Job file
    job: PathBuf,
    #[command(flatten)]
    pub(super) common: Common,
}

pub(super) fn run(args: &LayoutArgs) -> Done {
    let job = context::job(&args.job)?;
    let header = header_report(&job)?;
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

/// The parts that somebody wrote; a header's cap stands in the header's text.
fn parts_text(job: &Job) -> String {
    let mut text = String::new();
    for part in job.parts.iter().filter(|part| part.key.starts_with("part")) {
        text.push_str(&format!("\n{}", part_text(part, job.shown)));
    }
    text
}
