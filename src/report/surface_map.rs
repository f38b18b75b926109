//! A map of what is left against what was wanted: gouges, leftovers, and the greatest of each.

use crate::dry_run::{Map, Surface, Worst};
use crate::units::{Shown, decimal};
use std::fmt::Write;

/// Upper ends of the steps of a difference, mm; above the last all is one shade.
const STEPS: [f64; 2] = [0.2, 0.5];

/// Shades of a gouge and of a leftover, the least first: vermillion and blue of the Okabe-Ito
/// palette, lightened towards white.
const GOUGE: [&str; 3] = ["#f5c7a3", "#e58e4d", "#d55e00"];
const LEFT: [&str; 3] = ["#a3cbe3", "#4d9acb", "#0072b2"];
const WITHIN: &str = "#e6e6e6";

/// Width of the picture, and room beside the map for its legend, in pixels.
const WIDTH: f64 = 720.0;
const LEGEND: f64 = 190.0;

/// The map as SVG, to stand in a page.
pub(super) fn svg(surface: &Surface, name: &str, shown: Shown) -> String {
    let map = &surface.map;
    let rows = map.micrometres.len().checked_div(map.columns).unwrap_or(0);
    let scale = (WIDTH - LEGEND) / map.columns.max(1) as f64;
    // The legend needs 140 pixels.
    let height = (rows as f64 * scale).max(140.0);
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {height:.1}\" width=\"100%\" \
         role=\"img\" aria-label=\"Gouge and leftover, {}\" font-family=\"sans-serif\" font-size=\"12\">\n",
        crate::drawing::escape(name)
    );
    squares(&mut out, map, rows, scale);
    // The stock.
    let _ = writeln!(
        out,
        "<rect x=\"0.5\" y=\"0.5\" width=\"{:.1}\" height=\"{:.1}\" fill=\"none\" stroke=\"#000\"/>",
        map.columns as f64 * scale - 1.0,
        rows as f64 * scale - 1.0
    );
    let place = |worst: &Worst| {
        let at = |k: usize| (worst.at[k] - map.from[k]) / map.square * scale;
        (at(0), rows as f64 * scale - at(1))
    };
    for (worst, sign) in [(&surface.gouge, "G"), (&surface.leftover, "L")] {
        let Some((x, y)) = worst.as_ref().map(place) else { continue };
        let _ = writeln!(
            out,
            "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"8\" fill=\"none\" stroke=\"#000\" stroke-width=\"1.5\"/>\
             <text x=\"{:.1}\" y=\"{:.1}\">{sign}</text>",
            x + 10.0,
            y + 4.0
        );
    }
    legend(&mut out, surface, shown);
    out.push_str("</svg>\n");
    out
}

/// Runs of one colour along a row are one box.
fn squares(out: &mut String, map: &Map, rows: usize, scale: f64) {
    for (j, row) in map.micrometres.chunks(map.columns.max(1)).enumerate() {
        let mut i = 0;
        for run in row.chunk_by(|a, b| colour(*a) == colour(*b)) {
            if let Some(fill) = run.first().and_then(|square| colour(*square)) {
                let (x, y) = (i as f64 * scale, (rows - 1 - j) as f64 * scale);
                let wide = run.len() as f64 * scale;
                let _ = writeln!(
                    out,
                    "<rect x=\"{x:.2}\" y=\"{y:.2}\" width=\"{wide:.2}\" height=\"{scale:.2}\" fill=\"{fill}\"/>"
                );
            }
            i += run.len();
        }
    }
}

fn colour(micrometres: Option<i32>) -> Option<&'static str> {
    let mm = f64::from(micrometres?) / 1000.0;
    let step = STEPS.iter().filter(|end| mm.abs() > **end).count();
    Some(match mm {
        0.0 => WITHIN,
        _ if mm < 0.0 => GOUGE[step],
        _ => LEFT[step],
    })
}

fn legend(out: &mut String, surface: &Surface, shown: Shown) {
    let mm = |value: f64| decimal(value, shown.unit);
    let x = WIDTH - LEGEND + 12.0;
    let ends = [
        format!("to {}", mm(STEPS[0])),
        format!("to {}", mm(STEPS[1])),
        format!("above {}", mm(STEPS[1])),
    ];
    let rows = ends
        .iter()
        .zip(GOUGE)
        .rev()
        .map(|(end, fill)| (fill, format!("gouge {end}")))
        .chain([(WITHIN, format!("within {}", mm(surface.tolerance)))])
        .chain(ends.iter().zip(LEFT).map(|(end, fill)| (fill, format!("left over {end}"))));
    for (k, (fill, words)) in rows.enumerate() {
        let y = 4.0 + 18.0 * k as f64;
        let _ = writeln!(
            out,
            "<rect x=\"{x}\" y=\"{y}\" width=\"14\" height=\"14\" fill=\"{fill}\"/>\
             <text x=\"{}\" y=\"{}\">{words}</text>",
            x + 20.0,
            y + 11.0
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Unit;

    #[test]
    fn squares_have_the_colour_of_their_difference_and_the_least_y_is_below() {
        let map = Map {
            from: [0.0, 0.0],
            square: 2.0,
            columns: 3,
            micrometres: vec![Some(0), Some(0), Some(-600), None, Some(150), Some(400)],
        };
        let gouge = Worst { depth: 0.6, at: [5.0, 1.0, -3.0] };
        let surface = Surface {
            tolerance: 0.05,
            area: 20.0,
            within: 0.4,
            gouge: Some(gouge),
            leftover: None,
            map,
        };
        let found = svg(&surface, "a <part>", Shown { unit: Unit::Mm, parts: 32 });
        // 530 pixels for three squares; two rows are lower than the legend is high.
        let wide = 530.0 / 3.0;
        let box_at = |x: f64, y: f64, wide_by: f64, fill: &str| {
            format!(
                "<rect x=\"{x:.2}\" y=\"{y:.2}\" width=\"{wide_by:.2}\" height=\"{wide:.2}\" fill=\"{fill}\"/>"
            )
        };
        assert!(found.contains(&box_at(0.0, wide, 2.0 * wide, WITHIN)));
        assert!(found.contains(&box_at(2.0 * wide, wide, wide, GOUGE[2])));
        assert!(found.contains(&box_at(wide, 0.0, wide, LEFT[0])));
        assert!(found.contains(&box_at(2.0 * wide, 0.0, wide, LEFT[1])));
        assert!(found.contains(">G</text>") && !found.contains(">L</text>"));
        assert!(found.contains("a &lt;part&gt;"));
    }
}
