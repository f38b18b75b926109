//! The view from above.

use super::facts::{Area, Facts, IN_WORK};
use super::layout::{AIR, Layout, ROW, ZERO_AXIS, dimensions};
use super::{BODY, CAPTION, HEADING, MARGIN, WIDTH, part_size, pens};
use crate::drawing::dimension::arrowhead;
use crate::drawing::svg::{Pen, circle, rectangle};
use crate::drawing::tabs::flat_length;
use crate::drawing::{Anchor, Colour, Lettering, LineStyle, Path, Role, Sheet, View, text_width};
use crate::geometry::{Point, point};
use std::collections::BTreeMap;

/// Draws the plan from `y` down and tells where it ends.
pub(crate) fn draw(sheet: &mut Sheet, facts: &Facts, layout: &Layout, y: f64) -> f64 {
    let y = heading(sheet, facts, layout, y);
    let k = layout.scale.factor();
    let rows =
        [&layout.figures.size_x, &layout.figures.stock_x].iter().filter(|t| t.is_some()).count();
    // The y axis stays clear of the dimensions.
    let axis = ZERO_AXIS + 1.0 - (facts.frame.high.y * k + AIR);
    let axis = if facts.zero_shown() { axis.max(0.0) } else { 0.0 };
    let top = y + ROW * rows as f64 + AIR + 1.0 + axis;
    let height = facts.frame.size().y * k;
    let bottom = top + height;
    let origin = point(layout.left - facts.frame.low.x * k, top + facts.frame.high.y * k);
    let view = View { origin, across: k, up: k };
    let low = point(layout.left - AIR, top - AIR);
    let high = point(layout.right + AIR, bottom + AIR);
    sheet.group("plan", |sheet| {
        sheet.clipped(low, high, |sheet| {
            ground(sheet, facts, &view);
            if facts.zero_shown() {
                zero_shafts(sheet, view.at(Point::default()));
            }
            strokes(sheet, facts, &view);
            outlines(sheet, facts, &view);
        });
        if facts.zero_shown() {
            zero_axes(sheet, view.at(Point::default()), ["x", "y"]);
        }
        labels(sheet, facts, &view, (low, high));
        sheet.group("radius", |sheet| part_size::radius(sheet, facts, &view));
    });
    sheet.group("dimensions", |sheet| dimensions(sheet, facts, layout, (&view, axis)));
    let below = if layout.figures.zero_x.is_some() || layout.figures.zero_y.is_some() {
        ROW + 3.5
    } else {
        0.0
    };
    bottom + AIR + below
}

fn heading(sheet: &mut Sheet, facts: &Facts, layout: &Layout, y: f64) -> f64 {
    let mut y = y + HEADING;
    let bold = Lettering::new(HEADING).bold();
    sheet.text(point(MARGIN, y), bold, "Plan");
    let after = MARGIN + text_width("Plan ", HEADING, bold.weight);
    let text = format!("seen from above, {}", layout.scale.ratio());
    sheet.text(point(after, y), Lettering::new(BODY), &text);
    if let Some(angle) = facts.input.grain {
        grain(sheet, point(WIDTH - MARGIN, y), angle);
    }
    for note in notes(facts) {
        y += BODY * 1.45;
        let room = WIDTH - 2.0 * MARGIN;
        let note = crate::drawing::shortened(&note, BODY, Default::default(), room);
        sheet.text(point(MARGIN, y), Lettering::new(BODY), &note);
    }
    y + 1.5
}

fn notes(facts: &Facts) -> Vec<String> {
    let mut notes = Vec::new();
    if let Some(words) = zero_words(facts) {
        notes.push(words);
    }
    if facts.cut.is_empty() {
        notes.push("The program cuts nothing.".to_string());
    }
    notes
}

