//! Outlines that overlap, as the outlines of what they enclose together.

use super::offset::check_disjoint;
use super::{Contour, Point, point};
use i_overlay::core::fill_rule::FillRule;
use i_overlay::float::simplify::SimplifyShape;

/// Loops that enclose less than this over their length are none, mm: rounding where edges lie on
/// each other.
const NOTHING: f64 = 5e-5;

/// Whether closed contours cross or touch themselves or each other, or one lies within another
/// that runs the same way round, so that there the two kinds of filling differ.
#[must_use]
pub fn overlap(contours: &[Contour]) -> bool {
    let doubled = |(k, one): (usize, &Contour)| {
        let Some(start) = one.vertices.first() else { return false };
        let others = contours.iter().enumerate().filter(|(other, _)| *other != k);
        let around: i32 = others.map(|(_, other)| other.winding(start.at)).sum();
        let own = if one.area() > 0.0 { 1 } else { -1 };
        around.abs().max((around + own).abs()) > 1
    };
    check_disjoint(contours).is_err() || contours.iter().enumerate().any(doubled)
}

/// The outlines of all that closed contours enclose together: everywhere that they turn about more
/// or less than not at all (the non-zero rule), which is how fonts fill their letters. Contours
/// that do not [`overlap`] are given back as they are; else curves become chords, at most `chord`
/// mm beside them, outlines counter-clockwise and islands clockwise.
#[must_use]
pub fn united(contours: Vec<Contour>, chord: f64) -> Vec<Contour> {
    if !overlap(&contours) {
        return contours;
    }
    let rings: Vec<Vec<[f64; 2]>> =
        contours.iter().map(|c| c.flattened(chord).iter().map(|p| [p.x, p.y]).collect()).collect();
    let corners = |ring: Vec<[f64; 2]>| -> Vec<Point> {
        ring.into_iter().map(|[x, y]| point(x, y)).collect()
    };
    let shapes = rings.simplify_shape(FillRule::NonZero);
    let loops = shapes.into_iter().flatten().map(|ring| Contour::polygon(&corners(ring)));
    loops.filter(|one| one.area().abs() > NOTHING * one.length()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(x: f64, side: f64) -> Contour {
        Contour::rectangle(point(x, 0.0), point(x + side, side))
    }

    #[test]
    fn squares_that_overlap_are_one_outline() {
        let both = united(vec![square(0.0, 10.0), square(6.0, 10.0).reversed()], 1e-3);
        // They run against each other, so that where both are they count for nothing: a hole.
        assert!((both.iter().map(Contour::area).sum::<f64>() - 120.0).abs() < 1e-3, "{both:?}");
        let both = united(vec![square(0.0, 10.0), square(6.0, 10.0)], 1e-3);
        assert_eq!(both.len(), 1);
        assert!((both[0].area() - 160.0).abs() < 1e-3 && !overlap(&both), "{both:?}");
        // Side by side they touch; within each other the inner one is lost.
        let both = united(vec![square(0.0, 10.0), square(10.0, 10.0)], 1e-3);
        assert_eq!(both.len(), 1);
        let both = united(vec![square(0.0, 10.0), Contour::circle(point(5.0, 5.0), 2.0)], 1e-3);
        assert_eq!(both.len(), 1);
    }

    #[test]
    fn what_does_not_overlap_keeps_its_curves() {
        let ring = vec![
            Contour::circle(point(0.0, 0.0), 5.0),
            Contour::circle(point(0.0, 0.0), 3.0).reversed(),
            Contour::circle(point(20.0, 0.0), 3.0),
        ];
        assert_eq!(united(ring.clone(), 1e-3), ring);
    }
}
