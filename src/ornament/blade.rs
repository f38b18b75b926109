//! The form from which most ornament grows: a petal, leaf, ribbon, stem or cord along a spine.

use super::form::{Layer, smooth};
use super::spine::Spine;
use crate::geometry::Point;
use std::f64::consts::TAU;

/// An end at which another form goes on in the same surface: no wall, no line.
pub const OPEN: u8 = u8::MAX;

/// How much a turning ribbon narrows, as a share of its half width either way (from memory).
const NARROW: f64 = 0.22;

/// How the half width goes along the spine: `t^(foot/2) (1-t)^(tip/2)`, its greatest being one.
///
/// Foot and tip: [`OPEN`] where another form goes on, 0 cut square, 1 round, 2 pointed, 3 drawn out to a hollow point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Girth {
    /// Greatest half width, millimetres.
    pub half: f64,
    /// Shape at the start.
    pub foot: u8,
    /// Shape at the end.
    pub tip: u8,
    /// Half width at the end over that at the start: 1 for even, below 1 for tapering.
    pub taper: f64,
    /// A swallow-tail cut into a square end, as a share of the half width.
    pub notch: f64,
    /// Times that the form turns to its edge and back, as a fluttering ribbon does.
    pub waves: f64,
}

impl Girth {
    /// Half width `half` with ends `foot` and `tip`, without taper.
    #[must_use]
    pub const fn new(half: f64, foot: u8, tip: u8) -> Girth {
        Girth { half, foot, tip, taper: 1.0, notch: 0.0, waves: 0.0 }
    }

    fn scale(&self) -> f64 {
        let power = |kind: u8| if kind == OPEN { 0.0 } else { f64::from(kind) };
        let (a, b) = (power(self.foot), power(self.tip));
        if a + b == 0.0 {
            return 1.0;
        }
        let t = a / (a + b);
        1.0 / (t.powf(a / 2.0) * (1.0 - t).powf(b / 2.0))
    }

    /// Half width at share `t` and how fast it changes with t.
    #[inline]
    fn at(&self, t: f64, scale: f64) -> (f64, f64) {
        // Near a round end the slope is infinite; nearer than this it is as steep as matters.
        let t = t.clamp(1e-6, 1.0 - 1e-6);
        let r = 1.0 - t;
        let taper = 1.0 + (self.taper - 1.0) * t;
        let w = half_power(t, self.foot) * half_power(r, self.tip) * scale * self.half;
        let power = |kind: u8| if kind == OPEN { 0.0 } else { f64::from(kind) };
        let change = power(self.foot) / (2.0 * t) - power(self.tip) / (2.0 * r);
        let (w, change) = (w * taper, w * (change * taper + self.taper - 1.0));
        if self.waves == 0.0 {
            return (w, change);
        }
        let (sine, cosine) = (TAU * self.waves * t).sin_cos();
        let narrowed = 1.0 - NARROW + NARROW * cosine;
        (w * narrowed, change * narrowed - w * NARROW * TAU * self.waves * sine)
    }
}

/// x to the power n/2.
#[inline]
fn half_power(x: f64, n: u8) -> f64 {
    match n {
        0 | OPEN => 1.0,
        1 => x.sqrt(),
        2 => x,
        3 => x * x.sqrt(),
        4 => x * x,
        _ => x * x * x.sqrt(),
    }
}

/// The surface across the spine. q is the place across, -1 and 1 at the edges; heights in mm.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Section {
    /// Height of the middle over the edges where the form is widest: positive rounded, negative
    /// hollow as a gouge leaves it. It shrinks with the width.
    pub crown: f64,
    /// Height of a rounded midrib; negative: a vein cut in.
    pub vein: f64,
    /// Half width of the midrib where it begins; it runs out towards the tip.
    pub vein_half: f64,
    /// The left edge is this much higher than the right one.
    pub tilt: f64,
    /// Both edges turned up by this much, in the outer third.
    pub rim: f64,
    /// Height of the side veins.
    pub ribs: f64,
    /// How many of them on each side.
    pub rib_count: f64,
    /// Raised by this much halfway along, not at the ends.
    pub swell: f64,
    /// The midrib keeps its width and height to the end.
    pub even_vein: bool,
}

/// A form along a spine.
#[derive(Clone, Debug, PartialEq)]
pub struct Blade {
    spine: Spine,
    girth: Girth,
    scale: f64,
    /// Heights of the spine as ordinates of a cubic Bezier curve over it.
    rise: [f64; 4],
    section: Section,
    wall: f64,
    set_in: f64,
}

impl Blade {
    /// A form along `spine`; `rise` are the heights of its edges at the start, at a third, at two
    /// thirds and at the end, as ordinates of a cubic Bezier curve.
    #[must_use]
    pub fn new(spine: Spine, girth: Girth, rise: [f64; 4], section: Section) -> Blade {
        // A wall a seventh of the form's width, as steep as a carver's set-in, 0.12 to 0.5 mm;
        // the line beside it half as deep as the form is thick (from memory of carved work).
        let wall = (girth.half / 7.0).clamp(0.12, 0.5);
        let set_in = wall;
        Blade { spine, scale: girth.scale(), girth, rise, section, wall, set_in }
    }

