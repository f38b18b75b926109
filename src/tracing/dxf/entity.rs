//! The curves of one entity.

use super::groups::Record;
use super::spline;
use crate::geometry::{Piece, Point, point};
use crate::tracing::curve::Curve;
use kurbo::Affine;
use std::f64::consts::TAU;

/// A polyline's flags (group 70): closed; and the kinds that are meshes or stand in space.
const CLOSED: i64 = 1;
const IN_SPACE: i64 = 8 | 16 | 64;

/// A corner's flag (group 70): a frame that a curve was fitted to, which is not drawn.
const FRAME: i64 = 16;

/// Curves that follow one another, and whether they close.
type Shape = (Vec<Curve>, bool);

/// What an entity draws; `None` for a kind that is no outline.
///
/// # Errors
/// What is wrong with it.
pub(super) fn shape(record: &Record, corners: &[&Record]) -> Result<Option<Shape>, String> {
    // Lines, ellipses and splines stand in the world; the rest in the plane of their extrusion.
    let flat = || mirror(record);
    let turned = |(curves, closed): Shape, map: Affine| {
        (curves.iter().map(|c: &Curve| c.mapped(map)).collect(), closed)
    };
    Ok(Some(match record.kind {
        "LINE" => {
            let level = (record.number(30, 0.0)? - record.number(31, 0.0)?).abs() < 1e-6;
            if !level {
                return Err("LINE: its ends are at two heights".to_string());
            }
            (vec![Curve::Line(pair(record, 10)?, pair(record, 11)?)], false)
        }
        "CIRCLE" => turned((vec![circle(record, 0.0, TAU)?], true), flat()?),
        "ARC" => {
            let start = record.needed(50)?.to_radians();
            let sweep = (record.needed(51)?.to_radians() - start).rem_euclid(TAU);
            let sweep = if sweep < 1e-12 { TAU } else { sweep };
            turned((vec![circle(record, start, sweep)?], false), flat()?)
        }
        "ELLIPSE" => ellipse(record)?,
        "LWPOLYLINE" => turned(light(record)?, flat()?),
        "POLYLINE" if record.whole(70).unwrap_or(0) & IN_SPACE == 0 => {
            turned(heavy(record, corners)?, flat()?)
        }
        "SPLINE" => spline::read(record)?,
        _ => return Ok(None),
    }))
}

/// The map from an entity's own plane to the drawing's: the plane as it is, or seen from behind.
///
/// # Errors
/// A plane that is tilted.
pub(super) fn mirror(record: &Record) -> Result<Affine, String> {
    let up = [record.number(210, 0.0)?, record.number(220, 0.0)?, record.number(230, 1.0)?];
    let level = up[0].abs() < 1e-9 && up[1].abs() < 1e-9;
    match level {
        true if up[2] > 0.0 => Ok(Affine::IDENTITY),
        true if up[2] < 0.0 => Ok(Affine::FLIP_X),
        _ => Err(format!("{}: it lies in a tilted plane", record.kind)),
    }
}

fn pair(record: &Record, code: i32) -> Result<Point, String> {
    Ok(point(record.needed(code)?, record.needed(code + 10)?))
}

fn positive(record: &Record, code: i32) -> Result<f64, String> {
    let value = record.needed(code)?;
    let fits = value > 0.0;
    fits.then_some(value).ok_or_else(|| format!("{}: a radius of {value}", record.kind))
}

fn circle(record: &Record, start: f64, sweep: f64) -> Result<Curve, String> {
    let r = positive(record, 40)?;
    let (u, v) = (point(r, 0.0), point(0.0, r));
    Ok(Curve::Ellipse { center: pair(record, 10)?, u, v, start, sweep })
}

fn ellipse(record: &Record) -> Result<Shape, String> {
    let u = pair(record, 11)?;
    let ratio = positive(record, 40)?;
    let behind = mirror(record)? != Affine::IDENTITY;
    let v = u.left() * if behind { -ratio } else { ratio };
    let start = record.number(41, 0.0)?;
    let sweep = (record.number(42, TAU)? - start).rem_euclid(TAU);
    let whole = !(1e-9..=TAU - 1e-9).contains(&sweep);
    let sweep = if whole { TAU } else { sweep };
    Ok((vec![Curve::Ellipse { center: pair(record, 10)?, u, v, start, sweep }], whole))
}

/// A polyline whose corners stand in its own groups.
fn light(record: &Record) -> Result<Shape, String> {
    let mut corners: Vec<(Point, f64)> = Vec::new();
    for &(code, text) in &record.groups {
        match (code, corners.last_mut()) {
            (10, _) => corners.push((point(record.parsed(10, text)?, 0.0), 0.0)),
            (20, Some(last)) => last.0.y = record.parsed(20, text)?,
            (42, Some(last)) => last.1 = record.parsed(42, text)?,
            _ => {}
        }
    }
    Ok(bulged(&corners, record.whole(70).unwrap_or(0) & CLOSED != 0))
}

/// A polyline whose corners are records of their own.
fn heavy(record: &Record, corners: &[&Record]) -> Result<Shape, String> {
    let drawn = corners.iter().filter(|c| c.whole(70).unwrap_or(0) & FRAME == 0);
    let corners = drawn.map(|c| Ok((pair(c, 10)?, c.number(42, 0.0)?)));
    let corners = corners.collect::<Result<Vec<_>, String>>()?;
    Ok(bulged(&corners, record.whole(70).unwrap_or(0) & CLOSED != 0))
}

fn bulged(corners: &[(Point, f64)], closed: bool) -> Shape {
    let next = corners.iter().cycle().skip(1);
    let count = if closed { corners.len() } else { corners.len().saturating_sub(1) };
    let curves = corners
        .iter()
        .zip(next)
        .take(count)
        .filter(|(a, b)| a.0 != b.0)
        .map(|(a, b)| Curve::of_piece(&Piece { from: a.0, to: b.0, bulge: a.1 }))
        .collect();
    (curves, closed)
}
