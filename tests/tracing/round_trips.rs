//! What is written with arcs reads back the same.

use crate::write;
use ovolo::geometry::{Contour, Point, Vertex, point};
use ovolo::tracing::{Options, Outlines, outlines};
use proptest::prelude::*;

fn read(bytes: &[u8]) -> Contour {
    let Outlines { contours, warnings } = outlines("t", bytes, &Options::default()).unwrap();
    assert!(warnings.is_empty(), "{warnings:?}");
    assert_eq!(contours.len(), 1);
    contours.into_iter().next().unwrap()
}

/// The same outline whatever corner it begins at: each corner with the bulge after it.
fn assert_same(a: &Contour, b: &Contour, within: f64) {
    assert_eq!(a.vertices.len(), b.vertices.len());
    let n = a.vertices.len();
    let first = a.vertices[0].at;
    let start = (0..n)
        .min_by(|&i, &j| {
            b.vertices[i].at.distance(first).total_cmp(&b.vertices[j].at.distance(first))
        })
        .unwrap();
    for i in 0..n {
        let (p, q) = (a.vertices[i], b.vertices[(start + i) % n]);
        assert!(p.at.distance(q.at) < within, "{p:?} {q:?}");
        // The bulge as the height of its arc over the chord.
        let chord = p.at.distance(a.vertices[(i + 1) % n].at);
        assert!((p.bulge - q.bulge).abs() * chord / 2.0 < within, "{p:?} {q:?}");
    }
}

/// Stars whose sides bow in or out, never so far that they cross.
fn outline() -> impl Strategy<Value = Contour> {
    let corner = (40.0..60.0f64, -0.12..0.12f64);
    (prop::collection::vec(corner, 5..24), 100.0..400.0f64, 100.0..400.0f64)
        .prop_map(|(corners, x, y)| {
            let n = corners.len() as f64;
            let vertices = corners
                .iter()
                .enumerate()
                .map(|(i, &(r, bulge))| Vertex {
                    at: point(x, y) + Point::polar(r, i as f64 / n * std::f64::consts::TAU),
                    // Hardly bowed is straight: a radius has only so many digits.
                    bulge: if bulge.abs() < 0.01 { 0.0 } else { bulge },
                })
                .collect();
            Contour { vertices, closed: true }
        })
        .prop_filter("simple", |c| c.validate().is_ok())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn a_path_with_arcs(contour in outline()) {
        assert_same(&contour, &read(write::svg(&contour).as_bytes()), 1e-6);
    }

    #[test]
    fn a_polyline_with_bulges(contour in outline()) {
        assert_same(&contour, &read(&write::polyline(&contour)), 1e-6);
    }

    #[test]
    fn loose_lines_and_arcs_in_any_order(contour in outline(), seed in any::<u64>()) {
        let mut pieces: Vec<_> = contour.pieces().collect();
        let mut state = seed;
        for i in (1..pieces.len()).rev() {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            pieces.swap(i, (state >> 33) as usize % (i + 1));
            if state >> 63 == 1 {
                pieces[i] = pieces[i].reversed();
            }
        }
        let bytes = write::dxf_of(pieces.iter().map(write::loose));
        assert_same(&contour, &read(&bytes), 1e-6);
    }

    #[test]
    fn a_path_scaled_and_turned_by_its_groups(
        contour in outline(), scale in 0.2..5.0f64, turn in -180.0..180.0f64,
    ) {
        let text = write::svg(&contour).replace(
            "<path",
            &format!("<g transform=\"rotate({turn} 30 40) scale({scale})\"><path"),
        );
        let text = text.replace("</svg>", "</g></svg>");
        let read = read(text.as_bytes());
        // By hand, on the page with y down: scale, then turn about (30, 40).
        let (sin, cos) = turn.to_radians().sin_cos();
        let place = |p: Point| {
            let (x, y) = (p.x * scale - 30.0, (1000.0 - p.y) * scale - 40.0);
            point(30.0 + x * cos - y * sin, 1000.0 - (40.0 + x * sin + y * cos))
        };
        let vertices = contour.vertices.iter()
            .map(|v| Vertex { at: place(v.at), bulge: v.bulge }).collect();
        assert_same(&Contour { vertices, closed: true }, &read, 1e-6 * scale.max(1.0));
    }
}
