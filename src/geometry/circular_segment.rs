//! The segment of a circle between an arc and its chord: what a bowed cap is made of.

use super::{Point, point};

/// A circular segment, given by chord and radius, no more than a half circle.
///
/// With chord c, rise s (the sagitta) and radius R: `R = (c²/4 + s²) / (2 s)`; the half angle
/// is `atan2(c/2, R - s)`. Closed form; the radius rule stands in R. G. Hatfield, The American
/// House Carpenter, art. 518.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CircularSegment {
    /// Straight distance between the ends of the arc.
    pub chord: f64,
    /// Greatest height of the arc over the chord.
    pub rise: f64,
    /// Radius of the arc.
    pub radius: f64,
}

impl CircularSegment {
    /// From chord and rise.
    ///
    /// # Errors
    /// A sentence with the number that would work, if the rise is more than half the chord.
    pub fn from_chord_and_rise(chord: f64, rise: f64) -> Result<CircularSegment, SegmentError> {
        positive(chord, SegmentError::Chord)?;
        positive(rise, SegmentError::Rise)?;
        if rise > chord / 2.0 + 1e-9 {
            return Err(SegmentError::RiseTooGreat { rise, most: chord / 2.0 });
        }
        let radius = (chord * chord / 4.0 + rise * rise) / (2.0 * rise);
        Ok(CircularSegment { chord, rise, radius })
    }

    /// From chord and radius; the lesser of the two arcs.
    ///
    /// # Errors
    /// If the radius is less than half the chord.
    pub fn from_chord_and_radius(chord: f64, radius: f64) -> Result<CircularSegment, SegmentError> {
        positive(chord, SegmentError::Chord)?;
        positive(radius, SegmentError::Radius)?;
        let half = chord / 2.0;
        if radius < half - 1e-9 {
            return Err(SegmentError::RadiusTooSmall { radius, least: half });
        }
        let middle = (radius * radius - half * half).max(0.0).sqrt();
        // Not `radius - middle`, which loses the digits of a flat arc.
        let rise = half * half / (radius + middle);
        Ok(CircularSegment { chord, rise, radius })
    }

    /// From rise and radius.
    ///
    /// # Errors
    /// If the rise is more than the radius.
    pub fn from_rise_and_radius(rise: f64, radius: f64) -> Result<CircularSegment, SegmentError> {
        positive(rise, SegmentError::Rise)?;
        positive(radius, SegmentError::Radius)?;
        if rise > radius + 1e-9 {
            return Err(SegmentError::RiseTooGreat { rise, most: radius });
        }
        let chord = 2.0 * (rise * (2.0 * radius - rise)).max(0.0).sqrt();
        Ok(CircularSegment { chord, rise, radius })
    }

    /// From three measured points: two ends and any third on the arc.
    ///
    /// # Errors
    /// If they lie on a line, coincide, or the arc through them is more than a half circle.
    pub fn from_three_points(
        a: Point,
        on: Point,
        b: Point,
    ) -> Result<CircularSegment, SegmentError> {
        let chord = a.distance(b);
        positive(chord, SegmentError::Chord)?;
        let twice_area = (b - a).cross(on - a).abs();
        let height = twice_area / chord;
        if height < 1e-6 {
            return Err(SegmentError::PointsInLine);
        }
        // The chord is seen from any point of the arc under the same angle (Euclid III.21), a
        // right angle or more on the lesser arc.
        let seen = (a - on).cross(b - on).abs().atan2((a - on).dot(b - on));
        let rise = chord / 2.0 / (seen / 2.0).tan();
        if seen < std::f64::consts::FRAC_PI_2 - 1e-9 {
            return Err(SegmentError::MoreThanHalf { chord, radius: chord / 2.0 / seen.sin() });
        }
        CircularSegment::from_chord_and_rise(chord, rise.min(chord / 2.0))
    }

    /// Half the angle that the arc subtends at its centre; also the slope of the arc against
    /// the chord at its ends.
    #[must_use]
    pub fn half_angle(&self) -> f64 {
        (self.chord / 2.0).atan2(self.radius - self.rise)
    }

    /// Length of the arc.
    #[must_use]
    pub fn arc_length(&self) -> f64 {
        2.0 * self.radius * self.half_angle()
    }

    /// Area between arc and chord.
    #[must_use]
    pub fn area(&self) -> f64 {
        let a = self.half_angle();
        self.radius * self.radius * (2.0 * a - (2.0 * a).sin()) / 2.0
    }

    /// tan(sweep / 4) of the arc.
    #[must_use]
    pub fn bulge(&self) -> f64 {
        2.0 * self.rise / self.chord
    }

    /// The saw setting, off square, for each piece where a return square to the chord meets
    /// the arc: half the turn of 90° less the half angle.
    #[must_use]
    pub fn return_mitre(&self) -> f64 {
        (std::f64::consts::FRAC_PI_2 - self.half_angle()) / 2.0
    }

    /// Height of the arc over the chord at `x` from the middle of the chord; zero outside.
    #[must_use]
    pub fn ordinate(&self, x: f64) -> f64 {
        let half = self.chord / 2.0;
        if x.abs() >= half {
            return 0.0;
        }
        let at_x = (self.radius * self.radius - x * x).sqrt();
        let at_end = self.radius - self.rise;
        // (at_x - at_end), written so that a flat arc keeps its digits.
        (half * half - x * x) / (at_x + at_end)
    }

    /// `(x, height)` at `count` + 1 even stations along the chord, x from the left end.
    #[must_use]
    pub fn stations(&self, count: usize) -> Vec<Point> {
        (0..=count)
            .map(|i| {
                let x = self.chord * i as f64 / count.max(1) as f64;
                point(x, self.ordinate(x - self.chord / 2.0))
            })
            .collect()
    }
}

fn positive(value: f64, error: SegmentError) -> Result<(), SegmentError> {
    if value > 0.0 && value.is_finite() { Ok(()) } else { Err(error) }
}

/// Why no arc fits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SegmentError {
    /// The chord is not more than zero.
    Chord,
    /// The rise is not more than zero.
    Rise,
    /// The radius is not more than zero.
    Radius,
    /// The arc would be more than a half circle and undercut its ends.
    RiseTooGreat {
        /// Asked.
        rise: f64,
        /// The greatest that works.
        most: f64,
    },
    /// No circle so small passes through both ends.
    RadiusTooSmall {
        /// Asked.
        radius: f64,
        /// The least that works.
        least: f64,
    },
    /// The three points lie on a line.
    PointsInLine,
    /// The three points lie on more than a half circle.
    MoreThanHalf {
        /// Distance between the ends.
        chord: f64,
        /// Radius through the three.
        radius: f64,
    },
}