/// Where the work zero is, in words.
fn zero_words(facts: &Facts) -> Option<String> {
    let stock = facts.stock()?;
    let shown = facts.input.shown;
    let along = |low: f64, inside: &str, outside: &str, at: &str| {
        if low.abs() < 5e-3 {
            at.to_string()
        } else {
            let side = if low < 0.0 { inside } else { outside };
            format!("{} {side}", shown.both(low.abs()))
        }
    };
    let corner = stock.min.x.abs() < 5e-3 && stock.min.y.abs() < 5e-3;
    let place = if corner {
        "the stock's front left corner".to_string()
    } else {
        let x = along(
            stock.min.x,
            "right of the stock's left end",
            "left of the stock's left end",
            "at the stock's left end",
        );
        let y = along(
            stock.min.y,
            "behind its front edge",
            "before its front edge",
            "at its front edge",
        );
        format!("{x}, {y}")
    };
    let height = if stock.max.z.abs() < 5e-3 {
        "z 0 is the stock's top".to_string()
    } else if stock.min.z.abs() < 5e-3 {
        "z 0 is the stock's underside".to_string()
    } else {
        format!("the stock's top is at z {}", shown.both(stock.max.z))
    };
    Some(format!("Work zero: {place}; {height}"))
}

/// The grain's direction with its name, ending at `end`.
fn grain(sheet: &mut Sheet, end: Point, angle: f64) {
    let width = text_width("grain", BODY, Default::default());
    sheet.text(end, Lettering::new(BODY).anchored(Anchor::End), "grain");
    // Half the arrow's length, mm; shorter where it would leave the line.
    let half = Point::polar(7.0, -angle);
    let half = if half.y.abs() > 2.6 { half * (2.6 / half.y.abs()) } else { half };
    let middle = end - point(width + 2.0 + half.x.abs(), BODY * 0.36);
    let mut shaft = Path::new();
    shaft.move_to(middle - half);
    shaft.line_to(middle + half);
    sheet.stroke(shaft, &Pen::solid(Colour::BLACK, 0.3));
    let mut heads = Path::new();
    arrowhead(&mut heads, middle + half, angle, 2.2, 0.6);
    arrowhead(&mut heads, middle - half, angle + std::f64::consts::PI, 2.2, 0.6);
    sheet.fill(heads, Colour::BLACK);
}

fn ground(sheet: &mut Sheet, facts: &Facts, view: &View) {
    if let Some(stock) = facts.stock() {
        sheet.fill(box_path(view, Area::of(stock)), pens::stock_colour());
    }
    for (_, clamp) in &facts.clamps {
        sheet.fill(box_path(view, Area::of(*clamp)), pens::clamp_colour());
    }
}

fn box_path(view: &View, area: Area) -> Path {
    let (a, b) = (view.at(area.low), view.at(area.high));
    rectangle(point(a.x, b.y), point(b.x, a.y))
}

/// All strokes, one path for each cutter, role and level; kept, for each is drawn twice: as wide
/// as the cutter clears, and as the line that its centre takes.
fn strokes(sheet: &mut Sheet, facts: &Facts, view: &View) {
    let mut paths: BTreeMap<(Role, usize, Option<u32>), Path> = BTreeMap::new();
    for s in &facts.trace.strokes {
        let level = if s.role == Role::Cut { s.level } else { 0 };
        let path = paths.entry((s.role, level, s.cutter)).or_default();
        view.plan_stroke(path, &s.stroke);
    }
    let kept: Vec<_> =
        paths.into_iter().filter(|p| !p.1.is_empty()).map(|(k, p)| (k, sheet.keep(p))).collect();
    let levels = facts.trace.levels.len();
    sheet.group("swept", |sheet| {
        for ((role, level, cutter), mark) in &kept {
            let z = facts.trace.levels.get(*level).copied().unwrap_or(facts.trace.top);
            let z = if *role == Role::Cut { z } else { facts.cut.min.z };
            let width = facts.kerf(*cutter, z) * view.across;
            if IN_WORK.contains(role) && width > 0.0 {
                sheet.stroke_kept(mark, &pens::kerf(width));
            }
        }
    });
    part(sheet, facts, view);
    let of = |wanted: Role| kept.iter().filter(move |k| k.0.0 == wanted);
    let travel = |sheet: &mut Sheet| {
        sheet.group("traverses", |sheet| {
            for (_, mark) in of(Role::Travel) {
                sheet.stroke_kept(mark, &pens::role(Role::Travel));
            }
        });
    };
    // Over a carved field they would hide the rows.
    if facts.trace.banded {
        travel(sheet);
    }
    sheet.group("passes", |sheet| {
        for ((_, level, cutter), mark) in of(Role::Cut) {
            let kerf = facts.kerf(*cutter, facts.trace.levels[*level]) * view.across;
            let widest = (kerf * 0.9).clamp(0.6, 1.3);
            sheet.stroke_kept(mark, &pens::level(*level, levels, widest));
        }
    });
    for (class, role) in [("entry", Role::Entry), ("leads", Role::Lead), ("above", Role::Above)] {
        sheet.group(class, |sheet| {
            for (_, mark) in of(role) {
                sheet.stroke_kept(mark, &pens::role(role));
            }
        });
    }
    sheet.group("tabs", |sheet| {
        for (_, mark) in of(Role::Tab) {
            sheet.stroke_kept(mark, &pens::tab_edge());
            sheet.stroke_kept(mark, &pens::role(Role::Tab));
        }
    });
    directions(sheet, facts, view);
    if !facts.trace.banded {
        travel(sheet);
    }
}

