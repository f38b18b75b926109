//! How fast stock is removed: a million short moves of a ball over a relief of 5,080 by 1,270 cells, with
//! the field as plain code would cut it beside it.
#![allow(missing_docs, clippy::unwrap_used)]

use ovolo::dry_run::removal::{Section, Stock};
use ovolo::geometry::{HeightField, Stroke, point, point3};
use std::time::Instant;

/// A relief, millimetres.
const SHEET: (f64, f64) = (1016.0, 254.0);
const CELL: f64 = 0.2;
const BALL: f64 = 3.175;
const MOVES: usize = 1_000_000;
/// Runs behind each printed time, which is their median.
const RUNS: usize = 3;

/// A carved frieze cut in passes of 0.86 mm moves, 0.3 mm apart.
fn relief() -> Vec<Stroke> {
    const PER_PASS: usize = 1180;
    let z = |x: f64, y: f64| -6.0 + 3.0 * (x / 17.0).sin() * (y / 11.0).cos();
    let at = |k: usize| {
        let (pass, along) = (k / PER_PASS, k % PER_PASS);
        let along = if pass % 2 == 0 { along } else { PER_PASS - 1 - along };
        let (x, y) = (along as f64 * 0.86, 0.3 * pass as f64);
        point3(x, y, z(x, y))
    };
    (0..MOVES).map(|k| Stroke::line(at(k), at(k + 1))).collect()
}

/// The same number of moves in no order, anywhere, in any direction.
fn scattered() -> Vec<Stroke> {
    let mut state = 1_u64;
    let mut next = || {
        // Knuth's MMIX generator (The Art of Computer Programming 2, 3.3.4).
        state =
            state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 11) as f64 / (1_u64 << 53) as f64
    };
    let mut one = || {
        let from = point3(next() * SHEET.0, next() * SHEET.1, -9.0 * next());
        let (angle, rise) = (next() * std::f64::consts::TAU, next() - 0.5);
        Stroke::line(from, from + point3(angle.cos(), angle.sin(), rise))
    };
    (0..MOVES).map(|_| one()).collect()
}

/// The box of each move, cell by cell, by the same closed form.
fn plain(heights: &mut [f32], columns: usize, rows: usize, strokes: &[Stroke]) -> u64 {
    let mut visited = 0;
    for stroke in strokes {
        let (a, b) = (stroke.from, stroke.to);
        let length = a.xy().distance(b.xy());
        let (tx, ty) = ((b.x - a.x) / length, (b.y - a.y) / length);
        let slope = (b.z - a.z) / length;
        let back = slope / (1.0 + slope * slope).sqrt();
        let cells = |low: f64, high: f64, count: usize| {
            let first = ((low - BALL) / CELL - 0.5).ceil().max(0.0) as usize;
            let after = ((high + BALL) / CELL + 0.5).floor().max(0.0) as usize;
            first..after.min(count)
        };
        for j in cells(a.y.min(b.y), a.y.max(b.y), rows) {
            for i in cells(a.x.min(b.x), a.x.max(b.x), columns) {
                let dx = (i as f64 + 0.5) * CELL - a.x;
                let dy = (j as f64 + 0.5) * CELL - a.y;
                let (u, v) = (dx * tx + dy * ty, dy * tx - dx * ty);
                visited += 1;
                let half2 = BALL * BALL - v * v;
                if half2 < 0.0 {
                    continue;
                }
                let s = (u - back * half2.sqrt()).clamp(0.0, length);
                let rest = half2 - (u - s) * (u - s);
                if rest < 0.0 {
                    continue;
                }
                let z = (a.z + slope * s + BALL - rest.sqrt()) as f32;
                let height = &mut heights[j * columns + i];
                if z < *height {
                    *height = z;
                }
            }
        }
    }
    visited
}

/// Time by the clock and time of the processor, seconds.
#[derive(Clone, Copy, PartialEq, PartialOrd)]
struct Spent {
    processor: f64,
    clock: f64,
}

/// What the work takes: the median by time of the processor, which other programs on the
/// machine disturb least.
fn median(mut run: impl FnMut() -> Spent) -> Spent {
    let mut times: Vec<Spent> = (0..RUNS).map(|_| run()).collect();
    times.sort_by(|a, b| a.processor.total_cmp(&b.processor));
    times[RUNS / 2]
}

fn timed(work: impl FnOnce()) -> Spent {
    let (start, before) = (Instant::now(), processor());
    work();
    let clock = start.elapsed().as_secs_f64();
    let processor = before.and_then(|before| Some(processor()? - before)).unwrap_or(clock);
    Spent { processor, clock }
}

/// Processor time of this process so far, where Linux tells it: fields 14 and 15 of proc(5)'s
/// stat, in hundredths of a second.
fn processor() -> Option<f64> {
    let stat = std::fs::read_to_string("/proc/self/stat").ok()?;
    let after_name = stat.rsplit(')').next()?;
    let ticks = |k: usize| after_name.split_whitespace().nth(k)?.parse::<f64>().ok();
    Some((ticks(11)? + ticks(12)?) / 100.0)
}

fn fresh() -> HeightField {
    HeightField::new(point(0.0, 0.0), point(SHEET.0, SHEET.1), CELL, 0.0).unwrap()
}

fn main() {
    let ball = Section::ball(BALL).unwrap();
    let (columns, rows) = (fresh().columns(), fresh().rows());
    println!(
        "{columns} x {rows} cells of {CELL} mm, ball of {BALL} mm, {MOVES} moves of about 1 mm"
    );
    for (name, strokes) in [("carved frieze", relief()), ("scattered", scattered())] {
        let mut heights = vec![0.0_f32; columns * rows];
        let mut visited = 0;
        let plain_time = median(|| {
            heights.fill(0.0);
            timed(|| visited = plain(&mut heights, columns, rows, &strokes))
        });
        show(name, "plain loop", plain_time, visited, plain_time);
        for threads in [1, 2] {
            let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
            let mut left = None;
            let time = median(|| {
                let mut stock = Stock::new(fresh());
                let mut told = 0;
                let spent = timed(|| {
                    told = pool.install(|| stock.remove_all(&strokes, &ball)).unwrap().len();
                });
                assert_eq!(told, MOVES);
                left = Some(stock.into_field());
                spent
            });
            compare(&left.unwrap(), &heights);
            show(name, &format!("sweep, {threads} thread(s)"), time, visited, plain_time);
        }
    }
}

/// Cells are counted as the plain loop visits them, so that both rates mean the same work.
fn show(strokes: &str, way: &str, time: Spent, cells: u64, plain: Spent) {
    println!(
        "{strokes:14} {way:19} {:6.2} s clock {:6.2} s processor {:6.2} M moves/s {:7.1} M cells/s; {:5.2} x plain by clock, {:5.2} x by processor",
        time.clock,
        time.processor,
        MOVES as f64 / time.clock / 1e6,
        cells as f64 / time.clock / 1e6,
        plain.clock / time.clock,
        plain.processor / time.processor,
    );
}

/// Both ways leave the same field; at a rim, where rounding decides, a cell may differ.
fn compare(field: &HeightField, heights: &[f32]) {
    let mut apart = 0;
    for (j, row) in heights.chunks(field.columns()).enumerate() {
        let differ = |(a, b): (&f32, &f32)| (a - b).abs() > 1e-3;
        apart += field.row(j).iter().zip(row).filter(|pair| differ(*pair)).count();
    }
    assert!(apart < heights.len() / 10_000, "{apart} cells differ");
}
