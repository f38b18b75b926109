//! A whole header from its job file's text to all drawings in all formats, and its parts, in the
//! same run: the solving alone is the baseline that the rest is a multiple of.

use criterion::{Criterion, criterion_group, criterion_main};
use ovolo::drawing::{Paper, dxf, pages, pdf};
use ovolo::job::Job;
use ovolo::report::{drawing_files, drawings};

const SAMPLE: &str = include_str!("../sample-parts/door-header.toml");

fn all(c: &mut Criterion) {
    let job = Job::read("door-header.toml", SAMPLE).expect("the sample");
    let all = drawings(&job);
    let plan = &all[0];
    c.bench_function("baseline: job file to solved header", |b| {
        b.iter(|| Job::read("door-header.toml", SAMPLE).expect("the sample"));
    });
    c.bench_function("job file to all drawings in all formats", |b| {
        b.iter(|| {
            let job = Job::read("door-header.toml", SAMPLE).expect("the sample");
            drawing_files(&drawings(&job), Paper::Letter).expect("written")
        });
    });
    c.bench_function("of it: the drawings", |b| b.iter(|| drawings(&job)));
    c.bench_function("of it: the plan as SVG", |b| b.iter(|| plan.sheet().svg()));
    c.bench_function("of it: the plan as DXF", |b| b.iter(|| dxf(plan).expect("written")));
    c.bench_function("of it: the plan on one sheet", |b| b.iter(|| pdf(plan).expect("written")));
    c.bench_function("of it: the plan on pages", |b| {
        b.iter(|| pages(plan, Paper::Letter).expect("written"));
    });
}

criterion_group!(benches, all);
criterion_main!(benches);
