//! Shaded pictures of a carved panel.

use super::super::progress::Progress;
use super::super::say;
use super::PreviewArgs;
use ovolo::diagnostic::{Diagnostic, Failure};
use ovolo::drawing::{FINER, ReliefView, relief_png, relief_svg};
use ovolo::files::write_whole;
use ovolo::job::{Job, Part};
use ovolo::part::Panel;

/// Writes `PART-relief.svg` and `.png`: the relief as designed.
pub(super) fn write(
    args: &PreviewArgs,
    job: &Job,
    part: &Part,
    panel: &Panel,
) -> Result<(), Failure> {
    let wrong = |all: Vec<Diagnostic>| Failure::Input(job.document.locate(all));
    let relief = panel.relief(job.document.folder()).map_err(wrong)?;
    let cell = panel.board.length / f64::from(args.width) / FINER as f64;
    let rows = (panel.board.width / cell).round().max(1.0) as u64;
    let progress = Progress::new("carving", rows, args.common.quiet);
    let field = relief
        .sample(cell, &|rows| progress.add(rows))
        .map_err(|e| wrong(vec![Diagnostic::error(e.to_string()).key(part.key.clone())]))?;
    drop(progress);
    let thickness = part.placing.stock.thickness.0;
    let problems = panel.height_problems(&field, thickness, &part.key, job.shown);
    if !problems.is_empty() {
        return Err(Failure::Refused(job.document.locate(problems)));
    }
    let caption = format!(
        "{}: as designed, {} by {}, light from the upper left",
        part.name,
        job.shown.both(panel.board.length),
        job.shown.both(panel.board.width)
    );
    let views = [ReliefView::shaded(&field, caption)];
    let name = format!("{}-relief", part.name);
    write_whole(&args.out.join(format!("{name}.svg")), relief_svg(&views)?.as_bytes())?;
    write_whole(&args.out.join(format!("{name}.png")), &relief_png(&views)?)?;
    say::talk(
        args.common.quiet,
        &format!("Relief: {0}/{name}.svg, {0}/{name}.png", args.out.display()),
    );
    Ok(())
}
