//! Heights from published proportions, offered when a header's own are not given.

use crate::diagnostic::Diagnostic;
use crate::units::MAX_LENGTH;

/// One offer for the whole entablature over a door: architrave (the head casing), frieze and
/// cornice (bed mould, cap and cymatium). Millimetres.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Offer {
    /// In a few words.
    pub name: &'static str,
    /// Whole height.
    pub whole: f64,
    /// Architrave.
    pub architrave: f64,
    /// Frieze.
    pub frieze: f64,
    /// Cornice.
    pub cornice: f64,
    /// Where it is published.
    pub source: &'static str,
}

/// Offers for a door whose order would stand `height` (mm) high, floor to the top of the jamb.
///
/// An entablature is about a quarter of the column (W. R. Ware, The American Vignola, p. 5), and
/// indoors a fifth (Chambers, in Rudiments of Ancient Architecture, 4th ed. 1810). Its parts are
/// his Ionic: ten parts, three for the architrave, three for the frieze, four for the cornice.
///
/// # Errors
/// If the height is no length.
pub fn offers(height: f64) -> Result<Vec<Offer>, Diagnostic> {
    if !(height > 0.0 && height <= MAX_LENGTH) {
        return Err(Diagnostic::error(format!("{height} mm is not the height of a door"))
            .key("header.height")
            .help(format!("more than 0 and at most {MAX_LENGTH} mm; 2000 to 2400 mm is usual")));
    }
    let offer = |name, share: f64, source| Offer {
        name,
        whole: height * share,
        architrave: height * share * 0.3,
        frieze: height * share * 0.3,
        cornice: height * share * 0.4,
        source,
    };
    Ok(vec![
        offer("a quarter of the height", 0.25, "Ware, The American Vignola, p. 5"),
        offer(
            "a fifth of the height, indoors",
            0.2,
            "Chambers, in Rudiments of Ancient Architecture, 4th ed. 1810",
        ),
    ])
}
