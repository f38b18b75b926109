//! `ovolo layout`: the figures of a job's parts.

use super::{Common, Done, context, say};
use clap::Args;
use ovolo::drawing::cap_text;
use ovolo::job::Shape;
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
    if args.common.json {
        let parts: Vec<_> = job
            .parts
            .iter()
            .map(|part| {
                let Shape::Cap(cap) = part.shape;
                serde_json::json!({ "name": part.name, "kind": "cap", "figures": cap.figures() })
            })
            .collect();
        let all =
            serde_json::json!({ "title": job.file.title, "units": "mm, radians", "parts": parts });
        say::result(&format!("{all:#}\n"))?;
        return Ok(0);
    }
    let mut text = format!("{}\n", job.file.title);
    for part in &job.parts {
        let Shape::Cap(cap) = part.shape;
        text.push_str(&format!("\n{}: a cap with an arched front\n", part.name));
        text.push_str(&cap_text(&cap.figures(), job.shown));
    }
    say::result(&text)?;
    Ok(0)
}
