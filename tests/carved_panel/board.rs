//! The board: border, incised work, how carvings meet the ground, the same bytes on any cores.

use ovolo::geometry::profile::{Element, ElementKind, Moulding, Profile};
use ovolo::geometry::{Contour, HeightField, Point, point};
use ovolo::ornament::{Frame, Rosette, rosette};
use ovolo::relief::{Carving, Cushion, CushionProfile, Ground, Meeting, Placed, Relief, Stage};
use ovolo::units::Length;
use std::sync::Arc;

fn cushion(outlines: &[Contour], height: f64, width: f64, profile: CushionProfile) -> Placed {
    Placed {
        carving: Carving::Cushion(Arc::new(Cushion::new(outlines, height, width, profile))),
        frames: vec![Frame::HOME],
        deep: 1.0,
        meeting: Meeting::Added,
    }
}

fn sampled(size: Point, stages: &[Stage], carvings: Vec<Placed>, cell: f64) -> HeightField {
    Relief { size, ground: Ground::new(stages), carvings }.sample(cell, &|_| {}).unwrap()
}

fn at(field: &HeightField, x: f64, y: f64) -> f64 {
    f64::from(field.at(point(x, y)).unwrap())
}

#[test]
fn a_border_is_mitred_and_leads_down_to_the_field() {
    let stages = [
        Stage::Level { width: 5.0 },
        Stage::Step { drop: 1.0 },
        Stage::Bevel { width: 10.0, drop: 4.0 },
    ];
    let field = sampled(point(100.0, 60.0), &stages, Vec::new(), 0.25);
    for (x, y, z) in [(2.0, 30.0, 0.0), (50.0, 30.0, -5.0), (30.0, 57.0, 0.0), (16.0, 16.0, -5.0)] {
        assert_eq!(at(&field, x, y), z, "{x}, {y}");
    }
    // On the bevel, by its own straight line; on the mitre the same from both sides.
    for d in [6.125, 9.125, 13.125] {
        let z = -1.0 - 4.0 * (d - 5.0) / 10.0;
        for (x, y) in [(d, 30.125), (100.0 - d, 30.125), (50.125, d), (50.125, 60.0 - d), (d, d)] {
            assert!((at(&field, x, y) - z).abs() < 1e-6, "{x}, {y}: {}", at(&field, x, y));
        }
    }
}

/// Closed form: an ovolo of equal height and projection is a quarter circle.
#[test]
fn a_moulded_border_follows_its_quarter_circle() {
    let element = Element {
        kind: ElementKind::Ovolo,
        height: Length(8.0),
        projection: Some(Length(8.0)),
        step: Length(0.0),
    };
    let moulding = Moulding { element: vec![element], back: Length(1.0) };
    let profile = Profile::build(&moulding, "border").unwrap();
    let stages = [Stage::Level { width: 4.0 }, Stage::Moulding(profile.clone())];
    let field = sampled(point(60.0, 60.0), &stages, Vec::new(), 0.2);
    assert_eq!(at(&field, 30.0, 30.0), -8.0);
    let centre = profile.face.pieces().next().unwrap().center().unwrap();
    for d in [4.7, 6.1, 8.1, 10.1, 11.5] {
        let z = at(&field, d, 30.1);
        // Out from the field's level, up from the field's edge.
        let p = point(z + 8.0, 12.0 - d);
        assert!((p.distance(centre) - 8.0).abs() < 1e-4, "{d}: {z}");
    }
}

