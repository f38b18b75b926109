//! The plan: from above, the wall at the top.

use super::furniture::furnish;
use super::ladder::{Beside, Span, ladder, leader};
use super::{Drawing, HeaderViews, Layer, down, seen_from_above};
use crate::drawing::LineStyle;
use crate::geometry::{Contour, Piece, Point, point};
use crate::layout::{Joint, Layout};

/// A centre line goes so far beyond what it halves, mm.
pub(super) const PAST: f64 = 8.0;

pub(super) fn plan(of: &HeaderViews<'_>) -> Drawing {
    let layout = of.layout;
    let mut d = Drawing::new("header-plan", "Plan, seen from above".to_string());
    let (half, front) = half_and_front(layout);
    d.line(Layer::Wall, LineStyle::Visible, point(-half - PAST, 0.0), point(half + PAST, 0.0));
    under_the_cap(&mut d, layout);
    d.contour(Layer::Cap, LineStyle::Visible, seen_from_above(&layout.cap.outline));
    for piece in &layout.cap_moldings {
        let seen = seen_from_above(&piece.footprint);
        d.contour(Layer::CapMolding, LineStyle::Visible, seen);
    }
    mitres(&mut d, layout);
    centre_lines(&mut d, layout, front);
    front_leader(&mut d, of);
    ladder(&mut d, Beside::Right, projections(layout), of.shown);
    ladder(&mut d, Beside::Under, lengths(layout), of.shown);
    furnish(&mut d, of.title, &notes(of));
    d
}

/// Half of the length along the wall, and how far the front stands out, mouldings included.
pub(super) fn half_and_front(layout: &Layout) -> (f64, f64) {
    let more = layout.header.cymatium.map_or(0.0, |c| c.thickness);
    (layout.cap.chord / 2.0 + more, layout.projections.whole)
}

/// What the cap hides: the boards' faces and the bed mould.
fn under_the_cap(d: &mut Drawing, layout: &Layout) {
    let hidden = LineStyle::Hidden;
    let frieze = layout.header.frieze_length() / 2.0;
    let out = layout.projections.frieze;
    d.contour(
        Layer::Frieze,
        hidden,
        seen_from_above(&Contour::rectangle(point(-frieze, 0.0), point(frieze, out))),
    );
    if let Some(panel) = &layout.header.panel {
        let (l, r) = (panel.offset - panel.width / 2.0, panel.offset + panel.width / 2.0);
        let board = Contour::rectangle(point(l, out), point(r, layout.projections.panel));
        d.contour(Layer::Panel, hidden, seen_from_above(&board));
    }
    // Only the faces: the backs are the boards', the ends are mitres.
    for piece in &layout.bed_mold {
        if let Some(face) = piece.footprint.pieces().nth(2) {
            d.piece(Layer::BedMold, hidden, lowered(&face));
        }
    }
}

fn lowered(piece: &Piece) -> Piece {
    piece.mirrored(&down)
}

fn mitres(d: &mut Drawing, layout: &Layout) {
    for mitre in &layout.mitres {
        let style = match mitre.joint {
            Joint::Bowed => LineStyle::Visible,
            _ => LineStyle::Hidden,
        };
        d.contour(Layer::Mitres, style, seen_from_above(&mitre.line));
    }
}

fn centre_lines(d: &mut Drawing, layout: &Layout, front: f64) {
    let mut line = |x: f64| {
        let (a, b) = (point(x, PAST), point(x, -front - PAST));
        d.line(Layer::CentreLines, LineStyle::Centre, a, b);
    };
    line(0.0);
    if let Some(panel) = layout.header.panel.filter(|p| p.offset != 0.0) {
        line(panel.offset);
    }
}

/// The radius of the front, in the corner that the arc leaves free.
pub(super) fn front_leader(d: &mut Drawing, of: &HeaderViews<'_>) {
    let cap = &of.layout.cap;
    radius_leader(d, &cap.front(), cap.end_depth, half_and_front(of.layout), of.shown);
}

/// The radius of a cap's front, written under it. `outer`: half the length of all that is drawn,
/// and how far it stands out.
pub(super) fn radius_leader(
    d: &mut Drawing,
    front: &crate::geometry::CircularSegment,
    end_depth: f64,
    outer: (f64, f64),
    shown: crate::units::Shown,
) {
    // At four tenths of the half chord the arc is steep enough for the arrow to be seen on it.
    let x = 0.4 * front.chord / 2.0;
    let tip = point(x, -end_depth - front.ordinate(x));
    let centre = point(0.0, -end_depth - front.rise + front.radius);
    let way: Point = (tip - centre).unit().unwrap_or(point(0.0, -1.0));
    let down_to = -outer.1 - 10.0;
    let from = tip + way * ((tip.y - down_to) / -way.y);
    leader(d, tip, from, &format!("cap's front R {}", shown.both(front.radius)));
}

fn lengths(layout: &Layout) -> Vec<Span> {
    let (half, _) = half_and_front(layout);
    let cap = &layout.cap;
    let out = &layout.projections;
    let frieze = layout.header.frieze_length() / 2.0;
    let p = layout.header.bed_mold.projection;
    let mut spans = vec![
        Span::new("frieze", -frieze, frieze, -out.frieze),
        Span::new("bed mould", -frieze - p, frieze + p, -out.bed_over_frieze),
        Span::new("cap's chord", -cap.chord / 2.0, cap.chord / 2.0, -cap.end_depth),
    ];
    if let Some(corner) = &layout.corner {
        spans.push(Span::new("over all", -half, half, -cap.end_depth - corner.depth));
    }
    if let Some(panel) = &layout.header.panel {
        let (l, r) = (panel.offset - panel.width / 2.0, panel.offset + panel.width / 2.0);
        spans.push(Span::new("panel", l, r, -out.panel));
        spans.push(Span::new("break", l - p, r + p, -out.bed_over_panel));
        spans.push(Span::new("panel's offset", 0.0, panel.offset, -out.panel));
    }
    spans
}

/// Distances from the wall, each from where it shows.
fn projections(layout: &Layout) -> Vec<Span> {
    let (out, cap) = (&layout.projections, &layout.cap);
    let frieze = layout.header.frieze_length() / 2.0;
    let p = layout.header.bed_mold.projection;
    let (half, _) = half_and_front(layout);
    let from_wall = |name: &str, y: f64, x: f64| Span {
        name: name.to_string(),
        low: -y,
        high: 0.0,
        edges: (x, half),
    };
    let mut spans = vec![
        from_wall("frieze", out.frieze, frieze),
        from_wall("bed mould", out.bed_over_frieze, frieze + p),
        from_wall("cap's end", out.cap_ends, cap.chord / 2.0),
        from_wall("cap's middle", out.cap_centre, 0.0),
    ];
    if let Some(panel) = &layout.header.panel {
        let r = panel.offset + panel.width / 2.0;
        spans.push(from_wall("panel", out.panel, r));
        spans.push(from_wall("break", out.bed_over_panel, r + p));
    }
    if layout.header.cymatium.is_some() {
        spans.push(from_wall("over all", out.whole, 0.0));
    }
    spans
}

fn notes(of: &HeaderViews<'_>) -> Vec<String> {
    let (layout, shown) = (of.layout, of.shown);
    let cap = &layout.cap;
    let mut notes = vec![format!("cap's front: rise {}", shown.both(cap.rise))];
    // Without a break any rise covers.
    if let Some(cover) = layout.cover_at_break {
        notes[0] += &format!(", least rise that covers {}", shown.both(layout.least_rise));
        notes.push(format!("cover at the break's worse corner {}", shown.both(cover)));
    }
    notes
}
