//! What is measured on the part itself: its size, its widest arc, the arc's rise.

use super::facts::{Area, Facts};
use super::plan::AXIS_ROOM;
use super::{CAPTION, MARGIN, WIDTH, pens};
use crate::drawing::dimension::{FIGURES, arrowhead};
use crate::drawing::{Colour, Lettering, LineStyle, Path, Sheet, View, text_width};
use crate::geometry::{Contour, Piece, Point, point};

/// An arc is worth its radius if that is more than so many diameters of the cutter: less is the
/// cutter's own corner.
const WIDE: f64 = 4.0;
/// Pieces that turn by more than this where they meet make a corner, radians: half a degree.
const CORNER: f64 = 0.009;

/// The box about the outlines.
pub(crate) fn size(part: &[Contour]) -> Option<Area> {
    let areas = part.iter().filter_map(|c| c.bounds()).map(|(low, high)| Area { low, high });
    areas.reduce(Area::with)
}

/// The longest arc of the part with a corner at each end, wide beside the cutter.
pub(crate) fn arc(part: &[Contour], cutter: f64) -> Option<Piece> {
    let arcs = part.iter().flat_map(|contour| {
        let pieces: Vec<Piece> = contour.pieces().collect();
        let n = pieces.len();
        let corner = |a: usize, b: usize| {
            let (a, b) = (pieces[a % n].direction(1.0), pieces[b % n].direction(0.0));
            a.left().dot(b).atan2(a.dot(b)).abs() > CORNER
        };
        let wide = |p: &Piece| p.is_arc() && p.radius() > WIDE * cutter && p.radius().is_finite();
        let found =
            (0..n).filter(|&i| wide(&pieces[i]) && corner(i + n - 1, i) && corner(i, i + 1));
        found.map(|i| pieces[i]).collect::<Vec<_>>()
    });
    arcs.reduce(|a, b| if b.length() > a.length() { b } else { a })
}

/// The heights between which an arc over a level chord is measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Rise {
    /// The crown, at one of the part's edges.
    pub(crate) crown: f64,
    /// The chord's ends.
    pub(crate) ends: f64,
    /// The part's other edge.
    pub(crate) back: f64,
}

/// The rise of an arc whose crown is the part's front or back.
pub(crate) fn rise(arc: &Piece, part: Area) -> Option<Rise> {
    // A hundredth of what a rule shows, mm.
    const SAME: f64 = 5e-3;
    let (crown, ends) = (arc.at(0.5).y, arc.from.y);
    let level = (arc.from.y - arc.to.y).abs() < SAME;
    let at_right = (arc.from.x.max(arc.to.x) - part.high.x).abs() < SAME;
    let back = match () {
        () if (crown - part.low.y).abs() < SAME => part.high.y,
        () if (crown - part.high.y).abs() < SAME => part.low.y,
        () => return None,
    };
    (level && at_right && (ends - back).abs() > SAME).then_some(Rise { crown, ends, back })
}

/// Length of the level piece of the leader, under the figure's first letter, mm.
const SHELF: f64 = 2.0;

/// The radius with a leader to the arc from the side of its centre, where it covers nothing.
pub(crate) fn radius(sheet: &mut Sheet, facts: &Facts, view: &View) {
    let Some((arc, part)) = facts.arc.zip(facts.part) else { return };
    let Some(centre) = arc.center() else { return };
    let text = format!("R {}", facts.input.shown.both(arc.radius()));
    let width = text_width(&text, FIGURES, Default::default());
    // Near the crown first, but off the middle, where a work zero may be.
    for share in [0.42, 0.58, 0.36, 0.64, 0.3, 0.7, 0.24, 0.76, 0.5] {
        for length in [9.0, 7.0, 12.0, 5.5] {
            let tip = arc.at(share);
            let inward = (centre - tip) * (1.0 / arc.radius());
            let from = tip + inward * (length / view.up);
            let (on, at) = (view.at(tip), view.at(from));
            for right in [at.x >= on.x, at.x < on.x] {
                let start = if right { at.x + SHELF + 0.8 } else { at.x - SHELF - 0.8 - width };
                let low = point(start - 1.0, at.y - FIGURES);
                let high = point(start + width + 1.0, at.y + FIGURES);
                if !free(sheet, facts, view, (low, high), (part, arc, centre)) {
                    continue;
                }
                // Traverses may run there: the figure stays readable.
                let plate = facts.stock().map_or(Colour::WHITE, |_| pens::stock_colour());
                sheet.fill_box(low + point(0.3, 0.9), high - point(0.3, 0.9), plate);
                let shelf = point(if right { at.x + SHELF } else { at.x - SHELF }, at.y);
                let mut leader = Path::new();
                leader.move_to(on);
                leader.line_to(at);
                leader.line_to(shelf);
                sheet.path(leader, LineStyle::Thin);
                let mut head = Path::new();
                // The model's angle: its y points up.
                arrowhead(&mut head, on, (tip - from).angle(), 2.2, 0.33);
                sheet.fill(head, Colour::BLACK);
                let baseline = point(start, at.y + FIGURES * 0.36);
                return sheet.text(baseline, Lettering::new(FIGURES), &text);
            }
        }
    }
}

/// Whether a rectangle of paper lies within the part, on the arc's inner side, clear of the work
/// zero, of clamps, screws and other lettering.
fn free(
    sheet: &Sheet,
    facts: &Facts,
    view: &View,
    (low, high): (Point, Point),
    (part, arc, centre): (Area, Piece, Point),
) -> bool {
    let clear = |a: Point, b: Point| a.x > high.x || b.x < low.x || a.y > high.y || b.y < low.y;
    let on_paper = |area: Area| {
        let (a, b) = (view.at(area.low), view.at(area.high));
        (point(a.x, b.y), point(b.x, a.y))
    };
    let (a, b) = on_paper(part);
    // The cutter's passes run along the part's edge: their lines need that much, mm on paper.
    let edge = 1.5;
    let inside = low.x > (a.x + edge).max(MARGIN)
        && low.y > a.y + edge
        && high.x < (b.x - edge).min(WIDTH - MARGIN)
        && high.y < b.y - edge;
    let corners = [low, high, point(low.x, high.y), point(high.x, low.y)];
    let under_arc = corners.iter().all(|&c| {
        let middle = view.at(centre);
        c.distance(middle) < arc.radius() * view.up - edge
    });
    let zero = view.at(Point::default());
    let (back, axis) = (point(CAPTION, AXIS_ROOM), point(AXIS_ROOM, CAPTION * 2.0));
    inside
        && under_arc
        && (!facts.zero_shown() || clear(zero - back, zero + axis))
        && facts.clamps.iter().map(|c| on_paper(Area::of(c.1))).all(|(a, b)| clear(a, b))
        && facts.input.screws.iter().map(|s| view.at(*s)).all(|s| {
            let r = point(1.5, 1.5);
            clear(s - r, s + r)
        })
        && sheet.texts().iter().all(|t| clear(t.low, t.high))
}
