//! Motifs: symmetric where they should be, no higher than asked, smooth along their forms.

use ovolo::geometry::{Point, point};
use ovolo::ornament::{
    Acanthus, Canvas, Festoon, Frame, HuskDrop, Motif, Rosette, Spine, Swag, acanthus,
    bead_and_reel, egg_and_dart, festoon, fluting, guilloche, husk_drop, key_fret,
    key_fret_outline, laurel_band, reeding, rosette,
};
use proptest::prelude::*;
use std::f64::consts::{FRAC_PI_2, PI, TAU};

fn swag(swag: Swag) -> Motif {
    festoon(&Festoon { span: 200.0, sag: 50.0, full: 30.0, depth: 6.0, swag, ribbons: true })
}

fn leaf(lobes: usize) -> Motif {
    acanthus(&Acanthus { height: 90.0, width: 70.0, lobes, depth: 6.0 })
}

/// Every motif, 6 mm high, and by how much (mm) its two halves may differ for reasons of its own:
/// `None` for a motif that is not symmetric about x = 0.
fn all() -> Vec<(&'static str, Motif, Option<f64>)> {
    let drop = HuskDrop { length: 90.0, count: 5, taper: 0.6, depth: 6.0 };
    vec![
        ("husk swag", swag(Swag::Husks), None),
        ("leaf swag", swag(Swag::Leaves), None),
        ("cloth swag", swag(Swag::Cloth), None),
        ("rosette", rosette(&Rosette { diameter: 60.0, petals: 8, whorls: 2, depth: 6.0 }), None),
        ("husk drop", husk_drop(&drop), None),
        ("acanthus", leaf(3), None),
        ("water leaf", leaf(0), Some(1e-9)),
        ("beads", bead_and_reel(120.0, 12.0, 6.0), Some(1e-9)),
        ("eggs", egg_and_dart(120.0, 26.0, 6.0), Some(1e-9)),
        ("laurel", laurel_band(160.0, 24.0, 6.0), None),
        ("guilloche", guilloche(140.0, 26.0, 6.0), None),
        ("flutes", fluting(80.0, 60.0, 7, 0.33, 6.0), Some(1e-9)),
        ("reeds", reeding(80.0, 60.0, 9, 6.0), Some(1e-9)),
        ("fret", key_fret(140.0, 20.0, 6.0), Some(1e-9)),
    ]
}

/// Places over a motif's box, on no special line of it.
fn places(motif: &Motif) -> Vec<Point> {
    let (low, high) = motif.bounds().unwrap();
    let at = |i: u32, n: u32, low: f64, high: f64| low + (high - low) * f64::from(i) / f64::from(n);
    let row = |j: u32| (0..=40).map(move |i| (at(i, 40, low.x, high.x), at(j, 25, low.y, high.y)));
    (0..=25).flat_map(row).map(|(x, y)| point(x + 0.0137, y + 0.0071)).collect()
}

#[test]
fn no_motif_is_higher_than_asked_and_all_are_carved() {
    for (name, motif, _) in all() {
        let heights: Vec<(f64, f64)> =
            places(&motif).into_iter().map(|p| motif.height(p)).collect();
        let covered = heights.iter().filter(|(_, cover)| *cover > 0.0).count();
        assert!(covered > heights.len() / 20, "{name}: {covered} places carved");
        for (z, cover) in heights {
            assert!(z.is_finite() && (0.0..=1.0).contains(&cover), "{name}");
            // A tenth over: lifted tips and swelling crossings stand over the nominal height.
            assert!((-6.0..=6.6).contains(&z), "{name}: {z}");
        }
    }
}

/// To a fiftieth: husks that lie over each other on a bend stand a little higher.
#[test]
fn a_motif_stands_as_high_as_asked() {
    let lobes = [1, 2, 5].map(|n| ("acanthus", leaf(n), None));
    // Flutes are hollows, and reeds of 80 mm by nine no higher than half their width.
    let raised = all().into_iter().filter(|(name, ..)| !["flutes", "reeds"].contains(name));
    for (name, motif, _) in raised.chain(lobes) {
        let (low, high) = motif.bounds().unwrap();
        let count = |length: f64| (length / 0.25).ceil() as usize;
        let mut canvas = Canvas::new(low, 0.25, count(high.x - low.x), count(high.y - low.y));
        motif.paint(&Frame::HOME, &mut canvas);
        let top = canvas.z.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        assert!((top / 6.0 - 1.0).abs() < 0.02, "{name}: {top}");
    }
}

