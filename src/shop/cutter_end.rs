//! How wide a cutter's end is, and what section of wood it takes.

use super::{Cutter, CutterShape};

/// Slices that a section is summed over; within 0.1 % of the closed form for a half ball.
const SLICES: u32 = 256;

impl Cutter {
    /// Width, mm, of the cutter at `height` mm above its tip (closed form: circle and cone).
    /// A drill counts as square.
    #[must_use]
    pub fn width_at(&self, height: f64) -> f64 {
        let height = height.max(0.0);
        let (width, tip) = (self.diameter.0, self.tip_diameter.0);
        let open = match self.shape {
            CutterShape::Flat | CutterShape::Drill => width,
            CutterShape::Ball => chord(width / 2.0, height),
            CutterShape::BullNose => {
                let corner = self.corner_radius.0;
                width - 2.0 * corner + chord(corner, height)
            }
            CutterShape::V => tip + 2.0 * height * self.half_angle().tan(),
            CutterShape::TaperBall => {
                let (ball, half) = (tip / 2.0, self.half_angle());
                // The cone touches the ball where the ball's side has the cone's slope.
                let touch = ball * (1.0 - half.sin());
                match height <= touch {
                    true => chord(ball, height),
                    false => 2.0 * (ball * half.cos() + (height - touch) * half.tan()),
                }
            }
        };
        open.min(width)
    }

    /// Section of the groove, mm2, that a pass `depth` mm deep takes out of full wood.
    #[must_use]
    pub fn groove_section(&self, depth: f64) -> f64 {
        if matches!(self.shape, CutterShape::Flat | CutterShape::Drill) {
            return self.diameter.0 * depth;
        }
        let slice = depth / f64::from(SLICES);
        let widths = (0..SLICES).map(|i| self.width_at((f64::from(i) + 0.5) * slice));
        widths.sum::<f64>() * slice
    }

    /// Half the cone's full angle, radians.
    fn half_angle(&self) -> f64 {
        self.included_angle.0 / 2.0
    }
}

/// Chord of a circle at `height` above its lowest point: 2 sqrt(a (2r - a)); past the middle
/// its diameter.
fn chord(radius: f64, height: f64) -> f64 {
    let a = height.min(radius);
    2.0 * (a * (2.0 * radius - a)).max(0.0).sqrt()
}
