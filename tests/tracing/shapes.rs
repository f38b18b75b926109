//! Known shapes: circles, ellipses, splines, units and layers.

use crate::write::{dxf_of, page};
use dxf::entities::{Circle, Ellipse, EntityType, Spline};
use ovolo::geometry::{Contour, Point, point};
use ovolo::tracing::{Options, outlines};
use ovolo::units::Unit;
use std::f64::consts::{PI, TAU};

fn all(bytes: &[u8], options: &Options) -> Vec<Contour> {
    let read = outlines("t", bytes, options).unwrap();
    assert!(read.warnings.is_empty(), "{:?}", read.warnings);
    read.contours
}

fn one(bytes: &[u8]) -> Contour {
    let mut contours = all(bytes, &Options::default());
    assert_eq!(contours.len(), 1);
    contours.remove(0)
}

fn size(contour: &Contour) -> (f64, f64) {
    let (low, high) = contour.bounds().unwrap();
    (high.x - low.x, high.y - low.y)
}

/// Greatest distance between a contour and dense points of a curve, measured both ways.
fn apart(contour: &Contour, curve: &[Point]) -> (f64, f64) {
    let there = curve.iter().map(|&p| contour.nearest(p).unwrap().0).fold(0.0, f64::max);
    let line = Contour::polygon(curve);
    let back =
        contour.flattened(1e-4).iter().map(|&p| line.nearest(p).unwrap().0).fold(0.0, f64::max);
    (there, back)
}

fn assert_within(contour: &Contour, curve: &[Point], tolerance: f64) {
    let (there, back) = apart(contour, curve);
    // The polygon of the curve's points is itself off by under 0.0005 mm in these tests.
    assert!(there <= tolerance + 1e-9 && back <= tolerance + 5e-4, "{there} {back}");
}

#[test]
fn a_circle_is_two_half_circles() {
    for bytes in [
        page(200.0, 100.0, "<circle cx='50' cy='30' r='20'/>").into_bytes(),
        page(200.0, 100.0, "<path d='M30 30a20 20 0 0 1 40 0 20 20 0 01-40 0z'/>").into_bytes(),
        page(200.0, 100.0, "<rect x='30' y='10' width='40' height='40' rx='20'/>").into_bytes(),
        dxf_of([EntityType::Circle(Circle::new(dxf::Point::new(50.0, 70.0, 0.0), 20.0))]),
    ] {
        let circle = one(&bytes);
        assert!((circle.area() - PI * 400.0).abs() < 1e-9);
        assert!(circle.pieces().all(|p| p.center().unwrap().distance(point(50.0, 70.0)) < 1e-9));
    }
}

#[test]
fn a_circle_of_four_cubics_is_followed_both_ways() {
    // The usual four-cubic circle, k = 4/3 (sqrt 2 - 1), is up to 0.027 % too large; here 0.027 mm,
    // so the arcs must follow the cubics and not the circle that was meant.
    let (r, k) = (100.0, 400.0 / 3.0 * (2f64.sqrt() - 1.0));
    let d =
        format!("M{r} 0C{r} {k} {k} {r} 0 {r}S-{r} {k} -{r} 0 -{k} -{r} 0 -{r} {r} -{k} {r} 0z");
    let text = page(300.0, 300.0, &format!("<path transform='translate(150 150)' d='{d}'/>"));
    let contour = one(text.as_bytes());
    let quarter = |t: f64| {
        let s = 1.0 - t;
        let (a, b, c, e) = (s * s * s, 3.0 * s * s * t, 3.0 * s * t * t, t * t * t);
        point(r * a + r * b + k * c, k * b + r * c + r * e)
    };
    let curve: Vec<Point> = (0..4000)
        .map(|i| {
            let turns = f64::from(i / 1000) * PI / 2.0;
            quarter(f64::from(i % 1000) / 1000.0).rotated(turns) + point(150.0, 150.0)
        })
        .collect();
    assert_within(&contour, &curve, 0.005);
    assert!(contour.vertices.len() <= 64, "{} arcs", contour.vertices.len());
}

#[test]
fn an_ellipse_is_followed_both_ways() {
    let (a, b, turn) = (60.0, 25.0, 0.3f64);
    let curve: Vec<Point> = (0..4000)
        .map(|i| {
            let t = f64::from(i) / 4000.0 * TAU;
            point(a * t.cos(), b * t.sin()).rotated(turn) + point(100.0, 100.0)
        })
        .collect();
    let ellipse = Ellipse {
        center: dxf::Point::new(100.0, 100.0, 0.0),
        major_axis: dxf::Vector::new(a * turn.cos(), a * turn.sin(), 0.0),
        minor_axis_ratio: b / a,
        start_parameter: 0.0,
        end_parameter: TAU,
        ..Default::default()
    };
    // With y down the turn goes the other way.
    let svg = format!(
        "<ellipse rx='{a}' ry='{b}' transform='translate(100 100) rotate({})'/>",
        -turn.to_degrees()
    );
    for bytes in [page(200.0, 200.0, &svg).into_bytes(), dxf_of([EntityType::Ellipse(ellipse)])] {
        for tolerance in [0.1, 0.005] {
            let options = Options { tolerance, ..Options::default() };
            let contour = all(&bytes, &options).remove(0);
            assert_within(&contour, &curve, tolerance);
        }
    }
}

