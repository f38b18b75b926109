//! The view from the front: x across, z up, so that the passes show one below the other.

use super::facts::{Facts, IN_WORK};
use super::layout::Layout;
use super::{BODY, CAPTION, HEADING, MARGIN, pens};
use crate::drawing::svg::{Pen, rectangle};
use crate::drawing::tabs::is_level;
use crate::drawing::{Colour, Lettering, LineStyle, Path, Role, Scale, Sheet, View, text_width};
use crate::geometry::{Point, point};
use crate::units::decimal;
use std::collections::{BTreeMap, BTreeSet};

/// Height that the heights are drawn out to fill, mm on paper.
const HEIGHT: f64 = 34.0;
/// True scale is kept if it gives at least this height, mm on paper.
const LEGIBLE: f64 = 20.0;
/// Least distance of labels, mm.
const LEADING: f64 = 3.0;
/// From the view to its labels, mm.
const LEADER: f64 = 5.4;
/// Steps per millimetre of paper in which doubled strokes are told apart.
const STEPS: f64 = 20.0;
/// Heights for travelling that are closer than this are one, mm.
const ANOTHER: f64 = 1.0;
/// How much of the spoilboard is shown below the lowest thing, mm on paper.
const BOARD: f64 = 3.0;

/// A height worth naming.
struct Label {
    z: f64,
    text: String,
}

fn label_texts(facts: &Facts) -> Vec<Label> {
    let shown = facts.input.shown;
    let mut labels = Vec::new();
    let mut add = |z: f64, what: &str| {
        labels.push(Label { z, text: format!("{what} {}", decimal(z, shown.unit)) });
    };
    if let Some(z) = travel_shown(facts) {
        add(z, "travel");
    }
    if let Some(z) = highest_shown(facts) {
        add(z, "highest");
    }
    if let Some(stock) = facts.stock() {
        add(stock.max.z, "top");
        add(stock.min.z, "bottom");
    }
    let levels = &facts.trace.levels;
    match (facts.trace.banded, levels.last()) {
        (true, Some(&deepest)) => add(deepest, "deepest"),
        _ => levels.iter().for_each(|&z| add(z, "cut")),
    }
    labels.sort_by(|a, b| b.z.total_cmp(&a.z));
    labels
}

/// Room that the labels need right of the view, mm.
pub(crate) fn label_room(facts: &Facts) -> f64 {
    let widest = label_texts(facts)
        .iter()
        .map(|l| text_width(&l.text, CAPTION, Default::default()))
        .fold(0.0, f64::max);
    if widest > 0.0 { widest + LEADER } else { 0.0 }
}

/// The height for travelling, mm, unless it is far above the work.
fn travel_shown(facts: &Facts) -> Option<f64> {
    facts.trace.travel_height.filter(|z| near(facts, *z))
}

/// The highest of several heights for travelling, mm, unless it is far above the work.
fn highest_shown(facts: &Facts) -> Option<f64> {
    let (lowest, highest) = (facts.trace.travel_height?, facts.trace.highest?);
    (highest > lowest + ANOTHER && near(facts, highest)).then_some(highest)
}

fn near(facts: &Facts, z: f64) -> bool {
    work(facts).is_some_and(|(low, high)| z <= high + 4.0 * (high - low).max(10.0))
}

/// Lowest and highest point of stock, clamps and cuts.
fn work(facts: &Facts) -> Option<(f64, f64)> {
    let mut all = facts.stock().unwrap_or(crate::geometry::Box3::EMPTY);
    all = all.union(facts.cut);
    for (_, clamp) in &facts.clamps {
        all = all.union(*clamp);
    }
    (!all.is_empty()).then_some((all.min.z, all.max.z))
}

