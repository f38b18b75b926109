//! The bowed cap moulding, where the table does not mill it.

use crate::drawing::advice_words;
use crate::job::{Job, Make};
use crate::layout::bend::Advice;
use crate::layout::cut_list::Stock;
use crate::report::HeaderReport;
use crate::units::Shown;

/// `None` without a cymatium, and where a program mills it.
pub(super) fn step(job: &Job, header: &HeaderReport<'_>, shown: Shown) -> Option<String> {
    let piece = header.list().pieces.iter().find(|piece| piece.stock == Stock::Bowed)?;
    let layout = header.layout();
    let asked = job.file.header.as_ref()?.cymatium.as_ref()?.make;
    let ends = layout.corner.map_or(String::new(), |corner| {
        format!(
            " Mitre its ends {:.2}° off the radius, long points {} apart along its face.",
            corner.straight_on_arc.to_degrees(),
            shown.one(piece.long_point)
        )
    });
    let radius = shown.both(layout.cap.radius);
    let way = match (asked, header.bend()) {
        (Some(Make::Buy), _) => {
            format!("it comes ready made: try it on the cap's front, whose radius is {radius}.")
        }
        (_, Some(Ok((_, report)))) => {
            format!("{}. {}", advice_words(&report.advice, shown), by_hand(&report.advice, &radius))
        }
        (_, Some(Err(why))) => match &why.help {
            Some(help) => format!("{}: {help}.", why.message),
            None => format!("{}.", why.message),
        },
        (_, None) => return None,
    };
    Some(format!("Cap moulding, bowed front: {way}{ends}"))
}

/// The steps of a way, common practice.
fn by_hand(advice: &Advice, radius: &str) -> String {
    match advice {
        Advice::BendDry => format!(
            "Saw it a hand longer at each end, press it against the cap's front (radius {radius}) \
             from the middle outward, clamp it dry, then take it off, glue and clamp again."
        ),
        Advice::Laminate(plan) => format!(
            "Rip and plane {} plies, all a hand longer at each end; make the form to that radius, \
             not to the cap's; glue, clamp from the middle outward and leave it until the glue is \
             hard; then shape the face.",
            plan.plies
        ),
        Advice::Kerf(_) => "Saw the kerfs square across the back with a stop at their depth; try \
                            the bend on a scrap; fill the kerfs with glue as it is clamped."
            .to_string(),
        Advice::FromSolid(_) => "Give the moulding's profile and the table mills it; by hand, saw \
                                 it out along the full-size plan and work the face with a scraper."
            .to_string(),
        Advice::Flatter => "It cannot be made as it is laid out.".to_string(),
    }
}
