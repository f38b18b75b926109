//! The elevation: from the front.

use super::furniture::furnish;
use super::ladder::{Beside, Span, ladder};
use super::plan::{PAST, half_and_front};
use super::{Drawing, HeaderViews, Layer};
use crate::drawing::LineStyle;
use crate::geometry::point;
use crate::layout::{Layout, Member, Seen};

pub(super) fn elevation(of: &HeaderViews<'_>) -> Drawing {
    let layout = of.layout;
    let mut d = Drawing::new("header-elevation", "Elevation, seen from the front".to_string());
    for outline in layout.elevation(of.bed_mold, of.cymatium) {
        let style = match outline.seen {
            Seen::Hidden => LineStyle::Hidden,
            Seen::Plain | Seen::Cut => LineStyle::Visible,
        };
        d.contour(layer(outline.of), style, outline.line);
    }
    centre_lines(&mut d, layout);
    ladder(&mut d, Beside::Right, heights(layout), of.shown);
    ladder(&mut d, Beside::Under, lengths(layout), of.shown);
    furnish(&mut d, of.title, &[]);
    d
}

pub(super) fn layer(of: Member) -> Layer {
    match of {
        Member::Frieze => Layer::Frieze,
        Member::Panel => Layer::Panel,
        Member::BedMold => Layer::BedMold,
        Member::Cap => Layer::Cap,
        Member::CapMolding => Layer::CapMolding,
    }
}

fn centre_lines(d: &mut Drawing, layout: &Layout) {
    let top = layout.levels.top;
    let mut line =
        |x, low, high| d.line(Layer::CentreLines, LineStyle::Centre, point(x, low), point(x, high));
    line(0.0, -PAST, top + PAST);
    let panel = layout.header.panel.filter(|panel| panel.offset != 0.0);
    if let (Some(panel), Some(low)) = (panel, layout.levels.panel_bottom) {
        line(panel.offset, low - PAST, top + PAST);
    }
}

/// Heights, from the frieze's lower edge or of the member itself.
pub(super) fn heights(layout: &Layout) -> Vec<Span> {
    let levels = &layout.levels;
    let (half, _) = half_and_front(layout);
    let frieze = layout.header.frieze_length() / 2.0;
    let (cap, top) = (layout.cap.chord / 2.0, levels.cap_bottom);
    let mut spans = vec![
        Span { name: "frieze".into(), low: 0.0, high: top, edges: (frieze, cap) },
        Span::new("bed mould", levels.bed_bottom, top, frieze + layout.header.bed_mold.projection),
        Span { name: "cap".into(), low: top, high: levels.top, edges: (cap, half) },
        Span { name: "over all".into(), low: 0.0, high: levels.top, edges: (frieze, half) },
    ];
    if let (Some(panel), Some(low)) = (&layout.header.panel, levels.panel_bottom) {
        let r = panel.offset + panel.width / 2.0;
        spans.push(Span { name: "panel".into(), low, high: top, edges: (r, cap) });
    }
    if let Some(low) = levels.cymatium_bottom {
        spans.push(Span::new("cap moulding", low, levels.top, half));
    }
    spans
}

fn lengths(layout: &Layout) -> Vec<Span> {
    let levels = &layout.levels;
    let (half, _) = half_and_front(layout);
    let frieze = layout.header.frieze_length() / 2.0;
    let cap = layout.cap.chord / 2.0;
    let mut spans = vec![
        Span::new("frieze", -frieze, frieze, 0.0),
        Span::new("cap's chord", -cap, cap, levels.cap_bottom),
    ];
    if let Some(low) = levels.cymatium_bottom {
        spans.push(Span::new("over all", -half, half, low));
    }
    if let (Some(panel), Some(low)) = (&layout.header.panel, levels.panel_bottom) {
        let (l, r) = (panel.offset - panel.width / 2.0, panel.offset + panel.width / 2.0);
        spans.push(Span::new("panel", l, r, low));
        spans.push(Span::new("panel's offset", 0.0, panel.offset, low));
        spans.push(Span::new("beside the panel", -frieze, l, low));
        spans.push(Span::new("beside the panel", r, frieze, low));
    }
    spans
}
