//! Nested offsets on three outlines: certified, by the raw arc-preserving library, and by the
//! polygon library, each library from the source for every ring, all in one run.
//!
//! `cargo bench --bench offsets`; `-- quick` leaves the polygon library out, `-- own cap` runs
//! only what is ours on the outlines with `cap` in their file's name.
#![allow(clippy::unwrap_used, missing_docs)]

#[path = "../tests/offset_support/mod.rs"]
mod offset_support;

use cavalier_contours::polyline::{PlineSourceMut, Polyline};
use cavalier_contours::shape_algorithms::{Shape, ShapeOffsetOptions};
use offset_support::{clipper_loops, region};
use ovolo::geometry::Contour;
use std::time::Instant;

fn shape(contours: &[Contour]) -> Shape<f64> {
    Shape::from_plines(contours.iter().map(|c| {
        let mut line = Polyline::new_closed();
        for v in &c.vertices {
            line.add(v.at.x, v.at.y, v.bulge);
        }
        line
    }))
}

/// Seconds of each of `runs` runs, the middle one, and what the last one gave.
fn time(runs: usize, mut work: impl FnMut() -> usize) -> (f64, usize) {
    let mut loops = 0;
    let mut times: Vec<f64> = (0..runs)
        .map(|_| {
            let start = Instant::now();
            loops = std::hint::black_box(work());
            start.elapsed().as_secs_f64()
        })
        .collect();
    times.sort_by(f64::total_cmp);
    (times[runs / 2], loops)
}

fn main() {
    let words: Vec<String> = std::env::args().skip(1).filter(|a| !a.starts_with('-')).collect();
    let said = |word: &str| words.iter().any(|a| a == word);
    let (own_only, quick) = (said("own"), said("quick"));
    let files: Vec<&String> = words.iter().filter(|a| *a != "own" && *a != "quick").collect();
    let cases = [
        ("arched cap", "arched-cap.rings", 48, 2.0, 21),
        ("leaf of 13,000", "leaf-13k.rings", 28, 1.5, 5),
        ("leaf of 130,000", "leaf-130k.rings.gz", 6, 1.5, 3),
    ];
    println!("outline, rings: seconds (loops); ratio to the raw library");
    for (name, file, count, step, runs) in cases {
        if !files.is_empty() && !files.iter().any(|f| file.contains(f.as_str())) {
            continue;
        }
        let region = region(file);
        let contours: Vec<Contour> = region.contours().cloned().collect();
        let raw_shape = shape(&contours);
        let (own, own_loops) = time(runs, || {
            let rings = region.rings(step, step, Some(count)).unwrap();
            rings.iter().flatten().map(|r| r.contours().count()).sum()
        });
        if own_only {
            println!("{name}: {own:9.5} ({own_loops})");
            continue;
        }
        let (raw, raw_loops) = time(runs, || {
            (1..=count)
                .map(|i| {
                    let ring =
                        raw_shape.parallel_offset(step * i as f64, &ShapeOffsetOptions::default());
                    ring.ccw_plines.len() + ring.cw_plines.len()
                })
                .sum()
        });
        println!("{name}, {count} rings {step} mm apart:");
        println!("  certified        {own:9.4} ({own_loops}) {:6.2}", own / raw);
        println!("  raw arcs         {raw:9.4} ({raw_loops})   1.00");
        if !quick {
            // Its arc tolerance is 1/500 of the distance.
            let (polygons, loops) = time(1, || {
                (1..=count).map(|i| clipper_loops(&contours, -step * i as f64).len()).sum()
            });
            println!("  polygon library  {polygons:9.4} ({loops}) {:6.2}", polygons / raw);
        }
    }
}
