//! Lines after ISO 128: what kind of line says what kind of edge. Conventions from memory of
//! the standard's names; widths are its series (0.13, 0.18, 0.25, 0.35, 0.5 mm), thick to
//! thin as two to one.

/// Width of thin lines, mm on paper.
pub(crate) const THIN: f64 = 0.18;
/// Width of thick lines, mm on paper.
pub(crate) const THICK: f64 = 0.36;

/// A kind of line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LineStyle {
    /// Continuous thick: visible edges.
    Visible,
    /// Continuous thin: dimension and extension lines, leaders, hatching.
    Thin,
    /// Dashed thin: hidden edges.
    Hidden,
    /// Long-dashed dotted thin: centre lines, axes.
    Centre,
    /// Long-dashed double-dotted thin: adjacent parts, such as clamps and stock.
    Adjacent,
}

impl LineStyle {
    /// Width, mm on paper.
    #[must_use]
    pub fn width(self) -> f64 {
        match self {
            LineStyle::Visible => THICK,
            _ => THIN,
        }
    }

    /// Lengths of dashes and gaps in turn, mm on paper; empty for a continuous line. In line
    /// widths: dash 12, long dash 24, gap 3. A dot is as long as the line is wide: half of
    /// that, as on paper, vanishes on a screen.
    #[must_use]
    pub fn dashes(self) -> Vec<f64> {
        let widths: &[f64] = match self {
            LineStyle::Visible | LineStyle::Thin => &[],
            LineStyle::Hidden => &[12.0, 3.0],
            LineStyle::Centre => &[24.0, 3.0, 1.0, 3.0],
            LineStyle::Adjacent => &[24.0, 3.0, 1.0, 3.0, 1.0, 3.0],
        };
        widths.iter().map(|w| w * self.width()).collect()
    }
}
