//! What a cutter leaves, in closed form, within the stated bounds.
#![allow(clippy::unwrap_used)]

use ovolo::dry_run::removal::{ROUNDING, Section, Stock};
use ovolo::geometry::height_field::Resolution;
use ovolo::geometry::{Arc, HeightField, Plane, Point, Stroke, point, point3};
use std::f64::consts::{FRAC_1_SQRT_2, FRAC_PI_2, PI, TAU};

/// A board from (0, 0), its top at zero.
fn board(width: f64, height: f64, cell: f64) -> Stock {
    Stock::new(HeightField::new(point(0.0, 0.0), point(width, height), cell, 0.0).unwrap())
}

fn z(stock: &Stock, p: Point) -> f64 {
    f64::from(stock.field().at(p).unwrap())
}

/// The sample nearest to `p`: its place and height.
fn sample(stock: &Stock, p: Point) -> (Point, f64) {
    let field = stock.field();
    let i = ((p.x - field.min().x) / field.cell()).floor() as usize;
    let j = ((p.y - field.min().y) / field.cell()).floor() as usize;
    (field.middle(i, j), f64::from(field.height(i, j).unwrap()))
}

#[test]
fn a_slot_has_its_depth_its_wall_and_its_volume() {
    // Closed form: a rectangle and two half discs, area L d + pi d²/4. The error is no more
    // than a strip along the edge as wide as the bound in plan.
    let (length, d, depth): (f64, f64, f64) = (40.0, 6.0, 5.0);
    let exact = (length * d + PI * d * d / 4.0) * depth;
    let perimeter = 2.0 * length + PI * d;
    let mut errors = Vec::new();
    for cell in [0.5, 0.25, 0.125, 0.0625] {
        let mut stock = board(60.0, 30.0, cell);
        let stroke =
            Stroke::line(point3(10.13, 9.27, -depth), point3(10.13 + length, 9.27, -depth));
        let section = Section::flat(d / 2.0).unwrap();
        let removed = stock.remove(&stroke, &section).unwrap();
        let bound = cell * FRAC_1_SQRT_2;
        assert!((removed.volume - exact).abs() <= perimeter * bound * depth, "{removed:?}");
        assert!((stock.field().volume_above(-10.0) - (18000.0 - removed.volume)).abs() < 0.01);
        assert_eq!((removed.deepest, removed.floor, removed.top), (5.0, -5.0, 0.0));
        assert!((d - 2.0 * bound..=d + 1e-4).contains(&removed.width()), "{removed:?}");
        assert!(
            removed.angle(3.0) <= PI && removed.angle(3.0) > PI - 4.0 * (2.0 * bound / 3.0).sqrt()
        );
        for j in 0..stock.field().rows() {
            for i in 0..stock.field().columns() {
                let p = stock.field().middle(i, j);
                let near = point(p.x.clamp(10.13, 50.13), 9.27);
                let off = p.distance(near) - d / 2.0;
                if off.abs() > ROUNDING {
                    let wanted = if off < 0.0 { -5.0 } else { 0.0 };
                    assert_eq!(stock.field().height(i, j), Some(wanted), "{p:?}");
                }
            }
        }
        errors.push((removed.volume - exact).abs());
    }
    assert!(errors[3] < errors[0] / 4.0, "no convergence: {errors:?}");
}

#[test]
fn a_second_pass_engages_its_stepover_only() {
    let mut stock = board(60.0, 30.0, 0.25);
    let section = Section::flat(3.0).unwrap();
    let pass = |y: f64| Stroke::line(point3(-10.0, y, -4.0), point3(70.0, y, -4.0));
    let first = stock.remove(&pass(10.0), &section).unwrap();
    let second = stock.remove(&pass(11.5), &section).unwrap();
    assert!((first.width() - 6.0).abs() <= 0.36);
    // The strip from 13 to 14.5: 1.5 wide, from 1.5 to 3 left of the travel.
    assert!((second.volume - 1.5 * 60.0 * 4.0).abs() <= 60.0 * 4.0 * 0.25, "{second:?}");
    assert!((second.left - 3.0).abs() <= 0.25 && (second.right - 1.5).abs() <= 0.25, "{second:?}");
    let wanted = FRAC_PI_2 - 0.5_f64.asin();
    // The arc sine is steepest at the rim: a cell off there is the angle of its last cell.
    let bound = (1.0_f64 - 0.25 / 3.0).acos() + 0.1;
    assert!((second.angle(3.0) - wanted).abs() <= bound, "{second:?}");
    let third = stock.remove(&pass(11.5), &section).unwrap();
    assert!(!third.touched() && third.volume == 0.0, "{third:?}");
}

