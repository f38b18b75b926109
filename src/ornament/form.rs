//! What a form says of a point, and the forms there are.

use super::blade::Blade;
use super::boss::{Boss, Ring};
use super::straight::{Channel, Plate};
use crate::geometry::Point;

/// A form at one point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Layer {
    /// Height over the ground, millimetres.
    pub z: f64,
    /// How far the form hides what is below it: 0 not at all, 1 wholly; between on its wall.
    pub cover: f64,
    /// How deep what lies below is set in beside the form's edge, millimetres.
    pub set_in: f64,
}

impl Layer {
    /// From the distance inside the form's edge (negative outside): a wall `wall` wide, and a
    /// line set in `set_in` deep and twice as wide as the wall beside it. `None` beyond that.
    #[inline]
    #[must_use]
    pub fn edged(z: f64, inside: f64, wall: f64, set_in: f64) -> Option<Layer> {
        if inside >= wall {
            return Some(Layer { z, cover: 1.0, set_in: 0.0 });
        }
        let beside = 2.0 * wall;
        if inside <= -beside {
            return None;
        }
        let line = 1.0 + (inside / beside).min(0.0);
        Some(Layer { z, cover: smooth(inside / wall), set_in: set_in * line * line })
    }
}

/// 0 below 0, 1 above 1, and between them without a corner.
#[inline]
pub(crate) fn smooth(t: f64) -> f64 {
    let t = t.clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

/// One rounded form of a motif.
#[derive(Clone, Debug, PartialEq)]
pub enum Form {
    /// A petal, leaf, ribbon or cord along a spine.
    Blade(Blade),
    /// A bead, an egg, a berry.
    Boss(Boss),
    /// A ring, plain or lobed.
    Ring(Ring),
    /// A flute or a reed.
    Channel(Channel),
    /// A flat band with bevelled edges.
    Plate(Plate),
}

impl Form {
    /// The form at `p`; `None` where it has no say.
    #[inline]
    #[must_use]
    pub fn layer(&self, p: Point) -> Option<Layer> {
        match self {
            Form::Blade(f) => f.layer(p),
            Form::Boss(f) => f.layer(p),
            Form::Ring(f) => f.layer(p),
            Form::Channel(f) => f.layer(p),
            Form::Plate(f) => f.layer(p),
        }
    }

    /// The box outside which it has no say.
    #[must_use]
    pub fn bounds(&self) -> (Point, Point) {
        match self {
            Form::Blade(f) => f.bounds(),
            Form::Boss(f) => f.bounds(),
            Form::Ring(f) => f.bounds(),
            Form::Channel(f) => f.bounds(),
            Form::Plate(f) => f.bounds(),
        }
    }
}

impl From<Blade> for Form {
    fn from(f: Blade) -> Form {
        Form::Blade(f)
    }
}

impl From<Boss> for Form {
    fn from(f: Boss) -> Form {
        Form::Boss(f)
    }
}

impl From<Ring> for Form {
    fn from(f: Ring) -> Form {
        Form::Ring(f)
    }
}

impl From<Plate> for Form {
    fn from(f: Plate) -> Form {
        Form::Plate(f)
    }
}

impl From<Channel> for Form {
    fn from(f: Channel) -> Form {
        Form::Channel(f)
    }
}