#[test]
fn what_should_be_symmetric_is() {
    for (name, motif, tolerance) in all() {
        let Some(tolerance) = tolerance else { continue };
        for p in places(&motif) {
            let (z, _) = motif.height(p);
            let (other, _) = motif.height(point(-p.x, p.y));
            assert!((z - other).abs() <= tolerance, "{name} at {p:?}: {z} and {other}");
        }
    }
}

/// The middle petals overlap from one side in the order they are laid, so that only the outer
/// parts repeat with each petal.
#[test]
fn the_petals_of_a_rosette_are_all_alike() {
    let motif = rosette(&Rosette { diameter: 60.0, petals: 8, whorls: 1, depth: 6.0 });
    let mut compared = 0;
    for i in 0..40 {
        let p = Point::polar(20.0 + f64::from(i) * 0.22, FRAC_PI_2 + 0.11);
        let (z, _) = motif.height(p);
        for k in 1..8 {
            let (other, _) = motif.height(p.rotated(TAU * f64::from(k) / 8.0));
            assert!((z - other).abs() < 1e-9, "petal {k} at {p:?}: {z} and {other}");
            compared += 1;
        }
    }
    assert_eq!(compared, 280);
}

/// Closed form: a flute of half width r and depth r is half a cylinder.
#[test]
fn a_flute_is_half_a_cylinder() {
    let motif = fluting(10.0, 50.0, 1, 0.0, 9.0);
    for x in [0.0, 1.0, 2.5, 4.0, 4.9] {
        let (z, _) = motif.height(point(x, 3.0));
        let wanted = -(25.0_f64 - x * x).sqrt();
        assert!((z - wanted).abs() < 1e-9, "{x}: {z}, not {wanted}");
    }
}

/// Counted on squared paper: rail 12 n + 1, upright 4, and 12 for each of 2 n hooks.
#[test]
fn a_key_fret_has_the_squares_of_its_drawing() {
    let square = 4.0;
    for hooks in 1..4 {
        let length = f64::from(12 * hooks + 1) * square;
        let outline = key_fret_outline(length + 0.5, 5.0 * square);
        let squares = f64::from(12 * hooks + 1 + 4 + 24 * hooks);
        assert!((outline.area() - squares * square * square).abs() < 1e-9, "{hooks} hooks");
        let (low, high) = outline.bounds().unwrap();
        assert!((high.x - low.x - length).abs() < 1e-9 && (high.y - low.y - 20.0).abs() < 1e-9);
        // The raised fret covers the same squares.
        let motif = key_fret(length + 0.5, 5.0 * square, 2.0);
        for p in places(&motif) {
            assert_eq!(motif.height(p).1 > 0.0, outline.contains(p), "{p:?}");
        }
    }
}

/// Closed form: two points of a circle with its tangents are joined by that circle.
#[test]
fn a_spine_through_a_circle_is_the_circle() {
    let on = |angle: f64| (Point::polar(10.0, angle), Point::polar(1.0, angle + FRAC_PI_2));
    let spine = Spine::through(&[on(0.0), on(1.0), on(2.5)]);
    assert!((spine.length() - 25.0).abs() < 1e-9);
    for angle in [0.1, 0.9, 1.7, 2.4] {
        let (s, v) = spine.locate(Point::polar(9.0, angle), 5.0).unwrap();
        assert!((s - 10.0 * angle).abs() < 1e-9 && (v - 1.0).abs() < 1e-9, "{s} {v}");
    }
}

proptest! {
    /// The distance from a spine grows by just one millimetre for each: no facets, no creases.
    #[test]
    fn the_distance_from_a_spine_is_a_distance(
        bend in -1.2..1.2_f64, lean in -1.0..1.0_f64, s in 0.05..0.95_f64, v in -4.0..4.0_f64,
    ) {
        let spine = Spine::bezier([
            point(0.0, 0.0),
            Point::polar(20.0, bend),
            point(40.0, 0.0) + Point::polar(20.0, PI - lean),
            point(60.0, 0.0),
        ]);
        let (at, way) = spine.place(s * spine.length());
        let p = at + way.left() * v;
        let (_, own) = spine.locate(p, 8.0).unwrap();
        prop_assume!((own - v).abs() < 1e-6);
        let step = 1e-4;
        let at = |d: Point| spine.locate(p + d, 8.0).unwrap().1;
        let slope = point(
            (at(point(step, 0.0)) - at(point(-step, 0.0))) / (2.0 * step),
            (at(point(0.0, step)) - at(point(0.0, -step))) / (2.0 * step),
        );
        prop_assert!((slope.length() - 1.0).abs() < 1e-4, "{:?}", slope);
    }
}