#[test]
fn a_ball_leaves_the_scallop_of_the_closed_form() {
    // r - sqrt(r² - s²/4): r 3 s 0.6, r 3 s 1, r 6.35 s 1.27, r 1.5 s 0.3 (closed form).
    for (r, s, scallop) in [
        (3.0, 0.6, 0.015_038),
        (3.0, 1.0, 0.041_960),
        (6.35, 1.27, 0.031_830),
        (1.5, 0.3, 0.007_519),
    ] {
        let cell = s / 20.0;
        let mut stock = board(40.0 * cell, 24.0, cell);
        let section = Section::ball(r).unwrap();
        // The ridge between two passes lies on a row of samples.
        let ridge = (200.0 + 0.5) * cell;
        for y in [ridge - 1.5 * s, ridge - s / 2.0, ridge + s / 2.0, ridge + 1.5 * s] {
            let stroke = Stroke::line(point3(-20.0, y, -2.0), point3(60.0, y, -2.0));
            stock.remove(&stroke, &section).unwrap();
        }
        let found = z(&stock, point(20.0 * cell, ridge)) + 2.0;
        assert!((found - scallop).abs() < 1e-6 + ROUNDING * s / r, "{found} for {scallop}");
        let between = point(1e9, ridge + s);
        let low = point(-1e9, ridge - s);
        let highest = f64::from(stock.field().highest_in_rectangle(low, between).unwrap());
        assert!((highest + 2.0 - scallop).abs() < 1e-4, "higher at {highest}");
    }
}

#[test]
fn a_ball_climbing_leaves_its_groove_square_to_the_slope() {
    // A ball of radius r whose tip rises by m: its lowest edge lies on the normal of the slope
    // below its centre, `z = tip(u) + r - r sqrt(1 + m²)` over the middle (closed form).
    let (r, m): (f64, f64) = (3.0, 0.75);
    let mut stock = board(40.0, 20.0, 0.25);
    let y = 10.125;
    let stroke = Stroke::line(point3(0.0, y, -30.0), point3(40.0, y, -30.0 + 40.0 * m));
    stock.remove(&stroke, &Section::ball(r).unwrap()).unwrap();
    for x in [5.0, 12.3, 20.0, 30.9] {
        let (p, z) = sample(&stock, point(x, y));
        let wanted = -30.0 + m * p.x + r - r * (1.0 + m * m).sqrt();
        assert!((z - wanted).abs() < ROUNDING, "{z} for {wanted}");
    }
}

#[test]
fn a_v_groove_has_its_width_and_straight_sides() {
    // Width at the surface 2 d tan(a / 2) for a sharp point, plus the flat tip (closed form).
    for (degrees, tip, depth) in [(60.0_f64, 0.0, 4.0), (90.0, 0.0, 3.0), (90.0, 0.4, 3.0)] {
        let cell = 0.0625;
        let mut stock = board(10.0, 20.0, cell);
        let section = Section::cone(6.0, tip, degrees.to_radians()).unwrap();
        let stroke = Stroke::line(point3(-9.0, 10.0, -depth), point3(19.0, 10.0, -depth));
        let removed = stock.remove(&stroke, &section).unwrap();
        let tangent = (degrees.to_radians() / 2.0).tan();
        let width = 2.0 * (depth * tangent + tip);
        let cut = (0..320).filter(|&j| stock.field().height(80, j).unwrap() < 0.0).count();
        assert!((cut as f64 * cell - width).abs() <= cell, "{cut} cells for {width}");
        let area = depth * (depth * tangent + 2.0 * tip);
        assert!((removed.volume / 10.0 - area).abs() < 0.02 * area, "{removed:?} for {area}");
        for j in 0..320 {
            let p = stock.field().middle(80, j);
            let off = ((p.y - 10.0).abs() - tip).max(0.0);
            let wanted = (-depth + off / tangent).min(0.0);
            let z = f64::from(stock.field().height(80, j).unwrap());
            assert!((z - wanted).abs() < 3.0 * ROUNDING, "{z} for {wanted}");
        }
    }
}

