//! The solid that a turning cutter sweeps: its end, its flutes, its holder.

use crate::shop::{Cutter, CutterShape};

/// A cutter as a body of revolution, mm, with its tip at the origin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Body {
    /// Over the flutes.
    pub(super) radius: f64,
    /// Radius of the flat middle of its end; zero for pointed and round ends.
    pub(super) flat: f64,
    end: End,
    pub(super) flute_length: f64,
    /// From the tip up to the holder's face.
    pub(super) stick_out: f64,
    pub(super) holder_radius: f64,
}

/// The form of the end beyond its flat middle.
#[derive(Clone, Copy, Debug, PartialEq)]
enum End {
    Square,
    /// A quarter round of this radius beyond the flat.
    Round(f64),
    /// A cone: rise per mm of radius beyond the flat.
    Cone(f64),
    /// A ball of this radius that runs into a cone of this rise.
    TaperBall(f64, f64),
}

impl Body {
    /// The body of a cutter of the table.
    pub(super) fn of(cutter: &Cutter) -> Body {
        let radius = cutter.radius();
        let tip = cutter.tip_diameter.0 / 2.0;
        // Half the cone's angle; an angle that makes no cone gives a square end.
        let half = cutter.included_angle.0 / 2.0;
        let rise = (half > 0.0 && half < std::f64::consts::FRAC_PI_2).then(|| 1.0 / half.tan());
        let (flat, end) = match (cutter.shape, rise) {
            (CutterShape::Ball, _) => (0.0, End::Round(radius)),
            (CutterShape::BullNose, _) => {
                let corner = cutter.corner_radius.0.clamp(0.0, radius);
                (radius - corner, End::Round(corner))
            }
            (CutterShape::V, Some(rise)) => (tip.min(radius), End::Cone(rise)),
            (CutterShape::Drill, Some(rise)) => (0.0, End::Cone(rise)),
            (CutterShape::TaperBall, Some(rise)) => (0.0, End::TaperBall(tip.min(radius), rise)),
            (CutterShape::TaperBall, None) => (0.0, End::Round(radius)),
            (CutterShape::Flat | CutterShape::V | CutterShape::Drill, _) => (radius, End::Square),
        };
        Body {
            radius,
            flat,
            end,
            flute_length: cutter.flute_length.0,
            stick_out: cutter.stick_out.0,
            holder_radius: cutter.holder_diameter.0 / 2.0,
        }
    }

    /// A body for a cutter that nobody named: its axis only.
    pub(super) fn axis_only() -> Body {
        Body {
            radius: 0.0,
            flat: 0.0,
            end: End::Square,
            flute_length: f64::INFINITY,
            stick_out: f64::INFINITY,
            holder_radius: 0.0,
        }
    }

    /// Height of the end's surface above the tip, at this distance from the axis; beyond the
    /// radius that at the radius.
    pub(super) fn rise(&self, distance: f64) -> f64 {
        let out = (distance.min(self.radius) - self.flat).max(0.0);
        match self.end {
            End::Square => 0.0,
            End::Round(r) => quarter(r, out),
            End::Cone(rise) => out * rise,
            End::TaperBall(ball, rise) => {
                // The cone touches the ball where the ball's slope is the cone's.
                let slope = rise.hypot(1.0);
                let touch = ball * rise / slope;
                match out <= touch {
                    true => quarter(ball, out),
                    false => quarter(ball, touch) + (out - touch) * rise,
                }
            }
        }
    }
}

/// Height of a quarter round of radius `r` at `out` from its lowest point.
fn quarter(r: f64, out: f64) -> f64 {
    let out = out.min(r);
    r - (r * r - out * out).max(0.0).sqrt()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::shop::CutterMaterial;
    use crate::units::{Angle, Length};
    use approx::assert_relative_eq;

    fn cutter(shape: CutterShape, diameter: f64, angle: f64, tip: f64) -> Cutter {
        Cutter {
            number: 1,
            name: String::new(),
            shape,
            diameter: Length(diameter),
            flutes: 2,
            flute_length: Length(20.0),
            stick_out: Length(30.0),
            holder_diameter: Length(40.0),
            corner_radius: Length(1.0),
            included_angle: Angle(angle.to_radians()),
            tip_diameter: Length(tip),
            centre_cutting: true,
            max_rpm: 24_000.0,
            material: CutterMaterial::Carbide,
        }
    }

    #[test]
    fn a_v_cutter_opens_as_its_angle_says() {
        // Closed form: depth of a groove of width w is (w/2) / tan(g/2); w 10 at 60 deg: 8.6603.
        let v = Body::of(&cutter(CutterShape::V, 20.0, 60.0, 0.0));
        assert_relative_eq!(v.rise(5.0), 8.6603, epsilon = 1e-4);
    }

    #[test]
    fn a_ball_rises_by_its_sagitta() {
        // Closed form: r - sqrt(r^2 - d^2), r 3, d 0.5: 0.041960.
        let ball = Body::of(&cutter(CutterShape::Ball, 6.0, 0.0, 0.0));
        assert_relative_eq!(ball.rise(0.5), 0.041_960, epsilon = 1e-6);
        assert_relative_eq!(ball.rise(3.0), 3.0);
        assert_relative_eq!(ball.rise(9.0), 3.0);
    }

    #[test]
    fn a_taper_ball_runs_smoothly_into_its_cone() {
        let taper = Body::of(&cutter(CutterShape::TaperBall, 6.0, 20.0, 2.0));
        // Closed form: ball of radius 1, half angle 10 deg, touching at r cos 10 = 0.984808,
        // height 1 - sin 10 = 0.826352, then 1/tan 10 = 5.671282 per mm.
        assert_relative_eq!(taper.rise(0.984_807_753), 0.826_351_822, epsilon = 1e-6);
        assert_relative_eq!(
            taper.rise(1.984_807_753),
            0.826_351_822 + 5.671_281_82,
            epsilon = 1e-6
        );
    }

    #[test]
    fn a_square_end_is_flat_and_a_bull_nose_only_in_the_middle() {
        assert_relative_eq!(Body::of(&cutter(CutterShape::Flat, 6.0, 0.0, 0.0)).rise(2.9), 0.0);
        let bull = Body::of(&cutter(CutterShape::BullNose, 6.0, 0.0, 0.0));
        assert_relative_eq!(bull.rise(2.0), 0.0);
        assert_relative_eq!(bull.rise(3.0), 1.0);
    }
}
