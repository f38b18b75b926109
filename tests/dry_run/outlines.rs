//! Outlines made at random the way a careful hand would cut them, which must not be refused, and
//! the same with one fault, which must.

use super::bench::{Bench, limits, refusals};
use ovolo::dry_run::{Interlock, Verdict, check};
use ovolo::geometry::{Point, point};
use ovolo::units::Length;
use proptest::prelude::*;
use std::fmt::Write;

/// A four-sided outline inside the board, cut from within or without, at any angle.
#[derive(Clone, Debug)]
struct Outline {
    corners: [Point; 4],
    diameter: f64,
    allowance: f64,
    stepdown: f64,
    levels: usize,
    /// Longest stroke: sides are written in pieces.
    piece: f64,
}

fn outline() -> impl Strategy<Value = Outline> {
    let place = (-30.0..30.0_f64, -8.0..8.0_f64);
    let size = (50.0..110.0_f64, 24.0..36.0_f64, -0.25..0.25_f64, -6.0..6.0_f64);
    let cut = (3.0..12.7_f64, 0.2..1.0_f64, 0.5..3.0_f64, 1usize..4, 0.3..60.0_f64);
    (place, size, cut).prop_map(|((x, y), (wide, deep, turn, lean), cut)| {
        let centre = point(150.0 + x, 50.0 + y);
        let at = |x: f64, y: f64| centre + point(x, y).rotated(turn);
        let (w, d) = (wide / 2.0, deep / 2.0);
        let (diameter, allowance, stepdown, levels, piece) = cut;
        Outline {
            corners: [at(-w, -d), at(w + lean, -d), at(w, d), at(-w - lean, d)],
            diameter,
            allowance: allowance.min(diameter / 4.0),
            stepdown,
            levels,
            piece,
        }
    })
}

impl Outline {
    /// The corners moved outward by `by`, each side parallel to itself.
    fn grown(&self, by: f64) -> Vec<Point> {
        let c = &self.corners;
        (0..4)
            .map(|i| {
                let (before, here, after) = (c[(i + 3) % 4], c[i], c[(i + 1) % 4]);
                let (u, v) = ((here - before).unit().unwrap(), (after - here).unit().unwrap());
                // Counter-clockwise: outward is to the right of both sides.
                let bisector = -(u.left() + v.left());
                here + bisector * (by / (1.0 + u.dot(v)))
            })
            .collect()
    }

    /// Once around at `z`, in pieces.
    fn round(&self, text: &mut String, path: &[Point]) {
        for i in 0..4 {
            let (a, b) = (path[i], path[(i + 1) % 4]);
            let n = (a.distance(b) / self.piece).ceil() as usize;
            for k in 1..=n {
                let p = a + (b - a) * (k as f64 / n as f64);
                writeln!(text, "G1 X{:.4} Y{:.4} F1500", p.x, p.y).unwrap();
            }
        }
    }

    /// Levels outside the allowance, then the outline in full depth. `skip` leaves levels out.
    fn program(&self, skip: usize) -> String {
        let mut text = String::from("G21 G90 G17 G94 G54\nT1 M6\nM3 S18000\nG4 P3\nG0 Z12\n");
        let rough = self.grown(self.allowance);
        writeln!(text, "G0 X{:.4} Y{:.4}\nG0 Z1", rough[0].x, rough[0].y).unwrap();
        for level in (1..=self.levels).filter(|level| *level > skip) {
            writeln!(text, "G1 Z{:.4} F500", -self.stepdown * level as f64).unwrap();
            self.round(&mut text, &rough);
        }
        let finish = self.grown(0.0);
        writeln!(text, "G1 X{:.4} Y{:.4} F1500", finish[0].x, finish[0].y).unwrap();
        self.round(&mut text, &finish);
        text.push_str("G0 Z12\nM5\nM30\n");
        text
    }

    fn tried(&self, skip: usize) -> Verdict {
        let mut bench = Bench::new();
        bench.cutters[0].diameter = Length(self.diameter);
        let mut limits = limits();
        limits[0].stepdown.value = self.stepdown;
        let setup = ovolo::dry_run::Setup { limits, clamps: Vec::new(), ..bench.setup() };
        check(&self.program(skip), &setup)
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn a_careful_outline_is_not_refused(outline in outline()) {
        let verdict = outline.tried(0);
        prop_assert_eq!(refusals(&verdict), vec![], "{:#?}", verdict.findings);
    }

    #[test]
    fn an_outline_with_a_level_left_out_is_refused_in_its_first_round(outline in outline()) {
        let outline = Outline { levels: outline.levels + 1, ..outline };
        let verdict = outline.tried(1);
        let (interlock, line) = refusals(&verdict)[0];
        prop_assert_eq!(interlock, Interlock::Stepdown);
        // Line 8 is the plunge; one column later, or one piece, it is seen.
        let pieces = 2.0 + outline.diameter / outline.piece;
        prop_assert!(line >= 9 && line as f64 <= 9.0 + pieces, "line {}", line);
    }
}
