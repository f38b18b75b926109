//! A swag of cloth: folds that hang from the same two points, each a little lower.

use super::super::blade::{Blade, Girth, Section};
use super::super::motif::Motif;
use super::{Catenary, Festoon};
use crate::geometry::point;

/// Widths of the folds from the top down, alternately full and thin, as shares of the swag (from
/// memory of carved work).
const FOLDS: [f64; 7] = [0.20, 0.11, 0.18, 0.10, 0.16, 0.10, 0.15];

/// Lays the folds, the lowest first: each upper one lies over the next.
pub(super) fn lay(m: &mut Motif, f: &Festoon) {
    let spread = 1.35 * f.full;
    for i in (0..FOLDS.len()).rev() {
        let before: f64 = FOLDS[..i].iter().sum();
        let half = FOLDS[i] * spread * 0.62;
        // Drawn together at the ties, spread at the middle.
        let lower = (before + 0.5 * FOLDS[i] - 0.5) * spread;
        let tie = 0.16 * lower;
        let half_span = f.span / 2.0 - 0.02 * f.full * i as f64;
        let (a, b) = (point(-half_span, -tie), point(half_span, -tie));
        let spine = Catenary::hung(a, b, f.sag + lower - tie).spine();
        // The middle folds stand highest: the whole swag is rounded.
        let place = (lower / spread) * 2.0;
        let high = f.depth * (0.95 - 0.45 * place * place);
        let thick = (1.1 * half).min(0.55 * high);
        let section = Section { crown: thick, tilt: 0.55 * thick, ..Section::default() };
        let edge = (high - 1.1 * thick).max(0.08 * f.depth);
        m.push(Blade::new(
            spine,
            Girth::new(half, 1, 1),
            [0.6 * edge, edge, edge, 0.6 * edge],
            section,
        ));
    }
}
