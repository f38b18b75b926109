//! Scale and place of the plan, and the dimensions about it.

use super::facts::Facts;
use super::part_size::{Rise, rise};
use super::{MARGIN, WIDTH, side};
use crate::drawing::dimension::{TIGHT, dimension_up_below, room_below, room_up};
use crate::drawing::{Dimension, Scale, Sheet, View, dimension_across, dimension_up};
use crate::geometry::{Point, point};

/// Highest plan, mm on paper.
const MOST_HEIGHT: f64 = 112.0;
/// Air about the view, mm on paper: clamps' labels and traverses stand there.
pub(crate) const AIR: f64 = 3.5;
/// Height of a dimension's row, mm.
pub(crate) const ROW: f64 = 6.0;

/// Length of the work zero's axes, mm on paper.
pub(crate) const ZERO_AXIS: f64 = 8.5;

/// Where the views stand, and at what scale.
pub(crate) struct Layout {
    pub(crate) scale: Scale,
    /// x of the frame's left and right edge on paper.
    pub(crate) left: f64,
    pub(crate) right: f64,
    pub(crate) figures: Figures,
}

/// Figures of the dimensions that are drawn.
pub(crate) struct Figures {
    pub(crate) zero_x: Option<String>,
    pub(crate) zero_y: Option<String>,
    pub(crate) stock_x: Option<String>,
    pub(crate) stock_y: Option<String>,
    /// Of the part, or of the cut.
    pub(crate) size_x: Option<String>,
    pub(crate) size_y: Option<String>,
    /// An arc's rise and the depth at its ends, where there is room.
    pub(crate) rise: Option<(Rise, [String; 2])>,
}

impl Figures {
    fn new(facts: &Facts) -> Figures {
        let shown = facts.input.shown;
        let figure = |mm: f64| Some(shown.both(mm));
        let stock = facts.stock();
        let size = stock.map(|s| s.size());
        let measured = facts.measured().map(|m| m.1.size());
        let rise = facts.arc.zip(facts.part).and_then(|(arc, part)| rise(&arc, part));
        let zero = |v: Option<f64>| {
            v.filter(|d| d.abs() > 5e-3 && facts.zero_shown()).and_then(|d| figure(d.abs()))
        };
        Figures {
            zero_x: zero(stock.map(|s| s.min.x)),
            zero_y: zero(stock.map(|s| s.min.y)),
            stock_x: size.and_then(|s| figure(s.x)),
            stock_y: size.and_then(|s| figure(s.y)),
            size_x: measured.and_then(|s| figure(s.x)),
            size_y: measured.and_then(|s| figure(s.y)),
            rise: rise
                .map(|r| (r, [r.crown - r.ends, r.ends - r.back].map(|d| shown.both(d.abs())))),
        }
    }
}

impl Layout {
    pub(crate) fn new(facts: &Facts) -> Layout {
        let with = Layout::of(facts, Figures::new(facts));
        if with.figures.rise.is_none() {
            return with;
        }
        let without = Layout::of(facts, Figures { rise: None, ..Figures::new(facts) });
        let k = with.scale.factor();
        // Arrows and a figure in two lines need room; and all else should not shrink much for it.
        let roomy = |r: &Rise| {
            let least = (r.crown - r.ends).abs().min((r.ends - r.back).abs());
            least * k >= TIGHT && k >= 0.8 * without.scale.factor()
        };
        if with.figures.rise.as_ref().is_some_and(|r| roomy(&r.0)) { with } else { without }
    }

    fn of(facts: &Facts, up: Figures) -> Layout {
        let size = facts.frame.size();
        let mut scale = Scale::fitting(size.x, size.y, point(WIDTH, MOST_HEIGHT));
        let mut sides = (0.0, 0.0);
        // A smaller scale can turn a figure level, which takes more room: three rounds settle it.
        for _ in 0..3 {
            let new = sides_needed(facts, &up, scale);
            sides = (new.0.max(sides.0), new.1.max(sides.1));
            let room = WIDTH - 2.0 * MARGIN - sides.0 - sides.1;
            scale = Scale::fitting(size.x, size.y, point(room, MOST_HEIGHT));
        }
        let width = size.x * scale.factor();
        let spare = (WIDTH - 2.0 * MARGIN - sides.0 - sides.1 - width).max(0.0);
        let left = MARGIN + sides.0 + spare / 2.0;
        Layout { scale, left, right: left + width, figures: up }
    }
}

/// From the frame's air to the line of the work zero's dimension, mm: clear of the arrow of the
/// one across.
const ZERO_LINE: f64 = 2.5;

