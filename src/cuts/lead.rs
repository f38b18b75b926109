//! Joining an outline and leaving it along arcs that touch it.

use crate::geometry::{Piece, Point};

/// An arc that comes from the roughed slot, `aside` off the outline, and touches the outline at
/// `at`, travelling in `direction`. `waste` is the unit vector across the outline, away from the
/// part; `off` gives the distance of a point from the outline. The arc's radius is `radius`, or
/// `aside` if that is more.
#[must_use]
pub(super) fn lead_in(
    (at, direction, waste): (Point, Point, Point),
    (aside, radius): (f64, f64),
    off: &dyn Fn(Point) -> f64,
) -> Piece {
    let radius = radius.max(aside);
    let center = at + waste * radius;
    // Seen along the travel, waste on the left means that the arc turns left into the line.
    let sense = direction.cross(waste).signum();
    let start = |turned: f64| center + (at - center).rotated(-sense * turned);
    // The start must lie in the slot that roughing left: exactly `aside` off, however the
    // outline curves there. The distance grows with the angle; halving finds it.
    let (mut low, mut high) = (0.0, std::f64::consts::FRAC_PI_2);
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        if off(start(middle)) < aside { low = middle } else { high = middle }
    }
    Piece { from: start(low), to: at, bulge: sense * (low / 4.0).tan() }
}

/// The mirror of [`lead_in`]: leaves the outline at `at`, travelling in `direction`.
#[must_use]
pub(super) fn lead_out(
    (at, direction, waste): (Point, Point, Point),
    aside_and_radius: (f64, f64),
    off: &dyn Fn(Point) -> f64,
) -> Piece {
    lead_in((at, -direction, waste), aside_and_radius, off).reversed()
}

#[cfg(test)]
mod tests {
    use super::{lead_in, lead_out};
    use crate::geometry::{Point, point};

    #[test]
    fn leads_touch_the_outline_and_end_aside() {
        for waste in [point(0.0, 1.0), point(0.0, -1.0)] {
            let (at, along) = (point(10.0, 5.0), point(1.0, 0.0));
            let off = |p: Point| (p.y - 5.0).abs();
            let into = lead_in((at, along, waste), (0.8, 6.0), &off);
            assert!(into.direction(1.0).distance(along) < 1e-9);
            assert!(((into.from - at).dot(waste) - 0.8).abs() < 1e-9);
            assert!(into.from.x < at.x);
            let out = lead_out((at, along, waste), (0.8, 6.0), &off);
            assert!(out.direction(0.0).distance(along) < 1e-9);
            assert!(((out.to - at).dot(waste) - 0.8).abs() < 1e-9);
            assert!(out.to.x > at.x);
        }
    }

    #[test]
    fn a_lead_off_a_tight_arc_starts_in_the_roughed_slot() {
        // Round a corner of radius 4 about the origin the slot runs 4.8 from it, not straight on.
        let off = |p: Point| (p.length() - 4.0).abs();
        let (at, along, waste) = (point(0.0, 4.0), point(1.0, 0.0), point(0.0, 1.0));
        let into = lead_in((at, along, waste), (0.8, 6.0), &off);
        assert!((into.from.length() - 4.8).abs() < 1e-9);
        assert!(into.direction(1.0).distance(along) < 1e-9);
    }
}
