//! How fast a program's text is read and interpreted, beside the bare parse of the `gcode` crate
//! on the same text in the same run. The aim: no slower than twice that.

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use gcode::core::{Noop, parse};
use ovolo::ngc::{Options, interpret};
use std::fmt::Write;
use std::hint::black_box;
use std::time::{Duration, Instant};

/// Size of the text.
const BYTES: usize = 20 << 20;
/// Runs of each reader behind the printed ratio.
const RUNS: usize = 7;

/// A program of lines, arcs and comments as a router gets it, the same each time.
fn program() -> String {
    let mut text = String::with_capacity(BYTES + 256);
    text.push_str("%\nG17 G21 G40 G49 G80 G90 G94\nT1 M6\nM3 S18000\nG4 P3\nG0 X0. Y0. Z5.\n");
    let mut n = 0u32;
    while text.len() < BYTES {
        let (x, y) = (n * 37 % 2400, n * 91 % 1200);
        let z = n % 12;
        // Writing to a string cannot fail.
        let _ = writeln!(text, "(pass {n} at Z-{z}.5)\nG0 X{x}.125 Y{y}.0625\nG1 Z-{z}.5 F900");
        for k in 0..20u32 {
            let _ =
                writeln!(text, "G1 X{}.{:04} Y{}.{:04} F2400", x + k, n * 7 % 9999, y + k, k * 411);
        }
        for k in 0..4 {
            // Half turns of radius 10 from where the last one ended.
            let _ = writeln!(
                text,
                "G1 X{x}. Y{y}.\nG2 X{}. Y{y}. I10. J0.\nG3 X{x}. Z-{z}.{k}5 I-10.",
                x + 20
            );
        }
        text.push_str("G0 Z5.\n");
        n += 1;
    }
    text.push_str("M30\n%\n");
    text
}

fn ours(text: &str) -> f64 {
    let mut sum = 0.0;
    let problems = interpret(text, &Options::default(), &mut |event| {
        sum += event.state.feed.unwrap_or(0.0);
    });
    assert!(problems.is_empty(), "{}", problems[0]);
    sum
}

/// Median of some runs.
fn median(mut run: impl FnMut()) -> Duration {
    let mut times: Vec<_> = (0..RUNS)
        .map(|_| {
            let start = Instant::now();
            run();
            start.elapsed()
        })
        .collect();
    times.sort();
    times[RUNS / 2]
}

fn reading(criterion: &mut Criterion) {
    let text = program();
    let mut group = criterion.benchmark_group("ngc");
    group.sample_size(10).throughput(Throughput::Bytes(text.len() as u64));
    group.bench_function("parse and interpret", |b| b.iter(|| black_box(ours(&text))));
    group.bench_function("gcode crate, bare parse", |b| {
        b.iter(|| parse(black_box(&text), &mut Noop));
    });
    group.finish();
    let (we, bare) = (
        median(|| {
            black_box(ours(&text));
        }),
        median(|| parse(black_box(&text), &mut Noop)),
    );
    let rate = |t: Duration| text.len() as f64 / 1e6 / t.as_secs_f64();
    println!(
        "interpreted {:.1} MB/s, bare parse {:.1} MB/s, time ratio {:.2} (aim: at most 2)",
        rate(we),
        rate(bare),
        we.as_secs_f64() / bare.as_secs_f64()
    );
}

criterion_group!(benches, reading);
criterion_main!(benches);