#[test]
fn a_rational_spline_of_nine_points_is_a_circle() {
    // The circle of nine control points with weights 1 and sqrt(1/2) (L. Piegl and W. Tiller,
    // The NURBS Book, section 7.5).
    let w = 0.5f64.sqrt();
    let corners = [(1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0), (-1, -1), (0, -1), (1, -1), (1, 0)];
    let spline = Spline {
        flags: 1,
        degree_of_curve: 2,
        control_points: corners
            .iter()
            .map(|&(x, y)| dxf::Point::new(30.0 * f64::from(x), 30.0 * f64::from(y), 0.0))
            .collect(),
        weight_values: (0..9).map(|i| if i % 2 == 0 { 1.0 } else { w }).collect(),
        knot_values: [0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4].map(f64::from).to_vec(),
        ..Default::default()
    };
    let contour = one(&dxf_of([EntityType::Spline(spline)]));
    let worst =
        contour.flattened(1e-5).iter().map(|p| (p.length() - 30.0).abs()).fold(0.0, f64::max);
    assert!(worst <= 0.005 + 1e-5, "{worst}");
    // Perimeter times tolerance bounds what the area may be off.
    assert!((contour.area() - PI * 900.0).abs() < TAU * 30.0 * 0.005);
}

#[test]
fn an_open_uniform_cubic_spline_passes_where_de_boor_says() {
    // Uniform cubic, knots 0 to 7 for four points: the one span runs from (p0 + 4 p1 + p2)/6 to
    // (p1 + 4 p2 + p3)/6 (C. de Boor, A Practical Guide to Splines). A line closes it.
    let points = [(0.0, 0.0), (60.0, 120.0), (120.0, -60.0), (180.0, 60.0)];
    let (from, to) = (point(60.0, 70.0), point(120.0, -10.0));
    let spline = Spline {
        degree_of_curve: 3,
        control_points: points.iter().map(|&(x, y)| dxf::Point::new(x, y, 0.0)).collect(),
        knot_values: (0..8).map(f64::from).collect(),
        ..Default::default()
    };
    let corner = dxf::Point::new(0.0, -100.0, 0.0);
    let end = |p: Point| dxf::Point::new(p.x, p.y, 0.0);
    let line = |a, b| EntityType::Line(dxf::entities::Line::new(a, b));
    let contour = one(&dxf_of([
        EntityType::Spline(spline),
        line(end(from), corner.clone()),
        line(corner, end(to)),
    ]));
    for p in [from, to] {
        assert!(contour.vertices.iter().any(|v| v.at.distance(p) < 1e-9));
    }
    // The middle of a uniform cubic: (p0 + 23 p1 + 23 p2 + p3) / 48.
    let middle = point(
        (60.0 + 120.0) * 23.0 / 48.0 + 180.0 / 48.0,
        (120.0 - 60.0) * 23.0 / 48.0 + 60.0 / 48.0,
    );
    assert!(contour.nearest(middle).unwrap().0 <= 0.005);
}

#[test]
fn sizes_come_from_the_page() {
    let rect = "<rect x='1' y='1' width='4' height='2'/>";
    let read = |head: &str, units| {
        let text = format!("<svg {head}>{rect}</svg>");
        size(&all(text.as_bytes(), &Options { units, ..Options::default() })[0])
    };
    let close = |a: (f64, f64), b: (f64, f64)| {
        assert!((a.0 - b.0).abs() < 1e-9 && (a.1 - b.1).abs() < 1e-9, "{a:?} {b:?}");
    };
    close(read("width='10in' height='5in' viewBox='0 0 10 5'", None), (101.6, 50.8));
    close(read("width='100mm' height='50mm' viewBox='0 0 10 5'", None), (40.0, 20.0));
    close(read("width='5cm' viewBox='0 0 10 5'", None), (20.0, 10.0));
    // 96 px to the inch (CSS Values 3, section 6.2).
    close(read("width='960' height='480' viewBox='0 0 10 5'", None), (101.6, 50.8));
    close(read("width='96' height='96'", None), (4.0 * 25.4 / 96.0, 2.0 * 25.4 / 96.0));
    close(read("width='72pt' height='6pc' viewBox='0 0 10 10'", None), (4.0 * 2.54, 2.0 * 2.54));
    // A page of another shape than its view box: the smaller scale for both (SVG 1.1, 7.8).
    close(read("width='100mm' height='100mm' viewBox='0 0 10 5'", None), (40.0, 20.0));
    close(
        read("width='100mm' height='100mm' viewBox='0 0 10 5' preserveAspectRatio='none'", None),
        (40.0, 40.0),
    );
    close(read("viewBox='0 0 10 5'", Some(Unit::In)), (101.6, 50.8));
    close(read("width='100mm' height='50mm' viewBox='0 0 10 5'", Some(Unit::Mm)), (4.0, 2.0));
}

