//! The end of a turning cutter, seen as a section: height of the edge above the tip.

use std::f64::consts::PI;

/// The lower outline of a cutter, a convex function of the distance from its axis: zero at
/// the tip, rising to its radius, nothing beyond. Millimetres; slopes are rise over run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CutterEnd {
    form: Form,
    radius: f64,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Form {
    /// A flat of radius `flat` with a corner of radius `corner`; a ball has no flat.
    Round { flat: f64, corner: f64 },
    /// A flat of radius `tip` within a cone.
    Cone { tip: f64, slope: f64 },
    /// A ball within a cone that touches it `meet` from the axis and `height` above the tip.
    TaperBall { ball: f64, slope: f64, meet: f64, height: f64 },
}

impl CutterEnd {
    /// Square end; `None` unless the radius is above zero.
    #[must_use]
    pub fn flat(radius: f64) -> Option<CutterEnd> {
        let form = Form::Round { flat: radius, corner: 0.0 };
        whole(radius).then_some(CutterEnd { form, radius })
    }

    /// Half ball; `None` unless the radius is above zero.
    #[must_use]
    pub fn ball(radius: f64) -> Option<CutterEnd> {
        let form = Form::Round { flat: 0.0, corner: radius };
        whole(radius).then_some(CutterEnd { form, radius })
    }

    /// Flat with rounded corners; `None` unless the corner is above zero and within the radius.
    #[must_use]
    pub fn bull_nose(radius: f64, corner: f64) -> Option<CutterEnd> {
        let form = Form::Round { flat: radius - corner, corner };
        (whole(radius) && whole(corner) && corner <= radius).then_some(CutterEnd { form, radius })
    }

    /// Cone of the full angle `angle`, radians, above a flat of radius `tip`; `None` unless
    /// the angle is between 0 and pi and the tip within the radius.
    #[must_use]
    pub fn cone(radius: f64, tip: f64, angle: f64) -> Option<CutterEnd> {
        let form = Form::Cone { tip, slope: 1.0 / (angle / 2.0).tan() };
        let sound = whole(radius) && (0.0..radius).contains(&tip) && angle > 0.0 && angle < PI;
        sound.then_some(CutterEnd { form, radius })
    }

    /// Cone of the full angle `angle`, radians, touching a ball of radius `ball` at its end;
    /// `None` unless the angle is between 0 and pi and the ball within the radius.
    #[must_use]
    pub fn taper_ball(radius: f64, ball: f64, angle: f64) -> Option<CutterEnd> {
        let (sine, cosine) = (angle / 2.0).sin_cos();
        let form = Form::TaperBall {
            ball,
            slope: cosine / sine,
            meet: ball * cosine,
            height: ball * (1.0 - sine),
        };
        let sound = whole(radius) && whole(ball) && ball <= radius && angle > 0.0 && angle < PI;
        sound.then_some(CutterEnd { form, radius })
    }

    /// Greatest distance from the axis.
    #[must_use]
    pub fn radius(&self) -> f64 {
        self.radius
    }

    /// Height of the edge above the tip at distance `r` from the axis; `None` beyond the radius.
    #[must_use]
    pub fn height(&self, r: f64) -> Option<f64> {
        let round = |c: f64, t: f64| c - (c * c - t * t).max(0.0).sqrt();
        (r <= self.radius).then(|| match self.form {
            Form::Round { flat, corner } => round(corner, (r - flat).max(0.0)),
            Form::Cone { tip, slope } => slope * (r - tip).max(0.0),
            Form::TaperBall { ball, slope, meet, height } => match r <= meet {
                true => round(ball, r),
                false => height + slope * (r - meet),
            },
        })
    }

    /// Radius of the ball that the end scallops with: infinite for a square end, zero for a
    /// cone's tip.
    #[must_use]
    pub fn nose(&self) -> f64 {
        match self.form {
            Form::Round { corner: 0.0, .. } => f64::INFINITY,
            Form::Round { corner, .. } => corner,
            Form::Cone { tip, .. } if tip > 0.0 => f64::INFINITY,
            Form::Cone { .. } => 0.0,
            Form::TaperBall { ball, .. } => ball,
        }
    }

    /// How far the tip may stand too low over a bilinear relief, where the end lies against a
    /// slope (rise over run) somewhere between nodes `cell` apart.
    ///
    /// On a round: `cell² / 8` times the sum of the section's second derivatives,
    /// `(1 + g²)^(3/2) / r` along the slope and `(1 + g²)^(1/2) / r` across it (closed form: the
    /// circle). At the tip of a cone: 0.1465 cells times its slope (closed form: four corners of
    /// a cell at 0, 1, 1 and the root of 2 against the root of 1/2 in the middle). Never more
    /// than what half a cell's diagonal makes on that slope: the nearest node is no farther.
    #[must_use]
    pub fn between_nodes(&self, cell: f64, slope: f64) -> f64 {
        let secant = slope.hypot(1.0);
        let round = |r: f64| cell * cell / 8.0 * (secant.powi(3) + secant) / r;
        let bend = match self.form {
            Form::Round { corner, .. } if corner > 0.0 => round(corner),
            Form::TaperBall { ball, .. } => round(ball),
            Form::Cone { slope, .. } => 0.1465 * cell * slope,
            Form::Round { .. } => f64::INFINITY,
        };
        bend.min(slope.abs() * cell * std::f64::consts::FRAC_1_SQRT_2)
    }

    /// Distance of passes, along the surface, that leave cusps of height `scallop` on a plane:
    /// `2 sqrt(2 r h - h²)` for a round of radius r (closed form), `2 h tan(a)` for a cone of
    /// half angle a. `None` for a square end, which leaves none.
    #[must_use]
    pub fn spacing(&self, scallop: f64) -> Option<f64> {
        match self.form {
            Form::Cone { slope, tip } => Some(2.0 * (scallop / slope + tip)),
            _ if self.nose().is_infinite() => None,
            _ => {
                let (r, h) = (self.nose(), scallop.min(self.nose()));
                Some(2.0 * (h * (2.0 * r - h)).sqrt())
            }
        }
    }

    /// The slope, rise over run, of the steepest face that the end can lie against.
    #[must_use]
    pub fn steepest(&self) -> f64 {
        match self.form {
            Form::Round { .. } => f64::INFINITY,
            Form::Cone { slope, .. } | Form::TaperBall { slope, .. } => slope,
        }
    }
}

fn whole(length: f64) -> bool {
    length > 0.0 && length.is_finite()
}
