//! One motion, with what is known of its place and what it met.

use super::touch::Touch;
use crate::geometry::{Arc, EPSILON, Point3, Stroke, point3};
use crate::ngc::Motion;
use std::f64::consts::{FRAC_PI_2, TAU};

/// A motion as far as its place is known.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pass {
    /// In work coordinates. Where the start of an axis is not known it is taken as its end.
    pub(super) stroke: Stroke,
    /// Which of x, y, z are known at its end.
    pub(super) known: [bool; 3],
    /// Which were known at its start.
    pub(super) known_before: [bool; 3],
    /// mm/min; `None` for a traverse.
    pub(super) feed: Option<f64>,
    pub(super) cycle: bool,
    /// It ends at a point of the machine.
    pub(super) machine: bool,
    /// Plan length.
    pub(super) level: f64,
    /// What it met; nothing if its place is not known.
    pub(super) touch: Touch,
}

impl Pass {
    /// `tied`: whether points of the machine are known in work coordinates.
    pub(super) fn new(motion: &Motion, tied: bool) -> Pass {
        let Stroke { from, to, arc } = motion.stroke;
        let before = motion.known;
        let either = |known: bool, from: f64, to: f64| if known { from } else { to };
        let start = point3(
            either(before[0], from.x, to.x),
            either(before[1], from.y, to.y),
            either(before[2], from.z, to.z),
        );
        let moved = [from.x != to.x, from.y != to.y, from.z != to.z];
        let known = std::array::from_fn(|i| match motion.machine {
            // The way home, to a point that was not given: its numbers stay and mean nothing.
            true if moved == [false; 3] => false,
            true if !tied => before[i] && !moved[i],
            _ => before[i] || moved[i],
        });
        let stroke = Stroke { from: start, to, arc };
        let level = plan_length(&stroke);
        Pass {
            stroke,
            known,
            known_before: before,
            feed: motion.feed,
            cycle: motion.cycle,
            machine: motion.machine,
            level,
            touch: Touch::default(),
        }
    }

    /// Whether it moves in x or y.
    pub(super) fn goes_level(&self) -> bool {
        self.level > EPSILON || !(self.known_before[0] && self.known_before[1])
    }

    /// Whether its whole way is known.
    pub(super) fn placed(&self) -> bool {
        self.known == [true; 3]
    }

    /// Whether a move to an unknown point of the machine may go sideways: all but Z alone.
    pub(super) fn machine_levels(&self) -> bool {
        let (from, to) = (self.stroke.from, self.stroke.to);
        !(from.xy() == to.xy() && from.z != to.z)
    }

    /// How far it goes down, mm; negative when it rises.
    pub(super) fn down(&self) -> f64 {
        self.stroke.from.z - self.stroke.to.z
    }

    /// Straight down or up.
    pub(super) fn upright(&self) -> bool {
        self.level <= EPSILON
    }

    /// Least time it can take, s.
    pub(super) fn least_time(&self, rapid: [f64; 3]) -> f64 {
        match self.feed {
            Some(feed) if feed > 0.0 => self.stroke.length() / feed * 60.0,
            Some(_) => 0.0,
            None => {
                let d = self.stroke.to - self.stroke.from;
                let axis =
                    |way: f64, rate: f64| if rate > 0.0 { way.abs() / rate * 60.0 } else { 0.0 };
                axis(d.x, rapid[0]).max(axis(d.y, rapid[1])).max(axis(d.z, rapid[2]))
            }
        }
    }
}

fn plan_length(stroke: &Stroke) -> f64 {
    let size = stroke.bounds().size();
    match stroke.arc {
        None => stroke.from.xy().distance(stroke.to.xy()),
        // An arc out of level: its spread in plan is enough to tell level from upright.
        Some(arc) if arc.plane != crate::geometry::Plane::Xy => size.x.hypot(size.y),
        Some(arc) => stroke.from.xy().distance(arc.center) * arc.sweep.abs(),
    }
}

/// The greatest share of the speed that each axis has anywhere along the stroke.
pub(super) fn axis_shares(stroke: &Stroke) -> Point3 {
    let mut most = Point3::default();
    let mut see = |share: f64| {
        let d = stroke.direction(share);
        most = point3(most.x.max(d.x.abs()), most.y.max(d.y.abs()), most.z.max(d.z.abs()));
    };
    see(0.0);
    see(1.0);
    if let Some(arc) = stroke.arc {
        quarter_shares(stroke, arc).into_iter().flatten().for_each(see);
    }
    most
}

/// Shares of the way at which an arc runs along an axis.
fn quarter_shares(stroke: &Stroke, arc: Arc) -> [Option<f64>; 4] {
    let first = (arc.plane.split(stroke.from).0 - arc.center).angle();
    [0.0, 1.0, 2.0, 3.0].map(|quarter| {
        let angle = quarter * FRAC_PI_2;
        let ahead = match arc.sweep >= 0.0 {
            true => (angle - first).rem_euclid(TAU),
            false => (first - angle).rem_euclid(TAU),
        };
        (arc.sweep != 0.0 && ahead <= arc.sweep.abs()).then(|| ahead / arc.sweep.abs())
    })
}