#[test]
fn y_is_up_from_the_page_s_lower_edge() {
    let text = page(100.0, 80.0, "<rect x='10' y='5' width='30' height='20'/>");
    let (low, high) = one(text.as_bytes()).bounds().unwrap();
    assert!(low.distance(point(10.0, 55.0)) < 1e-9 && high.distance(point(40.0, 75.0)) < 1e-9);
}

#[test]
fn a_layer_is_a_group_by_its_id_or_label() {
    let text = "<svg xmlns='http://www.w3.org/2000/svg' xmlns:x='urn:x' width='100mm' \
        height='100mm' viewBox='0 0 100 100'><g id='a'><rect width='10' height='10'/></g>\
        <g x:label='cut'><g><rect width='20' height='10'/></g></g></svg>";
    let on = |layer: &str| {
        let options = Options { layer: Some(layer.to_string()), ..Options::default() };
        size(&all(text.as_bytes(), &options)[0]).0
    };
    assert!((on("a") - 10.0).abs() < 1e-9 && (on("cut") - 20.0).abs() < 1e-9);
}

#[test]
fn a_shape_used_elsewhere_stands_there() {
    let text = "<svg xmlns='http://www.w3.org/2000/svg' xmlns:xlink='http://www.w3.org/1999/xlink' \
        width='100mm' height='100mm' viewBox='0 0 100 100'><defs>\
        <rect id='r' width='10' height='10'/></defs>\
        <use xlink:href='#r' x='5' y='5'/><use href='#r' transform='translate(50 50)'/></svg>";
    let read = all(text.as_bytes(), &Options::default());
    assert!(read[0].bounds().unwrap().0.distance(point(5.0, 85.0)) < 1e-9);
    assert!(read[1].bounds().unwrap().0.distance(point(50.0, 40.0)) < 1e-9);
}

#[test]
fn a_block_stands_where_it_is_used_turned_and_scaled() {
    let text = dxf_text(
        "0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nB\n10\n1\n20\n1\n\
         0\nLWPOLYLINE\n70\n1\n10\n1\n20\n1\n10\n5\n20\n1\n10\n5\n20\n3\n10\n1\n20\n3\n\
         0\nENDBLK\n0\nENDSEC\n",
        "0\nINSERT\n8\nparts\n2\nB\n10\n100\n20\n50\n41\n2\n42\n2\n50\n90\n",
    );
    let options = Options { layer: Some("parts".to_string()), ..Options::default() };
    let (low, high) = all(text.as_bytes(), &options)[0].bounds().unwrap();
    assert!(low.distance(point(96.0, 50.0)) < 1e-9 && high.distance(point(100.0, 58.0)) < 1e-9);
}

#[test]
fn an_old_polyline_and_one_seen_from_behind() {
    let vertex = |x: f64, y: f64, bulge: f64| format!("0\nVERTEX\n10\n{x}\n20\n{y}\n42\n{bulge}\n");
    let corners = vertex(0.0, 0.0, 0.0)
        + &vertex(20.0, 0.0, 1.0)
        + &vertex(20.0, 10.0, 0.0)
        + &vertex(0.0, 10.0, 0.0);
    for (back, left) in [("", 0.0), ("230\n-1\n", -25.0)] {
        let text = dxf_text("", &format!("0\nPOLYLINE\n70\n1\n{back}{corners}0\nSEQEND\n"));
        let contour = one(text.as_bytes());
        assert!((contour.area() - (200.0 + PI * 12.5)).abs() < 1e-9);
        let (low, _) = contour.bounds().unwrap();
        assert!(low.distance(point(left, 0.0)) < 1e-9, "{low:?}");
    }
}

/// A text DXF in millimetres.
pub(crate) fn dxf_text(before: &str, entities: &str) -> String {
    format!(
        "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n{before}\
         0\nSECTION\n2\nENTITIES\n{entities}0\nENDSEC\n0\nEOF\n"
    )
}
