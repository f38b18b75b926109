//! Hatching of cut wood: thin lines aslant, clipped to the outline.

use crate::geometry::{Contour, Point, point};

/// Chords of arcs leave them by so much, mm: less than a line is wide.
const FLAT: f64 = 0.05;

/// Lines at `angle` (radians), `pitch` mm apart, inside a closed contour.
pub(super) fn hatch(contour: &Contour, angle: f64, pitch: f64) -> Vec<(Point, Point)> {
    // Turned so that the lines lie level.
    let corners: Vec<Point> =
        contour.flattened(FLAT).into_iter().map(|p| p.rotated(-angle)).collect();
    let heights = corners.iter().map(|p| p.y);
    let (low, high) = heights
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), y| (f64::min(a, y), f64::max(b, y)));
    let mut lines = Vec::new();
    // Off the grid's zero, where outlines like to lie.
    let mut y = (low / pitch).ceil() * pitch + pitch * 0.37;
    while y < high {
        let mut crossings: Vec<f64> = (0..corners.len())
            .filter_map(|i| crossing(corners[i], corners[(i + 1) % corners.len()], y))
            .collect();
        crossings.sort_by(f64::total_cmp);
        for pair in crossings.chunks_exact(2) {
            let ends = [point(pair[0], y), point(pair[1], y)].map(|p| p.rotated(angle));
            lines.push((ends[0], ends[1]));
        }
        y += pitch;
    }
    lines
}

fn crossing(a: Point, b: Point, y: f64) -> Option<f64> {
    // A corner counts with one of its two sides only.
    ((a.y <= y) != (b.y <= y)).then(|| a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_fill_a_board_evenly() {
        let board = Contour::rectangle(point(0.0, 0.0), point(60.0, 20.0));
        let lines = hatch(&board, std::f64::consts::FRAC_PI_4, 3.0);
        // Length of lines times their distance is the area, but for the two corners.
        let length: f64 = lines.iter().map(|(a, b)| a.distance(*b)).sum();
        assert!((length * 3.0 - 1200.0).abs() < 60.0, "{length}");
        assert!(lines.iter().all(|(a, b)| board.contains((*a + *b) * 0.5)));
    }
}
