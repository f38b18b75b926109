//! The section on the centre line.

use super::elevation::layer;
use super::furniture::furnish;
use super::ladder::{Beside, Span, ladder};
use super::plan::PAST;
use super::{Drawing, HeaderViews, Layer};
use crate::drawing::LineStyle;
use crate::drawing::hatch::hatch;
use crate::geometry::point;
use crate::layout::{Layout, Member, Seen};
use std::f64::consts::FRAC_PI_4;

pub(super) fn section(of: &HeaderViews<'_>) -> Drawing {
    let layout = of.layout;
    let mut d = Drawing::new(
        "header-section",
        "Section on the centre line, seen from the left".to_string(),
    );
    let top = layout.levels.top;
    d.line(Layer::Wall, LineStyle::Visible, point(0.0, -PAST), point(0.0, top + PAST));
    for outline in layout.section(of.bed_mold, of.cymatium) {
        if outline.seen == Seen::Cut {
            let (angle, pitch) = slope(outline.of);
            for (a, b) in hatch(&outline.line, angle, pitch) {
                d.line(Layer::Hatching, LineStyle::Thin, a, b);
            }
        }
        d.contour(layer(outline.of), LineStyle::Visible, outline.line);
    }
    ladder(&mut d, Beside::Right, heights(layout), of.shown);
    ladder(&mut d, Beside::Under, projections(layout), of.shown);
    furnish(&mut d, of.title, &[]);
    d
}

/// Parts that touch are hatched another way, or closer.
fn slope(of: Member) -> (f64, f64) {
    match of {
        Member::Frieze => (FRAC_PI_4, 4.0),
        Member::Panel => (-FRAC_PI_4, 4.0),
        Member::BedMold => (FRAC_PI_4, 2.5),
        Member::Cap => (-FRAC_PI_4, 3.0),
        Member::CapMolding => (FRAC_PI_4, 2.5),
    }
}

fn heights(layout: &Layout) -> Vec<Span> {
    let (levels, out) = (&layout.levels, &layout.projections);
    let top = levels.cap_bottom;
    let span = |name: &str, low, high, from, to| Span {
        name: name.to_string(),
        low,
        high,
        edges: (from, to),
    };
    let on = if panel_is_cut(layout) { out.bed_over_panel } else { out.bed_over_frieze };
    let mut spans = vec![
        span("frieze", 0.0, top, out.frieze, out.cap_centre),
        span("bed mould", levels.bed_bottom, top, on, out.cap_centre),
        span("cap", top, levels.top, out.cap_centre, out.whole),
        span("over all", 0.0, levels.top, out.frieze, out.whole),
    ];
    if let Some(low) = levels.panel_bottom {
        spans.push(span("panel", low, top, out.panel, out.cap_centre));
    }
    if let Some(low) = levels.cymatium_bottom {
        spans.push(span("cap moulding", low, levels.top, out.whole, out.whole));
    }
    spans
}

fn panel_is_cut(layout: &Layout) -> bool {
    layout.header.panel.is_some_and(|p| p.offset.abs() < p.width / 2.0)
}

/// Distances from the wall.
fn projections(layout: &Layout) -> Vec<Span> {
    let (levels, out) = (&layout.levels, &layout.projections);
    let from_wall = |name: &str, to: f64, z: f64| Span {
        name: name.to_string(),
        low: 0.0,
        high: to,
        edges: (0.0, z),
    };
    let mut spans = vec![
        from_wall("frieze", out.frieze, 0.0),
        from_wall("cap's board", out.cap_centre, levels.cap_bottom),
    ];
    if let Some(low) = levels.panel_bottom {
        spans.push(from_wall("panel", out.panel, low));
    }
    let (name, bed) = match panel_is_cut(layout) {
        true => ("bed mould over the panel", out.bed_over_panel),
        false => ("bed mould", out.bed_over_frieze),
    };
    spans.push(from_wall(name, bed, levels.bed_bottom));
    if let Some(low) = levels.cymatium_bottom {
        spans.push(from_wall("over all", out.whole, low));
    }
    spans
}
