//! Contours written as drawings, by the formats' own rules and by a library.

use dxf::entities::{Arc, Entity, EntityType, Line, LwPolyline};
use ovolo::geometry::{Contour, Piece};
use std::fmt::Write;

/// A page of so many millimetres with something in it, one user unit a millimetre.
pub(crate) fn page(width: f64, height: f64, inside: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" \
         viewBox=\"0 0 {width} {height}\">{inside}</svg>"
    )
}

/// A contour as a path on a page 1000 mm high: y down, and arcs by their end points.
pub(crate) fn svg(contour: &Contour) -> String {
    let mut d = String::new();
    for (i, p) in contour.pieces().enumerate() {
        if i == 0 {
            write!(d, "M{} {}", p.from.x, 1000.0 - p.from.y).unwrap();
        }
        let (x, y) = (p.to.x, 1000.0 - p.to.y);
        if p.is_arc() {
            let large = i32::from(p.sweep().abs() > std::f64::consts::PI);
            // With y down a left turn goes against the sweep flag.
            let sweep = i32::from(p.bulge < 0.0);
            write!(d, "A{r} {r} 0 {large} {sweep} {x} {y}", r = p.radius()).unwrap();
        } else {
            write!(d, "L{x} {y}").unwrap();
        }
    }
    if contour.closed {
        d.push('Z');
    }
    page(1000.0, 1000.0, &format!("<path d=\"{d}\"/>"))
}

/// Entities as a text DXF in millimetres, by a library.
pub(crate) fn dxf_of(entities: impl IntoIterator<Item = EntityType>) -> Vec<u8> {
    let mut drawing = dxf::Drawing::new();
    drawing.header.version = dxf::enums::AcadVersion::R2007;
    drawing.header.default_drawing_units = dxf::enums::Units::Millimeters;
    for entity in entities {
        drawing.add_entity(Entity::new(entity));
    }
    let mut bytes = Vec::new();
    drawing.save(&mut bytes).unwrap();
    bytes
}

/// A contour as one polyline with bulges.
pub(crate) fn polyline(contour: &Contour) -> Vec<u8> {
    let vertices = contour.vertices.iter().map(|v| dxf::LwPolylineVertex {
        x: v.at.x,
        y: v.at.y,
        bulge: v.bulge,
        ..Default::default()
    });
    let mut line = LwPolyline { vertices: vertices.collect(), ..Default::default() };
    line.set_is_closed(contour.closed);
    dxf_of([EntityType::LwPolyline(line)])
}

/// One piece as a line or an arc, which a DXF always draws counter-clockwise.
pub(crate) fn loose(piece: &Piece) -> EntityType {
    let at = |p: ovolo::geometry::Point| dxf::Point::new(p.x, p.y, 0.0);
    let Some(center) = piece.center() else {
        return EntityType::Line(Line::new(at(piece.from), at(piece.to)));
    };
    let (from, to) =
        if piece.bulge > 0.0 { (piece.from, piece.to) } else { (piece.to, piece.from) };
    let angle = |p: ovolo::geometry::Point| (p - center).angle().to_degrees();
    EntityType::Arc(Arc::new(at(center), piece.radius(), angle(from), angle(to)))
}
