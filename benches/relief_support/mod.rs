//! A carved relief, and the brute force that the cutter surface is held against.

use super::{CutterEnd, HeightField, point};
use rayon::prelude::*;

/// A number from 0 to 1 for a pair of whole numbers: a fixed scatter.
fn scatter(i: i64, j: i64) -> f64 {
    // Knuth's MMIX multiplier (The Art of Computer Programming 2, 3.3.4), folded twice.
    let mut s = (i.wrapping_mul(0x9E37_79B9) ^ j.wrapping_mul(0x85EB_CA6B)) as u64;
    for _ in 0..2 {
        s = (s ^ (s >> 29)).wrapping_mul(6_364_136_223_846_793_005);
    }
    (s >> 11) as f64 / (1_u64 << 53) as f64
}

/// Height at a place, millimetres: a sunk ground of which rosettes, swags and a stepped border
/// rise, with fine veins and a trace of tool marks.
fn carved(x: f64, y: f64) -> f64 {
    // Rosettes 40 mm apart: six petals, rising 6 mm, a bead in the middle.
    let (u, v) = (x.rem_euclid(56.0) - 28.0, y.rem_euclid(56.0) - 28.0);
    let (r, a) = (u.hypot(v), v.atan2(u));
    let petal = (1.0 - (r / 24.0).powi(2)).max(0.0) * (4.0 + 2.0 * (6.0 * a).cos());
    let bead = (16.0 - u * u - v * v).max(0.0).sqrt() * 0.8;
    let vein = 0.15 * (r * 2.5).sin() * (6.0 * a).sin() * f64::from(petal > 0.3);
    // A border of steps and a round every 254 mm.
    let b = (y.rem_euclid(254.0) - 127.0).abs();
    let step = if b > 118.0 {
        5.0
    } else if b > 114.0 {
        2.5
    } else {
        0.0
    };
    // Smooth swelling of the whole.
    let swell = 1.2 * (x / 31.0).sin() * (y / 23.0).cos();
    petal.max(bead + 3.0 * f64::from(r < 4.0)).max(step) + vein + swell.max(0.0)
}

/// A relief of this kind: `carved`, `noise` (each height by chance within 3 mm) or `cosine`.
pub(crate) fn relief(columns: usize, rows: usize, cell: f64, kind: &str) -> HeightField {
    let size = point(columns as f64 * cell, rows as f64 * cell);
    let mut field = HeightField::new(point(0.0, 0.0), size, cell, 0.0).unwrap();
    let height = |i: usize, j: usize| {
        let (x, y) = (i as f64 * cell, j as f64 * cell);
        match kind {
            "noise" => 3.0 * scatter(i as i64, j as i64),
            "cosine" => 2.0 * (x / 4.0).cos() * (y / 5.0).cos(),
            _ => carved(x, y),
        }
    };
    let rows: Vec<Vec<f32>> = (0..rows)
        .into_par_iter()
        .map(|j| (0..columns).map(|i| height(i, j) as f32).collect())
        .collect();
    for (j, row) in rows.iter().enumerate() {
        field.set_row(j, row);
    }
    field
}

/// The offsets under a cutter and its heights there, row by row.
pub(crate) fn disc(end: &CutterEnd, cell: f64) -> Vec<(isize, isize, f32)> {
    let reach = (end.radius() / cell + 1e-9).floor() as isize;
    let mut all = Vec::new();
    for dy in -reach..=reach {
        for dx in -reach..=reach {
            let r = (dx as f64 * cell).hypot(dy as f64 * cell);
            if r <= end.radius() * (1.0 + 1e-9) {
                let height = end.height(r.min(end.radius())).unwrap();
                all.push((dx, dy, height as f32));
            }
        }
    }
    all
}

/// Cells of the accumulator.
const HELD: usize = 128;

/// (b) 128 cells kept in registers while the disc runs over them.
pub(crate) fn brute_registers(
    field: &HeightField,
    disc: &[(isize, isize, f32)],
    first: usize,
    step: usize,
    count: usize,
) -> Vec<f32> {
    let reach = disc.iter().map(|d| d.0).max().unwrap_or(0);
    let columns = field.columns();
    let stride = columns.next_multiple_of(HELD) + 2 * reach as usize;
    let deep = field.rows() + 2 * reach as usize;
    let mut padded = vec![f32::NEG_INFINITY; stride * deep];
    padded.par_chunks_mut(stride).enumerate().for_each(|(j, row)| {
        if let Some(j) = j.checked_sub(reach as usize).filter(|&j| j < field.rows()) {
            row[reach as usize..][..columns].copy_from_slice(field.row(j));
        }
    });
    let offsets: Vec<(usize, f32)> = disc
        .iter()
        .map(|&(dx, dy, h)| (((dy + reach) * stride as isize + dx + reach) as usize, h))
        .collect();
    let mut out = vec![0.0; columns * count];
    out.par_chunks_mut(columns).enumerate().for_each(|(k, row)| {
        let base = (first + k * step) * stride;
        pulp::Arch::new().dispatch(Row { from: &padded[base..], offsets: &offsets, out: row });
    });
    out
}

/// One row of (b). A type, so that it is compiled for the processor's widest vectors.
struct Row<'a> {
    from: &'a [f32],
    offsets: &'a [(usize, f32)],
    out: &'a mut [f32],
}

impl pulp::NullaryFnOnce for Row<'_> {
    type Output = ();

    #[inline(always)]
    fn call(self) {
        for (c, out) in self.out.chunks_mut(HELD).enumerate() {
            let from = &self.from[c * HELD..];
            let mut held = [f32::NEG_INFINITY; HELD];
            for &(offset, h) in self.offsets {
                let cells = &from[offset..offset + HELD];
                for i in 0..HELD {
                    let value = cells[i] - h;
                    held[i] = if value > held[i] { value } else { held[i] };
                }
            }
            out.iter_mut().zip(held).for_each(|(o, v)| *o = v + 0.0);
        }
    }
}

/// (a) a plain loop over the disc, whole rows at a time.
pub(crate) fn brute_rows(
    field: &HeightField,
    disc: &[(isize, isize, f32)],
    first: usize,
    step: usize,
    count: usize,
) -> Vec<f32> {
    let columns = field.columns();
    let mut out = vec![f32::NEG_INFINITY; columns * count];
    out.par_chunks_mut(columns).enumerate().for_each(|(k, out)| {
        for &(dx, dy, h) in disc {
            let j = (first + k * step) as isize + dy;
            let row = usize::try_from(j).map_or(&[][..], |j| field.row(j));
            let (skip, from) = (dx.min(0).unsigned_abs(), dx.max(0) as usize);
            if skip >= columns || from >= row.len() {
                continue;
            }
            for (best, cell) in out[skip..].iter_mut().zip(&row[from..]) {
                let value = cell - h;
                *best = if value > *best { value } else { *best };
            }
        }
        out.iter_mut().for_each(|v| *v += 0.0);
    });
    out
}
