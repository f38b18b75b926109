//! Colours that people with any common kind of colour vision can tell apart.
//!
//! Source: M. Okabe and K. Ito, Color Universal Design, 2008. Their eight colours; the tints
//! and shades of [`mixed`] are between two of them or between one and white.

/// A colour, red, green, blue, 0 to 255.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Colour(pub u8, pub u8, pub u8);

impl Colour {
    /// Black.
    pub const BLACK: Colour = Colour(0, 0, 0);
    /// Orange.
    pub const ORANGE: Colour = Colour(230, 159, 0);
    /// Sky blue.
    pub const SKY_BLUE: Colour = Colour(86, 180, 233);
    /// Bluish green.
    pub const BLUISH_GREEN: Colour = Colour(0, 158, 115);
    /// Yellow.
    pub const YELLOW: Colour = Colour(240, 228, 66);
    /// Blue.
    pub const BLUE: Colour = Colour(0, 114, 178);
    /// Vermilion.
    pub const VERMILION: Colour = Colour(213, 94, 0);
    /// Reddish purple.
    pub const REDDISH_PURPLE: Colour = Colour(204, 121, 167);
    /// The paper; not one of the eight.
    pub const WHITE: Colour = Colour(255, 255, 255);

    /// As SVG and CSS write it: `#0072b2`.
    #[must_use]
    pub fn hex(self) -> String {
        format!("#{:02x}{:02x}{:02x}", self.0, self.1, self.2)
    }

    /// Lightness as a grey printer gives it, 0 to 1 (Rec. 709 weights, without gamma).
    #[must_use]
    pub fn grey(self) -> f64 {
        (0.2126 * f64::from(self.0) + 0.7152 * f64::from(self.1) + 0.0722 * f64::from(self.2))
            / 255.0
    }
}

/// Between two colours: `share` 0 gives the first, 1 the second.
#[must_use]
pub fn mixed(a: Colour, b: Colour, share: f64) -> Colour {
    let share = if share.is_finite() { share.clamp(0.0, 1.0) } else { 0.0 };
    // A blend of two bytes is a byte.
    let part = |x: u8, y: u8| {
        (f64::from(x) + (f64::from(y) - f64::from(x)) * share).round().clamp(0.0, 255.0) as u8
    };
    Colour(part(a.0, b.0), part(a.1, b.1), part(a.2, b.2))
}