/// Depth of a V-cut: distance to the outline over the tangent of half the angle; on the axis of a
/// bar half its width over that tangent (plane geometry).
#[test]
fn incised_work_is_as_deep_as_the_v_goes() {
    let half = 30.0_f64.to_radians();
    let deepest = 20.0;
    // Edges on the very lines of the grid's middles, and off them.
    let bar = Contour::rectangle(point(20.0, 20.0), point(80.0, 26.0));
    let ring = [Contour::circle(point(50.0, 60.0), 15.0), Contour::circle(point(50.0, 60.0), 11.0)];
    let outlines = [bar, ring[0].clone(), ring[1].clone()];
    let cut = cushion(&outlines, -deepest, deepest * half.tan(), CushionProfile::Bevel);
    let field = sampled(point(100.0, 90.0), &[], vec![cut], 0.2);
    let depth = |inside: f64| -inside / half.tan();
    for (x, y, inside) in [
        (50.1, 22.9, 2.9),
        (50.1, 21.1, 1.1),
        (20.5, 22.9, 0.5),
        (50.1, 24.9, 1.1),
        (90.1, 22.9, 0.0),
        (50.1, 60.1, 0.0),
    ] {
        assert!((at(&field, x, y) - depth(inside)).abs() < 1e-5, "{x}, {y}: {}", at(&field, x, y));
    }
    for k in 0..24 {
        let p = point(50.0, 60.0) + Point::polar(12.6, f64::from(k) * 0.26);
        let nearest = field.middle((p.x / 0.2) as usize, (p.y / 0.2) as usize);
        let r = nearest.distance(point(50.0, 60.0));
        let inside = (15.0 - r).min(r - 11.0);
        assert!(
            (at(&field, p.x, p.y) - depth(inside)).abs() < 1e-4,
            "{k}: {nearest:?} {inside} {}",
            at(&field, p.x, p.y)
        );
    }
}

/// Two V cuts that cross: the cutter goes once each way, and no deeper for it.
#[test]
fn where_incised_strokes_cross_the_deepest_counts() {
    let half = 30.0_f64.to_radians();
    let bar = |from: Point, to: Point, deepest: f64| {
        let outline = [Contour::rectangle(from, to)];
        let width = deepest * half.tan();
        let meeting = Meeting::Incised;
        Placed { meeting, ..cushion(&outline, -deepest, width, CushionProfile::Bevel) }
    };
    let across = bar(point(10.0, 27.0), point(50.0, 33.0), 2.0);
    let up = bar(point(27.0, 10.0), point(33.0, 50.0), 3.0);
    // Whichever is said first, and on a carving that stands on the board.
    let dome =
        cushion(&[Contour::circle(point(30.0, 30.0), 20.0)], 1.0, 0.5, CushionProfile::Bevel);
    for order in [[&dome, &across, &up], [&up, &dome, &across]] {
        let all = order.map(Clone::clone).to_vec();
        let field = sampled(point(60.0, 60.0), &[], all, 0.2);
        // In the crossing's middle, in each arm, and on the deeper one's flank.
        for (x, y, deep) in [
            (30.1, 30.1, 3.0),
            (15.1, 30.1, 2.0),
            (30.1, 45.1, 3.0),
            (27.5, 45.1, 0.5 / half.tan()),
        ] {
            assert!(
                (at(&field, x, y) - (1.0 - deep)).abs() < 1e-5,
                "{x}, {y}: {}",
                at(&field, x, y)
            );
        }
    }
}

/// Closed form: a round cushion is a quarter of an ellipse over the distance to its outline.
#[test]
fn a_cushion_rises_round_from_its_outline() {
    let circle = Contour::circle(point(30.0, 30.0), 20.0);
    let field = sampled(
        point(60.0, 60.0),
        &[],
        vec![cushion(&[circle], 5.0, 12.0, CushionProfile::Round)],
        0.5,
    );
    for (i, j) in [(22, 60), (30, 61), (45, 45), (60, 60), (60, 99)] {
        let p = field.middle(i, j);
        let inside: f64 = 20.0 - p.distance(point(30.0, 30.0));
        let share = (inside / 12.0).min(1.0);
        let wanted = if inside > 0.0 { 5.0 * (1.0 - (1.0 - share).powi(2)).sqrt() } else { 0.0 };
        assert!((f64::from(field.height(i, j).unwrap()) - wanted).abs() < 1e-5, "{p:?}");
    }
}

#[test]
fn a_carving_meets_the_ground_as_asked() {
    let ground = -6.0;
    assert_eq!(Meeting::Added.height(ground, 2.0, 1.0), -4.0);
    assert_eq!(Meeting::SetIn(1.5).height(ground, 2.0, 1.0), -5.5);
    assert_eq!(Meeting::SetIn(1.5).height(ground, 0.0, 0.0), ground);
    // Blended: level where it leaves the ground, and below the plain form everywhere.
    let blended = |z: f64| Meeting::Blended(1.0).height(ground, z, 1.0) - ground;
    assert!(blended(1e-3) < 1e-5 && blended(4.0) > 3.0 && blended(4.0) < 4.0);
}