#[test]
fn a_helix_leaves_a_spiral_floor_and_a_level_turn_cleans_it() {
    // A square end of radius R on a helix of radius p falling by c a radian: over a sample at
    // distance D the lowest tip is the last that covers it, at the half angle
    // acos((D² + p² - R²) / (2 D p)) past it (closed form).
    let (p, r, fall): (f64, f64, f64) = (5.0, 3.0, 2.0 / TAU);
    let mut stock = board(24.0, 24.0, 0.25);
    let centre = point(12.03, 11.91);
    let section = Section::flat(r).unwrap();
    let turn = |z0: f64, z1: f64| Stroke {
        from: (centre + point(p, 0.0)).at(z0),
        to: (centre + point(p, 0.0)).at(z1),
        arc: Some(Arc { plane: Plane::Xy, center: centre, sweep: TAU }),
    };
    stock.remove(&turn(0.0, -2.0), &section).unwrap();
    let mut seen = 0;
    for j in 0..stock.field().rows() {
        for i in 0..stock.field().columns() {
            let off = stock.field().middle(i, j) - centre;
            let d = off.length();
            let cosine = (d * d + p * p - r * r) / (2.0 * d * p);
            if (d - p).abs() > r - 0.05 {
                continue;
            }
            let angle = off.angle().rem_euclid(TAU);
            // Samples near the start are met again at the end of the turn.
            let again = angle < cosine.acos();
            let last = if again { TAU } else { (angle + cosine.acos()).min(TAU) };
            let z = f64::from(stock.field().height(i, j).unwrap());
            assert!((z + fall * last).abs() < 1e-3, "{z} for {} at {off:?}", -fall * last);
            seen += 1;
        }
    }
    assert!(seen > 1000);
    let cleaned = stock.remove(&turn(-2.0, -2.0), &section).unwrap();
    assert!(cleaned.deepest < 2.0 && cleaned.touched());
    let ring = stock.field().volume_above(-2.0);
    let exact = 24.0 * 24.0 * 2.0 - PI * ((p + r).powi(2) - (p - r).powi(2)) * 2.0;
    assert!((ring - exact).abs() < 2.0 * TAU * 2.0 * p * 0.25 * FRAC_1_SQRT_2, "{ring} {exact}");
}

#[test]
fn a_taper_ball_leaves_a_cone_that_touches_a_sphere() {
    // Half angle a, ball b: they meet at distance b cos a, height b (1 - sin a); below it the
    // sphere, above it the cone of slope cot a (closed form).
    let (a, b): (f64, f64) = (7.0_f64.to_radians(), 0.75);
    let (meet, height) = (b * a.cos(), b * (1.0 - a.sin()));
    let section = Section::taper_ball(3.0, b, 2.0 * a).unwrap();
    let mut stock = board(8.0, 8.0, 0.03125);
    let tip = point3(4.01, 3.98, -12.0);
    stock.remove(&Stroke::line(point3(4.01, 3.98, 5.0), tip), &section).unwrap();
    let (mut on_ball, mut on_cone) = (0, 0);
    for j in 0..256 {
        for i in 0..256 {
            let r = stock.field().middle(i, j).distance(tip.xy());
            let rise = if r < meet {
                on_ball += 1;
                b - (b * b - r * r).sqrt()
            } else {
                on_cone += 1;
                height + (r - meet) / a.tan()
            };
            let wanted = if r > 3.0 { 0.0 } else { (-12.0 + rise).min(0.0) };
            let z = f64::from(stock.field().height(i, j).unwrap());
            // A tenth of a micron in plan is 8 times that in height on so steep a cone.
            assert!((z - wanted).abs() < ROUNDING, "{z} for {wanted} at {r}");
        }
    }
    assert!(on_ball > 1000 && on_cone > 10_000);
}

