//! The difference between a relief as designed and as it is cut, in classes of colour.

use crate::geometry::HeightField;

/// A class of difference.
struct Class {
    /// Up to this difference, mm.
    upto: f64,
    /// Red, green and blue: vermilion for what is cut too deep, then from white over the sky blue
    /// and blue of Okabe and Ito (Color Universal Design, 2008) to dark for what stays.
    colour: [u8; 3],
    /// In words.
    words: &'static str,
}

/// From too deep to too high. Within 0.05 mm nothing is to be seen after sanding.
const CLASSES: [Class; 7] = [
    Class { upto: -0.05, colour: [0xD5, 0x5E, 0x00], words: "deeper by over 0.05" },
    Class { upto: 0.05, colour: [0xF7, 0xF7, 0xF7], words: "within 0.05" },
    Class { upto: 0.1, colour: [0xCF, 0xE6, 0xF5], words: "0.05 to 0.1 stays" },
    Class { upto: 0.2, colour: [0x9C, 0xCB, 0xEB], words: "0.1 to 0.2" },
    Class { upto: 0.5, colour: [0x56, 0xB4, 0xE9], words: "0.2 to 0.5" },
    Class { upto: 1.0, colour: [0x00, 0x72, 0xB2], words: "0.5 to 1" },
    Class { upto: f64::INFINITY, colour: [0x00, 0x2B, 0x45], words: "over 1 mm stays" },
];

/// The colour of each cell, the top row first. On slopes a cell of either grid is not known
/// better than its neighbours: what is cut differs by how far it lies outside their heights.
pub(super) fn colours(designed: &HeightField, cut: &HeightField) -> Vec<[u8; 3]> {
    let (columns, rows) = (designed.columns(), designed.rows());
    let around = |i: usize, j: usize| {
        let near = |k: usize, count: usize| k.saturating_sub(1)..(k + 2).min(count);
        let cells = near(j, rows).flat_map(|j| near(i, columns).map(move |i| (i, j)));
        let heights = cells.filter_map(|(i, j)| designed.height(i, j)).map(f64::from);
        heights.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), z| (a.min(z), b.max(z)))
    };
    let cell = |i: usize, j: usize| {
        let Some(left) = cut.height(i, j).map(f64::from) else { return 0.0 };
        let (low, high) = around(i, j);
        if left < low { left - low } else { (left - high).max(0.0) }
    };
    (0..rows)
        .rev()
        .flat_map(|j| (0..columns).map(move |i| (i, j)))
        .map(|(i, j)| colour(cell(i, j)))
        .collect()
}

fn colour(difference: f64) -> [u8; 3] {
    CLASSES.iter().find(|class| difference <= class.upto).map_or([0; 3], |class| class.colour)
}

/// Swatches with their words, for the strip under the picture.
pub(super) fn legend() -> impl Iterator<Item = (String, &'static str)> {
    CLASSES.iter().map(|class| {
        let [r, g, b] = class.colour;
        (format!("#{r:02x}{g:02x}{b:02x}"), class.words)
    })
}

#[cfg(test)]
mod tests {
    use super::{CLASSES, colour};

    #[test]
    fn each_difference_has_the_colour_of_its_class() {
        for (difference, class) in
            [(-1.0, 0), (-0.04, 1), (0.0, 1), (0.07, 2), (0.15, 3), (0.3, 4), (0.9, 5), (7.0, 6)]
        {
            assert_eq!(colour(difference), CLASSES[class].colour, "{difference}");
        }
    }
}
