//! Drawings as DXF: a layer for each kind of thing, true arcs, millimetres; thin lines
//! make way for lettering.

use super::gaps::Gaps;
use super::{Drawing, Layer, Shape};
use crate::diagnostic::Diagnostic;
use crate::drawing::{Anchor, Lettering, LineStyle};
use crate::geometry::{Contour, Piece, Point};
use ::dxf::entities::{self, Entity, EntityType};
use ::dxf::enums::{AcadVersion, DrawingUnits, HorizontalTextJustification, Units};
use ::dxf::tables;
use ::dxf::{LwPolylineVertex, Point as Place};
use std::f64::consts::FRAC_PI_2;

/// Height of capitals as a share of the size (DejaVu Sans).
const CAPITALS: f64 = 0.729;

/// The whole drawing, its origin where the opening's centre line meets the wall or the frieze's
/// lower edge. The same bytes for the same drawing.
///
/// # Errors
/// If the writer refuses it, which no drawing makes it do.
pub fn dxf(drawing: &Drawing) -> Result<Vec<u8>, Diagnostic> {
    let mut file = ::dxf::Drawing::new();
    settings(&mut file);
    for style in [LineStyle::Hidden, LineStyle::Centre, LineStyle::Adjacent] {
        file.add_line_type(line_type(style));
    }
    for layer in Layer::ALL {
        if drawing.entities.iter().any(|e| e.layer == layer) {
            file.add_layer(tables::Layer {
                name: layer.name().to_string(),
                ..tables::Layer::default()
            });
        }
    }
    let gaps = Gaps::of(drawing);
    for entity in &drawing.entities {
        for (specific, style) in specific(&entity.shape, &gaps) {
            let mut written = Entity::new(specific);
            written.common.layer = entity.layer.name().to_string();
            written.common.line_type_name = line_type_name(style).to_string();
            // In hundredths of a millimetre, a whole number of the format's series.
            let thick = style == LineStyle::Visible;
            written.common.lineweight_enum_value = if thick { 35 } else { 18 };
            file.add_entity(written);
        }
    }
    let mut bytes = Vec::new();
    file.save(&mut bytes)
        .map_err(|e| Diagnostic::error(format!("the drawing could not be written as DXF: {e}")))?;
    Ok(bytes)
}

/// Millimetres, and nothing that differs from run to run.
fn settings(file: &mut ::dxf::Drawing) {
    let header = &mut file.header;
    header.version = AcadVersion::R2007;
    header.default_drawing_units = Units::Millimeters;
    header.drawing_units = DrawingUnits::Metric;
    header.creation_date = Default::default();
    header.creation_date_universal = Default::default();
    header.update_date = Default::default();
    header.update_date_universal = Default::default();
    header.fingerprint_guid = Default::default();
    header.version_guid = Default::default();
}

fn line_type_name(style: LineStyle) -> &'static str {
    match style {
        LineStyle::Visible | LineStyle::Thin => "CONTINUOUS",
        LineStyle::Hidden => "dashed",
        LineStyle::Centre => "chain",
        LineStyle::Adjacent => "chain-two-dots",
    }
}

fn line_type(style: LineStyle) -> tables::LineType {
    let lengths: Vec<f64> = style
        .dashes()
        .iter()
        .enumerate()
        // Gaps are negative in this format.
        .map(|(i, length)| if i % 2 == 0 { *length } else { -length })
        .collect();
    tables::LineType {
        name: line_type_name(style).to_string(),
        element_count: lengths.len() as i32,
        total_pattern_length: lengths.iter().map(|l| l.abs()).sum(),
        complex_line_type_element_types: vec![0; lengths.len()],
        dash_dot_space_lengths: lengths,
        ..tables::LineType::default()
    }
}

fn specific(shape: &Shape, gaps: &Gaps) -> Vec<(EntityType, LineStyle)> {
    match shape {
        Shape::Line(style, contour) => {
            gaps.left_of(*style, contour).iter().map(|left| (line(left), *style)).collect()
        }
        Shape::Filled(corners) => vec![(EntityType::Solid(solid(corners)), LineStyle::Thin)],
        Shape::Text(at, lettering, text) => {
            vec![(EntityType::Text(self::text(*at, lettering, text)), LineStyle::Thin)]
        }
    }
}

/// Three or four corners; the format names the last two crosswise, and a third one twice.
fn solid(corners: &[Point]) -> entities::Solid {
    let corner = |i: usize| place(corners.get(i).or(corners.last()).copied().unwrap_or_default());
    entities::Solid {
        first_corner: corner(0),
        second_corner: corner(1),
        third_corner: corner(3),
        fourth_corner: corner(2),
        ..entities::Solid::default()
    }
}

/// A line, an arc, or a polyline whose arcs are bulges.
fn line(contour: &Contour) -> EntityType {
    let mut pieces = contour.pieces();
    if let (Some(only), None) = (pieces.next(), pieces.next()) {
        return match only.center() {
            Some(centre) if only.is_arc() => EntityType::Arc(arc(&only, centre)),
            _ => EntityType::Line(entities::Line {
                p1: place(only.from),
                p2: place(only.to),
                ..entities::Line::default()
            }),
        };
    }
    let vertices = contour.vertices.iter().map(|v| LwPolylineVertex {
        x: v.at.x,
        y: v.at.y,
        bulge: v.bulge,
        ..LwPolylineVertex::default()
    });
    let mut polyline =
        entities::LwPolyline { vertices: vertices.collect(), ..entities::LwPolyline::default() };
    polyline.set_is_closed(contour.closed);
    EntityType::LwPolyline(polyline)
}

/// Arcs run counter-clockwise in this format.
fn arc(piece: &Piece, centre: Point) -> entities::Arc {
    let (from, to) =
        if piece.bulge > 0.0 { (piece.from, piece.to) } else { (piece.to, piece.from) };
    let degrees = |p: Point| (p - centre).angle().to_degrees().rem_euclid(360.0);
    entities::Arc {
        center: place(centre),
        radius: piece.radius(),
        start_angle: degrees(from),
        end_angle: degrees(to),
        ..entities::Arc::default()
    }
}

fn text(at: Point, lettering: &Lettering, text: &str) -> entities::Text {
    let justified = match lettering.anchor {
        Anchor::Start => HorizontalTextJustification::Left,
        Anchor::Middle => HorizontalTextJustification::Center,
        Anchor::End => HorizontalTextJustification::Right,
    };
    entities::Text {
        location: place(at),
        // Where the text is not justified to the left this is its place.
        second_alignment_point: place(at),
        text_height: lettering.size * CAPITALS,
        // This format writes the degree sign so.
        value: text
            .chars()
            .map(|c| if c.is_control() { ' ' } else { c })
            .collect::<String>()
            .replace('°', "%%d"),
        rotation: if lettering.turned { FRAC_PI_2.to_degrees() } else { 0.0 },
        horizontal_text_justification: justified,
        ..entities::Text::default()
    }
}

fn place(p: Point) -> Place {
    Place::new(p.x, p.y, 0.0)
}
