//! Straight work: flutes and reeds, and flat bands with bevelled edges.
//!
//! Fluting and reeding: hollows or rounds side by side along a shaft, the fillet between flutes a
//! third to a fourth of a flute (Ware, The American Vignola, from memory).

use super::form::Layer;
use super::motif::Motif;
use crate::geometry::{Point, point};

/// A flute or a reed: part of a cylinder between two points, its ends round.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Channel {
    /// One end of the axis.
    pub from: Point,
    /// The other end.
    pub to: Point,
    /// Half width.
    pub half: f64,
    /// Height of the middle over the edges: negative for a flute.
    pub crown: f64,
}

impl Channel {
    /// The form at `p`.
    #[inline]
    #[must_use]
    pub fn layer(&self, p: Point) -> Option<Layer> {
        let d = self.to - self.from;
        let l2 = d.dot(d);
        let t = if l2 > 0.0 { ((p - self.from).dot(d) / l2).clamp(0.0, 1.0) } else { 0.0 };
        let out = p.distance(self.from + d * t) / self.half;
        if out >= 1.0 {
            return None;
        }
        // The circular section through both edges and the crown.
        let rise = self.crown.abs() / self.half;
        let radius = (1.0 + rise * rise) / (2.0 * rise).max(1e-9);
        let z = (radius * radius - out * out).max(0.0).sqrt() - (radius - rise);
        Some(Layer { z: z * self.half * self.crown.signum(), cover: 1.0, set_in: 0.0 })
    }

    /// The box outside which it has no say.
    #[must_use]
    pub fn bounds(&self) -> (Point, Point) {
        let out = point(self.half, self.half);
        let (a, b) = (self.from, self.to);
        (point(a.x.min(b.x), a.y.min(b.y)) - out, point(a.x.max(b.x), a.y.max(b.y)) + out)
    }
}

/// `count` flutes across `width`, upright, `height` long, `depth` deep; between two flutes and
/// at the sides a fillet of `fillet` of a flute's width.
#[must_use]
pub fn fluting(width: f64, height: f64, count: usize, fillet: f64, depth: f64) -> Motif {
    let count = count.max(1);
    let flute = width / (count as f64 * (1.0 + fillet) + fillet);
    channels(width, height, count, flute, flute * (1.0 + fillet), -depth.min(flute / 2.0))
}

/// `count` reeds side by side across `width`, upright, `height` long, `depth` high.
#[must_use]
pub fn reeding(width: f64, height: f64, count: usize, depth: f64) -> Motif {
    let reed = width / count.max(1) as f64;
    channels(width, height, count.max(1), reed, reed, depth.min(reed / 2.0))
}

fn channels(width: f64, height: f64, count: usize, wide: f64, step: f64, crown: f64) -> Motif {
    let half = wide / 2.0;
    let reach = (height / 2.0 - half).max(0.0);
    let edge = (width - (step * (count - 1) as f64 + wide)) / 2.0;
    let one = |i: usize| {
        let x = -width / 2.0 + edge + half + step * i as f64;
        Channel { from: point(x, -reach), to: point(x, reach), half, crown }.into()
    };
    Motif::new((0..count).map(one).collect())
}

/// Flat bands along axis-parallel rectangles that run into one another, with bevelled edges.
#[derive(Clone, Debug, PartialEq)]
pub struct Plate {
    /// Lower left and upper right corners.
    pub rectangles: Vec<(Point, Point)>,
    /// Height over the ground.
    pub height: f64,
    /// Width of the bevel at the edges.
    pub bevel: f64,
}

impl Plate {
    /// The form at `p`.
    #[inline]
    #[must_use]
    pub fn layer(&self, p: Point) -> Option<Layer> {
        let inside = self
            .rectangles
            .iter()
            .map(|(low, high)| (p.x - low.x).min(high.x - p.x).min((p.y - low.y).min(high.y - p.y)))
            .fold(f64::MIN, f64::max);
        let share = inside / self.bevel;
        (share > 0.0).then(|| Layer { z: self.height, cover: share.min(1.0), set_in: 0.0 })
    }

    /// The box outside which it has no say.
    #[must_use]
    pub fn bounds(&self) -> (Point, Point) {
        self.rectangles.iter().fold(
            (point(f64::MAX, f64::MAX), point(f64::MIN, f64::MIN)),
            |(low, high), (a, b)| {
                (point(low.x.min(a.x), low.y.min(a.y)), point(high.x.max(b.x), high.y.max(b.y)))
            },
        )
    }
}
