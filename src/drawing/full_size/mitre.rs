//! The cap's corner as a detail: the true mitre of a straight return with the bowed moulding,
//! and the straight cut beside it.

use super::furniture::furnish;
use super::inset::inset;
use super::ladder::{Beside, Span, ladder};
use super::{Drawing, HeaderViews, Layer, down, seen_from_above};
use crate::drawing::LineStyle;
use crate::geometry::{Piece, Point, point};
use crate::layout::Joint;
use crate::layout::mitre::{CornerMitre, CurvedMitre};
use crate::units::INCH;

/// How much of each piece shows beyond the corner, mm.
const REACH: f64 = 60.0;
/// Spaces into which the ordinates part the projection.
const SPACES: usize = 4;

/// `None` for a cap without a moulding.
pub(super) fn mitre(of: &HeaderViews<'_>) -> Option<Drawing> {
    let layout = of.layout;
    let (corner, cymatium) = (layout.corner.as_ref()?, layout.header.cymatium?);
    let joint = layout.mitres.iter().find(|m| m.joint == Joint::Bowed)?;
    let mut d = Drawing::new("header-mitre", "Mitre at the cap's left corner".to_string());
    for edge in layout.corner_edges(REACH) {
        let seen: Piece = edge.mirrored(&down);
        d.piece(Layer::CapMolding, LineStyle::Visible, seen);
    }
    let (h, depth, p) = (layout.cap.chord / 2.0, layout.cap.end_depth, cymatium.thickness);
    let (inner, outer) = (point(-h, -depth), point(-h - p, -depth - corner.depth));
    d.contour(Layer::Mitres, LineStyle::Visible, seen_from_above(&joint.line));
    d.line(Layer::Mitres, LineStyle::Thin, inner, outer);
    ladder(
        &mut d,
        Beside::Under,
        vec![Span {
            name: "projection".to_string(),
            low: outer.x,
            high: inner.x,
            edges: (outer.y, inner.y),
        }],
        of.shown,
    );
    ladder(
        &mut d,
        Beside::Left,
        vec![Span {
            name: "depth of the mitre".to_string(),
            low: outer.y,
            high: inner.y,
            edges: (outer.x, inner.x),
        }],
        of.shown,
    );
    let curve = CurvedMitre::new(layout.cap.front(), p);
    inset(&mut d, corner, &curve);
    let true_line = curve.points(SPACES);
    furnish(&mut d, of.title, &notes(of, corner, &true_line, h));
    Some(d)
}

fn notes(of: &HeaderViews<'_>, corner: &CornerMitre, line: &[Point], h: f64) -> Vec<String> {
    let shown = of.shown;
    let mut notes = vec![
        "thick: the true joint, a curve; thin: a straight cut through both its ends".to_string(),
        format!(
            "the moulding turns by {:.2}°; where the joint starts {:.2}° off square on each piece",
            corner.turn.to_degrees(),
            corner.each.to_degrees()
        ),
        format!(
            "straight cut: {:.2}° on the return, {:.2}° on the bowed piece; it leaves the true \
             line by {:.3} mm ({:.4} in)",
            corner.straight_on_return.to_degrees(),
            corner.straight_on_arc.to_degrees(),
            corner.departure,
            corner.departure / INCH
        ),
        "out from the cap's edge; true line beyond the corner; straight cut beyond it".to_string(),
    ];
    let (p, depth) = line.last().map_or((1.0, 0.0), |end| (-end.x - h, end.y));
    notes.extend(line.iter().skip(1).map(|at| {
        let out = -at.x - h;
        let straight = if p > 0.0 { out / p * depth } else { 0.0 };
        format!("{};  {};  {}", shown.both(out), shown.both(at.y), shown.both(straight))
    }));
    notes
}