/// Draws the side view from `y` down and tells where it ends; without stock and cutting there is
/// nothing to show.
pub(crate) fn draw(sheet: &mut Sheet, facts: &Facts, layout: &Layout, y: f64) -> f64 {
    let Some((low, high)) = work(facts) else { return y };
    let travel = travel_shown(facts).into_iter().chain(highest_shown(facts));
    let high = travel.fold(high, f64::max);
    let range = (high - low).max(1e-3);
    let k = layout.scale.factor();
    let true_height = range * k;
    let keep = (LEGIBLE..=2.0 * HEIGHT).contains(&true_height);
    let heights = if keep { layout.scale } else { Scale::fitting(0.0, range, point(1.0, HEIGHT)) };
    let y = heading(sheet, layout, heights, y) + 3.0;
    let up = heights.factor();
    let origin = point(layout.left - facts.frame.low.x * k, y + high * up);
    let view = View { origin, across: k, up };
    let bottom = view.at(point(0.0, low)).y + BOARD;
    let frame = (point(layout.left - 2.0, y - 1.5), point(layout.right + 2.0, bottom));
    sheet.group("side", |sheet| {
        sheet.clipped(frame.0, frame.1, |sheet| {
            ground(sheet, facts, &view, frame);
            strokes(sheet, facts, &view);
            outlines(sheet, facts, &view, frame);
        });
        labels(sheet, facts, &view, layout, (y, bottom));
    });
    bottom.max(last_label(facts, &view, (y, bottom)) + CAPTION * 0.6)
}

fn heading(sheet: &mut Sheet, layout: &Layout, heights: Scale, y: f64) -> f64 {
    let y = y + HEADING;
    let bold = Lettering::new(HEADING).bold();
    sheet.text(point(MARGIN, y), bold, "Side view");
    let after = MARGIN + text_width("Side view ", HEADING, bold.weight);
    let times = heights.factor() / layout.scale.factor();
    let text = if heights == layout.scale {
        format!("seen from the front, {}, true scale", layout.scale.ratio())
    } else {
        format!(
            "seen from the front, lengths {}, heights {} (drawn {} times)",
            layout.scale.ratio(),
            heights.ratio(),
            (times * 100.0).round() / 100.0
        )
    };
    sheet.text(point(after, y), Lettering::new(BODY), &text);
    y
}

fn ground(sheet: &mut Sheet, facts: &Facts, view: &View, (low, high): (Point, Point)) {
    let Some(stock) = facts.stock() else { return };
    let board = view.at(point(0.0, stock.min.z)).y;
    hatch(sheet, point(low.x, board), high);
    let (a, b) = front_box(view, &stock);
    sheet.fill_box(a, b, pens::stock_colour());
    for (_, clamp) in &facts.clamps {
        let (a, b) = front_box(view, clamp);
        sheet.fill_box(a, b, pens::clamp_colour());
    }
}

fn front_box(view: &View, b: &crate::geometry::Box3) -> (Point, Point) {
    let (low, high) = (view.at(point(b.min.x, b.min.z)), view.at(point(b.max.x, b.max.z)));
    (point(low.x, high.y), point(high.x, low.y))
}

/// Thin lines at 45 degrees: the spoilboard, cut through.
fn hatch(sheet: &mut Sheet, low: Point, high: Point) {
    let depth = high.y - low.y;
    let mut path = Path::new();
    let mut x = low.x - depth;
    // The view is at most as wide as the sheet: some hundred lines.
    while depth > 0.0 && x < high.x {
        path.move_to(point(x, high.y));
        path.line_to(point(x + depth, low.y));
        x += 2.0;
    }
    sheet.stroke(
        path,
        &Pen::style(LineStyle::Thin, crate::drawing::mixed(Colour::BLACK, Colour::WHITE, 0.6)),
    );
    let mut edge = Path::new();
    edge.move_to(low);
    edge.line_to(point(high.x, low.y));
    sheet.path(edge, LineStyle::Visible);
}

