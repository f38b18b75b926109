//! The true template of a cap: its outline with centre line, stations and mitre lines.

use super::furniture::furnish;
use super::ladder::{Beside, Span, ladder};
use super::plan::{PAST, front_leader, half_and_front, radius_leader};
use super::{Drawing, HeaderViews, Layer, TEXT, seen_from_above};
use crate::drawing::{Anchor, Lettering, LineStyle};
use crate::geometry::{Contour, Point, point};
use crate::layout::{Joint, Layout};
use crate::part::Cap;
use crate::units::Shown;

/// Least distance between the numbers of two stations, mm.
const NUMBERS: f64 = 9.0;

/// Of a header's cap, with what its moulding needs.
pub(super) fn header_template(of: &HeaderViews<'_>) -> Drawing {
    let layout = of.layout;
    let mut d =
        Drawing::new("header-cap-template", "Cap, true template seen from above".to_string());
    for piece in &layout.cap_moldings {
        let seen = seen_from_above(&piece.footprint);
        d.contour(Layer::CapMolding, LineStyle::Adjacent, seen);
    }
    mitres(&mut d, layout);
    let cap = &layout.cap;
    let (_, front) = half_and_front(layout);
    board(&mut d, &cap.outline, cap.end_depth, front, of.ordinates);
    front_leader(&mut d, of);
    ladder(&mut d, Beside::Right, depths(cap.end_depth, cap.rise, cap.chord), of.shown);
    ladder(&mut d, Beside::Under, vec![chord(cap.chord, cap.end_depth)], of.shown);
    let mut notes = table(of.ordinates, cap.end_depth, of.shown);
    if let Some(corner) = &layout.corner {
        notes.push(format!(
            "mitres: thick, the true line of a straight return with the bowed moulding; thin, a \
             straight cut, {:.2}° off square on the return",
            corner.straight_on_return.to_degrees()
        ));
    }
    furnish(&mut d, of.title, &notes);
    d
}

/// Of a cap that stands alone. `name` is the part's, `job` the job's title.
#[must_use]
pub fn cap_template(name: &str, job: &str, cap: &Cap, shown: Shown) -> Drawing {
    let title = format!("{name}, true template seen from above");
    let mut d = Drawing::new(&format!("template-{name}"), title);
    let (front, depth) = (cap.front, cap.end_depth);
    let outline = cap.contour().moved(point(-front.chord / 2.0, 0.0));
    let ordinates = cap.figures().ordinates;
    let outer = (front.chord / 2.0, depth + front.rise);
    board(&mut d, &outline, depth, outer.1, &ordinates);
    radius_leader(&mut d, &front, depth, outer, shown);
    ladder(&mut d, Beside::Right, depths(depth, front.rise, front.chord), shown);
    ladder(&mut d, Beside::Under, vec![chord(front.chord, depth)], shown);
    furnish(&mut d, job, &table(&ordinates, depth, shown));
    d
}

/// The board with its wall edge at the top, the line between its corners, its stations.
fn board(d: &mut Drawing, outline: &Contour, depth: f64, front: f64, ordinates: &[Point]) {
    d.contour(Layer::Cap, LineStyle::Visible, seen_from_above(outline));
    let ends = (ordinates.first(), ordinates.last());
    let half = match ends {
        (Some(a), Some(b)) => (b.x - a.x) / 2.0,
        _ => return,
    };
    let layer = Layer::Stations;
    d.line(layer, LineStyle::Thin, point(-half, -depth), point(half, -depth));
    let mut numbered = f64::NEG_INFINITY;
    let last = ordinates.len() - 1;
    for (i, station) in ordinates.iter().enumerate() {
        let x = station.x - half;
        if i > 0 && i < last {
            let to = point(x, -depth - station.y);
            d.line(layer, LineStyle::Thin, point(x, 0.0), to);
        }
        // The last one keeps its number: the one before gives way.
        if x - numbered >= NUMBERS && (i == last || half - x >= NUMBERS) {
            numbered = x;
            let lettering = Lettering::new(TEXT).anchored(Anchor::Middle).plated();
            d.text(layer, point(x, 2.5), lettering, &i.to_string());
        }
    }
    // Up to the station's number in the middle, which stands on it.
    let style = LineStyle::Centre;
    d.line(Layer::CentreLines, style, point(0.0, 2.0), point(0.0, -front - PAST));
}

fn mitres(d: &mut Drawing, layout: &Layout) {
    for mitre in layout.mitres.iter().filter(|m| m.joint == Joint::Bowed) {
        let line = seen_from_above(&mitre.line);
        if let (Some(a), Some(b)) = (line.vertices.first(), line.vertices.last()) {
            d.line(Layer::Mitres, LineStyle::Thin, a.at, b.at);
        }
        d.contour(Layer::Mitres, LineStyle::Visible, line);
    }
}

fn chord(chord: f64, depth: f64) -> Span {
    Span::new("chord", -chord / 2.0, chord / 2.0, -depth)
}

fn depths(end: f64, rise: f64, chord: f64) -> Vec<Span> {
    let h = chord / 2.0;
    let span =
        |name: &str, low: f64, high: f64, edges| Span { name: name.to_string(), low, high, edges };
    vec![
        span("depth at the ends", -end, 0.0, (h, h)),
        span("rise", -end - rise, -end, (0.0, h)),
        span("depth in the middle", -end - rise, 0.0, (0.0, h)),
    ]
}

/// The stations as lines of text.
fn table(ordinates: &[Point], depth: f64, shown: Shown) -> Vec<String> {
    let mut lines =
        vec!["stations, from the left end: along the chord; chord to front; wall to front".into()];
    lines.extend(ordinates.iter().enumerate().map(|(i, p)| {
        let [along, over, whole] = [p.x, p.y, depth + p.y].map(|mm| shown.both(mm));
        format!("{i}:  {along};  {over};  {whole}")
    }));
    lines
}
