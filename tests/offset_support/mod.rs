//! Reads the outlines that tests and benches share, and asks a second library for the answer.
#![allow(dead_code, clippy::unwrap_used, missing_docs, unreachable_pub)]

pub mod bands;
pub mod hard;

use clipper2::{EndType, JoinType, Paths, PointScaler};
use ovolo::geometry::{Contour, Point, Region, point};
use std::io::Read;

/// An outline and its islands from `tests/outlines`: blocks of `ring N` and N lines `x y`.
pub fn outlines(name: &str) -> Vec<Contour> {
    let path = format!("{}/tests/outlines/{name}", env!("CARGO_MANIFEST_DIR"));
    let bytes = std::fs::read(&path).unwrap();
    let mut text = String::new();
    if name.ends_with(".gz") {
        flate2::read::GzDecoder::new(&bytes[..]).read_to_string(&mut text).unwrap();
    } else {
        text = String::from_utf8(bytes).unwrap();
    }
    let mut lines = text.lines();
    let mut contours = Vec::new();
    while let Some(head) = lines.next() {
        let count: usize = head.strip_prefix("ring ").unwrap().trim().parse().unwrap();
        let corners: Vec<Point> = (0..count)
            .map(|_| {
                let mut numbers = lines.next().unwrap().split_whitespace();
                let mut number = || numbers.next().unwrap().parse().unwrap();
                point(number(), number())
            })
            .collect();
        contours.push(Contour::polygon(&corners));
    }
    contours
}

pub fn region(name: &str) -> Region {
    let mut contours = outlines(name);
    let outer = contours.remove(0);
    Region::new(outer, contours).unwrap()
}

/// A millionth of a millimetre a unit.
#[derive(Debug, Default, Copy, Clone, PartialEq, Hash)]
pub struct Fine;
impl PointScaler for Fine {
    const MULTIPLIER: f64 = 1e6;
}

/// The corners about which an inset turns, rounded by a radius of two micrometres in steps of at
/// most `turn` radians. The `clipper2` library's arcs have a tolerance of 1/500 of the distance,
/// which its safe interface can not change; about corners that turn by less than its own step
/// they are chords within turn² / 8 of the distance.
pub fn softened(contour: &Contour, turn: f64) -> Contour {
    let n = contour.vertices.len();
    let corner = |i: usize| contour.vertices[i % n].at;
    let mut points = Vec::with_capacity(2 * n);
    for i in 0..n {
        let (before, at, after) = (corner(i + n - 1), corner(i), corner(i + 1));
        let (d1, d2) = ((at - before).unit().unwrap(), (after - at).unit().unwrap());
        let angle = d1.cross(d2).atan2(d1.dot(d2));
        let tangent = RADIUS * (angle.abs() / 2.0).tan();
        let short = at.distance(before).min(at.distance(after)) / 3.0;
        if angle >= -turn || tangent > short {
            points.push(at);
            continue;
        }
        let steps = (angle.abs() / turn).ceil() as usize;
        let (start, center) = (at - d1 * tangent, at - d1 * tangent - d1.left() * RADIUS);
        points.extend(
            (0..=steps).map(|k| center + (start - center).rotated(angle * k as f64 / steps as f64)),
        );
    }
    Contour::polygon(&points)
}

/// Of the rounding in [`softened`], millimetres: it moves the ring by less than that.
const RADIUS: f64 = 0.002;

/// Loops and area of the inset of polygons by the `clipper2` library, with arcs as fine as the
/// polygons are [`softened`], else within 1/500 of the distance; loops under `least` square millimetres are left out.
pub fn clipper_inset(contours: &[Contour], distance: f64, least: f64) -> (usize, f64) {
    let loops = clipper_loops(contours, -distance);
    let areas: Vec<f64> = loops.iter().map(|c| c.area()).filter(|a| a.abs() > least).collect();
    (areas.len(), areas.iter().sum())
}

pub fn clipper_loops(contours: &[Contour], delta: f64) -> Vec<Contour> {
    from_paths(clipper2::inflate(paths(contours), delta, JoinType::Round, EndType::Polygon, 2.0))
}

/// Fewer corners, none of them moved by more than `within` millimetres off the outline.
pub fn simplified(contours: &[Contour], within: f64) -> Vec<Contour> {
    from_paths(clipper2::simplify(paths(contours), within, false))
}

fn paths(contours: &[Contour]) -> Paths<Fine> {
    let corners = |c: &Contour| c.vertices.iter().map(|v| (v.at.x, v.at.y)).collect();
    contours.iter().map(corners).collect::<Vec<Vec<(f64, f64)>>>().into()
}

fn from_paths(paths: Paths<Fine>) -> Vec<Contour> {
    let loops: Vec<Vec<(f64, f64)>> = paths.into();
    loops
        .iter()
        .map(|p| Contour::polygon(&p.iter().map(|&(x, y)| point(x, y)).collect::<Vec<_>>()))
        .collect()
}

/// Loops over `least` square millimetres, and area of all.
pub fn summary(regions: &[Region], least: f64) -> (usize, f64) {
    let areas: Vec<f64> = regions
        .iter()
        .flat_map(Region::contours)
        .map(Contour::area)
        .filter(|a| a.abs() > least)
        .collect();
    (areas.len(), areas.iter().sum())
}