/// Room needed left and right of the frame, mm on paper.
fn sides_needed(facts: &Facts, up: &Figures, scale: Scale) -> (f64, f64) {
    let k = scale.factor();
    let d = |name, figure, length: f64| Dimension {
        between: (0.0, length * k),
        edge: 0.0,
        line: 0.0,
        name,
        figure,
    };
    let mut left = AIR + 1.0;
    let mut least = 0.0;
    if let Some(stock) = facts.stock() {
        if let Some(figure) = &up.zero_y {
            let zero = d("zero", figure, stock.min.y.abs());
            left += ZERO_LINE + if zero.fits() { room_up(&zero) } else { 0.0 } + 2.0;
            // Level below the plan, the figure stands beside its line whatever is further out.
            if !zero.fits() {
                least = AIR + ZERO_LINE + room_below(&zero);
            }
        }
        if let Some(figure) = &up.stock_y {
            left += room_up(&d("stock", figure, stock.size().y));
        }
    }
    let mut right: f64 = side::label_room(facts) + 2.0;
    if let Some((figure, (name, area))) = up.size_y.as_ref().zip(facts.measured()) {
        let room = room_up(&d(name, figure, area.size().y)) + 2.0;
        right = right.max(room + chain_room(up, k) + beside_axis(facts, k));
    }
    if facts.zero_shown() {
        // The x axis and its letter.
        right = right.max(ZERO_AXIS + 2.0 - (facts.frame.high.x * k));
    }
    (left.max(least), right + 1.0)
}

/// The dimensions of an arc's rise and ends: name, the heights between which, figure.
fn chain(figures: &Figures) -> Vec<(&'static str, (f64, f64), &str)> {
    let Some((r, [rise, ends])) = &figures.rise else { return Vec::new() };
    vec![("rise", (r.crown, r.ends), rise), ("ends", (r.ends, r.back), ends)]
}

/// Room that they take between the part and the dimension of its whole, mm on paper.
fn chain_room(figures: &Figures, factor: f64) -> f64 {
    let room = |(name, (a, b), figure): &(&str, (f64, f64), &str)| {
        let text = format!("{name} {figure}");
        let between = (0.0, (a - b).abs() * factor);
        let d = Dimension { between, edge: 0.0, line: 1.0, name: "", figure: &text };
        if d.fits() { room_up(&d) + 2.0 } else { room_up(&d) + 3.0 }
    };
    chain(figures).iter().map(room).fold(0.0, f64::max)
}

/// From the frame's right edge to what may stand beside it, mm on paper: past the x axis and its
/// letter, if the work zero is near that edge.
fn beside_axis(facts: &Facts, factor: f64) -> f64 {
    let axis = ZERO_AXIS + 3.0 - facts.frame.high.x * factor;
    if facts.zero_shown() { axis.max(AIR) } else { AIR }
}

/// Draws the dimensions about the plan; `axis` is the room left for the y axis above it, mm.
pub(crate) fn dimensions(
    sheet: &mut Sheet,
    facts: &Facts,
    layout: &Layout,
    (view, axis): (&View, f64),
) {
    let top = view.at(facts.frame.high).y;
    let bottom = view.at(facts.frame.low).y;
    let d = &layout.figures;
    let mut line = top - AIR - 1.0 - axis;
    if let Some((figure, (name, area))) = d.size_x.as_ref().zip(facts.measured()) {
        let (a, b) = (view.at(area.low), view.at(area.high));
        let (between, edge) = ((a.x, b.x), b.y);
        dimension_across(sheet, &Dimension { between, edge, line, name, figure }, false);
        line -= ROW;
        if let Some(figure) = &d.size_y {
            let k = layout.scale.factor();
            let mut line = layout.right + beside_axis(facts, k) + 1.0;
            for (name, (low, high), figure) in chain(d) {
                let height = |y: f64| view.at(point(area.high.x, y)).y;
                let between = (height(low), height(high));
                let text = format!("{name} {figure}");
                let mut up = Dimension { between, edge: b.x, line, name: "", figure: &text };
                up.line += if up.fits() { room_up(&up) } else { 0.0 };
                dimension_up(sheet, &up);
            }
            line += chain_room(d, k);
            let mut up = Dimension { between: (a.y, b.y), edge: b.x, line, name, figure };
            up.line += if up.fits() { room_up(&up) } else { 0.0 };
            dimension_up(sheet, &up);
        }
    }
    let Some(stock) = facts.stock() else { return };
    let (a, b) = (view.at(stock.min.xy()), view.at(stock.max.xy()));
    if let Some(figure) = &d.stock_x {
        let (between, edge, name) = ((a.x, b.x), b.y, "stock");
        dimension_across(sheet, &Dimension { between, edge, line, name, figure }, false);
    }
    let zero = view.at(Point::default());
    let (name, row) = ("zero", bottom + AIR + ROW - 1.0);
    if let Some(figure) = &d.zero_x {
        let (between, edge) = ((a.x, zero.x), a.y);
        dimension_across(sheet, &Dimension { between, edge, line: row, name, figure }, true);
    }
    let mut line = layout.left - AIR;
    if let Some(figure) = &d.zero_y {
        line -= ZERO_LINE;
        let up = Dimension { between: (a.y, zero.y), edge: a.x, line, name, figure };
        if up.fits() {
            dimension_up(sheet, &up);
            line -= room_up(&up);
        } else {
            dimension_up_below(sheet, &up, row + 0.6);
        }
        line -= 2.0;
    }
    if let Some(figure) = &d.stock_y {
        let (between, edge, name) = ((a.y, b.y), a.x, "stock");
        dimension_up(sheet, &Dimension { between, edge, line, name, figure });
    }
}
