//! The cutter surface of a file of heights, for comparison with other programs:
//! `cutter_surface IN OUT COLUMNS ROWS CELL SHAPE MEASURES`. Heights are 32-bit floats, lowest
//! byte first, row by row; the measures are millimetres and degrees: `ball RADIUS`, `flat
//! RADIUS`, `bull-nose RADIUS CORNER`, `cone RADIUS TIP ANGLE`, `taper-ball RADIUS BALL ANGLE`.

use ovolo::geometry::cutter_surface::{CutterEnd, CutterSurface};
use ovolo::geometry::{HeightField, point};
use std::error::Error;

fn main() -> Result<(), Box<dyn Error>> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let [source, target, columns, rows, cell, shape, measures @ ..] = words.as_slice() else {
        return Err("give IN OUT COLUMNS ROWS CELL SHAPE MEASURES".into());
    };
    let (columns, rows): (usize, usize) = (columns.parse()?, rows.parse()?);
    let cell: f64 = cell.parse()?;
    let measures: Vec<f64> = measures.iter().map(|m| m.parse()).collect::<Result<_, _>>()?;
    let end = match (shape.as_str(), measures.as_slice()) {
        ("flat", &[radius]) => CutterEnd::flat(radius),
        ("ball", &[radius]) => CutterEnd::ball(radius),
        ("bull-nose", &[radius, corner]) => CutterEnd::bull_nose(radius, corner),
        ("cone", &[radius, tip, angle]) => CutterEnd::cone(radius, tip, angle.to_radians()),
        ("taper-ball", &[radius, ball, angle]) => {
            CutterEnd::taper_ball(radius, ball, angle.to_radians())
        }
        _ => None,
    };
    let end = end.ok_or("these measures make no cutter")?;
    let size = point(columns as f64 * cell, rows as f64 * cell);
    let mut field =
        HeightField::new(point(0.0, 0.0), size, cell, 0.0).map_err(|e| e.to_string())?;
    let heights: Vec<f32> = std::fs::read(source)?
        .chunks_exact(4)
        .map(|b| f32::from_le_bytes([b[0], b[1], b[2], b[3]]))
        .collect();
    for (j, row) in heights.chunks_exact(columns).enumerate() {
        field.set_row(j, row);
    }
    let found = CutterSurface::new(&end, cell).rows(&field, 0, 1, rows);
    std::fs::write(target, found.iter().flat_map(|h| h.to_le_bytes()).collect::<Vec<u8>>())?;
    Ok(())
}
