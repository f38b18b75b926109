//! Where a carving stands, how often, and how it meets the ground.

use super::checks::Checks;
use crate::geometry::{Point, point};
use crate::ornament::{Frame, Spine};
use crate::relief::Meeting;
use crate::units::{Angle, Length};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::f64::consts::TAU;

/// Most repeats of one carving.
const MOST: u32 = 1000;

/// Where a carving stands and how it meets the ground.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub struct PlaceShape {
    /// Its origin from the panel's lower left corner; the panel's middle without it.
    #[serde(default)]
    pub at: Option<[Length; 2]>,
    /// Turned counter-clockwise.
    #[serde(default)]
    pub turn: Angle,
    /// Mirrored left for right before it is turned.
    #[serde(default)]
    pub mirrored: bool,
    /// A second one, mirrored in the panel's upright middle line.
    #[serde(default)]
    pub pair: bool,
    /// Times as large in plan; 1 without it.
    #[serde(default)]
    pub scale: Option<f64>,
    /// Let into the ground by this much: its edges lie below the ground.
    #[serde(default)]
    pub set_in: Option<Length>,
    /// Melts into the ground: what is lower than about this rises in a hollow curve.
    #[serde(default)]
    pub blend: Option<Length>,
    /// Repeats.
    #[serde(default)]
    pub repeat: Option<RepeatShape>,
}

/// How a carving is repeated.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "along", rename_all = "kebab-case", deny_unknown_fields)]
pub enum RepeatShape {
    /// In a straight row from its own place.
    Line {
        /// How many, the first counted.
        #[schemars(range(min = 1, max = 1000))]
        count: u32,
        /// From each to the next, x and y.
        step: [Length; 2],
    },
    /// Evenly along a smooth curve, turned with it.
    Curve {
        /// How many; the first and the last stand at the curve's ends.
        #[schemars(range(min = 2, max = 1000))]
        count: u32,
        /// Points that the curve passes through, from the panel's lower left corner.
        #[schemars(length(min = 3))]
        through: Vec<[Length; 2]>,
    },
    /// Evenly round a middle, turned with it.
    Circle {
        /// How many.
        #[schemars(range(min = 1, max = 1000))]
        count: u32,
        /// The middle, from the panel's lower left corner; the panel's middle without it.
        #[serde(default)]
        middle: Option<[Length; 2]>,
    },
}

impl PlaceShape {
    pub(super) fn check(&self, checks: &mut Checks<'_>) {
        if let Some(scale) = self.scale {
            checks.number("scale", scale, 0.01, 100.0);
        }
        for (name, value) in [("set-in", self.set_in), ("blend", self.blend)] {
            if let Some(value) = value {
                checks.positive(name, value.0);
            }
        }
        if self.set_in.is_some() && self.blend.is_some() {
            checks.push(
                "blend",
                "a carving is either set in or blended".to_string(),
                "leave one out",
            );
        }
        match &self.repeat {
            Some(RepeatShape::Line { count: 2.., step }) if place(*step).length() <= 0.0 => {
                checks.push(
                    "repeat.step",
                    "repeats with no step between them stand in one place".to_string(),
                    "a step other than 0 along x or y, or no `repeat`",
                );
            }
            Some(RepeatShape::Curve { through, .. })
                if through.windows(2).any(|w| place(w[0]).distance(place(w[1])) <= 0.0) =>
            {
                checks.push(
                    "repeat.through",
                    "the curve passes through one point twice in a row".to_string(),
                    "points that differ from one to the next",
                );
            }
            _ => {}
        }
        let (count, least, enough) = match &self.repeat {
            None => return,
            Some(RepeatShape::Line { count, .. } | RepeatShape::Circle { count, .. }) => {
                (*count, 1, true)
            }
            Some(RepeatShape::Curve { count, through }) => (*count, 2, through.len() >= 3),
        };
        if !(least..=MOST).contains(&count) {
            checks.push(
                "repeat.count",
                format!("{count} is no number of repeats"),
                &format!("from {least} to {MOST}"),
            );
        }
        if !enough {
            checks.push("repeat.through", "too few points for a curve".to_string(), "at least 3");
        }
    }

    /// One frame for each repeat, on a panel of this size.
    #[must_use]
    pub fn frames(&self, size: Point) -> Vec<Frame> {
        let scale = self.scale.unwrap_or(1.0);
        let at = self.at.map_or(size * 0.5, place);
        let own = |at: Point, turn: f64| Frame::new(at, self.turn.0 + turn, scale, self.mirrored);
        let mut all: Vec<Frame> = match &self.repeat {
            None => vec![own(at, 0.0)],
            Some(RepeatShape::Line { count, step }) => {
                (0..*count).map(|i| own(at + place(*step) * f64::from(i), 0.0)).collect()
            }
            Some(RepeatShape::Curve { count, through }) => {
                let points: Vec<Point> = through.iter().map(|p| place(*p)).collect();
                let spine = Spine::smooth(&points);
                let step = spine.length() / f64::from((*count).max(2) - 1);
                let stand = |i: u32| {
                    let (at, way) = spine.place(step * f64::from(i));
                    own(at, way.angle())
                };
                (0..*count).map(stand).collect()
            }
            Some(RepeatShape::Circle { count, middle }) => {
                let middle = middle.map_or(size * 0.5, place);
                let stand = |i: u32| {
                    let turn = TAU * f64::from(i) / f64::from(*count);
                    own(middle + (at - middle).rotated(turn), turn)
                };
                (0..*count).map(stand).collect()
            }
        };
        if self.pair {
            let flip = Frame::new(point(size.x, 0.0), 0.0, 1.0, true);
            let others: Vec<Frame> = all.iter().map(|one| flip.of(one)).collect();
            all.extend(others);
        }
        all
    }

    /// How it meets the ground.
    #[must_use]
    pub fn meeting(&self) -> Meeting {
        match (self.set_in, self.blend) {
            (Some(by), _) => Meeting::SetIn(by.0),
            (None, Some(over)) => Meeting::Blended(over.0),
            (None, None) => Meeting::Added,
        }
    }
}

fn place(p: [Length; 2]) -> Point {
    point(p[0].0, p[1].0)
}
