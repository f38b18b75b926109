//! The ground of a panel: a border from the edge inwards, mitred at the corners, and the field.

use crate::geometry::profile::Profile;
use crate::geometry::{Piece, Point, point};

/// One stage of a border, from the board's edge inwards.
#[derive(Clone, Debug, PartialEq)]
pub enum Stage {
    /// A level strip: a frame's face, a fillet.
    Level {
        /// Its width.
        width: f64,
    },
    /// An upright step down (negative: up).
    Step {
        /// How far down.
        drop: f64,
    },
    /// A straight slope down (negative: up): the bevel of a fielded panel.
    Bevel {
        /// Its width in plan.
        width: f64,
        /// How far down.
        drop: f64,
    },
    /// A moulding, its inner lower end against what lies further in.
    Moulding(Profile),
}

impl Stage {
    /// Width in plan.
    #[must_use]
    pub fn width(&self) -> f64 {
        match self {
            Stage::Level { width } | Stage::Bevel { width, .. } => *width,
            Stage::Step { .. } => 0.0,
            Stage::Moulding(profile) => profile.height(),
        }
    }

    /// How far down it leads.
    #[must_use]
    pub fn drop(&self) -> f64 {
        match self {
            Stage::Level { .. } => 0.0,
            Stage::Step { drop } | Stage::Bevel { drop, .. } => *drop,
            Stage::Moulding(profile) => profile.elements.last().map_or(0.0, |e| e.to.x),
        }
    }

    /// Height over its inner end at `inward` from its outer end.
    fn height(&self, inward: f64) -> f64 {
        match self {
            Stage::Level { .. } | Stage::Step { .. } => 0.0,
            Stage::Bevel { width, drop } => drop * (1.0 - inward / width),
            Stage::Moulding(profile) => {
                let up = profile.height() - inward;
                let out = profile.face.pieces().filter_map(|p| out_at(&p, up));
                out.fold(f64::NEG_INFINITY, f64::max)
            }
        }
    }
}

/// How far out a piece of a profile stands at height `up`; the outermost of two.
fn out_at(piece: &Piece, up: f64) -> Option<f64> {
    let (low, high) = (piece.from.y.min(piece.to.y), piece.from.y.max(piece.to.y));
    let Some(center) = piece.center() else {
        // A hair on both sides, so that no height falls between two pieces.
        if up < low - 1e-9 || up > high + 1e-9 {
            return None;
        }
        if high - low < 1e-9 {
            return Some(piece.from.x.max(piece.to.x));
        }
        let share = ((up - piece.from.y) / (piece.to.y - piece.from.y)).clamp(0.0, 1.0);
        return Some(piece.from.x + share * (piece.to.x - piece.from.x));
    };
    let off = up - center.y;
    let half = (piece.radius().powi(2) - off * off).max(0.0).sqrt();
    let on = |x: f64| {
        let p = point(x, up);
        (piece.at(piece.nearest_share(p)).distance(p) < 1e-6).then_some(x)
    };
    on(center.x + half).or_else(|| on(center.x - half))
}

/// Distance between two heights kept of a border's section, mm: an arc of 2 mm radius is met
/// within 0.000006 mm, and a step is that wide.
const STEP: f64 = 0.01;

/// Heights of the ground by distance from the board's edge.
#[derive(Clone, Debug, PartialEq)]
pub struct Ground {
    /// Height at every STEP of distance from the edge.
    heights: Vec<f64>,
    field: f64,
    width: f64,
}

impl Ground {
    /// The ground with a border of `stages`, from the edge inwards.
    #[must_use]
    pub fn new(stages: &[Stage]) -> Ground {
        let width: f64 = stages.iter().map(Stage::width).sum();
        let mut heights = Vec::with_capacity((width / STEP) as usize + 2);
        let (mut top, mut start) = (0.0, 0.0);
        for stage in stages {
            let end = start + stage.width();
            while (heights.len() as f64) * STEP < end {
                let inward = (heights.len() as f64 * STEP - start).max(0.0);
                heights.push(top - stage.drop() + stage.height(inward));
            }
            (top, start) = (top - stage.drop(), end);
        }
        heights.push(top);
        heights.push(top);
        Ground { heights, field: top, width }
    }

    /// Height of the field.
    #[must_use]
    pub fn field(&self) -> f64 {
        self.field
    }

    /// From the edge to the field.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.width
    }

    /// Height at a distance from the edge.
    #[inline]
    #[must_use]
    pub fn height(&self, from_edge: f64) -> f64 {
        if from_edge >= self.width {
            return self.field;
        }
        let place = (from_edge / STEP).max(0.0);
        // Below the width, hence below the last two entries.
        let i = (place as usize).min(self.heights.len() - 2);
        let share = place - i as f64;
        self.heights[i] + (self.heights[i + 1] - self.heights[i]) * share
    }

    /// Height at a place of a board of this size: mitred, each side meets the next at 45 degrees.
    #[inline]
    #[must_use]
    pub fn at(&self, p: Point, size: Point) -> f64 {
        self.height(p.x.min(size.x - p.x).min(p.y).min(size.y - p.y))
    }
}
