//! The lines of a picture: told apart by colour, by width and by dashes, so that they read in
//! grey too.

use crate::drawing::svg::Pen;
use crate::drawing::{Colour, LineStyle, Role, mixed};

/// Where the cutter has been.
pub(crate) fn kerf(width: f64) -> Pen {
    Pen::solid(kerf_colour(), width)
}

pub(crate) fn kerf_colour() -> Colour {
    mixed(Colour::SKY_BLUE, Colour::WHITE, 0.78)
}

pub(crate) fn stock_colour() -> Colour {
    mixed(Colour::ORANGE, Colour::WHITE, 0.90)
}

pub(crate) fn clamp_colour() -> Colour {
    mixed(Colour::REDDISH_PURPLE, Colour::WHITE, 0.65)
}

pub(crate) fn quiet() -> Colour {
    mixed(Colour::BLACK, Colour::WHITE, 0.40)
}

/// From light to dark: shallow to deep.
pub(crate) fn level_colour(level: usize, levels: usize) -> Colour {
    let share = share(level, levels);
    if share < 0.6 {
        mixed(mixed(Colour::SKY_BLUE, Colour::WHITE, 0.2), Colour::BLUE, share / 0.6)
    } else {
        mixed(Colour::BLUE, Colour::BLACK, (share - 0.6) / 0.4 * 0.55)
    }
}

/// A cut in the plan: the deeper the narrower, so that passes over one another all show.
/// `widest` is the width of the shallowest, mm on paper.
pub(crate) fn level(level: usize, levels: usize, widest: f64) -> Pen {
    let narrowest = 0.25;
    let share = share(level, levels);
    let width = if levels < 2 { 0.4 } else { widest + (narrowest - widest) * share };
    Pen::solid(level_colour(level, levels), width)
}

fn share(level: usize, levels: usize) -> f64 {
    if levels < 2 { 0.6 } else { level as f64 / (levels - 1) as f64 }
}

/// A stroke that is not a plain cut.
pub(crate) fn role(role: Role) -> Pen {
    match role {
        Role::Entry => {
            Pen { colour: Colour::VERMILION, width: 0.45, dashes: vec![1.6, 0.8], round: false }
        }
        Role::Lead => Pen::solid(Colour::BLUISH_GREEN, 0.55),
        Role::Tab => Pen { round: false, ..Pen::solid(Colour::ORANGE, 1.1) },
        Role::Travel => Pen::style(LineStyle::Hidden, quiet()),
        Role::Above => Pen::style(LineStyle::Thin, quiet()),
        Role::Cut => Pen::solid(Colour::BLUE, 0.4),
    }
}

/// The edge of a tab's bar, drawn under it.
pub(crate) fn tab_edge() -> Pen {
    Pen { round: false, ..Pen::solid(Colour::BLACK, 1.5) }
}
