//! Heights as a picture: light from the upper left, and the shadow that one form casts on the
//! next.

use crate::geometry::HeightField;
use rayon::prelude::*;

/// Direction to the light: from the upper left, 39 degrees above the board (drawing practice:
/// light falls from the upper left).
const LIGHT: [f64; 3] = [-0.55, 0.55, 0.63];

/// How far a shadow is followed, as steps of a cell.
const REACH: i64 = 60;

/// Brightness of the wood where no light falls, and how much a shadow takes.
const AMBIENT: f64 = 0.20;
const SHADOW: f64 = 0.6;

/// A shaded picture, a grey value for each cell, the top row first: rows of `columns` values.
#[must_use]
pub fn shade(field: &HeightField) -> Vec<u8> {
    let (columns, rows) = (field.columns(), field.rows());
    let length = LIGHT.iter().map(|c| c * c).sum::<f64>().sqrt();
    let light = LIGHT.map(|c| c / length);
    let mut grey = vec![0u8; columns * rows];
    grey.par_chunks_mut(columns).enumerate().for_each(|(from_top, row)| {
        let j = rows - 1 - from_top;
        for (i, value) in row.iter_mut().enumerate() {
            let shown = brightness(field, i as i64, j as i64, light);
            *value = (shown.clamp(0.0, 1.0) * 255.0).round() as u8;
        }
    });
    grey
}

fn height(field: &HeightField, i: i64, j: i64) -> f64 {
    let i = i.clamp(0, field.columns() as i64 - 1) as usize;
    let j = j.clamp(0, field.rows() as i64 - 1) as usize;
    field.height(i, j).map_or(0.0, f64::from)
}

fn brightness(field: &HeightField, i: i64, j: i64, light: [f64; 3]) -> f64 {
    let cell = field.cell();
    let slope_x = (height(field, i + 1, j) - height(field, i - 1, j)) / (2.0 * cell);
    let slope_y = (height(field, i, j + 1) - height(field, i, j - 1)) / (2.0 * cell);
    let steep = (slope_x * slope_x + slope_y * slope_y + 1.0).sqrt();
    let facing = ((light[2] - slope_x * light[0] - slope_y * light[1]) / steep).max(0.0);
    let lit = 1.0 - SHADOW * shadowed(field, i, j, light);
    AMBIENT + 0.85 * facing * lit
}

/// How far a place lies in the shadow of what stands towards the light: 0 to 1.
fn shadowed(field: &HeightField, i: i64, j: i64, light: [f64; 3]) -> f64 {
    let (cell, own) = (field.cell(), height(field, i, j));
    // One step is a cell diagonally, up and to the left.
    let rise = light[2] / light[0].hypot(light[1]) * cell * std::f64::consts::SQRT_2;
    // An edge a sixth of a millimetre over the ray shades fully: the sun is no point.
    let soft = 0.16 + cell;
    let mut most = 0.0_f64;
    for step in 1..=REACH {
        if i < step || j + step >= field.rows() as i64 {
            break;
        }
        let over = height(field, i - step, j + step) - own - rise * step as f64;
        most = most.max(over / soft);
        if most >= 1.0 {
            return 1.0;
        }
    }
    most
}
