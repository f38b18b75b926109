//! An SVG page's units and transforms.

use super::Options;
use super::path_data::Scanner;
use crate::units::INCH;
use resvg::usvg::roxmltree::Node;

/// A map of the plane.
pub(super) type Map = kurbo::Affine;

/// Millimetres in a px (CSS Values 3, section 6.2: 96 to the inch).
const PX: f64 = INCH / 96.0;

/// Millimetres in one of a unit; a bare number is in px.
fn unit(name: &str) -> Option<f64> {
    Some(match name {
        "" | "px" => PX,
        "mm" => 1.0,
        "cm" => 10.0,
        "in" => INCH,
        "pt" => INCH / 72.0,
        "pc" => INCH / 6.0,
        "Q" | "q" => 0.25,
        _ => return None,
    })
}

/// A length with its unit's name, if that is all there is.
fn measure(text: &str) -> Option<(f64, &str)> {
    let mut scan = Scanner::new(text);
    let value = scan.number()?;
    let name = scan.word();
    scan.done().then_some((value, name))
}

/// A length inside the drawing, in user units, which are px before any transform.
pub(super) fn user_length(text: &str) -> Option<f64> {
    let (value, name) = measure(text)?;
    Some(value * unit(name)? / PX)
}

/// From user units to millimetres with y up, the origin at the page's lower left corner.
///
/// # Errors
/// What is wrong with the page's size, and a way out.
pub(super) fn map(root: Node, options: &Options) -> Result<Map, (String, String)> {
    let view = match root.attribute("viewBox") {
        None => None,
        Some(text) => Some(view_box(text).ok_or_else(|| {
            let wanted = "four numbers: x, y, and a width and a height over 0";
            (format!("`{text}` is no `viewBox`"), wanted.to_string())
        })?),
    };
    let size = |key| side(root, key);
    let (width, height) = (size("width")?, size("height")?);
    let stretched = root.attribute("preserveAspectRatio").is_some_and(|p| p.contains("none"));
    let scale = match (options.units, view, width, height) {
        (Some(unit), ..) => (unit.mm(), unit.mm()),
        (None, None, None, None) | (None, Some(_), None, None) => {
            return Err((
                "the drawing has no units: its `svg` has no `width` and `height`".to_string(),
                "give them with mm or in, or say the units of a user unit".to_string(),
            ));
        }
        (None, None, ..) => (PX, PX),
        (None, Some(view), ..) => {
            let x = width.map(|w| w / view[2]);
            let y = height.map(|h| h / view[3]);
            let (x, y) = (x.or(y).unwrap_or(PX), y.or(x).unwrap_or(PX));
            if stretched { (x, y) } else { (x.min(y), x.min(y)) }
        }
    };
    let [left, top, _, tall] = view.unwrap_or([0.0, 0.0, 0.0, height.map_or(0.0, |h| h / PX)]);
    let (x, y) = scale;
    Ok(Map::new([x, 0.0, 0.0, -y, -left * x, (top + tall) * y]))
}

/// A side of the page, mm; a share of the window it is shown in says nothing.
fn side(root: Node, key: &str) -> Result<Option<f64>, (String, String)> {
    let Some(text) = root.attribute(key).filter(|t| !t.trim_end().ends_with('%') && *t != "auto")
    else {
        return Ok(None);
    };
    let known = measure(text).and_then(|(value, name)| Some(value * unit(name)?));
    known.filter(|mm| *mm > 0.0).map(Some).ok_or_else(|| {
        let help = "more than 0, with mm, cm, in, pt, pc or px (1/96 in)";
        (format!("`{text}` is no {key} for a page"), help.to_string())
    })
}

fn view_box(text: &str) -> Option<[f64; 4]> {
    let mut scan = Scanner::new(text);
    let all = [scan.number()?, scan.number()?, scan.number()?, scan.number()?];
    (scan.done() && all[2] > 0.0 && all[3] > 0.0).then_some(all)
}

/// A list of transforms (SVG 1.1, section 7.6).
pub(super) fn transform(text: &str) -> Option<Map> {
    let mut scan = Scanner::new(text);
    let mut all = Map::IDENTITY;
    while !scan.done() {
        let name = scan.word();
        if !scan.take(b'(') {
            return None;
        }
        let mut n = Vec::new();
        while !scan.take(b')') {
            n.push(scan.number()?);
        }
        all *= one(name, &n)?;
    }
    Some(all)
}

fn one(name: &str, n: &[f64]) -> Option<Map> {
    Some(match (name, n) {
        ("matrix", &[a, b, c, d, e, f]) => Map::new([a, b, c, d, e, f]),
        ("translate", &[x]) => Map::translate((x, 0.0)),
        ("translate", &[x, y]) => Map::translate((x, y)),
        ("scale", &[s]) => Map::scale(s),
        ("scale", &[x, y]) => Map::scale_non_uniform(x, y),
        ("rotate", &[a]) => Map::rotate(a.to_radians()),
        ("rotate", &[a, x, y]) => Map::rotate_about(a.to_radians(), (x, y)),
        ("skewX", &[a]) => Map::skew(a.to_radians().tan(), 0.0),
        ("skewY", &[a]) => Map::skew(0.0, a.to_radians().tan()),
        _ => return None,
    })
}
