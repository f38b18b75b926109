//! Dry fit and glue-up: an order that works (common practice).

use crate::layout::{Joint, Role};
use crate::report::HeaderReport;
use crate::units::Shown;

/// From the dry fit to the wall.
pub(super) fn steps(header: &HeaderReport<'_>, shown: Shown) -> Vec<String> {
    let layout = header.layout();
    let levels = &layout.levels;
    let mut steps = vec![
        "Dry fit all of it on the full-size plan and section; mend joints before any glue is \
         opened."
            .to_string(),
    ];
    if let Some(panel) = &layout.header.panel {
        let side = match panel.offset {
            o if o > 0.0 => format!("{} right of the frieze's middle", shown.one(o)),
            o if o < 0.0 => format!("{} left of the frieze's middle", shown.one(-o)),
            _ => "on the frieze's middle".to_string(),
        };
        steps.push(format!(
            "Panel on the frieze, its top level with the frieze's, {side}: glue and screw it from \
             behind along its middle only, so that its upper and lower edges can move."
        ));
    }
    let breaks = layout.bed_mold.iter().any(|piece| piece.role == Role::BedLeftBreakReturn);
    let order = match breaks {
        true => {
            "the piece over the panel first, its two break returns glued to it, then the runs, \
                 the end returns last"
        }
        false => "the front first, then the end returns",
    };
    steps.push(format!(
        "Bed mould, its top level with the frieze's, its lower edge {} above the frieze's lower \
         edge: {order}. Glue the mitres; pin runs to the frieze, never across a mitre.",
        shown.one(levels.bed_bottom)
    ));
    steps.push(format!(
        "Cap on top, its back in line with the frieze's back, {} over each end of the frieze: \
         screw it down into the frieze.",
        shown.one((layout.cap.chord - layout.header.frieze_length()) / 2.0)
    ));
    if let Some(bottom) = levels.cymatium_bottom {
        let curved = layout.mitres.iter().any(|mitre| mitre.joint == Joint::Bowed);
        let mend = match (curved, layout.corner) {
            // A tenth of a millimetre is what glue and sanding hide (common practice).
            (true, Some(corner)) if corner.departure > 0.1 => format!(
                " The true mitre bows by {:.2} mm: ease the returns to it with a block.",
                corner.departure
            ),
            _ => String::new(),
        };
        steps.push(format!(
            "Cap moulding, its top level with the cap's, its lower edge {} above the frieze's \
             lower edge: the bowed front first, from its middle outward, then the returns.{mend}",
            shown.one(bottom)
        ));
    }
    steps.push(
        "Let the glue cure, fill and sand; then the whole header on the casing, centre line to \
         centre line, screwed to studs through the frieze where the bed mould hides it."
            .to_string(),
    );
    steps
}
