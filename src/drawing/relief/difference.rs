//! The difference between a relief as designed and as it is cut, in classes of colour.

use crate::geometry::HeightField;
use crate::units::{Unit, decimal};

/// A class of difference.
struct Class {
    /// Up to this difference, mm.
    upto: f64,
    /// Red, green and blue: vermilion for what is cut too deep, then from white over the sky blue
    /// and blue of Okabe and Ito (Color Universal Design, 2008) to dark for what stays.
    colour: [u8; 3],
}

/// From too deep to too high. Within 0.05 mm nothing is to be seen after sanding.
const CLASSES: [Class; 7] = [
    Class { upto: -0.05, colour: [0xD5, 0x5E, 0x00] },
    Class { upto: 0.05, colour: [0xF7, 0xF7, 0xF7] },
    Class { upto: 0.1, colour: [0xCF, 0xE6, 0xF5] },
    Class { upto: 0.2, colour: [0x9C, 0xCB, 0xEB] },
    Class { upto: 0.5, colour: [0x56, 0xB4, 0xE9] },
    Class { upto: 1.0, colour: [0x00, 0x72, 0xB2] },
    Class { upto: f64::INFINITY, colour: [0x00, 0x2B, 0x45] },
];

/// The colour of each cell, the top row first. On slopes a cell of the design is not known better
/// than its neighbours, and what is cut not better than to `reach` cells: it is too high by what
/// it stands over the neighbours, and too deep by what it lies under all of those.
pub(super) fn colours(designed: &HeightField, cut: &HeightField, reach: usize) -> Vec<[u8; 3]> {
    let (columns, rows) = (designed.columns(), designed.rows());
    let near = |k: usize, by: usize, count: usize| k.saturating_sub(by)..(k + by + 1).min(count);
    // Along the rows first, then across them.
    let along: Vec<(f64, f64)> = (0..rows)
        .flat_map(|j| (0..columns).map(move |i| (i, j)))
        .map(|(i, j)| {
            let heights =
                |by| near(i, by, columns).filter_map(|i| designed.height(i, j)).map(f64::from);
            (
                heights(reach).fold(f64::INFINITY, f64::min),
                heights(1).fold(f64::NEG_INFINITY, f64::max),
            )
        })
        .collect();
    let cell = |i: usize, j: usize| {
        let Some(left) = cut.height(i, j).map(f64::from) else { return 0.0 };
        let beside = |by| near(j, by, rows).map(|j| along[j * columns + i]);
        let low = beside(reach).map(|range| range.0).fold(f64::INFINITY, f64::min);
        let high = beside(1).map(|range| range.1).fold(f64::NEG_INFINITY, f64::max);
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
pub(super) fn legend(unit: Unit) -> impl Iterator<Item = (String, String)> {
    let shown = move |mm: f64| {
        let both = decimal(mm, unit);
        both.split(' ').next().unwrap_or_default().to_string()
    };
    CLASSES.iter().enumerate().map(move |(k, class)| {
        let [r, g, b] = class.colour;
        let below = k.checked_sub(1).map(|k| CLASSES[k].upto);
        let words = match (below, class.upto) {
            (None, upto) => format!("deeper by over {}", shown(-upto)),
            (Some(low), upto) if low < 0.0 => format!("within {}", shown(upto)),
            (Some(low), upto) if upto.is_finite() => {
                format!("{} to {} stays", shown(low), shown(upto))
            }
            (Some(low), _) => format!("over {} stays", decimal(low, unit)),
        };
        (format!("#{r:02x}{g:02x}{b:02x}"), words)
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::{CLASSES, colour, colours, legend};
    use crate::geometry::{HeightField, point};
    use crate::units::Unit;

    #[test]
    fn each_difference_has_the_colour_of_its_class() {
        for (difference, class) in
            [(-1.0, 0), (-0.04, 1), (0.0, 1), (0.07, 2), (0.15, 3), (0.3, 4), (0.9, 5), (7.0, 6)]
        {
            assert_eq!(colour(difference), CLASSES[class].colour, "{difference}");
        }
    }

    #[test]
    fn words_tell_the_classes_in_the_unit_shown() {
        let words = |unit| legend(unit).map(|(_, words)| words).collect::<Vec<_>>();
        assert_eq!(
            words(Unit::Mm)[..3],
            ["deeper by over 0.05", "within 0.05", "0.05 to 0.1 stays"]
        );
        assert_eq!(
            words(Unit::In)[4..],
            ["0.008 to 0.02 stays", "0.02 to 0.039 stays", "over 0.039 in stays"]
        );
    }

    /// A wall that stands off by no more than a cell of the cut is not called too deep.
    #[test]
    fn a_wall_is_known_to_a_cell_of_the_cut() {
        let field = |z: &dyn Fn(usize) -> f32| {
            let mut field = HeightField::new(point(0.0, 0.0), point(20.0, 3.0), 1.0, 0.0).unwrap();
            for j in 0..field.rows() {
                let row: Vec<f32> = (0..field.columns()).map(z).collect();
                field.set_row(j, &row);
            }
            field
        };
        let wall = field(&|i| if i < 10 { 0.0 } else { -5.0 });
        let off = field(&|i| if i < 7 { 0.0 } else { -5.0 });
        let white = CLASSES[1].colour;
        assert!(colours(&wall, &off, 3).iter().all(|c| *c == white));
        let deep = colours(&wall, &off, 2).iter().filter(|c| **c == CLASSES[0].colour).count();
        assert_eq!(deep, 3);
    }
}
