//! Reads the outlines that tests and benches share, and asks a second library for the answer.
#![allow(dead_code, clippy::unwrap_used, missing_docs, unreachable_pub)]

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

/// A ten-thousandth of a millimetre a unit.
#[derive(Debug, Default, Copy, Clone, PartialEq, Hash)]
pub struct Fine;
impl PointScaler for Fine {
    const MULTIPLIER: f64 = 1e4;
}

/// Loops and area of the inset of polygons by the `clipper2` library. Its arc tolerance is its
/// default, 1/500 of the distance; loops under `least` square millimetres are left out.
pub fn clipper_inset(contours: &[Contour], distance: f64, least: f64) -> (usize, f64) {
    let loops = clipper_loops(contours, -distance);
    let areas: Vec<f64> = loops.iter().map(|c| c.area()).filter(|a| a.abs() > least).collect();
    (areas.len(), areas.iter().sum())
}

pub fn clipper_loops(contours: &[Contour], delta: f64) -> Vec<Contour> {
    let paths: Vec<Vec<(f64, f64)>> = contours
        .iter()
        .map(|c| c.vertices.iter().map(|v| (v.at.x, v.at.y)).collect())
        .collect();
    let paths: Paths<Fine> = paths.into();
    let out: Vec<Vec<(f64, f64)>> =
        clipper2::inflate(paths, delta, JoinType::Round, EndType::Polygon, 2.0).into();
    out.iter()
        .map(|p| Contour::polygon(&p.iter().map(|&(x, y)| point(x, y)).collect::<Vec<_>>()))
        .collect()
}

/// Loops over `least` square millimetres, and area of all.
pub fn summary(regions: &[Region], least: f64) -> (usize, f64) {
    let areas: Vec<f64> =
        regions.iter().flat_map(Region::contours).map(Contour::area).filter(|a| a.abs() > least).collect();
    (areas.len(), areas.iter().sum())
}
