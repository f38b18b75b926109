//! Joining an outline and leaving it along arcs that touch it.

use crate::geometry::{Piece, Point};

/// An arc that comes from `aside` beside the outline and touches it at `at`, travelling in
/// `direction`. `waste` is the unit vector across the outline, away from the part. The arc's
/// radius is `radius`, or `aside` if that is more.
#[must_use]
pub(super) fn lead_in(at: Point, direction: Point, waste: Point, aside: f64, radius: f64) -> Piece {
    let radius = radius.max(aside);
    let turned = (1.0 - aside / radius).acos();
    let center = at + waste * radius;
    // Seen along the travel, waste on the left means that the arc turns left into the line.
    let sense = direction.cross(waste).signum();
    let from = center + (at - center).rotated(-sense * turned);
    Piece { from, to: at, bulge: sense * (turned / 4.0).tan() }
}

/// The mirror of [`lead_in`]: leaves the outline at `at`, travelling in `direction`.
#[must_use]
pub(super) fn lead_out(
    at: Point,
    direction: Point,
    waste: Point,
    aside: f64,
    radius: f64,
) -> Piece {
    lead_in(at, -direction, waste, aside, radius).reversed()
}

#[cfg(test)]
mod tests {
    use super::{lead_in, lead_out};
    use crate::geometry::point;

    #[test]
    fn leads_touch_the_outline_and_end_aside() {
        for waste in [point(0.0, 1.0), point(0.0, -1.0)] {
            let (at, along) = (point(10.0, 5.0), point(1.0, 0.0));
            let into = lead_in(at, along, waste, 0.8, 6.0);
            assert!(into.direction(1.0).distance(along) < 1e-9);
            assert!(((into.from - at).dot(waste) - 0.8).abs() < 1e-9);
            assert!(into.from.x < at.x);
            let out = lead_out(at, along, waste, 0.8, 6.0);
            assert!(out.direction(0.0).distance(along) < 1e-9);
            assert!(((out.to - at).dot(waste) - 0.8).abs() < 1e-9);
            assert!(out.to.x > at.x);
        }
    }
}
