//! The forms of a cutter's end as the envelopes see them: for a slope of travel, where on the
//! stroke the cutter stands when it cuts a cell lowest, and how high its edge is there.
//!
//! Take a straight stroke that rises by m for each millimetre along, a cell `u` along and `v`
//! across. The edge over the cell from a tip at `s` is `m s + h(sqrt((u - s)² + v²))`, convex in
//! s because the section h is convex and does not fall. Without ends it is least at
//! `s = u - back(v)` on a stroke that goes up, and back depends on v alone; with ends, at the nearest place that the
//! stroke has, again because it is convex. So the whole stroke is exact with one clamp.

use super::real::Real;
use super::section::{Form, Section, tangency};

/// Cells computed side by side.
pub(super) const LANES: usize = crate::geometry::height_field::GROUP;

/// One value for each of the cells computed side by side.
pub(super) type Lanes<N> = [N; LANES];

/// Stands for "to the rim" in `back`: more than any cutter's radius.
const TO_THE_RIM: f64 = 1e9;

/// A form in one precision, for one slope of travel.
pub(super) trait End<N: Real>: Copy + Send + Sync {
    /// From the measures, for a stroke that rises by `slope`, rise over run, or is level.
    fn new(section: &Section, slope: f64) -> Self;
    /// How far behind the cell, on the low side, the tip stands when it cuts the cell lowest:
    /// from zero to the half chord, for the squares of the distances across.
    fn back(&self, v2: &Lanes<N>) -> Lanes<N>;
    /// Height of the edge above the tip, for the square of the distance from the axis.
    fn rise(&self, r2: N) -> N;

    /// Whether [`End::round`] says the same without a root.
    const ROUND: bool = false;

    /// For a ball: where on the stroke to take the tip's height, and the square of how far below
    /// the ball's centre, at that height, the edge is; negative where the ball does not pass.
    fn round(&self, _at: Cell<N>) -> (N, N) {
        (N::ZERO, N::ZERO)
    }
}

/// A cell and the line from `start` to `end`, all along the line; the square of how far aside.
#[derive(Clone, Copy)]
pub(super) struct Cell<N> {
    pub(super) u: N,
    pub(super) v2: N,
    pub(super) start: N,
    pub(super) end: N,
}

/// A kind of form: its two precisions.
pub(super) trait Kind {
    type Fast: End<f32>;
    type Fine: End<f64>;
}

macro_rules! kinds {
    ($($kind:ident: $end:ident;)*) => { $(
        pub(super) struct $kind;
        impl Kind for $kind {
            type Fast = $end<f32>;
            type Fine = $end<f64>;
        }
    )* };
}

kinds! {
    FlatKind: Flat;
    BallKind: Ball;
    BullKind: Bull;
    ConeKind: Cone;
    TaperBallKind: TaperBall;
}

#[inline(always)]
fn each<N: Real>(v2: &Lanes<N>, f: impl Fn(N) -> N) -> Lanes<N> {
    let mut out = *v2;
    for value in &mut out {
        *value = f(*value);
    }
    out
}

/// Length of the other side of a right triangle, zero if there is none.
#[inline(always)]
fn leg<N: Real>(hypotenuse2: N, side2: N) -> N {
    (hypotenuse2 - side2).most(N::ZERO).sqrt()
}

/// Level bottom: least at the rim on the low side.
#[derive(Clone, Copy)]
pub(super) struct Flat<N> {
    radius2: N,
}

impl<N: Real> End<N> for Flat<N> {
    fn new(section: &Section, _slope: f64) -> Flat<N> {
        Flat { radius2: N::of(section.radius().powi(2)) }
    }

    #[inline(always)]
    fn back(&self, v2: &Lanes<N>) -> Lanes<N> {
        each(
            v2,
            #[inline(always)]
            |v2| leg(self.radius2, v2),
        )
    }