/// Arrowheads on one stroke at most.
const MOST_ARROWS: usize = 64;

/// Arrowheads on the deepest cuts, which way the cutter goes.
fn directions(sheet: &mut Sheet, facts: &Facts, view: &View) {
    let cuts = facts.trace.deepest_cuts();
    if facts.trace.banded || view.across <= 0.0 {
        return;
    }
    let whole: f64 = cuts.iter().map(|c| flat_length(&c.stroke)).sum();
    // Some ten arrows, not nearer than 18 mm on paper.
    let every = (whole / 10.0).max(18.0 / view.across);
    let (mut next, mut gone) = (every / 2.0, 0.0);
    let mut heads = Path::new();
    let mut placed: Vec<Point> = Vec::new();
    let tabs: Vec<Point> = facts.trace.tabs.iter().map(|t| view.at(t.at)).collect();
    for cut in cuts {
        let length = flat_length(&cut.stroke);
        // Counted, so that a length that is no number ends it too.
        for _ in 0..MOST_ARROWS {
            if length <= 0.0 || !length.is_finite() || next > gone + length {
                break;
            }
            let share = (next - gone) / length;
            let at = view.at(cut.stroke.at(share).xy());
            if tabs.iter().any(|t| t.distance(at) < 4.0) {
                next += 4.0 / view.across;
                continue;
            }
            if !placed.iter().any(|p| p.distance(at) < 9.0) {
                let way = cut.stroke.direction(share).xy();
                arrowhead(
                    &mut heads,
                    at + point(1.2 * way.x, -1.2 * way.y),
                    way.angle(),
                    2.4,
                    0.75,
                );
                placed.push(at);
            }
            next += every;
        }
        gone += length;
    }
    sheet.group("directions", |sheet| sheet.fill(heads, Colour::BLACK));
}

/// The part's outline, above what is cleared, below the lines of the passes.
fn part(sheet: &mut Sheet, facts: &Facts, view: &View) {
    sheet.group("part", |sheet| {
        for contour in facts.input.part {
            let mut path = Path::new();
            view.contour(&mut path, contour);
            sheet.path(path, LineStyle::Visible);
        }
    });
}

fn outlines(sheet: &mut Sheet, facts: &Facts, view: &View) {
    if let Some(stock) = facts.stock() {
        sheet.group("stock", |sheet| {
            sheet.path(box_path(view, Area::of(stock)), LineStyle::Adjacent)
        });
    }
    sheet.group("clamps", |sheet| {
        for (_, clamp) in &facts.clamps {
            sheet.path(box_path(view, Area::of(*clamp)), LineStyle::Adjacent);
        }
    });
    sheet.group("screws", |sheet| {
        for screw in facts.input.screws {
            screw_symbol(sheet, view.at(*screw));
        }
    });
}

/// A screw's head: a circle with a cross.
pub(crate) fn screw_symbol(sheet: &mut Sheet, at: Point) {
    sheet.fill(circle(at, 1.1), Colour::WHITE);
    let mut path = circle(at, 1.1);
    for (a, b) in [(-0.75, -0.75), (-0.75, 0.75)] {
        path.move_to(at + point(a, b));
        path.line_to(at - point(a, b));
    }
    sheet.path(path, LineStyle::Visible);
}

