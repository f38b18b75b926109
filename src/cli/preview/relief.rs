//! Shaded pictures of a carved panel: as designed, as it is cut, and the difference.

use super::super::progress::Progress;
use super::super::say;
use super::PreviewArgs;
use ovolo::cuts::PartPlan;
use ovolo::cuts::relief::{Fragile, Weakness};
use ovolo::diagnostic::{Diagnostic, Failure};
use ovolo::drawing::{FINER, Mark, ReliefView, relief_png, relief_svg};
use ovolo::files::write_whole;
use ovolo::geometry::{HeightField, Point, point};
use ovolo::job::{Job, Part, Shape};
use ovolo::part::Panel;
use ovolo::units::Unit;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Most places of a kind that are pointed out: the worst.
const MARKED: usize = 12;

/// A panel's relief as it is to be.
pub(super) struct Designed {
    part: String,
    caption: String,
    unit: Unit,
    size: Point,
    field: HeightField,
}

/// The reliefs of all panels of a job.
pub(super) fn designed(args: &PreviewArgs, job: &Job) -> Result<Vec<Designed>, Failure> {
    let mut all = Vec::new();
    for part in &job.parts {
        if let Shape::Panel(panel) = &part.shape {
            all.push(Designed::of(args, job, part, panel)?);
        }
    }
    Ok(all)
}

impl Designed {
    fn of(args: &PreviewArgs, job: &Job, part: &Part, panel: &Panel) -> Result<Designed, Failure> {
        let wrong = |all: Vec<Diagnostic>| Failure::Input(job.document.locate(all));
        let carved = panel.carved(job.document.folder()).map_err(wrong)?;
        let relief = carved.designed();
        let size = point(panel.board.length, panel.board.width);
        let cell = size.x / f64::from(args.width) / FINER as f64;
        let rows = (size.y / cell).round().max(1.0);
        let done = AtomicUsize::new(0);
        let progress = Progress::new(args.common.quiet);
        let told = |more: usize| {
            let so_far = done.fetch_add(more, Ordering::Relaxed) + more;
            progress.tell("working out the relief", so_far as f64 / rows);
        };
        let field = relief
            .sample(cell, &told)
            .map_err(|e| wrong(vec![Diagnostic::error(e.to_string()).key(part.key.clone())]))?;
        drop(progress);
        let thickness = part.placing.stock.thickness.0;
        let problems = panel.height_problems(&carved, &field, thickness, &part.key, job.shown);
        if !problems.is_empty() {
            return Err(Failure::Refused(job.document.locate(problems)));
        }
        let caption = format!(
            "{}: as designed, {} by {}, light from the upper left",
            part.name,
            job.shown.both(size.x),
            job.shown.both(size.y)
        );
        Ok(Designed { part: part.name.clone(), caption, unit: job.shown.unit, size, field })
    }

    /// Writes `PART-relief.svg` and `.png`; what is cut stands beside it once it is known. The PNG.
    pub(super) fn write(
        &self,
        args: &PreviewArgs,
        cut: Option<(&PartPlan, &HeightField)>,
    ) -> Result<Vec<u8>, Failure> {
        let mut views = vec![ReliefView::shaded(&self.field, self.caption.clone())];
        if let Some((plan, left)) = cut {
            let cut = &self.cut(plan, left);
            let (marks, words) = self.marks(plan);
            views.push(
                ReliefView::shaded(cut, format!("as the program's text cuts it{words}"))
                    .marked(marks),
            );
            views.push(ReliefView::difference(&self.field, cut, left.cell(), self.unit));
        }
        let name = format!("{}-relief", self.part);
        write_whole(&args.out.join(format!("{name}.svg")), relief_svg(&views)?.as_bytes())?;
        let png = relief_png(&views)?;
        write_whole(&args.out.join(format!("{name}.png")), &png)?;
        say::talk(
            args.common.quiet,
            &format!("Relief: {0}/{name}.svg, {0}/{name}.png", args.out.display()),
        );
        Ok(png)
    }

    /// What the programs leave, on the grid of the design.
    fn cut(&self, plan: &PartPlan, left: &HeightField) -> HeightField {
        let corner = plan.outline.bounds().map_or(Point::default(), |(low, _)| low);
        let mut cut = self.field.clone();
        // Beside the outline a cell is partly cut through.
        let edge = left.cell();
        let far = |v: f64, whole: f64| v > edge && v < whole - edge;
        for j in 0..cut.rows() {
            let row: Vec<f32> = (0..cut.columns())
                .map(|i| (i, cut.middle(i, j)))
                .map(|(i, p)| match far(p.x, self.size.x) && far(p.y, self.size.y) {
                    true => (left.bilinear(p + corner) - plan.stock.max.z) as f32,
                    false => cut.row(j)[i],
                })
                .collect();
            cut.set_row(j, &row);
        }
        cut
    }

    /// The weak places, and what the caption says of them.
    fn marks(&self, plan: &PartPlan) -> (Vec<Mark>, String) {
        let corner = plan.outline.bounds().map_or(Point::default(), |(low, _)| low);
        let share =
            |p: Point| point((p.x - corner.x) / self.size.x, (p.y - corner.y) / self.size.y);
        let mark = |w: &Fragile| Mark {
            low: share(w.low),
            high: share(w.high),
            dashed: w.weakness == Weakness::TooNarrow,
        };
        let words = match plan.weak.is_empty() {
            true => "",
            false => "; boxed: short grain or undercut, dashed: narrower than the finest cutter",
        };
        let worst = Weakness::ALL
            .iter()
            .flat_map(|kind| plan.weak.iter().filter(move |w| w.weakness == *kind).take(MARKED));
        (worst.map(mark).collect(), words.to_string())
    }

    /// Whether it is the relief of this part.
    pub(super) fn is_of(&self, plan: &PartPlan) -> bool {
        plan.part.name == self.part && plan.surface.is_some()
    }
}

/// The picture of a panel's relief beside what one program leaves of its board; `None` if the
/// program is not for a panel's face.
pub(super) fn of_program(
    args: &PreviewArgs,
    job: &Job,
    plan: &PartPlan,
    left: &HeightField,
) -> Result<Option<Vec<u8>>, Failure> {
    for part in &job.parts {
        if let Shape::Panel(panel) = &part.shape
            && part.name == plan.part.name
            && plan.surface.is_some()
        {
            let designed = Designed::of(args, job, part, panel)?;
            return designed.write(args, Some((plan, left))).map(Some);
        }
    }
    Ok(None)
}
