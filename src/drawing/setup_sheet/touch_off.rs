//! A small diagram of where the work zero is.

use crate::drawing::preview::{zero_axes, zero_shafts, zero_symbol};
use crate::drawing::svg::rectangle;
use crate::drawing::{Anchor, Lettering, LineStyle, Sheet};
use crate::geometry::point;

/// Where the work zero lies on the stock.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Touch {
    /// Length, width and thickness of the stock, mm.
    pub stock: [f64; 3],
    /// The work zero from the stock's front left corner on its underside, mm.
    pub zero: [f64; 3],
}

/// Width of the diagram, mm.
const WIDTH: f64 = 88.0;
/// Size of lettering, mm.
const SIZE: f64 = 2.6;

/// The diagram: the stock from above and from the front with the work zero on each. Not to scale,
/// and it says so.
pub(crate) fn diagram(touch: &Touch) -> String {
    let share = |k: usize| {
        let s = touch.zero[k] / touch.stock[k];
        if s.is_finite() { s.clamp(-0.15, 1.15) } else { 0.0 }
    };
    let mut sheet = Sheet::new("touch", "Where to touch off", WIDTH, 43.0);
    let (left, width) = (14.0, 56.0);
    let (top, height) = (7.5, 15.0);
    let small = Lettering::new(SIZE);
    sheet.text(point(2.0, 4.0), small, "from above, not to scale");
    sheet.path(rectangle(point(left, top), point(left + width, top + height)), LineStyle::Visible);
    let at = point(left + width * share(0), top + height * (1.0 - share(1)));
    zero_shafts(&mut sheet, at);
    zero_axes(&mut sheet, at, ["x", "y"]);
    let front = Lettering::new(SIZE).anchored(Anchor::Middle);
    sheet.text(point(left + width / 2.0, top + height + 3.6), front, "front edge, to the operator");
    let (top, height) = (35.0, 5.0);
    sheet.text(point(2.0, 32.0), small, "from the front");
    sheet.path(rectangle(point(left, top), point(left + width, top + height)), LineStyle::Visible);
    sheet.line(point(4.0, top + height), point(WIDTH - 4.0, top + height), LineStyle::Thin);
    let at = point(left + width * share(0), top + height * (1.0 - share(2)));
    zero_symbol(&mut sheet, at, 1.4);
    let beside = point(left + width + 3.0, top + height * (1.0 - share(2)) + SIZE * 0.36);
    sheet.text(beside, small.plated(), "z 0");
    sheet.svg()
}