    #[inline(always)]
    fn rise(&self, _r2: N) -> N {
        N::ZERO
    }
}

/// Half ball: where the tangent has the slope of travel, `w = m ρ / sqrt(1 + m²)` with ρ the
/// half chord.
#[derive(Clone, Copy)]
pub(super) struct Ball<N> {
    radius: N,
    radius2: N,
    share: N,
    /// The squares of the share, and of the slope's length for a run of one.
    share2: N,
    stretch2: N,
}

impl<N: Real> Ball<N> {
    fn of(radius: f64, slope: f64) -> Ball<N> {
        Ball {
            radius: N::of(radius),
            radius2: N::of(radius * radius),
            share: N::of(slope / (1.0 + slope * slope).sqrt()),
            share2: N::of(slope * slope / (1.0 + slope * slope)),
            stretch2: N::of(1.0 + slope * slope),
        }
    }

    #[inline(always)]
    fn back_one(&self, v2: N) -> N {
        self.share * leg(self.radius2, v2)
    }
}

impl<N: Real> End<N> for Ball<N> {
    fn new(section: &Section, slope: f64) -> Ball<N> {
        Ball::of(section.radius(), slope)
    }

    #[inline(always)]
    fn back(&self, v2: &Lanes<N>) -> Lanes<N> {
        each(
            v2,
            #[inline(always)]
            |v2| self.back_one(v2),
        )
    }

    #[inline(always)]
    fn rise(&self, r2: N) -> N {
        self.radius - leg(self.radius2, r2)
    }

    const ROUND: bool = true;

    /// Between the ends the edge is `m u + r - sqrt(1 + m²) ρ`; whether the cutter's place
    /// `u - m ρ / sqrt(1 + m²)` is between them is told by squares.
    #[inline(always)]
    fn round(&self, at: Cell<N>) -> (N, N) {
        let half2 = self.radius2 - at.v2;
        let back2 = self.share2 * half2;
        // Squares with their sign: what lies before an end is less than any square.
        let signed = |off: N| off * off.abs();
        let before = signed(at.u - at.start) <= back2;
        let end = if before { at.start } else { at.end };
        let off2 = signed(at.u - end);
        let beyond = before | (off2 >= back2);
        let s = if beyond { end } else { at.u };
        let square = if beyond { half2 - off2.abs() } else { self.stretch2 * half2 };
        (s, square)
    }
}

/// Cone over a flat tip: with q = |m| / slope, on the line `w = |v| q / sqrt(1 - q²)` of the
/// cone, or on the edge of the tip if that lies inside it, or at the rim when travel is steeper
/// than the cone.
#[derive(Clone, Copy)]
pub(super) struct Cone<N> {
    radius2: N,
    tip: N,
    tip2: N,
    slope: N,
    fan: N,
    rim: N,
}

impl<N: Real> Cone<N> {
    fn of(radius: f64, tip: f64, slope: f64, travel: f64) -> Cone<N> {
        let q = travel / slope;
        let (fan, rim) = if q < 1.0 { (q / (1.0 - q * q).sqrt(), 0.0) } else { (0.0, TO_THE_RIM) };
        Cone {
            radius2: N::of(radius * radius),
            tip: N::of(tip),
            tip2: N::of(tip * tip),
            slope: N::of(slope),
            fan: N::of(fan.min(TO_THE_RIM)),
            rim: N::of(rim),
        }
    }

    #[inline(always)]
    fn back_one(&self, v2: N) -> N {
        let on_cone = self.fan * v2.sqrt() + self.rim;
        on_cone.most(leg(self.tip2, v2)).least(leg(self.radius2, v2))
    }
}

impl<N: Real> End<N> for Cone<N> {
    fn new(section: &Section, travel: f64) -> Cone<N> {
        match section.form {
            Form::Cone { radius, tip, slope } => Cone::of(radius, tip, slope, travel),
            _ => Cone::of(section.radius(), 0.0, 1.0, travel),
        }
    }

