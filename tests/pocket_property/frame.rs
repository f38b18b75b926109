//! The part's frame, as the tests of pockets place it in the stock.

use ovolo::geometry::{Stroke, point};

/// From the stock's corner, which is the zero, to the part's, mm.
pub const AROUND: f64 = 15.0;

/// A stroke on the table in the part's frame.
pub fn on_part(mut stroke: Stroke) -> Stroke {
    let zero = point(AROUND, AROUND).at(0.0);
    stroke.from = stroke.from - zero;
    stroke.to = stroke.to - zero;
    if let Some(arc) = &mut stroke.arc {
        arc.center = arc.center - zero.xy();
    }
    stroke
}
