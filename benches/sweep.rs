//! A moulding along an arc of 1.5 m at a scallop of 0.02 mm: from the job to the program's text.
//!
//! `cargo bench --bench sweep`. The goal is 50 ms for path and text together.
#![allow(clippy::unwrap_used, missing_docs)]

use criterion::{Criterion, criterion_group, criterion_main};
use ovolo::cuts;
use ovolo::job::Job;
use ovolo::post::{self, Dialect, Heading};
use ovolo::shop::Shop;

const JOB: &str = r#"
title   = "Reading-room gallery: long bed mould"
units   = "mm"
species = "yellow-poplar"
[stock]
length    = 1620
width     = 220
thickness = 22
[hold]
bed = "vacuum"
[[part]]
kind    = "bed-mold"
scallop = 0.02
[part.profile]
back    = 9
element = [
  { kind = "fillet",       height = 3 },
  { kind = "ovolo",        height = 9, projection = 9, step = 1.5 },
  { kind = "cyma-reversa", height = 6, projection = 6, step = 1.5 },
  { kind = "fillet",       height = 4, step = 1.5 },
]
[part.path]
kind  = "arc"
chord = 1480
rise  = 120
[part.outline]
cutter = 2
"#;

fn heading() -> Heading {
    Heading {
        title: "bench".to_string(),
        lines: Vec::new(),
        work_offset: 54,
        cutters: (1..=10).map(|n| (n, String::new())).collect(),
        dial: Vec::new(),
    }
}

fn sweep(criterion: &mut Criterion) {
    let shop = Shop::built_in().unwrap();
    let job = Job::read("bench.toml", JOB).unwrap();
    let dialect = Dialect::find("millimetres").unwrap();
    criterion.bench_function("bed mould, 1.5 m arc, scallop 0.02 mm: path and text", |b| {
        b.iter(|| {
            let plans = cuts::plan(&job, &shop).unwrap();
            post::write(&plans[0].toolpath, &dialect, &heading()).unwrap()
        });
    });
    let plans = cuts::plan(&job, &shop).unwrap();
    criterion.bench_function("the same, text alone", |b| {
        b.iter(|| post::write(&plans[0].toolpath, &dialect, &heading()).unwrap());
    });
}

criterion_group!(benches, sweep);
criterion_main!(benches);
