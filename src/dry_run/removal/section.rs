//! The section of a cutter: how high its edge stands above its tip, by distance from its axis.

use crate::diagnostic::Diagnostic;
use crate::shop::{Cutter, CutterShape};
use std::f64::consts::{PI, TAU};

/// The lower outline of a turning cutter, a convex function of the distance from its axis:
/// zero at the tip, rising to its radius, nothing beyond.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section {
    pub(super) form: Form,
}

/// The measures of a section, millimetres; slopes are rise over run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Form {
    Flat { radius: f64 },
    Ball { radius: f64 },
    Bull { radius: f64, corner: f64 },
    Cone { radius: f64, tip: f64, slope: f64 },
    TaperBall { radius: f64, ball: f64, slope: f64 },
}

impl Section {
    /// Of a cutter of the table.
    ///
    /// # Errors
    /// A sentence with what is allowed, when the measures do not make such a cutter.
    pub fn of(cutter: &Cutter) -> Result<Section, Diagnostic> {
        let (radius, angle) = (cutter.radius(), cutter.included_angle.0);
        let tip = cutter.tip_diameter.0 / 2.0;
        let made = match cutter.shape {
            CutterShape::Flat => Section::flat(radius),
            CutterShape::Ball => Section::ball(radius),
            CutterShape::BullNose => Section::bull_nose(radius, cutter.corner_radius.0),
            CutterShape::V => Section::cone(radius, tip, angle),
            CutterShape::Drill => Section::cone(radius, 0.0, angle),
            CutterShape::TaperBall => Section::taper_ball(radius, tip, angle),
        };
        made.map_err(|mut fault| {
            fault.message = format!("{}: {}", cutter.title(), fault.message);
            fault
        })
    }

    /// Square end; also a holder or a collet seen from below.
    ///
    /// # Errors
    /// If the radius is not above zero.
    pub fn flat(radius: f64) -> Result<Section, Diagnostic> {
        whole(radius)?;
        Ok(Section { form: Form::Flat { radius } })
    }

    /// Half ball.
    ///
    /// # Errors
    /// If the radius is not above zero.
    pub fn ball(radius: f64) -> Result<Section, Diagnostic> {
        whole(radius)?;
        Ok(Section { form: Form::Ball { radius } })
    }

    /// Flat with corners rounded to `corner`.
    ///
    /// # Errors
    /// If the corner is not above zero and at most the radius.
    pub fn bull_nose(radius: f64, corner: f64) -> Result<Section, Diagnostic> {
        whole(radius)?;
        if !(corner > 0.0 && corner <= radius) {
            return Err(refused("corner radius", corner, radius));
        }
        Ok(Section { form: Form::Bull { radius, corner } })
    }

    /// Cone of the full angle `angle` above a flat of radius `tip`.
    ///
    /// # Errors
    /// If the angle is not between 0 and 180 degrees or the tip not less than the radius.
    pub fn cone(radius: f64, tip: f64, angle: f64) -> Result<Section, Diagnostic> {
        whole(radius)?;
        let slope = cone_slope(angle)?;
        if !(0.0..radius).contains(&tip) {
            return Err(refused("radius of the flat tip", tip, radius));
        }
        Ok(Section { form: Form::Cone { radius, tip, slope } })
    }

    /// Cone of the full angle `angle`, touching a ball of radius `ball` at its end.
    ///
    /// # Errors
    /// If the angle is not between 0 and 180 degrees, or the ball not above zero and at most
    /// the radius.
    pub fn taper_ball(radius: f64, ball: f64, angle: f64) -> Result<Section, Diagnostic> {
        whole(radius)?;
        let slope = cone_slope(angle)?;
        if !(ball > 0.0 && ball <= radius) {
            return Err(refused("radius of the ball", ball, radius));
        }
        Ok(Section { form: Form::TaperBall { radius, ball, slope } })
    }

    /// Greatest distance from the axis.
    #[must_use]
    pub fn radius(&self) -> f64 {
        match self.form {
            Form::Flat { radius }
            | Form::Ball { radius }
            | Form::Bull { radius, .. }
            | Form::Cone { radius, .. }
            | Form::TaperBall { radius, .. } => radius,
        }
    }

