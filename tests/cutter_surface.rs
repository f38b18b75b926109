//! The cutter surface against plain loops of its definition, bit for bit.

#![allow(clippy::unwrap_used)]

use ovolo::geometry::cutter_surface::{CutterEnd, CutterSurface};
use ovolo::geometry::{HeightField, point};
use proptest::prelude::*;

/// Relief less section over every node under the cutter; sections as circle and cone give them.
fn plain(field: &HeightField, section: &dyn Fn(f64) -> f64, radius: f64, j: usize) -> Vec<f32> {
    let cell = field.cell();
    let reach = (radius / cell).ceil() as isize + 1;
    let value = |i: usize| {
        let mut best = f32::NEG_INFINITY;
        for dy in -reach..=reach {
            for dx in -reach..=reach {
                let r = (dx as f64 * cell).hypot(dy as f64 * cell);
                let (x, y) = (i as isize + dx, j as isize + dy);
                if r > radius * (1.0 + 1e-9) || x < 0 || y < 0 {
                    continue;
                }
                if let Some(h) = field.height(x as usize, y as usize) {
                    best = best.max(h - section(r.min(radius)) as f32);
                }
            }
        }
        best + 0.0
    };
    (0..field.columns()).map(value).collect()
}

fn field(columns: usize, rows: usize, height: &dyn Fn(usize, usize) -> f32) -> HeightField {
    let size = point(columns as f64 * 0.1, rows as f64 * 0.1);
    let mut field = HeightField::new(point(0.0, 0.0), size, 0.1, 0.0).unwrap();
    for j in 0..rows {
        let row: Vec<f32> = (0..columns).map(|i| height(i, j)).collect();
        field.set_row(j, &row);
    }
    field
}

/// A cutter's end, its section written anew, and its radius.
type Case = (CutterEnd, Box<dyn Fn(f64) -> f64>, f64);

fn ends() -> Vec<Case> {
    let ball = |r: f64| move |d: f64| r - (r * r - d * d).max(0.0).sqrt();
    let deg = f64::to_radians;
    let mut all: Vec<Case> = Vec::new();
    for r in [0.05, 0.5, 1.5, 3.175, 6.0] {
        all.push((CutterEnd::ball(r).unwrap(), Box::new(ball(r)), r));
        all.push((CutterEnd::flat(r).unwrap(), Box::new(|_| 0.0), r));
    }
    let bull = move |d: f64| ball(1.0)((d - 2.0).max(0.0));
    all.push((CutterEnd::bull_nose(3.0, 1.0).unwrap(), Box::new(bull), 3.0));
    // A 60 degree cone rises by the root of 3 for each millimetre out of its flat.
    let cone = move |d: f64| (1.0 / deg(30.0).tan()) * (d - 0.25).max(0.0);
    all.push((CutterEnd::cone(2.0, 0.25, deg(60.0)).unwrap(), Box::new(cone), 2.0));
    // A ball of 0.5 in a cone of 20 degrees: they touch where the ball is as steep as the cone.
    let taper = move |d: f64| {
        let (s, c) = deg(10.0).sin_cos();
        if d <= 0.5 * c { ball(0.5)(d) } else { 0.5 * (1.0 - s) + c / s * (d - 0.5 * c) }
    };
    all.push((CutterEnd::taper_ball(1.5, 0.5, deg(20.0)).unwrap(), Box::new(taper), 1.5));
    all
}

fn same(field: &HeightField, first: usize, step: usize, count: usize) {
    for (end, section, radius) in ends() {
        let rows = CutterSurface::new(&end, field.cell()).rows(field, first, step, count);
        assert_eq!(rows.len(), count * field.columns());
        for (k, row) in rows.chunks_exact(field.columns()).enumerate() {
            let wanted = plain(field, &section, radius, first + k * step);
            let same = row.iter().zip(&wanted).all(|(a, b)| a.to_bits() == b.to_bits());
            assert!(same, "row {k} of {end:?}");
        }
    }
}

#[test]
fn waves_steps_and_the_level_are_found_as_by_plain_loops() {
    let wave = |i: usize, j: usize| {
        let (x, y) = (i as f32 * 0.1, j as f32 * 0.1);
        let step = if i > 70 && j > 20 { 3.0 } else { 0.0 };
        if i < 30 { 0.0 } else { step + 2.0 * x.sin() * (1.3 * y).cos() }
    };
    same(&field(131, 47, &wave), 1, 3, 15);
}

#[test]
fn a_tower_beside_fine_relief_makes_its_bounds_no_coarser_than_they_may_be() {
    // Six metres: what bounds are rounded to is as much as the relief rises.
    for tower in [6000.0, f32::INFINITY] {
        let fine = |i: usize, j: usize| match (i, j) {
            (120, 40) => tower,
            _ => ((i * 7919 + j * 104_729) % 997) as f32 / 3000.0,
        };
        same(&field(131, 47, &fine), 0, 2, 20);
    }
}

#[test]
fn places_beyond_the_field_stand_free() {
    // The last rows asked for lie outside: the section of a ball reaches back to the field.
    let level = field(20, 10, &|_, _| 5.0);
    let rows = CutterSurface::new(&CutterEnd::ball(1.5).unwrap(), 0.1).rows(&level, 9, 1, 17);
    assert_eq!(rows[0], 5.0);
    assert_eq!(rows[10 * 20 + 10], (5.0 - (1.5 - (1.5_f32.powi(2) - 1.0).sqrt())));
    assert_eq!(rows[16 * 20 + 10], f32::NEG_INFINITY);
}

#[test]
fn threads_and_bands_leave_no_trace() {
    let chance = |i: usize, j: usize| ((i * 7919 + j * 104_729) % 997) as f32 / 300.0;
    let field = field(600, 300, &chance);
    let surface = CutterSurface::new(&CutterEnd::ball(1.5).unwrap(), 0.1);
    let on = |threads| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| surface.rows(&field, 0, 1, 300))
    };
    let (one, three) = (on(1), on(3));
    assert!(one.iter().zip(&three).all(|(a, b)| a.to_bits() == b.to_bits()));
    let each: Vec<f32> = (0..300).flat_map(|j| surface.rows(&field, j, 1, 1)).collect();
    assert!(one.iter().zip(&each).all(|(a, b)| a.to_bits() == b.to_bits()));
}

#[test]
fn what_a_ball_leaves_of_a_plane_is_the_plane_and_of_a_groove_is_less() {
    // A groove 1 mm wide and 2 mm deep: a ball of 3 mm bridges it and leaves
    // r - sqrt(r² - w²/4) above its edges' level at its middle (closed form: the chord).
    let groove = |i: usize, _: usize| if (95..=105).contains(&i) { -2.0 } else { 0.0 };
    let field = field(201, 61, &groove);
    let surface = CutterSurface::new(&CutterEnd::ball(1.5).unwrap(), 0.1);
    let left = surface.left(&surface.over(&field));
    let sag = 1.5 - (1.5_f64.powi(2) - 0.6 * 0.6).sqrt();
    assert!((f64::from(left.height(100, 30).unwrap()) + sag).abs() < 1e-5);
    assert!(left.height(20, 30).unwrap().abs() < 1e-6);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn any_heights_are_found_as_by_plain_loops(
        heights in prop::collection::vec(-4.0_f32..4.0, 37 * 23),
        first in 0_usize..5,
        step in 1_usize..4,
    ) {
        same(&field(37, 23, &|i, j| heights[j * 37 + i]), first, step, 6);
    }
}
