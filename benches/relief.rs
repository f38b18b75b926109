//! The cutter surface over a large relief, passes every 0.3 mm, with plain loops, the best
//! brute force we know and the copying of memory in the same run. All must give the same bytes.
//!
//! `cargo bench --locked --bench relief -- quick` times the carved relief alone, with cutters of
//! 3, 6.35 and 12 mm on one thread, and prints the least time of many runs: what another program
//! on the same machine takes then changes little.
#![allow(missing_docs, clippy::unwrap_used)]

use ovolo::geometry::cutter_surface::{CutterEnd, CutterSurface};
use ovolo::geometry::{HeightField, point};
use std::hint::black_box;
use std::time::Instant;

mod relief_support;
use relief_support::{brute_registers, brute_rows, disc, relief};

/// Cells of the relief, 0.1 mm wide.
const SIZE: (usize, usize) = (10_160, 2_540);
const CELL: f64 = 0.1;
/// Rows from one pass to the next.
const STEP: usize = 3;
/// Runs behind each printed time, which is their median.
const RUNS: usize = 3;

/// Runs of the quick mode, ours and (b).
const QUICK_RUNS: (usize, usize) = (15, 3);

fn median<T>(runs: usize, work: impl FnMut() -> T) -> (f64, T) {
    let (times, last) = sorted_times(runs, work);
    (times[runs / 2], last)
}

/// Seconds of each run, the least first, and what the last one gave.
fn sorted_times<T>(runs: usize, mut work: impl FnMut() -> T) -> (Vec<f64>, T) {
    let mut last = None;
    let mut times: Vec<f64> = (0..runs)
        .map(|_| {
            let start = Instant::now();
            last = Some(black_box(work()));
            start.elapsed().as_secs_f64()
        })
        .collect();
    times.sort_by(f64::total_cmp);
    (times, last.unwrap())
}

fn same(a: &[f32], b: &[f32]) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(a, b)| a.to_bits() == b.to_bits())
}

fn case(field: &HeightField, kind: &str, diameter: f64, threads: usize, plain: bool) {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
    let end = CutterEnd::ball(diameter / 2.0).unwrap();
    let (offsets, count) = (disc(&end, CELL), field.rows() / STEP);
    let (ours, found) = pool
        .install(|| median(RUNS, || CutterSurface::new(&end, CELL).rows(field, 1, STEP, count)));
    let (best, wanted) =
        pool.install(|| median(1, || brute_registers(field, &offsets, 1, STEP, count)));
    assert!(same(&found, &wanted), "other bytes than brute force");
    let loops = if plain {
        let (time, rows) =
            pool.install(|| median(1, || brute_rows(field, &offsets, 1, STEP, count)));
        assert!(same(&found, &rows), "other bytes than plain loops");
        format!("{time:.3} s")
    } else {
        "not run".to_string()
    };
    println!(
        "{kind:7} ball {diameter:5} mm, {threads} threads: {ours:.3} s; (a) {loops}; (b) {best:.3} s; {:.1} times as fast as (b)",
        best / ours
    );
}

/// One thread, the carved relief, the least times.
fn quick() {
    let field = relief(SIZE.0, SIZE.1, CELL, "carved");
    let pool = rayon::ThreadPoolBuilder::new().num_threads(1).build().unwrap();
    for diameter in [3.0, 6.35, 12.0] {
        let end = CutterEnd::ball(diameter / 2.0).unwrap();
        let (offsets, count) = (disc(&end, CELL), field.rows() / STEP);
        let ours = || CutterSurface::new(&end, CELL).rows(&field, 1, STEP, count);
        let brute = || brute_registers(&field, &offsets, 1, STEP, count);
        let (ours, found) = pool.install(|| sorted_times(QUICK_RUNS.0, ours));
        let (best, wanted) = pool.install(|| sorted_times(QUICK_RUNS.1, brute));
        assert!(same(&found, &wanted), "other bytes than brute force");
        let (ours, best) = (ours[0], best[0]);
        println!(
            "carved ball {diameter:5} mm, 1 thread: {ours:.3} s; (b) {best:.3} s; {:.2} times as fast as (b)",
            best / ours
        );
    }
}

fn main() {
    if std::env::args().any(|a| a == "quick") {
        return quick();
    }
    let bytes = vec![1_u8; SIZE.0 * SIZE.1 * 4];
    let mut target = vec![0_u8; bytes.len()];
    let (copy, ()) = median(RUNS, || target.copy_from_slice(black_box(&bytes)));
    let gigabytes = 2.0 * bytes.len() as f64 / copy / 1e9;
    println!("(c) copy: {copy:.4} s for a field, {gigabytes:.1} GB/s read and written");
    for kind in ["carved", "cosine", "noise"] {
        let field = relief(SIZE.0, SIZE.1, CELL, kind);
        for diameter in [1.0, 3.0, 6.35, 12.0] {
            for threads in [1, 2] {
                // Plain loops take long: once, for the two cutters between.
                let plain = kind == "carved" && (2.0..8.0).contains(&diameter);
                case(&field, kind, diameter, threads, plain);
            }
        }
    }
}