    /// Height above the tip at distance `r` from the axis; `None` beyond the radius.
    #[must_use]
    pub fn height(&self, r: f64) -> Option<f64> {
        (r <= self.radius()).then(|| self.rise(r))
    }

    /// No cell is cut lowest from further behind it, on a stroke that rises by `slope`: see
    /// [`super::form`].
    pub(super) fn greatest_back(&self, slope: f64) -> f64 {
        match self.form {
            Form::Ball { radius } => radius * slope / (1.0 + slope * slope).sqrt(),
            _ if slope == 0.0 => 0.0,
            _ => self.radius(),
        }
    }

    /// [`Section::height`], taken as at the radius when `r` is beyond it by rounding.
    pub(super) fn rise(&self, r: f64) -> f64 {
        let round = |c: f64, t: f64| c - (c * c - t * t).max(0.0).sqrt();
        match self.form {
            Form::Flat { .. } => 0.0,
            Form::Ball { radius } => round(radius, r),
            Form::Bull { radius, corner } => round(corner, (r - (radius - corner)).max(0.0)),
            Form::Cone { tip, slope, .. } => slope * (r - tip).max(0.0),
            Form::TaperBall { ball, slope, .. } => {
                let (r0, h0) = tangency(ball, slope);
                if r <= r0 { round(ball, r) } else { h0 + slope * (r - r0) }
            }
        }
    }

    /// The same end with its rim `by` nearer to the axis: it lies within this one. `None` if
    /// nothing is left of it.
    pub(in crate::dry_run) fn narrower(&self, by: f64) -> Option<Section> {
        let radius = self.radius() - by;
        let form = match self.form {
            Form::Flat { .. } => Form::Flat { radius },
            Form::Ball { .. } => Form::Ball { radius },
            Form::Bull { corner, .. } => Form::Bull { radius, corner: corner.min(radius) },
            Form::Cone { tip, slope, .. } => Form::Cone { radius, tip: tip.min(radius), slope },
            Form::TaperBall { ball, .. } if ball >= radius => Form::Ball { radius },
            Form::TaperBall { ball, slope, .. } => Form::TaperBall { radius, ball, slope },
        };
        (radius > 0.0).then_some(Section { form })
    }

    /// Width of what the end resolves: the diameter, or that of the ball of a taper-ball.
    /// [`crate::geometry::height_field::Resolution`] takes the least of all cutters.
    #[must_use]
    pub fn feature(&self) -> f64 {
        match self.form {
            Form::TaperBall { ball, .. } => 2.0 * ball,
            _ => 2.0 * self.radius(),
        }
    }
}

/// Where a ball meets the cone that touches it: distance from the axis, height above the tip.
/// With half angle a: `r = b cos a`, `h = b (1 - sin a)`, and the slope is cot a.
pub(super) fn tangency(ball: f64, slope: f64) -> (f64, f64) {
    let sine = 1.0 / slope.hypot(1.0);
    (ball * slope * sine, ball * (1.0 - sine))
}

/// Rise over run of a cone of this full angle.
fn cone_slope(angle: f64) -> Result<f64, Diagnostic> {
    if angle > 0.0 && angle < PI {
        return Ok(1.0 / (angle / 2.0).tan());
    }
    let degrees = angle * 360.0 / TAU;
    Err(Diagnostic::error(format!("the included angle of {degrees:.1} deg makes no cone"))
        .help("give the full angle of the cone, above 0 and below 180 deg"))
}

fn whole(radius: f64) -> Result<(), Diagnostic> {
    if radius > 0.0 && radius.is_finite() {
        return Ok(());
    }
    Err(Diagnostic::error(format!("the diameter of {:.3} mm makes no cutter", 2.0 * radius))
        .help("give a diameter above zero"))
}

fn refused(what: &str, value: f64, most: f64) -> Diagnostic {
    Diagnostic::error(format!(
        "the {what} of {value:.3} mm does not fit a cutter of radius {most:.3} mm"
    ))
    .help(format!("give a {what} above 0 and no more than {most:.3} mm"))
}