    #[inline(always)]
    fn back(&self, v2: &Lanes<N>) -> Lanes<N> {
        each(
            v2,
            #[inline(always)]
            |v2| self.back_one(v2),
        )
    }

    #[inline(always)]
    fn rise(&self, r2: N) -> N {
        self.slope * (r2.sqrt() - self.tip).most(N::ZERO)
    }
}

/// Ball that runs into a cone: the ball's place if that lies on the ball, else the cone's.
#[derive(Clone, Copy)]
pub(super) struct TaperBall<N> {
    ball: Ball<N>,
    cone: Cone<N>,
    /// Square of the distance from the axis where they meet.
    meet2: N,
    /// Height above the tip there.
    height: N,
}

impl<N: Real> End<N> for TaperBall<N> {
    fn new(section: &Section, travel: f64) -> TaperBall<N> {
        let (radius, ball, slope) = match section.form {
            Form::TaperBall { radius, ball, slope } => (radius, ball, slope),
            _ => (section.radius(), section.radius(), 1.0),
        };
        let (meet, height) = tangency(ball, slope);
        TaperBall {
            ball: Ball::of(ball, travel),
            cone: Cone::of(radius, meet, slope, travel),
            meet2: N::of(meet * meet),
            height: N::of(height),
        }
    }

    #[inline(always)]
    fn back(&self, v2: &Lanes<N>) -> Lanes<N> {
        each(
            v2,
            #[inline(always)]
            |v2| {
                let (ball, cone) = (self.ball.back_one(v2), self.cone.back_one(v2));
                if v2 + ball * ball <= self.meet2 { ball } else { cone }
            },
        )
    }

    #[inline(always)]
    fn rise(&self, r2: N) -> N {
        let (ball, cone) = (self.ball.rise(r2), self.height + self.cone.rise(r2));
        if r2 <= self.meet2 { ball } else { cone }
    }
}

/// Flat with rounded corners. The place on the corner solves a quartic; it is found by halving
/// from the side where the edge still falls. The last bracket is ρ / 2^n wide and the edge
/// falls in it by no more than |m| a millimetre, so the height is right within |m| ρ / 2^n.
#[derive(Clone, Copy)]
pub(super) struct Bull<N> {
    radius2: N,
    flat: N,
    corner: N,
    corner2: N,
    travel: N,
}

impl<N: Real> End<N> for Bull<N> {
    fn new(section: &Section, travel: f64) -> Bull<N> {
        let radius = section.radius();
        let corner = match section.form {
            Form::Bull { corner, .. } => corner,
            _ => radius,
        };
        Bull {
            radius2: N::of(radius * radius),
            flat: N::of(radius - corner),
            corner: N::of(corner),
            corner2: N::of(corner * corner),
            travel: N::of(travel),
        }
    }

    #[inline(always)]
    fn back(&self, v2: &Lanes<N>) -> Lanes<N> {
        let mut low = [N::ZERO; LANES];
        let mut width = each(
            v2,
            #[inline(always)]
            |v2| leg(self.radius2, v2),
        );
        let half = N::of(0.5);
        for _ in 0..N::HALVINGS {
            for lane in 0..LANES {
                width[lane] = width[lane] * half;
                let w = low[lane] + width[lane];
                let r = (v2[lane] + w * w).sqrt();
                let t = (r - self.flat).most(N::ZERO);
                // h'(r) w / r < |m| with h' = t / sqrt(c² - t²): the edge still falls.
                let falls = t * w < self.travel * r * leg(self.corner2, t * t);
                low[lane] = if falls { w } else { low[lane] };
            }
        }
        low
    }

    #[inline(always)]
    fn rise(&self, r2: N) -> N {
        let t = (r2.sqrt() - self.flat).most(N::ZERO);
        self.corner - leg(self.corner2, t * t)
    }
}