#[test]
fn a_round_groove_converges_on_its_volume() {
    // Segment of a circle: r² acos((r - d)/r) - (r - d) sqrt(2 r d - d²) (closed form).
    let (r, d): (f64, f64) = (3.175, 2.0);
    let area = r * r * ((r - d) / r).acos() - (r - d) * (2.0 * r * d - d * d).sqrt();
    let error = |cell: f64| {
        let mut stock = board(32.0, 16.0, cell);
        let stroke = Stroke::line(point3(-9.0, 7.77, -d), point3(41.0, 7.77, -d));
        let removed = stock.remove(&stroke, &Section::ball(r).unwrap()).unwrap();
        (removed.volume / 32.0 - area).abs()
    };
    let errors = [0.5, 0.25, 0.125, 0.0625].map(error);
    // Midpoint sums of a continuous section fall off at least as the cell does.
    for (error, cell) in errors.iter().zip([0.5, 0.25, 0.125, 0.0625]) {
        assert!(*error < 0.3 * d * cell, "{errors:?}");
    }
    assert!(errors[3] < errors[0] / 8.0, "{errors:?}");
}

#[test]
fn a_ramp_of_a_square_end_leaves_steps_of_no_height() {
    // Going down, the rear rim never cuts lower than the front: over the middle the floor is
    // the tip's height one radius further on (closed form).
    let mut stock = board(60.0, 12.0, 0.5);
    let stroke = Stroke::line(point3(5.0, 6.25, 0.0), point3(55.0, 6.25, -5.0));
    stock.remove(&stroke, &Section::flat(3.0).unwrap()).unwrap();
    for x in [10.2, 25.7, 40.4] {
        let (p, z) = sample(&stock, point(x, 6.25));
        assert!((z + (p.x + 3.0 - 5.0) / 10.0).abs() < ROUNDING, "{z} at {p:?}");
    }
}

#[test]
fn a_probe_tells_the_depth_and_leaves_the_field() {
    let mut stock = board(60.0, 30.0, 0.5);
    stock.raise(point(20.0, 5.0), point(30.0, 25.0), 25.0);
    let before = stock.field().clone();
    let holder = Section::flat(20.0).unwrap();
    let over = Stroke::line(point3(-10.0, 15.0, 25.1), point3(70.0, 15.0, 25.1));
    let into = Stroke::line(point3(-10.0, 15.0, 22.5), point3(70.0, 15.0, 22.5));
    let found = stock.probe_all(&[over, into, into], &holder).unwrap();
    assert!(!found[0].touched());
    assert_eq!((found[1].deepest, found[1].top), (2.5, 25.0));
    assert_eq!(found[1], found[2]);
    assert_eq!(stock.field(), &before);
    assert_eq!(found[1].volume, 10.0 * 20.0 * 2.5);
    assert_eq!(stock.field().highest_in_disc(point(10.0, 15.0), 9.0), Some(0.0));
    assert_eq!(stock.field().highest_in_disc(point(10.0, 15.0), 11.0), Some(25.0));
    assert_eq!(stock.field().highest_in_disc(point(-10.0, 15.0), 9.0), None);
    let across = stock.field().section(point(15.0, 15.1), point(65.0, 15.1), 6);
    assert_eq!(across, [Some(0.0), Some(25.0), Some(0.0), Some(0.0), Some(0.0), None]);
}

#[test]
fn the_cell_follows_the_smallest_cutter_until_memory_forces_it() {
    use ovolo::geometry::height_field::Limit;
    let table = point(1270.0, 5080.0);
    let fine = Resolution::choose(point(300.0, 200.0), 256e6, 3.0);
    assert_eq!((fine.cell, fine.limit), (0.25, Limit::Cutter));
    assert!((fine.plan_bound() - 0.25 * FRAC_1_SQRT_2).abs() < 1e-12);
    let forced = Resolution::choose(table, 64e6, 3.0);
    assert_eq!(forced.limit, Limit::Memory);
    assert!(forced.bytes <= 64e6 && forced.bytes > 60e6, "{forced:?}");
    assert_eq!((forced.cell * 256.0).fract(), 0.0);
}