fn strokes(sheet: &mut Sheet, facts: &Facts, view: &View) {
    let levels = facts.trace.levels.len();
    let mut paths: BTreeMap<(u8, usize), (Role, Path)> = BTreeMap::new();
    let mut level_runs: BTreeMap<(usize, i64), Vec<(f64, f64)>> = BTreeMap::new();
    let mut seen: BTreeSet<[i64; 4]> = BTreeSet::new();
    for s in &facts.trace.strokes {
        if s.role == Role::Cut && is_level(&s.stroke) {
            let b = s.stroke.bounds();
            let row = (view.at(point(0.0, s.stroke.to.z)).y * STEPS).round() as i64;
            level_runs.entry((s.level, row)).or_default().push((b.min.x, b.max.x));
            continue;
        }
        let (a, b) = (s.stroke.from, s.stroke.to);
        let (pa, pb) = (view.at(point(a.x, a.z)), view.at(point(b.x, b.z)));
        let step = |v: f64| (v * STEPS).round() as i64;
        if !seen.insert([step(pa.x), step(pa.y), step(pb.x), step(pb.y)]) {
            continue;
        }
        // Drawn in this order: traverses below, tabs above.
        let (order, level) = match s.role {
            Role::Travel => (0, 0),
            Role::Above => (1, 0),
            Role::Cut => (2, s.level),
            Role::Entry => (4, 0),
            Role::Lead => (5, 0),
            Role::Tab => (6, 0),
        };
        let (_, path) = paths.entry((order, level)).or_insert((s.role, Path::new()));
        view.front_stroke(path, &s.stroke);
    }
    let mut flat: BTreeMap<usize, Path> = BTreeMap::new();
    for ((level, row), runs) in level_runs {
        let y = row as f64 / STEPS;
        let path = flat.entry(level).or_default();
        for (a, b) in united(runs) {
            path.move_to(point(view.at(point(a, 0.0)).x, y));
            path.line_to(point(view.at(point(b, 0.0)).x, y));
        }
    }
    let pen = |role: Role, level: usize| match role {
        Role::Cut => Pen::solid(pens::level_colour(level, levels), 0.45),
        Role::Tab => Pen::solid(Colour::ORANGE, 0.6),
        other => pens::role(other),
    };
    let later = paths.split_off(&(3, 0));
    for ((_, level), (role, path)) in paths {
        sheet.stroke(path, &pen(role, level));
    }
    for (level, path) in flat {
        sheet.stroke(path, &pen(Role::Cut, level));
    }
    for ((_, level), (role, path)) in later {
        sheet.stroke(path, &pen(role, level));
    }
}

/// Overlapping intervals joined.
fn united(mut runs: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    runs.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut out: Vec<(f64, f64)> = Vec::new();
    for (a, b) in runs {
        match out.last_mut() {
            Some(last) if a <= last.1 + 1e-6 => last.1 = last.1.max(b),
            _ => out.push((a, b)),
        }
    }
    out
}

fn outlines(sheet: &mut Sheet, facts: &Facts, view: &View, (low, high): (Point, Point)) {
    if let Some(stock) = facts.stock() {
        let (a, b) = front_box(view, &stock);
        sheet.path(rectangle(a, b), LineStyle::Adjacent);
    }
    for (_, clamp) in &facts.clamps {
        let (a, b) = front_box(view, clamp);
        sheet.path(rectangle(a, b), LineStyle::Adjacent);
    }
    for z in travel_shown(facts).into_iter().chain(highest_shown(facts)) {
        let y = view.at(point(0.0, z)).y;
        sheet.line(point(low.x, y), point(high.x, y), LineStyle::Centre);
    }
    let zero = view.at(Point::default());
    let inside = zero.x >= low.x && zero.x <= high.x && zero.y >= low.y && zero.y <= high.y;
    if inside && facts.trace.strokes.iter().any(|s| IN_WORK.contains(&s.role)) {
        super::plan::zero_symbol(sheet, zero, 1.2);
    }
}

/// Heights on paper of the labels, kept apart.
fn label_places(labels: &[Label], view: &View, (low, high): (f64, f64)) -> Vec<f64> {
    let mut places: Vec<f64> = labels.iter().map(|l| view.at(point(0.0, l.z)).y).collect();
    let mut least = low;
    for p in &mut places {
        *p = p.max(least);
        least = *p + LEADING;
    }
    // What was pushed below the view goes up again as far as it may.
    let mut most = high.max(low + LEADING * labels.len() as f64);
    for p in places.iter_mut().rev() {
        *p = p.min(most);
        most = *p - LEADING;
    }
    places
}

fn last_label(facts: &Facts, view: &View, room: (f64, f64)) -> f64 {
    label_places(&label_texts(facts), view, room).last().copied().unwrap_or(0.0)
}

fn labels(sheet: &mut Sheet, facts: &Facts, view: &View, layout: &Layout, room: (f64, f64)) {
    let labels = label_texts(facts);
    let places = label_places(&labels, view, room);
    let from = layout.right + 2.0;
    let mut leaders = Path::new();
    for (label, &y) in labels.iter().zip(&places) {
        let own = view.at(point(0.0, label.z)).y;
        leaders.move_to(point(from + 0.3, own));
        leaders.line_to(point(from + 1.3, own));
        leaders.line_to(point(from + LEADER - 3.2, y));
        leaders.line_to(point(from + LEADER - 2.4, y));
        let at = point(from + LEADER - 1.8, y + CAPTION * 0.36);
        sheet.text(at, Lettering::new(CAPTION), &label.text);
    }
    sheet.path(leaders, LineStyle::Thin);
}
