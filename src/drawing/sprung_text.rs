//! The saw settings of sprung mouldings as a person reads them.

use super::text_table::{Align, pairs, paragraph, table};
use crate::layout::{Joint, Sprung};
use crate::units::Shown;
use std::f64::consts::FRAC_PI_2;

/// One table for each sprung moulding; nothing where there is none.
#[must_use]
pub fn sprung_text(all: &[Sprung], shown: Shown) -> String {
    all.iter().map(|one| section(one, shown)).collect()
}

fn degrees(angle: f64) -> String {
    format!("{:.2}°", angle.to_degrees())
}

fn section(one: &Sprung, shown: Shown) -> String {
    let angle = format!(
        "{} from the wall, {} from the cap",
        degrees(one.spring),
        degrees(FRAC_PI_2 - one.spring)
    );
    let facts = pairs(&[("spring angle", angle), ("width across its back", shown.both(one.width))]);
    let heads = ["corner", "between the faces", "mitre", "bevel"].map(String::from).to_vec();
    let rows = one.corners.iter().map(|corner| {
        let word = match corner.joint {
            Joint::Outside => "outside",
            Joint::Inside => "inside",
            Joint::Bowed => "at the bowed front",
            Joint::Wall => "square",
        };
        vec![
            word.to_string(),
            degrees(corner.between),
            degrees(corner.saw.mitre),
            degrees(corner.saw.bevel),
        ]
    });
    let rows: Vec<Vec<String>> = std::iter::once(heads).chain(rows).collect();
    let table = table(&[Align::Left, Align::Right, Align::Right, Align::Right], &rows);
    let words = paragraph(
        "  ",
        "The saw's table turned by the mitre and its blade tilted by the bevel, off square, the \
         moulding flat on its back. Try both on scrap: an error of half a degree shows.",
    );
    format!("\nCompound mitres, {}\n{facts}{table}{words}", one.name)
}
