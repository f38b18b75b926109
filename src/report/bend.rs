//! A bend for other programs.

use crate::diagnostic::Diagnostic;
use crate::layout::bend::{BendJob, BendReport};
use serde::Serialize;
use serde_json::{Value, json};

/// What was asked and what is known, millimetres and radians. A way that does not go has
/// `why_not` in place of its plan.
#[must_use]
pub fn bend_json(job: &BendJob, report: &BendReport) -> Value {
    json!({
        "asked": job,
        "strain": report.strain,
        "of_breaking": report.of_breaking,
        "thickest": report.thickest,
        "least_radius": report.least_radius,
        "advice": report.advice,
        "reasons": report.reasons,
        "solid": report.solid.as_ref().map(either),
        "lamination": either(&report.lamination),
        "kerfs": either(&report.kerfs),
        "notes": report.notes,
        "unknown": report.unknown,
    })
}

fn either<T: Serialize>(result: &Result<T, Diagnostic>) -> Value {
    match result {
        Ok(plan) => json!(plan),
        Err(why) => json!({ "why_not": why.message, "help": why.help }),
    }
}