#[test]
fn turned_mirrored_and_enlarged_carvings_are_the_same_carving() {
    let motif = Arc::new(rosette(&Rosette { diameter: 20.0, petals: 5, whorls: 1, depth: 4.0 }));
    let frame = Frame::new(point(40.0, 30.0), 0.7, 1.5, true);
    let placed = Placed {
        carving: Carving::Motif(Arc::clone(&motif)),
        frames: vec![frame],
        deep: 2.0,
        meeting: Meeting::Added,
    };
    let field = sampled(point(80.0, 60.0), &[], vec![placed], 0.5);
    let mut carved = 0;
    for j in 0..field.rows() {
        for i in 0..field.columns() {
            let p = field.middle(i, j);
            let (z, cover) = motif.height(frame.local(p));
            let wanted = if cover > 0.0 { 2.0 * z } else { 0.0 };
            assert!((f64::from(field.height(i, j).unwrap()) - wanted).abs() < 1e-5, "{p:?}");
            carved += usize::from(cover > 0.0);
        }
    }
    assert!(carved > 1500, "{carved} cells carved");
    assert!(frame.place(frame.local(point(3.0, 4.0))).distance(point(3.0, 4.0)) < 1e-9);
}

#[test]
fn any_number_of_cores_gives_the_same_bytes() {
    let motif = rosette(&Rosette { diameter: 50.0, petals: 8, whorls: 2, depth: 4.0 });
    let placed = Placed {
        carving: Carving::Motif(Arc::new(motif)),
        frames: vec![Frame::moved(point(30.0, 30.0))],
        deep: 1.0,
        meeting: Meeting::Blended(0.5),
    };
    let relief = Relief {
        size: point(60.0, 60.0),
        ground: Ground::new(&[Stage::Bevel { width: 5.0, drop: 5.0 }]),
        carvings: vec![placed],
    };
    let with = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| relief.sample(0.4, &|_| {}).unwrap())
    };
    let rows = std::sync::atomic::AtomicUsize::new(0);
    let count = |n: usize| {
        rows.fetch_add(n, std::sync::atomic::Ordering::Relaxed);
    };
    let one = relief.sample(0.4, &count).unwrap();
    assert_eq!(rows.into_inner(), one.rows());
    let bits = |f: &HeightField| -> Vec<u32> {
        (0..f.rows())
            .flat_map(|j| f.row(j).iter().map(|z| z.to_bits()).collect::<Vec<_>>())
            .collect()
    };
    for threads in [1, 2, 5] {
        assert_eq!(bits(&with(threads)), bits(&one), "{threads} threads");
    }
}

/// Edges that run just through the middles of cells, turned a quarter turn at a time: every cell
/// is on one side, none on the wrong one.
#[test]
fn an_outline_on_the_grid_lines_is_filled_without_gaps() {
    let outline = ovolo::ornament::key_fret_outline(50.0, 10.0);
    for quarter in 0..4 {
        let turn = f64::from(quarter) * std::f64::consts::FRAC_PI_2;
        let frame = Frame::new(point(40.0, 40.0), turn, 1.0, false);
        let mut cut = cushion(std::slice::from_ref(&outline), -1.0, 0.5, CushionProfile::Bevel);
        cut.frames = vec![frame];
        let field = sampled(point(80.0, 80.0), &[], vec![cut], 0.25);
        for j in 0..field.rows() {
            for i in 0..field.columns() {
                let p = frame.local(field.middle(i, j));
                let (near, _) = outline.nearest(p).unwrap();
                if near > 1e-6 {
                    let wanted = if outline.contains(p) { -(near / 0.5).min(1.0) } else { 0.0 };
                    let z = f64::from(field.height(i, j).unwrap());
                    assert!((z - wanted).abs() < 1e-5, "{p:?} turned {quarter}: {z}, not {wanted}");
                }
            }
        }
    }
}