    /// The same along another spine.
    #[must_use]
    pub fn along(self, spine: Spine) -> Blade {
        Blade { spine, ..self }
    }

    /// With this wall, and a line set in this deep beside it.
    #[must_use]
    pub fn walled(self, wall: f64, set_in: f64) -> Blade {
        Blade { wall, set_in, ..self }
    }

    /// The form at `p`.
    #[inline]
    #[must_use]
    pub fn layer(&self, p: Point) -> Option<Layer> {
        let (s, v) = self.spine.locate(p, self.reach())?;
        let length = self.spine.length();
        let t = s / length;
        let (half, change) = self.girth.at(t, self.scale);
        let inside = self.inside(s, v, half, change / length);
        if inside <= -2.0 * self.wall {
            return None;
        }
        Layer::edged(self.height(t.clamp(0.0, 1.0), v, half), inside, self.wall, self.set_in)
    }

    /// Distance inside the edge, to first order; negative outside.
    ///
    /// The edge is where `half² - v²` vanishes: that has a gradient at round ends also.
    #[inline]
    fn inside(&self, s: f64, v: f64, half: f64, slope: f64) -> f64 {
        let length = self.spine.length();
        let steep = ((half * slope).powi(2) + v * v).sqrt();
        let mut inside = (half * half - v * v) / (2.0 * steep).max(1e-9);
        if self.girth.foot == 0 {
            inside = inside.min(s);
        }
        if self.girth.tip == 0 {
            let cut = self.girth.notch * (half - v.abs()).max(0.0);
            inside = inside.min((length - s - cut) / (1.0 + self.girth.notch));
        }
        let beyond = (-s).max(s - length);
        // Past a square end the form goes on as something else: nothing is set in there.
        let square = |kind: u8| kind == 0 || kind == OPEN;
        // A hair of overlap: two forms that meet leave no cell between them.
        let hair = 1e-6;
        if (square(self.girth.foot) && s < -hair) || (square(self.girth.tip) && s > length + hair) {
            return f64::NEG_INFINITY;
        }
        if beyond > hair { -beyond.hypot(inside.min(0.0)) } else { inside }
    }

    fn reach(&self) -> f64 {
        self.girth.half * self.girth.taper.max(1.0) + 2.0 * self.wall
    }

    #[inline]
    fn height(&self, t: f64, v: f64, half: f64) -> f64 {
        let section = &self.section;
        let q = (v / half.max(1e-9)).clamp(-1.0, 1.0);
        let share = half / self.girth.half;
        let mut z = bezier(self.rise, t) + section.crown * share * (1.0 - q * q);
        if section.tilt != 0.0 {
            let turned = if self.girth.waves == 0.0 {
                1.0
            } else {
                (TAU * 0.5 * self.girth.waves * t).cos()
            };
            z += section.tilt * 0.5 * q * share * turned;
        }
        if section.rim != 0.0 {
            z += section.rim * share * smooth(3.0 * q.abs() - 2.0);
        }
        if section.vein != 0.0 {
            // Runs out before the tip.
            let (narrow, fade) = if section.even_vein {
                (1.0, 1.0)
            } else {
                (1.0 - 0.75 * t, 1.0 - smooth((t - 0.6) / 0.38))
            };
            let out = v / (section.vein_half * narrow);
            // Farther out it would be below 1e-13 of its height.
            if out * out < 30.0 {
                z += section.vein * (-out * out).exp() * fade;
            }
        }
        if section.swell != 0.0 {
            let hump = 4.0 * t * (1.0 - t);
            z += section.swell * hump * hump;
        }
        if section.ribs != 0.0 {
            let phase = section.rib_count * (t - 0.35 * v.abs() / self.girth.half * 0.5);
            let wave = 0.5 + 0.5 * (TAU * phase).cos();
            let fade = q.abs() * (1.0 - q * q) * 2.6;
            z += section.ribs * share * fade * wave * wave;
        }
        z
    }

    /// Circles outside which it has no say.
    #[must_use]
    pub fn circles(&self) -> Vec<(Point, f64)> {
        self.spine.circles(self.reach())
    }

    /// The box outside which it has no say.
    #[must_use]
    pub fn bounds(&self) -> (Point, Point) {
        self.spine.bounds(self.reach())
    }
}

/// A cubic Bezier curve of heights.
#[inline]
fn bezier(z: [f64; 4], t: f64) -> f64 {
    let r = 1.0 - t;
    r * r * (r * z[0] + 3.0 * t * z[1]) + t * t * (3.0 * r * z[2] + t * z[3])
}
