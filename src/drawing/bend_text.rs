//! What is known about a bend, in words.

use super::text_table::{at_least, at_most, pairs, paragraph};
use crate::diagnostic::Diagnostic;
use crate::layout::bend::{Advice, BendJob, BendReport, KerfPlan, Lamination, SolidPlan};
use crate::units::Shown;

/// A bend's figures, the advice, the other ways and what to mind.
#[must_use]
pub fn bend_text(job: &BendJob, report: &BendReport, shown: Shown) -> String {
    let mut text = pairs(&figures(job, report, shown));
    text.push('\n');
    text.push_str(&paragraph("  Advice: ", &advice_words(&report.advice, shown)));
    for reason in &report.reasons {
        text.push_str(&paragraph("    - ", reason));
    }
    text.push_str("\n  Each way\n");
    text.push_str(&paragraph("    from the solid: ", &solid_words(report.solid.as_ref(), shown)));
    let plies = either(&report.lamination, |plan| lamination_words(plan, shown));
    text.push_str(&paragraph("    plies: ", &plies));
    text.push_str(&paragraph(
        "    kerfs: ",
        &either(&report.kerfs, |plan| kerf_words(plan, shown)),
    ));
    text.push_str("\n  To mind\n");
    for note in &report.notes {
        text.push_str(&paragraph("    - ", note));
    }
    text.push_str("\n  What these numbers cannot know\n");
    for unknown in &report.unknown {
        text.push_str(&paragraph("    - ", unknown));
    }
    text
}

fn figures(job: &BendJob, report: &BendReport, shown: Shown) -> Vec<(&'static str, String)> {
    vec![
        ("thickness", shown.both(job.thickness)),
        ("radius of its back", shown.both(job.radius)),
        ("angle of the curve", format!("{:.2}°", job.sweep.to_degrees())),
        ("strain of the outer fibre, bent whole", format!("{:.3} %", report.strain * 100.0)),
        (
            "of the breaking strain",
            format!("{:.0} %; {:.0} % is allowed", report.of_breaking * 100.0, job.share * 100.0),
        ),
        ("thickest that bends dry on this radius", shown.both(at_most(report.thickest))),
        ("least radius that this thickness bends to", shown.both(at_least(report.least_radius))),
    ]
}

/// The advised way in a few words.
#[must_use]
pub fn advice_words(advice: &Advice, shown: Shown) -> String {
    match advice {
        Advice::BendDry => "bend it dry, as it is".to_string(),
        Advice::FromSolid(plan) => format!("mill it from the solid: {}", solid(plan, shown)),
        Advice::Laminate(plan) => format!("glue it up: {}", lamination_words(plan, shown)),
        Advice::Kerf(plan) => format!("kerf its back: {}", kerf_words(plan, shown)),
        Advice::Flatter => {
            "none of the ways goes: choose a flatter curve, a thinner moulding or a \
                            wider board"
                .to_string()
        }
    }
}

fn solid_words(solid_plan: Option<&Result<SolidPlan, Diagnostic>>, shown: Shown) -> String {
    match solid_plan {
        None => "no board on hand was named".to_string(),
        Some(result) => either(result, |plan| solid(plan, shown)),
    }
}

fn solid(plan: &SolidPlan, shown: Shown) -> String {
    let each = if plan.segments == 1 { "segment of" } else { "segments, each of" };
    format!(
        "{} {each} a board {} long and {} wide; the grain leaves the curve by {:.1}° at the ends",
        plan.segments,
        shown.both(plan.length),
        shown.both(plan.width),
        plan.run_out.to_degrees()
    )
}

fn lamination_words(plan: &Lamination, shown: Shown) -> String {
    format!(
        "{} plies of {} over a form of radius {}, which spring back to {}",
        plan.plies,
        shown.both(plan.ply),
        shown.both(plan.form_radius),
        shown.both(plan.radius)
    )
}

fn kerf_words(plan: &KerfPlan, shown: Shown) -> String {
    format!(
        "{} kerfs, {} apart and {} deep, leaving a skin of {}",
        plan.count,
        shown.both(plan.spacing),
        shown.both(plan.depth),
        shown.both(plan.skin)
    )
}

fn either<T>(result: &Result<T, Diagnostic>, words: impl Fn(&T) -> String) -> String {
    match result {
        Ok(plan) => words(plan),
        Err(why) => match &why.help {
            Some(help) => format!("no: {} ({help})", why.message),
            None => format!("no: {}", why.message),
        },
    }
}