/// What the work zero's axes, heads and letters take from it, mm on paper.
pub(crate) const AXIS_ROOM: f64 = ZERO_AXIS + 2.0;

/// The two axes' directions on paper and their angles.
const AXES: [(f64, Point); 2] =
    [(0.0, point(1.0, 0.0)), (std::f64::consts::FRAC_PI_2, point(0.0, -1.0))];

/// The shafts of the work zero's axes: drawn under the cuts, which often run along them.
pub(crate) fn zero_shafts(sheet: &mut Sheet, at: Point) {
    let mut shafts = Path::new();
    for (_, way) in AXES {
        shafts.move_to(at + way * 1.6);
        shafts.line_to(at + way * (ZERO_AXIS - 1.5));
    }
    sheet.stroke(shafts, &Pen::solid(Colour::BLACK, 0.4));
}

/// The work zero: a circle with two quarters filled, the axes' heads and letters.
pub(crate) fn zero_axes(sheet: &mut Sheet, at: Point, names: [&str; 2]) {
    sheet.group("zero", |sheet| {
        let mut heads = Path::new();
        for (angle, way) in AXES {
            arrowhead(&mut heads, at + way * ZERO_AXIS, angle, 2.4, 0.75);
        }
        sheet.fill(heads, Colour::BLACK);
        zero_symbol(sheet, at, 1.6);
        let lettering = Lettering::new(BODY).bold();
        // On the outer sides, where a work zero at the stock's corner leaves them clear.
        sheet.text(at + point(ZERO_AXIS - 1.6, 1.2 + BODY * 0.6), lettering, names[0]);
        let left = lettering.anchored(Anchor::End);
        sheet.text(at + point(-1.2, -ZERO_AXIS + BODY * 0.5), left, names[1]);
    });
}

pub(crate) fn zero_symbol(sheet: &mut Sheet, at: Point, radius: f64) {
    sheet.fill(circle(at, radius), Colour::WHITE);
    let mut quarters = Path::new();
    for start in [0.0, std::f64::consts::PI] {
        let from = Point::polar(radius, -start);
        quarters.move_to(at);
        quarters.line_to(at + from);
        quarters.arc_to(
            at,
            std::f64::consts::FRAC_PI_2,
            at + Point::polar(radius, -start - std::f64::consts::FRAC_PI_2),
        );
        quarters.close();
    }
    sheet.fill(quarters, Colour::BLACK);
    sheet.path(circle(at, radius), LineStyle::Visible);
}

/// Letters of the clamps; the legend gives their names.
fn labels(sheet: &mut Sheet, facts: &Facts, view: &View, (low, high): (Point, Point)) {
    for (i, (_, clamp)) in facts.clamps.iter().enumerate() {
        let area = Area::of(*clamp);
        let (a, b) = (view.at(area.low), view.at(area.high));
        let middle = (a + b) * 0.5;
        let lettering = Lettering::new(CAPTION).bold();
        let centred = lettering.anchored(Anchor::Middle);
        let level = middle.y + CAPTION * 0.36;
        let places = [
            (point(middle.x, level), centred),
            (point(middle.x, b.y - 0.8), centred),
            (point(middle.x, a.y + 0.8 + CAPTION * 0.76), centred),
            (point(a.x - 0.8, level), lettering.anchored(Anchor::End)),
            (point(b.x + 0.8, level), lettering),
        ];
        let fits = b.x - a.x > CAPTION && a.y - b.y > CAPTION * 0.9;
        let places = if fits { &places[..] } else { &places[1..] };
        sheet.text_where_free(places, &clamp_letter(i), low, high);
    }
}

/// A, B, ... Z, AA, AB, ...
pub(crate) fn clamp_letter(i: usize) -> String {
    let last = char::from(b'A' + u8::try_from(i % 26).unwrap_or(0));
    if i < 26 { last.to_string() } else { format!("{}{last}", clamp_letter(i / 26 - 1)) }
}
